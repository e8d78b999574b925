"""One touch where many were typed: a nominal size proposed, taken only for the check it was proposed for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import ByHand

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.screens.desk import Desk
from inspect_app.screens.floor import Floor
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
