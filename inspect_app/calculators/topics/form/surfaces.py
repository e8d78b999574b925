"""Calculators of surfaces: roughness labels, cut-off, roughness of a trace, thickness of a coating."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form import coating, texture
from inspect_app.trade.form.texture import RaStep

TOPIC = "Surface"


def _roughness(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    steps = handbook.ra_steps
    if given.has("label"):
        grade = texture.grade_by_uin_label(given.exact("label"), steps=steps)
        ra_um = grade.ra_um
    else:
        ra_um = given.exact("ra")
        grade = texture.grade_of(ra_um, steps=steps)
    setting: RaStep = texture.cut_off_for(ra_um, steps=steps)
    measured_uin = texture.uin_from_um(ra_um)
    return (
        Result("grade", "Grade", grade.grade, source=grade.source),
        Result("grade_ra", "Ra of the grade", grade.ra_um, "roughness"),
        Result("label", "Its label in microinches, rounded", f"{grade.ra_uin} µin"),
        Result("exact", "Ra converted exactly", f"{ra_um.normalize():f} µm = {measured_uin:.2f} µin"),
        Result("cut_off", "Cut-off, unless the drawing says", f"{setting.cut_off_mm} mm"),
        Result("evaluation", "Evaluation length", f"{setting.evaluation_mm} mm"),
    )


def _microinches(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return (Result("ra", "Ra", texture.um_from_uin(given.exact("uin")), "roughness"),)


def _trace(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    heights = [1000 * height_mm for height_mm in given.numbers("heights")]
    return (
        Result("ra", "Ra, mean", texture.ra_um(heights), "roughness"),
        Result("rq", "Rq, root mean square", texture.rq_um(heights), "roughness"),
        Result("rz", "Rz", texture.rz_um(heights, sections=given.count("sections")), "roughness"),
        Result("rt", "Rt, highest peak to deepest valley", texture.rt_um(heights), "roughness"),
    )


def _coating(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    readings = given.exacts("readings")
    results = [
        Result("least", "Minimum, wears through first", coating.least_um(readings), "thickness"),
        Result("mean", "Mean", coating.mean_um(readings), "thickness"),
    ]
    if given.text("one-place") == "yes":
        repeats = coating.repeats_um(readings)
        agree = "agree: keep their mean" if repeats.agree else "differ too much: clean, set the gauge, repeat"
        results += [
            Result("scatter", "Scatter", repeats.scatter_um, "thickness"),
            Result("allowed", "Scatter allowed", repeats.allowed_um, "thickness"),
            Result("agree", "The repeats", agree),
        ]
    return tuple(results)


CALCULATORS = (
    Calculator(
        "roughness",
        TOPIC,
        "Roughness grade, its labels and the cut-off, from Ra or a microinch label",
        (
            Key("ra", "roughness", "Ra read"),
            Key("label", "number", "Figure on an inch drawing, µin"),
        ),
        _roughness,
        (texture.grade_of, texture.grade_by_uin_label, texture.cut_off_for, texture.uin_from_um),
        "the smoothest grade whose Ra is not exceeded; a label of 16 µin means 0.4 µm, not 0.406",
        {"ra": "0.35µm"},
        either=(("ra", "label"),),
    ),
    Calculator(
        "microinches",
        TOPIC,
        "A measured roughness in microinches as micrometres",
        (Key("uin", "number", "Roughness measured, µin"),),
        _microinches,
        (texture.um_from_uin,),
        "1 µin = 0.0254 µm",
        {"uin": "32"},
    ),
    Calculator(
        "trace",
        TOPIC,
        "Ra, Rq, Rz and Rt of the heights along a trace",
        (
            Key("heights", "height", "Heights, evenly spaced, filtered", many=True),
            Key("sections", "count", "Equal lengths for Rz", "5"),
        ),
        _trace,
        (texture.ra_um, texture.rq_um, texture.rz_um, texture.rt_um),
        "from the mean line: Ra mean of the distances, Rq root of their mean square, Rz mean height of the sections",
        {"heights": "1.2,-0.8,0.5,-1.6,2.1,-0.4,-1.1,0.9,0.3,-0.7,-1.3,0.9 µm", "sections": "5"},
    ),
    Calculator(
        "coating",
        TOPIC,
        "Thickness of chrome from readings, and whether repeats agree",
        (
            Key("readings", "thickness", "Thickness readings", many=True),
            Key("one-place", "choice", "All taken at one place", "no", options=("yes", "no")),
        ),
        _coating,
        (coating.repeats_um,),
        "repeats agree when they scatter by no more than 5 % of their mean or 2 µm, whichever is more",
        {"readings": "24,25,26", "one-place": "yes"},
    ),
)
