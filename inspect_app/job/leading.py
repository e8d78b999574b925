"""Which leading digits stand at a place before a reading is typed: what readings and limits have in common."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from operator import attrgetter

from inspect_app.entries.job import Place, Reading, Survey
from inspect_app.job.doubts import holds_size, neighbours_of
from inspect_app.job.judge import LimitInForce, nominal_of
from inspect_app.job.readings import reading_limit
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.leading import Leading, leading_digits, leading_noughts
from inspect_app.trade.measuring.plausible import LEAST_SPREAD_MM, doubt
from inspect_app.trade.measuring.units import KINDS, Unit

APART_MM = Decimal("0.5")
"""So near to the only reading before, or to what is expected of the first, the next is likely: this project's choice,
and less than what is asked about."""


def leading_for(survey: Survey, check: Check, place: Place, tables: Tables, system: str) -> Leading | None:
    """The digits that stand before a reading is typed, None where none do.

    Likely is what the reuse limit allows, the nominal size that a reading is near to, and what lies no farther
    beyond the readings before than they lie apart. Before the first reading it is what lies near the middle of the
    limit, or near a nominal typed for this very check: a size off the nameplate may have been ground away. Where one
    of these is hard to believe itself nothing stands. Where places may differ, noughts alone stand before what was
    read so far.

    Args:
        survey: the state of the cylinder.
        check: the check; only where a size is held are readings alike.
        place: where is measured now.
        tables: the tables.
        system: "metric" or "inch".
    """
    unit = KINDS[check.kind].shown(system)[0]
    if not holds_size(check):
        return _noughts(survey, check, place, unit) if check.kind in ("length", "deviation") else None
    before, nominal = neighbours_of(survey, check, place), nominal_of(check, survey)
    limit = reading_limit(check, survey, tables)
    decimals = _finest(before, unit) if before else _decimals_of_gauge(check, survey, unit)
    expected = _expected(check, nominal, limit)
    values = [r.value for r in before] or ([expected] if expected is not None else [])
    if decimals is None or not values:
        return None
    if any(doubt(value, nominal=nominal, tolerance_span_mm=None) for value in values):
        return None
    likely = _likely(values, nominal, limit, is_first=not before)
    if likely is None:
        return None
    low, high = (unit.number(end) for end in likely)
    return leading_digits(low, high, [unit.number(value) for value in values], decimals)


def _expected(check: Check, nominal: Decimal | None, limit: LimitInForce | None) -> Decimal | None:
    """What the first reading is expected to be near to, mm; None where nothing says it closely enough."""
    if limit and limit.lower is not None and limit.upper is not None:
        return (limit.lower + limit.upper) / 2
    return nominal if check.nominal == "ask" else None


def _likely(
    values: Sequence[Decimal], nominal: Decimal | None, limit: LimitInForce | None, is_first: bool
) -> tuple[Decimal, Decimal] | None:
    """The least and the greatest likely reading, mm; None where they would reach down to nothing."""
    limits = [x for x in (limit.lower, limit.upper) if x is not None] if limit else []
    apart = max(values) - min(values)
    knows_spread = len(values) > 1 or (len(limits) > 1 and not is_first)
    beyond = max(LEAST_SPREAD_MM, apart) if knows_spread else APART_MM
    near = nominal is not None and min(abs(value - nominal) for value in values) <= APART_MM
    also = [*limits, *([nominal] if nominal is not None and near else [])]
    low, high = min([min(values) - beyond, *also]), max([max(values) + beyond, *also])
    return (low, high) if low > 0 else None


def _noughts(survey: Survey, check: Check, place: Place, unit: Unit) -> Leading | None:
    """The noughts before readings that may differ from place to place."""
    before = [r for r in survey.readings.get(check.id, {}).values() if r.place != place]
    decimals = _finest(before, unit)
    return leading_noughts([unit.number(r.value) for r in before], decimals) if decimals is not None else None


def _finest(readings: Iterable[Reading], unit: Unit) -> int | None:
    """The most decimals readings were typed with in a unit, None where none was typed in it."""
    return max((d for r in readings if (d := _decimals(r, unit)) is not None), default=None)


def _decimals_of_gauge(check: Check, survey: Survey, unit: Unit) -> int | None:
    """With how many decimals this kind of gauge was read last on this cylinder, None while it was not."""
    kinds = {gauge.id for gauge in survey.gauges.values() if gauge.kind == check.gauge}
    by_it = [r for at in survey.readings.values() for r in at.values() if r.gauge in kinds]
    return _decimals(max(by_it, key=attrgetter("at", "id")), unit) if by_it else None


def _decimals(reading: Reading, unit: Unit) -> int | None:
    """With how many decimals a reading was typed, None where it was typed in another unit or as a fraction."""
    step = unit.number(reading.step).normalize().as_tuple()
    return max(0, -int(step.exponent)) if step.digits == (1,) else None
