"""Threads: their areas, classes and proof loads; knows no file, no friction and no verdict."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_positive

MM_PER_INCH = 25.4


class System(Enum):
    """The two families of screw thread read here."""

    METRIC = "metric"
    UNIFIED = "unified"


class Basis(Enum):
    """Where a proof load comes from, as the report says it."""

    PRINTED = "as printed in the standard"
    PRODUCT = "stress area × proof stress of the class; not printed in the standard for this pitch"
    NOT_STANDARD = "stress area × the proof stress entered; not a standard value"


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread by its nominal sizes; `designation` is the normal way to write it, without tolerance class."""

    designation: str
    system: System
    d_mm: float
    pitch_mm: float


@dataclass(frozen=True, slots=True)
class ListedThread:
    """One row of the thread tables; `stress_area_mm2` is None where the source prints none."""

    system: System
    series: str
    d_mm: float
    pitch_mm: float
    stress_area_mm2: float | None
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class ThreadClass:
    """Strength of a property class or grade over a range of sizes, both ends included."""

    name: str
    system: System
    from_mm: float
    upto_mm: float
    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class PrintedProofLoad:
    """A proof load as the standard prints it."""

    class_name: str
    d_mm: float
    pitch_mm: float
    load_n: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class ThreadTables:
    """Everything tabulated about threads; rows of one class in rising order of size."""

    threads: tuple[ListedThread, ...]
    classes: tuple[ThreadClass, ...]
    proof_loads: tuple[PrintedProofLoad, ...]


@dataclass(frozen=True, slots=True)
class StressArea:
    """A tensile stress area, printed by `source` or computed by its formula."""

    area_mm2: float
    printed: bool
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class ProofLoad:
    """The load a thread carries without lasting stretch, and where the figure comes from."""

    load_n: float
    basis: Basis
    source: str
    status: str


def stress_area_by_formula_mm2(thread: Thread) -> float:
    """The tensile stress area of a thread by its standard's formula, mm².

    metric: As = π/4 (d − 0.9382 P)²; unified: At = π/4 (d − 0.9743 P)², P = 1/n

    Args:
        thread: the thread.
    Raises:
        Refusal: when diameter or pitch is not positive, or the pitch is not below a third of the diameter.
    Valid: 60° threads of ISO 68-1 and ASME B1.1, nominal size; a worn thread has less.
    Source: iso-898-1, asme-b1-1

    >>> m30 = Thread("M30x3.5", System.METRIC, 30, 3.5)   # ISO 898-1 prints 561
    >>> round(stress_area_by_formula_mm2(m30))
    561
    """
    require_proportion(thread.designation, d_mm=thread.d_mm, pitch_mm=thread.pitch_mm)
    factor = 0.9382 if thread.system is System.METRIC else 0.9743
    return math.pi / 4 * (thread.d_mm - factor * thread.pitch_mm) ** 2


def stress_area(thread: Thread, *, tables: ThreadTables) -> StressArea:
    """The tensile stress area of a thread, as printed where a table prints it, else by formula.

    Args:
        thread: the thread.
        tables: the listed threads.
    Raises:
        Refusal: as the formula's.
    Source: iso-898-1, asme-b1-1

    >>> stress_area(Thread("M42x3", System.METRIC, 42, 3), tables=ThreadTables((), (), ())).printed
    False
    """
    computed_mm2 = stress_area_by_formula_mm2(thread)
    for row in tables.threads:
        if _same(row, thread) and row.system is thread.system and row.stress_area_mm2 is not None:
            return StressArea(row.stress_area_mm2, True, row.source, row.status)
    source = "iso-898-1" if thread.system is System.METRIC else "asme-b1-1"
    return StressArea(computed_mm2, False, source, "standard-from-memory")


def thread_class(thread: Thread, *, class_name: str, tables: ThreadTables) -> ThreadClass:
    """The strengths of a property class or grade for the size of a thread.

    Args:
        thread: the thread.
        class_name: such as 8.8, 10.9, 12.9, SAE 5.
        tables: the classes.
    Raises:
        Refusal: when the class is not listed or does not cover this size or system.
    Source: iso-898-1, sae-j429

    >>> small = ThreadClass("8.8", System.METRIC, 1.6, 16, 580, 640, 800, "iso-898-1", "read")
    >>> m12 = Thread("M12x1.75", System.METRIC, 12, 1.75)
    >>> thread_class(m12, class_name="8.8", tables=ThreadTables((), (small,), ())).proof_mpa
    580
    """
    rows = [c for c in tables.classes if c.name == class_name]
    if not rows:
        known = ", ".join(dict.fromkeys(c.name for c in tables.classes))
        raise Refusal(f"Class {class_name!r} is not listed; give one of {known}.")
    for row in rows:
        if row.system is thread.system and row.from_mm <= thread.d_mm <= row.upto_mm:
            return row
    raise Refusal(
        "{thread} in class {name} is not a standard value: the class covers {system} threads of {least} to"
        " {greatest}; enter the proof stress of the material instead.",
        thread=thread.designation,
        name=class_name,
        system=rows[0].system.value,
        least=Amount(rows[0].from_mm, "length"),
        greatest=Amount(rows[-1].upto_mm, "length"),
    )


def proof_load(thread: Thread, *, class_name: str, tables: ThreadTables) -> ProofLoad:
    """The proof load of a thread in a property class, as printed where printed, else area × proof stress.

    Args:
        thread: the thread.
        class_name: such as 8.8, 10.9, 12.9, SAE 5.
        tables: areas, classes and printed loads.
    Raises:
        Refusal: when the class does not cover the thread; ISO 898-1 ends at M39, SAE J429 at 1 1/2 in.
    Source: iso-898-1, sae-j429

    >>> tables = ThreadTables(
    ...     (),
    ...     (ThreadClass("8.8", System.METRIC, 1.6, 16, 580, 640, 800, "iso-898-1", "read"),),
    ...     (PrintedProofLoad("8.8", 10, 1.5, 33_700, "iso-898-1", "read"),),
    ... )
    >>> m10 = Thread("M10x1.5", System.METRIC, 10, 1.5)
    >>> proof_load(m10, class_name="8.8", tables=tables).load_n   # as printed; 58.0 × 580 would be 33 640
    33700
    """
    strength = thread_class(thread, class_name=class_name, tables=tables)
    for row in tables.proof_loads:
        if row.class_name == class_name and _same(row, thread):
            return ProofLoad(row.load_n, Basis.PRINTED, row.source, row.status)
    area = stress_area(thread, tables=tables)
    return ProofLoad(area.area_mm2 * strength.proof_mpa, Basis.PRODUCT, strength.source, area.status)


def proof_load_of_material(thread: Thread, *, proof_mpa: float, tables: ThreadTables) -> ProofLoad:
    """The proof load of a thread cut in a material of known proof stress; not a standard value.

    Fp = As · Sp

    Args:
        thread: the thread, of any size.
        proof_mpa: proof stress of the rod's or bolt's material, MPa.
        tables: areas.
    Raises:
        Refusal: when the proof stress is not positive.
    Valid: for threads beyond the classes' tables, such as rod ends; the mechanic answers for the material.
    Source: shigley-bolts

    >>> m42 = Thread("M42x3", System.METRIC, 42, 3)
    >>> proof_load_of_material(m42, proof_mpa=600, tables=ThreadTables((), (), ())).load_n / 1000
    723.6
    """
    require_positive(proof_mpa=proof_mpa)
    area = stress_area(thread, tables=tables)
    return ProofLoad(area.area_mm2 * proof_mpa, Basis.NOT_STANDARD, area.source, area.status)


def pitch_diameter_mm(thread: Thread) -> float:
    """The basic pitch diameter of a 60° thread, mm.

    d2 = d − 0.6495 P

    Args:
        thread: the thread.
    Source: iso-68-1

    >>> pitch_diameter_mm(Thread("M16x1.5", System.METRIC, 16, 1.5))   # ISO 724: 15.026
    15.026
    """
    return thread.d_mm - 0.6495 * thread.pitch_mm


def _same(row: ListedThread | PrintedProofLoad, thread: Thread) -> bool:
    return math.isclose(row.d_mm, thread.d_mm) and math.isclose(row.pitch_mm, thread.pitch_mm)


def require_proportion(thread: str, *, d_mm: float, pitch_mm: float) -> None:
    """Refuse a pitch that no screw thread of this diameter has.

    Args:
        thread: the thread as typed or designated.
        d_mm: its diameter, mm.
        pitch_mm: its pitch, mm.
    Raises:
        Refusal: when diameter or pitch is not positive, or the pitch is not below a third of the diameter.

    >>> require_proportion("M3x42", d_mm=3, pitch_mm=42)
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: 'M3x42' has a pitch of 42 mm on 3 mm; it must be below a third of it.
    """
    require_positive(d_mm=d_mm, pitch_mm=pitch_mm)
    if pitch_mm >= d_mm / 3:
        raise Refusal(
            "{thread} has a pitch of {pitch} on {diameter}; it must be below a third of it.",
            thread=repr(thread),
            pitch=Amount(pitch_mm, "length"),
            diameter=Amount(d_mm, "length"),
        )
