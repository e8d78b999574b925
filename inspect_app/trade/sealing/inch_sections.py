"""The grooves that inch seals of the usual sections would have: what is usual, never what is there."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal

MM_PER_INCH = Decimal("25.4")
SIXTEENTHS = 16
SECTIONS = tuple(Fraction(n, SIXTEENTHS) for n in (2, 3, 4, 5, 6, 8))
"""1/8 to 1/2 in: the nominal sections inch lip seals, packings and scrapers come in."""


def inch_groove_diameters_mm(*, sealed_mm: Decimal, outward: bool) -> tuple[Decimal, ...]:
    """The groove diameters of inch seals of the usual sections: the size sealed and twice a section.

    groove = rod + 2 x section, or bore - 2 x section

    Args:
        sealed_mm: nominal rod or bore, mm.
        outward: whether the groove is cut outward, round a rod; inward is into a piston.
    Returns: mm, the smallest section first; none for a size that is no whole sixteenth of an inch, and none of a
        piston that would have nothing left.
    Raises:
        Refusal: a size that is not finite or not greater than 0.
    Valid: names what is usual; the drawing, the seal's sheet or the groove itself says which it is.
    Source: inch-seal-sections

    >>> [str(mm / MM_PER_INCH) for mm in inch_groove_diameters_mm(sealed_mm=Decimal(127), outward=True)]
    ['5.25', '5.375', '5.5', '5.625', '5.75', '6']
    >>> inch_groove_diameters_mm(sealed_mm=Decimal(56), outward=True)
    ()
    """
    if not sealed_mm.is_finite() or sealed_mm <= 0:
        raise Refusal(
            "{size} is no rod or bore; it must be greater than 0.", size=Amount(sealed_mm, "length")
        )
    sixteenths = sealed_mm / MM_PER_INCH * SIXTEENTHS
    if sixteenths != sixteenths.to_integral_value():
        return ()
    side = 1 if outward else -1
    twice = (2 * Decimal(s.numerator) / Decimal(s.denominator) * MM_PER_INCH for s in SECTIONS)
    return tuple(size for t in twice if (size := sealed_mm + side * t) > 0)
