"""What speaks against closing a step of a job, and what refuses its release."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from closing import Closing
from log import SHIPPED, Log, sound
from scopes import SCOPE

from inspect_app.entries.agreed import Agreeing, CustomerAnswer, Version
from inspect_app.entries.agreeing import hash_of
from inspect_app.entries.job import Job
from inspect_app.entries.stepping import RecordNoted
from inspect_app.entries.typed import Held
from inspect_app.job.as_left import parts_now
from inspect_app.job.assess import assess
from inspect_app.job.scope.shown import ScopeLine, SeenItem, to_data
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.standing import Standing, State
from inspect_app.job.steps import Facts, asked_of, changed_words, held_of, steps_of
from inspect_app.trade.measuring.refusal import UNSAID, Sentence

RECHROME = replace(
    SCOPE, items=(SeenItem("rod-rust", 1, "Rust", "R.", "R.", "R."),),
    lines=(ScopeLine("rechrome", "Rod: plate it new", "410.00", items=(1,)), ScopeLine("reseal", "New seals", "80.00")),
)  # fmt: skip


def held(log: Log, step: str, agreeing: Agreeing | None = None, seals: Sequence[Standing] = ()) -> Held:
    job = replace(log.job(), agreeing=agreeing or Agreeing())
    return held_of(step, facts(log, job, seals))


def facts(log: Log, job: Job, seals: Sequence[Standing] = ()) -> Facts:
    left = assess(job.survey("as-left"), log.tables)
    return Facts(
        job,
        log.tables,
        assessment=log.assess,
        parts=lambda: parts_now(job, log.assess(), left),
        seals=lambda: seals,
    )


def words(sentences: Sequence[Sentence]) -> str:
    return " ".join(str(s) for s in sentences)


def did(log: Log, step: str, what: str = "closed", reason: str = "") -> None:
    log.write("step", step=step, did=what, reason=reason)


def before(log: Log, step: str) -> None:
    """Close everything before a step."""
    for name in [*SHIPPED.steps][: [*SHIPPED.steps].index(step)]:
        did(log, name)


def agreed() -> Agreeing:
    shown = to_data(RECHROME)
    version = Version("v", 1, shown, hash_of(shown), "KM", "2026-03-02T08:00:00.000Z", "D")
    yes = CustomerAnswer(
        "a", version.sha256, "yes", {}, "I agree.", "490.00", "98.00", "588.00", "XTS", "2026-04-01", "H. Aalto",
        "may order", "telephone", "", "", (), "+02:00", "document", "KM", "2026-03-02T08:30:00.000Z", "D",
    )  # fmt: skip
    return Agreeing(versions=(version,), answers=(yes,))


def test_receiving_asks_for_tag_owner_mass_who_brought_it_and_its_caution() -> None:
    log = Log()
    said = words(held(log, "receiving").missing)
    for asked in (
        "1 caution is not read",
        "Not recorded: Brought by.",
        "Serial or tag",
        "The customer",
        "The mass",
    ):
        assert asked in said
    log.write("caution", caution="lifting-gear")
    log.write("record", step="receiving", record="brought-by", typed="driver", value="")
    fields = {"serial": ("B-7", ""), "customer": ("Quarry", ""), "mass": ("80 kg", "80")}
    log.write("nameplate", fields={n: {"typed": t, "value": v} for n, (t, v) in fields.items()})
    assert held(log, "receiving") == Held()


def test_a_step_out_of_order_names_those_before_it() -> None:
    log = Log()
    did(log, "make-safe", "skipped", "came drained")
    said = words(held(log, "clean").missing)
    assert "Still open before it: Receiving, Teardown." in said


def test_measuring_ends_when_no_place_is_open_and_deciding_when_the_whole_is_decided() -> None:
    log = sound()
    before(log, "measure")
    assert held(log, "measure") == Held()
    did(log, "measure")
    assert held(log, "decide") == Held()
    fresh = Log()
    before(fresh, "measure")
    assert "questions, places and looks are still to do" in words(held(fresh, "measure").missing)
    did(fresh, "measure", "skipped", "only resealed")
    assert "Not decided yet" in words(held(fresh, "decide").missing)


def test_a_crack_speaks_against_deciding_and_against_release_until_somebody_qualified_decides() -> None:
    log = sound()
    log.defect("rod-surface", "crack", "seal-travel")
    before(log, "decide")
    assert "STOP: crack on the rod" in words(held(log, "decide").missing)
    assert "STOP: crack on the rod" in words(held(log, "release").missing)
    log.decide("rod", "reuse", examined_by="N. Holm, level 2", examined_how="magnetic particles")
    assert held(log, "decide") == Held()


@pytest.mark.parametrize(
    ("agreeing", "says"),
    [
        (Agreeing(), "was shown no scope yet"),
        (replace(agreed(), answers=()), "has not said yes or no yet"),
        (
            replace(agreed(), answers=(replace(agreed().answers[0], answer="question"),)),
            "has not said yes or",
        ),
        (agreed(), ""),
        (replace(agreed(), answers=(replace(agreed().answers[0], answer="no"),)), ""),
    ],
)
def test_the_scope_is_closed_on_the_customers_yes_or_no(agreeing: Agreeing, says: str) -> None:
    log = Log()
    before(log, "scope")
    assert says in words(held(log, "scope", agreeing).missing)
    assert bool(says) == bool(held(log, "scope", agreeing).missing)


def standing(state: State, late: Sentence = UNSAID) -> Standing:
    line = SealLine("rod-seal", "gland", "Rod seal", "as found", "must")
    return Standing(line, state, 0, (), (), (), late)


def test_seals_that_are_late_or_wrong_are_named_and_the_rest_counted() -> None:
    log = Log()
    before(log, "seals")
    late = Sentence("promised 2026-03-01, not here")
    every = [standing(State.ORDERED, late), standing(State.WRONG), standing(State.READY)]
    said = words(held(log, "seals", seals=every).missing)
    assert "Rod seal, gland: late, promised 2026-03-01, not here." in said
    assert "Rod seal, gland: a wrong one came." in said
    assert "1 line of seals is not here" in said
    assert held(log, "seals", seals=[standing(State.RECEIVED)]) == Held()


def test_release_is_refused_while_what_was_agreed_to_is_undone_and_skipping_does_not_help() -> None:
    log = sound()
    log.defect("rod-surface", "rust", "seal-travel")
    before(log, "release")
    refused = words(held(log, "release", agreed()).refused)
    assert refused == "Rod: plate it new: agreed to and not done; Rod not measured since."
    # rework skipped: the release is refused all the same; reassembly skipped: the seals are not in
    did(log, "rework", "opened", "look again")
    did(log, "rework", "skipped", "no time")
    did(log, "reassembly", "opened", "look again")
    did(log, "reassembly", "skipped", "no time")
    refused = words(held(log, "release", agreed()).refused)
    assert "Rod: plate it new: agreed to and not done" in refused
    assert "Agreed to and not done: New seals. Reassembly is not closed." in refused
    # nothing of it was agreed to: nothing refuses it
    assert not held(log, "release").refused


def test_release_is_granted_when_everything_agreed_to_is_done_and_every_step_is_over() -> None:
    log = sound()
    log.defect("rod-surface", "rust", "seal-travel")
    before(log, "release")
    log.write("decision", part="rod", disposition="reuse", reason="plated, measured", survey="as-left")
    for record in SHIPPED.steps["release"].records:
        if record.must:
            log.write("record", step="release", record=record.id, typed="x", value="")
    assert held(log, "release", agreed()) == Held()
    did(log, "clean", "opened", "sand in it")
    assert words(held(log, "release", agreed()).missing) == "Still open: Clean."


def test_what_was_skipped_or_closed_against_something_says_by_whom_and_why() -> None:
    log = Log()
    did(log, "clean", "skipped", "clean enough")
    did(log, "measure", "closed", "only resealed")
    did(log, "decide")
    told = {s.step.id: changed_words(s) for s in steps_of(log.job().steps, SHIPPED.steps)}
    assert told["clean"] == "skipped by AB: clean enough"
    assert told["measure"] == "closed with something missing by AB: only resealed"
    assert told["decide"] == told["receiving"] == ""


EYES = {"rod-end": "eye-with-bush", "cap-end": "clevis"}


@pytest.mark.parametrize(
    ("answers", "asked"),
    [(EYES, True), ({**EYES, "cap-end": "trunnion"}, False), ({"rod-end": "clevis"}, False), ({}, False)],
)
def test_the_angle_between_the_pins_is_asked_only_where_both_ends_have_one(
    answers: dict[str, str], asked: bool
) -> None:
    step = SHIPPED.steps["reassembly"]
    found = {r.id for r in asked_of(step, Closing(answers=answers).job)}
    assert ("eye-angle" in found, "eye-angle-allowed" in found) == (asked, asked)


def test_a_ram_is_not_asked_for_a_piston_and_what_was_entered_all_the_same_stays_in_sight() -> None:
    step, ram = SHIPPED.steps["reassembly"], Closing(cylinder="ram")
    assert "piston-seal-way" not in {r.id for r in asked_of(step, ram.job)}
    ram.enter(RecordNoted("reassembly", "piston-seal-way", "none"))
    assert "piston-seal-way" in {r.id for r in asked_of(step, ram.job)}
    assert "piston-seal-way" in {r.id for r in asked_of(step, Closing().job)}
