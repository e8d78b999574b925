"""Undo: takes back the last thing entered with this phone, says what and where, asks first if it is out of sight."""

from __future__ import annotations

from inspect_app.bench.listing import opens_at_once
from inspect_app.entries.deciding import DECISIONS
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import AS_FOUND, Job, Place
from inspect_app.entries.steps import DID
from inspect_app.job.words import place_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.routes import split
from inspect_app.tables import Tables
from inspect_app.tables.assembling import joints_on
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.pressure_test import HOLD
from inspect_app.tables.pressure_test import STEP as TEST
from inspect_app.trade.measuring.wording import inside

SEEN_ON = {"nameplate": "nameplate", "caution": "cautions", "decision": "findings", "answer": "present"}

"""The screen on which an entry that belongs to no check is in sight."""

OF_SEALS = {
    "seal": "what is there", "old-seal": "the look of the old seal", "seal-sheet": "a figure off the sheet",
    "seal-doubt": "a doubt closed", "seal-question": "a question", "seal-answer": "an answer", "seal-order": "an order",
    "seal-offer": "what is offered otherwise", "seal-offer-answer": "a word on an offer", "seal-received": "what came",
    "reassembly": "the day of the reassembly",
}  # fmt: skip
"""Entries of the seal list, in sight on it and on its places."""

OF_SCOPE = {
    "path": "the way chosen", "work-confirmed": "a word for an operation", "scope-line": "a line of the scope",
    "scope-photo": "a photograph of the scope", "scope-terms": "the terms of the offer",
    "customer-told": "what the customer was told",
}  # fmt: skip
"""Entries of the scope, in sight on it."""


def undo(desk: Desk, job: Job) -> None:
    """Take back this phone's last entry if it belongs to the screen, else ask; say what it was."""
    entry = desk.bench.last_of_phone(job)
    if entry is None:
        desk.say("Nothing entered with this phone is left to take back in this job.")
    elif _in_sight(entry, job, desk):
        take_back(desk, job, entry)
    else:
        words = entry_words(entry, job.cylinder, desk.bench.tables_of(job), desk.standing.system)
        desk.ask(f"Last entered with this phone, and not on this screen: {words}. Take it back?", entry.id)


def take_back(desk: Desk, job: Job, entry: Entry) -> None:
    """Take one entry back, say which, and light its place again where it is measured."""
    tables = desk.bench.tables_of(job)
    desk.bench.take_back(job, entry, desk.standing.initials)
    entering, body = desk.entering, entry.body
    here = entering.at == (job.id, _state_of(entry), body.get("check")) and not entering.typed
    if here and entry.kind in ("reading", "skip"):
        entering.place = Place(body["station"], body["clock"])
    desk.refresh()
    desk.say(f"Undone: {entry_words(entry, job.cylinder, tables, desk.standing.system)}.")


def take_back_asked(desk: Desk, job: Job) -> None:
    """Take back what was asked about, unless this phone has entered something since."""
    entry = desk.bench.last_of_phone(job)
    if entry is not None and entry.id == desk.standing.asked:
        take_back(desk, job, entry)
    else:
        desk.say("Nothing was taken back: something was entered since the question.")


def came_back(desk: Desk) -> None:
    """The connection is back: say what this phone saved last in the job, and what is typed and not entered."""
    if desk.standing.handed or not desk.job_id():  # what was entered is nothing to a customer
        return
    if not opens_at_once(desk.bench, desk.job_id()):  # it is being opened, and so long nobody may wait
        return
    job = desk.bench.job(desk.job_id())
    entry, typed = desk.bench.last_of_phone(job), desk.entering.line.text
    tables, system = desk.bench.tables_of(job), desk.standing.system
    words = entry_words(entry, job.cylinder, tables, system) if entry else ""
    said = [f"Saved last with this phone: {words}."] if words else []
    said += [f"Typed and not entered: {typed}."] if typed else []
    if said:
        # a phone alone has none to lose
        back = ["The connection is back."] if desk.access else []
        desk.say(" ".join([*back, *said]), "accent")


def _in_sight(entry: Entry, job: Job, desk: Desk) -> bool:
    job_id, state, there = split(desk.standing.route)
    if (job_id, state) != (job.id, _state_of(entry)):
        return False
    if entry.kind in OF_SEALS:
        return there[:1] == ["seals"]
    if entry.kind in OF_SCOPE:
        return there[:1] == ["scope"]
    if not there:
        return entry.kind == "step"  # the job's own screen lists them
    if entry.kind in ("photo", "photo-declined") and there[0] in ("photos", "measure", "look"):
        of = entry.body.get("of")
        checks = {of, *(d.check for survey in job.surveys.values() for d in survey.defects if d.id == of)}
        return there == ["photos"] or there[1] in checks
    if entry.kind == "photo-mark":
        return there in [["photo", p.id] for p in job.photos if p.sha256 == entry.body.get("photo")]
    if len(there) > 1 and there[0] in ("step", "test", "torque"):
        return _seen_in_a_step(entry, desk.bench.tables_of(job), there[0], there[1])
    check = entry.body.get("check")
    return (
        there in (["measure", check], ["look", check]) if check else there == [SEEN_ON.get(entry.kind, "-")]
    )


def _seen_in_a_step(entry: Entry, tables: Tables, kind: str, name: str) -> bool:
    """Whether an entry shows on the screen of a step, of a trial of the pressure test, or of a joint."""
    body, step = entry.body, tables.steps.get(name if kind == "step" else TEST if kind == "test" else "")
    if entry.kind in ("torque-target", "torque-reached"):
        return kind == "torque" and body.get("joint") == name
    trial = next((t for t in tables.pressure_test.trials if t.id == name and kind == "test"), None)
    if entry.kind in ("test-reading", "test-log"):
        return trial is not None and trial.judged == HOLD
    if step is None:
        return False
    if entry.kind == "caution":
        return body.get("caution") in step.cautions
    if kind == "test":
        return trial is not None and entry.kind == "record" and body.get("record") in trial.records
    if entry.kind == "photo":
        return str(body.get("of")).startswith(f"step {name}, ")
    return bool(step.nameplate) if entry.kind == "nameplate" else body.get("step") == name


def _state_of(entry: Entry) -> str:
    return str(entry.body.get("survey", AS_FOUND))


def entry_words(entry: Entry, kind: str, tables: Tables, system: str) -> str:
    """An entry in words: what it says, and of which check, part and place.

    Args:
        entry: the entry.
        kind: the kind of cylinder, for the names of checks and parts.
        tables: the tables of its job, for the names of all the rest.
        system: "metric" or "inch".
    """
    body, cylinder = entry.body, tables.cylinders[kind]
    check = cylinder.check(str(body.get("check", "")))
    part = next((inside(p.title) for p in cylinder.parts if check and p.id == check.part), "")
    of = f"{check.title} ({part})" if check and part.casefold() not in check.title.casefold() else ""
    called = check.stations.names if check else {}
    where = place_words(Place(str(body.get("station", "")), str(body.get("clock", ""))), called, system)
    title = of or (check.title if check else "")
    if together := body.get("checks"):
        title = f"{title} and {len(together) - 1} more"
    return ", ".join(w for w in (_what(entry, cylinder, tables), title, where) if w)


def _answer(of: str, answer: str, cylinder: Cylinder) -> str:
    """An answer as it is called, and to what."""
    question = cylinder.question(of)
    if question is None:
        return f"answer {answer}"
    return f"answer {question.answers.get(answer, answer)}, {inside(question.title)}"


def _what(entry: Entry, cylinder: Cylinder, tables: Tables) -> str:
    body = entry.body
    match entry.kind:
        case "reading":
            return f"reading {body.get('typed')}"
        case "skip":
            reason = str(body.get("reason"))
            return f"skip {cylinder.reasons.get(reason, reason)}"
        case "nominal":
            return f"nominal size {body.get('typed')}"
        case "defect":
            kind = cylinder.defect(str(body.get("defect")))
            again = "correction of " if body.get("instead_of") else ""
            return f"{again}defect {kind.title if kind else body.get('defect')}"
        case "limit":
            return f"limit off {body.get('source')}"
        case "places":
            return "where it is measured"
        case "looked":
            return "visual check finished"
        case "photo":
            return f"photograph of {body.get('caption') or 'the job'}"
        case "photo-declined":
            return f"no {body.get('view')}"
        case "photo-mark":
            return f"{body.get('shape')} on a photograph"
        case "answer":
            return _answer(str(body.get("question")), str(body.get("answer")), cylinder)
        case "caution":
            return "caution confirmed"
        case "decision":
            return _of_decision(body, cylinder)
        case "step" | "record" | "torque-target" | "torque-reached" | "test-reading" | "test-log":
            return _of_work(entry, tables, cylinder)
        case "nameplate":
            return "nameplate " + ", ".join(
                f"{name.replace('_', ' ')} {f.get('typed') or 'emptied'}"
                for name, f in body.get("fields", {}).items()
            )
    place = f", {body['position'].replace('-', ' ')}" if body.get("position") else ""
    return f"{(OF_SEALS | OF_SCOPE).get(entry.kind, entry.kind)}{place}"


def _of_decision(body: Body, cylinder: Cylinder) -> str:
    part = next((inside(p.title) for p in cylinder.parts if p.id == body.get("part")), body.get("part"))
    return f"decision for the {part}: {DECISIONS.get(str(body.get('disposition')), '?')}"


def _of_work(entry: Entry, tables: Tables, cylinder: Cylinder) -> str:
    """What was entered in a step, at a joint, or in the hold of the pressure test."""
    body = entry.body
    if entry.kind == "test-reading":
        return f"reading of the hold at {body['minutes']['typed']} min: {body['pressure']['typed']}"
    if entry.kind == "test-log":
        return f"log {body.get('name')}"
    if entry.kind in ("step", "record"):
        return _of_step(body, tables)
    joints = {**tables.assembling.joints, **joints_on(tables.assembling, cylinder)}
    joint = joints.get(str(body.get("joint")))
    what = "torque aimed at" if entry.kind == "torque-target" else "torque reached"
    return f"{what}, {inside(joint.title)}" if joint else what


def _of_step(body: Body, tables: Tables) -> str:
    """What was done with a step, or recorded in it, as the screen calls it."""
    step = tables.steps.get(str(body.get("step")))
    if "did" in body:
        return f"{inside(step.title) if step else body.get('step')}, {DID.get(str(body['did']), '?')}"
    record, typed = step.record(str(body.get("record"))) if step else None, str(body.get("typed"))
    if record is None:
        return f"{body.get('record')} {typed or 'emptied'}"
    return f"{record.title}: {record.options.get(typed, typed) or 'emptied'}"
