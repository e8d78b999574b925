"""What is done with the steps of a job: what follows what, what needs a reason, and what nothing overrules."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from log import SHIPPED

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import AS_FOUND, Job, Survey
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.entries.typed import Held, Known, Listed, Typed, Written
from inspect_app.job.steps import Stands, in_hand, next_after, steps_of
from inspect_app.trade.measuring.refusal import Refusal, Sentence

NOTHING = Held()


class Told:
    """A job that things are typed into, a minute after each other."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self.minute = 0

    @property
    def job(self) -> Job:
        return replace(
            fold("J", self.entries), surveys={AS_FOUND: Survey(cylinder="double-acting", units="metric")}
        )

    def written(
        self, typed: Typed, by: str = "KM", held: Held = NOTHING, system: str = "metric"
    ) -> list[Written]:
        job = self.job
        known = Known(
            job, job.as_found, SHIPPED, system, places=lambda _: (), at_hand=lambda _: None,
            computed=lambda _: "", listed=lambda _: Listed("", None, (), ()), held=lambda _: held, by=by,
        )  # fmt: skip
        return typed.written(known)

    def enter(self, typed: Typed, by: str = "KM", held: Held = NOTHING, system: str = "metric") -> Job:
        for kind, body in self.written(typed, by, held, system):
            at = f"2026-03-02T{8 + self.minute // 60:02}:{self.minute % 60:02}:00.000Z"
            self.entries.append(Entry(f"{len(self.entries):04}", "J", "D", at, by, kind, body))
        self.minute += 1
        return self.job

    def says(self, typed: Typed, by: str = "KM", held: Held = NOTHING, system: str = "metric") -> str:
        with pytest.raises(Refusal) as refused:
            self.written(typed, by, held, system)
        return refused.value.words(system)


@pytest.fixture
def told() -> Told:
    return Told()


def stands(job: Job, step: str) -> Stands:
    return next(s for s in steps_of(job.steps, SHIPPED.steps) if s.step.id == step).stands


def hand(job: Job) -> str:
    found = in_hand(steps_of(job.steps, SHIPPED.steps))
    return found.step.id if found else ""


def test_the_first_open_step_is_in_hand_unless_somebody_is_at_work_in_another(told: Told) -> None:
    assert hand(told.job) == "receiving"
    assert hand(told.enter(StepDone("receiving", "closed"))) == "make-safe"
    assert hand(told.enter(StepDone("measure", "started"))) == "measure"
    assert hand(told.enter(StepDone("measure", "stopped"))) == "make-safe"
    assert hand(told.enter(StepDone("make-safe", "skipped", "came drained"))) == "teardown"


def test_after_the_last_step_comes_what_was_left_open_before(told: Told) -> None:
    job = told.enter(StepDone("release", "closed", "in a hurry"))
    every = steps_of(job.steps, SHIPPED.steps)
    after = next_after(every, "release")
    assert after
    assert after.step.id == "receiving"
    after = next_after(every, "receiving")
    assert after
    assert after.step.id == "make-safe"


def test_time_is_from_each_start_to_the_same_persons_stop_and_starting_one_stops_another(told: Told) -> None:
    told.enter(StepDone("teardown", "started"))  # 08:00
    told.enter(StepDone("teardown", "started"), by="LM")  # 08:01
    assert told.written(StepDone("teardown", "started")) == []  # twice is once
    told.enter(StepDone("clean", "started"))  # 08:02, KM leaves the teardown
    job = told.enter(StepDone("teardown", "closed"))  # 08:03, which ends LM's time
    of = {s.step.id: s for s in steps_of(job.steps, SHIPPED.steps)}
    assert of["teardown"].spent == timedelta(minutes=2 + 2)
    assert of["clean"].spent == timedelta(0)  # runs still
    assert [r.by for r in of["clean"].running] == ["KM"]
    assert not of["teardown"].running


def test_skipping_and_opening_again_need_a_reason_and_initials(told: Told) -> None:
    assert "Say why Clean is skipped" in told.says(StepDone("clean", "skipped"))
    assert "initials are missing" in told.says(StepDone("clean", "skipped", "clean enough"), by="")
    job = told.enter(StepDone("clean", "skipped", "clean enough"))
    assert stands(job, "clean") is Stands.SKIPPED
    assert "open it again first" in told.says(StepDone("clean", "started"))
    assert "open it again first" in told.says(StepDone("clean", "closed"))
    assert "Say why Clean is opened again" in told.says(StepDone("clean", "opened"))
    assert stands(told.enter(StepDone("clean", "opened", "mud in a groove")), "clean") is Stands.TO_COME
    assert "Clean is open." in told.says(StepDone("clean", "opened", "again"))
    assert stands(told.enter(StepDone("clean", "closed")), "clean") is Stands.CLOSED


def test_something_missing_is_overruled_by_a_reason_and_a_refusal_by_nothing(told: Told) -> None:
    missing = Held((Sentence("The mass is missing."),))
    assert "The mass is missing. Or say why" in told.says(StepDone("receiving", "closed"), held=missing)
    late = StepDone("receiving", "closed", "no scale today")
    assert "initials" in told.says(late, by="", held=missing)
    job = told.enter(late, held=missing)
    last = job.steps.last("receiving")
    assert last
    assert (last.reason, last.by) == ("no scale today", "KM")
    refused = Held((), (Sentence("Rod: agreed to and not done."),))
    assert "Release is refused. Rod" in told.says(StepDone("release", "closed", "he waits"), held=refused)


def test_undone_things_are_refused_by_their_names(told: Told) -> None:
    assert "'paint' is not a step; allowed are receiving" in told.says(StepDone("paint", "closed"))
    assert "allowed are started" in told.says(StepDone("clean", "finished"))
    assert "was not started by you" in told.says(StepDone("clean", "stopped"))


def test_a_record_is_kept_as_typed_and_as_understood(told: Told) -> None:
    # 12 000 lbf·ft = 16 269.8 N·m, NIST SP 811: 1 lbf·ft = 1.355 817 948 N·m
    job = told.enter(RecordNoted("teardown", "breakaway", "12000"), system="inch")
    assert job.steps.typed("teardown", "breakaway") == "12000 lbf·ft"
    value = job.steps.value("teardown", "breakaway")
    assert value
    assert abs(value - Decimal("16269.815")) < Decimal("0.001")
    job = told.enter(RecordNoted("teardown", "breakaway", "beyond the tool"))
    assert (job.steps.typed("teardown", "breakaway"), job.steps.value("teardown", "breakaway")) == (
        "beyond",
        None,
    )
    assert told.written(RecordNoted("teardown", "breakaway", "beyond the tool")) == []
    assert ("teardown", "breakaway") not in told.enter(RecordNoted("teardown", "breakaway", "")).steps.records


@pytest.mark.parametrize(
    ("step", "record", "text", "says"),
    [
        ("teardown", "breakaway", "49.9", "is not between 50 N·m and 100000 N·m"),
        ("teardown", "breakaway", "120 kN·m", "is not between 50 N·m"),
        ("teardown", "breakaway", "5 mm", "torque is asked for"),
        ("teardown", "heat-temperature", "200", "is taken only with this: Heat used"),
        ("make-safe", "iso-4406", "18/16/13", "is taken only with this: Laboratory or counter"),
        ("make-safe", "oil-look", "blue", "allowed are clear, hazy"),
        ("make-safe", "colour", "blue", "'colour' is not recorded in Make safe and drain; allowed are"),
        ("receiving", "side-1", "x.jpg", "'side-1' is not recorded"),
    ],
)
def test_what_cannot_be_recorded_says_why(told: Told, step: str, record: str, text: str, says: str) -> None:
    assert says in told.says(RecordNoted(step, record, text))


def test_the_bounds_are_said_in_the_readers_units(told: Told) -> None:
    # 50 N·m / 1.355 817 948 = 36.9 lbf·ft
    assert "between 36.9 lbf·ft and" in told.says(RecordNoted("teardown", "breakaway", "10"), system="inch")


def test_a_code_of_a_laboratory_is_taken_with_its_name(told: Told) -> None:
    told.enter(RecordNoted("make-safe", "laboratory", "Oil lab Norby"))
    job = told.enter(RecordNoted("make-safe", "iso-4406", "18/16/13"))
    assert job.steps.typed("make-safe", "iso-4406") == "18/16/13"
    assert stands(job, "make-safe") is Stands.BEGUN
