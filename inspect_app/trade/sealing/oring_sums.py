"""The plain sums of an O-ring in a groove: stretch, section left, squeeze, fill; knows no tolerance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class HonedSqueeze:
    """Squeeze before and after the bore was honed over the same groove."""

    before_percent: float
    after_percent: float
    change_percent: float


def stretch_percent(*, inside_mm: float, on_mm: float) -> float:
    """Stretch of a ring's inside diameter on a groove or rod, percent.

    S = 100 (d - d1) / d1

    Args:
        inside_mm: inside diameter of the free ring d1, mm.
        on_mm: diameter it lies on d, groove of a piston or the rod, mm.
    Returns: percent; negative when the ring is larger and hangs loose.
    Raises:
        Refusal: a diameter not greater than 0.

    >>> stretch_percent(inside_mm=37.465, on_mm=38.1)   # 1.475 in on 1.500 in
    1.695
    """
    require_positive(inside_mm=inside_mm, on_mm=on_mm)
    return 100 * (on_mm - inside_mm) / inside_mm


def free_inside_mm(
    *, on_mm: float, least_stretch_percent: float, greatest_stretch_percent: float
) -> tuple[float, float]:
    """Inside diameters a free ring may have to lie on a diameter within a band of stretch, mm.

    d1 = d / (1 + S / 100)

    Args:
        on_mm: diameter it lies on d, groove of a piston or the rod, mm.
        least_stretch_percent: lower end of the stretch, percent.
        greatest_stretch_percent: upper end of the stretch, percent.
    Returns: the least and the greatest inside diameter.
    Raises:
        Refusal: a diameter not greater than 0, or a stretch of -100 % or less.

    >>> free_inside_mm(on_mm=92, least_stretch_percent=0, greatest_stretch_percent=5)
    (87.62, 92.0)
    """
    require_positive(on_mm=on_mm, left_percent=100 + least_stretch_percent)
    require_not_negative(band_percent=greatest_stretch_percent - least_stretch_percent)
    return on_mm / (1 + greatest_stretch_percent / 100), on_mm / (1 + least_stretch_percent / 100)


def ring_volume_mm3(*, inside_mm: float, section_mm: float) -> float:
    """Volume of an O-ring, mm³.

    V = pi² (d1 + d2) d2² / 4

    Args:
        inside_mm: inside diameter d1, mm.
        section_mm: section d2, mm.
    Raises:
        Refusal: a dimension not greater than 0.
    Source: torus-volume

    >>> ring_volume_mm3(inside_mm=24.99, section_mm=3.53)   # AS568-214
    876.9
    """
    require_positive(inside_mm=inside_mm, section_mm=section_mm)
    return math.pi**2 * (inside_mm + section_mm) * section_mm**2 / 4


def squeeze_percent(*, section_mm: float, depth_mm: float) -> float:
    """Share of a ring's section taken up by squeezing it into the gland, percent.

    100 (W - g) / W

    Args:
        section_mm: section of the ring as fitted W, mm.
        depth_mm: radial depth of the gland, clearance included g, mm.
    Returns: percent; negative when the ring does not reach the opposite wall.
    Raises:
        Refusal: a dimension not greater than 0.

    >>> squeeze_percent(section_mm=0.205 * 25.4, depth_mm=0.188 * 25.4)   # gland table 0.210 in: 8.5 %
    8.3
    """
    require_positive(section_mm=section_mm, depth_mm=depth_mm)
    return 100 * (section_mm - depth_mm) / section_mm


def depth_for_squeeze_mm(*, section_mm: float, squeeze_percent: float) -> float:
    """Radial depth of gland that gives a wanted squeeze, mm.

    g = W (1 - s / 100)

    Args:
        section_mm: section of the ring W, mm.
        squeeze_percent: wanted squeeze s, percent.
    Raises:
        Refusal: a section not greater than 0, or a squeeze outside 0 to 100 %.

    >>> depth_for_squeeze_mm(section_mm=3.53, squeeze_percent=20)   # published: about 2.8 mm
    2.824
    """
    require_positive(section_mm=section_mm)
    if not 0 <= squeeze_percent < 100:
        raise Refusal(f"squeeze is {squeeze_percent:g} %; it must be from 0 to below 100.")
    return section_mm * (1 - squeeze_percent / 100)


def fill_percent(*, section_mm: float, depth_mm: float, width_mm: float) -> float:
    """Share of the gland's section that the ring takes up, percent.

    100 (pi W² / 4) / (g b)

    Args:
        section_mm: section of the ring, with swell if any W, mm.
        depth_mm: radial depth of the gland, clearance included g, mm.
        width_mm: axial width of the groove b, mm.
    Returns: percent; above 100 the ring does not fit.
    Raises:
        Refusal: a dimension not greater than 0.
    Valid: rectangular groove with square sides; corner radii left out.

    >>> fill_percent(section_mm=0.210, depth_mm=0.1855, width_mm=0.285)
    65.515
    """
    require_positive(section_mm=section_mm, depth_mm=depth_mm, width_mm=width_mm)
    return 100 * math.pi * section_mm**2 / (4 * depth_mm * width_mm)


def fitted_section_mm(*, inside_mm: float, section_mm: float, on_mm: float, growth: float = 1.0) -> float:
    """Section of a ring made to lie on a diameter, its volume kept, mm.

    w solves (d + w) w² = (d1 + d2) d2² f³

    Args:
        inside_mm: inside diameter of the free ring d1, mm.
        section_mm: section of the free ring d2, mm.
        on_mm: diameter it lies on d, mm.
        growth: factor f on the free ring's lengths by heat and swell.
    Returns: less than the free section when stretched, more when the gland pushes the ring together.
    Raises:
        Refusal: a value not greater than 0.
    Valid: rubber keeps its volume and the section stays round.
    Source: torus-volume

    >>> fitted_section_mm(inside_mm=37.465, section_mm=5.334, on_mm=38.1)   # 1.475 x 0.210 on 1.500 in
    5.297
    """
    require_positive(inside_mm=inside_mm, section_mm=section_mm, on_mm=on_mm, growth=growth)
    kept = (inside_mm + section_mm) * section_mm**2 * growth**3
    w = section_mm * growth
    # f(w) = w³ + d w² - kept is convex and rising: Newton finds its one root from anywhere above 0
    for _ in range(60):
        step = (w**3 + on_mm * w**2 - kept) / (3 * w**2 + 2 * on_mm * w)
        w -= step
        if abs(step) <= 1e-14 * w:
            break
    return w


def volume_fill_percent(*, ring_mm3: float, inner_mm: float, outer_mm: float, width_mm: float) -> float:
    """Share of a gland's volume that the ring takes up, percent.

    100 V / (pi/4 (D² - d²) b)

    Args:
        ring_mm3: volume of the ring, with swell if any V, mm³.
        inner_mm: inner diameter of the gland d, mm.
        outer_mm: outer diameter of the gland D, mm.
        width_mm: axial width of the groove b, mm.
    Returns: percent; above 100 the ring does not fit.
    Raises:
        Refusal: a value not greater than 0, or an inner diameter not smaller than the outer.
    Valid: rectangular groove with square sides; corner radii left out.

    >>> volume_fill_percent(ring_mm3=3004.6, inner_mm=38.1, outer_mm=47.523, width_mm=7.239)
    65.50
    """
    require_positive(ring_mm3=ring_mm3, inner_mm=inner_mm, width_mm=width_mm, depth_mm=outer_mm - inner_mm)
    return 400 * ring_mm3 / (math.pi * (outer_mm**2 - inner_mm**2) * width_mm)


def handbook_section_loss_percent(*, stretch_percent: float) -> float:
    """Loss of section by stretch after the seal handbooks' empirical curve, percent.

    0.01 + 1.06 S - 0.1 S² to 3 %; 0.56 + 0.59 S - 0.0046 S² above

    Args:
        stretch_percent: stretch of the inside diameter S, percent.
    Returns: percent of the section; 0 for a ring that is not stretched.
    Raises:
        Refusal: above 25 % stretch.
    Valid: to 25 % stretch.
    Source: oring-stretch-loss

    >>> handbook_section_loss_percent(stretch_percent=1.695)
    1.519
    """
    require_finite(stretch_percent=stretch_percent)
    s = stretch_percent
    if s <= 0:
        return 0.0
    if s > 25:
        raise Refusal(f"The ring is stretched {s:.0f} %; the curve ends at 25 %, take a larger ring.")
    return 0.01 + 1.06 * s - 0.1 * s**2 if s <= 3 else 0.56 + 0.59 * s - 0.0046 * s**2


def squeeze_after_honing(
    *, section_mm: float, groove_mm: float, bore_mm: float, oversize_mm: float
) -> HonedSqueeze:
    """Squeeze of a piston's ring before and after honing: the groove stays, the bore grows.

    g = (D - d) / 2; honing deepens it by half the oversize

    Args:
        section_mm: section of the ring as fitted, mm.
        groove_mm: groove diameter d, mm.
        bore_mm: bore before honing D, mm.
        oversize_mm: growth of the bore on diameter, mm.
    Raises:
        Refusal: when the groove is not smaller than the bore, or the oversize is negative.

    >>> squeeze_after_honing(section_mm=5.33, groove_mm=90.6, bore_mm=100, oversize_mm=0.5).change_percent
    -4.69
    """
    require_not_negative(oversize_mm=oversize_mm)
    depth_mm = (bore_mm - groove_mm) / 2
    before = squeeze_percent(section_mm=section_mm, depth_mm=depth_mm)
    after = squeeze_percent(section_mm=section_mm, depth_mm=depth_mm + oversize_mm / 2)
    return HonedSqueeze(before, after, after - before)
