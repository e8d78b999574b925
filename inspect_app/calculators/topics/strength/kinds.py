"""Calculators of rams, double-rod and telescopic cylinders, and of the rods an inch bore is met with."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.barrels import MODULUS
from inspect_app.calculators.topics.strength.hydraulics import BORE
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.inch_bores import rods_met
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength import moves
from inspect_app.trade.strength.moves import Move, Stage

TOPIC = "Rams, double-rod and telescopic cylinders"
ONE_WAY, BOTH_WAYS = WAYS = ("load", "oil")
_ML_PER_L = 1000


def _plunger(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stroke_mm = given.number("stroke")
    move = moves.plunger_move(plunger_mm=given.number("plunger"), stroke_mm=stroke_mm)
    results = [
        Result("push", "Push", move.forces_n(given.number("pressure"))[0], "force"),
        Result("area", "Area of the plunger", move.out_mm2, "area"),
        Result("oil", "Oil to push it out", move.out_l * _ML_PER_L, "oil volume"),
    ]
    if given.has("bore"):
        if given.number("bore") <= given.number("plunger"):
            raise Refusal("The plunger is as thick as its tube; it must be thinner.")
        held_l = moves.oil_held_l([(given.number("bore"), stroke_mm)])
        results.append(Result("held", "Oil in the tube with it out", held_l * _ML_PER_L, "oil volume"))
    return tuple(results)


def _double_rod(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rods = {"a": given.number("rod-a"), "b": given.number("rod-b")}
    move = moves.piston_move(
        bore_mm=given.number("bore"), rod_mm=rods["b"], stroke_mm=given.number("stroke"), through_mm=rods["a"]
    )
    to_b_n, to_a_n = move.forces_n(given.number("pressure"))
    return (
        Result("towards_b", "Push towards side B", to_b_n, "force"),
        Result("towards_a", "Push towards side A", to_a_n, "force"),
        Result("area_a", "Area on side A", move.out_mm2, "area"),
        Result("area_b", "Area on side B", move.back_mm2, "area"),
        Result("oil_a", "Oil of the stroke on side A", move.out_l * _ML_PER_L, "oil volume"),
        Result("oil_b", "Oil of the stroke on side B", move.back_l * _ML_PER_L, "oil volume"),
    )


def stages_given(given: Given) -> list[Stage]:
    """The stages as given, the largest first."""
    lists = [given.numbers(name) for name in ("outsides", "bores", "strokes")]
    if len({len(each) for each in lists}) > 1:
        raise Refusal("Give as many bores and strokes as outside diameters, the largest stage first.")
    return [Stage(*stage) for stage in zip(*lists, strict=True)]


def _telescope(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stages, both_ways = stages_given(given), given.text("back-by") == BOTH_WAYS
    found = moves.stage_moves(stages, both_ways=both_ways)
    pressure_mpa = given.number("pressure")
    results: list[Result] = []
    for n, move in enumerate(found, 1):
        out_n, back_n = move.forces_n(pressure_mpa)
        results.append(Result(f"stage_{n}_push", f"Stage {n} pushes", out_n, "force"))
        if both_ways:
            results.append(Result(f"stage_{n}_pull", f"Stage {n} pulls", back_n, "force"))
        if given.has("load"):
            needed_mpa = given.number("load") / move.out_mm2
            results.append(Result(f"stage_{n}_needs", f"Stage {n} lifts the load at", needed_mpa, "pressure"))
    held_l = moves.oil_held_l([(s.runs_in_mm, s.stroke_mm) for s in stages])
    return (
        *results,
        _oil("oil", "Oil to push all stages out", found, lambda m: m.out_l),
        *([_oil("oil_back", "Oil to bring them back", found, lambda m: m.back_l)] if both_ways else []),
        Result("held", "Oil in it with all stages out", held_l * _ML_PER_L, "oil volume"),
    )


def _oil(name: str, title: str, found: tuple[Move, ...], of: Callable[[Move], float]) -> Result:
    return Result(name, title, sum(of(m) for m in found) * _ML_PER_L, "oil volume")


def _telescope_column(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stages = stages_given(given)
    buckles_n = moves.staged_column_n(
        stages,
        tube_mm=given.number("tube"),
        tube_bore_mm=stages[0].runs_in_mm,
        closed_mm=given.number("closed"),
        elastic_mpa=given.number("modulus"),
    )
    results = [Result("buckles", "Buckles, all out, at", buckles_n, "force")]
    if given.has("pressure"):
        push_n = moves.stage_moves(stages, both_ways=False)[-1].forces_n(given.number("pressure"))[0]
        results.append(Result("push", "Push of the last stage", push_n, "force"))
        if push_n > 0:
            results.append(Result("times", "Times the push of the last stage", buckles_n / push_n, "number"))
    return tuple(results)


def _inch_rods(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    met = rods_met(bore_mm=given.number("bore"), bores=handbook.inch_bores)
    if met is None:
        known = ", ".join(f"{b.bore_in:g}" for b in handbook.inch_bores)
        raise Refusal(f"This bore is not in the list of inch bores: {known} in.")
    return (Result("rods", "Rods", met, "text"),)


_PRESSURE = Key("pressure", "pressure", "Pressure")
_STROKE = Key("stroke", "length", "Stroke")
STAGES = (
    Key("outsides", "length", "Outside diameter of each stage, the largest first", many=True),
    Key("bores", "length", "Bore each runs in, the outer tube's first", many=True),
    Key("strokes", "length", "Stroke of each", many=True),
)
_THREE = {"outsides": "125mm, 100mm, 70mm", "bores": "140mm, 110mm, 80mm", "strokes": "900mm, 900mm, 900mm"}

CALCULATORS = (
    Calculator(
        "ram",
        TOPIC,
        "Push and oil of a ram",
        (
            Key("plunger", "length", "Plunger diameter"),
            _STROKE,
            _PRESSURE,
            Key("bore", "length", "Bore of the tube, for the oil in it", optional=True),
        ),
        _plunger,
        (moves.plunger_move, moves.oil_held_l),
        "push = pressure × area of the plunger; the bore of the tube does not count",
        {"plunger": "90mm", "stroke": "1500mm", "pressure": "160bar", "bore": "105mm"},
        cautions=("test-open-port",),
    ),
    Calculator(
        "double-rod",
        TOPIC,
        "Pushes of a cylinder with a rod on both sides",
        (
            BORE,
            Key("rod-a", "length", "Rod on side A"),
            Key("rod-b", "length", "Rod on side B"),
            _STROKE,
            _PRESSURE,
        ),
        _double_rod,
        (moves.piston_move,),
        "push = pressure × (bore area − area of the rod on the side under pressure)",
        {"bore": "100mm", "rod-a": "70mm", "rod-b": "56mm", "stroke": "400mm", "pressure": "160bar"},
        cautions=("test-open-port",),
    ),
    Calculator(
        "telescope",
        TOPIC,
        "Push, pull and oil of a telescopic cylinder, stage by stage",
        (
            *STAGES,
            _PRESSURE,
            Key("back-by", "choice", "What brings it back", ONE_WAY, options=WAYS,
                note="load: sealed on the outside of each stage; oil: a piston seal on each stage"),
            Key("load", "force", "Load on it, for the pressure each stage needs", optional=True),
        ),
        _telescope,
        (moves.stage_moves, moves.oil_held_l),
        "load: pressure × area of the stage's outside; oil: out on the bore it runs in, back on the ring between",
        {**_THREE, "pressure": "160bar", "load": "50kN"},
        cautions=("test-open-port",),
    ),
    Calculator(
        "telescope-column",
        TOPIC,
        "Push at which a telescopic cylinder buckles with all stages out, pinned at both ends",
        (
            *STAGES,
            Key("tube", "length", "Outside diameter of the outer tube"),
            Key("closed", "length", "Length with all stages in"),
            Key("pressure", "pressure", "Pressure, for the push of the last stage", optional=True),
            MODULUS,
        ),
        _telescope_column,
        (moves.staged_column_n, moves.stage_moves),
        "least push at which the line of the bent column closes on both pins, each section with its own E I",
        {**_THREE, "tube": "160mm", "closed": "1300mm", "pressure": "160bar"},
    ),
    Calculator(
        "inch-rods",
        TOPIC,
        "Rods met with an inch bore",
        (BORE,),
        _inch_rods,
        (rods_met,),
        "a row of the list of inch bores",
        {"bore": "4in"},
    ),
)  # fmt: skip
