"""The seal list on paper: what can be ordered first, each doubt with its way out, read back from the PDF."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest
from jobs_for_reports import worn_cylinder

from inspect_app.bench.sealing import seals_of, seals_pdf
from inspect_app.entries.job import AS_FOUND, Job
from inspect_app.job.seals.inputs import Closing, CylinderState, Duty, GrooveFound, Known
from inspect_app.job.seals.seal_list import SealList, seal_list
from inspect_app.paper.blocks import Bullets, Outcome, Report, Section, Table
from inspect_app.report import seal_words
from inspect_app.report.seal_sheet import seal_sheet
from inspect_app.tables import Tables, load
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.refusal import in_words


def known(mm: float) -> Known:
    return Known(mm, 0.01, 3)


RAM = CylinderState(
    "ram",
    sizes="metric",
    rod_mm=56,
    duty=Duty("HM", 10.0, False, -10.0, 70.0, None, 0.02),
    grooves=(
        GrooveFound(
            "gland-static-ring", "gland", known(96.40), known(7.20), known(105.00), None, known(104.94)
        ),
        GrooveFound("rod-seal", "gland", known(71.05), known(12.60), known(55.96), 56),
    ),
    closed={("rod-seal", "gland", "memory"): Closing("KM", "row read in the standard")},
)
"""One ring that can be ordered, one seal held back, and grooves that nobody measured."""


@pytest.fixture(scope="module")
def tables() -> Tables:
    return load()


@pytest.fixture(scope="module")
def listing() -> SealList:
    return seal_list(RAM, shipped_handbook())


@pytest.fixture(scope="module")
def job(tables: Tables) -> Job:
    return worn_cylinder(tables)


@pytest.fixture(scope="module")
def sheet(job: Job, listing: SealList, tables: Tables) -> Report:
    return seal_sheet(job, listing, tables, "metric")


def titled(sheet: Report, title: str) -> Section:
    return next(s for s in sheet.sections if s.title == title)


def test_what_stands_is_said_before_any_line(sheet: Report) -> None:
    outcome, _, table = sheet.sections[0].blocks
    assert outcome == Outcome("5 lines, 1 can be ordered, 4 have an open doubt.")
    assert isinstance(table, Table)
    states = [row[4].text for row in table.rows]
    assert states == ["not yet"] * 4 + ["can be ordered"]
    # AS568-343 is 3.725 in inside and 0.210 in thick: 94.615 mm and 5.334 mm
    ring = table.rows[-1]
    assert ring[2].text == "O-ring AS568-343 = 94.62 × 5.33 mm"
    assert ring[2].under.splitlines()[0] == "NBR 90 Shore A"
    assert ring[3].text == "1 piece"


def test_a_line_keeps_its_number_wherever_it_stands(sheet: Report, listing: SealList) -> None:
    table = sheet.sections[0].blocks[2]
    assert isinstance(table, Table)
    for row in table.rows:
        line = listing.lines[int(row[0].text) - 1]
        assert (row[1].text, row[1].under) == (line.title, line.place)
        if seal_words.own_doubts(line):
            assert titled(sheet, f"{row[0].text}. {line.title}, {line.place}")


def test_a_doubt_about_the_cylinder_stands_once_with_its_way_out(sheet: Report) -> None:
    (asked,) = titled(sheet, "Asked once, for the whole cylinder").blocks
    assert isinstance(asked, Bullets)
    speed = "Nobody knows how fast the rod runs. To settle it: ask how fast the rod runs."
    assert asked.items.count(speed) == 1
    others = [b for s in sheet.sections for b in s.blocks if isinstance(b, Bullets) and b is not asked]
    assert not any(speed in b.items for b in others)


def test_who_closed_a_doubt_stands_with_the_reason(sheet: Report, listing: SealList) -> None:
    number = 1 + [line.position for line in listing.lines].index("rod-seal")
    (closed,) = titled(sheet, f"{number}. Rod seal, gland: closed").blocks
    assert isinstance(closed, Bullets)
    assert closed.items[0].startswith("Closed by KM: Quoted from memory")
    assert closed.items[0].endswith("row read in the standard")


def test_what_was_quoted_from_memory_says_so_until_somebody_closes_it(tables: Tables, job: Job) -> None:
    def seal(state: CylinderState) -> str:
        table = seal_sheet(job, seal_list(state, shipped_handbook()), tables, "metric").sections[0].blocks[2]
        assert isinstance(table, Table)
        return next(row[2].under for row in table.rows if row[1].text == "Rod seal")

    assert seal_words.CONFIRM not in seal(RAM)
    assert seal_words.CONFIRM in seal(replace(RAM, closed={}))


def test_a_groove_nobody_measured_is_not_said_to_be_measured(tables: Tables, job: Job) -> None:
    state = replace(RAM, grooves=(GrooveFound("rod-seal", "gland", None, None, known(55.96), 56),))
    line = next(x for x in seal_list(state, shipped_handbook()).lines if x.position == "rod-seal")
    assert seal_words.size_words(line, "metric") == "Not known yet"
    assert seal_words.basis_words(line, "metric") == "Not measured far enough to know its size."


def test_sizes_are_in_the_reader_s_units(job: Job, listing: SealList, tables: Tables) -> None:
    sizes = titled(seal_sheet(job, listing, tables, "inch"), "As measured").blocks[0]
    assert isinstance(sizes, Table)
    # 96.40 / 25.4 = 3.7953 in
    assert any("Groove diameter 3.7953 in" in row[2].text for row in sizes.rows)


@pytest.mark.parametrize("page_size", ["A4", "letter"])
def test_the_pdf_reads_back_and_comes_out_the_same_again(job: Job, tables: Tables, page_size: str) -> None:
    listing = seals_of(job, tables)
    made = seals_pdf(job, listing, tables, "metric", page_size)
    assert made == seals_pdf(job, seals_of(job, tables), tables, "metric", page_size)
    with pymupdf.open(stream=made, filetype="pdf") as document:
        text = " ".join(" ".join(page.get_text() for page in document).split())
    assert listing.lines
    assert job.name in text
    assert seal_words.standing_words(listing) in text
    for line in listing.lines:
        assert line.title in text
        for doubt in line.open_doubts:
            assert in_words(doubt.objection.settles, "metric") in text


def test_a_cylinder_nobody_described_still_has_a_sheet(tables: Tables, job: Job) -> None:
    bare = replace(job, surveys={AS_FOUND: replace(job.as_found, answers={}, readings={}, nominals={})})
    assert seals_pdf(bare, seals_of(bare, tables), tables, "metric").startswith(b"%PDF-")
