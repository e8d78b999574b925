"""What photographs show in words, which are missing, and the lengths read off them, which are never judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from inspect_app.entries.job import AS_FOUND, WHOLE_CHECK, Job, Photo, Place
from inspect_app.entries.pictured import LENGTH, SCALE, VIEWS, Mark
from inspect_app.job.words import place_words
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.in_pictures import ReadOff, read_off
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence, joined
from inspect_app.trade.measuring.rounding import WithU
from inspect_app.trade.measuring.wording import listed

READ_OFF = "Lengths are read off the photograph by a known size in it, seen square on; they are not judged."


def shown_on(job: Job, cylinder: Cylinder, photo: Photo) -> tuple[str, Said | str]:
    """What a photograph shows and where that lies: the defect it is of, else what the one who took it called it.

    Args:
        job: the job.
        cylinder: its checklist, for the names of defects, checks and areas.
        photo: the photograph.
    """
    view = VIEWS.get(photo.view, ("", ""))[0]
    for survey in job.surveys.values():
        for defect in survey.defects:
            if defect.id == photo.of:
                state = "" if survey.name == AS_FOUND else survey.name.replace("-", " ")
                kind = cylinder.defect(defect.kind)
                title = kind.title if kind else defect.kind
                zone = cylinder.zones.get(defect.zone, defect.zone)
                at: list[Said | str] = [_At(defect.place)] if defect.place != WHOLE_CHECK else []
                return title, joined([w for w in [view, *at, zone, state] if w], ", ")
    check = cylinder.check(photo.of)
    return photo.caption or (check.title if check else "The cylinder"), view


@dataclass(frozen=True, slots=True)
class _At:
    """A place, said in the reader's units."""

    place: Place

    def words(self, system: str) -> str:
        return place_words(self.place, {}, system)


def beside(job: Job, photo: Photo) -> list[Photo]:
    """The other photographs, as one is compared with them: first what shows the same check in another state of the
    cylinder, then the same check, then all others.

    Args:
        job: the job.
        photo: the photograph.
    """
    check, state = _seen_at(job, photo)

    def apart(other: Photo) -> tuple[bool, bool]:
        its_check, its_state = _seen_at(job, other)
        return its_check != check, its_state == state

    return sorted((p for p in job.photos if p.id != photo.id), key=apart)


def _seen_at(job: Job, photo: Photo) -> tuple[str, str]:
    """The check a photograph belongs to, and the state of the cylinder it shows."""
    for survey in job.surveys.values():
        for defect in survey.defects:
            if defect.id == photo.of:
                return defect.check, survey.name
    return photo.of, AS_FOUND


def not_taken(job: Job, cylinder: Cylinder) -> list[Sentence]:
    """Which photographs asked for of a defect are not there, and who declined them, a sentence a defect.

    Args:
        job: the job.
        cylinder: its checklist, for the names of defects.
    """
    told = []
    for defect in (d for survey in job.surveys.values() for d in survey.defects):
        kind = cylinder.defect(defect.kind)
        begun = any(p.view for p in job.photos_of(defect.id)) or any(
            of == defect.id for of, _ in job.pictured.declined
        )
        missing = [
            f"{VIEWS[view][0].lower()}{f' (declined, {by})' if by else ''}"
            for view, by in open_views(job, defect.id).items()
        ]
        if begun and missing:  # of a defect that nobody was asked about there is nothing to say
            parts: dict[str, Said | str] = {
                "what": kind.title if kind else defect.kind,
                "at": _At(defect.place),
                "missing": listed(missing),
            }
            at = ", {at}" if defect.place != WHOLE_CHECK else ""
            told.append(Sentence(f"{{what}}{at}: no {{missing}}.", parts))
    return told


def open_views(job: Job, defect: str) -> dict[str, str]:
    """The views asked for of a defect that were not taken, with the initials of who declined each, "" for nobody.

    Args:
        job: the job.
        defect: the defect's id.
    """
    taken = {p.view for p in job.photos_of(defect)}
    return {view: job.pictured.declined.get((defect, view), "") for view in VIEWS if view not in taken}


def length_on(photo: Photo, marks: Sequence[Mark], mark: Mark) -> ReadOff | None:
    """A length marked on a photograph, by the known size set on it last; None where none scales it.

    Args:
        photo: the photograph, for its size.
        marks: all marks on it.
        mark: a length, or a known size itself.
    """
    scale = next((m for m in reversed(marks) if m.shape == SCALE and m.value is not None), None)
    if scale is None or scale.value is None or mark.shape not in (LENGTH, SCALE):
        return None
    off = float(max(scale.within, mark.within)) * photo.width
    try:
        return read_off(scale.value, _pixels(photo, scale), _pixels(photo, mark), off)
    except Refusal:
        return None


def _pixels(photo: Photo, mark: Mark) -> float:
    (x1, y1), (x2, y2) = mark.points
    return hypot(float(x2 - x1) * photo.width, float(y2 - y1) * photo.height)


def said_on(photo: Photo, marks: Sequence[Mark], mark: Mark) -> Said | str:
    """What stands beside a mark: its words, the known size as typed, the length with how far it may be off.

    Args:
        photo: the photograph.
        marks: all marks on it.
        mark: the mark.
    """
    if mark.shape == SCALE:
        return Sentence("known: {size}", {"size": mark.typed})
    if mark.shape != LENGTH:
        return mark.text
    read = length_on(photo, marks, mark)
    return WithU(read.value_mm, read.error_mm, "length") if read else "no scale"


def read_off_sentence(marks: Sequence[Mark]) -> Sentence:
    """That lengths on a photograph are read off it; nothing where there are none.

    Args:
        marks: all marks on it.
    """
    return Sentence(READ_OFF) if any(m.shape == LENGTH for m in marks) else UNSAID
