"""The assembled cylinder in section: to its own proportions, each line numbered, nothing over anything else.

What is expected follows from the sizes given (a ratio of two lengths), never from running the drawing.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from seal_cases import USUAL, WITH_MORE, listed

from inspect_app.figures.assembled import assembled, spread
from inspect_app.figures.outlines import Frame
from inspect_app.figures.section import Layout, Sizes, lay_out
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import span_of
from inspect_app.job.seals.seal_list import SealList

SHORT = Sizes(100, 56, 120, 60, 420)
LONG = Sizes(100, 56, 120, 6000, 6400)
SIZES = (
    SHORT, LONG, Sizes(), Sizes(bore_mm=40), Sizes(25, 14, 32, 100), Sizes(500, 300, 600, 800, None, False, False),
)  # fmt: skip
PAPERS = ((508.0, 136.0, 9.0), (328.0, 200.0, 14.0), (728.0, 200.0, 14.0))


@pytest.fixture(scope="module")
def usual() -> SealList:
    return listed(USUAL)


@pytest.fixture(scope="module")
def more() -> SealList:
    return listed(WITH_MORE)


def drawn(listing: SealList, sizes: Sizes, paper: tuple[float, float, float] = PAPERS[0]) -> Drawing:
    width, height, text = paper
    drawing = assembled(listing, sizes, system="metric", width=width, height=height, text=text)
    assert drawing
    return drawing


def points(shape: Shape) -> list[tuple[float, float]]:
    if isinstance(shape, Line):
        return [(shape.x1, shape.y1), (shape.x2, shape.y2)]
    if isinstance(shape, Circle):
        return [
            (shape.x + dx * shape.radius, shape.y + dy * shape.radius) for dx in (-1, 1) for dy in (-1, 1)
        ]
    if isinstance(shape, Polygon):
        return list(shape.points)
    return [(x, shape.y + dy * shape.size / 2) for x in span_of(shape) for dy in (-1, 1)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sizes", SIZES)
def test_nothing_leaves_the_drawing(usual: SealList, sizes: Sizes, paper: tuple[float, float, float]) -> None:
    drawing = drawn(usual, sizes, paper)
    for shape in drawing.shapes:
        for x, y in points(shape):
            assert -2 <= x <= drawing.width + 2, shape
            assert -2 <= y <= drawing.height + 2, shape


def layout(listing: SealList, sizes: Sizes) -> Layout:
    return lay_out(listing.lines, sizes, Frame(0, 0, 500, 80))


def test_a_short_cylinder_is_drawn_whole_and_true(usual: SealList) -> None:
    at = layout(usual, SHORT)
    assert not at.broken
    # the chamber is as long as the stroke, 60 mm against a bore of 100 and a rod of 56
    assert (at.piston[0] - at.gland[1]) / (2 * at.bore) == pytest.approx(60 / 100)
    assert at.rod / at.bore == pytest.approx(56 / 100)
    assert at.outside / at.bore == pytest.approx(120 / 100)


def test_a_long_barrel_is_broken_and_its_diameters_stay_true(usual: SealList) -> None:
    at = layout(usual, LONG)
    assert at.broken
    assert at.rod / at.bore == pytest.approx(56 / 100)


def test_grooves_lie_where_they_were_measured_to_lie(usual: SealList) -> None:
    cuts = {cut.number: cut for cut in layout(usual, SHORT).cuts}
    at = layout(usual, SHORT)
    # rod seal: 12.60 wide, (71.05 - 55.96) / 2 = 7.545 deep, outwards from the rod
    assert cuts[2].right - cuts[2].left == pytest.approx(12.60 * at.scale)
    assert cuts[2].floor - cuts[2].near == pytest.approx(7.545 * at.scale)
    # piston seal: (100.02 - 84.48) / 2 = 7.77 deep, inwards from the bore
    assert cuts[5].near - cuts[5].floor == pytest.approx(7.77 * at.scale)
    assert all(cut.known for cut in cuts.values())


@pytest.mark.parametrize(("sizes", "ratio"), [(SHORT, 420 / 120), (LONG, 6400 / 120)])
def test_the_whole_cylinder_small_has_its_own_proportions(
    usual: SealList, sizes: Sizes, ratio: float
) -> None:
    low = [
        s for s in drawn(usual, sizes).shapes
        if isinstance(s, Polygon | Circle) and min(y for _, y in points(s)) > 0.85 * PAPERS[0][1]
    ]  # fmt: skip
    xs, ys = zip(*(p for s in low for p in points(s)), strict=True)
    # an eye is never drawn smaller than a point, which a cylinder 53 times as long as thick asks for
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(ratio, rel=0.03)


def test_a_stroke_of_60_mm_and_one_of_6_m_do_not_look_alike(usual: SealList) -> None:
    said = [[s.text for s in drawn(usual, sizes).shapes if isinstance(s, Label)] for sizes in (SHORT, LONG)]
    assert any("stroke 60 mm" in text for text in said[0])
    assert any("stroke 6000 mm" in text for text in said[1])
    short, long = (layout(usual, sizes) for sizes in (SHORT, LONG))
    assert (long.broken, short.broken) == (True, False)
    assert long.piston[0] - long.gland[1] > 2 * (short.piston[0] - short.gland[1])


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sizes", SIZES)
def test_every_line_has_its_number_and_none_covers_another(
    more: SealList, sizes: Sizes, paper: tuple[float, float, float]
) -> None:
    drawing = drawn(more, sizes, paper)
    assert sorted(str(n) for _, _, n in drawing.spots) == sorted(
        str(n) for n in range(1, len(more.lines) + 1)
    )
    radius = paper[2] * 0.95
    for (x1, y1, _), (x2, y2, _) in combinations(drawing.spots, 2):
        assert (x1 - x2) ** 2 + (y1 - y2) ** 2 > (2 * radius) ** 2
    labels = [s for s in drawing.shapes if isinstance(s, Label) and not s.text.isdigit()]
    for label in labels:
        start, end = span_of(label)
        for x, y, _ in drawing.spots:
            assert x < start - radius or x > end + radius or abs(y - label.y) > radius + label.size / 2


def test_a_line_with_an_open_doubt_has_its_ring_cut(usual: SealList) -> None:
    drawing = drawn(usual, SHORT)
    arcs = [s for s in drawing.shapes if isinstance(s, Polygon) and s.role == "unclear"]
    whole = {(s.x, s.y) for s in drawing.shapes if isinstance(s, Circle)}
    for x, y, number in drawing.spots:
        near = [a for a in arcs if all((px - x) ** 2 + (py - y) ** 2 < 10**2 for px, py in a.points)]
        line = usual.lines[int(str(number)) - 1]
        assert len(near) == (0 if line.orderable else 2), line.title
        assert ((x, y) in whole) is line.orderable


def test_a_groove_nobody_measured_is_hollow(usual: SealList) -> None:
    def black(listing: SealList) -> int:
        shapes = drawn(listing, SHORT).shapes
        return sum(isinstance(s, Polygon) and s.filled and s.role == "ink" for s in shapes)

    bare = replace(usual, lines=tuple(replace(line, measured=()) for line in usual.lines))
    # nine rings (two wear rings on gland and piston each), above and below the axis
    assert (black(usual), black(bare)) == (18, 0)


def test_what_is_drawn_is_said_with_what_is_not_known(usual: SealList) -> None:
    said = drawn(usual, Sizes(bore_mm=100, rod_mm=56)).says
    assert "bore 100 mm, rod 56 mm" in said
    assert "Not known: barrel outside diameter, stroke." in said
    assert "5 Piston seal" in said


def test_a_cylinder_with_other_places_is_not_drawn_as_one_it_is_not(usual: SealList) -> None:
    other = replace(usual, lines=(replace(usual.lines[0], place="gland of stage 2"),))
    assert assembled(other, SHORT, system="metric", width=500, height=140) is None
    assert assembled(replace(usual, lines=()), SHORT, system="metric", width=500, height=140) is None


@given(st.lists(st.floats(0, 500), min_size=1, max_size=12).map(sorted))
def test_numbers_stand_apart_in_their_order_between_the_edges(wanted: list[float]) -> None:
    placed = spread(wanted, 20, 10, 490)
    assert all(b - a >= 20 - 1e-9 for a, b in pairwise(placed))
    assert placed[0] >= 10 - 1e-9
    assert placed[-1] <= 490 + 1e-9
    # who has room enough stands where he wants
    if all(b - a >= 20 for a, b in pairwise(wanted)) and wanted[0] >= 10 and wanted[-1] <= 490:
        assert placed == pytest.approx(wanted)
