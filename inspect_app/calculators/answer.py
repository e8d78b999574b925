"""One calculation from typed text to an answer with its sources; the same for every calculator."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.calculators import origin
from inspect_app.calculators.asking import Understood, given, understand
from inspect_app.calculators.shape import Calculator, Result
from inspect_app.tables.cautions import Caution
from inspect_app.tables.sources import Source
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal

_UNITS = {"mm": "mm", "mpa": "MPa", "n": "N", "nm": "N·m", "c": "°C", "ml": "ml", "l": "l", "um": "µm"}
_ARGUMENT = re.compile(rf"\b([a-z][a-z_]*?)_({'|'.join(_UNITS)})\b((?: is)? -?\d[\d.e+-]*\d|(?: is)? -?\d)")
_NAME = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")


@dataclass(frozen=True, slots=True)
class Answer:
    """What came out, what it was computed from, and what it rests on."""

    calculator: Calculator
    given: tuple[Understood, ...]
    results: tuple[Result, ...]
    sources: tuple[Source, ...]
    valid: tuple[str, ...]
    cautions: tuple[Caution, ...]


def compute(
    calculator: Calculator, typed: Mapping[str, str], *, systems: Mapping[str, str], handbook: Handbook
) -> Answer:
    """Run one calculator.

    Args:
        calculator: which one.
        typed: what was typed, by key.
        systems: "metric" or "inch" by key, for numbers typed without a unit; "" for all others.
        handbook: the tables it may look things up in.
    Raises:
        Refusal: a key is unknown or missing, a value cannot be read, or the computation does not cover it.
    """
    understood = understand(calculator, typed, systems=systems, handbook=handbook)
    try:
        results = calculator.compute(given(understood), handbook)
    except Refusal as refusal:
        raise Refusal(in_words(str(refusal))) from None
    except ArithmeticError:
        raise Refusal("These figures lead to no number; check them and their units.") from None
    for result in results:
        if not isinstance(result.value, str) and not math.isfinite(result.value):
            raise Refusal(f"{result.title} has no finite value for these figures; check them.")
    keys = origin.source_keys(calculator.functions)
    keys = tuple(dict.fromkeys((*(r.source for r in results if r.source), *keys)))
    return Answer(
        calculator,
        understood,
        results,
        tuple(handbook.sources[key] for key in keys if key in handbook.sources),
        origin.validity(calculator.functions),
        cautions_of(calculator, handbook),
    )


def in_words(sentence: str) -> str:
    """A refusal of the trade without the names of its arguments.

    Args:
        sentence: the refusal.

    >>> in_words("outside_mm is 90 over a bore of 100 mm; yield_share must be above 0.")
    'outside is 90 mm over a bore of 100 mm; yield share must be above 0.'
    """
    with_units = _ARGUMENT.sub(lambda found: f"{found[1]}{found[3]} {_UNITS[found[2]]}", sentence)
    return _NAME.sub(lambda found: found[0].replace("_", " "), with_units)


def cautions_of(calculator: Calculator, handbook: Handbook) -> tuple[Caution, ...]:
    """What to say before this is done for real."""
    wanted = calculator.cautions
    return tuple(c for c in handbook.cautions if c.id in wanted or c.when in wanted)
