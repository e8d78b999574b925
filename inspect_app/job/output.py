"""What the nameplate says a cylinder can do: areas, forces, oil and column, each moving section by itself.

Reckoned from nominal sizes, without friction; judges nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from inspect_app.entries.job import Survey
from inspect_app.job.known_of_each import PINNED
from inspect_app.job.stages import stages_of
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.strength.column import Segment, round_section, stepped_column_force_n
from inspect_app.trade.strength.moves import (
    Move,
    oil_held_l,
    piston_move,
    plunger_move,
    stage_moves,
    staged_column_n,
)

Row = tuple[str, Sentence]
Named = dict[str, Move]
ML_PER_L = 1000
NOTE = "From the nominal sizes, without friction. The column is elastic, straight and pinned at both ends."
STAGES_NOTE = (
    "The largest stage goes out first and comes back last: the force falls at each change. The column is weakest with "
    "the last stage out; telescopic cylinders are outside the scope of ISO/TS 13725, so it is an estimate that leaves "
    "out the play at the glands."
)


def output_of(cylinder: Cylinder, survey: Survey) -> tuple[Row, ...]:
    """What it can do, as names and sentences; nothing while a size is not known or sizes do not fit together.

    Args:
        cylinder: the checklist, which says what the oil presses on.
        survey: the state of the cylinder, for its nameplate and answers.
    Source: fluid-power-areas, telescopic-areas, stepped-column
    """
    try:
        moves = MOVES[cylinder.areas](survey)
        return tuple(_rows(moves, cylinder, survey)) if moves else ()
    except Refusal:
        return ()


def moves_of(cylinder: Cylinder, survey: Survey) -> Named:
    """What moves, each by what it is called, "" for the one there is; empty while a size is not known or cannot be.

    Args:
        cylinder: the checklist, which says what the oil presses on.
        survey: the state of the cylinder, for its nameplate and answers.
    Source: fluid-power-areas, telescopic-areas
    """
    try:
        return MOVES[cylinder.areas](survey)
    except Refusal:
        return {}


def held_l(cylinder: Cylinder, survey: Survey) -> float | None:
    """The most oil that is under pressure at once, litres; None while a size is not known or sizes do not fit together.

    Args:
        cylinder: the checklist, which says what the oil presses on.
        survey: the state of the cylinder, for its nameplate and answers.
    Source: fluid-power-areas, telescopic-areas
    """
    try:
        moves = MOVES[cylinder.areas](survey)
        if cylinder.areas == "annulus":
            return max((m.out_l for m in moves.values()), default=None)
        if cylinder.areas.startswith("stages"):
            return oil_held_l([(s.runs_in_mm, s.stroke_mm) for s in stages_of(survey)])
        return oil_held_l([(_mm(survey, "bore"), _mm(survey, "stroke"))])
    except Refusal:
        return None


def oil_out_ml(cylinder: Cylinder, survey: Survey) -> float | None:
    """The oil it takes to push it all the way out, ml; None while a size is not known or sizes do not fit together.

    Args:
        cylinder: the checklist, which says what the oil presses on.
        survey: the state of the cylinder, for its nameplate and answers.
    Source: fluid-power-areas, telescopic-areas
    """
    return _out_ml(moves_of(cylinder, survey), cylinder) or None


def _out_ml(moves: Named, cylinder: Cylinder) -> float:
    """All stages one after the other; of two rods the way that takes more, as each is the way out."""
    litres = [m.out_l for m in moves.values()]
    return (max(litres, default=0.0) if cylinder.areas == "annulus" else sum(litres)) * ML_PER_L


def notes_of(cylinder: Cylinder) -> tuple[str, ...]:
    """What has to be said beside it.

    Args:
        cylinder: the checklist.
    """
    return (NOTE, STAGES_NOTE) if cylinder.areas.startswith("stages") else (NOTE,)


def _rows(moves: Named, cylinder: Cylinder, survey: Survey) -> Iterator[Row]:
    pressure = _mm(survey, "rated_pressure")
    back = cylinder.areas in ("bore", "stages both ways")
    for name, move in moves.items():
        out_n, back_n = move.forces_n(pressure) if pressure else (None, None)
        yield _called(name, "out" if cylinder.areas != "annulus" else ""), _force(out_n, move.out_mm2)
        if back:
            yield _called(name, "back"), _force(back_n, move.back_mm2)
    if cylinder.areas != "annulus":
        yield "Oil to push it out", Sentence("{oil}", {"oil": Amount(_out_ml(moves, cylinder), "volume")})
    if back:
        back_l = sum(m.back_l for m in moves.values())
        yield "Oil to bring it back", Sentence("{oil}", {"oil": Amount(back_l * ML_PER_L, "volume")})
    if column := _column(cylinder, survey):
        last = list(moves.values())[-1]
        yield "Buckles, all out, at", _against(column, last.forces_n(pressure)[0] if pressure else 0.0)


def _called(name: str, way: str) -> str:
    return f"{name} {way}".strip() if name else {"out": "Push", "back": "Pull"}[way]


def _force(force_n: float | None, area_mm2: float) -> Sentence:
    area = {"area": Amount(area_mm2, "area")}
    if force_n is None:
        return Sentence("{area}; the rated pressure is not known", area)
    return Sentence("{force} at rated pressure, on {area}", {**area, "force": Amount(force_n, "force")})


def _against(column_n: float, push_n: float) -> Sentence:
    force = {"force": Amount(column_n, "force")}
    if not push_n:
        return Sentence("{force}", force)
    return Sentence("{force}, {times} times its push", {**force, "times": f"{column_n / push_n:.1f}"})


def _mm(survey: Survey, name: str) -> float:
    """A quantity off the nameplate, 0 where it is not known."""
    return float(survey.length(name) or 0)


def _piston(survey: Survey) -> Named:
    bore, rod, stroke = (_mm(survey, name) for name in ("bore", "rod", "stroke"))
    return {"": piston_move(bore_mm=bore, rod_mm=rod, stroke_mm=stroke)}


def _plunger(survey: Survey) -> Named:
    return {"": plunger_move(plunger_mm=_mm(survey, "rod"), stroke_mm=_mm(survey, "stroke"))}


def _both_rods(survey: Survey) -> Named:
    bore, stroke = _mm(survey, "bore"), _mm(survey, "stroke")
    a, b = _mm(survey, "side-a-rod"), _mm(survey, "side-b-rod")
    if not (a and b):
        return {}
    return {
        "Towards side B": piston_move(bore_mm=bore, rod_mm=b, stroke_mm=stroke, through_mm=a),
        "Towards side A": piston_move(bore_mm=bore, rod_mm=a, stroke_mm=stroke, through_mm=b),
    }


def _telescope(both_ways: bool) -> Callable[[Survey], Named]:
    def moves(survey: Survey) -> Named:
        found = stage_moves(stages_of(survey), both_ways=both_ways)
        return {f"Stage {n}": move for n, move in enumerate(found, 1)}

    return moves


MOVES: Mapping[str, Callable[[Survey], Named]] = {
    "bore": _piston,
    "rod": _plunger,
    "annulus": _both_rods,
    "stages": _telescope(both_ways=False),
    "stages both ways": _telescope(both_ways=True),
}
"""What is pushed, by what the oil presses on."""


def _column(cylinder: Cylinder, survey: Survey) -> float:
    """The push it buckles at, N; 0 where that is not known, or its ends are not pinned, or both rods are held."""
    tube, bore, closed = (_mm(survey, name) for name in ("outside_diameter", "bore", "closed_length"))
    ends = [survey.answers.get(end) for end in ("rod-end", "cap-end")]
    pinned = all(end and end.text in PINNED for end in ends)
    if cylinder.areas == "annulus" or not (pinned and tube > bore and bore and closed):
        return 0.0
    if cylinder.areas.startswith("stages"):
        return staged_column_n(stages_of(survey), tube_mm=tube, tube_bore_mm=bore, closed_mm=closed)
    rod = round_section(outside_mm=_mm(survey, "rod"))
    barrel = round_section(outside_mm=tube, inside_mm=bore)
    out = Segment(rod.inertia_mm4, _mm(survey, "stroke"))
    return stepped_column_force_n([out, Segment(barrel.inertia_mm4, closed)])
