"""What is said of findings, part by part and on the whole: whole sentences, in the order that matters."""

from __future__ import annotations

from log import sound

from inspect_app.job.triage import triage
from inspect_app.job.words import stop_sentence, triage_sentence, whole_sentence
from inspect_app.report.plain import as_table

EXAMINED = {"examined_by": "B. Holm, level 2", "examined_how": "magnetic particles"}


def test_a_crack_comes_before_everything_else_with_its_part() -> None:
    log = sound()
    log.read_all(
        "bore-diameter", "101.20"
    )  # the barrel cannot be repaired, and still the crack is said first
    log.defect("rod-surface", "crack", zone="seal-travel", length="5")
    said = whole_sentence(log.assess())
    stop = "STOP: crack on the rod. Do not use it until a qualified person decides."
    assert said == f"{stop} Replace the cylinder: barrel cannot be repaired."
    assert stop_sentence(log.assess()) == stop
    first, *_ = as_table(log.job(), log.assess(), "metric")
    assert first == stop


def test_everything_that_stops_is_named_once_with_its_part() -> None:
    log = sound()
    for _ in range(2):
        log.defect("welds-look", "crack", zone="load-or-pressure-path", length="5")
    log.defect("barrel-outside", "dent", depth="0.8")
    log.defect("barrel-outside", "arc-strike")
    assert whole_sentence(log.assess()) == (
        "STOP: dent and weld spark or spatter on the barrel; crack on the welds and threads. "
        "Do not use it until a qualified person decides."
    )


def test_the_headline_follows_a_persons_decision() -> None:
    log = sound()
    log.read_all("rod-diameter", "62.80")
    assert whole_sentence(log.assess()) == "Repair. Rework: rod. New seals."
    log.decide("rod", "replace")
    assert whole_sentence(log.assess()) == "Repair. New: rod. New seals."
    log.defect("rod-surface", "crack", zone="seal-travel", length="5")
    assert whole_sentence(log.assess()) == (
        "Repair. New: rod. New seals. Decided by a person against the calculated result: rod replace, calculated "
        "result stop."
    )
    log.decide("rod", "reuse", **EXAMINED)
    assert whole_sentence(log.assess()) == (
        "Repair by new seals: every other part is fit for reuse. Decided by a person against the calculated "
        "result: rod reuse, calculated result stop, examined by B. Holm, level 2."
    )


def test_a_decision_nobody_knows_is_counted_and_decides_nothing() -> None:
    log = sound()
    log.decide("rod", "weld")
    assert (log.job().unknown, log.part("rod").decided) == (1, None)


def test_the_short_look_names_what_stops_it() -> None:
    log = sound()
    log.defect("rod-surface", "crack", zone="seal-travel", length="5")
    assert triage_sentence(triage(log.assess())) == (
        "STOP: crack on the rod. A qualified person decides before anything else is measured."
    )
