"""What is computed of a job is computed once, however often and on however many screens it is opened."""

from __future__ import annotations

import asyncio
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench import kept_tables, repairing, scoping, sealing
from inspect_app.bench.bench import Bench
from inspect_app.bench.planning import propose
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.sealing import seals_of
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.tables import shipped_folder


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often the seal list and the ways to repair were computed."""
    counts: Counter[str] = Counter()

    def watched(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any) -> Any:
            counts[name] += 1
            return real(*args)

        return called

    monkeypatch.setattr(sealing, "seal_list", watched("seals", sealing.seal_list))
    monkeypatch.setattr(repairing, "paths_of", watched("paths", repairing.paths_of))
    return counts


def opened(bench: Bench, name: str) -> Job:
    job = bench.open_job(name, "KM")
    fields = {"bore": "100", "rod": "70", "stroke": "600", "rated_pressure": "160 bar"}
    return bench.enter(job, Nameplate(fields), "KM", "metric").job


def test_opened_again_nothing_is_computed_again(tmp_path: Path, counted: Counter[str]) -> None:
    bench = Bench(tmp_path)
    job = opened(bench, "T-1")

    async def day() -> None:
        phones = [AtTheDesk(bench, ByHand(), "/") for _ in range(2)]
        for page, words in (("seals", "Seal list"), ("paths", "Repair or replace"), ("seals", "Seal list")):
            for phone in phones:
                await phone.go(f"/job/{job.id}/{page}")
                await phone.wait_for(words)
        await phones[0].tap("Make the PDF")
        await phones[0].wait_for("Open the PDF")
        await phones[0].go("/settings")
        await phones[0].tap("Inch")
        await phones[0].go(f"/job/{job.id}/seals")
        await phones[0].wait_for("Seal list")

    asyncio.run(day())
    assert counted == {"seals": 1, "paths": 1}


def test_the_list_of_jobs_makes_what_is_proposed_once_and_reads_the_rates_once(
    tmp_path: Path, counted: Counter[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def watched(module: Any, name: str) -> None:
        real = getattr(module, name)

        def called(*args: Any) -> Any:
            counted[name] += 1
            return real(*args)

        monkeypatch.setattr(module, name, called)

    watched(kept_tables, "load_rates")
    watched(scoping, "scope_of")
    bench = Bench(tmp_path, throw_away=True)
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    counted.clear()
    job, _ = scoping.freeze(bench, job, "KM", "metric")
    # the file's own doubts asked for the paths already; the second scope has its date and photographs pinned
    assert counted == {"load_rates": 1, "scope_of": 2}

    async def day() -> None:
        for _ in range(2):
            phone = AtTheDesk(bench, ByHand(), "/")
            await phone.wait_for("customer: no answer yet, shown ")
            await phone.go(f"/job/{job.id}/scope")
            await phone.wait_for("No answer yet.")

    asyncio.run(day())
    again, version = scoping.freeze(bench, job, "KM", "metric")
    assert (again, version.number) == (job, 1)
    # once more as the version itself was entered
    assert counted == {"load_rates": 1, "scope_of": 3}
    bench.close()


def test_what_was_entered_since_is_computed_anew(tmp_path: Path, counted: Counter[str]) -> None:
    bench = Bench(tmp_path)
    job = opened(bench, "T-1")
    bench.seal_list(job)
    propose(bench, job, None)
    propose(bench, job, None)
    assert counted == {"seals": 1, "paths": 1}
    job = bench.enter(job, Nameplate({"rated_pressure": "400 bar"}), "KM", "metric").job
    known = bench.assess(job), {}, bench.tables_of(job), bench.handbook_of(job)
    assert bench.seal_list(job) == seals_of(job, *known).listing
    propose(bench, job, None)
    assert counted == {"seals": 3, "paths": 2}


def test_two_jobs_do_not_take_each_others_result(tmp_path: Path, counted: Counter[str]) -> None:
    bench = Bench(tmp_path)
    one, other = opened(bench, "T-1"), bench.open_job("T-2", "KM")
    assert bench.seal_list(one) != bench.seal_list(other)
    assert bench.seal_list(one) != bench.seal_list(other)
    assert counted["seals"] == 2


def test_other_tables_are_computed_anew(tmp_path: Path, counted: Counter[str]) -> None:
    bench = Bench(tmp_path)
    job = opened(bench, "T-1")
    bench.seal_list(job)
    remembered = bench.remembered.of(job, replace(bench.tables), "seals", lambda: "anew")
    assert remembered == "anew"


def test_a_shops_rates_count_at_once_and_no_way_is_computed_again(
    tmp_path: Path, counted: Counter[str]
) -> None:
    bench = Bench(tmp_path)
    job = opened(bench, "T-1")
    assert propose(bench, job, tmp_path).rates.shop.hour != 83
    shipped = (shipped_folder() / "rates.toml").read_text(encoding="utf-8")
    own = re.sub(r"(?m)^hour = .*$", "hour = 83.00", shipped, count=1)
    (tmp_path / "rates.toml").write_text(own, encoding="utf-8")
    assert propose(bench, job, tmp_path).rates.shop.hour == 83
    assert counted["paths"] == 1
