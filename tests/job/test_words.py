"""What is said of findings, part by part and on the whole: whole sentences, in the order that matters."""

from __future__ import annotations

import pytest
from log import Log, sound

from inspect_app.job.headline import stop_sentence, triage_sentence, whole_sentence
from inspect_app.job.triage import triage
from inspect_app.job.words import finding_sentence, missing_sentence
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


# ---- one whole sentence for each verdict and shape of limit


@pytest.mark.parametrize(
    ("lower", "upper", "sentence"),
    [
        ("9.5", "12.70", "Minimum thickness 10.200 mm at middle is within the reuse limit, 9.5 to 12.7 mm."),
        ("9.5", "", "Minimum thickness 10.200 mm at middle is within the reuse limit, at least 9.5 mm."),
        ("", "12.70", "Minimum thickness 10.200 mm at middle is within the reuse limit, at most 12.7 mm."),
        (
            "11",
            "12.75",
            "Minimum thickness 10.200 mm at middle is outside the reuse limit, 11.00 to 12.75 mm.",
        ),
        ("11", "", "Minimum thickness 10.200 mm at middle is outside the reuse limit, at least 11 mm."),
        ("", "9.250", "Minimum thickness 10.200 mm at middle is outside the reuse limit, at most 9.25 mm."),
        (
            "10.21",
            "12",
            "Minimum thickness 10.200 mm at middle is too close to the reuse limit, 10.21 to 12.00 mm.",
        ),
        (
            "10.2",
            "",
            "Minimum thickness 10.200 mm at middle is too close to the reuse limit, at least 10.2 mm.",
        ),
        (
            "",
            "10.21",
            "Minimum thickness 10.200 mm at middle is too close to the reuse limit, at most 10.21 mm.",
        ),
    ],
)
def test_a_finding_is_one_whole_sentence_with_a_limit_in_as_few_digits_as_it_has(
    lower: str, upper: str, sentence: str
) -> None:
    log = Log()
    log.read("barrel-wall", "middle ", "10.200", u2="0.05")
    log.drawing("barrel-wall", "least", lower, upper)
    assert finding_sentence(log.finding("barrel-wall", "least")).words("metric") == sentence


def test_a_limit_that_has_no_numbers_yet_says_what_is_missing_in_one_sentence() -> None:
    log = Log()
    log.read("rod-diameter", "25 12", "62.95")
    said = finding_sentence(log.finding("rod-diameter", "size")).words("metric")
    assert said == (
        "Size 62.950 mm at 25 mm, 12 o'clock cannot be judged by the reuse limit: the nominal size is not known yet."
    )


def test_the_size_of_a_defect_is_said_as_it_was_typed_and_converted_without_idle_digits() -> None:
    log = Log()
    body = {"check": "rod-surface", "defect": "score-along", "station": "300", "clock": "6", "note": ""}
    sizes = {"depth": {"typed": "0.420 mm", "value": "0.42"}, "length": {"typed": "85 mm", "value": "85"}}
    log.write("defect", **body, zone="seal-travel", felt="felt", measures=sizes)
    depth, length = (log.finding("rod-surface", name) for name in ("depth", "length"))
    assert finding_sentence(length).words("metric") == (
        "Score, lengthwise: length 85 mm at 300 mm, 6 o'clock is outside the reuse limit, at most 12.7 mm."
    )
    assert "depth 0.420 mm at" in finding_sentence(depth).words("metric")
    assert finding_sentence(length).words("inch") == (
        "Score, lengthwise: length 3.3465 in at 11.81 in, 6 o'clock is outside the reuse limit, at most 0.5 in."
    )


def test_a_defect_that_only_is_there_has_a_sentence_of_its_own() -> None:
    log = Log()
    log.defect("rod-surface", "crack", zone="seal-travel")
    (found,) = log.check("rod-surface").findings
    assert finding_sentence(found).words("metric") == "Crack at 300 mm, 6 o'clock: none allowed."


def test_parts_of_what_is_missing_are_told_apart() -> None:
    log = Log(rod="63", stroke="1200")
    log.skip("rod-diameter", "25 12")
    missing = missing_sentence(log.check("rod-diameter")).words("metric")
    assert missing.startswith("Rod diameter: 11 of 12 places not measured")
    assert missing.endswith("; 1 skipped with a reason.")
