"""What a job is about: opened with which tables, its nameplate, and what is there on this cylinder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import AS_FOUND, Answer, Field, Job, Survey
from inspect_app.entries.typed import LARGEST, Known, Written, decimal, id_of, with_unit
from inspect_app.tables.nameplate import TEXT
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal

SYSTEMS = ("metric", "inch")
"""The systems of units a job may be in."""

# ---- typed


@dataclass(frozen=True, slots=True)
class Nameplate:
    """Fields of the nameplate by name; "" takes one back. One that the checklists do not list is kept as text."""

    fields: Mapping[str, str]

    def written(self, known: Known) -> list[Written]:
        """The fields that changed; refused is a quantity that cannot be read or cannot be."""
        stands = {name: text.strip() for name, text in self.fields.items()}
        changed = {
            name: _field(text, _kind(name, known), known.system)
            for name, text in stands.items()
            if text != known.survey.text(name)
        }
        return [("nameplate", {"fields": changed})] if changed else []


def _kind(name: str, known: Known) -> str:
    field = known.tables.nameplate.get(name)
    return field.kind if field else TEXT


def _field(text: str, kind: str, system: str) -> dict[str, str]:
    if kind == TEXT or not text:
        return {"typed": text, "value": ""}
    quantity = quantities.read(text, kind=kind, system=system)
    if quantity.value <= 0 and kind != "temperature":
        raise Refusal(f"{text} is not a size; it must be greater than 0.")
    if kind == "length" and quantity.value >= LARGEST:
        raise Refusal(f"{text} is longer than any cylinder; it must be below {LARGEST} mm.")
    return {"typed": with_unit(text, quantity), "value": quantities.exact(quantity.value)}


@dataclass(frozen=True, slots=True)
class AnswerGiven:
    """What is there on this cylinder: a question of the checklist by its id, and an answer by its id or its words."""

    question: str
    answer: str

    def written(self, known: Known) -> list[Written]:
        """The answer; refused is an unknown question, or an answer it does not have."""
        asked = known.cylinder.question(self.question)
        if asked is None:
            allowed = ", ".join(q.id for q in known.cylinder.questions)
            raise Refusal(f"{self.question!r} is not a question of this checklist; allowed are {allowed}.")
        answer = id_of(self.answer, asked.answers)
        if not answer:
            allowed = ", ".join(asked.answers.values())
            raise Refusal(f"{self.answer!r} is no answer to {asked.ask} Allowed are {allowed}.")
        return [("answer", {"question": self.question, "answer": answer})]


# ---- folded


def job(job: Job, entry: Entry, body: Body) -> Job:
    """A job was opened; one that does not say its units has those of the file it was typed off."""
    opened = tables(job, entry, body)
    typed_off = _typed_off(dict(body.get("typed_off", {})))
    units = str(body.get("units", typed_off.get("units", "")))
    units = units if units in SYSTEMS else ""
    return replace(
        opened,
        name=body["name"],
        opened_at=entry.at,
        opened_by=entry.by,
        offset=str(body.get("offset", "")),
        typed_off=typed_off,
        surveys={**opened.surveys, AS_FOUND: replace(opened.as_found, units=units)},
    )


def _typed_off(said: Body) -> dict[str, str]:
    """Which readings file, each of its four said or ""; a day that is none is not said."""
    if not said:
        return {}
    off = {name: str(said.get(name, "")) for name in ("file", "sha256", "date", "units")}
    try:
        date.fromisoformat(off["date"])
    except ValueError:
        off["date"] = ""
    return off


def tables(job: Job, entry: Entry, body: Body) -> Job:
    """From here on it is judged by other tables."""
    found = replace(job.as_found, cylinder=body["cylinder"])
    return replace(
        job,
        surveys={**job.surveys, AS_FOUND: found},
        cylinder_hash=body["cylinder_hash"],
        limits_hash=body["limits_hash"],
    )


def nameplate(survey: Survey, entry: Entry, body: Body) -> Survey:
    """Fields join those known; an empty one is gone."""
    fields = {name: Field(f["typed"], decimal(f.get("value"))) for name, f in body["fields"].items()}
    merged = {n: f for n, f in {**survey.nameplate, **fields}.items() if f.typed}
    return replace(survey, nameplate=merged)


def answer(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last answer to a question holds."""
    return replace(
        survey, answers={**survey.answers, body["question"]: Answer(body["answer"], entry.by, entry.at)}
    )
