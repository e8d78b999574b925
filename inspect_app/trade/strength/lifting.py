"""What the legs of a sling carry: by their angle, and off the middle; knows no cylinder and certifies nothing."""

from __future__ import annotations

import math

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_positive

LEAST_DEG = 30
"""A leg that lies flatter is not allowed, degrees from the horizontal."""

COUNTED_LEGS = 2
"""Of more legs two are counted: a stiff load hangs on two of them."""


def leg_angle_deg(angle_deg: float, *, from_vertical: bool) -> float:
    """A leg's angle from the horizontal, degrees.

    alpha = 90 - beta, for beta from the vertical

    Args:
        angle_deg: the angle as read, degrees.
        from_vertical: whether it is read from the vertical; charts use both.
    Raises:
        Refusal: an angle flatter than 30 degrees from the horizontal, or none between 0 and 90.
    Source: sling-angle

    >>> leg_angle_deg(30, from_vertical=True)
    60
    """
    require_finite(angle_deg=angle_deg)
    if not 0 <= angle_deg <= 90:
        raise Refusal("A leg's angle lies between 0° and 90°; {typed} does not.", typed=_degrees(angle_deg))
    flat = 90 - angle_deg if from_vertical else angle_deg
    if flat < LEAST_DEG:
        raise Refusal(
            "A leg at {angle} from the horizontal is too flat; at least {least}. Take longer slings, or a beam.",
            angle=_degrees(flat),
            least=_degrees(LEAST_DEG),
        )
    return flat


def leg_load_kg(*, mass_kg: float, legs: int, angle_deg: float) -> float:
    """What each of equal legs carries with the hook over the mass centre, kg.

    m / (n sin alpha), n the legs counted, two at most; one leg hangs straight and carries all

    Args:
        mass_kg: mass that is lifted m, kg.
        legs: how many legs.
        angle_deg: their angle from the horizontal alpha, degrees.
    Raises:
        Refusal: no leg, a flat one, or a value out of range.
    Source: sling-angle

    >>> leg_load_kg(mass_kg=1000, legs=2, angle_deg=45)
    707.1
    """
    require_positive(mass_kg=mass_kg, legs=legs)
    if legs == 1:
        return mass_kg
    alpha = math.radians(leg_angle_deg(angle_deg, from_vertical=False))
    return mass_kg / (min(legs, COUNTED_LEGS) * math.sin(alpha))


def off_centre_loads_kg(
    *, mass_kg: float, near_mm: float, far_mm: float, hook_mm: float
) -> tuple[float, float]:
    """What two legs carry where the mass centre lies nearer to one of them, the hook over it: near leg, far leg, kg.

    near: m b / (a + b) / sin atan(h / a); far: m a / (a + b) / sin atan(h / b)

    Args:
        mass_kg: mass that is lifted m, kg.
        near_mm: along the load from the mass centre to the nearer leg a, mm.
        far_mm: to the farther leg b, mm.
        hook_mm: height of the hook above the legs' lower ends h, mm.
    Raises:
        Refusal: a leg flatter than 30 degrees, or a value out of range.
    Valid: the hook over the mass centre, which moves with the rod.
    Source: sling-angle, statics

    >>> near, far = off_centre_loads_kg(mass_kg=1000, near_mm=300, far_mm=900, hook_mm=700)
    >>> round(near), round(far)
    (816, 407)
    """
    require_positive(mass_kg=mass_kg, near_mm=near_mm, far_mm=far_mm, hook_mm=hook_mm)
    loads = []
    for own_mm, other_mm in ((near_mm, far_mm), (far_mm, near_mm)):
        angle_deg = math.degrees(math.atan2(hook_mm, own_mm))
        alpha = math.radians(leg_angle_deg(angle_deg, from_vertical=False))
        loads.append(mass_kg * other_mm / (own_mm + other_mm) / math.sin(alpha))
    near_kg, far_kg = loads
    return near_kg, far_kg


def _degrees(angle: float) -> Amount:
    return Amount(angle, "angle")
