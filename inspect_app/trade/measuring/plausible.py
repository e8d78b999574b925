"""Asks about an unlikely reading and offers what was likely meant; it never refuses it and never judges.

Every cutoff here is this project's own choice and decides only whether to ask, never a verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.quantities import KINDS, show_text
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.slips import (
    Slip,
    decimals_of,
    deviation_slips,
    digit_slips,
    keyed_number,
    part_slips,
    scale_slips,
)

# How far from what is expected a reading is ordinary: a share of it plus so much (canonical unit).
ORDINARY = {
    "length": (Decimal("0.01"), Decimal("0.5")),
    "deviation": (Decimal(4), Decimal("0.5")),
    "temperature": (Decimal(0), Decimal(25)),
}
# Every other kind: within so many times what is expected.
ORDINARY_RATIO = 4
# What wear takes away may be any less, down to nothing: chrome worn through is a finding, no slip.
WORN_AWAY = ("thickness",)
# A reading is out of line with two or more neighbours beyond so many times their spread: the fewer where a
# plain slip explains it, the more where nothing does. Neighbours that agree better count as spread so much.
EXPLAINED_SPREADS = 3
UNEXPLAINED_SPREADS = 10
LEAST_SPREAD_MM = Decimal("0.02")


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question about a reading: the sentence to show, the canonical value likely meant, and the slip."""

    sentence: str
    meant: Decimal | None
    why: str


def doubt(
    value: Decimal,
    *,
    nominal: Decimal | None,
    tolerance_span_mm: Decimal | None,
    neighbours: Sequence[Decimal] = (),
    kind: str = "length",
    system: str = "metric",
) -> Doubt | None:
    """Whether to ask about a reading, and what was likely meant.

    expected = nominal, and the median of neighbours (of two at least where the nominal is known);
    ordinary = within the span of one of them; otherwise the nearest likely slip that would be ordinary

    Args:
        value: the reading, canonical unit.
        nominal: nominal size, canonical unit, or None when not known.
        tolerance_span_mm: how far from the nominal readings ordinarily are (canonical unit of other kinds);
            None takes 0.5 mm + 1 % of the size.
        neighbours: readings of the same size at other places, canonical unit.
        kind: a name in KINDS.
        system: "metric" or "inch", the units of the sentence.
    Returns: the question, or None when there is nothing to ask or nothing to compare with.
    Raises:
        Refusal: when a value is not finite, the span is not above 0 or the kind is unknown.
    Valid: finds slips against what is expected; a slip that stays inside the ordinary range is not seen.
    Source: plausible-bands

    >>> doubt(Decimal("6347"), nominal=Decimal(63), tolerance_span_mm=None).meant
    Decimal('63.47')
    """
    _require_usable(value, nominal, tolerance_span_mm, neighbours, kind)
    middle = sorted(neighbours)[len(neighbours) // 2] if neighbours else None
    expected = [nominal] if nominal is not None else []
    if middle is not None and (nominal is None or len(neighbours) > 1):
        expected.append(middle)

    def ordinary(reading: Decimal) -> bool:
        return any(_is_ordinary(reading, one, tolerance_span_mm, kind) for one in expected)

    if not expected or ordinary(value):
        return _out_of_line(value, nominal, neighbours, system) if kind == "length" else None
    meant, why = _likeliest(value, expected, ordinary, kind)
    return _question(value, expected[0], meant, why, kind, system)


def _require_usable(
    value: Decimal, nominal: Decimal | None, span: Decimal | None, neighbours: Sequence[Decimal], kind: str
) -> None:
    if kind not in KINDS:
        raise Refusal(f"{kind!r} is not a kind of quantity; use one of {', '.join(KINDS)}.")
    for number in (value, nominal, span, *neighbours):
        if number is not None and not number.is_finite():
            raise Refusal(f"{number} cannot be compared; give a finite number.")
    if span is not None and span <= 0:
        raise Refusal(f"The ordinary span is {span}; it must be greater than 0.")


def _is_ordinary(reading: Decimal, expected: Decimal, span: Decimal | None, kind: str) -> bool:
    away = abs(reading - expected)
    if span is not None:
        return away <= span
    if kind in ORDINARY:
        share, least = ORDINARY[kind]
        return away <= least + share * abs(expected)
    if expected == 0 or (kind in WORN_AWAY and reading <= expected):
        return True
    return 1 / Decimal(ORDINARY_RATIO) <= reading / expected <= ORDINARY_RATIO


def _likeliest(
    value: Decimal,
    expected: Sequence[Decimal],
    ordinary: Callable[[Decimal], bool],
    kind: str,
) -> tuple[Decimal | None, str]:
    """The slip that lands nearest to what is expected, of the first sort of slip that lands at all."""
    sorts = [scale_slips(value, kind=kind), digit_slips(value, kind=kind)]
    if kind == "length":
        sorts.append(part_slips(value, expected=expected[0]))
    for slips in sorts:
        landed = [slip for slip in slips if ordinary(slip[0])]
        if landed:
            return _nearest(landed, expected[-1])
    return None, "far from expected"


def _nearest(slips: Sequence[Slip], target: Decimal) -> Slip:
    return min(slips, key=lambda slip: abs(slip[0] - target))


def _out_of_line(
    value: Decimal, nominal: Decimal | None, neighbours: Sequence[Decimal], system: str
) -> Doubt | None:
    """A reading that is ordinary by itself, yet out of line with what its neighbours agree on."""
    if len(neighbours) < 2:
        return None
    middle = sorted(neighbours)[len(neighbours) // 2]
    spread = max(max(neighbours) - min(neighbours), LEAST_SPREAD_MM)
    away = abs(value - middle)
    if away <= EXPLAINED_SPREADS * spread:
        return None
    slips = list(digit_slips(value, kind="length"))
    if nominal is not None:
        slips += deviation_slips(value, nominal=nominal)
    finest = max(map(decimals_of, neighbours))
    landed = [slip for slip in slips if abs(slip[0] - middle) <= spread and decimals_of(slip[0]) <= finest]
    if landed:
        return _question(value, middle, *_nearest(landed, middle), "length", system)
    if away <= UNEXPLAINED_SPREADS * spread:
        return None
    read, near = as_keyed(value, "length", system), as_keyed(middle, "length", system)
    sentence = f"{read} stands alone beside {near}. A worn place, or a slip?"
    return Doubt(sentence, None, "far from its neighbours")


def _question(
    value: Decimal, expected: Decimal, meant: Decimal | None, why: str, kind: str, system: str
) -> Doubt:
    read, near = as_keyed(value, kind, system), as_keyed(expected, kind, system)
    if meant is None:
        return Doubt(f"{read} is far from {near}. Does the gauge say so?", None, why)
    likely = as_keyed(meant, kind, system)
    return Doubt(f"{read} is far from {near}. Was {likely} meant ({why})?", meant, why)


def as_keyed(value: Decimal, kind: str, system: str) -> str:
    """A value with unit and the digits it was keyed with, where these can be told; else with the usual ones.

    Args:
        value: canonical value.
        kind: a name in KINDS.
        system: "metric" or "inch".

    >>> as_keyed(Decimal("69.95"), "length", "metric"), as_keyed(Decimal("63.5"), "length", "inch")
    ('69.95 mm', '2.5 in')
    """
    unit, usual = KINDS[kind].shown(system)
    number = keyed_number(value, unit)
    if number is None:
        return show_text(value, kind=kind, system=system)
    keyed = max(0, -int(number.as_tuple().exponent))
    shown = max(decimals_of(number), min(keyed, usual))
    return show_text(value, kind=kind, system=system, decimals=shown)
