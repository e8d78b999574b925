"""What stands beside a number: the same words as on paper, its size at 20 °C where that differs, and why it is open."""

from __future__ import annotations

import pytest
from log import SHIPPED, Log

from inspect_app.entries.job import Place
from inspect_app.screens.mechanic.standing import Stand, stand_of, word_of_check, word_of_place
from inspect_app.trade.measuring.decision import Verdict


def stand(log: Log, check_id: str, place: Place, system: str) -> Stand:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    survey = log.survey()
    return stand_of(survey.readings[check_id][place], check, survey, log.tables, system)


@pytest.mark.parametrize(
    ("part", "gauge", "system", "said"),
    [
        # a handbook's example: 80.012 read at 35 °C with a steel micrometer at 22 °C is 80.00004 at 20 °C;
        # 80.012 / 25.4 = 3.15008 and 80.000 / 25.4 = 3.14961
        ("35", "22", "metric", "80.000 mm at 20 °C (read 80.012)"),
        ("35", "22", "inch", "3.1496 in at 20 °C (read 3.1501)"),
        # 1 °C on both: 80.012 * 11.5e-6 * (1 - 1) = 0: nothing was corrected that anybody could read
        ("21", "21", "metric", "80.012 mm"),
    ],
)
def test_a_size_corrected_to_20_degrees_says_what_was_read(
    part: str, gauge: str, system: str, said: str
) -> None:
    log = Log(SHIPPED, rod="80", part_temperature=part, gauge_temperature=gauge)
    log.read("rod-diameter", "25 12", "80.012", u2="0.010")
    words = stand(log, "rod-diameter", Place("25", "12"), system).words
    assert words.startswith(said)
    assert ("(read" in words) is ("(read" in said)


def test_too_close_to_limit_names_the_uncertainty_and_the_limit_it_spans() -> None:
    # 70 f8 is 70 -0.030 -0.076 (ISO 286-2:2010, table 5), worn down to 69.924
    log = Log(rod="70")
    log.read("rod-diameter", "25 12", "69.926", u2="0.010")
    said = stand(log, "rod-diameter", Place("25", "12"), "metric")
    assert said == Stand(Verdict.UNCLEAR, "69.926 mm ±0.0100 spans the limit 69.924")


def test_a_measured_place_of_a_check_that_only_informs_is_not_called_not_measured() -> None:
    log = Log(bore="100", rod="70", stroke="600")
    log.read_all("barrel-outside-diameter", "120.02")
    log.read_all("piston-new-ring", "2.50")  # its nominal size is asked for and not known yet
    words = [
        {word_of_place(p) for p in log.check(check).places}
        for check in ("barrel-outside-diameter", "piston-new-ring", "rod-hardness")
    ]
    assert words == [
        {(None, "information")},
        {(None, "no limit yet")},
        {(Verdict.NOT_MEASURED, "not measured")},
    ]
    assert word_of_check(log.check("barrel-outside-diameter")) == (None, "information")
