"""The tolerance a groove is held to: that of the standard housing it is, found by place, diameter and width.

A groove that is no listed housing has no limit here. A flat allowance would reject sound grooves of one
standard and pass worn ones of another.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.entries.job import Survey
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Groove
from inspect_app.tables.limits import HousingTolerance
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence, joined
from inspect_app.trade.measuring.wording import inside
from inspect_app.trade.sealing.housings import Allowed
from inspect_app.trade.sealing.orings import Gland, match_gland

TYPED_WITHIN_MM = Decimal("0.05")
"""A nominal size somebody typed names a housing when it lies so near to its nominal: figures are rounded."""

Limits = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class Dimension:
    """A diameter or width of a groove, mm: the nominal size somebody `typed`, or else what was read."""

    value: Decimal
    typed: bool


@dataclass(frozen=True, slots=True)
class _Row:
    """One housing: its name, and nominal and limits of groove diameter and width, mm."""

    name: Said | str
    diameter: Decimal
    diameter_limits: Limits
    width: Decimal
    width_limits: Limits


def limits_of_groove(
    check: Check, rule: HousingTolerance, survey: Survey, tables: Tables
) -> tuple[Decimal, Decimal, Said | str]:
    """Lower and upper limit of a check of a groove's diameter or width, mm, and the housing's name.

    Args:
        check: the check, which names its groove.
        rule: which dimension is judged, and how far wear may have moved it.
        survey: the state of the cylinder, for nominal sizes typed and readings taken.
        tables: the checklist and the standard housings.
    Raises:
        Refusal: what is still missing, which of several housings to choose, or that it is made to measure.
    """
    cylinder = tables.cylinders[survey.cylinder]
    groove = cylinder.groove(check.groove)
    if groove is None:
        raise Refusal(f"the checklist has no groove {check.groove!r}")
    partner = next((c for c in cylinder.checks if c.groove == check.groove and c.id != check.id), None)
    own, other = _dimension(check.id, survey), _dimension(partner.id, survey) if partner else None
    diameter, width = (own, other) if rule.dimension == "diameter" else (other, own)
    against = _dimension(groove.sealed, survey)
    sealed = against.value if against else survey.length(groove.sealed)
    return groove_limits(groove, rule, sealed, diameter, width, tables)


@dataclass(frozen=True, slots=True)
class Housed:
    """A groove by the standard housing it is: name, what it seals on, nominals and limits as new, mm.

    `diameter_check` and `width_check` are the checks that measure it.
    """

    groove: Groove
    diameter_check: Check
    width_check: Check
    sealed: Decimal
    name: Said | str
    diameter: Decimal
    diameter_limits: Limits
    width: Decimal
    width_limits: Limits


def housed(groove: Groove, survey: Survey, tables: Tables) -> Housed | None:
    """The standard housing a groove is, None where it was not measured or is none.

    Args:
        groove: the groove.
        survey: the state of the cylinder.
        tables: the checklist and the standard housings.
    """
    by_dimension = {
        limit.rule.dimension: check
        for check in tables.cylinders[survey.cylinder].checks
        if check.groove == groove.id
        for limit in tables.limits_of.get(check.id, ())
        if isinstance(limit.rule, HousingTolerance)
    }
    across, along = by_dimension.get("diameter"), by_dimension.get("width")
    if across is None or along is None:
        return None
    diameter, width = _dimension(across.id, survey), _dimension(along.id, survey)
    against = _dimension(groove.sealed, survey)
    sealed = against.value if against else survey.length(groove.sealed)
    if sealed is None or diameter is None or width is None:
        return None
    try:
        row = _row_of(groove, sealed, diameter, width, tables)
    except Refusal:
        return None
    return Housed(
        groove,
        across,
        along,
        sealed,
        row.name,
        row.diameter,
        row.diameter_limits,
        row.width,
        row.width_limits,
    )


def dimension_of(check: Check, tables: Tables) -> str:
    """Which dimension of its groove a check measures, "diameter" or "width"; "" for a check of no groove.

    Args:
        check: the check.
        tables: the tables, for the limits that say so.
    """
    rules = [limit.rule for limit in tables.limits_of.get(check.id, ()) if check.groove]
    return next((rule.dimension for rule in rules if isinstance(rule, HousingTolerance)), "")


def listed_sizes(groove: Groove, dimension: str, survey: Survey, tables: Tables) -> tuple[Decimal, ...]:
    """The nominal diameters or widths of the standard housings a groove may be, mm, the smallest first.

    Where the nominal of its other dimension was typed, of those housings alone.

    Args:
        groove: the groove; static ones have glands with a range instead, and none here.
        dimension: "diameter" or "width".
        survey: the state of the cylinder, for the size sealed and the nominals typed.
        tables: the checklist and the standard housings.
    """
    sealed = survey.length(groove.sealed)
    if sealed is None:
        return ()
    checks = [c for c in tables.cylinders[survey.cylinder].checks if c.groove == groove.id]
    typed = {dimension_of(c, tables): survey.nominals.get(c.id) for c in checks}
    found = set()
    for row in _rows(groove, sealed, tables):
        sizes = {"diameter": row.diameter, "width": row.width}
        others = ((sizes[name], field.value) for name, field in typed.items() if field and name != dimension)
        if all(value is not None and abs(size - value) <= TYPED_WITHIN_MM for size, value in others):
            found.add(sizes[dimension])
    return tuple(sorted(found))


def _dimension(check_id: str, survey: Survey) -> Dimension | None:
    """The nominal size typed at a check, or else the mean of its readings, to the hundredth."""
    typed = survey.nominals.get(check_id)
    if typed and typed.value is not None:
        return Dimension(typed.value, True)
    values = [r.value for r in survey.readings.get(check_id, {}).values()]
    return Dimension(round(sum(values, Decimal(0)) / len(values), 2), False) if values else None


def groove_limits(
    groove: Groove,
    rule: HousingTolerance,
    sealed: Decimal | None,
    diameter: Dimension | None,
    width: Dimension | None,
    tables: Tables,
) -> tuple[Decimal, Decimal, Said | str]:
    """Lower and upper limit of a groove's diameter or width, mm, and the housing's name.

    Args:
        groove: which groove it is.
        rule: which dimension is judged, and how far wear may have moved it.
        sealed: nominal size of the rod or bore, or the size of the land, that its seal works on, mm.
        diameter: the groove's diameter.
        width: its width.
        tables: the standard housings.
    Raises:
        Refusal: what is still missing, which of several housings to choose, or that it is made to measure.
    Source: housing-match, groove-wear
    """
    if sealed is None:
        field = tables.nameplate.get(groove.sealed)
        raise Refusal(
            f"the {inside(field.title) if field else 'land its ring seals against'} is not known yet"
        )
    if diameter is None or width is None:
        raise Refusal("diameter and width name the housing together: measure both, or type their nominals")
    row = _row_of(groove, sealed, diameter, width, tables)
    if rule.dimension == "width":
        low, high = row.width_limits
        return low - rule.other, high + rule.wear, row.name
    low, high = row.diameter_limits
    below, above = (rule.other, rule.wear) if diameter.value > sealed else (rule.wear, rule.other)
    return low - below, high + above, row.name


def _row_of(groove: Groove, sealed: Decimal, diameter: Dimension, width: Dimension, tables: Tables) -> _Row:
    """The one housing that fits both dimensions, or a refusal."""
    outward = diameter.value > sealed
    rows = (
        _static(sealed, diameter, width, tables)
        if groove.housing == "static"
        else _rows(groove, sealed, tables)
    )
    wear = {name: Decimal(str(tables.allowances[f"groove-wear-{name}"])) for name in ("depth", "width")}
    fitting = [r for r in rows if _fits(r, diameter, width, outward, wear)]
    return _the_one(fitting, sealed, diameter, width)


def _rows(groove: Groove, sealed: Decimal, tables: Tables) -> list[_Row]:
    """The listed housings of this place on a rod or bore of this nominal size, and of no other."""
    near_mm = float(sealed)
    return [
        _Row(
            str(housing.designation) + ("" if housing.status == "read" else " (quoted from memory)"),
            _decimal(housing.groove.nominal_mm),
            _limits(housing.groove),
            _decimal(housing.width.nominal_mm),
            _limits(housing.width),
        )
        for housing in tables.housings_of.get((groove.cut_in, groove.housing), ())
        if abs(housing.sealed.nominal_mm - near_mm) < 1  # the exact comparison is slow, the tables long
        and abs(_decimal(housing.sealed.nominal_mm) - sealed) <= TYPED_WITHIN_MM
    ]


def _limits(allowed: Allowed) -> Limits:
    nominal = _decimal(allowed.nominal_mm)
    return nominal + _decimal(allowed.lower_mm), nominal + _decimal(allowed.upper_mm)


def _static(sealed: Decimal, diameter: Dimension, width: Dimension, tables: Tables) -> list[_Row]:
    """The O-ring section a static groove is for, its published glands taken together: they differ a little."""
    typed = diameter.typed and width.typed
    found = match_gland(
        depth_mm=float(abs(sealed - diameter.value) / 2),
        width_mm=float(width.value),
        glands=[g for g in tables.glands if g.application == "static"],
        depth_allowance_mm=float(TYPED_WITHIN_MM / 2) if typed else tables.allowances["gland-depth"],
        width_allowance_mm=float(TYPED_WITHIN_MM) if typed else tables.allowances["gland-width"],
    )
    return [_gland(section, found.glands, sealed, diameter, width) for section in found.sections_mm]


def _gland(
    section_mm: float, glands: Iterable[Gland], sealed: Decimal, diameter: Dimension, width: Dimension
) -> _Row:
    same = [g for g in glands if round(g.section_mm, 2) == section_mm]
    shallow = _decimal(min(g.depth_least_mm for g in same))
    deep = _decimal(max(g.depth_greatest_mm for g in same))
    side = 1 if diameter.value > sealed else -1
    ends = sorted((sealed + side * 2 * shallow, sealed + side * 2 * deep))
    widths = (
        _decimal(min(g.width_least_mm for g in same)),
        _decimal(max(g.width_greatest_mm for g in same)),
    )
    name = Sentence("static O-ring groove for section {section}", {"section": Amount(section_mm, "length")})
    return _Row(name, diameter.value, (ends[0], ends[1]), width.value, widths)


def _fits(row: _Row, diameter: Dimension, width: Dimension, outward: bool, wear: dict[str, Decimal]) -> bool:
    on_diameter = 2 * wear["depth"]
    return _is(diameter, row.diameter, row.diameter_limits, on_diameter, on_diameter) and _is(
        width, row.width, row.width_limits, wear["depth"], wear["width"]
    )


def _is(dimension: Dimension, nominal: Decimal, limits: Limits, below: Decimal, above: Decimal) -> bool:
    if dimension.typed:
        return abs(dimension.value - nominal) <= TYPED_WITHIN_MM
    return limits[0] - below <= dimension.value <= limits[1] + above


def _the_one(fitting: list[_Row], sealed: Decimal, diameter: Dimension, width: Dimension) -> _Row:
    if len(fitting) == 1:
        return fitting[0]
    size = Sentence(
        "Ø {diameter} x {width} on {sealed}",
        {
            "diameter": Amount(diameter.value, "length"),
            "width": Amount(width.value, "length"),
            "sealed": Amount(sealed, "length"),
        },
    )
    if fitting:
        names = joined((row.name for row in fitting), ", ")
        raise Refusal(
            "{size} may be {names}: type the nominal sizes of the one it is", size=size, names=names
        )
    raise Refusal("made to measure: no listed housing is {size}; type the drawing's limit", size=size)


def _decimal(number: float) -> Decimal:
    return Decimal(str(number))
