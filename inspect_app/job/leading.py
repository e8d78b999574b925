"""Which leading digits stand at a place before a reading is typed: what readings and limits have in common."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from inspect_app.entries.job import Place, Reading, Survey
from inspect_app.job.doubts import neighbours_of
from inspect_app.job.judge import LimitInForce, nominal_of
from inspect_app.job.readings import reading_limit
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.leading import Leading, leading_digits
from inspect_app.trade.measuring.plausible import LEAST_SPREAD_MM, doubt
from inspect_app.trade.measuring.units import KINDS, Unit


def leading_for(survey: Survey, check: Check, place: Place, tables: Tables, system: str) -> Leading | None:
    """The digits that stand before a reading is typed, None where none do.

    Likely is what the reuse limit allows, the nominal size, and what lies no farther beyond the readings before
    than they lie apart. Where one of these is hard to believe itself nothing stands.

    Args:
        survey: the state of the cylinder.
        check: the check; only where a size is held are readings alike.
        place: where is measured now.
        tables: the tables.
        system: "metric" or "inch".
    """
    nominal = nominal_of(check, survey)
    before = neighbours_of(survey, check, place)
    if nominal is None or check.kind != "length":
        return None
    unit = KINDS[check.kind].shown(system)[0]
    decimals = max((d for r in before if (d := _decimals(r, unit)) is not None), default=None)
    values = [r.value for r in before]
    likely = _likely(values, nominal, reading_limit(check, survey, tables)) if decimals is not None else None
    if decimals is None or likely is None:
        return None
    if any(doubt(value, nominal=nominal, tolerance_span_mm=None) for value in values):
        return None
    low, high = (unit.number(end) for end in likely)
    return leading_digits(low, high, [unit.number(value) for value in values], decimals)


def _likely(
    values: Sequence[Decimal], nominal: Decimal, limit: LimitInForce | None
) -> tuple[Decimal, Decimal] | None:
    """The least and the greatest likely reading, mm; None while one reading alone says nothing of their spread."""
    limits = [x for x in (limit.lower, limit.upper) if x is not None] if limit else []
    if len(values) < 2 and len(limits) < 2:
        return None
    least, most = min(values), max(values)
    beyond = max(LEAST_SPREAD_MM, most - least)
    low, high = min(least - beyond, nominal, *limits), max(most + beyond, nominal, *limits)
    return (low, high) if low > 0 else None


def _decimals(reading: Reading, unit: Unit) -> int | None:
    """With how many decimals a reading was typed, None where it was typed in another unit or as a fraction."""
    step = unit.number(reading.step).normalize().as_tuple()
    return max(0, -int(step.exponent)) if step.digits == (1,) else None
