"""Names the standard housing a measured groove is, or says made to measure; knows no file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence, joined
from inspect_app.trade.measuring.required import require_not_negative, require_positive

Part = Literal["piston", "gland"]
_FROM_MEMORY = " The housing is quoted from memory: confirm it before ordering."
_DOUBTS = {"read": "", "common-practice": " The housing is the trade's, of no standard that was read."}
_FLOAT_DUST_MM = 1e-9  # 6.55 - 6.3 - 0.25 is not quite 0


@dataclass(frozen=True, slots=True)
class Allowed:
    """A dimension of a housing: nominal and its deviations, mm."""

    nominal_mm: float
    lower_mm: float
    upper_mm: float

    def words(self, system: str) -> str:
        """Its limits, smallest to largest; `system` is "metric" or "inch"."""
        least, most = (
            Amount(self.nominal_mm + by, "length").words(system) for by in (self.lower_mm, self.upper_mm)
        )
        return f"{least} to {most}"


@dataclass(frozen=True, slots=True)
class Housing:
    """One standard housing.

    `kind` is rod, piston, wiper, wear-ring or static; `groove_in` the part it is cut in; `sealed` the rod or
    bore it works on; `ring_section_mm` the O-ring behind a plastic face or the thickness of a wear ring.
    `status` and `source` say how sure the row is.
    """

    standard: str
    designation: Sentence | str
    kind: str
    groove_in: Part
    sealed: Allowed
    groove: Allowed
    width: Allowed
    radius_mm: float | None
    ring_section_mm: float | None
    greatest_gap_mm: float | None
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured dimension with its standard uncertainty, and how far wear may have moved it, mm."""

    value_mm: float
    u_mm: float
    wear_mm: float = 0.0

    def __post_init__(self) -> None:
        require_positive(value_mm=self.value_mm, u_mm=self.u_mm)
        require_not_negative(wear_mm=self.wear_mm)


@dataclass(frozen=True, slots=True)
class MeasuredGroove:
    """A groove as measured; `kind` narrows the search, `sealed` is the rod or bore if it was measured."""

    groove_in: Part
    groove: Reading
    width: Reading
    sealed: Reading | None = None
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A housing beside a groove: how many standard uncertainties each dimension lies beyond its limits.

    `worn` names the dimensions that wear has moved beyond their limits, a finding in itself.
    """

    housing: Housing
    groove_off: float
    width_off: float
    sealed_off: float | None
    worn: tuple[str, ...]
    sentence: Sentence

    @property
    def worst(self) -> float:
        """The farthest of the dimensions."""
        return max(self.groove_off, self.width_off, self.sealed_off or 0.0)


@dataclass(frozen=True, slots=True)
class Match:
    """What a groove is: the housings it may be, best first; none means made to measure."""

    candidates: tuple[Candidate, ...]
    nearest: Candidate | None
    made_to_measure: bool
    sentence: Sentence


def match(*, measured: MeasuredGroove, housings: Sequence[Housing], k: float = 2.0) -> Match:
    """Which standard housings a measured groove may be; none within k uncertainties is made to measure.

    Args:
        measured: the groove.
        housings: the standard housings to compare with.
        k: how many standard uncertainties a dimension may lie beyond its limits.
    Raises:
        Refusal: when k is not greater than 0.
    Source: housing-match, groove-wear

    >>> fifty = Housing("ISO 5597", "ISO 5597 rod 50 x 60 x 6.3", "rod", "gland", Allowed(50, -0.064, 0),
    ...                 Allowed(60, -0.2, 0.3), Allowed(6.3, 0, 0.25), 0.3, None, None,
    ...                 "standard-from-memory", "iso-5597")
    >>> groove = MeasuredGroove("gland", Reading(60.04, 0.01), Reading(6.42, 0.02), Reading(49.96, 0.005))
    >>> match(measured=groove, housings=[fifty]).candidates[0].housing.designation
    'ISO 5597 rod 50 x 60 x 6.3'
    >>> match(measured=MeasuredGroove("gland", Reading(58, 0.01), Reading(6.42, 0.02)),
    ...       housings=[fifty]).made_to_measure
    True
    """
    require_positive(k=k)
    ranked = rank(measured=measured, housings=housings, k=k)
    within = tuple(candidate for candidate in ranked if candidate.worst <= k)
    nearest = ranked[0] if ranked else None
    return Match(within, nearest, not within, _sentence(measured, within, nearest, k))


def rank(*, measured: MeasuredGroove, housings: Sequence[Housing], k: float = 2.0) -> tuple[Candidate, ...]:
    """All housings of the groove's part and kind, nearest first.

    Nearest is the least worst dimension, in standard uncertainties beyond its limits; among equals the one
    with nothing worn, then the one whose nominals lie nearest.

    Args:
        measured: the groove.
        housings: the standard housings to compare with.
        k: from how many standard uncertainties on a dimension counts as worn.
    Source: housing-match

    >>> ring = Housing("ISO 10766", "ISO 10766 piston 80 x 75 x 9.7", "wear-ring", "piston", Allowed(80, 0, 0.074),
    ...                Allowed(75, -0.046, 0), Allowed(9.7, 0, 0.2), 0.2, 2.5, 0.9, "read", "wear-ring-sheet")
    >>> rank(measured=MeasuredGroove("piston", Reading(75.03, 0.01), Reading(9.8, 0.01)), housings=[ring])[0].worst
    3.0
    """
    fitting = [
        housing
        for housing in housings
        if housing.groove_in == measured.groove_in and measured.kind in (None, housing.kind)
    ]
    candidates = [_compare(measured, housing, k) for housing in fitting]
    candidates.sort(key=lambda c: (c.worst, len(c.worn), _from_nominal_mm(measured, c.housing)))
    return tuple(candidates)


def off_in_uncertainties(
    *, reading: Reading, allowed: Allowed, wears: int, k: float = 2.0
) -> tuple[float, bool]:
    """How many standard uncertainties a reading lies beyond its limits, and whether wear alone explains it.

    Args:
        reading: the measured dimension.
        allowed: the limits.
        wears: +1 when wear makes the dimension larger, -1 when smaller.
        k: how many standard uncertainties beyond the limits are still doubt, not wear.
    Returns: the distance, 0 inside the limits widened by wear; and True when the reading lies beyond the
        limits by more than k uncertainties, and wear explains it.
    Raises:
        Refusal: when `wears` is neither +1 nor -1.
    Source: housing-match, groove-wear

    >>> worn = Reading(6.65, 0.02, wear_mm=0.15)
    >>> off_in_uncertainties(reading=worn, allowed=Allowed(6.3, 0, 0.25), wears=1)
    (0.0, True)
    """
    if wears not in (1, -1):
        raise Refusal(f"wears is {wears}; give +1 or -1.")
    require_positive(k=k)
    above_mm = reading.value_mm - allowed.nominal_mm - allowed.upper_mm
    below_mm = allowed.nominal_mm + allowed.lower_mm - reading.value_mm
    worn_mm, other_mm = (above_mm, below_mm) if wears == 1 else (below_mm, above_mm)
    off_mm = max(worn_mm - reading.wear_mm, other_mm)
    if off_mm < _FLOAT_DUST_MM:
        off_mm = 0.0
    return off_mm / reading.u_mm, worn_mm > k * reading.u_mm >= off_mm


def _compare(measured: MeasuredGroove, housing: Housing, k: float) -> Candidate:
    # wear deepens a groove and widens it; rod and bore wear away from it, so against the depth's direction
    deeper = 1 if measured.groove_in == "gland" else -1
    parts = [
        ("groove diameter", measured.groove, housing.groove, deeper),
        ("width", measured.width, housing.width, 1),
    ]
    if measured.sealed is not None:
        name = "rod" if measured.groove_in == "gland" else "bore"
        parts.append((name, measured.sealed, housing.sealed, -deeper))
    offs, worn, remarks = [], [], []
    for name, reading, allowed, wears in parts:
        off, is_worn = off_in_uncertainties(reading=reading, allowed=allowed, wears=wears, k=k)
        offs.append(off)
        worn += [name] if is_worn else []
        remarks += _remark(name, reading, allowed, off, is_worn)
    sealed_off = offs[2] if measured.sealed is not None else None
    return Candidate(housing, offs[0], offs[1], sealed_off, tuple(worn), _compared(housing, remarks))


def _remark(name: str, reading: Reading, allowed: Allowed, off: float, is_worn: bool) -> list[Sentence]:
    parts: Mapping[str, Said | str] = {
        "name": name,
        "value": Amount(reading.value_mm, "length"),
        "allowed": allowed,
    }
    if is_worn:
        return [Sentence("{name} {value} has worn beyond {allowed}", parts)]
    if off > 0:
        return [
            Sentence("{name} {value} is {off} uncertainties beyond {allowed}", {**parts, "off": f"{off:.1f}"})
        ]
    return []


def _compared(housing: Housing, remarks: Sequence[Sentence]) -> Sentence:
    said = joined(remarks, "; ") or "all measured dimensions lie within its limits"
    doubt = _DOUBTS.get(housing.status, _FROM_MEMORY)
    return Sentence("{name}: {said}." + doubt, {"name": housing.designation, "said": said})


def _from_nominal_mm(measured: MeasuredGroove, housing: Housing) -> float:
    off_mm = abs(measured.groove.value_mm - housing.groove.nominal_mm)
    off_mm += abs(measured.width.value_mm - housing.width.nominal_mm)
    if measured.sealed is not None:
        off_mm += abs(measured.sealed.value_mm - housing.sealed.nominal_mm)
    return off_mm


def _sentence(
    measured: MeasuredGroove, within: Sequence[Candidate], nearest: Candidate | None, k: float
) -> Sentence:
    if len(within) == 1:
        return within[0].sentence
    if within:
        listed = joined((candidate.housing.designation for candidate in within), ", ")
        return Sentence(
            f"{len(within)} housings fit: {{listed}}. Measure what tells them apart, or show the old seal.",
            {"listed": listed},
        )
    sealed = ", on {sealed}" if measured.sealed is not None else ""
    sentence = Sentence(
        f"No listed housing lies within {k:g} uncertainties: have the seal made to measure for a groove in the"
        f" {measured.groove_in} of {{groove}} diameter, {{width}} wide{sealed}.",
        {
            "groove": Amount(measured.groove.value_mm, "length"),
            "width": Amount(measured.width.value_mm, "length"),
            "sealed": Amount(measured.sealed.value_mm, "length") if measured.sealed is not None else "",
        },
    )
    return sentence if nearest is None else joined([sentence, nearest.sentence], " Nearest: ")
