"""Threads, their areas and proof loads, held against printed tables and the geometry of the profile."""

from __future__ import annotations

import math
import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.threads import read_friction, read_threads
from inspect_app.trade.joints.thread_designation import read_thread
from inspect_app.trade.joints.threads import (
    Basis,
    System,
    Thread,
    pitch_diameter_mm,
    proof_load,
    proof_load_of_material,
    stress_area,
    stress_area_by_formula_mm2,
    thread_class,
)
from inspect_app.trade.measuring.refusal import Refusal

CHECKLISTS = Path(__file__).parents[3] / "checklists"


def _tables(folder=CHECKLISTS):
    reader = Reader(folder)
    tables = read_threads(reader)
    reader.raise_faults()
    return tables


TABLES = _tables()


def metric(d_mm, pitch_mm):
    return Thread(f"M{d_mm:g}x{pitch_mm:g}", System.METRIC, d_mm, pitch_mm)


# ---- stress areas -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("d_mm", "pitch_mm", "printed_mm2"),
    # J. H. Bickford, Introduction to the Design and Behavior of Bolted Joints, table of areas (read)
    [
        (5, 0.8, 14.183), (6, 1, 20.123), (8, 1.25, 36.609), (10, 1.5, 57.990), (12, 1.75, 84.267),
        (14, 2, 115.44), (16, 2, 156.67), (20, 2.5, 244.79), (22, 2.5, 303.40), (24, 3, 352.50),
        (27, 3, 459.41), (30, 3.5, 560.59), (36, 4, 816.72), (42, 4.5, 1120.9), (48, 5, 1473.2),
        (56, 5.5, 2030.0), (64, 6, 2676.0), (72, 6, 3459.8), (80, 6, 4344.1), (90, 6, 5590.8),
        (100, 6, 6994.7),
    ],
)  # fmt: skip
def test_the_metric_formula_gives_the_handbook_areas(d_mm, pitch_mm, printed_mm2):
    # the handbook carries one more digit of the factor 0.9382
    assert stress_area_by_formula_mm2(metric(d_mm, pitch_mm)) == pytest.approx(printed_mm2, rel=1e-4)


@pytest.mark.parametrize(
    ("d_mm", "pitch_mm"), [(36, 2), (42, 2), (42, 3), (48, 2), (56, 2), (64, 2), (80, 2), (100, 2)]
)
def test_rod_end_areas_agree_with_the_geometry_of_the_basic_profile(d_mm, pitch_mm):
    # ISO 68-1: H = P √3/2; pitch diameter d − 3/4 H, root d − 17/12 H; the area is that of their mean
    height_mm = pitch_mm * math.sqrt(3) / 2
    mean_mm = ((d_mm - 3 / 4 * height_mm) + (d_mm - 17 / 12 * height_mm)) / 2
    area = stress_area(metric(d_mm, pitch_mm), tables=TABLES)
    assert area.area_mm2 == pytest.approx(math.pi / 4 * mean_mm**2, rel=4e-4)


@pytest.mark.parametrize(
    ("text", "printed_in2"),
    # ASME B1.1 areas as reprinted (read): boltport.com UNF, wermac.org UNC, table H-1 for 8 threads
    [
        ("1/2-13 UNC", 0.1419), ("5/8-11 UNC", 0.226), ("3/4-10 UNC", 0.334), ("7/8-9 UNC", 0.462),
        ("1-8 UNC", 0.606), ("1 1/4-7 UNC", 0.969), ("1 1/2-6 UNC", 1.405), ("2-4.5 UNC", 2.50),
        ("4-4 UNC", 11.08), ("1/4-28 UNF", 0.0364), ("3/4-16 UNF", 0.373), ("7/8-14 UNF", 0.509),
        ("1-12 UNF", 0.663), ("1 1/4-12 UNF", 1.073), ("1 1/2-12 UNF", 1.581), ("2 1/4-8 UN", 3.557),
        ("4-8 UN", 11.81),
    ],
)  # fmt: skip
def test_the_unified_formula_gives_the_printed_areas(text, printed_in2):
    thread = read_thread(text, tables=TABLES)
    half_last_digit = 0.5 / 10 ** len(str(printed_in2).partition(".")[2])
    tolerance = max(half_last_digit, 0.0025 * printed_in2)
    assert stress_area_by_formula_mm2(thread) / 25.4**2 == pytest.approx(printed_in2, abs=tolerance)
    listed = stress_area(thread, tables=TABLES)
    assert listed.printed
    assert listed.area_mm2 / 25.4**2 == pytest.approx(printed_in2, rel=1e-9)


def test_a_thread_no_table_prints_has_its_area_by_formula_and_says_so():
    area = stress_area(read_thread("1-14", tables=TABLES), tables=TABLES)
    assert not area.printed
    # 0.6799 in² by hand from 0.7854 (1 − 0.9743/14)²
    assert area.area_mm2 / 25.4**2 == pytest.approx(0.6799, abs=5e-5)


@given(d_mm=st.floats(3, 500), share=st.floats(0.005, 0.3))
def test_the_stress_area_lies_between_root_and_outside(d_mm, share):
    thread = metric(d_mm, d_mm * share)
    area_mm2 = stress_area_by_formula_mm2(thread)
    root_mm = d_mm - 1.2269 * thread.pitch_mm
    assert math.pi / 4 * root_mm**2 < area_mm2 < math.pi / 4 * d_mm**2
    assert root_mm < pitch_diameter_mm(thread) < d_mm


@pytest.mark.parametrize(
    ("d_mm", "pitch_mm", "printed_mm"),
    # ISO 724 pitch diameters, from memory
    [(10, 1.5, 9.026), (16, 1.5, 15.026), (20, 2.5, 18.376), (30, 3.5, 27.727), (42, 3, 40.051)],
)
def test_pitch_diameters_are_those_of_iso_724(d_mm, pitch_mm, printed_mm):
    assert pitch_diameter_mm(metric(d_mm, pitch_mm)) == pytest.approx(printed_mm, abs=0.001)


# ---- strength -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("d_mm", "pitch_mm", "class_name", "printed_n"),
    # ISO 898-1 proof loads as three reprints give them (read)
    [
        (10, 1.5, "8.8", 33_700),  # area × proof stress is 33 640
        (16, 2, "8.8", 91_000),  # 91 060
        (22, 2.5, "10.9", 252_000),  # 251 490
        (24, 3, "8.8", 212_000),
        (27, 3, "12.9", 445_000),
        (8, 1.25, "12.9", 35_500),
    ],
)
def test_proof_loads_are_as_printed_not_recomputed(d_mm, pitch_mm, class_name, printed_n):
    load = proof_load(metric(d_mm, pitch_mm), class_name=class_name, tables=TABLES)
    assert (load.load_n, load.basis, load.status) == (printed_n, Basis.PRINTED, "reprint")


@pytest.mark.parametrize(
    ("d_mm", "pitch_mm", "as_8_8_n", "as_10_9_n"),
    # ultimate loads of ISO 898-1 (read: usefastener.com, engineeringtoolbox.com) carry the same products:
    # 6.8 breaks at 600 MPa, the proof stress of 8.8, and 8.8 at 830 MPa, that of 10.9
    [
        (30, 3.5, 337_000, 466_000),
        (33, 3.5, 416_000, 576_000),
        (36, 4, 490_000, 678_000),
        (39, 4, 586_000, 810_000),
    ],
)
def test_the_big_coarse_proof_loads_from_memory_agree_with_read_products(d_mm, pitch_mm, as_8_8_n, as_10_9_n):
    for class_name, expected_n in (("8.8", as_8_8_n), ("10.9", as_10_9_n)):
        load = proof_load(metric(d_mm, pitch_mm), class_name=class_name, tables=TABLES)
        assert load.load_n == expected_n
        assert load.status == "standard-from-memory"


def test_every_printed_proof_load_is_within_half_a_per_cent_of_area_times_proof_stress():
    for row in TABLES.proof_loads:
        thread = metric(row.d_mm, row.pitch_mm)
        proof_mpa = thread_class(thread, class_name=row.class_name, tables=TABLES).proof_mpa
        area_mm2 = stress_area(thread, tables=TABLES).area_mm2
        assert row.load_n == pytest.approx(area_mm2 * proof_mpa, rel=0.0052), row


def test_a_pitch_the_standard_does_not_print_is_computed_and_says_so():
    load = proof_load(metric(36, 2), class_name="8.8", tables=TABLES)
    assert load.basis is Basis.PRODUCT
    # 914.5 mm² from the mean of pitch and root diameter, × 600 MPa
    assert load.load_n == pytest.approx(914.5 * 600, rel=1e-4)


@pytest.mark.parametrize(
    ("thread", "class_name", "why"),
    [
        (metric(42, 3), "8.8", "not a standard value.*1.6 mm to 39 mm"),
        (Thread("2-8 UN", System.UNIFIED, 50.8, 3.175), "SAE 5", "not a standard value.*6.35 mm to 38.1 mm"),
        (Thread("1-8 UNC", System.UNIFIED, 25.4, 3.175), "8.8", "covers metric threads"),
        (metric(30, 3.5), "9.9", "not listed; give one of 8.8, 10.9, 12.9, SAE 2"),
    ],
)
def test_beyond_the_standard_the_class_is_refused(thread, class_name, why):
    with pytest.raises(Refusal, match=why):
        proof_load(thread, class_name=class_name, tables=TABLES)


def test_beyond_the_standard_the_product_with_the_material_is_no_standard_value():
    load = proof_load_of_material(metric(42, 3), proof_mpa=600, tables=TABLES)
    assert load.basis is Basis.NOT_STANDARD
    # 1206 mm² printed for M42x3 in table H-1 of bolt areas (read)
    assert load.load_n == pytest.approx(1206 * 600)
    # no better known than the area it is made of
    area = stress_area(metric(42, 3), tables=TABLES)
    assert (load.source, load.status) == (area.source, area.status)


@pytest.mark.parametrize(
    ("text", "grade", "ksi"),
    # SAE J429 as two suppliers reprint it (read): proof, yield, tensile
    [
        ("1/4-20 UNC", "SAE 5", (85, 92, 120)),
        ("1-8 UNC", "SAE 5", (85, 92, 120)),
        ("1 1/8-7 UNC", "SAE 5", (74, 81, 105)),
        ("1 1/2-6 UNC", "SAE 5", (74, 81, 105)),
        ("1 1/2-12 UNF", "SAE 8", (120, 130, 150)),
        ("3/4-10 UNC", "SAE 2", (55, 57, 74)),
        ("7/8-9 UNC", "SAE 2", (33, 36, 60)),
    ],
)
def test_inch_grades_step_down_with_size(text, grade, ksi):
    found = thread_class(read_thread(text, tables=TABLES), class_name=grade, tables=TABLES)
    in_ksi = [
        mpa * 1e6 / constants.psi / 1000 for mpa in (found.proof_mpa, found.yield_mpa, found.tensile_mpa)
    ]
    assert in_ksi == pytest.approx(ksi, abs=0.001)


@pytest.mark.parametrize(
    ("d_mm", "class_name", "mpa"),
    # ISO 898-1 as reprinted (read): proof, yield, tensile
    [
        (16, "8.8", (580, 640, 800)),
        (18, "8.8", (600, 660, 830)),
        (24, "10.9", (830, 940, 1040)),
        (39, "12.9", (970, 1100, 1220)),
    ],
)
def test_metric_classes_are_those_of_iso_898_1(d_mm, class_name, mpa):
    found = thread_class(metric(d_mm, 1.5), class_name=class_name, tables=TABLES)
    assert (found.proof_mpa, found.yield_mpa, found.tensile_mpa) == mpa


def test_the_half_inch_grade_2_bolt_clamps_as_the_supplier_prints():
    # coxhardware SAE J429 chart (read): clamp 5853 lbf at 75 % of proof for 1/2-13 grade 2
    load = proof_load(read_thread("1/2-13 UNC", tables=TABLES), class_name="SAE 2", tables=TABLES)
    assert 0.75 * load.load_n / constants.lbf == pytest.approx(5853, rel=2e-4)


@given(
    row=st.sampled_from(TABLES.threads), class_name=st.sampled_from(sorted({c.name for c in TABLES.classes}))
)
def test_any_listed_thread_in_any_class_has_a_sensible_load_or_a_refusal(row, class_name):
    thread = Thread("t", row.system, row.d_mm, row.pitch_mm)
    try:
        load = proof_load(thread, class_name=class_name, tables=TABLES)
    except Refusal:
        return
    strength = thread_class(thread, class_name=class_name, tables=TABLES)
    outside_mm2 = math.pi / 4 * row.d_mm**2
    assert 0.5 * outside_mm2 * strength.proof_mpa < load.load_n < outside_mm2 * strength.proof_mpa
    assert strength.proof_mpa < strength.yield_mpa < strength.tensile_mpa


# ---- the files ----------------------------------------------------------------------------------------


def test_the_shipped_tables_have_no_fault():
    reader = Reader(CHECKLISTS)
    read_threads(reader)
    read_friction(reader)
    assert reader.faults == []


@pytest.mark.parametrize(
    ("file", "old", "new", "found"),
    [
        ("metric_threads.csv", "30,3.5,coarse,561,", "30,3.5,coarse,651,", "found 651 mm².*560.59"),
        ("metric_threads.csv", "30,3.5,coarse,", "30,35,coarse,", "below a third"),
        ("proof_loads.csv", "30,3.5,337000,", "3,3.5,337000,", "below a third"),
        ("thread_classes.csv", "10.9,metric,1.6,39,830", "10.9,metric,39,1.6,830", "write the lower first"),
        ("thread_classes.csv", "970,1100,1220", "970,1220,1100", "proof below yield"),
        ("metric_threads.csv", "42,3,fine,1206,", "42,4.5,coarse,1120.9,", "stands 2 times"),
        ("unified_threads.csv", "1,1,8,UNC,0.606,", "1,1,8,UNC,0.660,", "formula gives"),
        ("proof_loads.csv", "10,1.5,33700,", "10,1.5,37300,", "found 37300 N"),
        ("thread_classes.csv", "8.8,metric,16,39,", "8.8,metric,16,36,", "does not cover"),
        ("friction.csv", "0.08,0.16", "0.16,0.08", "write the lower first"),
        ("friction.csv", "mu-b,", "mu-a,", "stands 2 times"),
        ("friction.csv", "k-zinc,K,zinc plated,0.20", "k-zinc,K,zinc plated,-0.20", "greater than 0"),
        ("friction.csv", 'black,K,"black, not plated",0.30', 'black,K,"black, not plated",x', "a number"),
        ("friction.csv", "k-zinc,K,", "k-zinc,q,", "'q'"),
    ],
)
def test_a_typing_slip_in_a_table_is_found(tmp_path, file, old, new, found):
    shutil.copytree(CHECKLISTS / "standards", tmp_path / "standards")
    path = tmp_path / "standards" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    reader = Reader(tmp_path)
    read_threads(reader)
    read_friction(reader)
    assert any(re.search(found, str(fault)) for fault in reader.faults), reader.faults
