"""Which gauge would decide what is too close to call: the same readings judged as if another kind had read them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from inspect_app.entries.job import Survey
from inspect_app.job.checks import assess_check
from inspect_app.job.findings import Finding
from inspect_app.job.measured import default_gauge
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.gauges import GaugeKind, stand_ins
from inspect_app.trade.measuring.decision import Verdict, deciding_uncertainty
from inspect_app.trade.measuring.quantities import KINDS, show_text
from inspect_app.trade.measuring.wording import either, inside

DECIDED = (Verdict.WITHIN, Verdict.BEYOND)


def as_if_read_with(kind: GaugeKind, check: Check, survey: Survey) -> Survey:
    """The survey with a check's readings taken by a gauge of another kind, to its own step.

    Args:
        kind: the kind of gauge.
        check: the check.
        survey: the state of the cylinder.
    """
    gauge = default_gauge(kind)
    readings = {
        place: reading._replace(gauge=gauge.id, step=kind.step)
        for place, reading in survey.readings.get(check.id, {}).items()
    }
    return replace(
        survey,
        gauges={**survey.gauges, gauge.id: gauge},
        readings={**survey.readings, check.id: readings},
    )


def kinds_that_decide(finding: Finding, check: Check, survey: Survey, tables: Tables) -> tuple[str, ...]:
    """The shipped kinds of gauge with which this finding would not have been too close to call.

    Args:
        finding: a finding of the check.
        check: the check; of a clearance either of the two it lies between is read with another kind.
        survey: the state of the cylinder.
        tables: the tables.
    Source: iso-14253-1
    """
    cylinder = tables.cylinders[survey.cylinder]
    named = []
    for read, kind in _candidates(finding, check, survey, tables):
        result = assess_check(check, cylinder, as_if_read_with(kind, read, survey), tables)
        again = [f for f in result.findings if (f.characteristic, f.defect) == (finding.characteristic, "")]
        if any(f.verdict in DECIDED for f in again):
            named.append(kind.title if read is check else f"{kind.title} for {inside(read.title)}")
    return tuple(named)


def _candidates(
    finding: Finding, check: Check, survey: Survey, tables: Tables
) -> Iterator[tuple[Check, GaugeKind]]:
    """Each check that was read for it with each kind that could have read it and sees what was asked."""
    cylinder = tables.cylinders[survey.cylinder]
    read = [c for c in map(cylinder.check, check.between) if c] if check.between else [check]
    for one in read:
        values = [abs(r.value) for r in survey.readings.get(one.id, {}).values()]
        for kind in stand_ins(one.gauge, tables.gauges):
            reaches = all(value <= kind.errors[-1][0] for value in values)
            if reaches and finding.characteristic not in kind.blind_to:
                yield one, kind


def needed_sentence(finding: Finding, check: Check, survey: Survey, tables: Tables, system: str) -> str:
    """How certain a finding that is too close to call would have to be, and which gauge is; "" for any other.

    Args:
        finding: the finding.
        check: its check.
        survey: the state of the cylinder.
        tables: the tables.
        system: "metric" or "inch".
    Source: iso-14253-1
    """
    reuse = finding.judgement("reuse")
    decision = reuse.decision if reuse else None
    if decision is None or decision.value is None or decision.verdict is not Verdict.UNCLEAR:
        return ""
    needed = deciding_uncertainty(value=decision.value, lower=decision.lower, upper=decision.upper)
    if not needed:
        return "It lies on the limit itself: no gauge can decide it."
    finer = KINDS[finding.kind].shown(system)[1] + 1
    shown = show_text(needed, kind=finding.kind, system=system, decimals=finer)
    kinds = () if finding.defect else kinds_that_decide(finding, check, survey, tables)
    found = f"Good enough: {either(kinds)}." if kinds else "No kind of gauge listed here is that good."
    return f"To decide it the uncertainty must be below ±{shown}. {found}"
