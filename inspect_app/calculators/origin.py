"""Where a calculator's formula comes from and where it holds, taken from the docstrings of the trade functions."""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Callable, Iterable
from typing import Any

_LABELLED = r"^{label}: (.*(?:\n {{4}}.*)*)"
_SAME_AS = re.compile(r"as `([a-z_0-9]+)`")
_POINTS_AT_CODE = re.compile(r"`[a-z_0-9.]+`")


def source_keys(functions: Iterable[Callable[..., Any]]) -> tuple[str, ...]:
    """The keys of the sources the functions name, each once.

    Args:
        functions: trade functions.

    >>> from inspect_app.trade.measuring.decision import decide, worst
    >>> source_keys([decide, worst])
    ('iso-14253-1', 'jcgm-106')
    """
    keys = (key.strip() for function in functions for key in _line(function, "Source").split(","))
    return tuple(dict.fromkeys(key for key in keys if key))


def validity(functions: Iterable[Callable[..., Any]]) -> tuple[str, ...]:
    """Where the functions hold, one sentence each, without names of code.

    Args:
        functions: trade functions.

    >>> from inspect_app.trade.strength.barrel import bore_swelling_mm
    >>> validity([bore_swelling_mm])[0]
    'Round, even wall, elastic, away from ends, ports and welds; least near the ends, which hold the tube.'
    """
    sentences = (_valid(function) for function in functions)
    return tuple(dict.fromkeys(_as_sentence(s) for s in sentences if s))


def _as_sentence(words: str) -> str:
    """With a capital first letter, unless that letter is a symbol by itself."""
    return words if words[1:2] == " " and words[0] != "a" else words[0].upper() + words[1:]


def _line(function: Callable[..., Any], label: str) -> str:
    found = re.search(_LABELLED.format(label=label), _docstring(function), re.MULTILINE)
    return re.sub(r"\s+", " ", found[1]).strip() if found else ""


def _docstring(function: Callable[..., Any]) -> str:
    """What a function says of itself; out of its file where python -OO has thrown docstrings away."""
    if sys.flags.optimize < 2:
        return inspect.getdoc(function) or ""
    (definition,) = ast.parse(inspect.getsource(function)).body
    assert isinstance(definition, ast.FunctionDef)
    return ast.get_docstring(definition) or ""


def _valid(function: Callable[..., Any]) -> str:
    says = _line(function, "Valid")
    if same := _SAME_AS.match(says):
        other = getattr(sys.modules[function.__module__], same[1])
        says = _valid(other).removesuffix(".") + says[same.end() :]
    clauses = [clause for clause in re.split(r"(?<=[;.])\s+", says) if not _POINTS_AT_CODE.search(clause)]
    kept = " ".join(clauses).rstrip(";")
    return kept if not kept or kept.endswith(".") else f"{kept}."
