"""Stress and swelling of a thick-walled barrel under pressure; knows no limits and no wear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive

STEEL_ELASTIC_MPA = 206_000.0
STEEL_POISSON = 0.3

# open: the tube carries no end load (piston in mid-stroke, tie rods); the worse for wall and gap alike
Ends = Literal["open", "closed"]


@dataclass(frozen=True, slots=True)
class Steel:
    """Strength of a steel to propose where no certificate is at hand.

    `basis`: "least" by a standard, or "typical" by a stockist. The row covers sizes over `over_mm` up to
    and including `upto_mm` (diameter of a bar, wall of a tube).
    """

    steel: str
    form: str
    condition: str
    over_mm: float
    upto_mm: float
    yield_mpa: float
    tensile_mpa: float
    basis: str
    source: str
    status: str

    def covers(self, size_mm: float) -> bool:
        """Whether the row is for this bar diameter or tube wall.

        Args:
            size_mm: bar diameter or tube wall, mm.
        """
        return self.over_mm < size_mm <= self.upto_mm


@dataclass(frozen=True, slots=True)
class WallStress:
    """The three principal stresses at one diameter of the wall; tension is positive."""

    hoop_mpa: float
    radial_mpa: float
    axial_mpa: float

    @property
    def von_mises_mpa(self) -> float:
        """The single stress to hold against the yield strength."""
        h, r, a = self.hoop_mpa, self.radial_mpa, self.axial_mpa
        return math.sqrt(((h - r) ** 2 + (r - a) ** 2 + (a - h) ** 2) / 2)


@dataclass(frozen=True, slots=True)
class ThinWallComparison:
    """Hoop stress at the bore by Lamé, and what three thin-wall formulas say instead; for comparison only."""

    lame_mpa: float
    by_bore_mpa: float
    by_mean_mpa: float
    by_outside_mpa: float


def require_tube(*, bore_mm: float, outside_mm: float, ends: Ends = "open") -> None:
    """Refuse what is no tube.

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        ends: "open" or "closed".
    Raises:
        Refusal: no wall between the diameters, or ends of another name.
    """
    require_positive(bore_mm=bore_mm, outside_mm=outside_mm)
    if outside_mm <= bore_mm:
        raise Refusal(
            "{given} over a bore of {bore}; it must be greater.",
            given=argument("outside_mm", outside_mm),
            bore=Amount(bore_mm, "length"),
        )
    if ends not in ("open", "closed"):
        raise Refusal(f"ends is {ends!r}; say open or closed.")


def wall_stress(
    *,
    bore_mm: float,
    outside_mm: float,
    pressure_mpa: float,
    outside_pressure_mpa: float = 0.0,
    at_mm: float | None = None,
    ends: Ends = "open",
) -> WallStress:
    """Hoop, radial and axial stress at one diameter of the wall, MPa.

    hoop, radial = (pi ri² - po ro²)/(ro² - ri²) +, - (pi - po) ri² ro² / ((ro² - ri²) r²)
    axial: closed ends (pi ri² - po ro²)/(ro² - ri²), open ends 0

    Args:
        bore_mm: inside diameter 2 ri, mm.
        outside_mm: outside diameter 2 ro, mm.
        pressure_mpa: pressure inside pi, MPa.
        outside_pressure_mpa: pressure outside po, MPa.
        at_mm: diameter 2 r asked for, mm; the bore unless given.
        ends: whether the tube carries the end load.
    Raises:
        Refusal: no wall, a negative pressure, or a diameter outside the wall.
    Valid: round, even wall, elastic, away from ends, ports and welds.
    Source: lame

    >>> wall_stress(bore_mm=200, outside_mm=300, pressure_mpa=60, outside_pressure_mpa=30, ends="closed")
    WallStress(hoop_mpa=48.0, radial_mpa=-60.0, axial_mpa=-6.0)
    """
    require_tube(bore_mm=bore_mm, outside_mm=outside_mm, ends=ends)
    require_not_negative(pressure_mpa=pressure_mpa, outside_pressure_mpa=outside_pressure_mpa)
    at_mm = bore_mm if at_mm is None else at_mm
    require_finite(at_mm=at_mm)
    if not bore_mm <= at_mm <= outside_mm:
        raise Refusal(
            "{given}; it must lie within the wall, {bore} to {outside}.",
            given=argument("at_mm", at_mm),
            bore=Amount(bore_mm, "length"),
            outside=Amount(outside_mm, "length"),
        )
    wall = outside_mm**2 - bore_mm**2
    even = (pressure_mpa * bore_mm**2 - outside_pressure_mpa * outside_mm**2) / wall
    uneven = (pressure_mpa - outside_pressure_mpa) * (bore_mm * outside_mm / at_mm) ** 2 / wall
    return WallStress(even + uneven, even - uneven, even if ends == "closed" else 0.0)


def first_yield_pressure_mpa(
    *, bore_mm: float, outside_mm: float, yield_mpa: float, ends: Ends = "open"
) -> float:
    """Pressure inside at which the bore begins to yield by von Mises, MPa.

    closed: Re (k² - 1)/(sqrt(3) k²), open: Re (k² - 1)/sqrt(3 k⁴ + 1), k = outside/bore

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        yield_mpa: yield strength Re, MPa.
        ends: whether the tube carries the end load.
    Raises:
        Refusal: no wall, or a yield strength not greater than 0.
    Valid: as `wall_stress`.
    Source: thick-cylinder-yield

    >>> first_yield_pressure_mpa(bore_mm=100, outside_mm=120, yield_mpa=450, ends="closed")
    79.386
    """
    require_positive(yield_mpa=yield_mpa)
    at_one_mpa = wall_stress(bore_mm=bore_mm, outside_mm=outside_mm, pressure_mpa=1.0, ends=ends)
    return yield_mpa / at_one_mpa.von_mises_mpa


def tresca_yield_pressure_mpa(*, bore_mm: float, outside_mm: float, yield_mpa: float) -> float:
    """Pressure inside at which the bore begins to yield by greatest shear stress, MPa; the lowest estimate.

    p = Re (1 - 1/k²) / 2, k = outside/bore; the same with open and closed ends

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        yield_mpa: yield strength Re, MPa.
    Raises:
        Refusal: no wall, or a yield strength not greater than 0.
    Valid: as `wall_stress`.
    Source: thick-cylinder-yield

    >>> tresca_yield_pressure_mpa(bore_mm=100, outside_mm=120, yield_mpa=450)
    68.75
    """
    require_tube(bore_mm=bore_mm, outside_mm=outside_mm)
    require_positive(yield_mpa=yield_mpa)
    return yield_mpa * (1 - (bore_mm / outside_mm) ** 2) / 2


def collapse_pressure_mpa(*, bore_mm: float, outside_mm: float, yield_mpa: float) -> float:
    """Pressure inside at which the whole wall yields, by greatest shear stress, MPa.

    p = Re ln k, k = outside/bore; by von Mises with closed ends 2/sqrt(3) times as much

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        yield_mpa: yield strength Re, MPa.
    Raises:
        Refusal: no wall, or a yield strength not greater than 0.
    Valid: steel that yields without hardening; never a working pressure.
    Source: thick-cylinder-yield

    >>> collapse_pressure_mpa(bore_mm=100, outside_mm=120, yield_mpa=450)
    82.045
    """
    require_tube(bore_mm=bore_mm, outside_mm=outside_mm)
    require_positive(yield_mpa=yield_mpa)
    return yield_mpa * math.log(outside_mm / bore_mm)


def bore_swelling_mm(
    *,
    bore_mm: float,
    outside_mm: float,
    pressure_mpa: float,
    ends: Ends = "open",
    elastic_mpa: float = STEEL_ELASTIC_MPA,
    poisson: float = STEEL_POISSON,
) -> float:
    """How much the bore grows on diameter under pressure inside, mm.

    D (hoop - nu (radial + axial)) / E at the bore

    Args:
        bore_mm: inside diameter D, mm.
        outside_mm: outside diameter, mm.
        pressure_mpa: pressure inside, MPa.
        ends: whether the tube carries the end load; open swells more.
        elastic_mpa: modulus of elasticity E, MPa.
        poisson: Poisson's ratio nu.
    Raises:
        Refusal: no wall, or a value out of range.
    Valid: as `wall_stress`; least near the ends, which hold the tube.
    Source: thick-cylinder-growth, steel-elastic

    >>> bore_swelling_mm(bore_mm=100, outside_mm=120, pressure_mpa=25)
    0.07094
    """
    stress = wall_stress(bore_mm=bore_mm, outside_mm=outside_mm, pressure_mpa=pressure_mpa, ends=ends)
    _require_elastic(elastic_mpa, poisson)
    return bore_mm * (stress.hoop_mpa - poisson * (stress.radial_mpa + stress.axial_mpa)) / elastic_mpa


def dilation_per_mpa(
    *,
    bore_mm: float,
    outside_mm: float,
    ends: Ends = "closed",
    elastic_mpa: float = STEEL_ELASTIC_MPA,
    poisson: float = STEEL_POISSON,
) -> float:
    """Share by which the barrel's inside volume grows for each MPa.

    (2 x hoop strain at the bore + axial strain) / p

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        ends: whether the tube carries the end load, as it does in a test at the end of the stroke.
        elastic_mpa: modulus of elasticity E, MPa.
        poisson: Poisson's ratio nu.
    Raises:
        Refusal: no wall, or a value out of range.
    Valid: as `wall_stress`; stretch of tie rods is not in it.
    Source: thick-cylinder-growth, steel-elastic

    >>> round(25 * dilation_per_mpa(bore_mm=100, outside_mm=120) * 1e3, 4)  # per thousand at 25 MPa
    1.3636
    """
    stress = wall_stress(bore_mm=bore_mm, outside_mm=outside_mm, pressure_mpa=1.0, ends=ends)
    _require_elastic(elastic_mpa, poisson)
    hoop, radial, axial = stress.hoop_mpa, stress.radial_mpa, stress.axial_mpa
    return (2 * (hoop - poisson * (radial + axial)) + axial - poisson * (hoop + radial)) / elastic_mpa


def _require_elastic(elastic_mpa: float, poisson: float) -> None:
    require_positive(elastic_mpa=elastic_mpa)
    require_not_negative(poisson=poisson)
    if poisson > 0.5:
        raise Refusal(f"poisson is {poisson:g}; it must lie between 0 and 0.5, about 0.3 for steel.")


def thin_wall_comparison(*, bore_mm: float, outside_mm: float, pressure_mpa: float) -> ThinWallComparison:
    """Hoop stress by three thin-wall formulas beside Lamé's at the bore, MPa: comparison, never a verdict.

    p d / (2 t) with the bore (always too low), the mean and the outside diameter d (Barlow: too high)

    Args:
        bore_mm: inside diameter, mm.
        outside_mm: outside diameter, mm.
        pressure_mpa: pressure inside, MPa.
    Raises:
        Refusal: no wall, or a negative pressure.
    Valid: as `wall_stress`.
    Source: lame, barlow

    >>> thin_wall_comparison(bore_mm=100, outside_mm=120, pressure_mpa=25).by_bore_mpa
    125.0
    """
    lame = wall_stress(bore_mm=bore_mm, outside_mm=outside_mm, pressure_mpa=pressure_mpa)
    per_mm = pressure_mpa / (outside_mm - bore_mm)
    return ThinWallComparison(
        lame_mpa=lame.hoop_mpa,
        by_bore_mpa=per_mm * bore_mm,
        by_mean_mpa=per_mm * (bore_mm + outside_mm) / 2,
        by_outside_mpa=per_mm * outside_mm,
    )
