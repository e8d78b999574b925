"""The assessment and a limit's rule as plain lines and as data, for the prompt and for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from inspect_app.entries.job import Job, Place
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import CheckResult, Finding, check_verdict
from inspect_app.job.headline import outcome_sentence, stop_sentence, whole_sentence
from inspect_app.job.judge import Judgement
from inspect_app.job.words import (
    BECOMES,
    disposition_words,
    limit_sentence,
    missing_sentence,
    part_reasons,
    place_words,
    value_words,
)


def columns(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Rows of text as aligned lines.

    Args:
        rows: cells of equal number; the first row is the head.
    """
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def headlines(job: Job, assessment: Assessment) -> Iterator[str]:
    """The whole in a line with the job's name; before it what stops the cylinder, if anything does.

    Args:
        job: the job.
        assessment: what was made of it.
    """
    if stop := stop_sentence(assessment):
        yield stop
    yield f"{job.name}: {outcome_sentence(assessment) or 'nothing is decided until then.'}"


def as_table(job: Job, assessment: Assessment, system: str) -> Iterator[str]:
    """The assessment as lines: what stops it, the whole, then every part with its reasons and its findings.

    Args:
        job: the job.
        assessment: what was made of it.
        system: "metric" or "inch".
    """
    yield from headlines(job, assessment)
    for part in assessment.parts:
        yield ""
        decided = (
            f" (decided by {part.decided.by}; calculated result: {BECOMES[part.computed]})"
            if part.decided
            else ""
        )
        yield f"{part.part.title}: {disposition_words(part)}{decided}"
        for reason in part_reasons(part):
            yield f"  - {reason.words(system)}"
        rows = [row for result in part.checks for row in _rows(result, system)]
        if rows:
            head = ("check", "characteristic", "value", "at", "verdict", "reuse limit")
            for line in columns([head, *rows]):
                yield f"    {line}"


def _rows(result: CheckResult, system: str) -> Iterator[tuple[str, ...]]:
    for finding in result.findings:
        if finding.value is None:
            continue
        reuse = finding.judgement("reuse")
        verdict = finding.verdict.value if finding.verdict else "information"
        limit = limit_sentence(reuse.limit, finding.kind).words(system) if reuse else "none"
        at = place_words(finding.place, finding.check.stations.names, system)
        yield result.check.title, finding.title, value_words(finding, system), at, verdict, limit


def as_data(job: Job, assessment: Assessment) -> dict[str, Any]:
    """The assessment as data: numbers as exact decimal text in the canonical unit (mm, µm).

    Args:
        job: the job.
        assessment: what was made of it.
    """
    return {
        "job": job.name,
        "cylinder": job.cylinder,
        "cylinder_hash": job.cylinder_hash,
        "limits_hash": job.limits_hash,
        "whole": assessment.whole.value,
        "sentence": whole_sentence(assessment),
        "parts": [
            {
                "part": part.part.id,
                "disposition": part.disposition.value,
                "finished": not part.unfinished,
                "overruled": part.overruled,
                "not_answered": [q.id for q in part.questions],
                "not_there": [c.id for c in part.absent],
                "computed": part.computed.value,
                "reasons": [str(reason) for reason in part_reasons(part)],
                "checks": [_check_data(result) for result in part.checks],
            }
            for part in assessment.parts
        ],
    }


def _check_data(result: CheckResult) -> dict[str, Any]:
    return {
        "check": result.check.id,
        "verdict": _informs(result) or check_verdict(result).value,
        "measured": result.measured,
        "expected": result.expected,
        "missing": str(missing_sentence(result)),
        "findings": [_finding_data(f) for f in result.findings],
        "readings": [
            {
                **_place_data(p.place),
                "value": _text(p.reading.value if p.reading else None),
                "typed": p.reading.typed if p.reading else "",
                "verdict": (_informs(result) if p.reading else "") or p.verdict.value,
                "skipped": p.why,
            }
            for p in result.places
        ],
    }


def _informs(result: CheckResult) -> str:
    """ "information" of a check that is wholly measured and has nothing to be judged by, else ""."""
    measured = result.complete and result.measured > 0
    return "information" if measured and not any(f.verdict for f in result.findings) else ""


def _place_data(place: Place) -> dict[str, str]:
    return {"station": place.station, "clock": place.clock}


def _finding_data(finding: Finding) -> dict[str, Any]:
    return {
        "characteristic": finding.characteristic,
        "title": finding.title,
        "value": _text(finding.value),
        **_place_data(finding.place),
        "disposition": finding.disposition.value,
        "judgements": [_judgement_data(j) for j in finding.judgements],
    }


def _judgement_data(judgement: Judgement) -> dict[str, Any]:
    limit, decision = judgement.limit, judgement.decision
    return {
        "level": limit.level,
        "lower": _text(limit.lower),
        "upper": _text(limit.upper),
        "rule": str(limit.rule),
        "whose": limit.owner,
        "source": limit.source.key,
        "status": limit.source.status,
        "missing": str(limit.missing),
        "verdict": judgement.verdict.value,
        "expanded_uncertainty": _text(decision.expanded_uncertainty) if decision else None,
    }


def _text(value: Decimal | None) -> str | None:
    return None if value is None else str(value)
