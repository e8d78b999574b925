"""One calculation from typed text to an answer with its sources; the same for every calculator."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.calculators import origin
from inspect_app.calculators.asking import Understood, given, understand
from inspect_app.calculators.shape import Calculator, Result
from inspect_app.tables.cautions import Caution
from inspect_app.tables.sources import Source
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal, Sentence


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
    except ArithmeticError:
        raise Refusal("These figures lead to no number; check them and their units.") from None
    for result in results:
        if not isinstance(result.value, str | Sentence) and not math.isfinite(result.value):
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


def cautions_of(calculator: Calculator, handbook: Handbook) -> tuple[Caution, ...]:
    """What to say before this is done for real."""
    wanted = calculator.cautions
    return tuple(c for c in handbook.cautions if c.id in wanted or c.when in wanted)
