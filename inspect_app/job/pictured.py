"""What is marked on a photograph in words, and the lengths read off it, which inform and are never judged."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from inspect_app.entries.job import Photo
from inspect_app.entries.pictured import LENGTH, SCALE, Mark
from inspect_app.trade.measuring.in_pictures import ReadOff, read_off
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence
from inspect_app.trade.measuring.rounding import WithU

READ_OFF = "Lengths are read off the photograph by a known size in it, seen square on; they are not judged."


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
