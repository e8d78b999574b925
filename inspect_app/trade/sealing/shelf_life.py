"""How long a seal may lie on the shelf, from the cure date on its bag; knows no clock and no file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from inspect_app.trade.measuring.refusal import Refusal

_MONTHS_A_QUARTER = 3
_FIRST_YEAR_OF_THE_LAST_CENTURY = 70


@dataclass(frozen=True, slots=True)
class ShelfGroup:
    """A material's group of ISO 2230: years it may lie, and years more once somebody has inspected it."""

    material: str
    group: str
    years: int
    extension_years: int
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class ShelfLife:
    """How a stored seal stands: in date, inspect, past, no date or no limit; `sentence` is to be shown."""

    verdict: str
    until: date | None
    sentence: str

    @property
    def usable(self) -> bool:
        """Whether it may be fitted without anybody asking."""
        return self.verdict in ("in date", "no limit")


def cure_quarter(text: str) -> date:
    """The first day of the quarter a cure date names.

    Args:
        text: quarter and year as on the bag: ``3/94``, ``3Q1994``, ``3Q94``.
    Raises:
        Refusal: when it is not a quarter and a year.
    Source: iso-2230

    >>> cure_quarter("3/94")   # ISO 2230: July to September 1994
    datetime.date(1994, 7, 1)
    """
    found = re.fullmatch(r"\s*([1-4])\s*[Qq/]\s*(\d{4}|\d{2})\s*", text)
    if not found:
        raise Refusal(f"{text!r} is no cure date; write the quarter and the year, such as 3/24 or 3Q2024.")
    quarter, year = int(found[1]), int(found[2])
    if year < 100:
        year += 1900 if year >= _FIRST_YEAR_OF_THE_LAST_CENTURY else 2000
    return date(year, (quarter - 1) * _MONTHS_A_QUARTER + 1, 1)


def shelf_life(
    *,
    materials: Sequence[str],
    cured: str | None,
    on: date,
    inspected: bool,
    groups: Sequence[ShelfGroup],
) -> ShelfLife:
    """Whether a stored seal may still be fitted; of several materials the shortest life counts.

    The years run from the first day of the quarter of the cure date, which is the safe side.

    Args:
        materials: codes of all materials in it; those that are no rubber do not age on the shelf.
        cured: cure date as on the bag; None where there is none.
        on: the day it is asked about.
        inspected: whether somebody has inspected it after its first years, which extends them once.
        groups: the materials' groups.
    Raises:
        Refusal: when the cure date is not one, or lies after the day asked about.
    Valid: stored at 15 to 25 °C, dry, dark, away from ozone, not hung up; the maker's word prevails.
    Source: iso-2230

    >>> groups = [ShelfGroup("NBR", "B", 7, 3, "reprint", "iso-2230"),
    ...           ShelfGroup("AU", "A", 5, 2, "reprint", "iso-2230")]
    >>> shelf_life(materials=["NBR"], cured="3/19", on=date(2026, 6, 30), inspected=False, groups=groups).verdict
    'in date'
    >>> shelf_life(materials=["NBR", "AU"], cured="3/19", on=date(2026, 6, 30), inspected=False, groups=groups).verdict
    'inspect'
    """
    rubbers = [group for group in groups if group.material in materials]
    if not rubbers:
        return ShelfLife("no limit", None, "No rubber in it: no shelf life is listed.")
    shortest = min(rubbers, key=lambda group: (group.years, group.extension_years))
    who = f"{shortest.material}, group {shortest.group} of ISO 2230"
    if cured is None:
        return ShelfLife(
            "no date", None, f"{who}: no cure date on the bag. Ask the supplier before fitting it."
        )
    start = cure_quarter(cured)
    if start > on:
        raise Refusal(f"The cure date {cured} lies after {on}; read the bag again.")
    first, last = (_after(start, n) for n in (shortest.years, shortest.years + shortest.extension_years))
    if on < first:
        return ShelfLife("in date", first, f"{who}: {shortest.years} years, until {first}.")
    if on >= last:
        return ShelfLife("past", last, f"{who}: its shelf life ended on {last}. Do not fit it.")
    if inspected:
        says = f"{who}: inspected, extended once by {shortest.extension_years} years, until {last}."
        return ShelfLife("in date", last, says)
    return ShelfLife(
        "inspect", first, f"{who}: {first} is past. Inspect it; that extends it once, until {last}."
    )


def _after(start: date, years: int) -> date:
    return start.replace(year=start.year + years)
