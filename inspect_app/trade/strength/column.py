"""What push a straight rod, or rod and barrel together, stands before it buckles; knows no limits."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.barrel import STEEL_ELASTIC_MPA


@dataclass(frozen=True, slots=True)
class Mounting:
    """How the two ends are held, and the effective length for that as a factor of the length named.

    `factor_ideal` is the theory's, `factor_design` allows for ends that are never quite fixed.
    """

    mounting: str
    cylinder_end: str
    rod_end: str
    length_taken: str
    factor_ideal: float
    factor_design: float
    source: str
    status: str

    def effective_length_mm(self, length_mm: float) -> float:
        """Length of the pin-ended column that buckles at the same push, by the design factor, mm.

        Args:
            length_mm: the length `length_taken` names, rod fully out, mm.
        Raises:
            Refusal: a length not greater than 0.
        Source: euler-column
        """
        require_positive(length_mm=length_mm)
        return length_mm * self.factor_design


@dataclass(frozen=True, slots=True)
class ColumnSection:
    """Cross-section of a column; `extreme_mm` is the distance of the outermost fibre from the axis."""

    area_mm2: float
    inertia_mm4: float
    extreme_mm: float

    def __post_init__(self) -> None:
        require_positive(area_mm2=self.area_mm2, inertia_mm4=self.inertia_mm4, extreme_mm=self.extreme_mm)

    @property
    def gyration_mm(self) -> float:
        """Radius of gyration k = sqrt(I / A)."""
        return math.sqrt(self.inertia_mm4 / self.area_mm2)


@dataclass(frozen=True, slots=True)
class Segment:
    """One length of a stepped column."""

    inertia_mm4: float
    length_mm: float

    def __post_init__(self) -> None:
        require_positive(inertia_mm4=self.inertia_mm4, length_mm=self.length_mm)


@dataclass(frozen=True, slots=True)
class Buckling:
    """Greatest push of a straight, centred column, and the rule that gave it: "Euler" or "Johnson"."""

    force_n: float
    rule: str
    slenderness: float
    transition: float


def round_section(*, outside_mm: float, inside_mm: float = 0.0) -> ColumnSection:
    """Cross-section of a round rod, solid or hollow.

    A = pi (D² - d²)/4, I = pi (D⁴ - d⁴)/64, c = D/2

    Args:
        outside_mm: outside diameter D, mm, of the steel: without chrome.
        inside_mm: bore of a hollow rod d, mm.
    Raises:
        Refusal: no steel between the diameters.

    >>> round(round_section(outside_mm=40, inside_mm=36).inertia_mm4 / 1e3, 2)  # published: 43.22e3 mm⁴
    43.22
    """
    require_positive(outside_mm=outside_mm)
    require_not_negative(inside_mm=inside_mm)
    if inside_mm >= outside_mm:
        raise Refusal(
            "{given} in a rod of {outside}; it must be smaller.",
            given=argument("inside_mm", inside_mm),
            outside=Amount(outside_mm, "length"),
        )
    return ColumnSection(
        area_mm2=math.pi * (outside_mm**2 - inside_mm**2) / 4,
        inertia_mm4=math.pi * (outside_mm**4 - inside_mm**4) / 64,
        extreme_mm=outside_mm / 2,
    )


def euler_force_n(
    section: ColumnSection, *, effective_length_mm: float, elastic_mpa: float = STEEL_ELASTIC_MPA
) -> float:
    """Push at which a straight, slender, centred column buckles, N.

    P = pi² E I / L_e²

    Args:
        section: cross-section.
        effective_length_mm: effective length L_e, mm.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: a value not greater than 0.
    Valid: slenderness beyond the transition; see `buckling`.
    Source: euler-column

    >>> rod = round_section(outside_mm=50)
    >>> euler_force_n(rod, effective_length_mm=2000, elastic_mpa=205e3) / 5 / 1000  # published: 31.04 kN
    31.04
    """
    require_positive(effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    return math.pi**2 * elastic_mpa * section.inertia_mm4 / effective_length_mm**2


def transition_slenderness(*, yield_mpa: float, elastic_mpa: float = STEEL_ELASTIC_MPA) -> float:
    """Slenderness L_e/k above which Euler's formula holds and below which Johnson's does.

    lambda_1 = sqrt(2 pi² E / Re), where both give half the yield strength

    Args:
        yield_mpa: yield strength Re, MPa.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: a value not greater than 0.
    Source: johnson-column

    >>> transition_slenderness(yield_mpa=51e3, elastic_mpa=30e6)  # in psi; published: 108
    107.8
    """
    require_positive(yield_mpa=yield_mpa, elastic_mpa=elastic_mpa)
    return math.sqrt(2 * math.pi**2 * elastic_mpa / yield_mpa)


def buckling(
    section: ColumnSection,
    *,
    effective_length_mm: float,
    yield_mpa: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> Buckling:
    """Greatest push of a straight, centred rod, by Euler or by Johnson as its slenderness asks, N.

    Johnson: P = A Re (1 - Re lambda² / (4 pi² E)), lambda = L_e / k

    Args:
        section: cross-section.
        effective_length_mm: effective length L_e, mm.
        yield_mpa: yield strength Re, MPa.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: a value not greater than 0.
    Valid: straight and centred; no bow, no side load.
    Source: euler-column, johnson-column

    >>> buckling(round_section(outside_mm=50), effective_length_mm=1500, yield_mpa=500).rule
    'Euler'
    """
    transition = transition_slenderness(yield_mpa=yield_mpa, elastic_mpa=elastic_mpa)
    euler_n = euler_force_n(section, effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    slenderness = effective_length_mm / section.gyration_mm
    if slenderness >= transition:
        return Buckling(euler_n, "Euler", slenderness, transition)
    johnson_n = section.area_mm2 * yield_mpa * (1 - (slenderness / transition) ** 2 / 2)
    return Buckling(johnson_n, "Johnson", slenderness, transition)


def stepped_column_force_n(segments: Sequence[Segment], *, elastic_mpa: float = STEEL_ELASTIC_MPA) -> float:
    """Push at which rod and barrel buckle together, pinned at both far ends, N.

    two segments: k2 sin(k1 L1) cos(k2 L2) + k1 cos(k1 L1) sin(k2 L2) = 0, k = sqrt(P / (E I)); least root P

    Args:
        segments: rod, barrel (or stages of a telescopic cylinder) in order, with the rod fully out.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: no segment, or a modulus not greater than 0.
    Valid: stiff joint between the segments (no play at gland and piston); elastic; the barrel's own
        stress is judged elsewhere.
    Source: stepped-column

    >>> rod, barrel = round_section(outside_mm=50), round_section(outside_mm=120, inside_mm=100)
    >>> stepped_column_force_n([Segment(rod.inertia_mm4, 800), Segment(barrel.inertia_mm4, 900)],
    ...                        elastic_mpa=210e3) / 1000
    386.66
    """
    require_positive(elastic_mpa=elastic_mpa)
    if not segments:
        raise Refusal("segments is empty; give at least one length of the column.")
    stiffness = math.pi**2 * elastic_mpa / sum(segment.length_mm for segment in segments) ** 2
    return greatest_while(
        lambda force_n: _phase(segments, force_n, elastic_mpa) < math.pi,
        low=stiffness * min(segment.inertia_mm4 for segment in segments),
        high=stiffness * max(segment.inertia_mm4 for segment in segments),
    )


def _phase(segments: Sequence[Segment], force_n: float, elastic_mpa: float) -> float:
    """Angle theta at the far pin, tan theta = k y / y': it grows with the push and is pi at the first root.

    The determinant itself has further roots between the same bounds; the angle cannot skip to them.
    """
    waves = [math.sqrt(force_n / (elastic_mpa * segment.inertia_mm4)) for segment in segments]
    theta = waves[0] * segments[0].length_mm
    for (k_before, k), segment in zip(pairwise(waves), segments[1:], strict=True):
        half_turns = math.pi * round(theta / math.pi)
        theta = half_turns + math.atan(k / k_before * math.tan(theta - half_turns)) + k * segment.length_mm
    return theta


def greatest_while(holds: Callable[[float], bool], *, low: float, high: float) -> float:
    """The greatest value up to which a condition holds, found by halving.

    Args:
        holds: true up to some value, false beyond it.
        low: a value at which it holds.
        high: a value beyond which it does not.

    >>> greatest_while(lambda x: x * x <= 2, low=0, high=2)
    1.41421356
    """
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def equivalent_length_mm(
    section: ColumnSection, *, force_n: float, elastic_mpa: float = STEEL_ELASTIC_MPA
) -> float:
    """Length of the even pin-ended rod that buckles at a given push, mm.

    L = pi sqrt(E I / P)

    Args:
        section: cross-section of the rod.
        force_n: push at which the real column buckles P, N; see `stepped_column_force_n`.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: a value not greater than 0.
    Source: euler-column

    >>> rod = round_section(outside_mm=50)
    >>> equivalent_length_mm(rod, force_n=euler_force_n(rod, effective_length_mm=1700))
    1700.0
    """
    require_positive(force_n=force_n, elastic_mpa=elastic_mpa)
    return math.pi * math.sqrt(elastic_mpa * section.inertia_mm4 / force_n)
