"""Photographs as the report shows them: each with its number, who took it when, and what is marked on it."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.entries.job import Job, Photo
from inspect_app.figures.on_photo import marks_on
from inspect_app.job.pictured import read_off_sentence
from inspect_app.paper.blocks import Photo as Picture
from inspect_app.report.phrases import when_said


def photos_of(job: Job, thing: str, system: str) -> tuple[Picture, ...]:
    """The photographs of a defect, a check or the job, as the report shows them.

    Args:
        job: the job.
        thing: whose photographs.
        system: "metric" or "inch".
    """
    return tuple(_shown(job, photo, system) for photo in job.photos_of(thing))


def _shown(job: Job, photo: Photo, system: str) -> Picture:
    marks = job.pictured.on(photo.sha256)
    said = (f"Photograph {photo.number}", photo.caption, taken_words(job, photo), f"file {photo.sha256[:8]}")
    caption = " ".join(w for w in (f"{', '.join(w for w in said if w)}.", str(read_off_sentence(marks))) if w)
    name = f"Photograph {photo.number} ({photo.sha256[:12]})"
    instead = f"{name} is not at hand here; restore it from a backup or its phone."
    return Picture(photo.sha256, photo.width, photo.height, caption, instead, marks_on(photo, marks, system))


def taken_words(job: Job, photo: Photo) -> str:
    """Who took a photograph, and when: by the camera's clock, else when it was taken in.

    Args:
        job: the job.
        photo: the photograph.
    """
    when = photo.taken_at.replace("T", " ")[:16] or when_said(job, photo.at)
    return f"{photo.by}, {when}"


def on_a_card(job: Job, thing: str, system: str) -> Picture | None:
    """The first photograph of a thing, for a card that says already what it shows; None where there is none.

    Args:
        job: the job.
        thing: whose photograph.
        system: "metric" or "inch".
    """
    first = next(iter(job.photos_of(thing)), None)
    if first is None:
        return None
    note = str(read_off_sentence(job.pictured.on(first.sha256)))
    return replace(
        _shown(job, first, system), caption=" ".join(w for w in (f"Photograph {first.number}.", note) if w)
    )
