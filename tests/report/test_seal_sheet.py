"""The seal list on paper: the cylinder, its lines, what holds which back, on one page; read back from the PDF."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest
from jobs_for_reports import worn_cylinder
from seal_cases import USUAL, WITH_MORE

from inspect_app.bench.sealing import seals_pdf
from inspect_app.entries.job import AS_FOUND, Job
from inspect_app.job.seals.inputs import Closing, CylinderState, Duty, GrooveFound, Known
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import SealList, seal_list
from inspect_app.paper.blocks import Outcome, Report, Table, Words
from inspect_app.paper.pdf import pdf
from inspect_app.report import seal_words
from inspect_app.report.seal_holds import holds, together
from inspect_app.report.seal_sheet import seal_sheet
from inspect_app.tables import Tables, load
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital
from tests.job.seals.test_seal_list import TIE_ROD


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


def tables_of(sheet: Report) -> list[Table]:
    """The lines, and what holds them back."""
    return [b for s in sheet.sections for b in s.blocks if isinstance(b, Table)]


def notes_of(sheet: Report) -> str:
    return "\n".join(b.text for s in sheet.sections for b in s.blocks if isinstance(b, Words))


def test_every_line_stands_under_its_number_with_what_to_order_and_its_state(
    sheet: Report, listing: SealList
) -> None:
    assert sheet.sections[0].blocks[0] == Outcome("5 lines, 1 can be ordered, 4 have an open doubt.")
    lines, _ = tables_of(sheet)
    assert [row[0].text for row in lines.rows] == ["1", "2", "3", "4", "5"]
    assert [row[1].text for row in lines.rows] == [line.title for line in listing.lines]
    # AS568-343 is 3.725 in inside and 0.210 in thick: 94.615 mm and 5.334 mm
    ring = next(row for row in lines.rows if row[1].text.startswith("Static ring"))
    assert ring[2].text == "O-ring AS568-343 = 94.62 × 5.33 mm"
    assert ring[2].under == "Groove 96.4 × 7.2 mm, on 105 mm"
    assert (ring[3].text, ring[4].text, ring[5].text) == ("NBR 90 Shore A", "1 piece", "can be ordered")


def test_each_row_names_the_reasons_that_hold_it_back(sheet: Report, listing: SealList) -> None:
    lines, reasons = tables_of(sheet)
    for row, line in zip(lines.rows, listing.lines, strict=True):
        letters = row[5].text.removeprefix("not yet: ").split(", ") if not line.orderable else []
        settles = {r[2].text.lower() for r in reasons.rows if r[0].text in letters}
        assert settles == {in_words(d.objection.settles, "metric").lower() for d in line.open_doubts}


def test_a_reason_of_several_lines_stands_once_with_their_numbers(sheet: Report, listing: SealList) -> None:
    _, reasons = tables_of(sheet)
    (fast,) = [row for row in reasons.rows if row[1].text == "Nobody knows how fast the rod runs."]
    assert fast[2].text == "Ask how fast the rod runs"
    slow = [
        n
        for n, line in enumerate(listing.lines, 1)
        if "speed" in {d.objection.rule for d in line.open_doubts}
    ]
    assert fast[3].text == ", ".join(map(str, slow))


def test_sentences_that_differ_stand_behind_the_numbers_of_their_lines() -> None:
    said = [(1, "Back-up rings are needed, on one side, and the groove takes none.")]
    said += [(4, "Back-up rings are needed, on each side, and the groove takes none.")]
    assert (
        together(said)
        == "Back-up rings are needed, on (1) one side (4) each side, and the groove takes none."
    )
    assert together([(1, "It is hot."), (2, "Too fast.")]) == "(1) It is hot. (2) Too fast."
    assert together([(1, "The same thing twice here."), (2, "The same thing twice here.")]) == (
        "The same thing twice here."
    )
    assert together([(1, "The very same beginning."), (2, "The very same beginning and more.")]) == (
        "The very same (1) beginning. (2) beginning and more."
    )


def test_a_stop_stands_before_every_doubt(job: Job, tables: Tables) -> None:
    hot = replace(RAM, duty=replace(RAM.duty, hottest_c=400.0))
    _, reasons = tables_of(seal_sheet(job, seal_list(hot, shipped_handbook()), tables, "metric"))
    stops = [row[1].text.startswith("Stop: ") for row in reasons.rows]
    assert stops == sorted(stops, reverse=True)
    assert stops[0]


def test_who_closed_a_doubt_stands_with_the_reason(sheet: Report) -> None:
    assert (
        "Closed on 2 by KM: row read in the standard. Quoted from memory: housing and material."
        in notes_of(sheet)
    )


def test_what_is_quoted_from_memory_says_what_and_of_which_lines_until_somebody_closes_it(
    tables: Tables, job: Job
) -> None:
    def memory(state: CylinderState) -> list[tuple[str, str]]:
        _, reasons = tables_of(seal_sheet(job, seal_list(state, shipped_handbook()), tables, "metric"))
        return [(r[1].text, r[3].text) for r in reasons.rows if r[1].text.startswith("Quoted from memory")]

    assert memory(replace(RAM, closed={})) == [("Quoted from memory: housing and material.", "2")]
    assert memory(RAM) == []


def test_where_it_is_from_stands_by_key_the_weakest_first(sheet: Report) -> None:
    (told,) = [
        n for n in notes_of(sheet).splitlines() if n.startswith("Where it is from: From memory, not yet")
    ]
    memory, standard, read = (told.index(w) for w in ("seal-choice", "iso-5597", "engineers-handbook-seals"))
    assert memory < standard < read


def test_a_groove_nobody_measured_is_not_said_to_be_measured(tables: Tables, job: Job) -> None:
    state = replace(RAM, grooves=(GrooveFound("rod-seal", "gland", None, None, known(55.96), 56),))
    line = next(x for x in seal_list(state, shipped_handbook()).lines if x.position == "rod-seal")
    assert seal_words.size_words(line, "metric") == "Not known yet"
    assert seal_words.basis_words(line, "metric") == "Not measured far enough to know its size."


def test_sizes_are_in_the_reader_s_units(job: Job, listing: SealList, tables: Tables) -> None:
    lines, _ = tables_of(seal_sheet(job, listing, tables, "inch"))
    # 96.40 / 25.4 = 3.7953 in, 7.20 / 25.4 = 0.2835 in
    assert any(row[2].under.startswith("Groove 3.795 × 0.283") for row in lines.rows)


def test_one_made_to_measure_has_every_dimension_its_maker_needs(job: Job, tables: Tables) -> None:
    odd = replace(
        RAM, grooves=(GrooveFound("rod-seal", "gland", known(74.3), known(11.1), known(55.96), 56),)
    )
    lines, _ = tables_of(seal_sheet(job, seal_list(odd, shipped_handbook()), tables, "metric"))
    (seal,) = [row for row in lines.rows if row[1].text == "Rod seal"]
    assert seal[2].under == (
        "Seals on 55.960 ± 0.010 mm, groove diameter 74.300 ± 0.010 mm, groove width 11.100 ± 0.010 mm, "
        "corner radius missing, lead-in missing"
    )


@pytest.mark.parametrize("page_size", ["A4", "letter"])
@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("state", [USUAL, WITH_MORE])
def test_a_usual_cylinder_fits_one_page(
    job: Job, tables: Tables, state: CylinderState, system: str, page_size: str
) -> None:
    listing = seal_list(state, shipped_handbook())
    assert len(listing.lines) in (7, 9)
    sheet = seal_sheet(job, listing, tables, system)
    with pymupdf.open(stream=pdf(sheet, lambda _: b"", page_size=page_size), filetype="pdf") as document:
        assert len(document) == 1
        text = " ".join(document[0].get_text().split())
        for line in listing.lines:
            assert line.title in text


def test_a_tie_rod_cylinder_in_inches_every_line_of_it_in_doubt_fits_one_page(
    job: Job, tables: Tables
) -> None:
    listing = seal_list(TIE_ROD, shipped_handbook())
    assert not any(line.orderable for line in listing.lines)
    made = seals_pdf(job, listing, tables, "inch")
    with pymupdf.open(stream=made, filetype="pdf") as document:
        assert len(document) == 1


@pytest.mark.parametrize("page_size", ["A4", "letter"])
def test_the_pdf_reads_back_and_comes_out_the_same_again(job: Job, tables: Tables, page_size: str) -> None:
    handbook = shipped_handbook()
    listing = seal_list(state_of(job.as_found, tables, handbook), handbook)
    made = seals_pdf(job, listing, tables, "metric", page_size)
    assert made == seals_pdf(job, listing, tables, "metric", page_size)
    with pymupdf.open(stream=made, filetype="pdf") as document:
        text = " ".join(" ".join(page.get_text() for page in document).split())
    assert listing.lines
    assert job.name in text
    assert seal_words.standing_words(listing) in text
    for line in listing.lines:
        assert line.title in text
        for doubt in line.open_doubts:
            assert capital(in_words(doubt.objection.settles, "metric")) in text


def test_a_cylinder_nobody_described_still_has_a_sheet(tables: Tables, job: Job) -> None:
    bare = replace(job, surveys={AS_FOUND: replace(job.as_found, answers={}, readings={}, nominals={})})
    handbook = shipped_handbook()
    listing = seal_list(state_of(bare.as_found, tables, handbook), handbook)
    assert seals_pdf(bare, listing, tables, "metric").startswith(b"%PDF-")


def test_what_is_quoted_from_memory_is_named_the_back_up_rings_too() -> None:
    # of the O-rings with back-up rings nothing but those rings' material is from memory
    (memory,) = [h for h in holds(seal_list(TIE_ROD, shipped_handbook()), "inch") if "memory" in h.says]
    assert memory.says == "Quoted from memory: (2) material. (3, 5) back-up ring."


def test_what_was_typed_without_an_error_is_printed_without_one(job: Job, tables: Tables) -> None:
    lines, _ = tables_of(seal_sheet(job, seal_list(TIE_ROD, shipped_handbook()), tables, "inch"))
    (seal,) = [row for row in lines.rows if row[1].text == "Rod seal"]
    # 0.3 / 25.4 = 0.0118
    assert "corner radius 0.0118 in, lead-in 20°, 4 mm" in seal[2].under
