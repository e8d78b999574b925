"""What a seal list is made from: one cylinder in one state, its sizes and grooves as known; plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from inspect_app.entries.seals import WHOLE_CYLINDER, Where
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing.housings import Reading
from inspect_app.trade.sealing.old_seals import OldSealState
from inspect_app.trade.sealing.pairings import Objection

AS_IT_IS = "as it is"
LEAST_U_MM = 0.0005
"""No size is known better than half a thousandth of a millimetre (this project's choice)."""


@dataclass(frozen=True, slots=True)
class Known:
    """A size as known, mm: the mean of its readings, its expanded uncertainty (k = 2), and their extremes.

    `readings` is how many clocks were read; 0 is a size typed off a drawing, or planned.
    """

    value_mm: float
    expanded_mm: float
    readings: int = 0
    least_mm: float | None = None
    greatest_mm: float | None = None

    def __post_init__(self) -> None:
        require_positive(value_mm=self.value_mm)
        require_not_negative(expanded_mm=self.expanded_mm)

    @property
    def size(self) -> Size:
        """Its least and greatest, with what the gauge may be wrong by."""
        least = self.value_mm if self.least_mm is None else self.least_mm
        greatest = self.value_mm if self.greatest_mm is None else self.greatest_mm
        return Size(self.value_mm, least - self.expanded_mm, greatest + self.expanded_mm)

    def reading(self, wear_mm: float = 0.0) -> Reading:
        """As it is matched to housings: with its standard uncertainty."""
        return Reading(self.value_mm, max(self.expanded_mm / 2, LEAST_U_MM), wear_mm)


@dataclass(frozen=True, slots=True)
class GrooveFound:
    """What is known of the groove of one position at one place; None is not known.

    `sealed` is the surface its seal works on, as it is or as it will be; `nominal_mm` the size the groove was cut
    for. `land` is the metal beside it. `strip` is the thickness of the wear ring to be fitted. `lips_face` says of
    single-acting lips which side each faces, from the rod end on.
    """

    position: str
    place: str
    diameter: Known | None = None
    width: Known | None = None
    sealed: Known | None = None
    nominal_mm: float | None = None
    land: Known | None = None
    strip: Known | None = None
    corner_mm: float | None = None
    lead_in: str = ""
    old_section: Known | None = None
    roughness_um: float | None = None
    number: int | None = None
    lips_face: tuple[str, ...] = ()

    @property
    def where(self) -> Where:
        """Its position and place."""
        return self.position, self.place


@dataclass(frozen=True, slots=True)
class Duty:
    """What the seals live in; None is not known. `throttled`: whether the rod port can be throttled or shut.

    `fluid` is a code of ISO 6743-4, "" while nobody knows it. `swell_mm` is how much the bore grows on diameter at
    the rated pressure.
    """

    fluid: str = ""
    rated_mpa: float | None = None
    throttled: bool | None = None
    coldest_c: float | None = None
    hottest_c: float | None = None
    speed_m_s: float | None = None
    swell_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SheetFigure:
    """The greatest gap a seal stands, off its own sheet: radial, at the working pressure; and which sheet."""

    greatest_gap_mm: float
    sheet: str

    def __post_init__(self) -> None:
        require_positive(greatest_gap_mm=self.greatest_gap_mm)
        if not self.sheet.strip():
            raise Refusal("Say which sheet the greatest gap is from.")


@dataclass(frozen=True, slots=True)
class Stated:
    """Another figure a seal's sheet states, one of `FIGURES`, in its canonical unit; and which sheet."""

    figure: str
    value: float
    sheet: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """The seal that was fitted and its material, as somebody says, "" where nobody does."""

    seal: str
    material: str


@dataclass(frozen=True, slots=True)
class OldFound:
    """An old seal: how it looks, what was measured of it, and what its surface and rod add; None was not measured.

    `evidence` is by the names of `old_seals.EVIDENCE`.
    """

    states: tuple[OldSealState, ...]
    section_mm: float | None = None
    hardness_shore_a: float | None = None
    evidence: Mapping[str, Sentence] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Energiser:
    """The section of the O-ring somebody wants behind a plastic face, and the supplier's word for it, "" without."""

    section_mm: float
    suppliers_word: str = ""


@dataclass(frozen=True, slots=True)
class Closing:
    """A doubt closed by a person, with initials and the reason."""

    by: str
    reason: str

    def __post_init__(self) -> None:
        if not self.by.strip() or not self.reason.strip():
            raise Refusal("A doubt is closed with initials and a reason; give both.")


@dataclass(frozen=True, slots=True)
class CylinderState:
    """A cylinder as it is, or as it will be after a rework: everything its seal list follows from.

    `sizes` is metric, inch, or "" while nobody has said. `answers` are those to the checklist's questions, by id, and
    `called` what each is called; `said` what somebody said of a position at a place: "there", "none", or what stands
    there instead. `closed` are doubts closed, by position, place, rule and what the doubt said; without the last a
    rule is closed whatever it says, and one closed for the whole cylinder stands under ("", "").
    """

    kind: str
    name: str = AS_IT_IS
    stages: int = 0
    sizes: str = ""
    bore_mm: float | None = None
    rod_mm: float | None = None
    duty: Duty = Duty()
    answers: Mapping[str, str] = field(default_factory=dict)
    called: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    said: Mapping[Where, str] = field(default_factory=dict)
    grooves: tuple[GrooveFound, ...] = ()
    sheets: Mapping[Where, SheetFigure] = field(default_factory=dict)
    stated: Mapping[Where, tuple[Stated, ...]] = field(default_factory=dict)
    fitted: Mapping[Where, Fitted] = field(default_factory=dict)
    old: Mapping[Where, OldFound] = field(default_factory=dict)
    energisers: Mapping[Where, Energiser] = field(default_factory=dict)
    closed: Mapping[tuple[str, ...], Closing] = field(default_factory=dict)

    def groove(self, where: Where) -> GrooveFound:
        """What is known of the groove of a position at a place; nothing is known of one nobody found."""
        return next((g for g in self.grooves if g.where == where), GrooveFound(*where))

    def closing(self, where: Where, objection: Objection) -> Closing | None:
        """Who closed this doubt, at a place or for the whole cylinder."""
        said = (objection.rule, str(objection.sentence))
        keys = ((*place, *said[:n]) for place in (where, WHOLE_CYLINDER) for n in (2, 1))
        return next((self.closed[key] for key in keys if key in self.closed), None)
