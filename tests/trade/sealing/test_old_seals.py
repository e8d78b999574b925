"""Old seals point to causes and fit where a measurement agrees; sheets are held against what is there. By hand."""

from __future__ import annotations

import pytest

from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.sealing.old_seals import (
    OldSealState,
    compression_set_percent,
    growth_percent,
    hardness_change,
    pointer,
)
from inspect_app.trade.sealing.sheet_figures import FIGURES, against_sheet

WORN = OldSealState("worn", "worn on one side", "x", "a bent rod", "the runout", ("bent", "thinned"))
BENT = Sentence("Runout 0.6 mm is outside its limit.")


def test_a_look_points_and_only_a_measurement_makes_it_fit() -> None:
    points = pointer(state=WORN, evidence={"oval": Sentence("The bore is oval.")})
    assert not points.fits
    assert str(points.sentence) == "Worn on one side: points to a bent rod. To confirm: the runout."
    fits = pointer(state=WORN, evidence={"bent": BENT})
    assert fits.fits
    assert str(fits.sentence) == "Worn on one side: fits a bent rod. Runout 0.6 mm is outside its limit."


def test_as_new_points_to_nothing_whatever_was_measured() -> None:
    new = pointer(state=OldSealState("as-new", "as new", "x"), evidence={"bent": BENT})
    assert (new.fits, str(new.sentence)) == (False, "As new: points to nothing.")


@pytest.mark.parametrize(
    ("old", "change"), [(76, "harder"), (75, ""), (65, ""), (64, "softer"), (70, "")]
)  # new 70 ± 5
def test_a_hardness_within_the_tolerance_of_new_says_nothing(old: float, change: str) -> None:
    assert hardness_change(old_shore_a=old, new_shore_a=70, within_shore_a=5) == change


def test_growth_and_set_by_hand() -> None:
    # (5.60 − 5.33) / 5.33 = 5.07 %; a ring worn to 5.00 is −6.19 %
    assert growth_percent(old_section_mm=5.60, new_section_mm=5.33) == pytest.approx(5.066, abs=0.001)
    assert growth_percent(old_section_mm=5.00, new_section_mm=5.33) == pytest.approx(-6.191, abs=0.001)
    # a groove 4.30 deep squeezes 5.33 by 1.03; come out at 4.80 it kept 0.53 of it, 51 %
    kept = compression_set_percent(old_section_mm=4.80, new_section_mm=5.33, depth_mm=4.30)
    assert kept == pytest.approx(100 * 0.53 / 1.03)
    assert compression_set_percent(old_section_mm=4.30, new_section_mm=5.33, depth_mm=4.30) == pytest.approx(
        100
    )


def test_what_is_no_size_or_squeezes_nothing_is_refused() -> None:
    with pytest.raises(Refusal, match="nothing is squeezed"):
        compression_set_percent(old_section_mm=5, new_section_mm=5.33, depth_mm=5.33)
    with pytest.raises(Refusal, match="greater than 0"):
        growth_percent(old_section_mm=0, new_section_mm=5.33)
    with pytest.raises(Refusal, match="Shore A"):
        hardness_change(old_shore_a=101, new_shore_a=70, within_shore_a=5)


@pytest.mark.parametrize(
    ("figure", "value", "ours", "beyond", "says"),
    [
        ("greatest pressure", 40.0, 43.6, True, "greatest pressure 400 bar; the pressure at this seal is 436 bar."),
        ("greatest pressure", 43.6, 43.6, False, "is 436 bar."),
        ("greatest speed", 30_000.0, 42_000.0, True, "greatest speed 0.5 m/s; the rod's speed is 0.7 m/s."),
        ("hottest", 100.0, 110.0, True, "hottest 100 °C; the hottest oil is 110 °C."),
        ("coldest", -30.0, -40.0, True, "coldest -30 °C; the coldest start is -40 °C."),
        ("coldest", -30.0, -20.0, False, "the coldest start is -20 °C."),
        ("coldest", -30.0, None, False, "the coldest start is not known."),
    ],
)  # fmt: skip
def test_both_numbers_are_said_and_nothing_is_ever_called_good(
    figure: str, value: float, ours: float | None, beyond: bool, says: str
) -> None:
    held = against_sheet(figure=figure, value=value, sheet="S-4", ours=ours)
    assert str(held.sentence).startswith("Sheet S-4: ")
    assert str(held.sentence).endswith(says)
    assert (held.objection is not None) == beyond
    if held.objection:
        assert not held.objection.stop
        assert held.objection.rule == f"sheet-{figure.replace(' ', '-')}"


def test_a_figure_without_a_sheet_or_a_name_is_refused() -> None:
    with pytest.raises(Refusal, match="which sheet"):
        against_sheet(figure="hottest", value=1, sheet=" ", ours=None)
    with pytest.raises(Refusal, match=next(iter(FIGURES))):
        against_sheet(figure="squeeze", value=1, sheet="S", ours=None)
