"""Reads threads, their strengths and friction from checklists/standards; knows nothing of their use."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, maybe, positive, text
from inspect_app.trade.joints.threads import (
    MM_PER_INCH,
    ListedThread,
    PrintedProofLoad,
    System,
    Thread,
    ThreadClass,
    ThreadTables,
    stress_area_by_formula_mm2,
)
from inspect_app.trade.joints.torque import Friction, FrictionKind
from inspect_app.trade.measuring.refusal import Refusal

_METRIC = "standards/metric_threads.csv"
_UNIFIED = "standards/unified_threads.csv"
_CLASSES = "standards/thread_classes.csv"
_PROOF_LOADS = "standards/proof_loads.csv"
_FRICTION = "standards/friction.csv"

_CLASS_COLUMNS = {"class_8_8_n": "8.8", "class_10_9_n": "10.9", "class_12_9_n": "12.9"}
_TYPING_SLIP = 0.01
"""Standards round; a printed figure further than this share from its formula was typed wrong."""


def read_threads(reader: Reader) -> ThreadTables:
    """Threads, classes and printed proof loads; faults are noted on the reader.

    Args:
        reader: the checklists folder being read.
    """
    metric, unified = _metric(reader), _unified(reader)
    tables = ThreadTables((*metric, *unified), _classes(reader), _proof_loads(reader))
    for file, rows in ((_METRIC, metric), (_UNIFIED, unified), (_PROOF_LOADS, tables.proof_loads)):
        _note_twins(reader, file, rows)
    for strength in tables.classes:
        _check_class(reader, strength)
    for row in tables.threads:
        _check_area(reader, row)
    for load in tables.proof_loads:
        _check_load(reader, load, tables)
    return tables


def read_friction(reader: Reader) -> tuple[Friction, ...]:
    """Nut factors, friction coefficients and scatter; faults are noted on the reader.

    Args:
        reader: the checklists folder being read.
    """
    turn = WHENCE | {
        "key": text,
        "quantity": FrictionKind,
        "surface": text,
        "low": positive,
        "high": maybe(positive),
    }
    rows = tuple(Friction(**row) for row in reader.csv(_FRICTION, turn))
    for row in rows:
        if row.high is not None and row.high < row.low:
            reader.fault(
                _FRICTION, row.key, f"runs from {row.low:g} down to {row.high:g}; write the lower first."
            )
    for key, count in Counter(row.key for row in rows).items():
        if count > 1:
            reader.fault(_FRICTION, key, f"stands {count} times; give each row its own key.")
    return rows


def _metric(reader: Reader) -> tuple[ListedThread, ...]:
    turn = WHENCE | {
        "d_mm": positive,
        "pitch_mm": positive,
        "series": text,
        "stress_area_mm2": maybe(positive),
    }
    return tuple(ListedThread(system=System.METRIC, **row) for row in reader.csv(_METRIC, turn))


def _unified(reader: Reader) -> tuple[ListedThread, ...]:
    turn = (
        WHENCE
        | {"d_in": positive, "threads_per_in": positive, "series": text}
        | {"stress_area_in2": maybe(positive)}
    )
    return tuple(
        ListedThread(
            system=System.UNIFIED,
            series=row["series"],
            d_mm=row["d_in"] * MM_PER_INCH,
            pitch_mm=MM_PER_INCH / row["threads_per_in"],
            stress_area_mm2=row["stress_area_in2"] and row["stress_area_in2"] * MM_PER_INCH**2,
            source=row["source"],
            status=row["status"],
        )
        for row in reader.csv(_UNIFIED, turn)
    )


def _classes(reader: Reader) -> tuple[ThreadClass, ...]:
    numbers = ("from_mm", "upto_mm", "proof_mpa", "yield_mpa", "tensile_mpa")
    turn = WHENCE | {"class": text, "system": System} | dict.fromkeys(numbers, positive)
    return tuple(ThreadClass(name=row.pop("class"), **row) for row in reader.csv(_CLASSES, turn))


def _proof_loads(reader: Reader) -> tuple[PrintedProofLoad, ...]:
    turn = WHENCE | dict.fromkeys(("d_mm", "pitch_mm", *_CLASS_COLUMNS), positive)
    return tuple(
        PrintedProofLoad(name, row["d_mm"], row["pitch_mm"], row[column], row["source"], row["status"])
        for row in reader.csv(_PROOF_LOADS, turn)
        for column, name in _CLASS_COLUMNS.items()
    )


def _note_twins(reader: Reader, file: str, rows: Iterable[ListedThread | PrintedProofLoad]) -> None:
    seen = Counter((getattr(row, "class_name", ""), row.d_mm, row.pitch_mm) for row in rows)
    for (_, d_mm, pitch_mm), count in seen.items():
        if count > 1:
            reader.fault(file, f"{d_mm:g} x {pitch_mm:g} mm", f"stands {count} times; keep one row.")


def _check_class(reader: Reader, row: ThreadClass) -> None:
    if not row.from_mm < row.upto_mm:
        reader.fault(
            _CLASSES, row.name, f"runs from {row.from_mm:g} to {row.upto_mm:g} mm; write the lower first."
        )
    if not row.proof_mpa < row.yield_mpa < row.tensile_mpa:
        reader.fault(_CLASSES, row.name, "needs proof below yield below tensile; check the row.")


def _check_area(reader: Reader, row: ListedThread) -> None:
    file = _METRIC if row.system is System.METRIC else _UNIFIED
    name = f"{row.d_mm:g} x {row.pitch_mm:g} mm"
    formula_mm2 = _formula_mm2(reader, file, Thread(name, row.system, row.d_mm, row.pitch_mm))
    if row.stress_area_mm2 and formula_mm2 and _far(row.stress_area_mm2, formula_mm2):
        found = f"found {row.stress_area_mm2:g} mm²; the formula gives {formula_mm2:.5g}; check it."
        reader.fault(file, name, found)


def _check_load(reader: Reader, load: PrintedProofLoad, tables: ThreadTables) -> None:
    name = f"M{load.d_mm:g}x{load.pitch_mm:g}"
    area_mm2 = _formula_mm2(reader, _PROOF_LOADS, Thread(name, System.METRIC, load.d_mm, load.pitch_mm))
    rows = [c for c in tables.classes if c.name == load.class_name and c.from_mm <= load.d_mm <= c.upto_mm]
    if not rows:
        reader.fault(_PROOF_LOADS, name, f"is of class {load.class_name}; {_CLASSES} does not cover that.")
    elif area_mm2 and _far(load.load_n, area_mm2 * rows[0].proof_mpa):
        product_n = area_mm2 * rows[0].proof_mpa
        found = f"found {load.load_n:g} N; area × proof stress is {product_n:.5g}; check it."
        reader.fault(_PROOF_LOADS, name, found)


def _formula_mm2(reader: Reader, file: str, thread: Thread) -> float | None:
    try:
        return stress_area_by_formula_mm2(thread)
    except Refusal as refusal:
        reader.fault(file, thread.designation, str(refusal))
        return None


def _far(printed: float, formula: float) -> bool:
    return not math.isclose(printed, formula, rel_tol=_TYPING_SLIP)
