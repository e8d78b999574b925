"""The report on a page as narrow as a phone: one column, nothing too small, nothing beside the page, nothing lost.

Read back with PyMuPDF, which shares no code with what writes it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pymupdf
import pytest

from inspect_app.bench.issuing import report_pdf
from inspect_app.bench.readings_file import bench_for, record_file

DEMO = Path(__file__).parents[2] / "demo_data"
PHONE = 390
"""The width of a phone's screen in its own pixels, the page filling it from side to side."""


@cache
def made(what: str, page: str) -> bytes:
    """The report of a demo cylinder, in its own units."""
    with TemporaryDirectory() as place:
        bench = bench_for(DEMO / f"{what}.toml", Path(place))
        job, _ = record_file(DEMO / f"{what}.toml", bench)
        pdf = report_pdf(bench, job, job.units, page)
        bench.close()
    return pdf


REPORTS = ("shear_replace", "tie_rod")
each = pytest.mark.parametrize("what", REPORTS)


def spans(document: pymupdf.Document) -> Iterator[tuple[pymupdf.Page, dict[str, object]]]:
    for page in document:
        for block in page.get_text("dict")["blocks"]:
            for line in block.get("lines", ()):
                yield from ((page, span) for span in line["spans"] if span["text"].strip())


@each
def test_on_a_phone_letters_are_large_enough_without_zoom(what: str) -> None:
    sizes = Counter[float]()
    for page, span in spans(pymupdf.open(stream=made(what, "narrow"))):
        sizes[round(span["size"] * PHONE / page.rect.width, 1)] += len(span["text"])
    assert min(sizes) >= 14  # what a figure or a note says in the smallest letters
    assert sum(n for size, n in sizes.items() if size >= 16) > 0.8 * sum(sizes.values())


@each
def test_nothing_reaches_over_the_narrow_page(what: str) -> None:
    for page, span in spans(pymupdf.open(stream=made(what, "narrow"))):
        assert span["bbox"][0] >= 2, span["text"]
        assert span["bbox"][2] <= page.rect.width - 2, span["text"]


def words_of(file: bytes) -> list[str]:
    """All words in their order, but those of the pages' heads and feet."""
    found = []
    for page in pymupdf.open(stream=file):
        edge = 36 if page.rect.width > 300 else 20
        frame = pymupdf.Rect(0, edge, page.rect.width, page.rect.height - edge)
        found += [word[4] for word in page.get_text("words", clip=frame)]
    return found


HEADS = {"Step", "Worked", "Trial", "Joint", "Part", "No."}
"""The head of a first column, whose cells are the titles of a list on the narrow page; and one without any cell."""

OFF = "+-"
"""What a number in a figure begins with that says how far a reading is off: the reading itself stands in its table,
and a figure keeps as many of them as it has room for."""


@each
def test_the_narrow_page_says_all_that_the_others_say(what: str) -> None:
    narrow = words_of(made(what, "narrow"))
    whole = "".join(narrow)  # a long word, as a fingerprint, is broken at the page's edge
    lost = {word for word in words_of(made(what, "A4")) if word not in set(narrow) and word not in whole}
    assert {word for word in lost if word[0] not in OFF and "…" not in word} <= HEADS


@each
def test_the_narrow_page_has_the_tags_links_and_files_of_the_others(what: str) -> None:
    wide, narrow = (pymupdf.open(stream=made(what, page)) for page in ("A4", "narrow"))
    assert [(level, title) for level, title, _ in narrow.get_toc()] == [
        (level, title) for level, title, _ in wide.get_toc()
    ]
    assert narrow.embfile_names() == wide.embfile_names()
    assert [narrow.embfile_get(n) for n in narrow.embfile_names()] == [
        wide.embfile_get(n) for n in wide.embfile_names()
    ]
    catalog = narrow.pdf_catalog()
    assert narrow.xref_get_key(catalog, "MarkInfo/Marked")[1] == "true"
    links = [link["kind"] for page in narrow for link in page.get_links()]
    assert links == [link["kind"] for page in wide for link in page.get_links()]
    first = narrow[0].get_text()
    assert re.search(r"Replace the cylinder|Not decided|Repair", first)


def test_a_report_is_no_longer_than_it_must_be() -> None:
    assert len(pymupdf.open(stream=made("shear_replace", "A4"))) <= 11


def test_the_first_page_carries_the_decision_and_the_box_to_sign_where_a_cylinder_has_many_parts() -> None:
    assert "Your decision" in pymupdf.open(stream=made("telescopic", "letter"))[0].get_text()
