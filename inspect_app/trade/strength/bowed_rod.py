"""What push a rod stands that is bowed or pushed off its axis; knows no limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.barrel import STEEL_ELASTIC_MPA
from inspect_app.trade.strength.column import Buckling, ColumnSection, buckling, euler_force_n, greatest_while


@dataclass(frozen=True, slots=True)
class PushCapacity:
    """What push a rod may be given; `governed_by` is "Euler", "Johnson" or "bow"."""

    buckling: Buckling
    bow_yield_n: float
    permissible_n: float
    governed_by: str

    def utilisation(self, push_n: float) -> float:
        """A cylinder's push as a share of what is permissible; over 1 the rod is too weak.

        Args:
            push_n: greatest push of the cylinder, N.
        Raises:
            Refusal: a negative push.
        """
        require_not_negative(push_n=push_n)
        return push_n / self.permissible_n


def secant_stress_mpa(
    section: ColumnSection,
    *,
    force_n: float,
    eccentricity_mm: float,
    effective_length_mm: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> float:
    """Greatest compressive stress in a straight rod pushed off its axis, MPa.

    sigma = P/A (1 + (e c / k²) sec((L_e / 2k) sqrt(P / (A E))))

    Args:
        section: cross-section.
        force_n: push P, N.
        eccentricity_mm: how far off the axis it acts e, mm.
        effective_length_mm: effective length L_e, mm.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: a push at which the straight rod already buckles, or a value out of range.
    Valid: elastic; the same eccentricity at both ends.
    Source: secant-column

    >>> from inspect_app.trade.strength.column import round_section
    >>> rod = round_section(outside_mm=50)
    >>> round(secant_stress_mpa(rod, force_n=262_030, eccentricity_mm=1, effective_length_mm=1500,
    ...                         elastic_mpa=210e3))
    500
    """
    require_not_negative(force_n=force_n, eccentricity_mm=eccentricity_mm)
    euler_n = euler_force_n(section, effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    _require_below(force_n, euler_n)
    return _secant_stress_mpa(section, force_n, eccentricity_mm, euler_n)


def _secant_stress_mpa(
    section: ColumnSection, force_n: float, eccentricity_mm: float, euler_n: float
) -> float:
    bending = eccentricity_mm * section.extreme_mm / section.gyration_mm**2
    return force_n / section.area_mm2 * (1 + bending / math.cos(math.pi / 2 * math.sqrt(force_n / euler_n)))


def _require_below(force_n: float, euler_n: float) -> None:
    if force_n >= euler_n:
        raise Refusal(
            "{given}; the straight rod buckles at {euler}, it must be less.",
            given=argument("force_n", force_n),
            euler=Amount(euler_n, "force"),
        )


def secant_force_n(
    section: ColumnSection,
    *,
    eccentricity_mm: float,
    effective_length_mm: float,
    yield_mpa: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> float:
    """Push off the axis at which a straight rod begins to yield, N.

    the P at which `secant_stress_mpa` reaches Re

    Args:
        section: cross-section.
        eccentricity_mm: how far off the axis the push acts, mm.
        effective_length_mm: effective length, mm.
        yield_mpa: yield strength Re, MPa.
        elastic_mpa: modulus of elasticity, MPa.
    Raises:
        Refusal: a value out of range.
    Valid: as `secant_stress_mpa`.
    Source: secant-column

    >>> from inspect_app.trade.strength.column import round_section
    >>> rod = round_section(outside_mm=50)
    >>> secant_force_n(rod, eccentricity_mm=1, effective_length_mm=1500, yield_mpa=500,
    ...                elastic_mpa=210e3) / 1000
    262.03
    """
    require_not_negative(eccentricity_mm=eccentricity_mm)
    require_positive(yield_mpa=yield_mpa)
    euler_n = euler_force_n(section, effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    return greatest_while(
        lambda force_n: _secant_stress_mpa(section, force_n, eccentricity_mm, euler_n) <= yield_mpa,
        low=0.0,
        high=min(euler_n, section.area_mm2 * yield_mpa),
    )


def bow_over_length_mm(*, bow_mm: float, span_mm: float, length_mm: float) -> float:
    """Bow over the whole effective length, from a bow measured over a shorter span, mm.

    a0 = a (L / S)², the rod bent to one arc

    Args:
        bow_mm: bow measured in the middle of the span, half the dial's total reading a, mm.
        span_mm: distance between the supports S, mm.
        length_mm: effective length of the column L, mm.
    Raises:
        Refusal: a value out of range.
    Valid: an even bend; a kink grows only as L / S, so the arc is on the safe side beyond the span.
    Source: bow-arc

    >>> bow_over_length_mm(bow_mm=0.4, span_mm=1000, length_mm=2000)
    1.6
    """
    require_not_negative(bow_mm=bow_mm)
    require_positive(span_mm=span_mm, length_mm=length_mm)
    return bow_mm * (length_mm / span_mm) ** 2


def bow_stress_mpa(
    section: ColumnSection,
    *,
    force_n: float,
    bow_mm: float,
    effective_length_mm: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> float:
    """Greatest compressive stress in a bowed rod under push, MPa.

    sigma = P/A (1 + (a0 c / k²) / (1 - P/P_cr)), P_cr by Euler

    Args:
        section: cross-section.
        force_n: push P, N.
        bow_mm: bow in the middle of the effective length a0, mm.
        effective_length_mm: effective length, mm.
        elastic_mpa: modulus of elasticity, MPa.
    Raises:
        Refusal: a push at which the straight rod already buckles, or a value out of range.
    Valid: elastic; the bow shaped as half a sine wave.
    Source: perry-robertson

    >>> from inspect_app.trade.strength.column import round_section
    >>> round(bow_stress_mpa(round_section(outside_mm=50), force_n=265_820, bow_mm=1,
    ...                      effective_length_mm=1500, elastic_mpa=210e3))
    500
    """
    require_not_negative(force_n=force_n, bow_mm=bow_mm)
    euler_n = euler_force_n(section, effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    _require_below(force_n, euler_n)
    bending = bow_mm * section.extreme_mm / section.gyration_mm**2
    return force_n / section.area_mm2 * (1 + bending / (1 - force_n / euler_n))


def bow_yield_force_n(
    section: ColumnSection,
    *,
    bow_mm: float,
    effective_length_mm: float,
    yield_mpa: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> float:
    """Push at which a bowed rod begins to bend for good, N.

    sigma = s - sqrt(s² - Re sigma_e), s = (Re + (1 + eta) sigma_e)/2, eta = a0 c / k², P = sigma A

    Args:
        section: cross-section.
        bow_mm: bow in the middle of the effective length a0, mm.
        effective_length_mm: effective length, mm.
        yield_mpa: yield strength Re, MPa.
        elastic_mpa: modulus of elasticity, MPa.
    Raises:
        Refusal: a value out of range.
    Valid: as `bow_stress_mpa`; without bow it is the lesser of Euler's push and A Re.
    Source: perry-robertson

    >>> from inspect_app.trade.strength.column import round_section
    >>> bow_yield_force_n(round_section(outside_mm=50), bow_mm=1, effective_length_mm=1500,
    ...                   yield_mpa=500, elastic_mpa=210e3) / 1000
    265.82
    """
    require_not_negative(bow_mm=bow_mm)
    require_positive(yield_mpa=yield_mpa)
    euler_n = euler_force_n(section, effective_length_mm=effective_length_mm, elastic_mpa=elastic_mpa)
    euler_mpa = euler_n / section.area_mm2
    eta = bow_mm * section.extreme_mm / section.gyration_mm**2
    s = (yield_mpa + (1 + eta) * euler_mpa) / 2
    under_root = ((yield_mpa - (1 + eta) * euler_mpa) / 2) ** 2 + eta * yield_mpa * euler_mpa
    # the lesser root as product over greater root: no difference of near equals
    return section.area_mm2 * yield_mpa * euler_mpa / (s + math.sqrt(under_root))


def push_capacity(
    section: ColumnSection,
    *,
    effective_length_mm: float,
    yield_mpa: float,
    bow_mm: float,
    safety: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> PushCapacity:
    """Push permitted for a rod as measured; once for the rod as found, again for it ground.

    permissible = least of buckling (Euler or Johnson) and first yield of the bowed rod, over the safety

    Args:
        section: cross-section, of the rod as found or ground.
        effective_length_mm: effective length, mm.
        yield_mpa: yield strength, MPa.
        bow_mm: bow over the effective length, mm; 0 for a straight rod.
        safety: safety factor the shop asks for, at least 1.
        elastic_mpa: modulus of elasticity, MPa.
    Raises:
        Refusal: a value out of range.
    Valid: centred push; side load, own weight and play at the gland are not in it.
    Source: euler-column, johnson-column, perry-robertson

    >>> from inspect_app.trade.strength.column import round_section
    >>> capacity = push_capacity(round_section(outside_mm=50), effective_length_mm=1500, yield_mpa=500,
    ...                          bow_mm=1, safety=2, elastic_mpa=210e3)
    >>> capacity.governed_by, capacity.permissible_n / 1000
    ('bow', 132.91)
    """
    require_positive(safety=safety)
    if safety < 1:
        raise Refusal(f"safety is {safety:g}; it must be at least 1.")
    straight = buckling(
        section, effective_length_mm=effective_length_mm, yield_mpa=yield_mpa, elastic_mpa=elastic_mpa
    )
    bow_yield_n = bow_yield_force_n(
        section,
        bow_mm=bow_mm,
        effective_length_mm=effective_length_mm,
        yield_mpa=yield_mpa,
        elastic_mpa=elastic_mpa,
    )
    governed_by = "bow" if bow_yield_n < straight.force_n else straight.rule
    return PushCapacity(straight, bow_yield_n, min(bow_yield_n, straight.force_n) / safety, governed_by)
