"""One line of the seal list: what to order for one place, why, and what still speaks against ordering it."""

from __future__ import annotations

from dataclasses import dataclass, field

from inspect_app.entries.seals import Where
from inspect_app.job.seals.inputs import Closing, Known
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import UNSAID, Sentence, joined
from inspect_app.trade.sealing.housings import Candidate, Housing
from inspect_app.trade.sealing.old_seals import Pointer
from inspect_app.trade.sealing.orings import ORing
from inspect_app.trade.sealing.pairings import Objection

MEMORY = ("from-memory", "standard-from-memory")
"""What nobody here has read is confirmed before anything is ordered by it."""

SHARED = ("fluid", "temperature", "coldest", "pressure", "speed", "sizes", "swell")
"""Doubts about the cylinder, not about one seal: asked once."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of choosing: what it came to, and where that is from."""

    name: str
    sentence: Sentence
    source: str = ""
    status: str = ""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What speaks against ordering, what settles it, and who closed it; a stop is never closed, nor what waits."""

    objection: Objection
    closed: Closing | None = None

    @property
    def open(self) -> bool:
        """Whether it still stands."""
        return self.closed is None or not self.objection.closable

    @property
    def shared(self) -> bool:
        """Whether it is about the whole cylinder."""
        return self.objection.rule in SHARED


@dataclass(frozen=True, slots=True)
class Made:
    """A part of a seal, its material, and its hardness in words ("" where the seal's sheet says it)."""

    part: str
    material: str
    hardness: str


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension of a housing as measured; None is missing."""

    name: str
    known: Known | None
    words: str = ""


@dataclass(frozen=True, slots=True)
class Backups:
    """Back-up rings: how many, where, of what, and why."""

    number: int
    where: str
    material: str
    reasons: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class After:
    """What a place takes after a way to repair that is still open, beside what its line says."""

    way: str
    thing: Sentence
    same: bool


@dataclass(frozen=True, slots=True)
class SealLine:
    """One line. `made_to_measure` lists what its maker needs where no standard housing is near.

    `ring` is the size in words, unsaid while it is not known; `unit` is piece, set or strip, each `cut_mm` long;
    `oring` is the listed size of its O-ring, None of one that goes by its dimensions.
    """

    position: str
    place: str
    title: str
    state: str
    need: str
    seal: str = ""
    measured: tuple[Dimension, ...] = ()
    surface: Sentence = UNSAID
    housing: Housing | None = None
    candidates: tuple[Candidate, ...] = ()
    made_to_measure: tuple[Dimension, ...] = ()
    ring: Sentence = UNSAID
    made: tuple[Made, ...] = ()
    quantity: int | None = None
    unit: str = "piece"
    cut_mm: int | None = None
    backups: Backups | None = None
    remarks: tuple[str, ...] = ()
    steps: tuple[Step, ...] = field(default=())
    doubts: tuple[Doubt, ...] = field(default=())
    old: tuple[Pointer, ...] = ()
    after: tuple[After, ...] = ()
    oring: ORing | None = None

    @property
    def where(self) -> Where:
        """Position and place."""
        return self.position, self.place

    @property
    def open_doubts(self) -> tuple[Doubt, ...]:
        """The doubts that still stand."""
        return tuple(doubt for doubt in self.doubts if doubt.open)

    @property
    def orderable(self) -> bool:
        """Whether it may be ordered: everything is known and no doubt is open."""
        return bool(self.ring and self.made and self.quantity) and not self.open_doubts

    @property
    def to_order(self) -> tuple[object, ...]:
        """What is ordered; two lines are the same order when all of it is."""
        made_to = tuple(
            (d.name, d.known.value_mm if d.known else None, d.words) for d in self.made_to_measure
        )
        housing = self.housing.designation if self.housing else ""
        backups = (self.backups.number, self.backups.material) if self.backups else ()
        return (
            self.seal,
            housing,
            made_to,
            self.ring,
            self.made,
            self.quantity,
            self.unit,
            self.cut_mm,
            backups,
        )

    @property
    def thing(self) -> Sentence:
        """What is ordered, as one sentence, as far as it is known."""
        if not self.ring:
            return Sentence("not known before it is measured")
        made = ", ".join(f"{m.material} {m.hardness}".strip() for m in self.made) or "no material yet"
        backups = f"{self.backups.number} × back-up ring {self.backups.material}" if self.backups else ""
        sizes = (
            joined((d.name, Amount(d.known.value_mm, "length") if d.known else d.words or "missing"), " ")
            for d in self.made_to_measure
        )
        told: tuple[Sentence | str, ...] = (joined((self.seal, self.ring), " "), *sizes, made, backups)
        unit = Amount(self.cut_mm, "length", -2) if self.cut_mm else self.unit
        count = joined((str(self.quantity), unit), " × " if self.cut_mm else " ")
        number = count if self.quantity else "how many is not known"
        return joined((*(each for each in told if each), number), ", ")
