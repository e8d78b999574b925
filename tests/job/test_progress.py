"""What a list says of a job: what becomes of it so far, and how much of it is done."""

from __future__ import annotations

from log import Log, sound

from inspect_app.job.findings import Disposition
from inspect_app.job.progress import progress_of
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
