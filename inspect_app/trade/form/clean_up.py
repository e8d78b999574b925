"""What is left of a bore, a rod and its chrome when a mark is taken out; knows no limit."""

from __future__ import annotations

from inspect_app.trade.measuring.required import require_not_negative, require_positive

UM_PER_MM = 1000


def clean_up_bore_mm(*, greatest_mm: float, deepest_mm: float, stock_mm: float) -> float:
    """The bore at which the deepest mark is gone, mm.

    D' = D_max + 2 depth + stock

    Args:
        greatest_mm: greatest diameter of the bore as found D_max, mm.
        deepest_mm: depth of the deepest mark, mm; 0 without one.
        stock_mm: taken out on diameter beyond the mark, to clean up, mm.
    Raises:
        Refusal: a bore not greater than 0, or a negative depth or stock.
    Valid: the mark is reckoned from the greatest diameter, so it lies on the safe side elsewhere.
    Source: clean-up, hone-oversize

    >>> clean_up_bore_mm(greatest_mm=125.044, deepest_mm=0.1, stock_mm=0.05)
    125.294
    """
    require_positive(greatest_mm=greatest_mm)
    require_not_negative(deepest_mm=deepest_mm, stock_mm=stock_mm)
    return greatest_mm + 2 * deepest_mm + stock_mm


def ground_rod_mm(*, least_mm: float, deepest_mm: float, chrome_um: float, stock_mm: float) -> float:
    """The steel of a rod when chrome and the deepest mark are ground off, mm.

    d' = d_min − 2 max(depth, chrome) − stock

    Args:
        least_mm: least diameter over the chrome as found d_min, mm.
        deepest_mm: depth of the deepest mark from the chrome's surface, mm; 0 without one.
        chrome_um: chrome thickness as found, µm; all of it is stripped.
        stock_mm: ground off the steel on diameter, to clean up, mm.
    Raises:
        Refusal: a rod of which nothing is left, or a negative value.
    Source: clean-up, rod-rechrome-reach

    >>> ground_rod_mm(least_mm=89.944, deepest_mm=0.06, chrome_um=12, stock_mm=0.05)
    89.774
    """
    require_positive(least_mm=least_mm)
    require_not_negative(deepest_mm=deepest_mm, chrome_um=chrome_um, stock_mm=stock_mm)
    ground_mm = least_mm - 2 * max(deepest_mm, chrome_um / UM_PER_MM) - stock_mm
    require_positive(ground_mm=ground_mm)
    return ground_mm


def chrome_built_um(*, finished_mm: float, ground_mm: float) -> float:
    """The chrome a ground rod is built up with, a side, µm.

    t = (d − d') / 2

    Args:
        finished_mm: diameter of the finished rod d, mm.
        ground_mm: diameter of the ground steel d', mm.
    Returns: µm a side; negative when the steel is larger than the finished rod.
    Raises:
        Refusal: a diameter not greater than 0.

    >>> chrome_built_um(finished_mm=89.95, ground_mm=89.45)   # 0.25 mm a side
    250.0
    """
    require_positive(finished_mm=finished_mm, ground_mm=ground_mm)
    return (finished_mm - ground_mm) / 2 * UM_PER_MM


def chrome_polished_um(*, chrome_um: float, depth_mm: float) -> float:
    """The chrome left when a mark is polished out, µm.

    t' = t − depth

    Args:
        chrome_um: least chrome as found t, µm.
        depth_mm: depth of the mark, mm.
    Returns: µm; negative when the mark goes through the chrome.
    Raises:
        Refusal: a negative value.
    Source: clean-up

    >>> chrome_polished_um(chrome_um=30, depth_mm=0.01)
    20.0
    """
    require_not_negative(chrome_um=chrome_um, depth_mm=depth_mm)
    return chrome_um - depth_mm * UM_PER_MM
