"""One touch where many were: a nominal size proposed, a reading like the last, the next check; never two by one."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import AtTheDesk, ByHand, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.screens.desk import Desk
from inspect_app.screens.floor import Floor
from inspect_app.screens.mechanic import thumb
from inspect_app.screens.mechanic.entering import NOMINAL
from inspect_app.screens.mechanic.thumb import Thumb
from inspect_app.tables.cylinders import Check


class OnePhone:
    """A phone on an inch cylinder, its keys without its screen."""

    def __init__(self, folder: Path) -> None:
        self.bench = Bench(folder)
        page = SimpleNamespace(
            route="/", width=390, height=844, session=SimpleNamespace(connection=None),
            run_task=lambda task: None,
        )  # fmt: skip
        self.desk = Desk(self.bench, cast(Any, page), "A", Floor(), ByHand())
        job = self.bench.open_job("J", "AB", units="inch")
        self.id = self.bench.enter(
            job, Nameplate({"bore": "8", "rod": "5", "stroke": "24"}), "AB", "inch"
        ).job.id
        self.desk.setting("system", "inch")
        self.thumb = Thumb(self.desk)

    @property
    def job(self) -> Job:
        return self.bench.job(self.id)

    def check(self, name: str) -> Check:
        check = self.bench.tables_of(self.job).cylinders["double-acting"].check(name)
        assert check is not None
        return check

    def opens(self, name: str) -> None:
        self.thumb.settle(self.job, self.job.as_found, self.check(name))

    def reads(self, name: str, typed: str) -> None:
        """Type a reading and enter it."""
        self.opens(name)
        for key in typed:
            self.thumb.press(key)
        self.thumb.enter(self.desk.entering.keys[-1][0])

    def read(self, name: str) -> list[str]:
        """What stands as read, place by place."""
        return [r.typed for r in self.job.as_found.readings.get(name, {}).values()]


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """Time that passes when a test says so."""
    passed = SimpleNamespace(s=100.0)
    monkeypatch.setattr(thumb, "monotonic", lambda: passed.s)
    return passed


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[OnePhone]:
    phone = OnePhone(tmp_path / "shop")
    yield phone
    phone.bench.close()


def test_a_nominal_size_is_entered_by_one_touch_and_the_first_place_is_lit(phone: OnePhone) -> None:
    phone.opens("rod-seal-groove-diameter")
    assert phone.desk.entering.place == NOMINAL
    phone.thumb.confirm(phone.desk.entering.at, "5.625 in")
    field = phone.job.as_found.nominals["rod-seal-groove-diameter"]
    # 5.625 x 25.4
    assert (field.typed, field.value) == ("5.625 in", Decimal("142.875"))
    assert phone.desk.entering.place != NOMINAL


def test_a_second_touch_or_one_meant_for_another_check_enters_nothing(phone: OnePhone) -> None:
    phone.opens("rod-seal-groove-diameter")
    at = phone.desk.entering.at
    phone.thumb.confirm(at, "5.625 in")
    phone.thumb.confirm(at, "5.5 in")
    assert phone.job.as_found.nominals["rod-seal-groove-diameter"].typed == "5.625 in"
    phone.opens("wiper-groove-diameter")
    phone.thumb.confirm(at, "5.75 in")
    assert set(phone.job.as_found.nominals) == {"rod-seal-groove-diameter"}


def test_a_reading_like_the_last_is_one_touch_at_the_place_that_is_lit(
    phone: OnePhone, clock: SimpleNamespace
) -> None:
    phone.reads("rod-diameter", "4.9972")
    clock.s += 3
    lit = phone.desk.entering.place
    phone.thumb.same(phone.desk.entering.keys[-1][0], "4.9972 in")
    assert phone.read("rod-diameter") == ["4.9972 in", "4.9972 in"]
    assert list(phone.job.as_found.readings["rod-diameter"])[-1] == lit
    # 4.9972 x 25.4
    assert {r.value for r in phone.job.as_found.readings["rod-diameter"].values()} == {Decimal("126.92888")}


def test_a_bounce_or_a_touch_on_a_screen_that_was_behind_enters_nothing_more(
    phone: OnePhone, clock: SimpleNamespace
) -> None:
    phone.reads("rod-diameter", "4.9972")
    before = phone.desk.entering.keys[-1][0]
    phone.thumb.same(before, "4.9972 in")  # the finger that touched Enter is still on the glass
    assert len(phone.read("rod-diameter")) == 1
    clock.s += 3
    phone.thumb.same(before, "4.9972 in")
    phone.thumb.same(phone.desk.entering.keys[-1][0], "4.9972 in")  # it bounced
    clock.s += 3
    phone.thumb.same(before, "4.9972 in")  # drawn for the place before
    assert len(phone.read("rod-diameter")) == 2


def test_it_is_not_taken_while_a_number_is_typed_or_a_question_stands(
    phone: OnePhone, clock: SimpleNamespace
) -> None:
    phone.reads("rod-diameter", "4.9972")
    clock.s += 3
    phone.thumb.press("4")
    phone.thumb.same(phone.desk.entering.keys[-1][0], "4.9972 in")
    assert (len(phone.read("rod-diameter")), phone.desk.entering.typed) == (1, "4")
    phone.reads("rod-diameter", "⌫49.972")
    assert phone.desk.entering.question
    phone.thumb.same(phone.desk.entering.keys[-1][0], "4.9972 in")
    assert len(phone.read("rod-diameter")) == 1


def one_place(folder: Path, check: str, typed: str, then: str, turned: str = "by itself") -> str:
    """What the screen says after the only place of a check was read."""
    bench = Bench(folder)
    job = bench.open_job("J", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job
    said = []

    async def day(at: AtTheDesk) -> None:
        at.desk.setting("next", turned)
        await at.wait_for("no number yet")
        await at.key(f"{typed}⏎")
        said.append(await at.wait_for(then))

    day_at_the_desk(bench, f"/job/{job.id}/measure/{check}", day)
    bench.close()
    return said[0]


def test_the_next_check_opens_when_the_last_place_is_filled_and_says_what_came_of_this_one(
    tmp_path: Path,
) -> None:
    # 0.10 mm is the most that may be seen under the straight edge
    said = one_place(tmp_path, "rod-kink", ".02", "0 of 3")
    assert "1 of 1, within limit." in said
    assert "Place: " in said


def test_what_is_outside_its_limit_stays_on_the_screen(tmp_path: Path) -> None:
    said = one_place(tmp_path, "rod-kink", ".30", "Readings: tap one to take it again")
    assert "outside limit" in said
    assert "Next: " in said


def test_the_next_check_waits_for_a_touch_where_that_is_set(tmp_path: Path) -> None:
    said = one_place(tmp_path, "rod-kink", ".02", "Readings: tap one to take it again", turned="touch")
    assert "within limit" in said


def test_that_a_nominal_size_is_asked_for_is_said_whatever_else_is(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    job = bench.open_job("J", "KM")
    bench.enter(job, Nameplate({"bore": "80", "rod": "50", "stroke": "600"}), "KM", "metric")

    async def day(at: AtTheDesk) -> None:
        # ISO 5597 (from memory): rod 50, groove 60
        said = await at.wait_for("Standard housings on 50 mm:")
        assert "60 mm" in said
        at.desk.say("Rod hardness: 1 of 1, information.")
        said = await at.wait_for("Rod hardness: 1 of 1")
        assert "The nominal size, not a reading" in said
        await at.tap("60 mm")
        await at.wait_for("Place: ")

    day_at_the_desk(bench, f"/job/{job.id}/measure/rod-seal-groove-diameter", day)
    assert bench.job(job.id).as_found.nominals["rod-seal-groove-diameter"].typed == "60 mm"
    bench.close()


def test_a_check_that_was_read_and_has_no_limit_yet_is_not_called_unmeasured(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    job = bench.open_job("J", "KM")
    bench.enter(job, Nameplate({"bore": "80", "rod": "50", "stroke": "600"}), "KM", "metric")

    async def day(at: AtTheDesk) -> None:
        await at.tap("Not known: measure without")
        await at.wait_for("Gauge: ")
        await at.key("6.3⏎")
        await at.wait_for("Rod seal groove width: 1 of 1, no verdict yet.")

    day_at_the_desk(bench, f"/job/{job.id}/measure/rod-seal-groove-width", day)
    bench.close()
