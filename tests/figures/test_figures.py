"""The drawings: everything inside its frame, true to scale where they say so, verdicts told by shape.

Where a number is expected it follows from plane geometry (a linear scale, a circle's clock) or from the
definition named beside it, never from running the drawing.
"""

from __future__ import annotations

import itertools
import math
import re
from decimal import Decimal

import pytest
from frames import outside
from hypothesis import given
from hypothesis import strategies as st
from log import Log

from inspect_app.entries.job import Place
from inspect_app.figures.bore_map import bore_map
from inspect_app.figures.bow import bow_drawing
from inspect_app.figures.grooves import Dimension, GrooveShown, cut_of, grooves_drawing
from inspect_app.figures.limit_scale import limit_scale
from inspect_app.figures.of_check import defects_drawing
from inspect_app.figures.outlines import OUTLINES, Frame
from inspect_app.figures.ovality import ovality_drawing
from inspect_app.figures.part import part_drawing
from inspect_app.figures.profile import Limits, profile_drawing
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
    decision = decide(value=D("2.50"), lower=None, upper=D("0.65"), expanded_uncertainty=D("0.012"))
    words = [
        s.text for s in limit_scale(decision, "deviation", "metric", 340, 72).shapes if isinstance(s, Label)
    ]
    assert "2.500 mm, off the scale" in words


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


def rolled(
    diameters: dict[Place, Decimal], verdicts: dict[Place, Verdict] | None = None, **more: object
) -> Drawing:
    """A bore of 100 mm rolled out."""
    given: dict[str, object] = {
        "nominal_mm": D(100),
        "called": CALLED,
        "system": "metric",
        "width": 500,
        **more,
    }
    return bore_map(diameters, verdicts or {}, **given)  # type: ignore[arg-type]


def test_a_bar_of_the_bore_is_as_long_as_its_place_is_wide_beyond_the_least() -> None:
    diameters = {Place(s, "12"): D(v) for s, v in (("100", "100.00"), ("600", "100.06"), ("1100", "100.02"))}
    bars = [s for s in rolled(diameters).shapes if isinstance(s, Line) and s.weight > 2]
    first, second = (bar.x2 - bar.x1 for bar in bars)  # the least has none
    assert second / first == pytest.approx(0.02 / 0.06)


def test_a_bore_of_21_stations_and_8_clocks_keeps_the_worst_and_prints_nothing_over_another() -> None:
    clocks_ = ("12", "1.5", "3", "4.5", "6", "7.5", "9", "10.5")
    stations_ = [str(25 + 145 * n) for n in range(21)]
    diameters = {Place(s, c): D("100.010") for s in stations_ for c in clocks_}
    bad = Place(stations_[8], "4.5")
    diameters[bad] = D("100.391")
    drawing = rolled(diameters, {bad: Verdict.BEYOND})
    words = [s for s in drawing.shapes if isinstance(s, Label)]
    assert "+0.391" in [w.text for w in words]
    assert any("thinned out, the worst kept" in w.text for w in words)
    for height in {w.y for w in words}:
        spans = sorted(span_of(w) for w in words if w.y == height)
        assert all(before[1] <= after[0] + 6 for before, after in itertools.pairwise(spans))
    frames = [s for s in drawing.shapes if isinstance(s, Polygon) and s.role == "beyond" and not s.filled]
    assert len(frames) == 1
    assert not outside(drawing)


def profiled(values: dict[str, str], lower: str | None, upper: str | None, guard: str = "0.01") -> Drawing:
    """Readings along a part of 1000 mm."""
    limits = Limits(*(None if v is None else D(v) for v in (lower, upper)), D(guard))
    return profile_drawing(
        {Place(s, ""): D(v) for s, v in values.items()}, {}, limits, kind="length", length_mm=D(1000), called=CALLED,
        system="metric", width=500, height=100,
    )  # fmt: skip


def test_readings_and_limits_of_a_profile_lie_to_one_scale() -> None:
    drawing = profiled({"100": "50.00", "500": "50.10", "900": "50.04"}, "49.90", "50.20")
    low, high = sorted(
        (s.y1 for s in drawing.shapes if isinstance(s, Line) and s.weight == 2.0), reverse=True
    )
    per_mm = (low - high) / 0.30
    points = next(s for s in drawing.shapes if isinstance(s, Polygon) and not s.closed).points
    assert [(low - y) / per_mm for _, y in points] == pytest.approx([0.10, 0.20, 0.14])
    assert points[1][0] - points[0][0] == pytest.approx(points[2][0] - points[1][0])  # 400 mm each


def test_what_was_found_stands_behind_what_is_left_to_one_scale() -> None:
    left, found = {Place("100", ""): D("50.00"), Place("900", ""): D("50.02")}, {Place("100", ""): D("49.95")}
    drawing = profile_drawing(
        left, {}, Limits(D("49.90"), D("50.20"), D("0.01")), kind="length", length_mm=D(1000), called=CALLED,
        system="metric", width=500, height=100, before=found,
    )  # fmt: skip
    (hollow,) = [s for s in drawing.shapes if isinstance(s, Circle) and not s.filled]
    low, high = sorted(
        (s.y1 for s in drawing.shapes if isinstance(s, Line) and s.weight == 2.0), reverse=True
    )
    assert (low - hollow.y) / (low - high) == pytest.approx(0.05 / 0.30)


@given(
    values=st.dictionaries(
        st.integers(0, 3000).map(str), st.decimals(0, 200, places=3), min_size=1, max_size=21
    ),
    lower=st.none() | st.decimals(0, 100, places=3),
    upper=st.none() | st.decimals(100, 300, places=3),
    guard=st.decimals(0, 5, places=3),
    size=st.sampled_from([(511.0, 96.0), (159.0, 62.0)]),
)
def test_a_profile_stays_inside_its_frame_and_prints_no_number_over_another(
    values: dict[str, Decimal],
    lower: Decimal | None,
    upper: Decimal | None,
    guard: Decimal,
    size: tuple[float, float],
) -> None:
    at = {Place(s, "12"): v for s, v in sorted(values.items(), key=lambda v: int(v[0]))}
    drawing = profile_drawing(
        at, {}, Limits(lower, upper, guard),
        kind="length", length_mm=D(3000), called=CALLED, system="inch", width=size[0], height=size[1],
    )  # fmt: skip
    assert not outside(drawing)


def test_the_limit_of_a_bow_is_drawn_to_the_scale_of_the_bow() -> None:
    # bow = TIR / 2, of the limit too; both above the straight line of the supports
    drawing = bow_drawing(
        {"0": D(0), "500": D("0.80"), "1000": D(0)}, length_mm=D(1000), called=CALLED, system="metric", width=520,
        height=130, limit_mm=D("0.50"), guard_mm=D("0.02"), press=True,
    )  # fmt: skip
    curve = next(s for s in drawing.shapes if isinstance(s, Polygon) and not s.closed)
    foot = curve.points[0][1]
    (limit,) = [s.y1 for s in drawing.shapes if isinstance(s, Line) and s.weight == 2.0]
    top = min(y for _, y in curve.points)
    assert (foot - limit) / (foot - top) == pytest.approx(0.50 / 0.80)
    (arrow,) = [s for s in drawing.shapes if isinstance(s, Polygon) and s.role == "accent"]
    assert arrow.points[0][0] == pytest.approx(curve.points[2][0])  # under the greatest bow
    assert not outside(drawing)


def test_the_circles_of_the_ovality_limit_stand_where_they_stand_whatever_was_read() -> None:
    # ovality is greatest less least diameter: half of it each way of the mean, a quarter on the radius
    def radii(*diameters: str) -> list[float]:
        section = dict(zip(("12", "2", "4"), map(D, diameters), strict=True))
        drawing = ovality_drawing(section, system="metric", width=340, height=170, limit_mm=D("0.10"))
        return sorted(s.radius for s in drawing.shapes if isinstance(s, Circle) and not s.filled)

    assert radii("100.00", "100.02", "100.04") == pytest.approx(radii("99.97", "100.00", "100.01"), rel=1e-3)


def test_a_shape_has_straight_sides_and_none_at_all_below_its_own_uncertainty() -> None:
    section = {"12": D("100.02"), "2": D("100.00"), "4": D("99.99")}

    def shape(uncertainty: str) -> list[Polygon]:
        drawing = ovality_drawing(
            section, system="metric", width=340, height=170, limit_mm=D("0.10"), uncertainty_mm=D(uncertainty)
        )
        return [s for s in drawing.shapes if isinstance(s, Polygon)]

    (drawn,) = shape("0.01")
    assert len(drawn.points) == 6  # three diameters have six ends, and nothing between them
    assert shape("0.03") == []


def shown_groove(width: str, verdict: Verdict) -> GrooveShown:
    """A rod seal groove 90 x 105 x 12.5."""
    floor = Dimension(D("105.01"), (D("104.7"), D("105.5")), (D("104.8"), D("105.4")), Verdict.WITHIN)
    new = (D("12.50"), D("12.75"))
    return GrooveShown("Rod seal", D(90), floor, Dimension(D(width), (D("12.45"), D("12.90")), new, verdict))


def test_a_groove_is_cut_to_its_own_proportions() -> None:
    # 15.01 / 2 deep, 12.62 wide
    shapes = cut_of(shown_groove("12.62", Verdict.WITHIN), 0, 0, 120, 48)
    edge = next(s for s in shapes if isinstance(s, Polygon) and not s.closed).points
    surface = next(s.y1 for s in shapes if isinstance(s, Line) and s.weight == 1.6)
    left, floor, right = edge[3][0], edge[3][1], edge[4][0]
    assert (right - left) / (floor - surface) == pytest.approx(12.62 / (15.01 / 2))


def test_a_groove_far_too_wide_says_that_it_is_off_its_scale() -> None:
    within, beyond = (
        grooves_drawing([shown_groove(width, verdict)], system="metric", width=511)
        for width, verdict in (("12.62", Verdict.WITHIN), ("14.00", Verdict.BEYOND))
    )
    off = ["off scale" in s.text for d in (within, beyond) for s in d.shapes if isinstance(s, Label)]
    assert sum(off) == 1
    assert not outside(within)
    assert not outside(beyond)


def test_a_score_is_drawn_as_long_as_it_is_and_ten_pits_are_counted() -> None:
    places = [Place("600", "6"), Place("200", "12")]
    drawing = part_drawing(
        "rod", places, None, dict.fromkeys(places, Verdict.BEYOND), length_mm=D(1200), called={}, system="metric",
        width=500, height=128, long_mm={places[0]: 300.0}, counts={places[1]: 10},
    )  # fmt: skip
    (score,) = [s for s in drawing.shapes if isinstance(s, Line) and s.weight == 3.0]
    ticks = sorted(
        {s.x1 for s in drawing.shapes if isinstance(s, Line) and s.role == "ink" and s.y2 - s.y1 == 4}
    )
    per_mm = (ticks[1] - ticks[0]) / 400  # the places stand 400 mm apart
    assert score.x2 - score.x1 == pytest.approx(300 * per_mm)
    assert (score.x1 + score.x2) / 2 == pytest.approx(ticks[1])
    assert "10 ×" in [s.text for s in drawing.shapes if isinstance(s, Label)]


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
    assert not outside(rolled(bore, system=system))
    section = {c: 100 + data.draw(small) for c in at}
    limit = data.draw(st.none() | st.decimals("0.01", "2", places=2))
    assert not outside(ovality_drawing(section, system=system, width=340, height=170, limit_mm=limit))


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


@pytest.mark.parametrize("part", ["gland", "piston"])
def test_every_groove_that_is_measured_on_a_part_is_drawn_where_it_is_lit(part: str) -> None:
    # a groove that was lit on plain metal told nobody which one was meant
    outline = OUTLINES[part](Frame(0, 0, 320, 160), 1)
    ends: set[tuple[int, int]] = set()
    for shape in outline.shapes:
        if isinstance(shape, Line):
            ends |= {(round(shape.x1), round(shape.y1)), (round(shape.x2), round(shape.y2))}
        elif isinstance(shape, Polygon) and not shape.filled:
            ends |= {(round(x), round(y)) for x, y in shape.points}
    grooves = {name: s for name, s in outline.surfaces.items() if name not in ("bore", "spigot")}
    assert len(grooves) >= 3
    for name, s in grooves.items():
        corners = {(round(x), round(y)) for x in (s.start, s.end) for y in (s.top, s.bottom)}
        assert corners <= ends, name
