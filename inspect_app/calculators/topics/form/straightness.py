"""Calculators of straightness: bow of a rod under the dial, where to press, what supports hide, sag."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.form.sections import clock_words, paired
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form import rod_axis, runout, straightness
from inspect_app.trade.form.rod_axis import SectionCentre
from inspect_app.trade.form.roundness import clock_to_deg
from inspect_app.trade.measuring.refusal import Refusal

TOPIC = "Straightness"


def _bow(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    tir_mm = given.exact("tir")
    results = [Result("bow", "Bow, half the reading", straightness.bow_from_tir_mm(tir_mm), "deviation")]
    if given.has("span"):
        per_metre = straightness.tir_per_metre(tir_mm=tir_mm, span_mm=given.exact("span"))
        results.append(
            Result("tir_per_metre", "Reading per length between supports", float(per_metre), "slope")
        )
    return tuple(results)


def _runout(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    turn = runout.runout(
        [(float(clock_to_deg(clock)), float(value)) for clock, value in paired(given, "clocks", "readings")]
    )
    results = [
        Result("bow", "Bow", turn.bow_mm, "deviation"),
        Result("high_side", "High side", clock_words(turn.high_deg)),
        Result("tir", "Reading, maximum minus minimum", turn.tir_mm, "deviation"),
    ]
    if turn.ovality_mm is not None and turn.oval_major_deg is not None:
        results += [
            Result("ovality", "Ovality of the section", turn.ovality_mm, "deviation"),
            Result("major_axis", "Its long axis", f"{clock_words(turn.oval_major_deg)} and opposite"),
        ]
    return (*results, *(Result(f"cannot_say_{n}", "", says) for n, says in enumerate(turn.cannot_say, 1)))


def _dial_survey(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    survey = straightness.survey_tir(paired(given, "stations", "tir"), span_mm=given.exact("span"))
    results = [
        Result("bow", "Maximum bow", survey.bow_mm, "deviation"),
        Result("station", "At station", survey.station_mm, "length"),
        Result("tir", "Maximum reading", survey.tir_mm, "deviation"),
        Result("tir_per_metre", "Reading per length between supports", float(survey.tir_mm_per_m), "slope"),
    ]
    if survey.bend_mm_per_m is not None:
        results.append(Result("bend", "Sharpest bend between stations", float(survey.bend_mm_per_m), "slope"))
    return tuple(results)


def _centres(given: Given) -> list[SectionCentre]:
    readings, clocks = paired(given, "stations", "tir"), given.exacts("high-sides")
    if len(clocks) != len(readings):
        raise Refusal(f"high-sides has {len(clocks)} items and tir {len(readings)}; give one for each.")
    centres = [
        SectionCentre(float(station), float(straightness.bow_from_tir_mm(tir)), float(clock_to_deg(clock)))
        for (station, tir), clock in zip(readings, clocks, strict=True)
    ]
    if not given.has("supports"):
        return centres
    supports = given.numbers("supports")
    if len(supports) != 2:
        raise Refusal(f"{len(supports)} supports were given; the rod lies on 2.")
    return rod_axis.from_supports(centres, supports_mm=(supports[0], supports[1]))


def _rod(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    centres = _centres(given)
    press, bend = rod_axis.where_to_press(centres), rod_axis.worst_local_bend(centres)
    plane = rod_axis.bend_plane(centres)
    return (
        Result(
            "zone",
            "Straightness, smallest cylinder",
            rod_axis.least_cylinder(centres).diameter_mm,
            "deviation",
        ),
        Result("bow", "Maximum bow off the line through the ends", press.bow_mm, "deviation"),
        Result("press_station", "Most bent at station", press.station_mm, "length"),
        Result("press_side", "Side that stands out there", clock_words(press.high_deg)),
        Result("bend", "Sharpest bend, as the dial reads it", bend.tir_mm_per_m, "slope"),
        Result("bend_station", "Sharpest bend at station", bend.station_mm, "length"),
        Result("plane", "The bend lies towards", clock_words(plane.high_deg)),
        Result("in_plane", "Straightness in that plane", plane.straightness_mm, "deviation"),
        Result("out_of_plane", "Out of that plane, root mean square", plane.out_of_plane_rms_mm, "deviation"),
        Result(
            "least_squares_zone",
            "Cylinder about the least-squares axis",
            rod_axis.least_squares_zone_mm(centres),
            "deviation",
        ),
        Result("caution", "", press.caution.sentence, source=press.caution.source),
    )


def _strip(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    profile = [(float(station), float(height)) for station, height in paired(given, "stations", "heights")]
    return (
        Result(
            "straightness",
            "Straightness, narrowest strip",
            straightness.straightness_mm(profile),
            "deviation",
        ),
    )


def _supports(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    seen = straightness.seen_share(inset_mm=given.number("inset"), length_mm=given.number("length"))
    results = [
        Result("arc", "Seen of an even arc", 100 * seen.arc, "percent"),
        Result("kink", "Seen of one kink at the middle", 100 * seen.kink, "percent"),
    ]
    if given.has("tir"):
        bow_mm = float(straightness.bow_from_tir_mm(given.exact("tir")))
        results += [
            Result("bow_if_arc", "Bow end to end, if an arc", bow_mm / seen.arc, "deviation"),
            Result("bow_if_kink", "Bow end to end, if a kink", bow_mm / seen.kink, "deviation"),
        ]
    return tuple(results)


def _sag(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    sag_mm = straightness.sag_mm(
        diameter_mm=given.number("diameter"),
        span_mm=given.number("span"),
        elastic_modulus_mpa=given.number("modulus"),
        density_kg_m3=given.number("density"),
    )
    return (Result("sag", "Sag at mid-span by its own weight", sag_mm, "deviation"),)


_TIR = Key("tir", "length", "Total dial reading over one turn")
_STATIONS = Key("stations", "length", "Stations, from one end", many=True)
_SPAN = Key("span", "length", "Support distance")

CALCULATORS = (
    Calculator(
        "bow",
        TOPIC,
        "Bow of a rod from the dial's total reading",
        (_TIR, Key("span", "length", _SPAN.title, optional=True)),
        _bow,
        (straightness.bow_from_tir_mm, straightness.tir_per_metre),
        "bow = TIR / 2; reading per metre = TIR / span",
        {"tir": "0.65mm", "span": "1300mm"},
    ),
    Calculator(
        "runout",
        TOPIC,
        "One turn under the dial taken apart into bow, its high side and ovality",
        (
            Key("clocks", "number", "Clocks on the rod, 12 up", many=True),
            Key("readings", "deviation", "Dial readings", many=True),
        ),
        _runout,
        (runout.runout,),
        "least squares of c + bow cos(t − high side) + ovality/4 cos 2(t − long axis), the last from 5 clocks up",
        {"clocks": "12,3,6,9", "readings": "0,0.14,0.24,0.10"},
    ),
    Calculator(
        "dial-survey",
        TOPIC,
        "Dial readings along a rod: maximum bow, per length, and the sharpest bend",
        (_STATIONS, Key("tir", "length", "Total dial reading at each", many=True), _SPAN),
        _dial_survey,
        (straightness.survey_tir, straightness.worst_bend_per_metre),
        "bow = maximum TIR / 2; bend = TIR off the line between its two neighbours, over their distance",
        {"stations": "0,325,650,975,1300", "tir": "0,0.4,0.65,0.3,0", "span": "1300mm"},
    ),
    Calculator(
        "straightness",
        TOPIC,
        "Straightness of a rod's axis, its sharpest bend, and where a press would act",
        (
            _STATIONS,
            Key("tir", "length", "Total dial reading at each", many=True),
            Key("high-sides", "number", "Clock of the high side at each", many=True),
            Key("supports", "length", "Stations of the two supports", optional=True, many=True),
        ),
        _rod,
        (
            rod_axis.least_cylinder,
            rod_axis.where_to_press,
            rod_axis.worst_local_bend,
            rod_axis.bend_plane,
            rod_axis.least_squares_zone_mm,
            rod_axis.from_supports,
            rod_axis.from_ends,
        ),
        "centres at TIR / 2 towards the high side; the smallest cylinder that holds them all",
        {"stations": "300,600,800", "tir": "0.3,0.5,0.26", "high-sides": "1,1,1", "supports": "0,1000"},
        cautions=("straightening",),
    ),
    Calculator(
        "straight-line",
        TOPIC,
        "Straightness of a line from heights along it",
        (_STATIONS, Key("heights", "deviation", "Heights", many=True)),
        _strip,
        (straightness.straightness_mm,),
        "the narrowest strip that holds the profile (minimum zone)",
        {"stations": "0,250,500,750,1000", "heights": "0,0.06,0.04,0.08,0"},
    ),
    Calculator(
        "supports",
        TOPIC,
        "How much of a bow the dial sees when the supports stand inside the ends",
        (
            Key("inset", "length", "Distance of each support from its end"),
            Key("length", "length", "Length of the rod"),
            Key("tir", "length", "Total dial reading at mid-span", optional=True),
        ),
        _supports,
        (straightness.seen_share,),
        "arc: (1 − 2 inset / length)²; kink: 1 − 2 inset / length",
        {"inset": "100mm", "length": "1000mm", "tir": "0.2mm"},
    ),
    Calculator(
        "sag",
        TOPIC,
        "How far a solid rod sags between its supports",
        (
            Key("diameter", "length", "Rod diameter"),
            _SPAN,
            Key("modulus", "modulus", "Modulus of elasticity", "206 GPa"),
            Key("density", "number", "Density, kg/m³", "7850"),
        ),
        _sag,
        (straightness.sag_mm,),
        "sag = 5 w L^4 / (384 E I), w weight per length",
        {"diameter": "50mm", "span": "2000mm"},
    ),
)  # fmt: skip
