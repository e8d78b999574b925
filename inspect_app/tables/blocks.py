"""Reads a block of a TOML file into a dataclass: its fields are the allowed keys, their types what may stand there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, get_type_hints

from inspect_app.tables.faults import Reader

Shape = TypeVar("Shape")
Named = Mapping[str, str]
"""Ids and what each is called: a table of both, or a list of ids whose names stand elsewhere in the file."""

WordLists = Mapping[str, tuple[str, ...]]
"""A table of lists of words, such as ``{ piston-guide = ["wear rings"] }``."""


def block_from(
    reader: Reader, file: str, where: str, block: Mapping[str, Any], shape: type[Shape]
) -> Shape | None:
    """One dataclass out of a TOML table; None, and a fault for each mistake, where it cannot be.

    Args:
        reader: what is being read; faults are noted in it.
        file: the file, for the faults.
        where: the block, for the faults.
        block: the table.
        shape: the dataclass; text, yes or no, whole numbers, numbers above 0, lists of words, tables of them
            and nested dataclasses are understood.
    """
    types = _types_of(shape)  # type: ignore[arg-type]  # a class has a hash, whatever its instances have
    before = reader.noted
    if unknown := set(block) - set(types):
        words = f"has unknown keys {', '.join(sorted(unknown))}; allowed are {', '.join(types)}."
        reader.fault(file, where, words)
    values: dict[str, Any] = {}
    for key, value in block.items():
        wanted = types.get(key)
        if is_dataclass(wanted) and isinstance(wanted, type) and isinstance(value, Mapping):
            values[key] = block_from(reader, file, f"{where}.{key}", value, wanted)
        elif wanted is not None:
            try:
                values[key] = _value(wanted, value)
            except ValueError as e:
                reader.fault(file, f"{where}.{key}", f"found {value!r}; {e}.")
    missing = [f.name for f in fields(shape) if _is_required(f) and f.name not in values]  # type: ignore[arg-type]
    if missing and reader.noted == before:
        reader.fault(file, where, f"lacks {', '.join(missing)}; add it.")
    return None if reader.noted > before else shape(**values)


@cache
def _types_of(shape: type) -> Mapping[str, Any]:
    """What may stand in each field: evaluated once a dataclass, not once a block."""
    return get_type_hints(shape)


def _is_required(field: Any) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _value(wanted: Any, value: Any) -> Any:
    """A value of the field's type, or ValueError with what to write."""
    if wanted is str and not isinstance(value, str):
        raise ValueError("write text in quotes")
    if wanted is bool and not isinstance(value, bool):
        raise ValueError("write true or false")
    if wanted is int and (isinstance(value, bool) or not isinstance(value, int) or value < 1):
        raise ValueError("write a whole number from 1 up")
    if wanted in (Decimal, Decimal | None):
        if isinstance(value, bool) or not isinstance(value, int | float) or value <= 0:
            raise ValueError("write a number above 0")
        return Decimal(str(value))
    if wanted == WordLists:
        return word_lists(value)
    if wanted == Named:
        return _named(value)
    if is_dataclass(wanted):
        keys = ", ".join(f"{f.name} = ..." for f in fields(wanted))
        raise ValueError(f"write a table in braces, with one or more of {keys}")
    if wanted not in (str, bool, int):  # a tuple of words, or of two, or none of them
        return _words(value)
    return value


def _named(value: Any) -> Named:
    if not isinstance(value, Mapping):
        return dict.fromkeys(_words(value), "")
    if not value or not all(isinstance(words, str) and words for words in value.values()):
        raise ValueError('write ids with what each is called, { wear-rings = "wear rings" }')
    return dict(value)


def _words(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise ValueError('write a list like ["12", "3"]')
    return tuple(value)


def word_lists(value: Any) -> WordLists:
    """A table of lists of words.

    Args:
        value: the table.
    Raises:
        ValueError: with what to write.
    """
    if not isinstance(value, Mapping) or not all(
        isinstance(v, list) and v and all(isinstance(a, str) for a in v) for v in value.values()
    ):
        raise ValueError('write { question = ["answer", "another answer"] }')
    return {question: tuple(answers) for question, answers in value.items()}
