"""A new piston's clearance, held against the design sheet's two formulas one by one."""

from __future__ import annotations

import pytest

from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing.extrusion import piston_gap
from inspect_app.trade.sealing.new_piston import groove_depth_after_honing_mm, new_piston_room


def exact(mm: float) -> Size:
    return Size.plus_minus(mm, 0)


@pytest.mark.parametrize(("end", "gap", "metal"), [("least", 0.27, 0.10), ("greatest", 0.40, 0.23)])
def test_at_either_end_one_of_the_two_gaps_is_used_up(end: str, gap: float, metal: float) -> None:
    """bore 100.5, strip 2.5, play 0.1: groove 100.5 - 5 - 0.1 = 95.4; swelling 0.07.

    least clearance 0.30, land 100.20: gap 100.5 - 2.5 - (100.2 + 95.4)/2 + 0.07 = 0.27; metal 2.5 - 2.4 = 0.10
    greatest 0.56, land 99.94: gap 100.5 - 2.5 - (99.94 + 95.4)/2 + 0.07 = 0.40; metal 2.5 - 2.27 = 0.23
    """
    room = new_piston_room(gap_mm=0.40, metal_gap_mm=0.10, ring_play_mm=0.10, swell_mm=0.07)
    clearance = {"least": room.least_mm, "greatest": room.greatest_mm}[end]
    assert clearance == pytest.approx({"least": 0.30, "greatest": 0.56}[end])
    found = piston_gap(
        bore=exact(100.5), land=exact(100.5 - clearance), ring_groove=exact(95.4), ring_thickness=exact(2.5),
        swell_mm=0.07,
    )  # fmt: skip
    assert (found.one_sided_mm, found.metal_gap_mm) == pytest.approx((gap, metal))


def test_no_piston_does_where_the_seal_stands_too_little() -> None:
    # 2 x 0.1 + 0.1 = 0.3 at least, 2 x (0.2 - 0.07) - 0.1 = 0.16 at most
    room = new_piston_room(gap_mm=0.20, metal_gap_mm=0.10, ring_play_mm=0.10, swell_mm=0.07)
    assert room.width_mm == pytest.approx(-0.14)


def test_a_groove_deepens_by_half_of_what_the_bore_grows() -> None:
    # bore 100, groove 84.5: 7.75 deep; honed by 0.5: (100.5 - 84.5)/2 = 8.0
    assert groove_depth_after_honing_mm(depth_mm=7.75, oversize_mm=0.5) == pytest.approx((100.5 - 84.5) / 2)
