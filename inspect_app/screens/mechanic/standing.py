"""What a number comes to, in words for the line above the keypad: its verdict, its uncertainty, 20 °C, and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.job import Gauge, Place, Reading, Survey
from inspect_app.job.findings import CheckResult, PlaceResult, check_verdict
from inspect_app.job.judge import Judgement, nominal_of
from inspect_app.job.measured import sized
from inspect_app.job.readings import judge_reading
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import KINDS, show, show_text
from inspect_app.trade.measuring.refusal import Refusal


def unit_of(check: Check, system: str) -> str:
    """The unit a bare number is read in."""
    return KINDS[check.kind].shown(system)[0].name


@dataclass(frozen=True, slots=True)
class Stand:
    """How one number stands: the verdict (None where a single reading has none), and the words beside it."""

    verdict: Verdict | None
    words: str


def stand_of(reading: Reading, check: Check, survey: Survey, tables: Tables, system: str) -> Stand:
    """How a reading stands against the reuse limit.

    Args:
        reading: the reading.
        check: its check.
        survey: the state of the cylinder.
        tables: the tables.
        system: "metric" or "inch".
    """
    judgement = judge_reading(check, reading, survey, tables)
    judged = sized(reading, check, survey, tables)
    if judged is None:
        words = show_text(reading.value, kind=check.kind, system=system)
        return Stand(Verdict.NOT_MEASURED, f"{words}. No verdict: its gauge is not known")
    words = show_text(judged.value, kind=check.kind, system=system)
    if judged.corrected:
        read = show(reading.value, kind=check.kind, system=system)[0]
        words += " at 20 °C" if words.startswith(f"{read} ") else f" at 20 °C (read {read})"
    if judgement is None:
        return Stand(None, words)
    if judgement.limit.missing:
        return Stand(
            Verdict.NOT_MEASURED, f"{words}. No verdict yet: {judgement.limit.missing.words(system)}"
        )
    return Stand(judgement.verdict, words + _doubtful(judgement, check.kind, system))


def _doubtful(judgement: Judgement, kind: str, system: str) -> str:
    """The uncertainty, and where it leaves the verdict open the limit that it reaches over."""
    decision = judgement.decision
    if decision is None:
        return ""
    fine = KINDS[kind].shown(system)[1] + 1
    u = show(decision.expanded_uncertainty, kind=kind, system=system, decimals=fine)[0]
    if judgement.verdict is not Verdict.UNCLEAR:
        return f" ±{u}"
    limit = judgement.limit
    near = limit.upper if limit.lower is None else limit.lower
    value = decision.value
    if limit.lower is not None and limit.upper is not None and value is not None:
        near = min(limit.lower, limit.upper, key=lambda x: abs(x - value))
    assert near is not None
    return f" ±{u} spans the limit {show(near, kind=kind, system=system)[0]}"


def stand_of_typed(
    text: str, check: Check, survey: Survey, tables: Tables, typed_in: str, system: str, gauge: Gauge
) -> Stand | None:
    """How a number would stand if it were entered now; None while it cannot be read.

    Args:
        text: as typed so far.
        check: the check.
        survey: the state of the cylinder.
        tables: the tables.
        typed_in: "metric" or "inch", the units of a bare number.
        system: those the words are in.
        gauge: what it is being read with.
    """
    try:
        quantity = quantities.read(text, kind=check.kind, system=typed_in, nominal=nominal_of(check, survey))
    except Refusal:
        return None
    with_gauge = replace(survey, gauges={**survey.gauges, gauge.id: gauge})
    reading = Reading("", check.id, Place("", ""), quantity.value, text, gauge.id, "", "", step=quantity.step)
    stand = stand_of(reading, check, with_gauge, tables, system)
    in_others = "" if typed_in == system else f"; typed in {unit_of(check, typed_in)}"
    return replace(stand, words=stand.words + in_others)


def word_of_place(result: PlaceResult) -> tuple[Verdict | None, str]:
    """The verdict of a place and its word, the same as on paper; None where a reading only informs.

    Args:
        result: one place of a check.
    """
    if result.reading is None:
        return result.verdict, result.verdict.value
    if result.judgement is None:
        return None, "information"
    if result.judgement.limit.missing:
        return None, "no limit yet"
    return result.verdict, result.verdict.value


def word_of_check(result: CheckResult) -> tuple[Verdict | None, str]:
    """The verdict of a check and its word; None where all was measured and nothing is judged.

    Args:
        result: the check.
    """
    if (
        result.measured
        and result.complete
        and not any(f.verdict for f in result.findings)
        and not result.check.look
    ):
        return None, "information"
    verdict = check_verdict(result)
    return verdict, verdict.value


def size_words(value: Decimal, check: Check, system: str) -> str:
    """A size of this check as it is shown everywhere."""
    return show_text(value, kind=check.kind, system=system)
