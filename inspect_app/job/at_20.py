"""Brings sizes to 20 °C where the temperatures of parts and gauges stand on the nameplate (ISO 1).

Without both temperatures a reading is taken as it is, and nothing is added to its uncertainty. Gauges,
setting rings and rods are taken as steel; a part's material stands in the checklist.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inspect_app.job.job import Job, Reading
from inspect_app.job.judge import reading_u
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.temperature import size_at_20_mm, temperature_u_um
from inspect_app.trade.uncertainty import combined

STEP_MM = Decimal("0.0001")
"""A size at 20 °C is rounded to this: finer than any gauge at the bench shows."""

KNOWN_WITHIN_C = Decimal(1)
"""A temperature typed in at the bench is taken as known within ± this, °C (this project's choice)."""

MM_PER_UM = 0.001


@dataclass(frozen=True, slots=True)
class Sized:
    """A reading as it is judged: value and standard uncertainty, in the canonical unit; `corrected` to 20 °C or not."""

    value: Decimal
    u: float
    corrected: bool


def sized(reading: Reading, check: Check, job: Job, tables: Tables) -> Sized:
    """A reading as it is judged: a size at 20 °C where both temperatures are known, else as it was read.

    Args:
        reading: the reading.
        check: its check.
        job: the job, for the temperatures.
        tables: for the materials' expansion.
    Source: iso-1, gum
    """
    u = reading_u(reading, job)
    part_c, gauge_c = job.length("part_temperature"), job.length("gauge_temperature")
    if part_c is None or gauge_c is None or "size" not in check.characteristics or reading.value <= 0:
        return Sized(reading.value, u, False)
    part, gauge = tables.expansion[_material(check, job, tables)], tables.expansion["steel"]
    size = size_at_20_mm(reading_mm=reading.value, part=part, part_c=part_c, gauge=gauge, gauge_c=gauge_c)
    left_um = temperature_u_um(
        size_mm=reading.value,
        part=part,
        part_c=part_c,
        part_within_c=KNOWN_WITHIN_C,
        gauge=gauge,
        gauge_c=gauge_c,
        gauge_within_c=KNOWN_WITHIN_C,
    )
    return Sized(size.quantize(STEP_MM), combined(u, left_um * MM_PER_UM), True)


def _material(check: Check, job: Job, tables: Tables) -> str:
    parts = tables.cylinders[job.cylinder].parts
    return next((p.material for p in parts if p.id == check.part), "steel")
