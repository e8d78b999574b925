"""Sizes at 20 °C against a national laboratory's example, arithmetic by hand and simulation."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import load_sources
from inspect_app.tables.standards.materials import load_expansion
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.temperature import (
    Expansion,
    correction_um,
    growth,
    product_u,
    size_at_20_mm,
    temperature_terms_um,
)
from inspect_app.trade.measuring.uncertainty import u_of

CHECKLISTS = Path(__file__).parents[3] / "checklists"
MATERIALS = load_expansion(Reader(CHECKLISTS))
STEEL = MATERIALS["steel"]


def of(um_per_m_k: str) -> Expansion:
    return Expansion("as given", Decimal(um_per_m_k), Decimal(1))


def at_20(reading: str, part: Expansion, part_c: str, gauge: Expansion, gauge_c: str) -> float:
    size_mm = size_at_20_mm(
        reading_mm=Decimal(reading),
        part=part,
        part_c=Decimal(part_c),
        gauge=gauge,
        gauge_c=Decimal(gauge_c),
    )
    return float(size_mm)


# National Physical Laboratory (UK), FAQ "How do I correct lengths to 20 °C?"
def test_half_a_metre_of_steel_at_23_7_is_500_013() -> None:
    assert at_20("500.035", of("11.7"), "23.7", of("11.7"), "20") == pytest.approx(500.013, abs=0.0005)


# by hand, first order: 100 mm × 11.5e-6 × 20 K = 0.023 mm
def test_warm_rod_reads_0_023_too_large_on_a_hundred() -> None:
    warm = {"part": STEEL, "part_c": Decimal(40), "gauge": STEEL, "gauge_c": Decimal(20)}
    assert correction_um(reading_mm=Decimal(100), **warm) == -23
    assert size_at_20_mm(reading_mm=Decimal(100), **warm) == pytest.approx(
        Decimal("99.977"), abs=Decimal("1e-5")
    )


# by hand, first order: reading × (1 + α_gauge ΔT_gauge − α_part ΔT_part)
@pytest.mark.parametrize(
    ("reading", "part", "part_c", "gauge_c", "size"),
    [
        ("80.012", "11.5", "35", "22", 80.00004),  # 172.5 − 23 = 149.5 per million too large
        ("160.050", "10.8", "12", "20", 160.06383),  # cold grey-iron bore, 86.4 per million too small
        ("60.000", "18.0", "40", "40", 59.99220),  # bronze against steel, both warm: 130 per million
        ("125.000", "23.0", "30", "30", 124.98563),  # aluminium against steel: 115 per million
    ],
)
def test_part_and_gauge_each_at_their_own_temperature(
    reading: str, part: str, part_c: str, gauge_c: str, size: float
) -> None:
    assert at_20(reading, of(part), part_c, of("11.5"), gauge_c) == pytest.approx(size, abs=1e-5)


TEMPERATURES_C = st.decimals(min_value=-20, max_value=80, places=1)
SIZES_MM = st.decimals(min_value=1, max_value=1250, places=3)
PIECES = st.sampled_from(list(MATERIALS.values()))


@given(size_mm=SIZES_MM, both_c=TEMPERATURES_C, piece=PIECES)
def test_one_material_at_one_temperature_needs_no_correction(
    size_mm: Decimal, both_c: Decimal, piece: Expansion
) -> None:
    together = {"reading_mm": size_mm, "part": piece, "part_c": both_c, "gauge": piece, "gauge_c": both_c}
    assert size_at_20_mm(**together) == pytest.approx(size_mm, abs=Decimal("1e-20"))
    assert correction_um(**together) == 0


@given(size_mm=SIZES_MM, part_c=TEMPERATURES_C, gauge_c=TEMPERATURES_C, part=PIECES, gauge=PIECES)
def test_a_part_reads_back_to_the_size_it_was_made(
    size_mm: Decimal, part_c: Decimal, gauge_c: Decimal, part: Expansion, gauge: Expansion
) -> None:
    """The other way round in floats: the part grows, and the gauge's longer divisions count fewer of them."""
    grown_mm = float(size_mm) * (1 + float(part.um_per_m_k) * 1e-6 * (float(part_c) - 20))
    division_mm = 1 + float(gauge.um_per_m_k) * 1e-6 * (float(gauge_c) - 20)
    reading_mm = Decimal(grown_mm / division_mm)
    back_mm = size_at_20_mm(reading_mm=reading_mm, part=part, part_c=part_c, gauge=gauge, gauge_c=gauge_c)
    assert float(back_mm) == pytest.approx(float(size_mm), rel=1e-12)


@given(
    size_mm=st.decimals(min_value=1, max_value=500, places=3),
    part_c=st.decimals(min_value=10, max_value=30, places=1),
    gauge_c=st.decimals(min_value=10, max_value=30, places=1),
    part=PIECES,
    gauge=PIECES,
)
def test_first_order_is_good_to_a_tenth_of_a_micrometre_near_20(
    size_mm: Decimal, part_c: Decimal, gauge_c: Decimal, part: Expansion, gauge: Expansion
) -> None:
    pieces = {"reading_mm": size_mm, "part": part, "part_c": part_c, "gauge": gauge, "gauge_c": gauge_c}
    exact_um = (size_at_20_mm(**pieces) - size_mm) * 1000
    assert abs(correction_um(**pieces) - exact_um) < Decimal("0.1")


def test_growth_is_nothing_at_20_and_negative_below() -> None:
    assert growth(material=STEEL, temperature_c=Decimal(20)) == 0
    assert growth(material=STEEL, temperature_c=Decimal(-5)) < 0


# by hand: 100 mm × 11.5 × 2 K / √3 = 1.328 µm, and 100 mm × 1 × 15 K / √3 = 0.866 µm
def test_two_kelvin_of_doubt_leave_1_3_micrometres_on_a_hundred() -> None:
    sure = Expansion("steel", Decimal("11.5"), Decimal(0))
    at_20_c = {"gauge": sure, "gauge_c": Decimal(20), "gauge_within_c": Decimal(0)}
    from_temperature = temperature_terms_um(
        size_mm=Decimal(100), part=sure, part_c=Decimal(20), part_within_c=Decimal(2), **at_20_c
    )
    from_expansion = temperature_terms_um(
        size_mm=Decimal(100), part=STEEL, part_c=Decimal(35), part_within_c=Decimal(0), **at_20_c
    )
    assert u_of(from_temperature) == pytest.approx(1.328, abs=0.0005)
    assert u_of(from_expansion) == pytest.approx(0.866, abs=0.0005)


def test_what_temperature_leaves_agrees_with_a_simulation() -> None:
    """Monte Carlo with numpy over the exact ratio: a bronze bush at 32 ± 3 °C, a steel gauge at 24 ± 1 °C."""
    rng = np.random.default_rng(4)
    bronze = MATERIALS["tin_bronze"]

    def drawn(piece: Expansion, at_c: float, within_c: float) -> np.ndarray:
        half = float(piece.half_width_um_per_m_k)
        alpha = float(piece.um_per_m_k) + rng.uniform(-half, half, 400_000)
        return 1 + alpha * 1e-6 * (at_c - 20 + rng.uniform(-within_c, within_c, 400_000))

    sizes_um = 80_000 * drawn(STEEL, 24, 1) / drawn(bronze, 32, 3)
    terms_um = temperature_terms_um(
        size_mm=Decimal(80),
        part=bronze,
        part_c=Decimal(32),
        part_within_c=Decimal(3),
        gauge=STEEL,
        gauge_c=Decimal(24),
        gauge_within_c=Decimal(1),
    )
    assert u_of(terms_um) == pytest.approx(float(np.std(sizes_um)), rel=0.01)


def test_at_20_degrees_expansion_counts_only_by_its_second_order() -> None:
    """Monte Carlo with numpy: α within ±1 per million, 20 °C within ±5; first order leaves α·u(T) alone."""
    terms = temperature_terms_um(
        size_mm=Decimal(1000),
        part=of("0"),  # nothing but what is not known of its expansion
        part_c=Decimal(20),
        part_within_c=Decimal(5),
        gauge=STEEL,
        gauge_c=Decimal(20),
        gauge_within_c=Decimal(0),
    )
    rng = np.random.default_rng(6)
    grown_um = rng.uniform(-1, 1, 400_000) * rng.uniform(-5, 5, 400_000)
    assert terms["part temperature"] == 0
    assert abs(terms["part expansion"]) == pytest.approx(float(np.std(grown_um)), rel=0.01)
    assert terms["gauge temperature"] == 0
    assert terms["gauge expansion"] == 0


@pytest.mark.parametrize(("part_c", "gauge_c"), [("30", "20"), ("10", "20"), ("30", "30")])
def test_a_warmer_part_and_a_warmer_gauge_pull_the_size_apart(part_c: str, gauge_c: str) -> None:
    def terms(at_part_c: str, at_gauge_c: str) -> Mapping[str, float]:
        return temperature_terms_um(
            size_mm=Decimal(100),
            part=STEEL,
            part_c=Decimal(at_part_c),
            part_within_c=Decimal(1),
            gauge=STEEL,
            gauge_c=Decimal(at_gauge_c),
            gauge_within_c=Decimal(1),
        )

    def size_mm(at_part_c: str, at_gauge_c: str, more: str) -> float:
        part = Expansion("steel", STEEL.um_per_m_k + Decimal(more), Decimal(1))
        return at_20("100", part, at_part_c, STEEL, at_gauge_c)

    warmer = str(Decimal(part_c) + 1)
    found = terms(part_c, gauge_c)
    assert (size_mm(warmer, gauge_c, "0") < size_mm(part_c, gauge_c, "0")) == (found["part temperature"] < 0)
    assert (size_mm(part_c, gauge_c, "1") < size_mm(part_c, gauge_c, "0")) == (found["part expansion"] < 0)
    assert found["gauge temperature"] > 0


# NIST (Swyt 1994): steel 11.5, aluminium 23.1. Callister table B.6: 1040 11.3, 4140 12.3, 304 17.2, 316 15.9,
# ductile irons 10.6 and 11.2, aluminium 6061 23.6 and 356.0 21.5, C93200 18.0, grey irons 11.4, 440A 10.2.
# Supplier sheets: C95400 16.2
@pytest.mark.parametrize(
    ("material", "published"),
    [
        ("steel", "11.5"),
        ("steel", "11.3"),
        ("steel", "12.3"),
        ("aluminium", "23.1"),
        ("aluminium", "23.6"),
        ("aluminium", "21.5"),
        ("stainless_304", "17.2"),
        ("stainless_316", "15.9"),
        ("stainless_martensitic", "10.2"),
        ("grey_iron", "11.4"),
        ("ductile_iron", "10.6"),
        ("ductile_iron", "11.2"),
        ("tin_bronze", "18.0"),
        ("aluminium_bronze", "16.2"),
    ],
)
def test_published_expansions_lie_within_the_stated_half_width(material: str, published: str) -> None:
    ours = MATERIALS[material]
    assert abs(ours.um_per_m_k - Decimal(published)) <= ours.half_width_um_per_m_k


def test_the_table_reads_without_fault_and_names_known_sources() -> None:
    reader = Reader(CHECKLISTS)
    load_expansion(reader)
    assert reader.faults == []
    rows = reader.csv("standards/expansion.csv", {"source": str})
    assert {row["source"] for row in rows} <= load_sources(Reader(CHECKLISTS)).keys()


def test_a_broken_row_is_reported_with_its_line(tmp_path: Path) -> None:
    folder = tmp_path / "standards"
    folder.mkdir()
    text = (CHECKLISTS / "standards" / "expansion.csv").read_text("utf-8")
    (folder / "expansion.csv").write_text(text.replace("11.0,0.6", "eleven,0.6"), "utf-8")
    reader = Reader(tmp_path)
    assert "ductile_iron" not in load_expansion(reader)
    assert [fault.sentence for fault in reader.faults] == ["found 'eleven': it must be a number."]


def test_what_is_no_size_or_temperature_is_refused() -> None:
    with pytest.raises(Refusal, match=r"reading is 0 mm"):
        at_20("0", STEEL, "20", STEEL, "20")
    with pytest.raises(Refusal, match=r"temperature is nan"):
        at_20("100", STEEL, "NaN", STEEL, "20")
    with pytest.raises(Refusal, match=r"part within is -1"):
        temperature_terms_um(
            size_mm=Decimal(100),
            part=STEEL,
            part_c=Decimal(20),
            part_within_c=Decimal(-1),
            gauge=STEEL,
            gauge_c=Decimal(20),
            gauge_within_c=Decimal(0),
        )


@given(*(st.floats(-50, 50), st.floats(0, 9)) * 2)
def test_a_product_scatters_as_its_exact_variance_says(x: float, u_x: float, y: float, u_y: float) -> None:
    """Var(XY) of independent X and Y is E[X²]E[Y²] − (E[X]E[Y])²."""
    variance = (x**2 + u_x**2) * (y**2 + u_y**2) - (x * y) ** 2
    assert product_u(x, u_x, y, u_y) ** 2 == pytest.approx(variance, abs=1e-6)
