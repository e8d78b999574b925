"""How many seals a place takes, and why: as counted, as is usual, or not known; and the back-up rings with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.job.seals.inputs import GrooveFound
from inspect_app.job.seals.line import Backups, Step
from inspect_app.job.seals.matching import Named
from inspect_app.tables.positions import Position
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.sealing.housings import Housing
from inspect_app.trade.sealing.pairings import Objection

V_RINGS = "v-ring-sets"
PRESSED = {
    "rod side": "it is pressed from the rod side alone",
    "cap side": "it is pressed from the cap side alone",
    "both sides": "it is pressed from both sides in turn",
    "none": "it stands no pressure",
}


@dataclass(frozen=True, slots=True)
class Count:
    """How many, None while nobody knows; the step that says why; what is in doubt."""

    number: int | None
    step: Step | None
    objections: tuple[Objection, ...] = ()


def count_of(position: Position, found: GrooveFound, backups: Backups | None, handbook: Handbook) -> Count:
    """How many seals one place takes: as counted, or the usual number where there is only one.

    Args:
        position: which seal.
        found: its groove, with how many were counted and which way its lips face.
        backups: its back-up rings, with each seal so many.
        handbook: how sure the usual numbers are.
    Source: seal-positions
    """
    counted = found.number or len(found.lips_face) or None
    if counted is None and len(position.usual) > 1:
        says = Sentence(f"How many are there? {' to '.join(position.usual)} are usual.")
        return Count(None, None, (Objection("number", says, Sentence("count the grooves")),))
    number = counted or int(position.usual[0])
    why = f"{number}, as counted" if counted else f"{number}, as is usual at one place"
    if backups:
        each = "each with " if number > 1 else "with "
        rings = "1 back-up ring" if backups.number == 1 else f"{backups.number} back-up rings"
        why += f"; {each}{rings}, {backups.where}: {PRESSED[position.pressed]}"
    source = handbook.sources[position.source]
    step = Step("quantity", Sentence(f"{why}."), *(("", "") if counted else (source.key, source.status)))
    return Count(number, step)


def set_of_rings(named: Named, handbook: Handbook) -> tuple[Step, Objection] | None:
    """A lip seal's housing that is the longest of its kind takes a set of V-rings, or one long lip seal.

    Args:
        named: what the groove is.
        handbook: the housings beside it.
    Returns: the step and the doubt, None for a shorter housing.
    Source: v-ring-sets
    """
    if named.housing is None or named.seal != "lip seal" or not _longest(named.housing, handbook.housings):
        return None
    says = Sentence("The housing is the longest of its kind: a set of V-rings fits it, or one long lip seal.")
    settles = Sentence("show the old seal: a set, with how many V-rings, or one piece")
    source = handbook.sources[V_RINGS]
    return Step("kind", says, source.key, source.status), Objection("set", says, settles)


def _longest(housing: Housing, housings: Sequence[Housing]) -> bool:
    """Whether others of the same standard and section are shorter, and none is longer."""
    widths = [
        h.width.nominal_mm
        for h in housings
        if (h.standard, h.kind, h.sealed.nominal_mm, h.groove.nominal_mm)
        == (housing.standard, housing.kind, housing.sealed.nominal_mm, housing.groove.nominal_mm)
    ]
    return len(widths) > 1 and housing.width.nominal_mm == max(widths)
