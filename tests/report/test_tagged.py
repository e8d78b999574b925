"""The PDF for whoever does not see it: tags, their order, what figures show, places to go to, what it says of itself.

Read back with PyMuPDF, which shares no code with what writes it. That it is tagged is tested; that it conforms to a
standard is not claimed, as no full validator is at hand.
"""

from __future__ import annotations

import io
import re
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree

import pymupdf
import pytest
from jobs_for_reports import HEAD, worn_cylinder
from PIL import Image

from inspect_app.bench.issuing import report_pdf
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.job.assess import assess
from inspect_app.paper.pdf import pdf
from inspect_app.report.content import content
from inspect_app.tables import load

DEMO = Path(__file__).parents[2] / "demo_data"


@cache
def made(what: str) -> bytes:
    """A report: of the worn cylinder of the examples, or of the demo's inch cylinder."""
    if what == "worn":
        tables = load()
        job = worn_cylinder(tables)
        said = content(
            job, assess(job.as_found, tables), tables, tables.cylinders[job.cylinder], "metric", head=HEAD
        )
        file = io.BytesIO()
        Image.new("RGB", (64, 48), (120, 110, 100)).save(file, "JPEG")
        return pdf(said, lambda sha256: file.getvalue())
    with TemporaryDirectory() as place:
        bench = bench_for(DEMO / f"{what}.toml", Path(place))
        job, _ = record_file(DEMO / f"{what}.toml", bench)
        file_of = report_pdf(bench, job, job.units, "letter")
        bench.close()
    return file_of


REPORTS = ("worn", "shear_replace")
each = pytest.mark.parametrize("what", REPORTS)


class Tags:
    """The structure of a PDF: each element's kind, its kids and what of the pages it holds."""

    def __init__(self, file: bytes) -> None:
        self.document = pymupdf.open(stream=file)
        catalog = self.document.pdf_catalog()
        root = self.number(self.document.xref_get_key(catalog, "StructTreeRoot")[1])
        self.top = self.number(self.document.xref_get_key(root, "K")[1])
        self.root = root

    @staticmethod
    def number(reference: str) -> int:
        return int(reference.split()[0])

    def kind(self, xref: int) -> str:
        return self.document.xref_get_key(xref, "S")[1].lstrip("/")

    def kids(self, xref: int) -> list[int]:
        inside = re.sub(r"<<.*?>>", "", self.document.xref_get_key(xref, "K")[1])
        return [int(n) for n in re.findall(r"(\d+) 0 R", inside)]

    def marks(self, xref: int) -> list[tuple[int, int]]:
        """(page, number) of all that is drawn of it."""
        inside = self.document.xref_get_key(xref, "K")[1]
        told = [(int(p), int(n)) for p, n in re.findall(r"/Pg (\d+) 0 R/MCID (\d+)", inside)]
        own = re.sub(r"<<.*?>>|\d+ 0 R", "", inside)
        home = self.document.xref_get_key(xref, "Pg")
        return told + [(self.number(home[1]), int(n)) for n in re.findall(r"\d+", own)]

    def walk(self, xref: int | None = None) -> list[int]:
        """Every element, in the order in which they are read."""
        at = self.top if xref is None else xref
        return [at, *(n for kid in self.kids(at) for n in self.walk(kid))]


@cache
def tags(what: str) -> Tags:
    return Tags(made(what))


def operators(page: pymupdf.Page) -> list[str]:
    return page.read_contents().decode("latin-1").split("\n")


# ---- what is drawn


@each
def test_everything_drawn_is_part_of_something_or_is_said_to_be_for_the_eye_alone(what: str) -> None:
    for page in tags(what).document:
        inside, numbers = "", []
        for line in operators(page):
            if found := re.search(r"/(\w+) (?:<</MCID (\d+)>> BDC|BMC)$", line):
                assert not inside, line
                inside = found[1]
                numbers += [int(found[2])] if found[2] else []
            elif line.strip() == "EMC":
                assert inside
                inside = ""
            elif re.search(r"(Tj|Do|\bS|\bf|\bB\*)$", line.strip()):
                assert inside, line
        assert not inside
        assert numbers == sorted(set(numbers)) or len(numbers) == len(set(numbers))


@each
def test_for_the_eye_alone_are_only_the_head_and_the_foot_of_pages_and_heads_that_come_again(
    what: str,
) -> None:
    known = tags(what)
    read = {mark for xref in known.walk() for mark in known.marks(xref)}
    heads = {known.kind(x) for x in known.walk()}
    assert {"H1", "H2", "H3", "P", "Table", "TR", "TH", "TD", "Figure", "Span", "Link"} <= heads
    for page in known.document:
        numbers = {(page.xref, int(n)) for line in operators(page) for n in re.findall(r"/MCID (\d+)", line)}
        assert numbers <= read
    assert len(read) == sum(len(known.marks(xref)) for xref in known.walk())  # each read once


@each
def test_tables_have_as_many_cells_in_each_row(what: str) -> None:
    known, seen = tags(what), 0
    for table in (x for x in known.walk() if known.kind(x) == "Table"):
        rows = [kid for kid in known.kids(table) if known.kind(kid) == "TR"]
        assert {known.kind(kid) for kid in known.kids(table)} <= {"TR", "Caption"}
        counts = {len(known.kids(row)) for row in rows}
        assert len(counts) == 1, counts
        for cell in (c for row in rows for c in known.kids(row)):
            assert known.kind(cell) in ("TH", "TD")
            if known.kind(cell) == "TH":
                assert known.document.xref_get_key(cell, "A/Scope")[1] in ("/Column", "/Row")
        seen += len(rows)
    assert seen > 50


@each
def test_every_figure_and_every_sign_says_what_it_shows(what: str) -> None:
    known = tags(what)
    shown = [x for x in known.walk() if known.kind(x) in ("Figure", "Span")]
    assert len(shown) > 20
    for xref in shown:
        assert known.document.xref_get_key(xref, "Alt")[0] == "string"
        assert known.document.xref_get_key(xref, "Alt")[1].strip()


# ---- the order


@each
def test_headings_leave_no_rank_out_and_are_the_places_to_go_to(what: str) -> None:
    known = tags(what)
    ranks = [int(known.kind(x)[1]) for x in known.walk() if re.fullmatch("H[1-6]", known.kind(x))]
    assert ranks[0] == 1 == ranks.count(1)
    assert all(after <= before + 1 for before, after in pairwise(ranks))
    places = known.document.get_toc()
    assert [level + 1 for level, _, _ in places] == ranks[1:]
    for _, title, page in places:
        assert title.split()[0] in known.document[page - 1].get_text()


@each
def test_what_is_read_stands_in_the_order_of_the_pages(what: str) -> None:
    known = tags(what)
    pages = [p.xref for p in known.document]
    first = [min((pages.index(p) for p, _ in known.marks(x)), default=-1) for x in known.walk()]
    placed = [p for p in first if p >= 0]
    assert placed == sorted(placed)


@each
def test_text_comes_out_in_the_order_in_which_it_is_read(what: str) -> None:
    first = " ".join(tags(what).document[0].get_text().split())
    order = [
        "Inspection report",
        "Inspected by",
        "How far this can be relied on",
        "Your decision",
        "Fingerprint",
    ]
    found = [first.index(words) for words in order]
    assert found == sorted(found)
    everything = " ".join(" ".join(page.get_text().split()) for page in tags(what).document)
    titles = [" ".join(title.split()) for level, title, _ in tags(what).document.get_toc() if level == 1]
    at = 0
    for title in titles:
        at = everything.index(title, at) + 1


def test_a_row_of_readings_comes_out_as_a_row() -> None:
    everything = " ".join(" ".join(page.get_text().split()) for page in tags("worn").document)
    assert re.search(
        r"25 mm 313 mm 600 mm 888 mm 1175 mm 12 o'clock 100.031 100.044 100.052 100.043 100.030 1:30 100.034",
        everything,
    )


# ---- what it says of itself


@each
def test_a_report_says_what_it_is(what: str) -> None:
    document = tags(what).document
    catalog = document.pdf_catalog()
    assert made(what)[:8] == b"%PDF-1.7"
    said = {"Lang": "en", "MarkInfo/Marked": "true", "ViewerPreferences/DisplayDocTitle": "true"}
    assert {key: document.xref_get_key(catalog, key)[1] for key in said} == said
    packet = ElementTree.fromstring(document.get_xml_metadata())
    title = packet.find(".//{http://purl.org/dc/elements/1.1/}title//{*}li")
    assert title is not None
    assert title.text == document.metadata["title"]
    assert title.text.startswith("Inspection report: ")
    assert not re.search(rb"pdfuaid|pdfaid", made(what))  # said only by what a full validator has passed


@each
def test_all_letters_are_inside_the_file(what: str) -> None:
    fonts = {font[0] for page in tags(what).document for font in page.get_fonts(full=True)}
    assert fonts
    for xref in fonts:
        name, ending, _, content = tags(what).document.extract_font(xref)
        assert ending == "ttf", name
        assert len(content) > 1000


@each
def test_a_finding_on_the_first_page_leads_to_its_part(what: str) -> None:
    document = tags(what).document
    links = [link for link in document[0].get_links() if link["kind"] == pymupdf.LINK_GOTO]
    assert links
    for link in links:
        target = document[link["page"]]
        below = target.get_text("words", clip=pymupdf.Rect(0, link["to"].y - 2, 600, link["to"].y + 30))
        assert any(word[4].endswith(":") for word in below)  # "Rod: rework"


@each
def test_the_inside_files_are_named_as_what_the_report_is_made_of(what: str) -> None:
    if what == "worn":
        return  # drawn without a logbook
    document = tags(what).document
    assert sorted(document.embfile_names()) == ["entries.jsonl", "readings.toml", "recompute.py"]
    catalog = document.pdf_catalog()
    files = re.findall(r"(\d+) 0 R", document.xref_get_key(catalog, "AF")[1])
    assert len(files) == 3
    assert {document.xref_get_key(int(f), "AFRelationship")[1] for f in files} == {"/Source"}
