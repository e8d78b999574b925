"""One cylinder as it stands in the log: what was read, found, answered and decided; values only, pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import NamedTuple

from inspect_app.entries.agreed import Agreeing
from inspect_app.entries.assembled import Assembled
from inspect_app.entries.pictured import Pictured
from inspect_app.entries.seals import Ordering, SealsSaid
from inspect_app.entries.steps import Steps
from inspect_app.entries.tested import Tested
from inspect_app.trade.measuring.uncertainty import EXPANDED

AS_FOUND = "as-found"
"""The cylinder as it came in; an entry that names no state is about this one."""

AS_PLANNED, AS_LEFT = LATER = ("as-planned", "as-left")
"""Its states after it: as it is meant to go out, and as it goes out."""


class Place(NamedTuple):
    """Where a reading was taken: station (mm from the part's datum as text, an id of the checklist, own words,
    or "") and clock (hours as text, or "")."""

    station: str
    clock: str


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the nameplate: as typed, and for a quantity its value in the canonical unit."""

    typed: str
    value: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge as it was when read: its kind by id, the shop's name for it ("" for none), rows (up to, ± error),
    share of the reading, step, calibrated until.

    `states` says what its ± is, a key of `uncertainty.STATES`; `repeatability` is the standard deviation of one
    reading, None where nobody told it apart. It reads `from_` to `up_to`, None where no range was stated.
    `typed` is its certificate as somebody typed it, a figure each, with units; none of a shipped default.
    """

    id: str
    kind: str
    name: str
    errors: tuple[tuple[Decimal, Decimal], ...]
    share: Decimal
    step: Decimal
    calibrated_until: str
    states: str = EXPANDED
    repeatability: Decimal | None = None
    from_: Decimal | None = None
    up_to: Decimal | None = None
    typed: tuple[tuple[str, str], ...] = ()


class Reading(NamedTuple):
    """One reading that stands: value in the canonical unit, as typed, its gauge, when and by whom.

    `step` is one of the last digit typed, in the canonical unit; 0 where an older log does not say. A job may have
    twenty thousand, and a tuple is made three times as fast as a frozen dataclass.
    """

    id: str
    check: str
    place: Place
    value: Decimal
    typed: str
    gauge: str
    at: str
    by: str
    step: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Skip:
    """A place, or with an empty place a whole check, that was not measured, and why: an id of the checklist's
    reasons, or own words; `id` is the entry's."""

    id: str
    check: str
    place: Place
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class DefectSize:
    """One measure of a defect: mm, as typed, the step it was typed to, and the gauge that took it ("" if not said)."""

    value: Decimal
    typed: str
    step: Decimal
    gauge: str


@dataclass(frozen=True, slots=True)
class Defect:
    """A defect where it sits, with its sizes by measure.

    `id` is that of the entry it was first said in: a correction keeps it, and the photographs with it. `at` and `by`
    are the last entry's. `zone` is an id of the checklist. `felt` is what a fingernail says of a mark: "felt",
    "not-felt", or "" where nobody said. `station_typed` is the station as typed, "" where the log does not say.
    """

    id: str
    check: str
    kind: str
    place: Place
    zone: str
    sizes: Mapping[str, DefectSize]
    felt: str
    note: str
    at: str
    by: str
    station_typed: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph taken in, of the job, a check or a defect (`of` is its id).

    `number` is what it goes by in its job, `at` when it was taken in and `by` whose initials took it; `taken_at` is
    the camera's own clock. `view` is which of those asked for it is, a key of `pictured.VIEWS`, "" for none;
    `kept` whether the file as the camera made it was kept by who took it in.
    """

    id: str
    sha256: str
    original_sha256: str
    width: int
    height: int
    taken_at: str
    of: str
    caption: str
    number: str
    at: str
    by: str
    view: str = ""
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Examined:
    """Who looked for cracks, qualified how, by which method; `by` are the initials of who entered it."""

    who: str
    qualified: str
    method: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class DrawingLimit:
    """A limit off the maker's drawing, typed in for this job; `lower`/`upper` None where it has none."""

    check: str
    characteristic: str
    lower: Decimal | None
    upper: Decimal | None
    source: str
    by: str


@dataclass(frozen=True, slots=True)
class Decided:
    """What a person decided for a part with open eyes, and why.

    Where a stop was overruled also who examined the part, and how.
    """

    id: str
    disposition: str
    reason: str
    by: str
    at: str
    examined_by: str = ""
    examined_how: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person said is present on this cylinder."""

    text: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Issued:
    """A report that was issued: how far the log reached, the digest over it, the hash of the PDF, the ends of the
    chains it covers (device to link), and the size of its pages, "" where an older log does not say."""

    entries: int
    head: str
    sha256: str
    at: str
    by: str = ""
    ends: Mapping[str, str] = field(default_factory=dict)
    page: str = ""


@dataclass(frozen=True, slots=True)
class Survey:
    """One state of the cylinder: what was read, found and decided of it, and what it is judged by.

    `cylinder` is its checklist, `units` the system a bare number of the job is in ("" where an older log does
    not say). A survey in `Job.surveys` holds what was said of this state alone;
    `Job.survey` gives it whole. `as_found_of` are checks whose readings are those of the cylinder as found.
    """

    name: str = AS_FOUND
    cylinder: str = ""
    units: str = ""
    nameplate: Mapping[str, Field] = field(default_factory=dict)
    answers: Mapping[str, Answer] = field(default_factory=dict)
    nominals: Mapping[str, Field] = field(default_factory=dict)
    limits: tuple[DrawingLimit, ...] = ()
    gauges: Mapping[str, Gauge] = field(default_factory=dict)
    places: Mapping[str, tuple[Place, ...]] = field(default_factory=dict)
    readings: Mapping[str, Mapping[Place, Reading]] = field(default_factory=dict)
    replaced: tuple[Reading, ...] = ()
    skips: Mapping[tuple[str, Place], Skip] = field(default_factory=dict)
    defects: tuple[Defect, ...] = ()
    looked: frozenset[str] = frozenset()
    examined: Mapping[str, Examined] = field(default_factory=dict)
    decided: Mapping[str, Decided] = field(default_factory=dict)
    seals: SealsSaid = field(default_factory=SealsSaid)
    as_found_of: frozenset[str] = frozenset()

    def length(self, name: str) -> Decimal | None:
        """A quantity off the nameplate in its canonical unit, or None while it is not known."""
        known = self.nameplate.get(name)
        return known.value if known else None

    def text(self, name: str) -> str:
        """A nameplate field as it was typed, "" while it is not known."""
        known = self.nameplate.get(name)
        return known.typed if known else ""

    def met(self, check_id: str) -> bool:
        """Whether something was measured, found or looked over at a check: then what it checks is there."""
        found = any(d.check == check_id for d in self.defects)
        return bool(self.readings.get(check_id)) or found or check_id in self.looked

    def after(self, found: Survey) -> Survey:
        """This state with what it is judged by taken from the cylinder as found, as far as nothing else was said.

        What was read, looked at, laid out and decided then says nothing of the state now.
        """
        said = {(x.check, x.characteristic) for x in self.limits}
        kept = (x for x in found.limits if (x.check, x.characteristic) not in said)
        return replace(
            self,
            cylinder=found.cylinder,
            units=found.units,
            nameplate={**found.nameplate, **self.nameplate},
            answers={**found.answers, **self.answers},
            nominals={**found.nominals, **self.nominals},
            limits=(*kept, *self.limits),
            gauges={**found.gauges, **self.gauges},
            seals=self.seals.after(found.seals),
        )


@dataclass(frozen=True, slots=True)
class Job:
    """Everything that stands about one cylinder. Two equal jobs look the same on every screen.

    `surveys` are its states by name, each with what was said of it alone. `reports` are those issued, the last one
    last; what one covers stood behind the ends it names, and only the chains tell. `offset` is what the device that
    opened it was off UTC ("+02:00"). `photographed` is the highest number of a photograph, one taken back too.
    `typed_off` says of a job out of a readings file which: file, sha256, date, units.
    """

    id: str
    name: str = ""
    cylinder_hash: str = ""
    limits_hash: str = ""
    opened_at: str = ""
    opened_by: str = ""
    offset: str = ""
    typed_off: Mapping[str, str] = field(default_factory=dict)
    last_at: str = ""
    surveys: Mapping[str, Survey] = field(default_factory=dict)
    photos: tuple[Photo, ...] = ()
    photographed: int = 0
    pictured: Pictured = field(default_factory=Pictured)
    cautions: Mapping[str, str] = field(default_factory=dict)
    ordering: Ordering = field(default_factory=Ordering)
    agreeing: Agreeing = field(default_factory=Agreeing)
    steps: Steps = field(default_factory=Steps)
    assembled: Assembled = field(default_factory=Assembled)
    tested: Tested = field(default_factory=Tested)
    reports: tuple[Issued, ...] = ()
    entries: int = 0
    unknown: int = 0

    @property
    def cylinder(self) -> str:
        """The checklist."""
        return self.as_found.cylinder

    @property
    def units(self) -> str:
        """The system a bare number is in, "metric" or "inch"; "" where an older log does not say."""
        return self.as_found.units

    @property
    def as_found(self) -> Survey:
        """The cylinder as it came in."""
        return self.surveys.get(AS_FOUND) or Survey()

    def survey(self, name: str) -> Survey:
        """One state, whole: what it does not say itself of what it is judged by it takes from as found."""
        if name == AS_FOUND:
            return self.as_found
        return (self.surveys.get(name) or Survey(name)).after(self.as_found)

    def photo(self, name: str) -> Photo | None:
        """The photograph of this entry, None where there is none."""
        return next((p for p in self.photos if p.id == name), None)

    def photos_of(self, thing: str) -> tuple[Photo, ...]:
        """The photographs of one defect, check or the job itself."""
        return tuple(p for p in self.photos if p.of == thing)


WHOLE_CHECK = Place("", "")
"""The place of a skip that covers a whole check."""
