"""The earlier visits of the same cylinder: how each ended, and what wore since the last one, as far as it is proven.

A cylinder as it was left is what the later visit is held against: a part that was worked on counts by what was
measured as left, one that was fit and untouched as it was found, any other not at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from inspect_app.entries.job import AS_LEFT, Job, Place, Survey
from inspect_app.entries.named import serial_key as serial_key
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assess import Assessment
from inspect_app.job.judge import nominal_of
from inspect_app.job.measured import Sized, sizing, warmth_of
from inspect_app.job.progress import progress_of
from inspect_app.job.step_figures import RECEIVING
from inspect_app.job.words import place_said
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.steps import RELEASE
from inspect_app.trade.measuring.refusal import Said, Sentence
from inspect_app.trade.measuring.rounding import WithU
from inspect_app.trade.measuring.uncertainty import u_of
from inspect_app.trade.measuring.wear import Change, change_between, rate_of
from inspect_app.trade.measuring.wording import counted, inside

COVERAGE = 2
DAYS_A_MONTH = 365.25 / 12
HOURS_A_DAY = 24
RATE_HOURS = 1000
"""A rate by hours is said for so many of them: of one hour it would be a row of zeros."""

HOURS = re.compile(r"(\d+(?:[.,]\d{1,2})?) ?(?:h|hrs|hours)?")


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit of a cylinder: its job, what was made of it as found, its parts as they went out, what judged them."""

    job: Job
    assessment: Assessment
    parts: Sequence[PartNow]
    tables: Tables


def day_of_visit(job: Job) -> str:
    """The date of a visit, year-month-day: of one typed off a sheet the sheet's.

    Args:
        job: the job.
    """
    return job.typed_off.get("date") or job.opened_at[:10]


def earlier_of(job: Job, others: Iterable[Job]) -> tuple[Job, ...]:
    """The jobs of the same cylinder before this one, the last of them first.

    Args:
        job: the job.
        others: jobs that may be of it.
    """
    own = serial_key(job.as_found.text("serial"))
    same = [o for o in others if o.id != job.id and serial_key(o.as_found.text("serial")) == own]
    before = [o for o in same if own and _order(o) < _order(job)]
    return tuple(sorted(before, key=_order, reverse=True))


def _order(job: Job) -> tuple[str, str]:
    return day_of_visit(job), job.opened_at


def hours_run(job: Job) -> Decimal | None:
    """The hours noted at receiving, None where none were, or where the text may mean two numbers.

    Args:
        job: the job.
    """
    found = HOURS.fullmatch(job.steps.typed(RECEIVING, "hours").strip().lower())
    return Decimal(found[1].replace(",", ".")) if found else None


def history_of(job: Job, tables: Tables, visits: Sequence[Visit]) -> tuple[Sentence, ...]:
    """What is said of a cylinder that was here before: each visit in a sentence, then what wore since the last one.

    Args:
        job: the job as it stands.
        tables: the tables that judge it.
        visits: its earlier visits, the last of them first.
    """
    told = [_visit(visit) for visit in visits]
    return (*told, *(wear_since(job, tables, visits[0]) if visits else ()))


def _visit(visit: Visit) -> Sentence:
    job, found = visit.job, visit.job.as_found
    parts = [day_of_visit(job), job.name, found.text("customer"), found.text("machine")]
    if hours := job.steps.typed(RECEIVING, "hours"):
        parts.append(f"hours run {hours}")
    if complaint := found.text("complaint"):
        parts.append(f"complaint: {complaint}")
    stands = progress_of(visit.assessment)
    ended = ", ".join(w for w in (stands.word, stands.parts) if w)
    if any(p.touched for p in visit.parts):
        ended += f". {now_sentence(visit.parts).rstrip('.')}"
    advice = job.steps.typed(RELEASE, "advice")
    shown = {"whose": ", ".join(p for p in parts if p), "ended": ended, "advice": advice.rstrip(".")}
    return Sentence(
        "Here before: {whose}. Found: {ended}." + (" Advice then: {advice}." if advice else ""), shown
    )


# ---- wear


@dataclass(frozen=True, slots=True)
class Compared:
    """One check read at two visits: what changed at each place, and the size there now; the states held together."""

    check: Check
    changes: Mapping[Place, tuple[Change, Sized]]
    stood: Survey
    now: Survey

    @property
    def worn(self) -> dict[Place, Change]:
        """Where a change shows, and how much."""
        return {place: change for place, (change, _) in self.changes.items() if change.shown}

    @property
    def worst(self) -> Place:
        """Of the places where a change shows the one that changed most."""
        return max(self.worn, key=lambda place: abs(self.worn[place].change))


def wear_since(job: Job, tables: Tables, before: Visit) -> tuple[Sentence, ...]:
    """What changed since a visit, check by check: only sizes, at the same place, both at 20 °C by noted temperatures.

    Args:
        job: the job as it stands.
        tables: the tables that judge it.
        before: the visit.
    """
    if reason := _untold(job, tables, before):
        return (reason,)
    every = sorted(_compared(job, tables, before), key=lambda each: not each.worn)
    told, still = [e for e in every if e.worn], [inside(e.check.title) for e in every if not e.worn]
    if len(still) < 2:
        return tuple(_worn(each, job, before.job) for each in every)
    together = Sentence(
        "No wear shown where these were read at both visits: {sizes}.", {"sizes": "; ".join(still)}
    )
    return (*(_worn(each, job, before.job) for each in told), together)


def worn_since(
    job: Job, tables: Tables, before: Visit
) -> Iterator[tuple[Check, Change, tuple[str, float] | None]]:
    """Of each check whose wear `wear_since` tells its greatest change, and the time it took: hours or months, if known.

    Args:
        job: the job as it stands.
        tables: the tables that judge it.
        before: the visit.
    """
    if not _untold(job, tables, before):
        for each in _compared(job, tables, before):
            if each.worn:
                days = _days(each, each.worst, job, before.job)
                yield each.check, each.worn[each.worst], _elapsed(days, job, before.job)


def _untold(job: Job, tables: Tables, before: Visit) -> Sentence | None:
    """Why nothing is told of wear, None where it can be."""
    if job.as_found.cylinder != before.job.cylinder:
        return Sentence("Then it was entered as another kind of cylinder: no wear is told.")
    pairs = _sized_twice(job, tables, before)
    if any(not _noted(state) for state in (job.as_found, *(stood for _, stood in pairs))) and pairs:
        words = "No wear is told: the temperatures of parts and gauges have to be noted at both visits."
        return Sentence(words)
    return None


def _sized_twice(job: Job, tables: Tables, before: Visit) -> list[tuple[Check, Survey]]:
    """The checks of a size that were read now and then, with the state that was read then."""
    cylinder = tables.cylinders[job.as_found.cylinder]
    read = [c for name, readings in job.as_found.readings.items() if readings and (c := cylinder.check(name))]
    sized = [c for c in read if c.kind == "length" and "size" in c.characteristics]
    return [(check, stood) for check in sized if (stood := _stood(check, before))]


def _compared(job: Job, tables: Tables, before: Visit) -> Iterator[Compared]:
    """What changed, check by check; of those where a place was read twice, and no other size was fitted."""
    now, cylinder = job.as_found, before.tables.cylinders[before.job.cylinder]
    for check, stood in _sized_twice(job, tables, before):
        then_check = cylinder.check(check.id)
        if then_check is None or nominal_of(check, now) != nominal_of(then_check, stood):
            continue
        size_now, size_then = sizing(check, now, tables), sizing(then_check, stood, before.tables)
        changes: dict[Place, tuple[Change, Sized]] = {}
        for place, reading in now.readings[check.id].items():
            old = stood.readings[check.id].get(place)
            later, earlier = size_now(reading), size_then(old) if old else None
            if later and earlier:
                changes[place] = _changed(earlier, later), later
        if changes:
            yield Compared(check, changes, stood, now)


def _noted(survey: Survey) -> bool:
    return all(warmth.noted for warmth in warmth_of(survey))


def _stood(check: Check, before: Visit) -> Survey | None:
    """The state of the cylinder whose readings of a check say how it went out, None where none does."""
    part = next((p for p in before.parts if p.part.id == check.part), None)
    if part is None:
        return None
    left = before.job.survey(AS_LEFT)
    if left.readings.get(check.id):
        return left
    found = before.job.as_found
    return found if part.as_found_still and found.readings.get(check.id) else None


def _worn(each: Compared, job: Job, before: Job) -> Sentence:
    """What one check says."""
    check, changes, worn = each.check, each.changes, each.worn
    of: dict[str, Said | str] = {"title": check.title, "places": counted(len(changes), "place", "places")}
    if not worn:
        return Sentence("{title}: no wear shown at the {places} read at both visits.", of)
    change, later = changes[each.worst]
    words, shown = _how_much(change, _elapsed(_days(each, each.worst, job, before), job, before))
    size = WithU(later.value, _expanded(later), check.kind)
    spot = place_said(each.worst, check.stations.names)
    at: dict[str, Said | str] = {"place": spot, "now": size, "worn": str(len(worn))}
    where = "{title}, {place}" if spot else "{title}"
    rest = " A change shows at {worn} of the {places} read at both visits." if len(changes) > 1 else ""
    return Sentence(f"{where}: {{now}} now, {words}.{rest}", {**of, **at, **shown})


def _changed(earlier: Sized, later: Sized) -> Change:
    return change_between(
        earlier=earlier.value,
        later=later.value,
        expanded_earlier=COVERAGE * u_of(earlier.terms),
        expanded_later=COVERAGE * u_of(later.terms),
    )


def _expanded(sized: Sized) -> Decimal:
    return Decimal(f"{COVERAGE * u_of(sized.terms):.12g}")


def _days(each: Compared, place: Place, job: Job, before: Job) -> int:
    """Days between two readings, 0 where they are not known; of a job typed off a sheet the sheet's date counts."""
    try:
        then, today = (
            date.fromisoformat(j.typed_off.get("date") or state.readings[each.check.id][place].at[:10])
            for j, state in ((before, each.stood), (job, each.now))
        )
    except ValueError:
        return 0  # a damaged time tells none
    return (today - then).days


def _elapsed(days: int, job: Job, before: Job) -> tuple[str, float] | None:
    """The time between two visits and its unit: hours run where both noted them and they can be, else months."""
    hours = hours_run(job), hours_run(before)
    if hours[0] is not None and hours[1] is not None and days > 0:
        run = float(hours[0] - hours[1])
        # a meter that was exchanged, or one that ran more than the clock, tells nothing
        if 0 < run <= days * HOURS_A_DAY:
            return "hours", run
    return ("months", days / DAYS_A_MONTH) if days > 0 else None


def _how_much(change: Change, elapsed: tuple[str, float] | None) -> tuple[str, dict[str, Said | str]]:
    """A change in words, and how fast it went where the time is known."""
    way = "smaller" if change.change < 0 else "larger"
    shown: dict[str, Said | str] = {"by": WithU(abs(change.change), change.expanded, "deviation")}
    words = f"{way} by {{by}} than it went out"
    if elapsed is None:
        return words, shown
    unit, time = elapsed
    rate = rate_of(change, elapsed=time / RATE_HOURS if unit == "hours" else time)
    shown["rate"] = WithU(abs(rate.change), rate.expanded, "deviation")
    shown["time"] = f"{time:.0f} hours run" if unit == "hours" else f"{time:.1f} months"
    each = f"for each {RATE_HOURS} of them" if unit == "hours" else "a month"
    return f"{words}, in {{time}}: {{rate}} {each}", shown
