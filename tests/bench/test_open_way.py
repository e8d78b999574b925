"""While the way to repair is open, what differs after it is neither ordered nor closed by a reason."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from planned_cases import cylinder

from inspect_app.bench import repairing
from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.entries.ordering import Asked, Ordered
from inspect_app.entries.sealing import DoubtClosed
from tests.job.test_paths import scored

PISTON_SEAL = ("piston-seal", "piston")


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path, now=lambda: datetime(2026, 11, 27, 12, tzinfo=UTC))
    yield bench
    bench.close()


@pytest.fixture
def job(bench: Bench) -> Job:
    """A bore scored 0.07 deep: honed with a new piston, or a new barrel."""
    opened = bench.open_job("W-5", "KM")
    return bench.record(opened.id, "KM", *((e.kind, e.body) for e in scored("0.07").entries[1:]))


def test_what_waits_for_the_way_is_refused_in_words(bench: Bench, job: Job) -> None:
    refused = bench.enter(job, Ordered(PISTON_SEAL, "Example Seals", "1"), "MT", "metric")
    assert refused.job is job
    says = str(refused.remark)
    assert says.startswith(
        "It cannot be ordered yet: The way to repair is open, and decides what goes here. As it is: "
    )
    assert "After hone, fit new piston: not known before it is measured." in says
    closed = bench.enter(job, DoubtClosed(PISTON_SEAL, "path", "it will be honed"), "MT", "metric")
    assert closed.job is job
    assert str(closed.remark).startswith("No reason closes this. To settle it: choose the way to repair")


def test_a_question_or_an_order_computes_no_way_again(
    bench: Bench, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    computed = []
    real = repairing.paths_of
    monkeypatch.setattr(repairing, "paths_of", lambda case: computed.append(case) or real(case))
    before = bench.seal_list(job)
    asked = bench.enter(job, Asked(PISTON_SEAL, "Is the land whole?"), "MT", "metric").job
    assert bench.seal_list(asked) is before
    assert next(s.asked for s in bench.seals(asked) if s.line.where == PISTON_SEAL)
    assert len(computed) == 1


def test_of_a_cylinder_that_only_needs_new_seals_no_way_is_reckoned(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = bench.open_job("W-6", "KM")
    job = bench.record(opened.id, "KM", *((e.kind, e.body) for e in cylinder().entries[1:]))
    monkeypatch.setattr(repairing, "paths_of", lambda case: pytest.fail("a path was reckoned"))
    assert bench.seals(job)
