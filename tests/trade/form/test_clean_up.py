"""What is left after a mark is taken out: sums done by hand."""

from __future__ import annotations

import pytest

from inspect_app.trade.form.clean_up import (
    chrome_built_um,
    chrome_polished_um,
    clean_up_bore_mm,
    ground_rod_mm,
)
from inspect_app.trade.measuring.refusal import Refusal


def test_the_armys_loader_bore_is_lost_at_a_hundredth_of_an_inch() -> None:
    # US Army TM 5-3805-257-14P: 0.010 in over at most. 4 in bore worn 0.002 in, score 0.003 in deep:
    # 101.6 + 0.0508 + 2 x 0.0762 + 0.05 = 101.8532, 0.2532 over: just inside 0.254
    bore_mm = clean_up_bore_mm(greatest_mm=101.6508, deepest_mm=0.0762, stock_mm=0.05)
    assert bore_mm - 101.6 == pytest.approx(0.2532, abs=1e-9)
    assert bore_mm - 101.6 < 0.010 * 25.4


def test_a_score_of_three_tenths_in_an_eight_inch_bore_is_honed_out_within_seven_tenths() -> None:
    # 203.2 + 2 x 0.3 + 0.05 = 203.85, 0.65 over
    assert clean_up_bore_mm(greatest_mm=203.2, deepest_mm=0.3, stock_mm=0.05) == pytest.approx(203.85)


@pytest.mark.parametrize(
    ("deepest", "chrome", "ground"),
    [
        (0.06, 12.0, 89.774),  # the mark is deeper: 89.944 - 0.12 - 0.05
        (0.005, 30.0, 89.834),  # the chrome is thicker: 89.944 - 0.06 - 0.05
    ],
)
def test_a_rod_is_ground_to_below_chrome_and_mark(deepest: float, chrome: float, ground: float) -> None:
    left = ground_rod_mm(least_mm=89.944, deepest_mm=deepest, chrome_um=chrome, stock_mm=0.05)
    assert left == pytest.approx(ground)


def test_a_quarter_of_a_millimetre_a_side_is_half_on_diameter() -> None:
    assert chrome_built_um(finished_mm=90.0, ground_mm=89.5) == pytest.approx(250)


def test_a_mark_through_the_chrome_leaves_less_than_none() -> None:
    assert chrome_polished_um(chrome_um=22, depth_mm=0.06) == pytest.approx(-38)


def test_a_rod_ground_away_is_refused() -> None:
    with pytest.raises(Refusal, match=r"ground is -0\.05 mm"):
        ground_rod_mm(least_mm=1, deepest_mm=0.5, chrome_um=0, stock_mm=0.05)
