"""Threads read as the trade writes them, held against printed pitches and the definition of the inch."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.threads import read_threads
from inspect_app.trade.joints.thread_designation import read_thread
from inspect_app.trade.joints.threads import System
from inspect_app.trade.measuring.refusal import Refusal

TABLES = read_threads(Reader(Path(__file__).parents[3] / "checklists"))


@pytest.mark.parametrize(
    ("typed", "designation", "d_mm", "pitch_mm"),
    [
        # coarse pitches: ISO 261 as in the proof load tables of ISO 898-1 (read)
        ("M30", "M30x3.5", 30, 3.5),
        ("M24", "M24x3", 24, 3),
        ("m42X3", "M42x3", 42, 3),
        ("M 16 × 1,5", "M16x1.5", 16, 1.5),
        ("M20*1.5 - 6g", "M20x1.5", 20, 1.5),
        ("M30-6H", "M30x3.5", 30, 3.5),
        ("M33x2-4g6g LH", "M33x2", 33, 2),
        # the bolting tables write the pitch after a dash
        ("M36-3", "M36x3", 36, 3),
        # inch sizes: 1 in = 25.4 mm by definition
        ("1-8 UNC", "1-8 UNC", 25.4, 25.4 / 8),
        ("3/4-16", "3/4-16", 19.05, 25.4 / 16),
        ("1 1/4-12 UNF", "1 1/4-12 UNF", 31.75, 25.4 / 12),
        ("1-1/4-12unf", "1 1/4-12 UNF", 31.75, 25.4 / 12),
        ("1 1/4 UNF", "1 1/4-12 UNF", 31.75, 25.4 / 12),
        ("1.25-7", "1 1/4-7", 31.75, 25.4 / 7),
        ('1 1/2"-6 UNC-2A', "1 1/2-6 UNC", 38.1, 25.4 / 6),
        ("2-4.5 UNC", "2-4.5 UNC", 50.8, 25.4 / 4.5),
    ],
)
def test_designations_are_read_as_the_trade_writes_them(typed, designation, d_mm, pitch_mm):
    thread = read_thread(typed, tables=TABLES)
    assert thread.designation == designation
    assert (thread.d_mm, thread.pitch_mm) == pytest.approx((d_mm, pitch_mm), rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("M3x42", "below a third"),
        ("M10x4", "below a third"),
        ("M43", "no coarse pitch"),
        ("11/4-7", "two ways"),
        ("1-10 UNC", "UNC of that size has 8"),
        ("3/4-10 UNF", "UNF of that size has 16"),
        ("1 5/8 UNEF", "threads per inch"),
        ("1-0", "greater than 0"),
        ("1/0-8", "divides by zero"),
        ("M0x1", "greater than 0"),
        ("G 1/2", "not a thread"),
        ("Tr40x7", "not a thread"),
        ("1/2 NPT", "not a thread"),
        ("#10-32", "not a thread"),
        ("42x3", "not a thread"),
        ("1", "not a thread"),
        ("", "not a thread"),
    ],
)
def test_what_is_no_such_thread_is_refused_with_the_reason(typed, why):
    with pytest.raises(Refusal, match=why):
        read_thread(typed, tables=TABLES)


@given(row=st.sampled_from(TABLES.threads))
def test_every_listed_thread_can_be_written_and_read_back(row):
    per_inch = 25.4 / row.pitch_mm
    text = (
        f"M{row.d_mm:g}x{row.pitch_mm:g}"
        if row.system is System.METRIC
        else f"{row.d_mm / 25.4:g}-{per_inch:g} {row.series}"
    )
    thread = read_thread(text, tables=TABLES)
    assert thread.system is row.system
    assert (thread.d_mm, thread.pitch_mm) == pytest.approx((row.d_mm, row.pitch_mm), rel=1e-9)
    assert read_thread(thread.designation, tables=TABLES) == thread


@given(text=st.text(alphabet='Mmx×*-., /0123456789UNCF"LHg', max_size=14))
def test_no_scribble_does_worse_than_a_refusal(text):
    try:
        thread = read_thread(text, tables=TABLES)
    except Refusal:
        return
    assert 0 < thread.pitch_mm < thread.d_mm
