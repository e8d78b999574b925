"""Calculators of O-rings and their grooves: sizes, stretch, squeeze, fill, and which ring a groove takes."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.sources import STATUSES
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.sizes import Size, Spread
from inspect_app.trade.sealing import oring_sums, orings, ring_fit
from inspect_app.trade.sealing.orings import ORing
from inspect_app.trade.sealing.ring_fit import Band

TOPIC = "O-rings"


def _oring(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    ring = orings.ring_by_dash(dash=given.text("dash"), rings=handbook.orings)
    volume_ml = oring_sums.ring_volume_mm3(inside_mm=ring.inside_mm, section_mm=ring.section_mm) / 1000
    return (
        Result("dash", "Size", f"AS568-{ring.dash}"),
        Result("inside", "Inside diameter", ring.inside_mm, "length", ring.source),
        Result("inside_tolerance", "Tolerance of the inside diameter, ±", ring.inside_tolerance_mm, "length"),
        Result("section", "Cross-section", ring.section_mm, "length"),
        Result("section_tolerance", "Tolerance of the cross-section, ±", ring.section_tolerance_mm, "length"),
        Result("volume", "Volume", volume_ml, "volume"),
        Result("status", "Row of the table", STATUSES[ring.status]),
    )


def _ring(given: Given, handbook: Handbook) -> ORing:
    if given.has("dash"):
        if given.has("section"):
            raise Refusal(
                "The dash number says the cross-section; give the dash number, or inside and section."
            )
        return orings.ring_by_dash(dash=given.text("dash"), rings=handbook.orings)
    if not given.has("section"):
        raise Refusal(
            "A ring without a dash number needs its inside and its cross-section; section is missing."
        )
    tolerance_mm = given.number("tolerance")
    return ORing(
        "as measured", given.number("inside"), tolerance_mm, given.number("section"), tolerance_mm, "", ""
    )


def _spread(name: str, title: str, spread: Spread) -> tuple[Result, ...]:
    return (
        Result(name, title, spread.nominal, "percent"),
        Result(f"{name}_least", f"{title}, at its minimum", spread.least, "percent"),
        Result(f"{name}_greatest", f"{title}, at its maximum", spread.greatest, "percent"),
    )


def _squeeze(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    ring, service = _ring(given, handbook), given.text("service")
    inner, outer, width = (
        Size.plus_minus(given.number(name), given.number("tolerance")) for name in ("inner", "outer", "width")
    )
    fitted = ring_fit.fit_ring(
        ring=ring, inner=inner, outer=outer, width=width, off_centre_mm=given.number("off-centre")
    )
    remarks = []
    for quantity, spread, application in (
        ("squeeze", fitted.squeeze_percent, service),
        ("fill", fitted.fill_percent, service),
        ("stretch", fitted.stretch_percent, f"{given.text('groove-in')}-groove"),
    ):
        band = ring_fit.band_for(
            application=application, quantity=quantity, section_mm=ring.section_mm, bands=handbook.bands
        )
        remark = ring_fit.against_band(spread=spread, band=band)
        remarks.append(Result(f"{quantity}_band", "", remark.sentence, source=band.source))
    return (
        *_spread("squeeze", "Squeeze", fitted.squeeze_percent),
        *_spread("fill", "Fill", fitted.fill_percent),
        *_spread("stretch", "Stretch", fitted.stretch_percent),
        Result("fitted_section", "Cross-section as fitted", fitted.section_mm.nominal, "length"),
        *remarks,
    )


def _stretch(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    ring, on_mm = _ring(given, handbook), given.number("on")
    stretch = oring_sums.stretch_percent(inside_mm=ring.inside_mm, on_mm=on_mm)
    fitted_mm = oring_sums.fitted_section_mm(
        inside_mm=ring.inside_mm, section_mm=ring.section_mm, on_mm=on_mm
    )
    loss = oring_sums.handbook_section_loss_percent(stretch_percent=stretch)
    return (
        Result("stretch", "Stretch; below 0 it hangs loose", stretch, "percent"),
        Result("section", "Cross-section as fitted, volume kept", fitted_mm, "length"),
        Result("handbook_loss", "Cross-section lost by the handbooks' curve", loss, "percent"),
    )


def _groove_depth(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    depth_mm = oring_sums.depth_for_squeeze_mm(
        section_mm=given.number("section"), squeeze_percent=given.number("squeeze")
    )
    return (Result("depth", "Radial depth, clearance included", depth_mm, "length"),)


def _honed(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    squeeze = oring_sums.squeeze_after_honing(
        section_mm=given.number("section"),
        groove_mm=given.number("groove"),
        bore_mm=given.number("bore"),
        oversize_mm=given.number("oversize"),
    )
    return (
        Result("after", "Squeeze after honing", squeeze.after_percent, "percent"),
        Result("before", "Squeeze before", squeeze.before_percent, "percent"),
        Result("change", "Change", squeeze.change_percent, "percent"),
    )


def _ring_for(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    depth_mm, on_mm = given.number("depth"), given.number("on")
    matched = orings.match_gland(
        depth_mm=depth_mm,
        width_mm=given.maybe("width"),
        glands=[gland for gland in handbook.glands if gland.application == given.text("service")],
        depth_allowance_mm=handbook.allowances["gland-depth"],
        width_allowance_mm=handbook.allowances["gland-width"],
    )
    results = [Result("groove", "", matched.sentence)]
    for section_mm in matched.sections_mm:
        band = ring_fit.band_for(
            application=f"{given.text('groove-in')}-groove",
            quantity="stretch",
            section_mm=section_mm,
            bands=handbook.bands,
        )
        if not orings.rings_of_section(section_mm=section_mm, rings=handbook.orings):
            results.append(_by_dimensions(on_mm, section_mm, band))
            continue
        nearest = orings.nearest_rings(
            on_mm=on_mm,
            section_mm=section_mm,
            least_stretch_percent=band.least_percent,
            greatest_stretch_percent=band.greatest_percent,
            rings=handbook.orings,
        )
        for found in nearest:
            says = "" if found.in_band else ", outside the recommended stretch"
            title = f"AS568-{found.ring.dash} stretches{says}"
            results.append(
                Result(f"ring_{found.ring.dash}", title, found.stretch_percent, "percent", found.ring.source)
            )
    return tuple(results)


def _by_dimensions(on_mm: float, section_mm: float, band: Band) -> Result:
    """What to order of a section the inch table has no size of: never the nearest dash number."""
    least_mm, greatest_mm = oring_sums.free_inside_mm(
        on_mm=on_mm,
        least_stretch_percent=band.least_percent,
        greatest_stretch_percent=band.greatest_percent,
    )
    sentence = (
        f"Section {section_mm:.2f} mm has no inch size: order by dimensions, inside"
        f" {least_mm:.2f} to {greatest_mm:.2f} mm × section {section_mm:.2f} mm."
    )
    return Result(f"by_dimensions_{section_mm:.2f}", "", sentence, source=band.source)


_RING = (
    Key("dash", "text", "O-ring by dash number", note="325"),
    Key("inside", "length", "or its inside diameter"),
)
_SECTION = Key("section", "length", "Cross-section of the ring")
_SERVICE = Key(
    "service", "choice", "It seals moving parts, or parts at rest", options=("reciprocating", "static")
)
_GROOVE_IN = Key("groove-in", "choice", "The groove is in", "piston", options=("piston", "gland"))

CALCULATORS = (
    Calculator(
        "o-ring",
        TOPIC,
        "Dimensions of an O-ring by its dash number",
        (Key("dash", "text", "Dash number", note="325, -325, AS568-325"),),
        _oring,
        (orings.ring_by_dash, oring_sums.ring_volume_mm3),
        "read from the table; volume = π² (inside + cross-section) × cross-section² / 4",
        {"dash": "325"},
    ),
    Calculator(
        "squeeze",
        TOPIC,
        "Squeeze, fill and stretch of an O-ring in its groove at the worst of all tolerances",
        (
            *_RING,
            Key("section", "length", "Its cross-section, if no dash number", optional=True),
            Key("inner", "length", "Diameter it lies on: groove of a piston, or the rod"),
            Key("outer", "length", "Diameter around it: bore, or groove of a gland"),
            Key("width", "length", "Width of the groove"),
            Key("tolerance", "length", "Tolerance of each of these, either way", "0 mm"),
            Key("off-centre", "length", "The parts may lie off centre by", "0 mm"),
            _SERVICE,
            _GROOVE_IN,
        ),
        _squeeze,
        (ring_fit.fit_ring,),
        "squeeze = (cross-section as fitted − depth) / cross-section; fill = ring's volume / groove's volume",
        {
            "dash": "325",
            "inner": "38.1mm",
            "outer": "47.5234mm",
            "width": "7.239mm",
            "service": "reciprocating",
        },
        either=(("dash", "inside"),),
    ),
    Calculator(
        "stretch",
        TOPIC,
        "Stretch of an O-ring, and the cross-section it leaves",
        (
            *_RING,
            Key("section", "length", "Its cross-section, if no dash number", optional=True),
            Key("on", "length", "Diameter it lies on: groove of a piston, or the rod"),
            Key("tolerance", "length", "Tolerance of the ring, either way", "0 mm"),
        ),
        _stretch,
        (oring_sums.fitted_section_mm, oring_sums.handbook_section_loss_percent),
        "stretch = (diameter it lies on − inside) / inside; the cross-section keeps the ring's volume",
        {"inside": "37.465mm", "section": "5.334mm", "on": "38.1mm"},
        either=(("dash", "inside"),),
    ),
    Calculator(
        "groove-depth",
        TOPIC,
        "Radial depth of a groove for a wanted squeeze",
        (_SECTION, Key("squeeze", "percent", "Squeeze wanted")),
        _groove_depth,
        (oring_sums.depth_for_squeeze_mm,),
        "depth = cross-section × (1 − squeeze)",
        {"section": "3.53mm", "squeeze": "20%"},
    ),
    Calculator(
        "honed-squeeze",
        TOPIC,
        "Squeeze of a piston's O-ring before and after the bore is honed",
        (
            _SECTION,
            Key("groove", "length", "Groove diameter"),
            Key("bore", "length", "Bore before honing"),
            Key("oversize", "length", "Growth of the bore, on diameter"),
        ),
        _honed,
        (oring_sums.squeeze_after_honing,),
        "depth = (bore − groove) / 2; honing deepens it by half the oversize",
        {"section": "5.33mm", "groove": "90.6mm", "bore": "100mm", "oversize": "0.5mm"},
    ),
    Calculator(
        "o-ring-for",
        TOPIC,
        "Which O-ring a measured groove takes",
        (
            Key("on", "length", "Diameter the ring lies on: groove of a piston, or the rod"),
            Key("depth", "length", "Radial depth to the opposite wall"),
            Key("width", "length", "Width of the groove"),
            _SERVICE,
            _GROOVE_IN,
        ),
        _ring_for,
        (orings.match_gland, orings.nearest_rings, orings.rings_of_section, oring_sums.free_inside_mm),
        "cross-section by depth and width against the published grooves; then the sizes nearest in stretch",
        {"on": "90.6mm", "depth": "4.70mm", "width": "7.2mm", "service": "reciprocating"},
    ),
)
