"""What a job knows of its seals, as the seal list takes it: the one place where the two meet."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.job.job import Job
from inspect_app.job.measured import Sized, sizes_of
from inspect_app.job.seal_inputs import CylinderState, Duty, GrooveFound, Known
from inspect_app.tables import Tables
from inspect_app.tables.positions import MeasuredBy
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import expanded, u_of
from inspect_app.trade.sealing.seal_uses import fluid_code
from inspect_app.trade.strength.barrel import bore_swelling_mm

TYPED_WITHIN_MM = 0.05
"""A nominal size somebody typed is rounded: it is known so far (this project's choice, as for the limits)."""


def state_of(job: Job, tables: Tables, handbook: Handbook) -> CylinderState:
    """The cylinder of a job as it is: what was answered, read, and stands on its nameplate.

    Args:
        job: the job.
        tables: the tables that judge it, for checks and gauges.
        handbook: the positions, and which checks measure them.
    """
    kinds = [kind.id for kind in handbook.positions.kinds.values() if kind.checklist == job.cylinder]
    if not kinds:
        raise Refusal(f"No kind of cylinder in positions.toml is measured by the checklist {job.cylinder!r}.")
    measured = [m for m in handbook.positions.measured if m.checklist == job.cylinder]
    answers = {question: answer.text for question, answer in job.answers.items()}
    return CylinderState(
        kind=kinds[0],
        sizes=answers.get("sizes", ""),
        bore_mm=_nameplate(job, "bore"),
        rod_mm=_nameplate(job, "rod"),
        duty=_duty(job, tables, handbook),
        answers=answers,
        grooves=tuple(_groove(m, job, tables) for m in measured),
    )


def _duty(job: Job, tables: Tables, handbook: Handbook) -> Duty:
    return Duty(
        fluid=fluid_code(typed=job.text("fluid"), tables=handbook.seal_materials) or "",
        rated_mpa=_nameplate(job, "rated_pressure"),
        hottest_c=_nameplate(job, "oil_temperature"),
        swell_mm=_swell(job, tables),
    )


def _nameplate(job: Job, field: str) -> float | None:
    value = job.length(field)
    return None if value is None else float(value)


def _swell(job: Job, tables: Tables) -> float | None:
    """Growth of the bore at the rated pressure, by the thinnest wall that was read, else by the nameplate's outside."""
    bore, pressure = _nameplate(job, "bore"), _nameplate(job, "rated_pressure")
    wall, outside = _known("barrel-wall", job, tables), _nameplate(job, "outside_diameter")
    if bore and wall:
        outside = bore + 2 * wall.size.least_mm
    if not (bore and pressure and outside):
        return None
    try:
        return bore_swelling_mm(bore_mm=bore, outside_mm=outside, pressure_mpa=pressure)
    except Refusal:
        return None  # an outside smaller than the bore: the list asks for the wall


def _groove(m: MeasuredBy, job: Job, tables: Tables) -> GrooveFound:
    sealed, land, diameter = (_known(check, job, tables) for check in (m.sealed, m.land, m.diameter))
    if diameter and sealed and land and not m.nominal:
        # a joint's ring may be cut in either part: it seals on the one that lies farther from its groove
        sealed, land = sorted((sealed, land), key=lambda k: -abs(k.value_mm - diameter.value_mm))
    roughness = [float(s.value) for s in _sized(m.surface, job, tables)]
    return GrooveFound(
        m.position,
        m.place,
        diameter=diameter,
        width=_known(m.width, job, tables),
        sealed=sealed,
        nominal_mm=_nameplate(job, m.nominal) if m.nominal else None,
        land=land,
        strip=_known(m.strip, job, tables),
        roughness_um=max(roughness, default=None),
    )


def _sized(check_id: str, job: Job, tables: Tables) -> list[Sized]:
    check = tables.cylinders[job.cylinder].check(check_id)
    return sizes_of(check, job, tables) if check else []


def _known(check_id: str, job: Job, tables: Tables) -> Known | None:
    """A check's readings as one size; else the nominal size somebody typed at it; else None."""
    sizes = [s for s in _sized(check_id, job, tables) if s.value > 0]
    if sizes:
        values = [s.value for s in sizes]
        widest = max(float(expanded(u_of(s.terms))) for s in sizes)
        mean = sum(values, Decimal(0)) / len(values)
        return Known(float(mean), widest, len(values), float(min(values)), float(max(values)))
    typed = job.nominals.get(check_id)
    return Known(float(typed.value), TYPED_WITHIN_MM) if typed and typed.value and typed.value > 0 else None
