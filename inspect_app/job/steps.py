"""The steps of a job: how each stands, which is in hand, and what speaks against closing it; knows no clock."""

from __future__ import annotations

import enum
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspect_app.entries.job import AS_LEFT, Job
from inspect_app.entries.steps import CLOSED, SKIPPED, STARTED, STOPPED, Stepped, Steps
from inspect_app.entries.typed import Held
from inspect_app.job import assembling, testing
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assess import FIT, Assessment, Whole
from inspect_app.job.findings import Disposition
from inspect_app.job.headline import listed as parts_listed
from inspect_app.job.headline import outcome_sentence, stop_sentence, stops_words
from inspect_app.job.scope.fulfilled import against_release, agreed_lines, last_yes
from inspect_app.job.scope.making import LEAST
from inspect_app.job.seals.standing import Standing, State
from inspect_app.tables import Tables
from inspect_app.tables.steps import REASSEMBLY, RELEASE, Record, Step
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.wording import counted, listed


class Stands(enum.Enum):
    """How a step stands."""

    TO_COME = "to come"
    BEGUN = "begun"
    CLOSED = "closed"
    SKIPPED = "skipped"


@dataclass(frozen=True, slots=True)
class StepStands:
    """One step: how it stands, what was last done with it beside starting and stopping, and who is at work in it.

    `spent` is the time of whoever started it until each stopped; what still runs is not in it.
    """

    step: Step
    stands: Stands
    last: Stepped | None
    running: tuple[Stepped, ...]
    spent: timedelta

    @property
    def over(self) -> bool:
        """Whether nothing is to be done in it any more."""
        return self.stands in (Stands.CLOSED, Stands.SKIPPED)


@dataclass(frozen=True, slots=True)
class Facts:
    """What the steps are held against: the job, its tables, and what is made of it, asked for where it is needed.

    `seals` raises Refusal for a checklist that measures no cylinder with known seals. `earlier` is what is said of the
    cylinder's earlier visits.
    """

    job: Job
    tables: Tables
    assessment: Callable[[], Assessment]
    parts: Callable[[], Sequence[PartNow]]
    seals: Callable[[], Sequence[Standing]]
    earlier: Callable[[], tuple[Sentence, ...]] = tuple


# ---- how they stand


def steps_of(steps: Steps, listed_steps: Mapping[str, Step]) -> tuple[StepStands, ...]:
    """How every step stands, in their order.

    Args:
        steps: what was done.
        listed_steps: the steps of the checklists by id.
    """
    return tuple(_stands(steps, step) for step in listed_steps.values())


def _stands(steps: Steps, step: Step) -> StepStands:
    last, running = steps.last(step.id), steps.running(step.id)
    spent = time_spent([d for d in steps.done if d.step == step.id])
    begun = running or spent or any(key[0] == step.id for key in steps.records)
    stands = Stands.BEGUN if begun else Stands.TO_COME
    if last and last.did in (CLOSED, SKIPPED):
        stands = Stands.CLOSED if last.did == CLOSED else Stands.SKIPPED
    return StepStands(step, stands, last, running, spent)


def time_spent(done: Sequence[Stepped]) -> timedelta:
    """The time worked in one step: from each start to the same person's stop, or to its end.

    Args:
        done: what was done with it, in order.

    >>> at = "2026-03-02T{}:00.000Z".format
    >>> begun = Stepped("1", "clean", STARTED, "", "KM", at("08:00"))
    >>> time_spent([begun, Stepped("2", "clean", STOPPED, "", "KM", at("09:30"))])
    datetime.timedelta(seconds=5400)
    """
    since: dict[str, str] = {}
    spent = timedelta()
    for each in done:
        if each.did == STARTED:
            since.setdefault(each.by, each.at)
            continue
        ended = [each.by] if each.did == STOPPED else list(since)
        for who in ended:
            if who in since:
                spent += datetime.fromisoformat(each.at) - datetime.fromisoformat(since.pop(who))
    return spent


def in_hand(every: Sequence[StepStands]) -> StepStands | None:
    """The step in hand: the one somebody is at work in, the last started of several, else the first that is open.

    Args:
        every: as `steps_of` gives them.
    """
    running = [s for s in every if s.running]
    if running:
        return max(running, key=lambda s: max(r.at for r in s.running))
    return next((s for s in every if not s.over), None)


def next_after(every: Sequence[StepStands], step: str) -> StepStands | None:
    """The next open step after one; those before it that are open come when nothing follows.

    Args:
        every: as `steps_of` gives them.
        step: id of the one.
    """
    at = [s.step.id for s in every].index(step) + 1
    return next((s for s in (*every[at:], *every[: at - 1]) if not s.over), None)


def skipped_of(every: Sequence[StepStands]) -> tuple[tuple[StepStands, Stepped], ...]:
    """What was skipped, with by whom and why.

    Args:
        every: as `steps_of` gives them.
    """
    return tuple((s, s.last) for s in every if s.last and s.stands is Stands.SKIPPED)


def closed_against_of(every: Sequence[StepStands]) -> tuple[tuple[StepStands, Stepped], ...]:
    """What was closed for a reason, so with something missing or out of order.

    Args:
        every: as `steps_of` gives them.
    """
    return tuple((s, s.last) for s in every if s.last and s.stands is Stands.CLOSED and s.last.reason)


def changed_words(stands: StepStands) -> str:
    """Why and by whom a step was skipped, or closed with something missing; "" for neither.

    Args:
        stands: the step.
    """
    last = stands.last
    if last is None or not stands.over or not last.reason:
        return ""
    what = "skipped" if stands.stands is Stands.SKIPPED else "closed with something missing"
    return f"{what} by {last.by}: {last.reason}"


def unconfirmed(step: Step, job: Job) -> tuple[str, ...]:
    """The ids of a step's cautions that nobody confirmed.

    Args:
        step: the step.
        job: the job.
    """
    return tuple(name for name in step.cautions if name not in job.cautions)


def passed_over_words(stands: StepStands, job: Job) -> str:
    """How many cautions were passed over in a step that has them first and is begun or over; "" for none.

    Args:
        stands: the step.
        job: the job.
    """
    still = unconfirmed(stands.step, job)
    if not (stands.step.cautions_first and still) or stands.stands is Stands.TO_COME:
        return ""
    return f"{counted(len(still), 'caution', 'cautions')} not confirmed"


def told_words(stands: StepStands, job: Job) -> str:
    """What a report says of a step that was not done as the steps have it; "" for one that was.

    Args:
        stands: the step.
        job: the job.
    """
    return ", ".join(w for w in (changed_words(stands), passed_over_words(stands, job)) if w)


# ---- what speaks against closing one


def held_of(step_id: str, facts: Facts) -> Held:
    """What speaks against closing a step, in the order in which it is mended.

    Args:
        step_id: its id; one there is not holds nothing.
        facts: what it is held against.
    """
    step = facts.tables.steps.get(step_id)
    if step is None:
        return Held()
    missing = [*_cautions(step, facts), *_records(step, facts), *_before(step, facts)]
    missing += [said for name in step.before_closing for said in REQUIREMENTS[name](facts)]
    refused = [said for name in step.refused_while for said in REQUIREMENTS[name](facts)]
    return Held(tuple(missing), tuple(refused))


def asked_of(step: Step, job: Job) -> tuple[Record, ...]:
    """The records a step asks for on this cylinder; one that was entered all the same stays in sight.

    Args:
        step: the step.
        job: the job.
    """
    answers = {question: answer.text for question, answer in job.survey(AS_LEFT).answers.items()}
    return tuple(
        r for r in step.records if r.is_asked(job.cylinder, answers) or job.steps.typed(step.id, r.id)
    )


def _cautions(step: Step, facts: Facts) -> list[Sentence]:
    still = unconfirmed(step, facts.job)
    words = counted(len(still), "caution is", "cautions are")
    return [Sentence(f"{words} not read and confirmed.")] if still else []


def _records(step: Step, facts: Facts) -> list[Sentence]:
    asked = asked_of(step, facts.job)
    must = [r.title for r in asked if r.must and not facts.job.steps.typed(step.id, r.id)]
    return [Sentence("Not recorded: {titles}.", {"titles": listed(must)})] if must else []


def _before(step: Step, facts: Facts) -> list[Sentence]:
    """The steps before it that are open; the last one asks for all others by itself."""
    if step.id == RELEASE:
        return []
    every = list(facts.tables.steps)
    before = every[: every.index(step.id)]
    still = [facts.tables.steps[s].title for s in before if not facts.job.steps.over(s)]
    return [Sentence("Still open before it: {titles}.", {"titles": listed(still)})] if still else []


def _tag(facts: Facts) -> tuple[Sentence, ...]:
    return () if facts.job.as_found.text("serial") else (Sentence("Serial or tag is missing."),)


def _owner(facts: Facts) -> tuple[Sentence, ...]:
    return () if facts.job.as_found.text("customer") else (Sentence("The customer is missing."),)


def _mass(facts: Facts) -> tuple[Sentence, ...]:
    if facts.job.as_found.length("mass"):
        return ()
    return (Sentence("The mass is missing: weigh it, or take the one computed."),)


def _places(facts: Facts) -> tuple[Sentence, ...]:
    left = facts.assessment().left
    words = counted(left, "question, place or look is", "questions, places and looks are")
    return (Sentence(f"{words} still to do or to skip."),) if left else ()


def _decided(facts: Facts) -> tuple[Sentence, ...]:
    assessment = facts.assessment()
    if stop := stop_sentence(assessment):
        return (Sentence("{says}", {"says": stop}),)
    if assessment.whole is Whole.OPEN:
        return (Sentence("{says}", {"says": outcome_sentence(assessment)}),)
    return ()


def _customer(facts: Facts) -> tuple[Sentence, ...]:
    agreeing = facts.job.agreeing
    if not agreeing.versions:
        return (Sentence("The customer was shown no scope yet."),)
    if not any(a.decides for a in agreeing.answers):
        return (Sentence("The customer has not said yes or no yet."),)
    return ()


def _seals(facts: Facts) -> tuple[Sentence, ...]:
    try:
        every = facts.seals()
    except Refusal as refusal:
        return (refusal.sentence,)
    said = []
    for stands in every:
        title = f"{stands.line.title}, {stands.line.place}"
        if stands.late:
            said.append(Sentence("{title}: late, {why}.", {"title": title, "why": stands.late}))
        elif stands.state is State.WRONG:
            said.append(Sentence("{title}: a wrong one came.", {"title": title}))
    rest = [s for s in every if not s.fit_to_go_in and not s.late and s.state is not State.WRONG]
    if rest:
        words = counted(len(rest), "line of seals is", "lines of seals are")
        said.append(Sentence(f"{words} not here, or in doubt."))
    return tuple(said)


def _seals_answered(facts: Facts) -> tuple[Sentence, ...]:
    try:
        every = facts.seals()
    except Refusal:
        return ()
    unsaid = [s for s in every if any(d.objection.rule == "presence" for d in s.line.open_doubts)]
    words = counted(len(unsaid), "place of a seal is", "places of seals are")
    return (Sentence(f"{words} not answered: what is there?"),) if unsaid else ()


def _fitted(facts: Facts) -> tuple[Sentence, ...]:
    try:
        materials = {made.material for stands in facts.seals() for made in stands.line.made}
    except Refusal:
        materials = set()  # that there is no seal list is said beside this
    return assembling.wrongly_fitted(facts.job, facts.tables, materials)


def _approved(facts: Facts) -> tuple[Sentence, ...]:
    """What the customer agreed to and is not done, or done and not within limit.

    What no reading tells, such as new seals, is done when the steps that do it are closed.
    """
    agreed = last_yes(facts.job.agreeing)
    if agreed is None:
        return ()
    operations = facts.tables.operations.by_id
    told = against_release(facts.job.agreeing, facts.parts(), operations)
    said = [Sentence("{says}", {"says": says}) for says in told]
    waits: dict[str, list[str]] = {}
    for line in agreed_lines(*agreed):
        told_by_readings = line.line in operations and bool(line.items)
        for step in () if told_by_readings or line.line == LEAST else _doing(line.line, facts):
            waits.setdefault(step.title, []).append(line.title)
    words = "Agreed to and not done: {titles}. {step} is not closed."
    return (*said, *(Sentence(words, {"titles": listed(w), "step": s}) for s, w in waits.items()))


def _doing(line: str, facts: Facts) -> list[Step]:
    """The steps that do a line of the scope and are not closed; a step that was skipped did nothing."""
    steps = facts.tables.steps
    doing = [s for s in steps.values() if line in s.does] or [steps[REASSEMBLY]]
    last = {s.id: facts.job.steps.last(s.id) for s in doing}
    return [s for s in doing if (done := last[s.id]) is None or done.did != CLOSED]


def _rework(facts: Facts) -> tuple[Sentence, ...]:
    """Of what was agreed to only what readings tell: the rest is done at the reassembly."""
    told = against_release(facts.job.agreeing, facts.parts(), facts.tables.operations.by_id)
    return tuple(Sentence("{says}", {"says": says}) for says in told)


def _stops(facts: Facts) -> tuple[Sentence, ...]:
    # a part that was stopped is stopped until something is said of it as left
    each = (p.left if p.touched else p.found for p in facts.parts())
    now = [part for part in each if part.disposition is Disposition.REFER]
    if not now:
        return ()
    words = "STOP: {stops}. Do not use it until a qualified person decides."
    return (Sentence(words, {"stops": stops_words(now) or parts_listed(now)}),)


def _fit(facts: Facts) -> tuple[Sentence, ...]:
    """A part that needs work and was not measured since, or is beyond its limits as left, agreed to or not."""
    parts = facts.parts()
    if all(p.now.disposition in (*FIT, Disposition.REFER) for p in parts):
        return ()
    return (Sentence("{says}", {"says": now_sentence(parts)}),)


def _steps(facts: Facts) -> tuple[Sentence, ...]:
    still = [
        s.title for s in facts.tables.steps.values() if s.id != RELEASE and not facts.job.steps.over(s.id)
    ]
    return (Sentence("Still open: {titles}.", {"titles": listed(still)}),) if still else ()


REQUIREMENTS: Mapping[str, Callable[[Facts], tuple[Sentence, ...]]] = {
    "tag": _tag,
    "owner": _owner,
    "mass": _mass,
    "places": _places,
    "decided": _decided,
    "customer": _customer,
    "seals": _seals,
    "seals-answered": _seals_answered,
    "rework": _rework,
    "approved": _approved,
    "stops": _stops,
    "fit": _fit,
    "steps": _steps,
    "fitted": _fitted,
    "torque": lambda facts: assembling.what_is_missing(facts.job, facts.tables),
    "test": lambda facts: testing.what_is_missing(facts.job, facts.tables),
}
"""What is missing, in words, by the names of `tables/steps.py`; nothing where it is there."""


def hold_sentence(facts: Facts, hand: StepStands | None) -> Sentence:
    """In one sentence what holds the job: a stop, late or wrong seals, else the first thing its step in hand lacks.

    Args:
        facts: what it is held against.
        hand: the step in hand, None when every one is over.
    """
    if hand is None:
        return Sentence("Every step is closed or skipped.")
    if stops := _stops(facts):
        return stops[0]
    if late := [s for s in _seals(facts) if facts.job.ordering.orders]:
        return late[0]
    held = held_of(hand.step.id, facts)
    first = next(iter((*held.refused, *held.missing)), Sentence("nothing is missing, close it."))
    return Sentence("{step}: {first}", {"step": hand.step.title, "first": first})
