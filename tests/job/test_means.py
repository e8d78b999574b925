"""The shop's means against what a step asks: what exceeds them is said, a test that ran out too."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from log import SHIPPED, Log

from inspect_app.bench.bench import Bench
from inspect_app.bench.means import enter_means, retire_means
from inspect_app.entries.means import Means, means_of
from inspect_app.job.means import RECKONED, means_told
from inspect_app.job.steps import Facts
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.means import DEMANDS
from inspect_app.trade.measuring.refusal import Refusal


def told(step: str, log: Log, *typed: tuple[str, str, str, str], system: str = "metric") -> list[str]:
    shops = [
        means_of(
            kind,
            SHIPPED.means[kind].measures,
            {"name": name, "up_to": up_to, "until": until},
            "metric",
        )
        for kind, name, up_to, until in typed
    ]
    facts = Facts(log.job(), SHIPPED, log.assess, parts=lambda: (), seals=lambda: ())
    return [s.words(system) for s in means_told(step, facts, shops, "2026-03-02")]


def weighing(kg: str) -> Log:
    log = Log(bore="100", stroke="800")
    log.write("nameplate", fields={"mass": {"typed": f"{kg} kg", "value": kg}})
    return log


def test_every_demand_is_reckoned_and_asked_by_a_kind_of_means() -> None:
    asked = {demand for kind in SHIPPED.means.values() for demand in kind.asked.values()}
    assert set(DEMANDS) == set(RECKONED) == asked


def test_what_the_strongest_is_not_rated_for_is_said_before_it_is_lifted() -> None:
    hoists = (("hoist", "H-1", "200 kg", ""), ("hoist", "H-2", "0.5 t", ""))
    assert told("receiving", weighing("480"), *hoists) == []
    assert told("receiving", weighing("600")) == []  # of means nobody entered nothing is said
    (said,) = told("receiving", weighing("600"), *hoists)
    assert said == "Hoist or crane: 600 kg is asked for; the strongest here, H-2, is rated 500 kg."
    # 600 kg / 0.45359237 = 1322.8 lb
    (said,) = told("receiving", weighing("600"), *hoists, system="inch")
    assert "1322.8 lb is asked for" in said


def test_oil_length_and_pressure_are_asked_where_they_are_needed() -> None:
    log = weighing("70")
    # pi/4 x 100² x 800 = 6.283 l
    (said,) = told("make-safe", log, ("waste-oil", "drum 2", "6 l", ""))
    assert "6283.2 ml is asked for" in said
    assert told("make-safe", log, ("waste-oil", "drum 3", "7 l", "")) == []
    (said,) = told("teardown", log, ("work-holding", "long bench", "700 mm", ""))
    assert "800 mm is asked for" in said
    assert told("pressure-test", log, ("test-stand", "T-1", "10 MPa", "")) == []  # no rated pressure known


def test_a_test_that_ran_out_is_named() -> None:
    (said,) = told("receiving", weighing("80"), ("sling", "S-4", "1 t", "2026-02-28"))
    assert said == "Sling or chain S-4: its test ran out on 2026-02-28."


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"name": "", "up_to": "1 t"}, "Give the name"),
        ({"name": "H", "up_to": ""}, "Nothing was typed"),
        ({"name": "H", "up_to": "0"}, "greater than 0"),
        ({"name": "H", "up_to": "1 t", "until": "soon"}, "is not a date"),
    ],
)
def test_what_cannot_be_read_off_a_plate_says_why(typed: dict[str, str], says: str) -> None:
    with pytest.raises(Refusal, match=says):
        means_of("hoist", "mass", typed, "metric")


def test_a_means_is_kept_replaced_by_its_name_and_retired(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    for up_to in ("500 kg", "400 kg"):
        enter_means(bench, "hoist", {"name": "H-2", "up_to": up_to, "until": "2027-03-31"}, "KM", "metric")
    bench.close()
    bench = Bench(tmp_path)  # out of the log again
    (means,) = bench.shop.means()
    assert means == Means("hoist", "H-2", means.up_to, "400 kg", "2027-03-31")
    retire_means(bench, means, "KM")
    assert bench.shop.means() == ()
    bench.close()


def test_a_slip_in_the_file_is_told_by_its_place(tmp_path: Path) -> None:
    folder = shutil.copytree(shipped_folder(), tmp_path / "checklists")
    file = folder / "means.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"proof" }', '"burst" }'), encoding="utf-8")
    with pytest.raises(TableError, match=r"means test-stand.asked.pressure-test.*'burst'"):
        load(folder)
