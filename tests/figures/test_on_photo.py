"""Marks over a photograph: where they were set, seen on any ground, words inside of the picture."""

from __future__ import annotations

from decimal import Decimal
from math import hypot

import pytest

from inspect_app.entries.job import Photo
from inspect_app.entries.pictured import Mark
from inspect_app.figures.on_photo import OnPhoto, mark_shapes, marks_on
from inspect_app.figures.shapes import Circle, Label, Line, Polygon
from inspect_app.figures.strokes import span_of

D = Decimal
# 2000 x 1000 pixels
PHOTO = Photo("p", "s", "o", 2000, 1000, "", "J", "", "1", "", "AB")
WIDE, HIGH, LETTERS = 200.0, 100.0, 8.0


def mark(shape: str, *points: tuple[str, str], text: str = "", value: str = "", typed: str = "") -> Mark:
    at = tuple((D(x), D(y)) for x, y in points)
    return Mark("m", shape, at, text, typed, D(value) if value else None, D("0.001"), "AB")


KNOWN = mark("scale", ("0.1", "0.5"), ("0.5", "0.5"), value="50", typed="50 mm")


def test_a_length_is_scaled_by_pixels_not_by_fractions() -> None:
    # known: 0.4 x 2000 = 800 px are 50 mm. Measured: 0.1 x 2000 = 200 px across and 0.15 x 1000 = 150 px down,
    # 250 px as 3-4-5: 50 x 250 / 800 = 15.625 mm. Off by 0.001 x 2000 = 2 px an end: 4 x 50 / 800 + 15.625 x 4 / 800
    # = 0.25 + 0.078125 = 0.328 mm, so two digits: 15.63 ± 0.33
    slanting = mark("length", ("0.2", "0.2"), ("0.3", "0.35"))
    assert [m.says for m in marks_on(PHOTO, [KNOWN, slanting], "metric")] == [
        "known: 50 mm",
        "15.62 ± 0.33 mm",
    ]
    # 15.625 / 25.4 = 0.6152 in, 0.328 / 25.4 = 0.0129 in
    assert marks_on(PHOTO, [KNOWN, slanting], "inch")[1].says == "0.615 ± 0.013 in"


def test_the_scale_set_last_holds_and_without_one_there_is_no_length() -> None:
    length = mark("length", ("0.1", "0.1"), ("0.5", "0.1"))
    other = mark("scale", ("0.1", "0.5"), ("0.5", "0.5"), value="25.4", typed="1 in")
    assert marks_on(PHOTO, [length], "metric")[0].says == "no scale"
    assert marks_on(PHOTO, [KNOWN, other, length], "inch")[-1].says.startswith("1.0")


def lines(*marks: OnPhoto) -> list[Line]:
    return [s for s in mark_shapes(marks, WIDE, HIGH, LETTERS) if isinstance(s, Line)]


def test_an_arrow_runs_to_the_point_touched_last_and_its_head_is_there() -> None:
    drawn = lines(OnPhoto("arrow", ((0.1, 0.2), (0.6, 0.7))))
    strokes = [s for s in drawn if s.role == "accent"]
    assert (strokes[0].x1, strokes[0].y1, strokes[0].x2, strokes[0].y2) == (20, 20, 120, 70)
    assert [(s.x1, s.y1) for s in strokes[1:]] == [(120, 70)] * 2
    assert all(s.x2 < 120 and hypot(s.x2 - 20, s.y2 - 20) < hypot(100, 50) for s in strokes[1:])


def test_every_stroke_has_a_light_edge_drawn_before_it() -> None:
    for shape in ("arrow", "line", "ring", "length"):
        drawn = mark_shapes([OnPhoto(shape, ((0.1, 0.2), (0.6, 0.7)))], WIDE, HIGH, LETTERS)
        strokes = [s for s in drawn if isinstance(s, Line | Circle)]
        light, dark = strokes[: len(strokes) // 2], strokes[len(strokes) // 2 :]
        assert {s.role for s in light} == {"fill"}
        assert {s.role for s in dark} == {"accent"}
        assert all(a.weight > b.weight for a, b in zip(light, dark, strict=True))


def test_a_ring_runs_through_both_points() -> None:
    (ring,) = [
        s for s in mark_shapes([OnPhoto("ring", ((0.2, 0.5), (0.4, 0.5)))], WIDE, HIGH, LETTERS)
        if isinstance(s, Circle) and s.role == "accent"
    ]  # fmt: skip
    assert (ring.x, ring.y, ring.radius) == pytest.approx((60, 50, 20))


def test_the_end_strokes_of_a_length_stand_across_it() -> None:
    strokes = [s for s in lines(OnPhoto("length", ((0.1, 0.1), (0.4, 0.5)), "x")) if s.role == "accent"]
    long, *ends = strokes
    for end in ends:
        across = (long.x2 - long.x1) * (end.x2 - end.x1) + (long.y2 - long.y1) * (end.y2 - end.y1)
        assert across == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    "points", [((0.0, 0.0), (0.02, 0.01)), ((0.99, 0.98), (1.0, 1.0)), ((0.5, 0.0), (0.5, 1.0))]
)
def test_words_stay_inside_of_the_picture_on_a_plate_that_holds_them(
    points: tuple[tuple[float, float], ...],
) -> None:
    drawn = mark_shapes([OnPhoto("length", points, "38.7 ± 0.6 mm")], WIDE, HIGH, LETTERS)
    (label,) = [s for s in drawn if isinstance(s, Label)]
    start, end = span_of(label)
    assert 0 <= start < end <= WIDE
    assert LETTERS / 2 <= label.y <= HIGH - LETTERS / 2
    plate = next(s for s in drawn if isinstance(s, Polygon) and s.filled)
    assert min(x for x, _ in plate.points) <= start
    assert max(x for x, _ in plate.points) >= end


def test_all_lines_lie_below_all_words() -> None:
    both = [OnPhoto("length", ((0.1, 0.1), (0.2, 0.1)), "a"), OnPhoto("arrow", ((0.1, 0.1), (0.9, 0.9)))]
    drawn = mark_shapes(both, WIDE, HIGH, LETTERS)
    first_word = next(n for n, s in enumerate(drawn) if isinstance(s, Polygon))
    assert not any(isinstance(s, Line | Circle) for s in drawn[first_word:])
