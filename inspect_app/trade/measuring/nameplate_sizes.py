"""Asks about unlikely sizes on a nameplate and offers what was likely meant; it never refuses them and never judges.

Every cutoff here is this project's own choice and decides only whether to ask, never a verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from inspect_app.trade.measuring.plausible import Doubt, as_keyed
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.slips import Slip, keyed_number, scale_slips

# The nameplate: rod to bore between the ordinary area ratios 1.06 and 5, stroke and rated pressure.
ROD_TO_BORE = (Decimal("0.23"), Decimal("0.90"))
STROKE_MM = (Decimal(10), Decimal(15000))
RATED_MPA = (Decimal(3), Decimal(70))
# A metric and an inch size that lie as near as 50 and 2 in (1.6 %) are taken for each other.
TWINS_WITHIN = Decimal("0.02")
# Preferred bores and rods that are no multiple of 5 mm (of 10 mm above 100).
ODD_METRIC_SIZES_MM = (4, 6, 8, 12, 14, 16, 18, 22, 28, 32, 36, 56, 63, 125)


def nameplate_doubts(
    *,
    bore_mm: Decimal | None,
    rod_mm: Decimal | None,
    stroke_mm: Decimal | None,
    pressure_mpa: Decimal | None,
    system: str = "metric",
) -> tuple[Doubt, ...]:
    """What to ask about a cylinder's nominal data, each value alone and bore against rod.

    Args:
        bore_mm: nominal bore, mm, or None when not known.
        rod_mm: nominal rod diameter, mm, or None when not known.
        stroke_mm: nominal stroke, mm, or None when not known.
        pressure_mpa: rated pressure, MPa, or None when not known.
        system: "metric" or "inch", the units of the sentences.
    Returns: the questions; a value that is not above 0 is asked about alone, before all others.
    Source: plausible-bands

    >>> [ask.meant for ask in nameplate_doubts(bore_mm=Decimal("50.8"), rod_mm=None, stroke_mm=None,
    ...                                         pressure_mpa=None)]
    [Decimal('50')]
    """
    given = (("Bore", bore_mm), ("Rod", rod_mm), ("Stroke", stroke_mm), ("Rated pressure", pressure_mpa))
    empty = [name for name, value in given if value is not None and value <= 0]
    if empty:
        return tuple(Doubt(f"{name} is not above 0. Type it again.", None, "not above 0") for name in empty)
    asked = [
        _pair_doubt(bore_mm, rod_mm, system) if bore_mm and rod_mm else None,
        _twin_doubt("Bore", bore_mm, rod_mm, system) if bore_mm else None,
        _twin_doubt("Rod", rod_mm, bore_mm, system) if rod_mm else None,
        _stroke_doubt(stroke_mm, system) if stroke_mm else None,
        _pressure_doubt(pressure_mpa, system) if pressure_mpa else None,
    ]
    return tuple(one for one in asked if one is not None)


def _pair_doubt(bore_mm: Decimal, rod_mm: Decimal, system: str) -> Doubt | None:
    if _goes(rod_mm, bore_mm):
        return None
    rod, bore = (as_keyed(size, "length", system) for size in (rod_mm, bore_mm))
    relation = "is not smaller than" if rod_mm >= bore_mm else "is unusual for"
    said = f"Rod {rod} {relation} bore {bore}"
    slips = [("rod", *slip) for slip in scale_slips(rod_mm, kind="length") if _goes(slip[0], bore_mm)]
    slips += [("bore", *slip) for slip in scale_slips(bore_mm, kind="length") if _goes(rod_mm, slip[0])]
    for name, meant, why in slips:
        if _is_metric(meant) or _is_inch(meant):
            likely = as_keyed(meant, "length", system)
            return Doubt(f"{said}. Was {name} {likely} meant ({why})?", meant, why)
    if _goes(bore_mm, rod_mm):
        return Doubt(f"{said}. Were the two swapped?", None, "bore and rod swapped")
    return Doubt(f"{said}. Look at both again.", None, "rod against bore")


def _goes(rod_mm: Decimal, bore_mm: Decimal) -> bool:
    return ROD_TO_BORE[0] <= rod_mm / bore_mm <= ROD_TO_BORE[1]


def _is_metric(size_mm: Decimal) -> bool:
    return size_mm % 5 == 0 or size_mm in ODD_METRIC_SIZES_MM


def _is_inch(size_mm: Decimal) -> bool:
    return abs(_inch_size_mm(size_mm, 8) - size_mm) <= Decimal("0.01")


def _inch_size_mm(size_mm: Decimal, parts: int) -> Decimal:
    """The nearest size in halves, quarters or eighths of an inch."""
    part = Decimal("25.4") / parts
    return max(1, round(size_mm / part)) * part


def _metric_size_mm(size_mm: Decimal) -> Decimal:
    step = 5 if size_mm <= 100 else 10
    rounded = max(1, round(size_mm / step)) * step
    return Decimal(min((rounded, *ODD_METRIC_SIZES_MM), key=lambda one: abs(one - size_mm)))


def _twin_doubt(name: str, size_mm: Decimal, partner_mm: Decimal | None, system: str) -> Doubt | None:
    """A size that may belong to the other system: 50.8 is 2 in, and 50 is a metric bore."""
    metric, inch = _metric_size_mm(size_mm), _inch_size_mm(size_mm, 4)
    sizes = {"metric": f"{metric:f} mm", "inch": _inches(inch)}
    foreign, other = ("inch", inch) if system == "metric" else ("metric", metric)
    sizes[foreign] += f" ({as_keyed(other, 'length', system)})"
    twins = f"{sizes['metric']} is the metric size, {sizes['inch']} the inch size"
    partner_inch = partner_mm is not None and _is_inch(partner_mm) and not _is_metric(partner_mm)
    if _is_metric(size_mm):
        meant = inch if partner_inch and not _is_inch(size_mm) else None
    elif _is_inch(size_mm):
        meant = None if partner_inch else metric
    else:
        meant = min((metric, inch), key=lambda one: abs(one - size_mm))
    if meant is None or abs(meant - size_mm) > TWINS_WITHIN * size_mm:
        return None
    return Doubt(
        f"{name} {as_keyed(size_mm, 'length', system)}: {twins}. Which is it?", meant, "metric or inch size"
    )


def _inches(size_mm: Decimal) -> str:
    inches = Fraction(size_mm) / Fraction(254, 10)
    whole, rest = divmod(inches, 1)
    return f"{whole} {rest} in" if whole and rest else f"{inches} in"


def _stroke_doubt(stroke_mm: Decimal, system: str) -> Doubt | None:
    least, most = STROKE_MM
    if least <= stroke_mm <= most:
        return None
    slips = [
        (stroke_mm * Decimal("25.4"), "in keyed as mm"),
        (stroke_mm * 1000, "m keyed as mm"),
        (stroke_mm / 10, "decimal point"),
    ]
    landed = [slip for slip in slips if least <= slip[0] <= most]
    return _one_of("Stroke", stroke_mm, landed, "length", system)


def _pressure_doubt(pressure_mpa: Decimal, system: str) -> Doubt | None:
    least, most = RATED_MPA
    if least <= pressure_mpa <= most:
        return None
    slips = [slip for slip in scale_slips(pressure_mpa, kind="pressure") if slip[1] != "decimal point"]
    landed = [slip for slip in slips if least <= slip[0] <= most and _is_round_pressure(slip[0])]
    return _one_of("Rated pressure", pressure_mpa, landed, "pressure", system)


def _is_round_pressure(pressure_mpa: Decimal) -> bool:
    """Whether a plate would give it: a whole number of bar or psi."""
    units = KINDS["pressure"].units
    numbers = (keyed_number(pressure_mpa, units["bar"]), keyed_number(pressure_mpa, units["psi"]))
    return any(number is not None and number % 1 == 0 for number in numbers)


def _one_of(name: str, value: Decimal, landed: Sequence[Slip], kind: str, system: str) -> Doubt:
    """A question with every reading that would be ordinary; the one meant only when there is just one."""
    offers = " or ".join(f"{as_keyed(meant, kind, system)} ({why})" for meant, why in landed)
    asked = f"Was {offers} meant?" if offers else "Look at it again."
    meant, why = landed[0] if len(landed) == 1 else (None, "unusual")
    return Doubt(f"{name} {as_keyed(value, kind, system)} is unusual. {asked}", meant, why)
