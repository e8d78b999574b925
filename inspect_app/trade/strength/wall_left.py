"""How much of what it may use a honed wall uses, with the uncertainty of the wall carried; knows no limits."""

from __future__ import annotations

from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.strength.barrel import Ends
from inspect_app.trade.strength.hone_out import PressureCase, wall_use, worst_section


def wall_use_after_honing(
    *, bore: Carried, honed: Carried, wall: Carried, case: PressureCase, yield_mpa: float, ends: Ends = "open"
) -> Carried:
    """The share of what a case allows that the wall uses once the bore is honed; over 1 it is too weak.

    utilisation = sigma_v / (share Re) of the thinnest wall less half of what the hone takes out

    Args:
        bore: smallest diameter as found, mm: from there the hone takes most.
        honed: bore after honing, mm.
        wall: thinnest wall measured before honing, mm.
        case: pressure, and share of the yield strength it may use.
        yield_mpa: yield strength Re, MPa.
        ends: whether the tube carries the end load; open is the worse.
    Raises:
        Refusal: nothing left of the wall, or a value out of range.
    Valid: as `worst_section` and `wall_use`.
    Source: lame, von-mises, eccentric-tube, gum

    >>> wall_use_after_honing(bore=Carried(99.6), honed=Carried(100), wall=Carried(10.2, 0.2),
    ...                       case=PressureCase(25, 0.5), yield_mpa=305.358)   # 152.679 of 152.679 MPa
    Carried(value=1.000, expanded=0.016)
    """

    def used(bore_mm: float, honed_mm: float, wall_mm: float) -> float:
        section = worst_section(
            bore_mm=bore_mm,
            outside_mm=bore_mm + 2 * wall_mm,
            least_wall_mm=wall_mm,
            honed_mm=max(honed_mm, bore_mm),
        )
        return wall_use(section, case, yield_mpa=yield_mpa, ends=ends).utilisation

    return carry(used, bore_mm=bore, honed_mm=honed, wall_mm=wall)
