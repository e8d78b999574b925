"""Photographs as the report shows them: each with its number, who took it when, and what is marked on it."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.entries.job import Job, Photo
from inspect_app.figures.on_photo import marks_on
from inspect_app.job.pictured import not_taken, read_off_sentence, shown_on
from inspect_app.paper.blocks import Block, Card, Cards, Section, Words
from inspect_app.paper.blocks import Photo as Picture
from inspect_app.report.phrases import when_said
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital, counted


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
    instead = f"Photograph {photo.sha256[:12]} is not at hand here; restore it from a backup or its phone."
    return Picture(photo.sha256, photo.width, photo.height, caption, instead, marks_on(photo, marks, system))


def taken_words(job: Job, photo: Photo) -> str:
    """Who took a photograph, and when: by the camera's clock, else when it was taken in.

    Args:
        job: the job.
        photo: the photograph.
    """
    when = photo.taken_at.replace("T", " ")[:16] or when_said(job, photo.at)
    return f"{photo.by}, {when}"


def on_a_card(job: Job, thing: str, system: str) -> tuple[Picture, str] | None:
    """The first photograph of a thing, for a card that says already what it shows, and the number it goes by.

    Args:
        job: the job.
        thing: whose photograph.
        system: "metric" or "inch".
    Returns: None where there is none.
    """
    first = next(iter(job.photos_of(thing)), None)
    return (replace(_shown(job, first, system), caption=""), f"Photograph {first.number}.") if first else None


def contact_sheet(job: Job, cylinder: Cylinder, system: str) -> Section | None:
    """All photographs of the job by their numbers: what each shows, where, who took it when; None of a job without.

    Args:
        job: the job.
        cylinder: its checklist.
        system: "metric" or "inch".
    """
    if not job.photos:
        return None
    blocks: list[Block] = [
        Cards(tuple(_small(job, cylinder, photo, system) for photo in job.photos), tiny=True)
    ]
    if missing := [said.words(system) for said in not_taken(job, cylinder)]:
        blocks.append(Words(f"Asked for and not taken. {' '.join(missing)}", "small"))
    blocks.append(Words(_as_taken(job), "small"))
    count = counted(len(job.photos), "photograph", "photographs")
    return Section(f"{count}, all that were taken", tuple(blocks), 2)


def _as_taken(job: Job) -> str:
    """Whether the files as the cameras made them are kept."""
    kept = sum(photo.kept for photo in job.photos)
    if kept == len(job.photos):
        return "Each is kept as the camera made it too, unchanged; the log names its hash."
    which = f"{kept} of {len(job.photos)} are kept" if kept else "None is kept"
    return f"{which} as the camera made it; the log names the hash of each."


def _small(job: Job, cylinder: Cylinder, photo: Photo, system: str) -> Card:
    title, where = shown_on(job, cylinder, photo)
    words = ". ".join(w for w in (capital(in_words(where, system)), taken_words(job, photo)) if w)
    picture = replace(_shown(job, photo, system), caption="")
    return Card(photo.number, _short(title, TITLE), (("", _short(words, WORDS)),), picture)


TITLE, WORDS = 80, 240
"""So many letters stand on a card, which is never cut between two pages; all of them stand where its photograph is."""


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"
