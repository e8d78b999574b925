"""Calculators of form: ovality, roundness and V-block of a section, taper and waves of a bore."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form import bore, bore_survey, roundness, v_block
from inspect_app.trade.form.roundness import clock_to_deg, deg_to_clock
from inspect_app.trade.form.v_block import Setting
from inspect_app.trade.measuring.refusal import Refusal

TOPIC = "Form"


def paired(given: Given, first: str, second: str) -> list[tuple[Decimal, Decimal]]:
    """Two lists as pairs, place and reading.

    Args:
        given: the values.
        first: key of the places.
        second: key of the readings.
    Raises:
        Refusal: the lists are of different length.
    """
    a, b = given.exacts(first), given.exacts(second)
    if len(a) != len(b):
        raise Refusal(f"{first} has {len(a)} items and {second} {len(b)}; give one for each.")
    return list(zip(a, b, strict=True))


def clock_words(angle_deg: float) -> str:
    """An angle clockwise from 12 as hours and minutes of a dial."""
    minutes = round(deg_to_clock(angle_deg) * 60)
    return f"{minutes // 60 % 12 or 12}:{minutes % 60:02d} o'clock"


def _ovality(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    diameters = given.exacts("diameters")
    size = bore.size_range(diameters)
    results = [
        Result("ovality", "Ovality, maximum minus minimum", roundness.ovality_mm(diameters), "deviation"),
        Result("least", "Minimum diameter", size.least_mm, "length"),
        Result("greatest", "Maximum diameter", size.greatest_mm, "length"),
        Result("mean", "Mean of the readings", round(bore.section_mean_mm(diameters), 5), "length"),
        Result("seal", "Diameter a seal has to fill", bore.seal_mean_mm(diameters), "length"),
    ]
    if given.has("clocks"):
        oval = roundness.fit_ovality(
            [(float(clock_to_deg(clock)), float(d)) for clock, d in paired(given, "clocks", "diameters")]
        )
        results += [
            Result("fitted_ovality", "Ovality of the fitted ellipse", oval.ovality_mm, "deviation"),
            Result("major_axis", "Its long axis", f"{clock_words(oval.major_axis_deg)} and opposite"),
        ]
    elif len(diameters) == 3:
        three_mm = roundness.ovality_of_three_mm(*map(float, diameters))
        results.append(Result("of_three", "Ovality, if read two clock hours apart", three_mm, "deviation"))
    return (*results, Result("caution", "", roundness.TWO_POINT.sentence, source=roundness.TWO_POINT.source))


def _roundness(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    radius_mm = given.exact("radius")
    places = [
        (float(clock_to_deg(clock)), float(radius_mm + reading))
        for clock, reading in paired(given, "clocks", "readings")
    ]
    zone, circle = roundness.minimum_zone_circle(places), roundness.least_squares_circle(places)
    return (
        Result("minimum_zone", "Roundness, minimum zone", zone.roundness_mm, "deviation"),
        Result("least_squares", "Roundness, least-squares circle", circle.roundness_mm, "deviation"),
        Result("peak", "Highest peak", circle.peak_mm, "deviation"),
        Result("valley", "Deepest valley", circle.valley_mm, "deviation"),
        Result("rms", "Root mean square", circle.rms_mm, "deviation"),
        Result("radius", "Radius of the least-squares circle", circle.radius_mm, "length"),
    )


def _v_block(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    lobes, angle, setting = given.count("lobes"), given.number("angle"), _setting(given)
    factor = v_block.v_block_factor(lobes=lobes, included_deg=angle, setting=setting)
    found_mm = v_block.roundness_from_v_block_mm(
        given.number("tir"), lobes=lobes, included_deg=angle, setting=setting
    )
    return (
        Result("roundness", "Roundness, if it has so many lobes", found_mm, "deviation"),
        Result("factor", "Dial factor", factor, "number"),
    )


def _setting(given: Given) -> Setting:
    return "rider" if given.text("setting") == "rider" else "summit"


def _choose_v(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    choice = v_block.choose_v([int(n) for n in given.exacts("lobes")], included_deg=given.numbers("angles"))
    return (
        Result("angle", "Take the V of", choice.included_deg, "angle"),
        Result("setting", "Dial", SETTINGS[choice.setting]),
        Result("factor", "Dial factor of the least visible lobe", choice.least_factor, "number"),
    )


SETTINGS = {"summit": "opposite the V", "rider": "inside the V"}


def _bore(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    sections = paired(given, "stations", "means")
    results = [
        Result("taper", "Taper, difference of the two ends", bore.taper_mm(sections), "deviation"),
        Result("taper_per_100", "Taper per 100 mm of length", bore.taper_mm_per_100(sections), "deviation"),
    ]
    if len(sections) >= 3:
        results += [
            Result("ballooning", "Ballooning", bore.ballooning_mm(sections), "deviation"),
            Result("bell_mouth", "Bell mouth", bore.bell_mouth_mm(sections), "deviation"),
        ]
    if len(sections) >= 5:
        results.append(
            Result("washboard", "Washboarding, peak to valley", bore.washboard_mm(sections), "deviation")
        )
    return tuple(results)


def _bore_grid(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stations, clocks, read = given.exacts("stations"), given.exacts("clocks"), given.exacts("diameters")
    places = [bore_survey.Place(station, clock_to_deg(clock)) for station in stations for clock in clocks]
    if len(places) != len(read):
        raise Refusal(
            f"{len(stations)} stations at {len(clocks)} clocks are {len(places)} diameters; {len(read)} given."
        )
    survey = bore_survey.survey_bore(dict(zip(places, read, strict=True)))
    figures = (
        ("ovality", "Worst ovality", survey.worst_ovality_mm),
        ("taper", "Taper", survey.taper_mm),
        ("ballooning", "Ballooning", survey.ballooning_mm),
        ("bell_mouth", "Bell mouth", survey.bell_mouth_mm),
        ("washboard", "Washboarding, peak to valley", survey.washboard_mm),
    )
    return (
        Result("least", "Minimum diameter", survey.size.least_mm, "length"),
        Result("least_station", "Station of the minimum diameter", survey.least_at.station_mm, "length"),
        Result("least_clock", "Clock of the minimum diameter", clock_words(float(survey.least_at.angle_deg))),
        Result("greatest", "Maximum diameter", survey.size.greatest_mm, "length"),
        Result(
            "greatest_station", "Station of the maximum diameter", survey.greatest_at.station_mm, "length"
        ),
        Result(
            "greatest_clock",
            "Clock of the maximum diameter",
            clock_words(float(survey.greatest_at.angle_deg)),
        ),
        *(Result(name, title, value, "deviation") for name, title, value in figures if value is not None),
        *(Result(f"cannot_say_{n}", "", says) for n, says in enumerate(survey.cannot_say, 1)),
    )


_CLOCKS = "Clocks, 12 up"
_STATIONS = "Stations, from one end"

CALCULATORS = (
    Calculator(
        "ovality",
        TOPIC,
        "Ovality of one section from its diameters, fitted if the clocks are given",
        (
            Key("diameters", "length", "Diameters of the section", many=True),
            Key("clocks", "number", _CLOCKS, optional=True, many=True, note="12, 1.5, 3; halves allowed"),
        ),
        _ovality,
        (
            roundness.ovality_mm,
            roundness.fit_ovality,
            roundness.ovality_of_three_mm,
            bore.size_range,
            bore.seal_mean_mm,
        ),
        "ovality = maximum − minimum diameter; fitted: least squares of mean + A cos 2t + B sin 2t",
        {"diameters": "100.012,100.031,100.028,100.009", "clocks": "12,1.5,3,4.5"},
    ),
    Calculator(
        "roundness",
        TOPIC,
        "Roundness of one section from radii or dial readings at clocks",
        (
            Key("clocks", "number", _CLOCKS, many=True, note="halves allowed"),
            Key("readings", "deviation", "Radii, or dial readings over the radius", many=True),
            Key("radius", "length", "Radius to which the readings are added", "0 mm"),
        ),
        _roundness,
        (roundness.minimum_zone_circle, roundness.least_squares_circle),
        "least-squares circle through the places; minimum zone: the two circles nearest each other that hold them",
        {"clocks": "12,3,6,9", "readings": "50.004,49.998,50.005,49.994"},
    ),
    Calculator(
        "v-block",
        TOPIC,
        "Roundness that a dial over a V-block means for a number of lobes",
        (
            Key("tir", "length", "Total dial reading over one turn"),
            Key("lobes", "count", "Lobes suspected"),
            Key("angle", "angle", "Angle of the V"),
            Key("setting", "choice", "Dial: opposite the V (summit) or inside (rider)", "summit",
                options=tuple(SETTINGS)),
        ),
        _v_block,
        (v_block.roundness_from_v_block_mm, v_block.v_block_factor),
        "roundness = TIR / K; opposite the V: K = 1 + cos(n (90° + a/2)) / sin(a/2), n lobes, a angle of the V",
        {"tir": "0.012mm", "lobes": "3", "angle": "90°"},
    ),
    Calculator(
        "choose-v",
        TOPIC,
        "Which V-block at hand shows the suspected lobes best",
        (
            Key("lobes", "count", "Lobes suspected", many=True),
            Key("angles", "angle", "Angles of the V-blocks at hand", many=True),
        ),
        _choose_v,
        (v_block.choose_v,),
        "the maximum of the minimum factors K over the lobes",
        {"lobes": "3,5,7", "angles": "60,90,120"},
    ),
    Calculator(
        "bore",
        TOPIC,
        "Taper, ballooning, bell mouth and waves of a bore from section means",
        (
            Key("stations", "length", _STATIONS, many=True),
            Key("means", "length", "Mean diameter at each", many=True),
        ),
        _bore,
        (bore.taper_mm, bore.taper_mm_per_100, bore.ballooning_mm, bore.bell_mouth_mm, bore.washboard_mm),
        "taper = end − other end; ballooning = widest inside − ends' mean; bell mouth = wider end − mean inside",
        {"stations": "50,250,450,650,850", "means": "100.02,100.05,100.09,100.06,100.04"},
    ),
    Calculator(
        "bore-grid",
        TOPIC,
        "Everything a grid of bore diameters says: size, ovality, taper, bell mouth, waves",
        (
            Key("stations", "length", _STATIONS, many=True),
            Key("clocks", "number", _CLOCKS, many=True),
            Key("diameters", "length", "Diameters, clock by clock at the first station, then the next", many=True),
        ),
        _bore_grid,
        (bore_survey.survey_bore,),
        "ovality in each section; taper, ballooning, bell mouth and waves from the section means",
        {
            "stations": "50,450,850",
            "clocks": "12,2,4",
            "diameters": "100.058,100.052,100.044,100.040,100.038,100.035,100.047,100.049,100.051",
        },
    ),
)  # fmt: skip
