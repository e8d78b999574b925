"""A ring in its groove at the worst of all tolerances, cold and hot, held against a band; knows no file."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.measuring.sizes import Size, Spread
from inspect_app.trade.sealing.oring_sums import (
    fitted_section_mm,
    handbook_section_loss_percent,
    ring_volume_mm3,
    squeeze_percent,
    stretch_percent,
    volume_fill_percent,
)
from inspect_app.trade.sealing.orings import ORing


@dataclass(frozen=True, slots=True)
class Service:
    """What heat and fluid do to a fitted ring: rise above assembly, linear expansions, swell of volume."""

    temperature_rise_k: float = 0.0
    ring_expansion_per_k: float = 0.0
    housing_expansion_per_k: float = 0.0
    swell_share: float = 0.0

    def __post_init__(self) -> None:
        require_positive(ring_growth=self.ring_growth, housing_growth=self.housing_growth)

    @property
    def ring_growth(self) -> float:
        """Factor on each length of the free ring."""
        if self.swell_share <= -1:
            raise Refusal(f"swell share is {self.swell_share:g}; it must be greater than -1.")
        return (1 + self.ring_expansion_per_k * self.temperature_rise_k) * math.cbrt(1 + self.swell_share)

    @property
    def housing_growth(self) -> float:
        """Factor on each length of the metal parts."""
        return 1 + self.housing_expansion_per_k * self.temperature_rise_k


AS_ASSEMBLED = Service()


@dataclass(frozen=True, slots=True)
class Band:
    """A recommended band for squeeze, fill or stretch; advice with its source, not a standard's limit.

    It holds for sections between `section_from_mm` and `section_to_mm`, None where open.
    """

    application: str
    quantity: str
    section_from_mm: float | None
    section_to_mm: float | None
    least_percent: float
    greatest_percent: float
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class BandRemark:
    """How a spread lies to a band: ``inside``, ``partly`` (only its extremes are out) or ``outside``."""

    verdict: str
    sentence: str


@dataclass(frozen=True, slots=True)
class RingFit:
    """A ring in its groove: least squeeze with the worse loss of section, greatest with the lesser."""

    stretch_percent: Spread
    section_mm: Spread
    depth_mm: Spread
    squeeze_percent: Spread
    fill_percent: Spread


def fit_ring(
    *,
    ring: ORing,
    inner: Size,
    outer: Size,
    width: Size,
    service: Service = AS_ASSEMBLED,
    off_centre_mm: float = 0.0,
) -> RingFit:
    """Stretch, section, squeeze and fill of a ring in its groove, nominal and at the worst of all tolerances.

    The least section takes the worse of a kept volume and the handbooks' curve, the greatest a kept volume.
    Every dimension is let run to its own extreme, so the true value lies inside.

    Args:
        ring: the free ring with its tolerances.
        inner: diameter the ring lies on, groove of a piston or the rod.
        outer: diameter around it, bore or groove of a gland.
        width: axial width of the groove.
        service: heat and swell.
        off_centre_mm: how far the parts may lie off centre, which opens the gland on one side, mm.
    Raises:
        Refusal: when the inner diameter is not smaller than the outer, or the ring is stretched above 25 %.
    Valid: radial installation; fill by volumes, rectangular groove.
    Source: torus-volume, oring-stretch-loss

    >>> ring = ORing("325", 37.465, 0.381, 5.334, 0.127, "read", "as568-dimension-table")
    >>> fit = fit_ring(ring=ring, inner=Size.plus_minus(38.1, 0), outer=Size.plus_minus(47.5234, 0),
    ...                width=Size.plus_minus(7.239, 0.127))
    >>> fit.squeeze_percent.nominal
    11.05
    """
    require_not_negative(off_centre_mm=off_centre_mm)
    inner, outer, width = (size.times(service.housing_growth) for size in (inner, outer, width))
    depth = _depth(inner, outer)
    section = _section(ring, inner, service.ring_growth)
    inside = Size.plus_minus(ring.inside_mm, ring.inside_tolerance_mm)
    low, high = depth.least - off_centre_mm, depth.greatest + off_centre_mm
    require_positive(depth_mm=low)
    return RingFit(
        stretch_percent=Spread(
            stretch_percent(inside_mm=inside.nominal_mm, on_mm=inner.nominal_mm),
            stretch_percent(inside_mm=inside.greatest_mm, on_mm=inner.least_mm),
            stretch_percent(inside_mm=inside.least_mm, on_mm=inner.greatest_mm),
        ),
        section_mm=section,
        depth_mm=Spread(depth.nominal, low, high),
        squeeze_percent=Spread(
            squeeze_percent(section_mm=section.nominal, depth_mm=depth.nominal),
            squeeze_percent(section_mm=section.least, depth_mm=high),
            squeeze_percent(section_mm=section.greatest, depth_mm=low),
        ),
        fill_percent=_fill(ring, inner, outer, width, service.ring_growth),
    )


def band_for(*, application: str, quantity: str, section_mm: float, bands: Sequence[Band]) -> Band:
    """The band a quantity is held against.

    Args:
        application: static or reciprocating; for stretch piston-groove or gland-groove.
        quantity: squeeze, fill or stretch.
        section_mm: section of the ring, mm.
        bands: the bands to choose from; one for any application serves all.
    Raises:
        Refusal: when no band covers it.

    >>> fill = Band("any", "fill", None, None, 0, 85, "read", "oring-band-guide")
    >>> band_for(application="static", quantity="fill", section_mm=3.53, bands=[fill]).greatest_percent
    85
    """
    require_positive(section_mm=section_mm)
    for band in bands:
        covers = (band.section_from_mm or 0) <= section_mm <= (band.section_to_mm or math.inf)
        if band.quantity == quantity and band.application in (application, "any") and covers:
            return band
    raise Refusal(
        "No band of {quantity} is listed for {application} at {section} cross-section.",
        quantity=quantity,
        application=application,
        section=Amount(section_mm, "length"),
    )


def against_band(*, spread: Spread, band: Band) -> BandRemark:
    """How a squeeze, fill or stretch lies to its recommended band.

    Args:
        spread: the nominal value and its worst cases, percent.
        band: what is recommended.

    >>> band = Band("reciprocating", "squeeze", 1.9, None, 10, 16, "read", "engineers-handbook-seals")
    >>> against_band(spread=Spread(11.7, 8.3, 14.9), band=band).verdict
    'partly'
    """
    least, greatest = band.least_percent, band.greatest_percent
    says = (
        f"{band.quantity} {spread.nominal:.1f} % ({spread.least:.1f} to {spread.greatest:.1f} %),"
        f" recommended {least:g} to {greatest:g} %"
    )
    if not least <= spread.nominal <= greatest:
        return BandRemark("outside", f"{says}: outside.")
    if least <= spread.least and spread.greatest <= greatest:
        return BandRemark("inside", f"{says}: inside.")
    return BandRemark("partly", f"{says}: inside, but not at the worst of the tolerances.")


def _depth(inner: Size, outer: Size) -> Spread:
    if outer.least_mm <= inner.greatest_mm:
        raise Refusal(
            "The inner diameter, up to {inner}, must be smaller than the outer, down to {outer}; measure both again.",
            inner=Amount(inner.greatest_mm, "length"),
            outer=Amount(outer.least_mm, "length"),
        )
    return Spread(
        (outer.nominal_mm - inner.nominal_mm) / 2,
        (outer.least_mm - inner.greatest_mm) / 2,
        (outer.greatest_mm - inner.least_mm) / 2,
    )


def _section(ring: ORing, inner: Size, growth: float) -> Spread:
    inside = Size.plus_minus(ring.inside_mm, ring.inside_tolerance_mm)
    free = Size.plus_minus(ring.section_mm, ring.section_tolerance_mm)
    least = fitted_section_mm(
        inside_mm=inside.least_mm, section_mm=free.least_mm, on_mm=inner.greatest_mm, growth=growth
    )
    stretch = stretch_percent(inside_mm=inside.least_mm * growth, on_mm=inner.greatest_mm)
    by_curve = free.least_mm * growth * (1 - handbook_section_loss_percent(stretch_percent=stretch) / 100)
    return Spread(
        fitted_section_mm(
            inside_mm=inside.nominal_mm, section_mm=free.nominal_mm, on_mm=inner.nominal_mm, growth=growth
        ),
        min(least, by_curve),
        fitted_section_mm(
            inside_mm=inside.greatest_mm, section_mm=free.greatest_mm, on_mm=inner.least_mm, growth=growth
        ),
    )


def _fill(ring: ORing, inner: Size, outer: Size, width: Size, growth: float) -> Spread:
    inside = Size.plus_minus(ring.inside_mm, ring.inside_tolerance_mm)
    section = Size.plus_minus(ring.section_mm, ring.section_tolerance_mm)
    corners = (
        (inside.nominal_mm, section.nominal_mm, inner.nominal_mm, outer.nominal_mm, width.nominal_mm),
        (inside.least_mm, section.least_mm, inner.least_mm, outer.greatest_mm, width.greatest_mm),
        (inside.greatest_mm, section.greatest_mm, inner.greatest_mm, outer.least_mm, width.least_mm),
    )
    nominal, least, greatest = (
        volume_fill_percent(
            ring_mm3=ring_volume_mm3(inside_mm=d1, section_mm=d2) * growth**3,
            inner_mm=d,
            outer_mm=outer_mm,
            width_mm=b,
        )
        for d1, d2, d, outer_mm, b in corners
    )
    return Spread(nominal, least, greatest)
