"""In which units a screen stands: those of the job on any phone, unless this phone was switched."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.entries.job import Place
from inspect_app.entries.measuring import Layout
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.typed import station_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.floor import Floor


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop")
    yield bench
    bench.close()


def phone(bench: Bench, name: str, route: str = "/") -> Desk:
    """A phone without a screen."""
    page: Any = SimpleNamespace(route=route, width=390, height=844, session=SimpleNamespace(connection=None))
    return Desk(bench, cast(Any, page), name, Floor(), ByHand())


def at(desk: Desk, route: str) -> str:
    desk.arrived(route)
    return desk.standing.system


def test_a_job_starts_in_its_own_units_on_every_phone(bench: Bench) -> None:
    inch, metric = (bench.open_job(units, "AB", units=units) for units in ("inch", "metric"))
    for desk in (phone(bench, "A"), phone(bench, "B")):
        assert at(desk, f"/job/{inch.id}/measure/bore-diameter") == "inch"
        assert at(desk, "/") == "metric"
        assert at(desk, f"/job/{inch.id}") == "inch"
        assert at(desk, f"/job/{metric.id}/nameplate") == "metric"
        assert at(desk, "/job/nobody-made-it") == "metric"
    assert phone(bench, "C", f"/job/{inch.id}").standing.system == "inch"


def test_the_switch_is_of_one_phone_and_one_job_and_outlives_the_session(bench: Bench) -> None:
    one, other = (bench.open_job(name, "AB", units="inch") for name in ("one", "other"))
    desk = phone(bench, "A", f"/job/{one.id}")
    desk.switch_units("metric", one.id)
    assert desk.standing.system == "metric"
    assert at(desk, f"/job/{other.id}") == "inch"
    assert at(desk, f"/job/{one.id}/nameplate") == "metric"
    assert phone(bench, "A", f"/job/{one.id}").standing.system == "metric"
    assert phone(bench, "B", f"/job/{one.id}").standing.system == "inch"


def test_a_phone_set_to_units_of_its_own_has_them_in_every_job_not_switched(bench: Bench) -> None:
    job = bench.open_job("J", "AB", units="inch")
    desk = phone(bench, "A")
    desk.setting("system", "metric")
    assert at(desk, f"/job/{job.id}") == "metric"
    desk.setting("system", "")
    assert desk.standing.system == "inch"


def test_a_job_keeps_its_units_in_the_log_and_one_off_a_file_those_of_the_file(
    bench: Bench, tmp_path: Path
) -> None:
    job = bench.open_job("J", "AB", units="inch")
    file = tmp_path / "p.toml"
    file.write_text('units = "inch"\n[nameplate]\nbore = "8"\n', encoding="utf-8")
    off_file, _ = record_file(file, bench)
    bench.close()
    again = Bench(bench.folder)
    assert again.job(job.id).units == again.job(off_file.id).units == "inch"
    assert again.job(off_file.id).as_found.length("bore") == Decimal("203.2")
    assert again.job(job.id).survey("as-left").units == "inch"
    again.close()


def test_a_bare_number_of_an_inch_job_is_in_inches_in_every_box(bench: Bench) -> None:
    job = bench.open_job("J", "AB", units="inch")
    desk = phone(bench, "A", f"/job/{job.id}")
    assert desk.enter(job, job.as_found, Nameplate({"bore": "8", "stroke": "96", "rated_pressure": "3000"}))
    job = bench.job(job.id)
    assert (job.as_found.length("bore"), job.as_found.length("stroke")) == (
        Decimal("203.2"),
        Decimal("2438.4"),
    )
    assert job.as_found.text("bore") == "8 in"
    check = bench.tables_of(job).cylinders[job.cylinder].check("bore-diameter")
    assert check is not None
    stations = [station_of(text, desk.standing.system, {}) for text in ("1", "48", "95")]
    assert desk.enter(job, job.as_found, Layout(check, stations, ["12"]))
    assert bench.job(job.id).as_found.places["bore-diameter"] == (
        Place("25.4", "12"),
        Place("1219.2", "12"),
        Place("2413.0", "12"),
    )


def test_a_number_half_typed_stays_in_the_unit_it_was_begun_in(bench: Bench) -> None:
    job = bench.open_job("J", "KM", units="metric")
    sizes = Nameplate({"bore": "100", "rod": "70", "stroke": "600"})
    job = bench.enter(job, sizes, "KM", "metric").job

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter")

        async def touch(*keys: str) -> None:
            for key in keys:
                await at.tap(key)

        await touch("6", "9", "point", "9", "5")
        await at.wait_for("69.95 mm")
        await at.tap("Metric or inch")
        said = await at.wait_for("not entered yet: within limit. 2.7539 in")  # 69.95 / 25.4
        assert "; typed in mm\n" in said
        assert "69.95 mm\n" in said
        assert "69.95 in" not in said
        await at.tap("enter")
        await at.wait_for("last: within limit. 2.7539 in")
        # emptied, the line takes the unit of the screen
        await touch("6")
        await at.wait_for("6 in")
        await at.tap("Metric or inch")
        await at.wait_for("Place: 25 mm, 2 o'clock")
        assert "6 in" in at.says()
        await at.tap("delete")
        await touch("6", "9", "point", "9", "4")
        await at.wait_for("69.94 mm")
        await at.tap("enter")
        await at.wait_for("2 of 9")

    asyncio.run(day())
    read = bench.job(job.id).as_found.readings["rod-diameter"].values()
    assert [r.typed for r in read] == ["69.95 mm", "69.94 mm"]


def test_an_answer_about_a_number_is_in_the_unit_it_was_typed_in(bench: Bench) -> None:
    job = bench.open_job("J", "KM", units="metric")
    sizes = Nameplate({"bore": "100", "rod": "70", "stroke": "600"})
    job = bench.enter(job, sizes, "KM", "metric").job

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter")
        for key in ("7", "9", "point", "9", "5", "enter"):
            await at.tap(key)
        await at.wait_for("It is 79.95")
        await at.tap("Metric or inch")
        assert "79.95 in" not in at.says()
        await at.tap("It is 79.95")
        await at.wait_for("1 of 9")

    asyncio.run(day())
    (read,) = bench.job(job.id).as_found.readings["rod-diameter"].values()
    assert (read.typed, read.value) == ("79.95 mm", Decimal("79.95"))
