"""What a calculator is: its keys, its sum and its results; knows neither how they are typed nor how they are shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Sentence

Value = Decimal | str | tuple[Decimal, ...]
Options = tuple[str, ...] | Callable[[Handbook], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Key:
    """One thing a calculator asks for.

    `kind` is a name in MEASURES, "text" or "choice" (then `options` says of what). `many` asks for a list.
    `default` is what counts when nothing is given, written as one would type it; a key without one is
    needed, unless it is `optional` or one of an `either` of its calculator.
    """

    name: str
    kind: str
    title: str
    default: str = ""
    optional: bool = False
    many: bool = False
    options: Options = ()
    note: str = ""

    def choices(self, handbook: Handbook) -> tuple[str, ...]:
        """What may be chosen; some choices are rows of the handbook."""
        return self.options(handbook) if callable(self.options) else self.options


@dataclass(frozen=True, slots=True)
class Result:
    """One figure or sentence that comes out.

    `kind` is a name in MEASURES, "text", or "ok" for a sentence that judges. `source` names the source
    of this very figure where it is a row of a table.
    """

    name: str
    title: str
    value: Decimal | float | int | str | Sentence
    kind: str = "text"
    source: str = ""


@dataclass(frozen=True, slots=True)
class Given:
    """What was given, understood: canonical values by key; what was left out is absent."""

    values: Mapping[str, Value]

    def has(self, name: str) -> bool:
        """Whether the key was given or has a default."""
        return name in self.values

    def exact(self, name: str) -> Decimal:
        """A quantity, exactly."""
        value = self.values[name]
        assert isinstance(value, Decimal)
        return value

    def number(self, name: str) -> float:
        """A quantity as float."""
        return float(self.exact(name))

    def count(self, name: str) -> int:
        """A whole number."""
        return int(self.exact(name))

    def share(self, name: str) -> float:
        """A percentage as a share of 1."""
        return float(self.exact(name) / 100)

    def maybe(self, name: str) -> float | None:
        """A quantity as float, None where it was left out."""
        return self.number(name) if self.has(name) else None

    def exacts(self, name: str) -> tuple[Decimal, ...]:
        """A list of quantities, exactly."""
        value = self.values[name]
        assert isinstance(value, tuple)
        return value

    def numbers(self, name: str) -> list[float]:
        """A list of quantities as floats."""
        return [float(value) for value in self.exacts(name)]

    def text(self, name: str) -> str:
        """A text or a choice."""
        value = self.values[name]
        assert isinstance(value, str)
        return value

    def yes(self, name: str) -> bool:
        """A choice of yes or no."""
        return self.text(name) == "yes"


@dataclass(frozen=True, slots=True)
class Calculator:
    """One computation of the trade, bound to keys.

    `functions` are the trade functions it rests on: their docstrings give sources and validity.
    Of each tuple in `either` exactly one key is needed. `cautions` are ids of checklists/cautions.toml or
    a `when` of it. `example` is one that works, as it would be typed.
    """

    name: str
    topic: str
    title: str
    keys: tuple[Key, ...]
    compute: Callable[[Given, Handbook], tuple[Result, ...]]
    functions: tuple[Callable[..., Any], ...]
    formula: str
    example: Mapping[str, str]
    either: tuple[tuple[str, ...], ...] = ()
    cautions: tuple[str, ...] = ()

    def key(self, name: str) -> Key | None:
        """The key of this name."""
        return next((key for key in self.keys if key.name == name), None)

    def needed(self) -> tuple[str, ...]:
        """What is needed, in the order of the keys; alternatives as one entry, ``outside or wall``."""
        either = {name: " or ".join(names) for names in self.either for name in names}
        needed = [
            either.get(key.name, key.name)
            for key in self.keys
            if key.name in either or not (key.optional or key.default)
        ]
        return tuple(dict.fromkeys(needed))
