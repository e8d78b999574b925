"""How far a rod is from straight, from a dial on the turning rod; knows no limits and no part."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from inspect_app.trade.refusal import Refusal, require_finite, require_not_negative, require_positive

MM_PER_M = 1000


def bow_from_tir_mm(tir_mm: Decimal) -> Decimal:
    """Bow of a round section from the dial's total reading over one turn, mm.

    e = TIR / 2 (e: distance of the section's centre from the axis it turns about)

    Args:
        tir_mm: total indicator reading, greatest less least over one turn, mm.
    Raises:
        Refusal: a negative reading.
    Valid: a round section; ovality and lobes are read as if they were bow.
    Source: tir-twice-eccentricity

    >>> bow_from_tir_mm(Decimal("0.24"))
    Decimal('0.12')
    """
    require_not_negative(tir_mm=float(tir_mm))
    return tir_mm / 2


def tir_per_metre(*, tir_mm: Decimal, span_mm: Decimal) -> Decimal:
    """Dial reading for each metre between the supports, mm/m.

    Args:
        tir_mm: total indicator reading between the supports, mm.
        span_mm: distance between the supports, mm.
    Raises:
        Refusal: a negative reading, or a span not greater than 0.
    Valid: a convention: a bow that is an arc grows with the square of the span.
    Source: tir-per-metre

    >>> tir_per_metre(tir_mm=Decimal("0.65"), span_mm=Decimal(1300))  # the guide's worked example
    Decimal('0.5')
    """
    require_not_negative(tir_mm=float(tir_mm))
    require_positive(span_mm=float(span_mm))
    return tir_mm * MM_PER_M / span_mm


def worst_bend_per_metre(sections: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """Greatest local bend, as dial reading per metre between neighbouring stations, mm/m.

    For each inner station: |TIR - straight line between the TIRs of its two neighbours|, over the
    distance between those neighbours.

    Args:
        sections: (station mm, TIR mm) in any order; a support counts as a station that reads 0.
    Raises:
        Refusal: fewer than 3 stations, a station given twice, or a negative reading.
    Valid: bends that lie in one plane and to one side; directions are not in a TIR.
    Source: bend-of-three-stations

    >>> worst_bend_per_metre([(Decimal(0), Decimal(0)), (Decimal(650), Decimal("0.65")),
    ...                       (Decimal(1300), Decimal(0))])
    Decimal('0.5')
    """
    if len(sections) < 3:
        raise Refusal(f"{len(sections)} stations were given; a local bend needs at least 3.")
    for number, (station_mm, tir_mm) in enumerate(sections, 1):
        require_finite(**{f"station {number} (mm)": float(station_mm)})
        require_not_negative(**{f"TIR at station {station_mm} (mm)": float(tir_mm)})
    ordered = sorted(sections)
    worst = Decimal(0)
    for (z0, t0), (z1, t1), (z2, t2) in zip(ordered, ordered[1:], ordered[2:], strict=False):
        if z0 == z1 or z1 == z2:
            raise Refusal(f"Station {z1} mm is given twice; give each station once.")
        chord_mm = z2 - z0
        off_line_mm = t1 - (t0 * (z2 - z1) + t2 * (z1 - z0)) / chord_mm
        worst = max(worst, abs(off_line_mm) * MM_PER_M / chord_mm)
    return worst
