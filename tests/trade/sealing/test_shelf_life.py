"""Shelf life by the groups of ISO 2230 as suppliers print them, and what a cure date on a bag means."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.seal_choice import load_shelf_groups
from inspect_app.tables.standards.seal_materials import load_seal_materials
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.shelf_life import cure_quarter, shelf_life

READER = Reader(Path(__file__).parents[3] / "checklists")
GROUPS = load_shelf_groups(READER, load_seal_materials(READER))


@pytest.mark.parametrize(
    ("text", "day"),
    [  # ISO 2230:2002, 5.3: 3/94 is July to September 1994
        ("3/94", date(1994, 7, 1)), ("3Q94", date(1994, 7, 1)), ("1q2025", date(2025, 1, 1)),
        (" 4 / 05 ", date(2005, 10, 1)), ("2/69", date(2069, 4, 1)), ("2/70", date(1970, 4, 1)),
    ],
)  # fmt: skip
def test_a_cure_date_is_a_quarter_and_a_year(text: str, day: date) -> None:
    assert cure_quarter(text) == day


@pytest.mark.parametrize("text", ["", "5/94", "0/94", "94", "July 1994", "3/994", "3-94"])
def test_what_is_no_cure_date_is_refused(text: str) -> None:
    with pytest.raises(Refusal, match="cure date"):
        cure_quarter(text)


@pytest.mark.parametrize(
    ("material", "first", "extended"),
    [("AU", 5, 2), ("EU", 5, 2), ("NBR", 7, 3), ("HNBR", 7, 3), ("EPDM", 10, 5), ("FKM", 10, 5)],
)
def test_the_groups_are_those_that_suppliers_print(material: str, first: int, extended: int) -> None:
    def after(years: int, *, inspected: bool) -> tuple[str, date | None]:
        on = date(2010 + years, 1, 1)
        found = shelf_life(materials=[material], cured="1/10", on=on, inspected=inspected, groups=GROUPS)
        return found.verdict, found.until

    # the years run from the first day of the quarter: ISO 2230 groups, the years added by hand
    once, at_most = date(2010 + first, 1, 1), date(2010 + first + extended, 1, 1)
    assert after(first - 1, inspected=False) == ("in date", once)
    assert after(first, inspected=False) == ("inspect", once)
    assert after(first, inspected=True) == ("in date", at_most)
    assert after(first + extended, inspected=True) == ("past", at_most)


def test_of_two_materials_the_shorter_life_counts() -> None:
    both = {"cured": "1/20", "on": date(2026, 1, 1), "inspected": False, "groups": GROUPS}
    assert shelf_life(materials=["NBR"], **both).usable
    assert not shelf_life(materials=["AU", "NBR"], **both).usable
    assert shelf_life(materials=["PTFE", "NBR"], **both).until == date(2027, 1, 1)


def test_no_date_is_no_pass_and_no_rubber_has_no_limit() -> None:
    on = date(2026, 1, 1)
    assert not shelf_life(materials=["NBR"], cured=None, on=on, inspected=True, groups=GROUPS).usable
    assert shelf_life(materials=["PTFE", "POM"], cured=None, on=on, inspected=False, groups=GROUPS).usable
    with pytest.raises(Refusal, match="lies after"):
        shelf_life(materials=["NBR"], cured="2/26", on=on, inspected=False, groups=GROUPS)
