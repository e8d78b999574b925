"""What was found, as a customer reads it: findings in plain words by their consequence, each with its photograph."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspect_app.entries.job import Job, Photo
from inspect_app.job.assess import Assessment
from inspect_app.job.cures import ToCure, stopping, to_cure, to_renew
from inspect_app.job.pictured import read_off_sentence, said_on
from inspect_app.job.scope.shown import Figure, MarkedPhoto, Picture, SeenItem, ShownMark
from inspect_app.job.words import NOT_SIZED, limit_sentence, value_words
from inspect_app.tables.consequences import Consequence, Consequences
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital

AT_THE_EDGE = "It is at the edge of what may stay."


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing found with the findings it is made of; a part somebody decided to renew has none."""

    item: SeenItem
    part: str
    findings: tuple[ToCure, ...]


def seen_on(job: Job, assessment: Assessment, told: Consequences, system: str) -> tuple[Seen, ...]:
    """What was found on a cylinder that may not stay, what stops first.

    Args:
        job: the job, for its photographs and which of them are shown.
        assessment: the cylinder as it was judged.
        told: what a customer is told.
        system: "metric" or "inch".
    """
    grouped: dict[str, list[ToCure]] = {}
    for finding in (*stopping(assessment), *to_cure(assessment)):
        grouped.setdefault(_told(finding, told).id, []).append(finding)
    every = [_seen(n, job, of, told, system) for n, of in enumerate(grouped.values(), 1)]
    parts = {p.part.id: p.part.title for p in assessment.parts}
    met = {s.part for s in every}
    for part in to_renew(assessment):
        if part not in met:
            words = _of_other(parts[part], told)
            item = SeenItem(part, len(every) + 1, words.title, words.saw, words.does, words.if_not)
            every.append(Seen(item, part, ()))
    return tuple(every)


def _told(finding: ToCure, told: Consequences) -> Consequence:
    # a checklist kept with an older job may have a check that today's words do not
    return told.of.get((finding.check, finding.name)) or _of_other(finding.title, told)


def _of_other(part: str, told: Consequences) -> Consequence:
    words = {key: text.format(part=part) for key, text in told.other.items()}
    return Consequence(part, words["title"], (), (), words["saw"], words["does"], words["if_not"])


def _seen(number: int, job: Job, findings: list[ToCure], told: Consequences, system: str) -> Seen:
    words = _told(findings[0], told)
    photo = _photo_of(job, findings)
    more = [capital(", ".join(said)) + "." for said in [_sizes(findings, told, system)] if said]
    edge = [AT_THE_EDGE] if not any(f.certain for f in findings) else []
    item = SeenItem(
        words.id,
        number,
        words.title,
        " ".join([words.saw, *more, *edge]),
        words.does,
        words.if_not,
        photo.sha256 if photo else "",
        photo.caption if photo else "",
        tuple(
            _figure(f, told, system) for f in findings if f.finding.kind not in NOT_SIZED and f.finding.value
        ),
    )
    return Seen(item, findings[0].part, tuple(findings))


def _sizes(findings: Iterable[ToCure], told: Consequences, system: str) -> list[str]:
    """The size of each kind once, the worst first found, and where it is."""
    said: dict[str, str] = {}
    for found in findings:
        name, finding = found.finding.characteristic, found.finding
        if finding.value is not None and name in told.says:
            said.setdefault(name, told.says[name].format(value=value_words(finding, system)))
    where = dict.fromkeys(told.where[f.zone] for f in findings if f.zone in told.where)
    return [*said.values(), *where]


def _figure(found: ToCure, told: Consequences, system: str) -> Figure:
    reuse, name = found.finding.judgement("reuse"), found.finding.characteristic
    allowed = limit_sentence(reuse.limit, found.finding.kind).words(system) if reuse else ""
    return Figure(told.called.get(name, name), value_words(found.finding, system), allowed)


def _photo_of(job: Job, findings: Iterable[ToCure]) -> Photo | None:
    """The photograph of what was found: one said to be shown before any other, the newest of several."""
    of = {f.finding.defect or f.check for f in findings}
    said = job.agreeing.photos
    able = [p for p in job.photos if p.of in of and said.get(p.id, True)]
    return max(able, key=lambda p: (said.get(p.id, False), job.photos.index(p)), default=None)


def marked_on(job: Job, shown: Iterable[str], system: str) -> tuple[MarkedPhoto, ...]:
    """The marks on the photographs that are shown, each with what it says.

    Args:
        job: the job.
        shown: the photographs, by their SHA-256, "" for none.
        system: "metric" or "inch".
    """
    known, found = {p.sha256: p for p in job.photos}, []
    for photo in (known[sha256] for sha256 in dict.fromkeys(shown) if sha256 in known):
        if marks := job.pictured.on(photo.sha256):
            drawn = tuple(
                ShownMark(
                    m.shape,
                    tuple((str(x), str(y)) for x, y in m.points),
                    in_words(said_on(photo, marks, m), system),
                )
                for m in marks
            )
            note = read_off_sentence(marks).words(system)
            found.append(MarkedPhoto(photo.sha256, photo.width, photo.height, drawn, note))
    return tuple(found)


def further_pictures(job: Job, seen: Iterable[Seen]) -> tuple[Picture, ...]:
    """The photographs somebody wants shown beside those of what was found.

    Args:
        job: the job.
        seen: what was found, with its photographs.
    """
    # by its bytes: the same picture may belong to two things, and is shown once
    there = {s.item.photo for s in seen}
    wanted = [p for p in job.photos if job.agreeing.photos.get(p.id) and p.sha256 not in there]
    return tuple(Picture(p.sha256, p.caption) for p in wanted)
