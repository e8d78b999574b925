"""What is asked over the fleet, as a document: its headings, its figures and its bars, out of plain values."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from inspect_app.figures.bars import Piece, bar
from inspect_app.figures.shapes import Drawing, Polygon
from inspect_app.paper.blocks import Cell, Section, Table, Words
from inspect_app.paper.pdf import pages_of
from inspect_app.report.fleet_page import NOTHING, Answers, fleet_page
from inspect_app.tables import Tables, load_shipped

ROWS: dict[str, list[dict[str, Any]]] = {
    "wear": [
        {"check": "bore-diameter", "jobs": 9, "um in 1000 hours": "5.0", "um a month": None},
        {"check": "rod-diameter", "jobs": 2, "um in 1000 hours": "25.4", "um a month": "3.0"},
    ],
    "limits": [
        {"check": "rod-diameter", "characteristic": "size", "owner": "shop", "source": "Our handbook", "judged": 8,
         "outside": 3, "too close": 1},
        {"check": "rod-runout", "characteristic": "tir", "owner": "shipped", "source": "Common practice", "judged": 4,
         "outside": 0, "too close": 1},
    ],
    "defects": [
        {"kind": "pit", "check": "rod-surface", "machine": "baler", "defects": 3, "jobs": 2},
        {"kind": "score-along", "check": "rod-surface", "machine": "baler", "defects": 2, "jobs": 2},
        {"kind": "score-along", "check": "rod-surface", "machine": "", "defects": 2, "jobs": 1},
    ],
    "time": [
        {"step": "clean", "jobs": 4, "half within hours": "1.50", "nine of ten within hours": "6.00"},
        {"step": "of another version", "jobs": 1, "half within hours": "0.50", "nine of ten within hours": "0.50"},
    ],
    "late": [
        {"place": "Rod seal", "ordered": 4, "late": 1, "most days late": 10},
        {"place": "Wiper", "ordered": 3, "late": 1, "most days late": 2},
    ],
}  # fmt: skip
ANSWERS = Answers(ROWS, "Judged are 9 of 10 jobs.", "2026-03-02T08:00:00.000Z")


@pytest.fixture(scope="module")
def tables() -> Tables:
    return load_shipped()


def sections(answers: Answers, tables: Tables, system: str = "metric", most: int = 10) -> list[Section]:
    return list(fleet_page(answers, most, tables, system).sections)


def rows_of(section: Section) -> list[tuple[Cell, ...]]:
    (table,) = [block for block in section.blocks if isinstance(block, Table)]
    return list(table.rows)


def drawn(cell: Cell) -> Drawing:
    assert cell.drawing
    return cell.drawing


def long(drawing: Drawing) -> float:
    """From the left edge of a bar to its right one."""
    xs = [x for shape in drawing.shapes if isinstance(shape, Polygon) for x, _ in shape.points]
    return max(xs) - min(xs)


def test_each_heading_says_what_the_figures_come_to(tables: Tables) -> None:
    # 3 + 2 + 2 = 7 defects, of which 2 + 2 = 4 are scores; 4 + 3 = 7 orders, 1 + 1 = 2 late
    assert [section.title for section in sections(ANSWERS, tables)] == [
        "Rod diameter wears fastest, half of the cylinders less than 25.4 µm in 1000 hours",
        "Most often outside: rod diameter (3 of 8, by the shop limit)",
        "Found most often: score, lengthwise (4 of 7 defects)",
        "Clean takes longest, nine of ten jobs within 6 h",
        "2 of 7 orders late, most often rod seal; 1 more alike",
    ]


def test_what_wears_fastest_stands_first_in_the_readers_units(tables: Tables) -> None:
    wear = rows_of(sections(ANSWERS, tables, "inch")[0])
    # 25.4 µm = 0.001 in = 1 thou
    assert [cell.text for cell in wear[0]] == ["Rod diameter", "2", "1 thou", "", "0.118 thou", ""]
    assert [wear[1][n].text for n in (0, 4)] == ["Bore diameter", "-"]
    assert not drawn(wear[1][5]).shapes
    # 5.0 of 25.4 µm
    assert long(drawn(wear[1][3])) / long(drawn(wear[0][3])) == pytest.approx(5.0 / 25.4)


def test_bars_are_told_apart_without_colour() -> None:
    pieces = [Piece(3), Piece(1, "hatched"), Piece(2, "hollow"), Piece(0)]
    shapes = bar(pieces, 6, 61, "six").shapes
    filled = [s for s in shapes if isinstance(s, Polygon) and s.filled]
    outlines = [s for s in shapes if isinstance(s, Polygon) and not s.filled]
    assert (len(filled), len(outlines)) == (1, 3)
    # 3, 1 and 2 of 6 on 60 points
    widths = [max(x for x, _ in s.points) - min(x for x, _ in s.points) for s in outlines]
    assert widths == pytest.approx([30, 10, 20])
    assert {type(s).__name__ for s in shapes} == {"Polygon", "Line"}
    assert {s.role for s in shapes} == {"ink"}


def test_a_hub_that_is_empty_is_told_in_words(tables: Tables) -> None:
    nothing: dict[str, list[dict[str, Any]]] = {name: [] for name in ROWS}
    page = fleet_page(Answers(nothing, "Judged are 0 of 0 jobs.", ""), 10, tables, "metric")
    assert page.under == ("Judged are 0 of 0 jobs.", "No job was opened yet.")
    empty = page.sections
    said = [(s.title, *(b.text for b in s.blocks if isinstance(b, Words))) for s in empty]
    assert said == list(NOTHING.values())


def test_nothing_outside_and_nothing_late_are_conclusions_too(tables: Tables) -> None:
    calm = {
        **ROWS,
        "limits": [{**ROWS["limits"][1], "too close": close} for close in (0, 1)],
        "late": [{**row, "late": 0} for row in ROWS["late"]],
        "wear": [{**row, "um in 1000 hours": None, "um a month": None} for row in ROWS["wear"]],
    }
    wear, limits, _, _, late = sections(replace(ANSWERS, rows=calm), tables)
    assert wear.title == "What wears: how fast is not known yet"
    assert limits.title == "Nothing is outside its limit, 1 of 8 too close to it"
    assert late.title == "No part was late, of 7 orders"


def test_a_limit_of_several_sources_is_one_row_and_one_that_decides_nothing_none(tables: Tables) -> None:
    rod, runout = ROWS["limits"]
    rows = [rod, {**rod, "source": "Another", "judged": 2}, {**runout, "too close": 0}]
    section = sections(replace(ANSWERS, rows={**ROWS, "limits": rows}), tables)[1]
    # 3 + 3 of 8 + 2, 1 + 1 too close
    assert section.title == "Most often outside: rod diameter (6 of 10, by the shop limit)"
    (row,) = rows_of(section)
    assert [cell.text for cell in row] == ["Rod diameter", "shop limit", "6", "2", "10", ""]
    (note,) = [block.text for block in section.blocks if isinstance(block, Words)]
    assert note.startswith("Of 1 other limit nothing is outside or close.")


def test_rows_beyond_those_asked_for_are_counted(tables: Tables) -> None:
    section = sections(ANSWERS, tables, most=1)[2]
    assert len(rows_of(section)) == 1
    assert section.blocks[-1] == Words("2 more rows not shown.", "fine")


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_ten_rows_of_each_question_take_two_pages_and_no_bar_leaves_the_paper(
    size: str, tables: Tables
) -> None:
    full = {name: [rows[n % len(rows)] for n in range(10)] for name, rows in ROWS.items()}
    pages = pages_of(fleet_page(replace(ANSWERS, rows=full), 10, tables, "metric"), size)
    assert len(pages) == 2
    for page in pages:
        for group in page.groups:
            xs = [group.x + x for item in group.items if isinstance(item, Polygon) for x, _ in item.points]
            assert not xs or max(xs) <= page.width - 41
