"""The job's first screen and its steps: recorded, closed, skipped with a reason, refused, and where it stands told."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.bench.scoping import answer, freeze
from inspect_app.entries.deciding import CautionConfirmed
from inspect_app.entries.job import Job
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.report.steps import changed_steps


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
        await at.wait_for("80 kg = 176.4 lb")
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
        await at.tap("Close with something missing")
        await at.type("Reason", "in a hurry")
        await at.tap("Close it all the same")
        await at.wait_for("Teardown. closed with something missing")
        await at.tap("Undo")  # the job's own screen shows its steps, so nothing is asked
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
        await at.wait_for("The cautions come first: 5 are not confirmed.")

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
        await at.tap("Inch")
        await at.wait_for("H-2 up to 50 kg (110.2 lb), no test date")  # 50 / 0.45359 = 110.2
        await at.tap("Metric")
        await at.go(f"/job/{job.id}/step/receiving")
        await at.fill("Mass, kg", "80")
        await at.wait_for("Hoist or crane: 80 kg is asked for; the strongest here, H-2, is rated 50 kg.")

    day_at_the_desk(bench, "/settings", day)


MAKE_SAFE = ("lock-out", "trapped-load", "both-ends", "gas-charge", "plugs-slowly", "rod-slides")


def test_trapped_pressure_has_its_cautions_first_and_says_when_they_were_passed_over(
    bench: Bench, job: Job
) -> None:
    async def day(at: AtTheDesk) -> None:
        said = await at.wait_for("The cautions come first: 6 are not confirmed.")
        assert "Isolate the machine" in said
        assert "Oil that came out" not in said
        await at.tap("Go on without them")
        await at.wait_for("Oil that came out")
        await at.tap("tried, and nothing moves")
        await at.wait_for("begun, 6 cautions not confirmed")
        await at.tap("Back")
        await at.wait_for("begun, 6 cautions not confirmed")
        await at.go(f"/job/{job.id}/step/make-safe")
        await at.wait_for("The cautions come first")  # asked anew each time
        for caution in MAKE_SAFE:
            bench.enter(bench.job(job.id), CautionConfirmed(caution), "KM", "metric")
        at.desk.refresh()
        await at.wait_for("Oil that came out")
        assert "cautions" not in at.says().replace("Cautions", "")

    day_at_the_desk(bench, f"/job/{job.id}/step/make-safe", day)


def test_a_step_left_without_its_first_cautions_says_so_where_it_is_listed(bench: Bench, job: Job) -> None:
    bench.enter(job, StepDone("make-safe", "skipped", "came open"), "KM", "metric")

    async def day(at: AtTheDesk) -> None:
        await at.wait_for("6 cautions not confirmed")
        await at.tap("Make safe and drain")
        await at.wait_for("skipped by KM: came open, 6 cautions not confirmed")

    day_at_the_desk(bench, f"/job/{job.id}", day)
    assert changed_steps(bench.job(job.id), bench.tables_of(job)) == (
        "Make safe and drain: skipped by KM: came open, 6 cautions not confirmed.",
    )


def test_what_was_just_entered_in_a_step_is_taken_back_without_a_question(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Read and understood")
        await at.wait_for("Confirmed by KM")
        await at.tap("Undo")
        await at.wait_for("Undone: caution confirmed.")
        await at.fill("Mass, kg", "80")
        await at.until(lambda: bench.job(job.id).as_found.text("mass") == "80 kg", "the mass")
        await at.tap("Undo")
        await at.wait_for("Undone: nameplate mass 80 kg.")
        await at.tap("no, to be measured")
        await at.until(lambda: bool(bench.job(job.id).steps.typed("receiving", "size-known")), "the answer")
        await at.tap("Undo")
        await at.wait_for("Undone: Is its size known: no, to be measured.")

    day_at_the_desk(bench, f"/job/{job.id}/step/receiving", day)


def test_each_photograph_and_each_answer_of_a_step_has_a_name_of_its_own(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        said = await at.wait_for("Photograph. Side 1")
        assert "Photograph. Cap end" in said
        await at.go(f"/job/{job.id}/step/teardown")
        said = await at.wait_for("beyond the tool. Breakaway torque of the gland")
        assert "beyond the tool. Breakaway torque of the piston nut" in said

    day_at_the_desk(bench, f"/job/{job.id}/step/receiving", day)


def test_receiving_asks_for_the_sizes_this_kind_of_cylinder_has(bench: Bench) -> None:
    double = bench.open_job("T-8", "KM", "double-rod")

    async def day(at: AtTheDesk) -> None:
        said = (await at.wait_for("Brought by")).splitlines()
        assert "Side A rod diameter, mm" in said
        assert "Rod diameter, mm" not in said
        assert any(
            "side A rod diameter, side B rod diameter" in line and "not known" in line for line in said
        )

    day_at_the_desk(bench, f"/job/{double.id}/step/receiving", day)


def test_hours_worked_stand_beside_those_the_scope_estimates(
    tmp_path: Path, demo_made: tuple[Path, str]
) -> None:
    clock = [datetime(2027, 3, 2, 8, tzinfo=UTC)]
    bench = Bench(shutil.copytree(demo_made[0], tmp_path / "demo"), now=lambda: clock[0])
    job = next(job for job in bench.jobs() if "linkspan" in job.name)
    bench.enter(job, StepDone("teardown", "opened", "to look again"), "KM", "metric")
    for did in ("started", "stopped"):
        assert not bench.enter(bench.job(job.id), StepDone("teardown", did), "KM", "metric").remark
        clock[0] += timedelta(minutes=95)

    async def day(at: AtTheDesk) -> None:
        said = await at.wait_for("1 h 35 min worked")
        assert re.search(r"Teardown: .*1 h 35 min worked, \d+ h .* estimated \(.*\)\.", said)

    day_at_the_desk(bench, f"/job/{job.id}/step/teardown", day)
    bench.close()


def test_the_list_says_what_is_released_and_what_comes_late(bench: Bench, job: Job) -> None:
    closed(bench, job, *(s for s in bench.tables_of(job).steps if s != "release"))
    for record, text in (
        ("taken-by", "driver"),
        ("plugs", "all"),
        ("rod-in", "in"),
        ("oil-left", "drained"),
    ):
        bench.enter(bench.job(job.id), RecordNoted("release", record, text), "KM", "metric")
    closed(bench, job, "release")
    order = {"what": "lip seal", "quantity": 1, "supplier": "S", "reference": "", "price": {}}
    at = {"position": "wiper", "place": "gland", "promised": "2020-01-01"}
    bench.record(bench.open_job("T-10", "KM").id, "KM", ("seal-order", order | at))

    async def day(at: AtTheDesk) -> None:
        said = (await at.wait_for("T-10")).splitlines()
        assert "released" in said
        assert "1 order late" in said
        assert "Step: receiving" in said

    day_at_the_desk(bench, "/", day)


def test_a_refused_release_is_not_the_thing_to_do_next(tmp_path: Path, demo_made: tuple[Path, str]) -> None:
    bench = Bench(shutil.copytree(demo_made[0], tmp_path / "demo"))
    job = next(job for job in bench.jobs() if "linkspan" in job.name)
    job, version = freeze(bench, job, "KM", "metric")
    yes = answer(
        bench, job, version, "yes", by="KM", name="H. Aalto", how="telephone", to="0100",
        options={"own-1": False},
    )  # fmt: skip
    assert not yes.remark, str(yes.remark)

    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Refused: ")
        close = at.named("Close: Release")
        assert close.content.bgcolor == at.desk.standing.look.raised  # type: ignore[attr-defined]
        await at.tap("Close: Release")
        await at.wait_for("Release is refused.")

    day_at_the_desk(bench, f"/job/{job.id}/step/release", day)
    bench.close()
