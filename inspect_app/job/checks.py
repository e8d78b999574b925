"""Makes of one check of a job its result: read, computed between two others, or looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from inspect_app.entries.job import Survey
from inspect_app.entries.measuring import NOT_FITTED
from inspect_app.job.concerning import changed_between, concerning
from inspect_app.job.defects import defect_findings
from inspect_app.job.findings import CheckResult, Disposition, Finding, worst_disposition
from inspect_app.job.judge import limits_for
from inspect_app.job.places import places_of, whole_skip
from inspect_app.job.readings import characteristic_finding, clearance_finding, judged_singly, place_results
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder

CheckJudged = Callable[[Check, Cylinder, Survey, Tables], CheckResult]
"""Gives the result of a check: `assess_check`, or whoever remembers what that gave."""


class Remembering:
    """Judges each check of one state anew only when something that it hangs on, or the tables, are others."""

    def __init__(self) -> None:
        self._last: tuple[Survey, Tables] | None = None
        self._results: dict[str, CheckResult] = {}

    def __call__(self, check: Check, cylinder: Cylinder, survey: Survey, tables: Tables) -> CheckResult:
        """The result of a check, as `assess_check` gives it."""
        self._forget_what_changed(survey, tables)
        result = self._results.get(check.id)
        if result is None:
            # nothing else is shown to it, so that nothing else can make the result another
            concerns = concerning(check, survey, tables)
            result = self._results[check.id] = assess_check(check, cylinder, concerns, tables)
        return result

    def _forget_what_changed(self, survey: Survey, tables: Tables) -> None:
        last, self._last = self._last, (survey, tables)
        if last and last[0] is survey and last[1] is tables:
            return
        changed = changed_between(last[0], survey) if last and last[1] is tables else None
        if changed is None:
            self._results.clear()
        elif changed:
            hangs_on = tables.hangs_on[survey.cylinder]
            for check in [c for c in self._results if not changed.isdisjoint(hangs_on[c])]:
                del self._results[check]


def assess_check(check: Check, cylinder: Cylinder, survey: Survey, tables: Tables) -> CheckResult:
    """One check: its places, its characteristics and defects, and what follows.

    Args:
        check: the check.
        cylinder: the checklist it stands in.
        survey: the state of the cylinder.
        tables: the tables.
    """
    reason = whole_skip(check, survey) or ""
    if check.look:
        return _assess_look(check, cylinder, survey, tables, reason)
    if check.between:
        return _assess_between(check, cylinder, survey, tables, reason)
    skipped = cylinder.reasons.get(reason, reason)
    limits = {name: limits_for(check, name, survey, tables) for name in check.characteristics}
    asked = dict.fromkeys((*places_of(check, survey), *survey.readings.get(check.id, {})))
    of_single = limits.get(judged_singly(check) or "", {}).get("reuse")
    places = place_results(check, asked, of_single, survey, tables)
    findings = [
        characteristic_finding(check, name, of, places, survey, tables) for name, of in limits.items()
    ]
    measured = sum(1 for r in places.values() if r.reading)
    disposition = _check_disposition(check, findings, measured == len(places), skipped)
    return CheckResult(
        check,
        tuple(places.values()),
        tuple(findings),
        (),
        measured,
        len(places),
        skipped,
        disposition,
        reason == NOT_FITTED,
    )


def _assess_between(
    check: Check, cylinder: Cylinder, survey: Survey, tables: Tables, reason: str
) -> CheckResult:
    """A clearance: done once both its checks are read everywhere, skipped with either of them."""
    finding = clearance_finding(check, survey, tables)
    pair = [c for c in map(cylinder.check, check.between or ()) if c]
    done = all(place in survey.readings.get(c.id, {}) for c in pair for place in places_of(c, survey))
    reason = reason or next((why for c in pair if (why := whole_skip(c, survey))), "")
    skipped = cylinder.reasons.get(reason, reason)
    disposition = _check_disposition(check, [finding], done, skipped)
    return CheckResult(check, (), (finding,), (), int(done), 1, skipped, disposition, reason == NOT_FITTED)


def _assess_look(
    check: Check, cylinder: Cylinder, survey: Survey, tables: Tables, reason: str
) -> CheckResult:
    skipped = cylinder.reasons.get(reason, reason)
    defects = tuple(d for d in survey.defects if d.check == check.id)
    findings = [f for d in defects for f in defect_findings(check, d, cylinder, survey, tables)]
    looked = check.id in survey.looked
    disposition = _check_disposition(check, findings, looked, skipped)
    return CheckResult(
        check, (), tuple(findings), defects, int(looked), 1, skipped, disposition, reason == NOT_FITTED
    )


def _check_disposition(
    check: Check, findings: Iterable[Finding], complete: bool, skipped: str
) -> Disposition:
    every = tuple(findings)
    if complete:
        return worst_disposition(f.disposition for f in every)
    found = worst_disposition(f.disposition for f in every if f.value is not None)
    if found is not Disposition.REUSE:
        return found
    return Disposition.REUSE if check.optional and skipped else Disposition.OPEN
