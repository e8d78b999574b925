"""The assembled cylinder with its verdicts: to its own proportions, inside its frame, findings where they sit."""

from __future__ import annotations

import itertools

import pytest
from frames import outside

from inspect_app.entries.job import Place
from inspect_app.figures.names import Tag
from inspect_app.figures.section import Sizes
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon
from inspect_app.figures.strokes import span_of
from inspect_app.figures.verdicts import Spot, verdicts_drawing
from inspect_app.job.findings import Disposition
from inspect_app.trade.measuring.decision import Verdict

TAGS = (
    Tag("rod", "Rod", "rework", Disposition.REWORK),
    Tag("barrel", "Barrel", "reuse", Verdict.WITHIN),
    Tag("piston", "Piston", "reuse", Verdict.WITHIN),
    Tag("gland", "Gland", "reuse", Verdict.WITHIN),
    Tag("grooves", "Grooves", "not decided, and much more is said of them here", Verdict.NOT_MEASURED),
    Tag("pins", "Pins and eyes", "rework, not finished", Disposition.REWORK),
    Tag("welds", "Welds and threads", "replace", Disposition.REPLACE),
)
NOWHERE = Place("", "")


def drawn(sizes: Sizes, *spots: Spot, kind: str = "double-acting", width: float = 511) -> Drawing:
    """The cylinder of these sizes."""
    return verdicts_drawing(kind, sizes, TAGS, spots, system="metric", width=width, height=178)


def words(drawing: Drawing) -> list[str]:
    """Everything written on it."""
    return [s.text for s in drawing.shapes if isinstance(s, Label)]


def barrel(drawing: Drawing) -> tuple[float, float]:
    """How long and how tall the tallest thing outlined in it is: barrel or gland flange over its whole length."""
    boxes = [s.points for s in drawing.shapes if isinstance(s, Polygon) and not s.filled and s.weight == 1.1]
    xs, ys = ([p[axis] for box in boxes for p in box] for axis in (0, 1))
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("stroke", [60.0, 1500.0, 6000.0, None])
@pytest.mark.parametrize("kind", ["double-acting", "ram", "tie-rod", "double-rod", "telescopic-3"])
def test_it_stays_inside_its_frame_with_no_word_over_another(stroke: float | None, kind: str) -> None:
    spots = [
        Spot(n, f, Place(str(n * 50), c), 40.0)
        for n, f, c in ((1, "rod", "6"), (2, "barrel", "12"), (3, "pins", ""))
    ]
    drawing = drawn(Sizes(125, 90, 152, stroke), *spots, kind=kind)
    assert not outside(drawing)
    told = [s for s in drawing.shapes if isinstance(s, Label)]
    for height in {s.y for s in told}:
        row = sorted(span_of(s) for s in told if s.y == height)
        assert all(before[1] <= after[0] + 8 for before, after in itertools.pairwise(row)), row
    assert {"Rod", "Barrel", "Piston", "1", "2", "3"} <= set(words(drawing))


def test_a_short_cylinder_and_a_long_one_do_not_look_alike() -> None:
    short, middle = (barrel(drawn(Sizes(125, 90, 152, stroke))) for stroke in (60, 1500))
    assert short[0] / short[1] < 3 < 8 < middle[0] / middle[1]
    # 1500 of stroke and 152 across: gland, piston and cap add what such parts usually measure, less than half of it
    assert 1500 / 152 < middle[0] / middle[1] < 1.5 * 1500 / 152
    assert any("broken" in w for w in words(drawn(Sizes(125, 90, 152, 6000))))
    assert not any("broken" in w for w in words(drawn(Sizes(125, 90, 152, 1500))))


def test_a_finding_lies_at_its_station_and_clock_and_is_as_long_as_it_is() -> None:
    sizes = Sizes(125, 90, 152, 1500)
    spots = [Spot(1, "rod", Place("300", "6"), 150.0), Spot(2, "rod", Place("900", "12"), 300.0)]
    drawing = drawn(sizes, *spots)
    low, high = sorted(
        (s for s in drawing.shapes if isinstance(s, Line) and s.weight == 3.2), key=lambda s: s.x1
    )
    assert (high.x2 - high.x1) / (low.x2 - low.x1) == pytest.approx(2)
    per_mm = (low.x2 - low.x1) / 150
    assert ((high.x1 + high.x2) - (low.x1 + low.x2)) / 2 / per_mm == pytest.approx(600)
    assert (low.y1 - high.y1) / per_mm == pytest.approx(90)  # 12 and 6 o'clock stand a rod's diameter apart


def test_what_becomes_of_every_part_is_told_in_words_too() -> None:
    says = drawn(Sizes(125, 90, 152, 1500), Spot(1, "rod", NOWHERE)).says
    assert all(f"{t.title}: {t.words}" in says for t in TAGS)


def test_the_names_of_many_stages_are_whole_and_stay_inside_the_drawing() -> None:
    stages = [Tag("rod", f"Stage {n} sleeve or plunger", "reuse", Verdict.WITHIN) for n in (1, 2, 3, 4)]
    glands = [Tag("gland", f"Stage {n} gland", "reuse", Verdict.WITHIN) for n in (1, 2, 3, 4)]
    drawing = verdicts_drawing(
        "telescopic-4", Sizes(), [*stages, *glands], [], system="metric", width=511, height=178
    )
    assert not outside(drawing)
    written = words(drawing)
    assert not any("…" in w for w in written)
    assert [" ".join(written).count(f"Stage {n}") for n in (1, 2, 3, 4)] == [2, 2, 2, 2]
    told = [s for s in drawing.shapes if isinstance(s, Label)]
    for height in {s.y for s in told}:
        row = sorted(span_of(s) for s in told if s.y == height)
        assert all(before[1] <= after[0] + 8 for before, after in itertools.pairwise(row)), row


def small(drawing: Drawing) -> tuple[float, float]:
    """How long and how tall the tube of the small whole cylinder is, below one that is broken."""
    boxes = [s.points for s in drawing.shapes if isinstance(s, Polygon) and not s.filled and s.weight == 0.9]
    tube = max((p for p in boxes if len(p) == 4), key=lambda p: p[2][1])
    return tube[1][0] - tube[0][0], tube[2][1] - tube[1][1]


def test_the_small_whole_cylinder_is_as_long_as_its_closed_length_says() -> None:
    sizes = Sizes(125, 90, 152, 6000, 6500, rod_eye=False, cap_eye=False)
    long, tall = small(drawn(sizes, kind="ram"))
    assert long / tall == pytest.approx(6500 / 152 - 0.2, rel=0.01)  # but for the stub of the rod


@pytest.mark.parametrize("closed", [1.0, 1820.0, 6000.0])
def test_a_closed_length_its_stroke_does_not_fit_in_is_not_drawn(closed: float) -> None:
    drawing = drawn(Sizes(105, 90, 127, 6000, closed), kind="ram")
    assert not outside(drawing)
    assert any("about to scale" in w for w in words(drawing))
    assert drawing.shapes == drawn(Sizes(105, 90, 127, 6000), kind="ram").shapes


@pytest.mark.parametrize("width", [511, 200])
def test_of_forty_findings_those_that_decide_most_are_numbered_and_the_others_are_dots(width: float) -> None:
    spots = [
        Spot(n, ("rod", "barrel")[n % 2], Place(str(n * 35), ("12", "6")[n % 2]), 20) for n in range(1, 41)
    ]
    drawing = drawn(Sizes(125, 90, 152, 1500), *spots, width=width)
    numbers = [s for s in drawing.shapes if isinstance(s, Label) and s.text.isdigit()]
    assert all(9 < s.x < width - 9 for s in numbers)  # with their rings inside
    for height in {s.y for s in numbers}:
        row = sorted(s.x for s in numbers if s.y == height)
        assert all(after - before > 16 for before, after in itertools.pairwise(row))  # rings of 8.3
    dots = [s for s in drawing.shapes if isinstance(s, Circle) and s.filled and s.role == "beyond"]
    assert len(numbers) + len(dots) == 40
    shown = {int(s.text) for s in numbers}
    # odd ones lie below, even ones above: of each side the first
    for side in (range(1, 41, 2), range(2, 41, 2)):
        here = [n for n in side if n in shown]
        assert here == list(side)[: len(here)]
        assert len(here) >= 9
    if dots:
        assert any(w.startswith(f"{len(dots)} more findings are") for w in words(drawing))
