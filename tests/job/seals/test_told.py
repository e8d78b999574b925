"""What the list itself measures beside an old seal: each piece of evidence on both sides of its limit, by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest
from seal_cases import USUAL, listed

from inspect_app.job.seals.inputs import Duty, Fitted, OldFound, SheetFigure
from inspect_app.trade.sealing.old_seals import OldSealState

ROD_SEAL, STATIC, STRIP = (
    ("rod-seal", "gland"),
    ("gland-static-ring", "gland"),
    ("piston-wear-ring", "piston"),
)


def beside(
    where: tuple[str, str], evidence: str, *, old: Mapping[str, float] | None = None, **changes: object
) -> tuple[bool, str]:
    """Whether something measured agrees with a look that only this evidence fits, and what is said."""
    look = OldSealState("probe", "as it looks", "x", "one cause", "one check", (evidence,))
    state = replace(USUAL, old={where: OldFound((look,), **(old or {}))}, **changes)  # type: ignore[arg-type]
    (pointer,) = next(x.old for x in listed(state).lines if x.where == where)
    return pointer.fits, str(pointer.sentence)


@pytest.mark.parametrize(
    ("section_mm", "evidence", "says"),
    [
        # AS568-343, 5.33 mm, in a groove (105.00 - 96.40) / 2 = 4.30 deep: 1.03 mm of squeeze, half of it 0.515
        (5.60, "swollen", "Its section is 5.6 mm, a new one's 5.33 mm: 5.1 % more."),  # 0.27 / 5.33
        (5.59, "swollen", ""),  # 4.9 %
        (
            4.81,
            "flattened",
            "It is 4.81 mm high, new 5.33 mm: 50 % of its squeeze is kept as set.",
        ),  # 0.52 / 1.03
        (4.82, "flattened", ""),  # 49.5 %
    ],
)
def test_the_section_of_an_old_ring(section_mm: float, evidence: str, says: str) -> None:
    fits, said = beside(STATIC, evidence, old={"section_mm": section_mm})
    assert fits is bool(says)
    assert said.endswith(says or "To confirm: one check.")


@pytest.mark.parametrize(("thick_mm", "thinned"), [(2.40, True), (2.41, False), (2.60, False)])
def test_an_old_wear_ring_is_thinned_by_a_tenth(thick_mm: float, thinned: bool) -> None:
    # ISO 10766 100 x 95: (100 - 95) / 2 = 2.5 thick; a wear ring neither swells nor takes a set
    assert beside(STRIP, "thinned", old={"section_mm": thick_mm})[0] is thinned
    assert not beside(STRIP, "swollen", old={"section_mm": 2.60})[0]
    assert not beside(STRIP, "flattened", old={"section_mm": 2.40})[0]


@pytest.mark.parametrize(("roughness_um", "smooth"), [(0.049, True), (0.05, False), (None, False)])
def test_a_surface_below_005_um_is_too_smooth(roughness_um: float | None, smooth: bool) -> None:
    grooves = tuple(
        replace(g, roughness_um=roughness_um) if g.where == ROD_SEAL else g for g in USUAL.grooves
    )
    fits, said = beside(ROD_SEAL, "smooth", grooves=grooves)
    assert fits is smooth
    assert ("It runs on Ra 0.049 µm, below 0.05 µm." in said) is smooth


@pytest.mark.parametrize(("hottest_c", "hotter"), [(100.0, False), (101.0, True), (None, False)])
def test_oil_hotter_than_the_fitted_material_stands(hottest_c: float | None, hotter: bool) -> None:
    # NBR stands 100 °C
    duty = Duty("HM", 10.0, False, -10.0, hottest_c, 0.2, 0.02)
    fits, said = beside(STATIC, "hotter", duty=duty, fitted={STATIC: Fitted("ring", "NBR 70")})
    assert fits is hotter
    assert ("The oil reaches 101 °C; NBR stands 100 °C." in said) is hotter
    assert not beside(STATIC, "hotter", duty=duty, fitted={STATIC: Fitted("ring", "leather")})[0]


@pytest.mark.parametrize(
    ("material", "shore_a", "harder", "softer"),
    [
        ("NBR 70", 76, True, False), ("NBR 70", 75, False, False), ("NBR 70", 65, False, False),
        ("NBR 70", 64, False, True), ("NBR 90", 84, False, True), ("NBR", 76, False, False),
    ],
)  # fmt: skip
def test_an_old_ring_harder_or_softer_than_the_one_that_was_fitted(
    material: str, shore_a: float, harder: bool, softer: bool
) -> None:
    found = {
        name: beside(
            STATIC, name, old={"hardness_shore_a": shore_a}, fitted={STATIC: Fitted("ring", material)}
        )[0]
        for name in ("harder", "softer")
    }
    assert found == {"harder": harder, "softer": softer}


def test_a_gap_too_wide_and_a_rod_too_fast_are_evidence_where_they_are_doubts() -> None:
    # its sheet allows 0.3 mm, and the list finds 0.37: by hand in the tests of the list
    tight = {"sheets": {ROD_SEAL: SheetFigure(0.3, "S-4")}}
    wide = {"sheets": {ROD_SEAL: SheetFigure(0.6, "S-4")}}
    assert (beside(ROD_SEAL, "gap", **tight)[0], beside(ROD_SEAL, "gap", **wide)[0]) == (True, False)
    for speed_m_s, fast in ((1.2, True), (0.2, False)):
        duty = Duty("HM", 10.0, False, -10.0, 70.0, speed_m_s, 0.02)
        assert beside(ROD_SEAL, "too-fast", duty=duty)[0] is fast
