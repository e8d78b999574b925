"""A photograph under a finger, and the way of a mark from it to the log, the screen and the report."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pymupdf
import pytest
from at_the_desk import AtTheDesk, ByHand, day_at_the_desk
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job, Place
from inspect_app.entries.looking import Found
from inspect_app.screens.mechanic.marking import ZOOMS, Pen, Window

SHARES = st.floats(0, 1)


@given(SHARES, SHARES, st.sampled_from(ZOOMS), st.floats(-900, 900), st.floats(-900, 900))
def test_a_point_of_the_picture_is_found_where_it_is_shown(
    x: float, y: float, zoom: float, dx: float, dy: float
) -> None:
    window = Window(358, 268)
    window.zoom_to(zoom)
    window.shift(dx, dy)
    assert window.share(*window.at((x, y))) == pytest.approx((x, y), abs=1e-9)
    # never past the picture's edges
    assert min(window.share(0, 0)) >= 0
    assert window.at((0, 0))[0] <= 1e-9
    assert window.at((1, 1))[0] >= 358 - 1e-9


def test_zooming_keeps_what_lies_in_the_middle_and_in_again_out_is_where_it_was() -> None:
    window = Window(400, 300)
    window.zoom_to(2)
    assert window.share(200, 150) == pytest.approx((0.5, 0.5))
    window.shift(-60, 30)
    middle = window.share(200, 150)
    window.zoom_to(4)
    assert window.share(200, 150) == pytest.approx(middle)
    window.zoom_to(1)
    assert (window.left, window.top) == (0, 0)
    # a point is twice as sure at twice the size
    assert window.within == pytest.approx(2 / 400)


def test_two_touches_or_one_drag_set_both_ends_and_a_drag_beside_one_corrects_it() -> None:
    window, tapped, dragged = Window(400, 200), Pen(), Pen()
    for pen in (tapped, dragged):
        pen.take("length")
    tapped.tapped(window, 100, 100)
    assert not tapped.whole
    tapped.tapped(window, 300, 100)
    dragged.began(window, 100, 100)
    dragged.went(window, 300, 100)
    dragged.ended()
    assert tapped.points == dragged.points == [(0.25, 0.5), (0.75, 0.5)]
    # the finger lies 20 dp beside the end it moves, and moves it by as much as it moves itself
    tapped.began(window, 300, 120)
    tapped.went(window, 260, 130)
    tapped.ended()
    assert tapped.points == [(0.25, 0.5), pytest.approx((0.65, 0.55))]
    tapped.tapped(window, 104, 96)
    assert tapped.points[0] == pytest.approx((0.26, 0.48))


def test_without_a_tool_in_hand_a_finger_moves_the_picture_and_sets_nothing() -> None:
    window, pen = Window(400, 200), Pen()
    window.zoom_to(2)
    pen.began(window, 50, 50)
    pen.went(window, 20, 30)
    pen.ended()
    pen.tapped(window, 50, 50)
    assert (window.left, window.top, pen.points) == (230, 120, [])


def picture() -> bytes:
    """A photograph, 800 x 600."""
    file = BytesIO()
    Image.new("RGB", (800, 600), "grey").save(file, "JPEG")
    return file.getvalue()


@pytest.fixture
def pictured(tmp_path: Path) -> tuple[Bench, Job]:
    """A job with one photograph."""
    bench = Bench(tmp_path / "bench", throw_away=True)
    job = bench.open_job("T-9 photographs", "KM")
    return bench, bench.take_photo(job, job.id, picture(), "the rod's eye", "KM").job


def test_a_mark_goes_from_the_finger_to_log_screen_and_report_and_is_undone(
    pictured: tuple[Bench, Job],
) -> None:
    bench, job = pictured
    route = f"/job/{job.id}/photo/{job.photos[0].id}"

    async def day(at: AtTheDesk) -> None:
        await at.tap("Length")
        await at.draw("Photograph 1, 0 marks", (40, 40), (80, 40))
        await at.tap("Keep mark")
        await at.wait_for("Set the scale first")
        await at.tap("Cancel")
        await at.tap("Scale")
        await at.draw("Photograph 1, 0 marks", (40, 40), (140, 40))
        await at.type("Known size, mm", "0")
        await at.tap("Keep mark")
        await at.wait_for("must be greater than 0")
        await at.type("Known size, mm", "2 in")
        await at.tap("Keep mark")
        await at.tap("Length")
        await at.draw("Photograph 1, 1 mark", (40, 80), (90, 80))
        await at.tap("Keep mark")
        await at.wait_for("Photograph 1, 2 marks")
        await at.wait_for("they are not judged")
        await at.go(f"/job/{job.id}/report")
        await at.tap("Make the report")
        await at.tap("Open the PDF")
        await at.wait_for("Open the PDF")
        await at.go(route)
        await at.tap("Undo")
        await at.wait_for("Undone: length on a photograph")

    ((_, report),) = day_at_the_desk(bench, route, day)
    with pymupdf.open(stream=report, filetype="pdf") as document:
        text = " ".join(" ".join(page.get_text() for page in document).split())
    # half of what 2 in are long
    assert "known: 2 in" in text
    assert "25.4 ± " in text
    assert "they are not judged" in text
    assert "Photograph 1, the rod's eye, KM, " in text
    assert [m.shape for m in bench.job(job.id).pictured.on(job.photos[0].sha256)] == ["scale"]


def test_three_photographs_are_asked_for_of_a_defect_each_once_and_one_may_be_declined(
    tmp_path: Path,
) -> None:
    bench = Bench(tmp_path / "bench", throw_away=True)
    job = bench.open_job("T-9 photographs", "KM")
    check = bench.tables_of(job).cylinders[job.cylinder].check("rod-surface")
    assert check
    job = bench.enter(job, Found(check, "pit", Place("300", "12")), "KM", "metric").job

    async def day(at: AtTheDesk) -> None:
        await at.tap("No middle")
        said = await at.wait_for("Middle: declined by KM")
        assert "Close-up: the mark, a rule beside it" in said
        assert isinstance(at.desk.host, ByHand)
        at.desk.host.ready = [Here("whole.jpg")]
        await at.tap("Overview: the whole part")
        said = await at.wait_for("1 saved")
        assert "Overview: the whole part" not in said
        await at.tap("Undo")
        await at.wait_for("Overview: the whole part")
        await at.tap("Undo")
        await at.wait_for("Middle: the place on the part")

    day_at_the_desk(bench, f"/job/{job.id}/look/rod-surface", day)
    assert (bench.job(job.id).photos, bench.job(job.id).pictured.declined) == ((), {})


@dataclass
class Here:
    """A photograph that was picked."""

    name: str

    async def bring(self, moved: Callable[[float], None]) -> bytes:
        return picture()


@given(st.floats(0, 400), st.floats(0, 300), st.sampled_from(ZOOMS))
def test_two_windows_show_the_same_part_of_their_pictures(left: float, top: float, zoom: float) -> None:
    one, other = Window(400, 300), Window(200, 240)
    for window in (one, other):
        window.zoom_to(zoom)
    one.shift(-left, -top)
    other.show_as(one)
    assert other.share(100, 120) == pytest.approx(one.share(200, 150))


def test_two_photographs_are_chosen_and_stand_one_over_the_other_zoomed_together(
    pictured: tuple[Bench, Job],
) -> None:
    bench, job = pictured
    other = BytesIO()
    Image.new("RGB", (600, 800), "white").save(other, "JPEG")
    job = bench.take_photo(job, job.id, other.getvalue(), "the eye, bushed", "KM").job

    async def day(at: AtTheDesk) -> None:
        await at.tap("Compare")
        await at.tap("Photograph of the eye, bushed")
        said = await at.wait_for("Compare 1 and 2")
        assert "1: the rod's eye, KM, " in said
        assert "2: the eye, bushed, KM, " in said
        await at.tap("Larger")
        await at.draw("Photograph 1", (200, 200), (150, 180))
        await at.tap("Back")
        await at.wait_for("number 1")

    day_at_the_desk(bench, f"/job/{job.id}/photo/{job.photos[0].id}", day)
