"""The seal list as the clerk gets it: plain lines, data, and a table that a spreadsheet opens right."""

from __future__ import annotations

import csv
import io
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.job.seals.inputs import Closing, CylinderState, Duty, GrooveFound, Known
from inspect_app.job.seals.seal_list import SealList, seal_list
from inspect_app.report.seal_lines import BOM, escaped, head, seal_csv, seal_data, seal_lines, unescaped
from inspect_app.tables.standards.handbook import shipped_handbook


def known(mm: float) -> Known:
    return Known(mm, 0.01, 3)


STATE = CylinderState(
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


@pytest.fixture(scope="module")
def listing() -> SealList:
    return seal_list(STATE, shipped_handbook())


def test_the_lines_say_what_may_be_ordered_and_ask_shared_doubts_once(listing: SealList) -> None:
    said = "\n".join(seal_lines("R-7", listing, "metric"))
    assert said.startswith("R-7: seal list, as it is. 1 of 5 lines may be ordered.")
    assert said.count("Nobody knows how fast the rod runs. To settle it") == 1
    assert "O-ring AS568-343 = 94.62 × 5.33 mm; NBR 90 Shore A; 1 piece: may be ordered." in said
    assert "measured: groove diameter 96.400 mm ± 0.010 mm (3 readings)" in said
    # where each figure is from, and how sure that is
    assert "[as568-dimension-table: read in somebody's reprint, not in the text itself]" in said
    assert "ISO 5597 rod 56 x 71 x 12.5, standard quoted from memory, not yet confirmed (iso-5597)" in said
    assert "closed by KM: Quoted from memory" in said
    assert "May be there, and nobody has said: Buffer seal, gland" in said


def test_what_was_measured_is_shown_in_the_clerks_units(listing: SealList) -> None:
    # 96.40 / 25.4 = 3.7953 in
    assert "groove diameter 3.7953 in" in "\n".join(seal_lines("R-7", listing, "inch"))


METRIC_UNITS = re.compile(r"\d ?(mm|µm|MPa|bar|m/s)\b")


def test_an_inch_reader_is_shown_no_metric_unit(listing: SealList) -> None:
    metric, inch = ("\n".join(seal_lines("R-7", listing, system)) for system in ("metric", "inch"))
    assert METRIC_UNITS.search(metric)
    assert not METRIC_UNITS.search(inch), METRIC_UNITS.search(inch)
    # AS568-343: 3.725 in inside, 0.210 in section; 10 MPa / 6894.757 Pa = 1450 psi; the standard's name stays
    assert "O-ring AS568-343 = 3.725 × 0.210 in" in inch
    assert "1450 psi, the rated pressure." in inch
    assert "ISO 5597 rod 56 x 71 x 12.5" in inch
    table = seal_csv("R-7", listing, system="inch", decimal_comma=False)
    assert not METRIC_UNITS.search(table), METRIC_UNITS.search(table)
    ring = next(
        row for row in csv.DictReader(io.StringIO(table)) if row["position"].startswith("Static ring")
    )
    # 96.40 / 25.4
    assert ring["groove diameter [in]"] == "3.7953"
    # data is for programs: in mm, whoever reads it
    assert "94.62 × 5.33 mm" in json.dumps(seal_data("R-7", listing), ensure_ascii=False)


def test_the_data_is_whole(listing: SealList) -> None:
    data = json.loads(json.dumps(seal_data("R-7", listing)))
    ring = next(x for x in data["lines"] if x["position"] == "gland-static-ring")
    assert ring["orderable"] is True
    assert ring["housing"]["source"] == "gland-table-metric-a"
    assert ring["measured_mm"][0] == {
        "name": "groove diameter", "value": 96.4, "expanded_uncertainty": 0.01, "readings": 3, "words": "",
    }  # fmt: skip
    seal = next(x for x in data["lines"] if x["position"] == "rod-seal")
    assert [(d["rule"], d["closed_by"]) for d in seal["doubts"] if not d["open"]] == [("memory", "KM")]


@pytest.mark.parametrize(("comma", "between", "diameter"), [(True, ";", "96,400"), (False, ",", "96.400")])
def test_a_spreadsheet_opens_it_right_in_both_conventions(
    listing: SealList, comma: bool, between: str, diameter: str
) -> None:
    text = seal_csv("R-7", listing, system="metric", decimal_comma=comma)
    assert text.encode("utf-8").startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(io.StringIO(text.removeprefix(BOM)), delimiter=between))
    assert tuple(rows[0]) == head("metric")
    assert all(
        "[mm]" in name for name in rows[0] if "diameter" in name or "width" in name or "length" in name
    )
    ring = next(row for row in rows if row["position"].startswith("Static ring"))
    assert ring["groove diameter [mm]"] == diameter
    assert ring["size"] == "AS568-343 = 94.62 × 5.33 mm"
    assert ring["may be ordered"] == "yes"
    assert len(rows) == len(listing.lines)


@pytest.mark.parametrize(
    "text",
    [
        "-325", "1-1/2", "=1+1", "+49", "@home", "3/24", "2.62", "2,62", "\tx", "\rx", "'x", "12",
        # what LibreOffice 7.4 made numbers, dates, times or a yes of, opening such a table in German and in English
        "1E5", "TRUE", "wahr", "100 %", "€ 5", "12:30", "5 PM", "12:30 am", "12 MAR 26", "3. Mai", "27-Nov", "Okt 5",
        "Dec. 2026", "Mar 3 2026",
    ],
)  # fmt: skip
def test_what_a_spreadsheet_would_turn_is_escaped(text: str) -> None:
    assert escaped(text) == "'" + text
    assert unescaped(escaped(text)) == text


@pytest.mark.parametrize(
    "text",
    [
        "AS568-325 = 37.47 × 5.33 mm",
        "ISO 5597 rod 50 x 60 x 6.3",
        "",
        "NBR 90 Shore A",
        "4711 boom, left",
        "Ø 56 × 71",
    ],
)
def test_other_texts_stay_as_they_are(text: str) -> None:
    assert escaped(text) == text


@given(st.text(max_size=20))
def test_the_reader_undoes_the_escape(text: str) -> None:
    assert unescaped(escaped(text)) == text


def test_a_job_s_name_cannot_run_as_a_formula(listing: SealList) -> None:
    rows = list(
        csv.reader(
            io.StringIO(
                seal_csv('=HYPERLINK("x")', listing, system="metric", decimal_comma=False).removeprefix(BOM)
            )
        )
    )
    assert rows[1][0] == '\'=HYPERLINK("x")'
