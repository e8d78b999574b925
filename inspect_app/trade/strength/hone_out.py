"""What is left of a barrel's wall, as found and honed, in pressure cases given to it; knows no limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.barrel import Ends, require_tube, wall_stress


@dataclass(frozen=True, slots=True)
class PressureCase:
    """A pressure the barrel must stand, rated or proof, and the share of the yield strength it may use."""

    pressure_mpa: float
    yield_share: float

    def __post_init__(self) -> None:
        require_positive(pressure_mpa=self.pressure_mpa, yield_share=self.yield_share)
        if self.yield_share > 1:
            raise Refusal(f"yield share is {self.yield_share:g}; it must not be greater than 1.")


@dataclass(frozen=True, slots=True)
class Section:
    """The round, even tube that is nowhere stronger than the measured one."""

    bore_mm: float
    outside_mm: float
    wall_mm: float


@dataclass(frozen=True, slots=True)
class WallUse:
    """Stress at the bore in one case; a utilisation of 1 is the whole of what the case allows."""

    von_mises_mpa: float
    allowable_mpa: float
    utilisation: float
    safety_on_yield: float


@dataclass(frozen=True, slots=True)
class HoneOut:
    """The greatest round bore the wall allows; `left_mm` on diameter, from the largest diameter as found.

    Below 0 the wall does not stand being honed round even to the largest diameter found.
    """

    greatest_bore_mm: float
    left_mm: float
    governed_by: PressureCase


def worst_section(
    *,
    bore_mm: float,
    outside_mm: float,
    ovality_mm: float = 0.0,
    least_wall_mm: float | None = None,
    honed_mm: float | None = None,
) -> Section:
    """The tube to reckon with: largest bore with the thinnest wall all round, as found or after honing.

    bore: the greater of mean + ovality/2 and the honed bore; wall: the lesser of (outside - bore)/2
    and least wall - (honed - smallest diameter)/2, smallest = mean - ovality/2

    Args:
        bore_mm: mean of the largest and smallest diameter in the section as found, mm.
        outside_mm: outside diameter, mm.
        ovality_mm: largest less smallest diameter in the section as found, mm.
        least_wall_mm: thinnest wall measured before honing, mm; without it the wall is taken as even.
        honed_mm: bore after honing, mm; as found unless given.
    Raises:
        Refusal: a honed bore smaller than the bore as found, or nothing left of the wall.
    Valid: the hone follows the old axis; on the safe side for a tube whose bore lies out of centre.
    Source: eccentric-tube

    >>> worst_section(bore_mm=100, outside_mm=120, ovality_mm=0.2, least_wall_mm=9.5, honed_mm=100.5)
    Section(bore_mm=100.5, outside_mm=118.9, wall_mm=9.2)
    """
    require_tube(bore_mm=bore_mm, outside_mm=outside_mm)
    require_not_negative(ovality_mm=ovality_mm)
    smallest_mm = bore_mm - ovality_mm / 2
    honed_mm = smallest_mm if honed_mm is None else honed_mm
    require_positive(honed_mm=honed_mm)
    if honed_mm < smallest_mm:
        raise Refusal(
            "{given}; honing takes metal away, so at least {smallest}.",
            given=argument("honed_mm", honed_mm),
            smallest=Amount(smallest_mm, "length"),
        )
    largest_mm = max(bore_mm + ovality_mm / 2, honed_mm)
    wall_mm = (outside_mm - largest_mm) / 2
    if least_wall_mm is not None:
        require_positive(least_wall_mm=least_wall_mm)
        wall_mm = min(wall_mm, least_wall_mm - (honed_mm - smallest_mm) / 2)
    if wall_mm <= 0:
        raise Refusal(
            "{given}; that leaves no wall, it must be smaller.", given=argument("honed_mm", honed_mm)
        )
    return Section(largest_mm, largest_mm + 2 * wall_mm, wall_mm)


def wall_use(section: Section, case: PressureCase, *, yield_mpa: float, ends: Ends = "open") -> WallUse:
    """How much of what one case allows the wall uses, by von Mises at the bore.

    utilisation = sigma_v / (share Re)

    Args:
        section: the tube, as found or honed.
        case: pressure, and share of the yield strength it may use.
        yield_mpa: yield strength Re, MPa.
        ends: whether the tube carries the end load; open is the worse.
    Raises:
        Refusal: a yield strength not greater than 0.
    Valid: static, away from ports and welds.
    Source: lame, von-mises

    >>> wall_use(Section(100, 120, 10), PressureCase(25, 0.5), yield_mpa=450, ends="closed").von_mises_mpa
    141.713
    """
    require_positive(yield_mpa=yield_mpa)
    stress = wall_stress(
        bore_mm=section.bore_mm, outside_mm=section.outside_mm, pressure_mpa=case.pressure_mpa, ends=ends
    )
    allowable_mpa = case.yield_share * yield_mpa
    reached_mpa = stress.von_mises_mpa
    return WallUse(reached_mpa, allowable_mpa, reached_mpa / allowable_mpa, yield_mpa / reached_mpa)


def least_wall_mm(case: PressureCase, *, bore_mm: float, yield_mpa: float, ends: Ends = "open") -> float:
    """The thinnest even wall that stands a case, by von Mises at the bore, mm.

    t = D (k - 1)/2; closed: k² = 1/(1 - sqrt(3) p/S), open: k² = (S² + p sqrt(4 S² - 3 p²))/(S² - 3 p²),
    S = share Re

    Args:
        case: pressure p, and share of the yield strength it may use.
        bore_mm: inside diameter D, mm.
        yield_mpa: yield strength Re, MPa.
        ends: whether the tube carries the end load; open needs more.
    Raises:
        Refusal: no wall, however thick, stands the case.
    Valid: static, away from ports and welds.
    Source: lame, von-mises

    >>> least_wall_mm(PressureCase(37.5, 1 / 1.5), bore_mm=100.4, yield_mpa=450, ends="closed")
    6.513
    """
    require_positive(bore_mm=bore_mm)
    return bore_mm * (_least_ratio(case, yield_mpa, ends) - 1) / 2


def _least_ratio(case: PressureCase, yield_mpa: float, ends: Ends) -> float:
    require_positive(yield_mpa=yield_mpa)
    p, S = case.pressure_mpa, case.yield_share * yield_mpa
    if math.sqrt(3) * p >= S:
        raise Refusal(
            "{given}; no wall keeps it within {stress} at the bore, it must be below {most}.",
            given=argument("pressure_mpa", p),
            stress=Amount(S, "stress"),
            most=Amount(S / math.sqrt(3), "pressure"),
        )
    if ends == "closed":
        return 1 / math.sqrt(1 - math.sqrt(3) * p / S)
    return math.sqrt((S**2 + p * math.sqrt(4 * S**2 - 3 * p**2)) / (S**2 - 3 * p**2))


def hone_out(
    cases: Sequence[PressureCase],
    *,
    bore_mm: float,
    outside_mm: float,
    yield_mpa: float,
    ovality_mm: float = 0.0,
    least_wall_mm: float | None = None,
    ends: Ends = "open",
) -> HoneOut:
    """How far a barrel may be honed before the first of several pressure cases is used up, mm.

    greatest bore = least of outside and smallest diameter + 2 x least wall, over the k of `least_wall_mm`

    Args:
        cases: the pressures, rated and proof, with the share of yield each may use.
        bore_mm: mean of the largest and smallest diameter in the section as found, mm.
        outside_mm: outside diameter, mm.
        yield_mpa: yield strength, MPa.
        ovality_mm: largest less smallest diameter in the section as found, mm.
        least_wall_mm: thinnest wall measured, mm; without it the wall is taken as even.
        ends: whether the tube carries the end load; open leaves less.
    Raises:
        Refusal: no case given, or no wall stands one of them.
    Valid: strength alone; what seals and gap allow may be far less.
    Source: lame, von-mises, eccentric-tube

    >>> hone_out([PressureCase(25, 0.5)], bore_mm=99, outside_mm=120, yield_mpa=305.358).greatest_bore_mm
    100.000
    """
    if not cases:
        raise Refusal("cases is empty; give at least one pressure with its share of yield.")
    found = worst_section(
        bore_mm=bore_mm, outside_mm=outside_mm, ovality_mm=ovality_mm, least_wall_mm=least_wall_mm
    )
    governs = max(cases, key=lambda case: _least_ratio(case, yield_mpa, ends))
    around_mm = outside_mm
    if least_wall_mm is not None:
        around_mm = min(outside_mm, bore_mm - ovality_mm / 2 + 2 * least_wall_mm)
    greatest_mm = around_mm / _least_ratio(governs, yield_mpa, ends)
    return HoneOut(greatest_mm, greatest_mm - found.bore_mm, governs)
