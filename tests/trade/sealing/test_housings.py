"""Housings against the tables they are quoted from, their tolerances against ISO 286, and matching by simulation."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pressfit.tables
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import load_sources
from inspect_app.tables.standards.housings import FILES, load_housings
from inspect_app.tables.standards.orings import load_allowances
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.housings import (
    Allowed,
    Housing,
    MeasuredGroove,
    Reading,
    match,
    off_in_uncertainties,
    rank,
)

CHECKLISTS = Path(__file__).parents[3] / "checklists"
READER = Reader(CHECKLISTS)
HOUSINGS = load_housings(READER)
ALLOWANCES = load_allowances(READER)


def _rows(standard: str, groove_in: str) -> list[Housing]:
    return [h for h in HOUSINGS if h.standard == standard and h.groove_in == groove_in]


def _has(standard: str, sealed_mm: float, groove_mm: float, width_mm: float) -> bool:
    return any(
        (h.sealed.nominal_mm, h.groove.nominal_mm, h.width.nominal_mm) == (sealed_mm, groove_mm, width_mm)
        for h in HOUSINGS
        if h.standard == standard
    )


# --- the tables ------------------------------------------------------------------------------------------


def test_the_housing_files_have_no_fault_and_name_only_known_sources() -> None:
    reader = Reader(CHECKLISTS)
    housings = load_housings(reader)
    sources = load_sources(reader)
    assert [f for f in reader.faults if f.file.startswith("housings/")] == []
    assert {h.source for h in housings} <= sources.keys()
    assert len(FILES) == len(list((CHECKLISTS / "housings").glob("iso*.csv"))) - 1  # glands are read apart


@pytest.mark.parametrize(
    ("thickness_mm", "width_mm", "least_bore_mm", "greatest_bore_mm", "gap_mm"),
    [  # seal maker's installation table of wear rings headed ISO 10766, piston
        (1.55, 4.0, 16, 50, 0.50),
        (2.50, 5.6, 16, 125, 0.90),
        (2.50, 9.7, 25, 250, 0.90),
        (2.50, 15.0, 80, 500, 0.90),
        (2.50, 25.0, 125, 500, 0.90),
        (4.00, 25.0, 280, 500, 1.50),
    ],
)
def test_wear_ring_housings_follow_the_read_table(
    thickness_mm: float, width_mm: float, least_bore_mm: float, greatest_bore_mm: float, gap_mm: float
) -> None:
    rows = [
        h
        for h in _rows("ISO 10766", "piston")
        if (h.ring_section_mm, h.width.nominal_mm) == (thickness_mm, width_mm)
    ]
    assert min(h.sealed.nominal_mm for h in rows) == least_bore_mm
    assert max(h.sealed.nominal_mm for h in rows) == greatest_bore_mm
    for h in rows:
        assert h.groove.nominal_mm == pytest.approx(h.sealed.nominal_mm - 2 * thickness_mm)
        assert (h.width.lower_mm, h.width.upper_mm, h.greatest_gap_mm) == (0, 0.2, gap_mm)
        assert h.status == "read"


def test_wear_ring_groove_of_bore_80_is_75_h8_and_allows_no_gap_of_0_95() -> None:
    # the same table: 75.000 with h8 = 0/-0.046 (ISO 286), width 9.7 to 9.9, radial gap 0.90 at most
    housing = next(h for h in HOUSINGS if h.designation == "ISO 10766 piston 80 x 75 x 9.7")
    assert housing.groove == Allowed(75, -0.046, 0)
    assert housing.greatest_gap_mm is not None
    assert housing.greatest_gap_mm < 0.95


REMEMBERED_RODS = """
    20/28/5 28/38/6.3 36/46/6.3 45/55/6.3 50/60/6.3 56/71/9.5 63/78/9.5 70/85/9.5 80/95/9.5 90/105/9.5
    100/120/12.5 110/130/12.5 125/145/12.5 140/160/12.5 160/185/16 180/205/16 200/225/16
"""  # rod rows of ISO 5597 remembered by a second reader: from memory


@pytest.mark.parametrize("triple", REMEMBERED_RODS.split())
def test_remembered_rod_rows_of_iso_5597_are_there(triple: str) -> None:
    assert _has("ISO 5597", *map(float, triple.split("/")))


@pytest.mark.parametrize(
    ("standard", "sealed_mm", "groove_mm", "width_mm"),
    [  # from memory: trade geometry and recalled rows
        ("ISO 7425-1", 63, 52, 4.2),
        ("ISO 7425-1", 100, 84.5, 6.3),
        ("ISO 7425-1", 160, 139, 8.1),
        ("ISO 7425-1", 400, 375.5, 8.1),
        ("ISO 7425-2", 36, 46.7, 4.2),
        ("ISO 7425-2", 70, 85.1, 6.3),
        ("ISO 7425-2", 200, 220.5, 8.1),
        ("ISO 7425-2", 280, 304, 8.1),
        ("ISO 6195", 50, 58, 5),
        ("ISO 6195", 90, 100, 6.3),
        ("ISO 6195", 45, 55, 7),
        ("ISO 5597", 100, 80, 12.5),
        ("ISO 5597", 50, 40, 6.3),
    ],
)
def test_remembered_rows_of_the_other_standards_are_there(
    standard: str, sealed_mm: float, groove_mm: float, width_mm: float
) -> None:
    assert _has(standard, sealed_mm, groove_mm, width_mm)


def test_only_the_wear_ring_table_counts_as_read() -> None:
    assert {h.source for h in HOUSINGS if h.status == "read"} == {"wear-ring-sheet"}


@pytest.mark.parametrize(
    ("standard", "groove_in", "grade", "sign"),
    [("ISO 7425-1", "piston", 9, -1), ("ISO 7425-2", "gland", 9, 1), ("ISO 10766", "piston", 8, -1)],
)
def test_groove_tolerances_are_those_of_iso_286(
    standard: str, groove_in: str, grade: int, sign: int
) -> None:  # pressfit 0.1.0, tolerance grades to 500 mm
    for h in _rows(standard, groove_in):
        it_mm = pressfit.tables.it_value(h.groove.nominal_mm, grade) / 1000
        deviations = (h.groove.lower_mm, h.groove.upper_mm)
        assert deviations == pytest.approx((-it_mm, 0) if sign < 0 else (0, it_mm))


def test_rods_are_let_in_to_f8_and_bores_to_h9() -> None:  # pressfit 0.1.0
    for h in HOUSINGS:
        nominal_mm = h.sealed.nominal_mm
        if h.groove_in == "gland":
            upper_um = pressfit.tables.shaft_deviation(nominal_mm, "f", 8)
            lower_um = upper_um - pressfit.tables.it_value(nominal_mm, 8)
            assert h.sealed.lower_mm == pytest.approx(lower_um / 1000)
        else:
            assert h.sealed.upper_mm == pytest.approx(pressfit.tables.it_value(nominal_mm, 9) / 1000)


def test_a_mistyped_row_is_a_fault_and_is_left_out(tmp_path: Path) -> None:
    (tmp_path / "housings").mkdir()
    shipped = (CHECKLISTS / FILES[0]).read_text(encoding="utf-8").splitlines()
    head = next(line for line in shipped if line.startswith("standard"))
    good = next(line for line in shipped if "rod 50 x 60 x 6.3" in line)
    bad = [good.replace("60,-0.2", "40,-0.2").replace("x 60 x", "x 40 x"), good, good.replace("0.25", "abc")]
    (tmp_path / FILES[0]).write_text("\n".join([head, good, *bad]), encoding="utf-8")
    reader = Reader(tmp_path)
    assert [h.designation for h in load_housings(reader, FILES[:1])] == ["ISO 5597 rod 50 x 60 x 6.3"]
    assert ["wrong side" in str(reader.faults[0]), "twice" in str(reader.faults[1])] == [True, True]
    assert "abc" in str(reader.faults[2])


# --- matching --------------------------------------------------------------------------------------------


def _groove(
    housing: Housing, *, groove_off: float = 0, width_off: float = 0.1, u: float = 0.01
) -> MeasuredGroove:
    return MeasuredGroove(
        groove_in=housing.groove_in,
        groove=Reading(housing.groove.nominal_mm + groove_off, u),
        width=Reading(housing.width.nominal_mm + width_off, u),
        sealed=Reading(housing.sealed.nominal_mm, u),
        kind=housing.kind,
    )


def test_every_housing_cut_to_its_nominal_is_recognised_as_itself() -> None:
    for housing in HOUSINGS:
        found = match(measured=_groove(housing), housings=HOUSINGS)
        assert found.candidates[0].housing.designation == housing.designation
        assert found.candidates[0].worst == 0


ROD_50 = next(h for h in HOUSINGS if h.designation == "ISO 5597 rod 50 x 60 x 6.3")


def test_a_match_from_memory_says_so() -> None:
    sentence = match(measured=_groove(ROD_50), housings=HOUSINGS).sentence.words("metric")
    assert "ISO 5597 rod 50 x 60 x 6.3" in sentence
    assert "from memory" in sentence


def test_a_groove_no_standard_knows_is_made_to_measure_with_its_dimensions() -> None:
    measured = MeasuredGroove("gland", Reading(62.9, 0.01), Reading(11.0, 0.02), Reading(49.96, 0.005))
    found = match(measured=measured, housings=HOUSINGS)
    assert found.made_to_measure
    assert found.candidates == ()
    assert all(size in str(found.sentence) for size in ("62.9", "11", "49.96", "made to measure"))
    assert found.nearest is not None
    assert found.nearest.worst > 2


def test_a_groove_worn_wider_is_a_finding_not_another_housing() -> None:
    wear_mm = ALLOWANCES["groove-wear-width"]
    wide = Reading(6.3 + 0.25 + 0.12, 0.01, wear_mm=wear_mm)
    measured = MeasuredGroove("gland", Reading(60.0, 0.01), wide, Reading(49.96, 0.005))
    best = match(measured=measured, housings=HOUSINGS).candidates[0]
    assert best.housing == ROD_50
    assert best.worn == ("width",)
    assert "worn" in str(best.sentence)
    # without the allowance the same groove lies 12 uncertainties off
    strict = MeasuredGroove("gland", Reading(60.0, 0.01), Reading(6.67, 0.01), Reading(49.96, 0.005))
    assert match(measured=strict, housings=[ROD_50]).made_to_measure


def test_a_dimension_exactly_on_its_limit_is_within() -> None:
    assert off_in_uncertainties(reading=Reading(6.55, 0.001), allowed=Allowed(6.3, 0, 0.25), wears=1) == (
        0,
        False,
    )


def test_a_groove_narrower_than_its_housing_is_never_called_worn() -> None:
    off, worn = off_in_uncertainties(
        reading=Reading(6.1, 0.01, wear_mm=0.5), allowed=Allowed(6.3, 0, 0.25), wears=1
    )
    assert off == pytest.approx(20)
    assert not worn


def test_a_piston_groove_wears_smaller_and_a_gland_groove_larger() -> None:
    piston = next(h for h in HOUSINGS if h.designation == "ISO 5597 piston 100 x 80 x 12.5")
    for housing, deeper in ((piston, -1), (ROD_50, 1)):
        limit = housing.groove.lower_mm if deeper < 0 else housing.groove.upper_mm
        value_mm = housing.groove.nominal_mm + limit + deeper * 0.08
        measured = MeasuredGroove(
            housing.groove_in,
            Reading(value_mm, 0.01, wear_mm=0.1),
            Reading(housing.width.nominal_mm + 0.1, 0.01),
            Reading(housing.sealed.nominal_mm, 0.005),
        )
        assert match(measured=measured, housings=[housing]).candidates[0].worn == ("groove diameter",)


@pytest.mark.parametrize("further", ["groove", "width", "sealed"])
def test_of_equally_good_housings_the_one_nearest_in_millimetres_comes_first(further: str) -> None:
    def housing(name: str, nominal_mm: float) -> Housing:
        wide = {"sealed": Allowed(50, -1, 1), "groove": Allowed(60, -1, 1), "width": Allowed(6.3, -1, 1)}
        return replace(ROD_50, designation=name, **{**wide, further: Allowed(nominal_mm, -1, 1)})

    measured = MeasuredGroove("gland", Reading(60.04, 0.01), Reading(6.34, 0.01), Reading(50.04, 0.01))
    nominal = {"sealed": 50.0, "groove": 60.0, "width": 6.3}[further]
    near, far = housing("near", nominal + 0.03), housing("far", nominal - 0.2)
    assert [c.housing for c in rank(measured=measured, housings=[far, near])] == [near, far]


def test_a_coarse_gauge_leaves_several_housings_and_asks_for_more() -> None:
    measured = MeasuredGroove("gland", Reading(60, 0.5), Reading(6.4, 0.5))
    found = match(measured=measured, housings=HOUSINGS)
    assert len(found.candidates) > 1
    assert "tell" in str(found.sentence)


def test_without_any_housing_of_that_part_it_is_made_to_measure() -> None:
    found = match(measured=_groove(ROD_50), housings=[h for h in HOUSINGS if h.groove_in == "piston"])
    assert found.made_to_measure
    assert found.nearest is None


def test_an_uncertainty_of_nothing_is_refused() -> None:
    with pytest.raises(Refusal, match="u is 0 mm"):
        Reading(50, 0)


def test_a_sound_groove_measured_with_its_uncertainty_is_named_almost_always() -> None:
    # simulation: true sizes anywhere within the limits, normal errors of u; each dimension is within 2 u of
    # its limits in at least 97.7 % of cases, so all three in at least 93 %
    random = np.random.default_rng(5597)
    named = 0
    for housing in random.choice(np.array(HOUSINGS, dtype=object), 400):
        readings = [
            Reading(random.uniform(a.nominal_mm + a.lower_mm, a.nominal_mm + a.upper_mm + 1e-9) + error, 0.01)
            for a, error in zip(
                (housing.groove, housing.width, housing.sealed), random.normal(0, 0.01, 3), strict=True
            )
        ]
        measured = MeasuredGroove(housing.groove_in, *readings, kind=housing.kind)
        names = [c.housing.designation for c in match(measured=measured, housings=HOUSINGS).candidates]
        named += housing.designation in names
    assert named >= 0.93 * 400


@given(
    groove_in=st.sampled_from(["piston", "gland"]),
    groove=st.floats(3, 600),
    width=st.floats(1, 70),
    sealed=st.none() | st.floats(3, 600),
    u=st.floats(0.001, 1),
    wear=st.floats(0, 0.3),
    kind=st.sampled_from([None, "rod", "piston", "wiper", "wear-ring", "static"]),
    k=st.floats(0.5, 4),
)
def test_any_groove_is_ranked_and_wear_never_loses_a_candidate(
    groove_in: str,
    groove: float,
    width: float,
    sealed: float | None,
    u: float,
    wear: float,
    kind: str | None,
    k: float,
) -> None:
    def measured(wear_mm: float) -> MeasuredGroove:
        readings = (Reading(groove, u, wear_mm), Reading(width, u, wear_mm))
        on = None if sealed is None else Reading(sealed, u, wear_mm)
        return MeasuredGroove(groove_in, *readings, on, kind)  # type: ignore[arg-type]

    ranked = rank(measured=measured(wear), housings=HOUSINGS, k=k)
    worsts = [candidate.worst for candidate in ranked]
    assert worsts == sorted(worsts)
    assert all(worst >= 0 for worst in worsts)
    with_wear = match(measured=measured(wear), housings=HOUSINGS, k=k)
    without = match(measured=measured(0), housings=HOUSINGS, k=k)
    assert len(with_wear.candidates) >= len(without.candidates)
    assert with_wear.made_to_measure == (not with_wear.candidates)
    assert all(not candidate.worn for candidate in without.candidates)
