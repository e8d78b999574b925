"""What is said first: whether the cylinder stops, is repaired or replaced, and which parts decide it."""

from __future__ import annotations

from collections.abc import Iterable

from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import Disposition
from inspect_app.job.triage import Triage
from inspect_app.job.words import BECOMES
from inspect_app.trade.measuring.wording import inside

WHOLE = {Whole.REPAIR: "repair", Whole.REPLACE: "replace", Whole.OPEN: "not decided"}
"""What is said of the whole cylinder, in a word."""


def whole_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it; a stop comes first.

    Args:
        assessment: the whole assessment.
    """
    return " ".join(s for s in (stop_sentence(assessment), outcome_sentence(assessment)) if s)


def stop_sentence(assessment: Assessment) -> str:
    """What stops the cylinder, and on which part; "" where nothing does, or a qualified person has passed it.

    Args:
        assessment: the whole assessment.
    """
    if not assessment.stopped:
        return ""
    return f"STOP: {stops_words(assessment.stopped)}. Do not use it until a qualified person decides."


def outcome_sentence(assessment: Assessment) -> str:
    """Repair or replace for the cylinder, and which parts decide it, whatever stops it; "" where only that does.

    Args:
        assessment: the whole assessment.
    """
    sentences = [_outcome(assessment)]
    if assessment.overruled:
        told = "; ".join(overruled_words(p) for p in assessment.overruled)
        sentences.append(f"Decided by a person against the calculated result: {told}.")
    if assessment.unchecked and assessment.whole is Whole.REPAIR:
        sentences.append(f"Not checked: {listed(assessment.unchecked)}.")
    if assessment.not_fitted:
        sentences.append(f"Not fitted: {listed(assessment.not_fitted)}.")
    return " ".join(s for s in sentences if s)


def triage_sentence(short: Triage) -> str:
    """Whether the short look stops here or goes on.

    Args:
        short: the short look.
    """
    stopped = [p for p in short.stops if p.computed is Disposition.REFER]
    if stopped:
        return f"STOP: {stops_words(stopped)}. A qualified person decides before anything else is measured."
    if short.stops:
        return f"Stop here: {listed(short.stops)} cannot be repaired. Settle first whether to measure on."
    if short.following:
        return "Go on. This short look can end a job early; it never says that a part is fit."
    return "Go on with the whole inspection: nothing here ends it early, and nothing is proven fit yet."


def _outcome(assessment: Assessment) -> str:
    parts = listed(assessment.because)
    if assessment.whole is Whole.REPLACE:
        return f"Replace the cylinder: {parts} cannot be repaired."
    if assessment.whole is Whole.OPEN:
        unfinished = [p for p in assessment.because if p.unfinished]
        open_ = [p for p in assessment.because if p.disposition is Disposition.OPEN]
        said = [f"Not decided yet: {listed(open_)}."] if open_ else []
        said += [f"Rework, not finished: {listed(unfinished)}."] if unfinished else []
        # what a person has settled already is said too
        new = [p for p in assessment.parts if p.decided and p.disposition is Disposition.REPLACE]
        for by in dict.fromkeys(p.decided.by for p in new if p.decided):
            said.append(
                f"New, decided by {by}: {listed(p for p in new if p.decided and p.decided.by == by)}."
            )
        return " ".join(said)
    if not parts:
        others = assessment.unchecked or assessment.overruled or assessment.not_fitted
        fit = "every other part" if others else "every part"
        return f"Repair by new seals: {fit} is fit for reuse."
    new = [p for p in assessment.because if p.disposition is Disposition.REPLACE]
    rework = [p for p in assessment.because if p.disposition is not Disposition.REPLACE]
    said = [f"New: {listed(new)}."] if new else []
    said += [f"Rework: {listed(rework)}."] if rework else []
    return " ".join(["Repair.", *said, "New seals."])


def stops_words(parts: Iterable[PartResult]) -> str:
    """Crack on the rod; dent and arc strike on the barrel.

    Args:
        parts: the parts that are stopped.
    """
    told = []
    for part in parts:
        stops = (f for c in part.checks for f in c.findings if f.disposition is Disposition.REFER)
        what = " and ".join(dict.fromkeys(inside(f.seen or f.title) for f in stops))
        title = inside(part.part.title)
        told.append(f"{what} on the {title}" if what else title)
    return "; ".join(told)


def overruled_words(part: PartResult) -> str:
    """What a person decided for less than the readings say.

    Args:
        part: the part's result, overruled.
    """
    assert part.decided is not None  # only a person overrules
    examined = f", examined by {part.decided.examined_by}" if part.decided.examined_by else ""
    title = inside(part.part.title)
    return f"{title} {BECOMES[part.disposition]}, calculated result {BECOMES[part.computed]}{examined}"


def listed(parts: Iterable[PartResult]) -> str:
    """Parts by their titles, inside a sentence.

    Args:
        parts: the parts.
    """
    return "; ".join(inside(p.part.title) for p in parts)
