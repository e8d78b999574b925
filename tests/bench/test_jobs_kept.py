"""The jobs in memory: the same as their logs tell, within bounds, and one step back without the log."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.bench import jobs_kept
from inspect_app.bench.bench import Bench
from inspect_app.bench.jobs_kept import JobsKept
from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.logbook.store import Logbook


def read(n: int, value: str, job: str = "J", at: int = -1) -> Entry:
    body = {
        "check": "rod-diameter", "station": str(n % 3), "clock": "3", "typed": value, "value": value, "step": "0.01",
        "gauge": "g",
    }  # fmt: skip
    return Entry(
        f"{job}{n:04}", job, "D", f"2026-03-02T08:00:{at if at >= 0 else n:02}.000Z", "AB", "reading", body
    )


def undo(n: int, of: int) -> Entry:
    return Entry(f"J{n:04}", "J", "D", f"2026-03-02T08:00:{n:02}.000Z", "AB", "undo", {"of": f"J{of:04}"})


STEPS = st.lists(
    st.tuples(st.just("read"), st.sampled_from(["69.9", "69.8", "no number"]))
    | st.tuples(st.just("undo"), st.integers(1, 4)),
    max_size=30,
)


@given(steps=STEPS)
def test_a_job_gone_on_with_is_the_job_that_all_its_entries_tell(steps: list[tuple[str, str | int]]) -> None:
    entries = [read(0, "70")]
    kept = JobsKept(lambda _: entries)
    assert kept.of("J") == fold("J", entries)
    for n, (what, how) in enumerate(steps, 1):
        entries.append(read(n, str(how)) if what == "read" else undo(n, n - int(how)))
        assert kept.go_on("J", entries[-1:]) == kept.of("J") == fold("J", entries)


def test_the_last_entries_are_taken_back_without_the_log() -> None:
    asked, entries = [], [read(n, "70") for n in range(3)]

    def all_of(job_id: str) -> list[Entry]:
        asked.append(job_id)
        return entries

    kept = JobsKept(all_of)
    kept.keep(fold("J", entries[:1]))
    assert kept.go_on("J", entries[1:]) == fold("J", entries)
    entries.append(undo(3, 2))
    assert kept.go_on("J", entries[-1:]) == fold("J", entries)
    entries.append(undo(4, 1))
    assert kept.go_on("J", entries[-1:]) == fold("J", entries)
    assert asked == []
    entries.append(undo(5, 0))  # that one came with the log
    assert kept.go_on("J", entries[-1:]) == fold("J", entries)
    assert asked == ["J"]


def test_an_entry_older_than_what_stands_is_folded_in_its_place() -> None:
    entries = [read(5, "70")]
    kept = JobsKept(lambda _: entries)
    kept.of("J")
    entries.append(read(8, "71", at=4))  # at the same place, and earlier
    job = kept.go_on("J", entries[-1:])
    assert [reading.value for reading in job.as_found.replaced] == [Decimal("71")]


def test_the_jobs_in_memory_stay_within_bounds_and_the_one_asked_for_last_stays(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(jobs_kept, "MOST_ENTRIES", 10)
    gone: list[str] = []
    kept = JobsKept(lambda job: [read(n, "70", job) for n in range(99 if job == "large" else 4)], gone.append)
    for name in "ABC":
        kept.of(name)
        kept.of("A")
    assert (gone, "A" in kept, "B" in kept, "C" in kept) == (["B"], True, False, True)
    kept.of("large")  # one alone is kept whatever its size
    assert "large" in kept
    assert gone == ["B", "C", "A"]
    kept.of("A")
    assert gone[-1] == "large"
    kept.clear()
    assert "A" not in kept


def test_a_bench_lets_go_of_what_it_computed_of_a_job_with_the_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(tmp_path, throw_away=True)
    first = bench.open_job("one", "AB")
    bench.assess(first)
    monkeypatch.setattr(jobs_kept, "MOST_ENTRIES", 1)
    bench.open_job("two", "AB")
    assert not bench.remembered._kept
    assert not bench.remembered._results
    assert bench.job(first.id) == first


def test_undo_reads_no_more_than_the_last_entries(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench = Bench(tmp_path, throw_away=True)
    job = bench.open_job("one", "AB")
    check = bench.tables.cylinders["double-acting"].check("rod-diameter")
    assert check is not None
    for n in range(3):
        body = {**read(n, "70").body, "check": check.id}
        job = bench.record(job.id, "AB", ("reading", body))
    before = bench.record(job.id, "AB", ("caution", {"caution": "pressure"}))
    asked: list[str] = []
    whole = Logbook.entries

    def entries(log: Logbook, job_id: str, *kinds: str) -> tuple[Entry, ...]:
        asked.append(" ".join(kinds))
        return whole(log, job_id, *kinds)

    monkeypatch.setattr(Logbook, "entries", entries)
    job, undone = bench.undo(before, "AB")
    assert undone is not None
    assert undone.kind == "caution"
    job, undone = bench.undo(job, "AB")
    assert undone is not None
    assert undone.body["station"] == "2"
    assert asked == ["undo", "undo"]
    assert job == fold(job.id, whole(bench.logbook, job.id))
