"""A finger on the drawing of a part means the place that is drawn there."""

from __future__ import annotations

from decimal import Decimal
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.entries.job import Field, Place, Survey
from inspect_app.figures.part import part_drawing
from inspect_app.figures.pointing import ALONG, ROUND, Pointing, pointing
from inspect_app.figures.shapes import Circle, Drawing
from inspect_app.trade.measuring.decision import Verdict

WIDE, HIGH = 358.0, 161.0
ROD = Survey(nameplate={"stroke": Field("600", Decimal(600))})


def drawn(lit: Place, figure: str = "rod", length: str = "600") -> tuple[Drawing, Circle, list[Circle]]:
    """The drawing with one place lit, the ring of the side view and those of the end view."""
    drawing = part_drawing(
        figure, [lit], lit, {lit: Verdict.NOT_MEASURED}, length_mm=Decimal(length), called={}, system="metric",
        width=WIDE, height=HIGH, round_view=True,
    )  # fmt: skip
    rings = [s for s in drawing.shapes if isinstance(s, Circle) and s.role == "accent" and not s.filled]
    return drawing, rings[0], rings[1:]


def measures(*places: Place, figure: str = "rod", survey: Survey = ROD) -> Pointing:
    return pointing(figure, places, survey, WIDE, HIGH)


@given(st.integers(0, 600), st.integers(1, 12), st.sampled_from(["rod", "barrel"]))
def test_the_ring_of_a_place_is_where_a_finger_says_it(mm: int, hour: int, figure: str) -> None:
    place = Place(str(mm), str(hour))
    _, side, (end,) = drawn(place, figure)
    here = measures(place, figure=figure)
    assert here.view(side.x, side.y) == ALONG
    # 600 mm are some 110 to 130 dp wide here, 1.2 dp are more than 5 mm: steps of 10, at most half of one away
    assert abs(int(here.station(side.x, "metric")) - mm) <= 5
    assert here.view(end.x, end.y) == ROUND
    assert here.clock(end.x, end.y) == str(hour)


def test_the_steps_are_what_a_finger_can_tell_and_the_ends_are_the_ends() -> None:
    here = measures(Place("", ""))
    run = here.stop - here.start
    assert here.station(here.start - 40, "metric") == "0"
    assert here.station(here.stop + 40, "metric") == "600"
    assert here.station(here.start + run / 3, "metric") == "200"
    assert {int(here.station(here.start + n, "metric")) % 10 for n in range(int(run))} == {0}
    # 600 mm are 23.622 in, 1.2 dp of some 113 are 0.25 in, so steps of 0.5 in; a third is 7.874 in
    assert here.station(here.start + run / 3, "inch") == "8"
    short = measures(Place("", ""), survey=Survey(nameplate={"stroke": Field("60", Decimal(60))}))
    assert short.station(short.start + run / 3, "metric") == "20"
    assert len({short.station(short.start + n, "metric") for n in range(int(run))}) > 55
    long = measures(Place("", ""), survey=Survey(nameplate={"stroke": Field("6000", Decimal(6000))}))
    assert long.station(long.start + run / 2, "metric") == "3000"


@pytest.mark.parametrize(
    ("dx", "dy", "hour"), [(0, -1, "12"), (1, 0, "3"), (0, 1, "6"), (-1, 0, "9"), (0.5, -0.87, "1")]
)
def test_the_clock_runs_from_twelve_up_to_the_right(dx: float, dy: float, hour: str) -> None:
    end = measures(Place("", "")).end
    assert measures(Place("", "")).clock(end.x + 40 * dx, end.y + 40 * dy) == hour


def test_a_part_that_is_not_to_scale_and_an_unknown_stroke_tell_only_the_clock() -> None:
    for figure, survey in (("piston", ROD), ("gland", ROD), ("pins", ROD), ("welds", ROD), ("rod", Survey())):
        here = measures(Place("12", "3"), figure=figure, survey=survey)
        assert here.view(60, HIGH / 2) == ""
        assert here.view(here.end.x, here.end.y) == ROUND


def test_a_defect_beyond_the_stroke_stretches_the_scale_for_both() -> None:
    far = Place("900", "6")
    _, side, _ = drawn(far)
    here = measures(far)
    assert side.x == pytest.approx(here.stop)
    assert here.station(side.x, "metric") == "900"


def test_a_place_in_words_leaves_the_numbers_where_they_are() -> None:
    words, number = Place("under the eye", ""), Place("150", "")
    drawing = part_drawing(
        "rod", [words, number], number, {}, length_mm=Decimal(600), called={}, system="metric", width=WIDE,
        height=HIGH, round_view=True,
    )  # fmt: skip
    at = {place: x for x, _, place in drawing.spots}
    here = measures(words, number)
    assert here.station(at[number], "metric") == "150"


def test_the_two_views_lie_apart_and_reach_to_where_they_are_drawn() -> None:
    here = measures(Place("", ""))
    assert here.stop + 6 < here.end.x - here.end.radius
    for n in range(int(here.start), int(here.stop)):
        assert here.view(n, HIGH / 2) == ALONG
        assert hypot(n - here.end.x, 0) > here.end.radius
