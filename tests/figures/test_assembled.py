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

from inspect_app.figures.assembled import assembled
from inspect_app.figures.numbers import spread
from inspect_app.figures.outlines import Frame
from inspect_app.figures.section import Layout, Sizes, lay_out
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import span_of
from inspect_app.figures.telescope import telescope
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


def inside_it(drawing: Drawing) -> bool:
    """Whether no shape leaves the drawing."""
    spots = [spot for shape in drawing.shapes for spot in points(shape)]
    return all(-2 <= x <= drawing.width + 2 and -2 <= y <= drawing.height + 2 for x, y in spots)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sizes", SIZES)
def test_nothing_leaves_the_drawing(usual: SealList, sizes: Sizes, paper: tuple[float, float, float]) -> None:
    assert inside_it(drawn(usual, sizes, paper))


def layout(listing: SealList, sizes: Sizes) -> Layout:
    return lay_out(listing.kind, listing.lines, sizes, Frame(0, 0, 500, 80))


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


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        (SHORT, "to scale"),
        (replace(SHORT, closed_mm=None), "about to scale"),  # stroke and diameters given, the heads assumed
        (replace(SHORT, outside_mm=None), ""),
        (replace(SHORT, rod_mm=None), ""),
        (replace(SHORT, stroke_mm=None), "to scale"),  # the small one is drawn with its rod in
    ],
)
def test_the_small_picture_is_called_to_scale_only_where_its_sizes_were_given(
    usual: SealList, sizes: Sizes, said: str
) -> None:
    labels = [s.text for s in drawn(usual, sizes).shapes if isinstance(s, Label)]
    assert [t.rpartition(", ")[2] for t in labels if "scale" in t] == ([said] if said else [])


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
    assert "Not known, drawn as usual: barrel outside diameter, stroke." in said
    assert "5 Piston seal" in said


def test_a_list_without_a_line_is_not_drawn(usual: SealList) -> None:
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


GLAND = [groove for groove in USUAL.grooves if groove.place == "gland"]
KINDS = {
    "tie-rod": replace(
        USUAL, kind="tie-rod", answers={**USUAL.answers, "cushions": "both-sides"},
        grooves=(
            *(g for g in USUAL.grooves if g.position != "gland-static-ring"),
            *(replace(GLAND[3], place=place) for place in ("head end of the tube", "cap end of the tube")),
        ),
    ),
    "double-rod": replace(
        USUAL, kind="double-rod", said={("cushion-seal", "end A"): "there", ("cushion-screw-ring", "end B"): "there"},
        grooves=tuple(replace(g, place=place) for g in GLAND for place in ("gland A", "gland B")),
    ),
    "ram": replace(USUAL, kind="ram", grooves=tuple(GLAND)),
    "ram with a foot guide": replace(
        USUAL, kind="ram", grooves=tuple(GLAND), said={("piston-wear-ring", "foot of the plunger"): "there"}
    ),
    "telescopic": replace(USUAL, kind="telescopic", stages=2, answers={}, grooves=()),
    "telescopic-double-acting": replace(
        USUAL, kind="telescopic-double-acting", stages=4, answers={}, grooves=()
    ),
}  # fmt: skip


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sizes", [SHORT, LONG, Sizes()])
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_cylinder_is_drawn_with_all_its_numbers(
    kind: str, sizes: Sizes, paper: tuple[float, float, float]
) -> None:
    listing = listed(KINDS[kind])
    drawing = drawn(listing, sizes, paper)
    assert inside_it(drawing)
    assert sorted(int(str(n)) for _, _, n in drawing.spots) == list(range(1, len(listing.lines) + 1))
    # of many numbers the rings are smaller: a number is 1.1 radii high
    radius = min(s.size for s in drawing.shapes if isinstance(s, Label) and s.text.isdigit()) / 1.1
    for (x1, y1, _), (x2, y2, _) in combinations(drawing.spots, 2):
        assert (x1 - x2) ** 2 + (y1 - y2) ** 2 > (2 * radius) ** 2


def test_the_tube_between_head_and_cap_has_its_rings_at_both_ends() -> None:
    listing = listed(KINDS["tie-rod"])
    at = lay_out("tie-rod", listing.lines, SHORT, Frame(0, 0, 1500, 300))
    head, cap = (
        next(c for c in at.cuts if listing.lines[c.number - 1].where == ("gland-static-ring", place))
        for place in ("head end of the tube", "cap end of the tube")
    )
    assert at.gland[0] < head.middle < at.gland[1]
    assert at.cap[0] < cap.middle < at.cap[1]
    # (105.00 - 96.40) / 2 = 4.30 deep, inwards from the tube, both alike
    assert [c.near - c.floor for c in (head, cap)] == pytest.approx([4.30 * at.scale] * 2)


def test_a_rod_that_goes_through_has_a_gland_at_each_side_the_wipers_outermost() -> None:
    listing = listed(KINDS["double-rod"])
    at = lay_out("double-rod", listing.lines, SHORT, Frame(0, 0, 500, 80))
    by_place = {listing.lines[c.number - 1].where: c for c in at.cuts}
    order = [("wiper", "gland A"), ("rod-seal", "gland A"), ("piston-seal", "piston"),
             ("rod-seal", "gland B"), ("wiper", "gland B")]  # fmt: skip
    assert [by_place[w].middle for w in order] == sorted(by_place[w].middle for w in order)
    # its rod is drawn cut short on the far side, so the small picture of the whole has no length to go by
    assert (
        lay_out("double-rod", listing.lines, Sizes(100, 56, 120, 60), Frame(0, 0, 500, 80)).closed_mm is None
    )


def test_a_plunger_has_no_piston_unless_it_is_guided_at_its_foot() -> None:
    frame = Frame(0, 0, 500, 80)
    bare, guided = (
        lay_out("ram", listed(KINDS[k]).lines, SHORT, frame) for k in ("ram", "ram with a foot guide")
    )
    assert bare.piston[0] == bare.piston[1]
    assert guided.piston[1] > guided.piston[0]


def test_of_a_telescopic_the_smaller_stage_has_its_gland_further_out_and_nothing_is_said_to_be_to_scale() -> (
    None
):
    listing = listed(KINDS["telescopic"])
    pointed = {p.number: p for p in telescope(listing.lines, Frame(0, 0, 500, 80)).pointed}
    at = {line.where: pointed[n].target for n, line in enumerate(listing.lines, 1)}
    outer, inner = at["rod-seal", "gland of stage 1"], at["rod-seal", "gland of stage 2"]
    assert inner[0] < outer[0]
    assert abs(inner[1] - 40) < abs(outer[1] - 40)  # the axis is at 40
    drawing = drawn(listing, SHORT)
    assert "Drawn to no scale" in drawing.says
    assert not any("scale" in s.text or "stroke" in s.text for s in drawing.shapes if isinstance(s, Label))
