"""Judges the defects of one look: every size against its limit, and that it is there at all.

What a fingernail says stands in for a depth that nobody measured, and only for that.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Defect, Survey
from inspect_app.job.findings import Disposition, Finding, Value, finding_of
from inspect_app.job.judge import Mark, judge, limit_for, limits_for
from inspect_app.job.measured import size_terms
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.uncertainty import u_of


def defect_findings(
    check: Check, defect: Defect, cylinder: Cylinder, survey: Survey, tables: Tables
) -> list[Finding]:
    """Each measure of a defect against its limit, taken or not; that it is there at all counts as one.

    What a fingernail says stands in for a depth that nobody measured, and only for that.
    """
    kind = cylinder.defect(defect.kind)
    title = kind.title if kind else defect.kind
    where = Mark(defect.kind, defect.zone)
    as_felt = replace(where, counts_as_felt=_counts_as_felt(check, defect, survey, tables))
    findings = []
    for measure in cylinder.measures:
        if measure.id == "depth" and "depth" not in defect.sizes and defect.felt == "not-felt":
            continue
        limits = limits_for(check, measure.id, survey, tables, where if measure.id == "depth" else as_felt)
        if limits:
            value = _defect_value(measure.id, measure.gauge, defect, survey, tables)
            named = f"{title}: {measure.title}"
            findings.append(finding_of(check, measure.id, named, measure.kind, value, limits))
    for name, number in (("felt", _felt(defect)), ("count", Decimal(1))):
        limits = limits_for(check, name, survey, tables, where)
        if limits and number is not None:
            one = Value(number, defect.place, {})
            findings.append(finding_of(check, name, title, name, one, limits))
    if not findings:
        # a defect nobody wrote a limit for decides nothing by itself
        there = Value(Decimal(1), defect.place, {})
        findings = [
            replace(finding_of(check, "count", title, "count", there, {}), disposition=Disposition.OPEN)
        ]
    typed = {name: size.typed for name, size in defect.sizes.items()}
    return [replace(f, defect=defect.id, seen=title, typed=typed.get(f.characteristic, "")) for f in findings]


def _felt(defect: Defect) -> Decimal | None:
    """1 for a mark that is felt, 0 for one that is not; None where its depth was measured or nobody said."""
    if "depth" in defect.sizes or not defect.felt:
        return None
    return Decimal(1) if defect.felt == "felt" else Decimal(0)


def _counts_as_felt(check: Check, defect: Defect, survey: Survey, tables: Tables) -> bool:
    """Whether a mark counts as one a nail feels: unless it was not felt, or its depth is proven within limit."""
    if "depth" not in defect.sizes:
        return defect.felt != "not-felt"
    depth = limit_for(check, "depth", "reuse", survey, tables, Mark(defect.kind, defect.zone))
    if depth is None:
        return True
    measure = tables.cylinders[survey.cylinder].measure("depth")
    value = _defect_value("depth", measure.gauge if measure else "", defect, survey, tables)
    return judge(value.value, u_of(value.terms), depth).verdict is not Verdict.WITHIN


def _defect_value(measure: str, gauge_kind: str, defect: Defect, survey: Survey, tables: Tables) -> Value:
    size = defect.sizes.get(measure)
    if size is None:
        return Value(None, defect.place, {})
    terms = size_terms(size, gauge_kind, f"{defect.id} {measure}", survey, tables)
    return Value(size.value if terms is not None else None, defect.place, terms or {})
