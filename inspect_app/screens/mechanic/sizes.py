"""Sizes of a defect: the unit of a bare number, what was typed before, and what is hard to believe asked about."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.entries.job import Defect, Survey
from inspect_app.tables.cylinders import Measure
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import show_text
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS
from inspect_app.trade.measuring.wording import capital

FINE = ("depth", "stands-out", "gap")
"""What is small on a mark: a bare number of it is in micrometres or thousandths of an inch."""

DEEPEST_MM, SHALLOWEST_MM = Decimal(3), Decimal("0.002")
"""Beyond these a depth is asked about: no seal wall is that thin, no needle feels so little (from experience)."""


def kind_of(measure: Measure) -> str:
    """The kind of quantity a bare number is read as: thickness is in µm or thou, length in mm or inches."""
    if measure.kind == "count":
        return "count"
    return "thickness" if measure.id in FINE else "length"


def size_label(measure: Measure, system: str) -> str:
    """The box's label with the unit of a bare number."""
    title = capital(measure.title)
    unit = KINDS[kind_of(measure)].shown(system)[0].name
    return f"{title}, {unit}" if unit else title


def size_typed(measure: Measure, text: str, system: str) -> str:
    """What was typed with the unit its box shows, where none was typed.

    Args:
        measure: what was measured.
        text: as typed.
        system: "metric" or "inch".
    """
    text = text.strip()
    unit = KINDS[kind_of(measure)].shown(system)[0].name
    bare = bool(text) and not any(c.isalpha() or c in "\"'µ" for c in text)
    return f"{text} {unit}".strip() if bare else text


def typed_before(defect: Defect) -> dict[str, str]:
    """What stood in the fields of its form when a defect was kept, each number with its unit.

    Args:
        defect: the defect.
    """
    station = defect.station_typed or defect.place.station
    in_mm = bool(station) and not any(c.isalpha() or c in "\"'" for c in station)
    return {
        "station": f"{station} mm" if in_mm else station,
        "clock": defect.place.clock,
        "zone": defect.zone,
        "felt": defect.felt,
        "note": defect.note,
        **{name: size.typed for name, size in defect.sizes.items()},
    }


def size_doubt(measure: Measure, text: str, survey: Survey, system: str) -> str:
    """A question about a size that is hard to believe, "" for an ordinary one.

    Args:
        measure: what was measured.
        text: as typed, with its unit.
        survey: the state of the cylinder, for the length of its parts.
        system: "metric" or "inch", the units of the sentence.
    """
    if not text or measure.kind == "count":
        return ""
    try:
        mm = quantities.read(text, kind="length", system=system).value
    except Refusal:
        return ""  # said when it is kept
    if measure.id in FINE and not SHALLOWEST_MM <= mm <= DEEPEST_MM:
        how = "deeper than any seal surface survives" if mm > DEEPEST_MM else "less than a needle feels"
        return f"{capital(measure.title)} {text} is {how}."
    longest = max((one for name in ("stroke", "closed_length") if (one := survey.length(name))), default=None)
    if measure.id not in FINE and longest is not None and mm > longest:
        shown = show_text(longest, kind="length", system=system)
        return f"{capital(measure.title)} {text} is longer than the stroke, {shown}."
    return ""
