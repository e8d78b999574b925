"""The settled hold on a scale of its own: what its axis says, and where each reading lies on it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from inspect_app.figures.pressure_curve import settled_curve
from inspect_app.figures.shapes import Drawing, Label, Line, Polygon
from inspect_app.trade.leakage.slope import Point

# MPa: 159.2 bar at 4 min after the hold began at 1, 156 bar at 20
FALLING = [Point(5 + 2 * n, 15.92 - 0.04 * n, None) for n in range(9)]


def drawn(points: list[Point], height: float = 120, system: str = "metric") -> Drawing:
    return settled_curve(points, begun_minutes=1, system=system, width=480, height=height, size=9)


def marks(drawing: Drawing) -> dict[str, float]:
    """The figures at the pressure axis with their heights."""
    return {
        s.text: s.y
        for s in drawing.shapes
        if isinstance(s, Label) and s.anchor == "end" and s.text[:1].isdigit()
    }


def curve(drawing: Drawing) -> tuple[tuple[float, float], ...]:
    return [s for s in drawing.shapes if isinstance(s, Polygon)][-1].points


def test_each_reading_lies_between_the_marks_where_its_pressure_is() -> None:
    drawing = drawn(FALLING)
    at = marks(drawing)
    assert {"156", "158", "160"} <= at.keys()
    # 159.2 of 156 to 160 is 0.8 of the way up, the last reading stands on 156
    heights = [y for _, y in curve(drawing)]
    assert (at["156"] - heights[0]) / (at["156"] - at["160"]) == pytest.approx(0.8)
    assert heights[-1] == pytest.approx(at["156"])


def test_the_axis_says_that_it_does_not_begin_at_0_and_is_broken() -> None:
    drawing = drawn(FALLING)
    words = {s.text for s in drawing.shapes if isinstance(s, Label)}
    assert "the settled hold, not from 0" in words
    assert "from 159.2 bar to 156.0 bar, on an axis that does not begin at 0" in drawing.says
    assert "0" not in marks(drawing)
    (zigzag,) = [s for s in drawing.shapes if isinstance(s, Polygon) and s.role == "ink"]
    assert len({x for x, _ in zigzag.points}) == 3


def test_minutes_are_counted_from_when_the_hold_began() -> None:
    drawing = drawn(FALLING)
    minutes = {
        s.text: s.x for s in drawing.shapes if isinstance(s, Label) and s.anchor in ("start", "middle")
    }
    assert list(minutes) == ["5 min", "10", "15", "20"]
    left, right = curve(drawing)[0][0], curve(drawing)[-1][0]
    # the first reading is of minute 4, the last one of minute 20
    assert (minutes["10"] - left) / (right - left) == pytest.approx(6 / 16)


@pytest.mark.parametrize("height", [50, 60, 84, 120, 210])
@pytest.mark.parametrize("fall", [0.0, 0.0007, 0.04, 0.3])
def test_no_figure_of_the_axis_runs_into_the_next(height: float, fall: float) -> None:
    points = [Point(5 + 2 * n, 20.68 - fall * n, None) for n in range(9)]
    for system in ("metric", "inch"):
        drawing = drawn(points, height, system)
        at = sorted(marks(drawing).values())
        assert len(at) >= 2
        assert all(b - a >= 9 for a, b in pairwise(at))
        assert all(0 <= y <= height for _, y in curve(drawing))
        assert sum(isinstance(s, Line) and s.role == "faint" for s in drawing.shapes) == len(at)
