"""The drawings: everything inside its frame, true to scale where they say so, verdicts told by shape.

Where a number is expected it follows from plane geometry (a linear scale, a circle's clock) or from the
definition named beside it, never from running the drawing.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log import Log

from inspect_app.entries.job import Place
from inspect_app.figures.bore_map import bore_map
from inspect_app.figures.bow import bow_drawing
from inspect_app.figures.limit_scale import limit_scale
from inspect_app.figures.of_check import defects_drawing
from inspect_app.figures.outlines import OUTLINES, Frame
from inspect_app.figures.ovality import ovality_drawing
from inspect_app.figures.part import part_drawing
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon
from inspect_app.figures.stations import nice_factor
from inspect_app.figures.strokes import hatch, span_of
from inspect_app.tables import load
from inspect_app.trade.measuring.decision import Verdict, decide

SIZES = ((328.0, 84.0), (340.0, 110.0), (500.0, 128.0), (700.0, 160.0))
ROD = [Place(s, c) for s in ("0", "600", "1200") for c in ("12", "3")]
D = Decimal


CALLED = {"gland-end": "gland end", "cap-end": "cap end", "left-face": "left face"}
"""What ids of stations are called."""


def outside(drawing: Drawing) -> list[object]:
    """The shapes that leave the frame by more than the width of a stroke."""
    found: list[object] = []
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            xs, ys = [shape.x1, shape.x2], [shape.y1, shape.y2]
        elif isinstance(shape, Circle):
            xs = [shape.x - shape.radius, shape.x + shape.radius]
            ys = [shape.y - shape.radius, shape.y + shape.radius]
        elif isinstance(shape, Polygon):
            xs, ys = [p[0] for p in shape.points], [p[1] for p in shape.points]
        else:
            xs, ys = list(span_of(shape)), [shape.y - shape.size / 2, shape.y + shape.size / 2]
        if min(xs) < -2 or min(ys) < -2 or max(xs) > drawing.width + 2 or max(ys) > drawing.height + 2:
            found.append(shape)
    return found


def rings(drawing: Drawing) -> list[Circle]:
    """The accent's rings: where the thumb is to measure now."""
    return [s for s in drawing.shapes if isinstance(s, Circle) and s.role == "accent"]


def part(places: list[Place], lit: Place | None = None, figure: str = "rod", **verdicts: Verdict) -> Drawing:
    """A rod of 1200 mm, verdicts by the number of the place: p0, p1 …"""
    return part_drawing(
        figure, places, lit, {places[int(k[1:])]: v for k, v in verdicts.items()}, length_mm=D(1200), called=CALLED,
        system="metric", width=500, height=128,
    )  # fmt: skip


SHOWN = [
    (name, surface)
    for name, drawn in OUTLINES.items()
    for surface in ("", *drawn(Frame(0, 0, 300, 99), 1).surfaces)
]
"""Every figure with every surface of it that can be measured."""

clocks = st.lists(
    st.sampled_from(["12", "1.5", "3", "4.5", "6", "7.5", "9", "10.5"]), max_size=8, unique=True
)
numbered = st.lists(st.integers(0, 5000).map(str), min_size=1, max_size=12, unique=True)
named = st.lists(
    st.sampled_from(["", "gland-end", "middle", "cap-end", "left-face", "S1", "S2"]), min_size=1, unique=True
)


@given(
    shown=st.sampled_from([*SHOWN, ("unheard of", "")]),
    stations=numbered | named,
    at=clocks,
    size=st.sampled_from(SIZES),
    system=st.sampled_from(["metric", "inch"]),
    length=st.none() | st.integers(1, 6000).map(Decimal),
    chosen=st.randoms(use_true_random=False),
)
def test_a_part_stays_inside_its_frame(
    shown: tuple[str, str], stations: list[str], at: list[str], size: tuple[float, float], system: str,
    length: Decimal | None, chosen: object,
) -> None:  # fmt: skip
    places = [Place(s, c) for s in stations for c in at or [""]]
    lit = chosen.choice([None, *places])  # type: ignore[attr-defined]
    verdicts = {p: chosen.choice(list(Verdict)) for p in places}  # type: ignore[attr-defined]
    figure, surface = shown
    drawing = part_drawing(
        figure, places, lit, verdicts, length_mm=length, called=CALLED, system=system, width=size[0],
        height=size[1], surface=surface,
    )  # fmt: skip
    assert not outside(drawing)
    assert len(rings(drawing)) == (0 if lit is None else 2 if lit.clock else 1)


def test_every_figure_and_surface_the_shipped_checklists_name_is_drawn() -> None:
    for cylinder in load().cylinders.values():
        assert {part.figure for part in cylinder.parts} <= set(OUTLINES)
        named_there = {cylinder.shown_on(check) for check in cylinder.checks if check.gauge}
        assert named_there <= {*SHOWN}, named_there - {*SHOWN}


def lit_on(figure: str, surface: str, places: list[Place], lit: Place) -> list[Circle]:
    """The rings of the lit place: on the side view, and on the end view of a place with a clock."""
    drawing = part_drawing(
        figure,
        places,
        lit,
        {},
        length_mm=None,
        called={},
        system="metric",
        width=358,
        height=160,
        surface=surface,
    )
    return rings(drawing)


def test_no_two_grooves_are_lit_at_the_same_spot() -> None:
    cylinder = load().cylinders["double-acting"]
    here = Place("", "")
    for part_id in ("gland", "piston"):
        cut = [groove.id for groove in cylinder.grooves if groove.cut_in == part_id]
        spots = {(ring.x, ring.y) for name in cut for ring in lit_on(part_id, name, [here], here)}
        assert len(spots) == len(cut) > 2


@pytest.mark.parametrize(
    ("figure", "surface", "of_the_largest"),
    # as shares of the radius: the piston's bore lies inside it, the gland's spigot outside its bore
    [("piston", "bore", 0.38), ("piston", "", 1.0), ("gland", "spigot", 0.84), ("rod", "spigot", 0.62)],
)
def test_the_surface_that_is_measured_is_the_one_that_is_lit(
    figure: str, surface: str, of_the_largest: float
) -> None:
    places = [Place("", clock) for clock in ("12", "3", "6")]
    top, bottom = (lit_on(figure, surface, places, places[n])[-1].y for n in (0, 2))
    high, low = (lit_on(figure, "", places, places[n])[-1].y for n in (0, 2))
    running = 0.44 if figure == "gland" else 1.0
    assert (bottom - top) / (low - high) == pytest.approx(of_the_largest / running, abs=0.01)


def test_the_outside_of_a_barrel_is_no_place_inside_it_and_hardness_is_no_place_on_the_chrome() -> None:
    here = Place("", "")
    (wall,), (bore,) = (lit_on("barrel", name, [here], here) for name in ("wall", ""))
    (face,), (chrome,) = (lit_on("rod", name, [here], here) for name in ("face", ""))
    (mouth,) = lit_on("barrel", "mouth", [here], here)
    assert wall.y < bore.y - 20
    assert face.x > chrome.x + 50
    assert mouth.x < bore.x - 50


@pytest.mark.parametrize("station", ["25", "60", "300", "1175"])
def test_the_end_that_stations_are_counted_from_is_named_whichever_is_lit(station: str) -> None:
    places = [Place(s, "12") for s in ("25", "60", "300", "1175")]
    drawing = part(places, Place(station, "12"))
    labels = [s for s in drawing.shapes if isinstance(s, Label)]
    (datum,) = [s for s in labels if s.text == "gland end"]
    (name,) = [s for s in labels if s.text == f"{station} mm"]
    assert span_of(datum)[1] < span_of(name)[0]
    assert not outside(drawing)


def test_stations_in_mm_lie_true_to_length() -> None:
    ticks = sorted(
        {s.x1 for s in part(ROD).shapes if isinstance(s, Line) and s.role == "ink" and s.y2 - s.y1 == 4}
    )
    assert len(ticks) == 3
    assert ticks[1] - ticks[0] == pytest.approx(ticks[2] - ticks[1])


def test_the_clock_has_12_up_and_3_on_the_right_seen_from_the_gland_end() -> None:
    twelve, three = (rings(part(ROD, lit))[-1] for lit in (Place("600", "12"), Place("600", "3")))
    middle = (three.y, twelve.x)
    assert twelve.y < middle[0]
    assert three.x > middle[1]


@pytest.mark.parametrize(
    ("verdict", "kind", "role"),
    [
        (Verdict.WITHIN, Circle, "within"),
        (Verdict.BEYOND, Polygon, "beyond"),
        (Verdict.UNCLEAR, Polygon, "unclear"),
        (Verdict.NOT_MEASURED, Circle, "unmeasured"),
    ],
)
def test_a_verdict_is_told_by_its_shape_on_both_views(verdict: Verdict, kind: type, role: str) -> None:
    marks = [
        s for s in part([Place("600", "12")], p0=verdict).shapes if s.role == role and isinstance(s, kind)
    ]
    assert len(marks) == (4 if verdict is Verdict.UNCLEAR else 2)
    assert all(m.filled for m in marks if isinstance(m, Circle | Polygon)) == (
        verdict in (Verdict.BEYOND, Verdict.NOT_MEASURED)
    )


def test_of_places_one_behind_the_other_the_worst_shows() -> None:
    front_and_back = [Place("600", "3"), Place("600", "9")]
    roles = {
        s.role
        for s in part(front_and_back, p0=Verdict.WITHIN, p1=Verdict.BEYOND).shapes
        if isinstance(s, Polygon)
    }
    assert "beyond" in roles
    side = part([Place("600", "")] * 1, p0=Verdict.WITHIN)
    assert "beyond" not in {s.role for s in side.shapes}


def test_a_part_says_in_words_what_it_shows() -> None:
    says = part(ROD, ROD[3], p0=Verdict.WITHIN, p1=Verdict.BEYOND).says
    assert says == (
        "Rod with 6 places to measure, 1 within limit, 1 outside limit, 4 not measured. Now at 600 mm, 3 o'clock."
    )


number = st.decimals(-500, 500, places=3, allow_nan=False)


@given(
    value=st.none() | number,
    lower=st.none() | number,
    span=st.none() | st.decimals(0, 50, places=3),
    guard=st.decimals(0, 20, places=4),
    kind=st.sampled_from(["length", "deviation", "roughness", "thickness", "count"]),
    system=st.sampled_from(["metric", "inch"]),
    width=st.sampled_from([235.0, 340.0, 700.0]),
)
def test_a_limit_scale_stays_inside_its_frame(
    value: Decimal | None, lower: Decimal | None, span: Decimal | None, guard: Decimal, kind: str, system: str,
    width: float,
) -> None:  # fmt: skip
    upper = None if span is None else (lower or D(0)) + span
    if lower is None and upper is None:
        lower = D(1)
    decision = decide(value=value, lower=lower, upper=upper, expanded_uncertainty=guard)
    drawing = limit_scale(decision, kind, system, width, 62)
    assert not outside(drawing)
    assert decision.verdict.value in drawing.says


def test_a_value_and_the_guard_bands_lie_true_to_the_limits() -> None:
    # ISO 286-2: 50 f7 is 49.950 to 49.975; the guard band of ISO 14253-1 is U on either side of a limit
    decision = decide(
        value=D("49.960"), lower=D("49.950"), upper=D("49.975"), expanded_uncertainty=D("0.005")
    )
    drawing = limit_scale(decision, "length", "metric", 340, 72)
    lines = [s for s in drawing.shapes if isinstance(s, Line)]
    low, high = sorted(s.x1 for s in lines if s.weight == 2.4)
    tick = next(s.x1 for s in lines if s.role == "within")
    per_mm = (high - low) / 0.025
    assert tick - low == pytest.approx(0.010 * per_mm)
    bands = [x for s in lines if s.role == "guard" for x in (s.x1, s.x2)]
    assert min(bands) == pytest.approx(low - 0.005 * per_mm, abs=0.5)
    assert max(bands) == pytest.approx(high + 0.005 * per_mm, abs=0.5)


def test_a_value_far_off_the_scale_is_shown_by_an_arrow() -> None:
    def arrows(value: str) -> int:
        decision = decide(value=D(value), lower=None, upper=D("0.65"), expanded_uncertainty=D("0.012"))
        drawing = limit_scale(decision, "deviation", "metric", 340, 72)
        return sum(isinstance(s, Polygon) and s.filled and len(s.points) == 3 for s in drawing.shapes)

    assert (arrows("0.70"), arrows("2.50")) == (0, 1)


def exaggerated(drawing: Drawing) -> int:
    """The factor a drawing states."""
    found = re.search(
        r"exaggerated (\d+) times", " ".join(s.text for s in drawing.shapes if isinstance(s, Label))
    )
    assert found
    return int(found[1])


def test_the_bow_is_half_the_dial_and_drawn_as_much_larger_as_it_says() -> None:
    # bow = TIR / 2: a centre off by e swings 2 e under a dial (plane geometry)
    drawing = bow_drawing(
        {"0": D(0), "500": D("0.80"), "1000": D(0)},
        length_mm=D(1000),
        called=CALLED,
        system="metric",
        width=520,
        height=130,
    )
    curve = next(s for s in drawing.shapes if isinstance(s, Polygon) and not s.closed)
    (start, foot), *_, (end, _) = curve.points
    per_mm = (end - start) / 1000
    height = foot - min(y for _, y in curve.points)
    assert height / (0.40 * per_mm) == pytest.approx(exaggerated(drawing))
    assert "Greatest bow 0.400 mm at 500 mm" in drawing.says


def test_the_bore_is_drawn_as_much_larger_as_it_says() -> None:
    diameters = {Place(s, "12"): D(v) for s, v in (("100", "100.00"), ("600", "100.06"), ("1100", "100.02"))}
    drawing = bore_map(
        diameters,
        {},
        nominal_mm=D(100),
        length_mm=D(1200),
        called=CALLED,
        system="metric",
        width=500,
        height=90,
    )
    points = next(s for s in drawing.shapes if isinstance(s, Polygon) and not s.closed).points
    per_mm = (points[-1][0] - points[0][0]) / 1000
    assert (points[0][1] - points[1][1]) / (0.06 * per_mm) == pytest.approx(exaggerated(drawing))


def test_a_section_is_drawn_as_much_larger_as_it_says() -> None:
    drawing = ovality_drawing({"12": D("99.98"), "3": D("100.02")}, system="metric", width=340, height=170)
    dots = [s for s in drawing.shapes if isinstance(s, Circle)]
    across = max(d.x for d in dots) - min(d.x for d in dots)
    upright = max(d.y for d in dots) - min(d.y for d in dots)
    mean = (across + upright) / 2
    assert (across - upright) / mean / (0.04 / 100) == pytest.approx(exaggerated(drawing))
    assert "ovality 0.040 mm" in drawing.says


@given(
    data=st.data(),
    stations=numbered | named,
    at=clocks.filter(lambda c: len(c) > 1),
    system=st.sampled_from(["metric", "inch"]),
)
def test_bow_bore_and_section_stay_inside_their_frames(
    data: st.DataObject, stations: list[str], at: list[str], system: str
) -> None:
    stations = sorted(stations, key=lambda s: (len(s), s))
    small = st.decimals("0", "3", places=3)
    tir = {s: data.draw(small) for s in stations}
    assert not outside(bow_drawing(tir, length_mm=None, called=CALLED, system=system, width=500, height=120))
    bore = {Place(s, c): 100 + data.draw(small) for s in stations for c in at}
    height = 44 + 40 * len(at)
    assert not outside(
        bore_map(
            bore,
            {},
            nominal_mm=D(100),
            length_mm=None,
            called=CALLED,
            system=system,
            width=500,
            height=height,
        )
    )
    section = {c: 100 + data.draw(small) for c in at}
    assert not outside(ovality_drawing(section, system=system, width=340, height=170))


@given(st.floats(0.01, 1e6))
def test_a_factor_has_one_digit_and_never_more_than_fits(most: float) -> None:
    factor = nice_factor(most)
    assert factor == 1 or (factor <= most and str(factor)[1:].strip("0") == "")
    assert factor * 2 >= most or factor == 1 or math.isclose(factor * 2, most)


def test_hatching_stays_in_its_rectangle_and_runs_at_45_degrees() -> None:
    for line in hatch(10, 20, 60, 35, 5):
        assert 10 <= line.x1 <= line.x2 <= 60
        assert 20 <= line.y2 <= line.y1 <= 35
        assert line.x2 - line.x1 == pytest.approx(line.y1 - line.y2)


def test_a_diameter_is_drawn_right_across_and_a_wall_from_the_middle_outwards() -> None:
    lit = Place("300", "3")

    def accent(diameter: bool) -> list[Line]:
        drawing = part_drawing(
            "barrel", [lit], lit, {}, length_mm=Decimal(600), called=CALLED, system="metric", width=358, height=160,
            diameter=diameter,
        )  # fmt: skip
        level = [s for s in drawing.shapes if isinstance(s, Line) and s.role == "accent"]
        return [s for s in level if abs(s.y1 - s.y2) < 0.01]

    (across,), (outwards,) = accent(True), accent(False)
    middle = outwards.x1
    assert across.x2 == outwards.x2 > middle > across.x1
    assert middle - across.x1 > across.x2 - middle  # to the far wall; at the near one the ring has room


def test_every_place_can_be_chosen_where_it_is_drawn() -> None:
    places = [Place(s, c) for s in ("25", "300", "575") for c in ("12", "2", "4")]
    drawing = part_drawing(
        "rod",
        places,
        places[4],
        {},
        length_mm=Decimal(600),
        called=CALLED,
        system="metric",
        width=358,
        height=160,
    )
    assert {what for _, _, what in drawing.spots} == set(places)
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y, _ in drawing.spots)


def test_every_sign_has_a_shape_of_its_own_without_its_colour() -> None:
    from dataclasses import replace

    from inspect_app.figures.signs import ROLES, sign

    without_colour = {
        what: tuple(replace(shape, role="ink") for shape in sign(what, 24).shapes) for what in ROLES
    }
    assert len(set(without_colour.values())) == len(ROLES) == 7


def test_a_defect_that_has_no_place_yet_is_drawn_nowhere() -> None:
    log = Log(bore="100", rod="70", stroke="600")
    log.defect("rod-surface", "pit")

    def shapes(lit: Place | None) -> tuple[object, ...]:
        looked = log.check("rod-surface")
        return defects_drawing(looked, "rod", log.survey(), "metric", 358, 160, lit).shapes

    before = shapes(None)
    assert shapes(Place("", "")) == before
    assert shapes(Place("450", "")) != before
    nowhere = {"station": "", "clock": "", "zone": "", "note": "", "measures": {}}
    log.write("defect", check="rod-surface", defect="pit", **nowhere)
    assert len(log.check("rod-surface").defects) == 2
    assert shapes(None) == before
