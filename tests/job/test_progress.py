"""What a list says of a job: what becomes of it so far, and how much of it is done."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from log import Log, sound

from inspect_app.entries.job import AS_FOUND, Field, Job, Survey
from inspect_app.entries.steps import Stepped, Steps
from inspect_app.job.findings import Disposition
from inspect_app.job.progress import orders_seals, progress_of
from inspect_app.trade.measuring.decision import Verdict


def test_a_job_with_nothing_entered_is_not_decided_and_nothing_is_done() -> None:
    stands = progress_of(Log(rod="50", bore="100", stroke="600").assess())
    assert (stands.sign, stands.word, stands.parts) == (Verdict.NOT_MEASURED, "not decided", "")
    # what follows from two checks is left to do, and is no place of its own
    assert stands.done == 0 < stands.of < stands.left


def test_a_reading_is_one_more_done_and_a_skip_one_less_left() -> None:
    log = Log(rod="50", bore="100", stroke="600")
    before = progress_of(log.assess())
    log.read("rod-diameter", "25 12", "49.900")
    read = progress_of(log.assess())
    assert (read.word, read.parts) == ("not decided", "rod rework")
    assert (read.done, read.of, read.left) == (1, before.of, before.left - 1)
    log.skip("rod-diameter", "25 2")
    skipped = progress_of(log.assess())
    assert (skipped.done, skipped.of, skipped.left) == (1, before.of, before.left - 2)


def test_a_sound_cylinder_takes_new_seals_and_everything_is_done() -> None:
    stands = progress_of(sound().assess())
    assert (stands.sign, stands.word, stands.left) == (Verdict.WITHIN, "new seals", 0)
    assert stands.done == stands.of


def test_a_stop_comes_before_everything_else() -> None:
    log = sound()
    log.defect("welds-look", "crack", zone="weld or toe")
    stands = progress_of(log.assess())
    assert (stands.sign, stands.word, stands.parts) == (Disposition.REFER, "stop", "welds and threads stop")


def test_for_a_cylinder_that_was_let_go_nothing_is_ordered() -> None:
    found = Survey(nominals={"wiper-groove-diameter": Field("100", Decimal(100))})
    job = Job("J", surveys={AS_FOUND: found})
    assert orders_seals(job)
    assert not orders_seals(Job("J", surveys={AS_FOUND: Survey()}))

    def did(what: str) -> Job:
        return replace(
            job, steps=Steps(done=(Stepped("S", "release", what, "", "KM", "2026-03-02T08:00:00.000Z"),))
        )

    assert not orders_seals(did("closed"))
    assert orders_seals(did("opened"))
