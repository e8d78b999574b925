"""A clearance as left: its mate is taken as found only while nobody worked on the mate's part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.entries.job import AS_LEFT, Decided, Job
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import Disposition, Finding
from inspect_app.job.left_state import left_state
from inspect_app.job.scope.fulfilled import parts_agreed
from inspect_app.tables import Tables, shipped_folder
from inspect_app.trade.measuring.decision import Verdict


@pytest.fixture(scope="module")
def ram(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bench, Job]]:
    """Its plunger was plated and measured again, foot and all; its tube was fit, and nobody touched it."""
    path = shipped_folder("demo_data") / "ram.toml"
    bench = bench_for(path, tmp_path_factory.mktemp("ram"))
    yield bench, record_file(path, bench)[0]
    bench.close()


def clearance(bench: Bench, job: Job) -> Finding:
    check = bench.tables_of(job).cylinders["ram"].check("foot-clearance")
    assert check is not None
    (finding,) = bench.result(job, AS_LEFT, check).findings
    return finding


def borrowed(bench: Bench, job: Job, found: Assessment | None = None) -> frozenset[str]:
    return left_state(job, bench.tables_of(job), found or bench.assess(job)).as_found_of


def test_the_clearance_of_a_part_measured_again_takes_its_mate_as_found_and_says_so(
    ram: tuple[Bench, Job],
) -> None:
    finding = clearance(*ram)
    # the widest tube, 105.06 as found, less the foot as left, 104.40; then the narrowest, 105.04
    assert finding.value in (Decimal("0.66"), Decimal("0.64"))
    assert finding.verdict is Verdict.WITHIN
    assert finding.title == "clearance on diameter, tube as found"
    plunger = next(p for p in ram[0].parts_now(ram[1]) if p.part.id == "rod")
    assert (plunger.now.disposition, plunger.left.decided) == (Disposition.REUSE, None)


def test_a_mate_whose_part_was_measured_again_is_never_taken_as_found(ram: tuple[Bench, Job]) -> None:
    bench, job = ram
    left = job.surveys[AS_LEFT]
    wall = job.as_found.readings["barrel-wall"]
    again = replace(left, readings={**left.readings, "barrel-wall": wall})
    touched = replace(job, surveys={**job.surveys, AS_LEFT: again})
    assert borrowed(bench, job) == {"tube-bore", "gland-bore"}
    assert borrowed(bench, touched) == {"gland-bore"}
    assert clearance(bench, touched).value is None


def test_a_mate_on_which_something_was_decided_as_left_is_never_taken_as_found(
    ram: tuple[Bench, Job],
) -> None:
    bench, job = ram
    decided = {"barrel": Decided("D-1", "reuse", "honed by hand", "KM", "2026-04-20T10:00:00Z")}
    left = replace(job.surveys[AS_LEFT], decided=decided)
    assert borrowed(bench, replace(job, surveys={**job.surveys, AS_LEFT: left})) == {"gland-bore"}


@pytest.mark.parametrize("disposition", [Disposition.REWORK, Disposition.OPEN, Disposition.REPLACE])
def test_a_mate_that_was_not_fit_is_never_taken_as_found(
    ram: tuple[Bench, Job], disposition: Disposition
) -> None:
    bench, job = ram
    found = bench.assess(job)
    parts = (replace(p, computed=disposition) if p.part.id == "barrel" else p for p in found.parts)
    assert borrowed(bench, job, replace(found, parts=tuple(parts))) == {"gland-bore"}


def test_a_mate_the_customer_agreed_to_work_on_is_never_taken_as_found(
    ram: tuple[Bench, Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, job = ram
    assert "barrel" not in parts_agreed(job.agreeing, bench.tables_of(job).operations.by_id)
    monkeypatch.setattr("inspect_app.job.left_state.parts_agreed", lambda *_: frozenset({"barrel"}))
    assert borrowed(bench, job) == {"gland-bore"}


def test_a_part_that_was_fit_and_that_what_was_worked_on_no_longer_fits_is_not_as_found(
    ram: tuple[Bench, Job],
) -> None:
    bench, job = ram
    # the plunger ground to 89.5: 90.061 less 89.5 is 0.56, and a bush is worn out at 0.3
    left = job.surveys[AS_LEFT]
    thin = {place: r._replace(value=Decimal("89.5")) for place, r in left.readings["rod-diameter"].items()}
    ground = replace(left, readings={**left.readings, "rod-diameter": thin})
    job = replace(job, surveys={**job.surveys, AS_LEFT: ground})
    gland = next(p for p in bench.parts_now(job) if p.part.id == "gland")
    assert not gland.as_found_still
    assert gland.now.disposition in (Disposition.REWORK, Disposition.REPLACE)


def test_what_nobody_measured_again_takes_nothing_as_found(ram: tuple[Bench, Job]) -> None:
    bench, job = ram
    tables: Tables = bench.tables_of(job)
    untouched = replace(job, surveys={name: s for name, s in job.surveys.items() if name != AS_LEFT})
    assert left_state(untouched, tables, bench.assess(job)) == untouched.survey(AS_LEFT)
