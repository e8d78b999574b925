"""The job's first screen and its steps: recorded, closed, skipped with a reason, refused, and where it stands told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.deciding import CautionConfirmed
from inspect_app.entries.job import Job
from inspect_app.entries.stepping import StepDone


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop")
    yield bench
    bench.close()


@pytest.fixture
def job(bench: Bench) -> Job:
    return bench.open_job("T-9 steps", "KM")


def closed(bench: Bench, job: Job, *steps: str) -> None:
    """Close steps with everything missing, for a reason."""
    for step in steps:
        outcome = bench.enter(bench.job(job.id), StepDone(step, "closed", "not this time"), "KM", "metric")
        assert not outcome.remark, str(outcome.remark)


def test_receiving_is_recorded_closed_and_the_next_step_is_at_the_strong_button(
    bench: Bench, job: Job
) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Receiving: 1 caution is not read and confirmed.")
        await at.tap("Go on: Receiving")
        said = await at.wait_for("Brought by")
        assert "Serial or tag is missing.\nThe customer is missing.\nThe mass is missing" in said
        await at.tap("Start work")
        await at.wait_for("Stop work")
        await at.tap("Read and understood")
        await at.wait_for("Confirmed by KM")
        for label, text in (
            ("Customer", "Example Quarry"),
            ("Serial or tag", "B-7"),
            ("Brought by", "driver"),
        ):
            await at.fill(label, text)
        await at.fill("Mass, kg", "eighty")
        await at.wait_for('"eighty" is not a number')
        await at.fill("Mass, kg", "80")
        await at.tap("no, to be measured")
        await at.until(lambda: "Before it is closed" not in at.says(), "nothing missing")
        await at.tap("Close: Receiving")
        said = await at.wait_for("Make safe and drain: 6 cautions are not read")
        assert "Go on: Make safe and drain" in said
        assert "Receiving. closed" in said

    day_at_the_desk(bench, f"/job/{job.id}", day)
    stands = bench.job(job.id)
    assert stands.steps.typed("receiving", "size-known") == "measured"
    assert stands.as_found.text("mass") == "80 kg"
    assert [d.did for d in stands.steps.done] == ["started", "closed"]


def test_a_step_is_skipped_and_closed_with_something_missing_only_for_a_reason(
    bench: Bench, job: Job
) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Skip it")
        await at.tap("Skip this step")
        await at.wait_for("Say why Clean is skipped; the report prints it.")
        await at.type("Reason", "clean enough")
        await at.tap("Skip this step")
        await at.wait_for("Clean. skipped")
        await at.go(f"/job/{job.id}/step/teardown")
        await at.tap("threaded")
        await at.fill("Breakaway torque of the gland, N·m", "12")
        await at.wait_for("12 is not between 50 N·m and 100000 N·m")
        await at.tap("beyond the tool")
        await at.tap("Close with something missing")
        await at.wait_for("The report says what was missing")
        await at.type("Reason", "in a hurry")
        await at.tap("Close it all the same")
        await at.wait_for("Teardown. closed with something missing")
        await at.tap("Teardown")
        await at.wait_for("closed with something missing by KM: in a hurry")
        await at.tap("Undo")
        await at.wait_for("Undone: teardown, closed.")

    day_at_the_desk(bench, f"/job/{job.id}/step/clean", day)
    stands = bench.job(job.id).steps
    assert stands.typed("teardown", "gland-kind") == "threaded"
    assert stands.typed("teardown", "breakaway") == "beyond"
    last = stands.last("clean")
    assert last
    assert (last.did, last.reason) == ("skipped", "clean enough")


def test_when_measuring_is_in_hand_the_next_check_is_one_tap_away(bench: Bench, job: Job) -> None:
    closed(bench, job, "receiving", "make-safe", "teardown", "clean")

    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Step: measure")
        await at.tap("T-9 steps")
        await at.tap("Go on: Measure")
        await at.wait_for("Rod")
        assert at.desk.standing.route.startswith((f"/job/{job.id}/look/", f"/job/{job.id}/measure/"))
        await at.tap("Back")
        await at.wait_for("What is there")  # the parts
        await at.tap("Back")
        await at.wait_for("Go on: Measure")

    day_at_the_desk(bench, "/", day)


def test_cautions_confirmed_on_the_parts_count_in_the_step(bench: Bench, job: Job) -> None:
    bench.enter(job, CautionConfirmed("lock-out"), "LM", "metric")

    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Confirmed by LM")
        await at.wait_for("5 cautions are not read and confirmed.")

    day_at_the_desk(bench, f"/job/{job.id}/step/make-safe", day)


def test_what_exceeds_the_shops_means_is_said_before_it_is_lifted(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Hoist or crane")
        await at.tap("Use it")
        await at.wait_for("Give the name or number that stands on it.")
        await at.type("Name or number on it", "H-2")
        await at.type("Rated up to, kg", "50")
        await at.tap("Use it")
        await at.wait_for("H-2 up to 50 kg, no test date")
        await at.go(f"/job/{job.id}/step/receiving")
        await at.fill("Mass, kg", "80")
        await at.wait_for("Hoist or crane: 80 kg is asked for; the strongest here, H-2, is rated 50 kg.")

    day_at_the_desk(bench, "/settings", day)
