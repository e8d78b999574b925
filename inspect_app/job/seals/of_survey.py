"""What a survey knows of its seals, as the seal list takes it: the one place where the two meet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import DefectSize, Survey
from inspect_app.entries.ordering import CALIPER
from inspect_app.entries.seals import OldSeal, Receipt, Where
from inspect_app.job.checks import assess_check
from inspect_app.job.findings import Finding
from inspect_app.job.measured import Sized, size_terms, sizes_of
from inspect_app.job.planned_survey import PLANNED_GAUGE
from inspect_app.job.present import is_asked
from inspect_app.job.seals.inputs import (
    Closing,
    CylinderState,
    Duty,
    Energiser,
    Fitted,
    GrooveFound,
    Known,
    OldFound,
    SheetFigure,
    Stated,
)
from inspect_app.tables import Tables
from inspect_app.tables.positions import MeasuredBy
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.uncertainty import expanded, u_of
from inspect_app.trade.sealing.seal_uses import fluid_code
from inspect_app.trade.sealing.sheet_figures import GAP
from inspect_app.trade.strength.barrel import bore_swelling_mm

TYPED_WITHIN_MM = 0.05
"""A nominal size somebody typed is rounded: it is known so far (this project's choice, as for the limits)."""

BENT = "rod-runout"
"""The check whose runout says that the rod is bent."""


def state_of(survey: Survey, tables: Tables, handbook: Handbook) -> CylinderState:
    """The cylinder of a survey: what was answered, read, and stands on its nameplate.

    Args:
        survey: the state of the cylinder.
        tables: the tables that judge it, for checks and gauges.
        handbook: the positions, and which checks measure them.
    """
    kinds = [kind.id for kind in handbook.positions.kinds.values() if kind.checklist == survey.cylinder]
    if not kinds:
        raise Refusal(
            f"No kind of cylinder in positions.toml is measured by the checklist {survey.cylinder!r}."
        )
    measured = handbook.positions.measured_on(survey.cylinder)
    answers = {question: answer.text for question, answer in survey.answers.items()}
    said = survey.seals
    # many grooves are measured by one bore or rod: its readings are brought to one size once
    checks = dict.fromkeys(c for m in measured for c in (m.sealed, m.land, m.diameter, m.width, m.strip))
    known = {check: _known(check, survey, tables) for check in checks}
    grooves = {g.where: g for g in (_groove(m, known, survey, tables) for m in measured)}
    grooves |= {where: _told(where, grooves, survey) for where in (*said.there, *said.old)}
    return CylinderState(
        kind=kinds[0],
        stages=int(answers.get("stages", "0")),
        sizes=answers.get("sizes", ""),
        bore_mm=_nameplate(survey, "bore"),
        rod_mm=_nameplate(survey, "rod"),
        duty=_duty(survey, tables, handbook),
        answers=answers,
        called={q.id: q.answers for q in tables.cylinders[survey.cylinder].questions},
        said={where: there.words for where, there in said.there.items()},
        grooves=tuple(grooves.values()),
        sheets={
            where: SheetFigure(float(off.value.value), off.sheet)
            for (where, figure), off in said.sheets.items()
            if figure == GAP
        },
        stated=_stated(survey),
        fitted={w: Fitted(there.fitted, there.material) for w, there in said.there.items() if there.fitted},
        old={where: _old(where, old, survey, tables, handbook) for where, old in said.old.items()},
        energisers={w: Energiser(float(t.behind.value), t.word) for w, t in said.there.items() if t.behind},
        closed={(*d.where, d.rule, d.says): Closing(d.by, d.reason) for d in said.closed},
    )


def sections_of(receipts: Sequence[Receipt], survey: Survey, tables: Tables) -> dict[str, Known]:
    """The sections of rings that came, by receipt, with what the caliper may be off.

    Args:
        receipts: what came.
        survey: the state of the cylinder, for the gauge.
        tables: the tables, for its kind.
    """
    found = {}
    for receipt in receipts:
        if size := receipt.section:
            taken = DefectSize(size.value, size.typed, size.step, size.gauge)
            terms = size_terms(taken, CALIPER, receipt.id, survey, tables) or {}
            found[receipt.id] = Known(float(size.value), float(expanded(u_of(terms))), 1)
    return found


def remeasured(found: Survey, left: Survey) -> Survey:
    """A state with what was measured again after the work as it was measured then, check by check.

    Args:
        found: the cylinder as found, or as a path leaves it.
        left: what was said of it as left.
    """
    return replace(
        found,
        gauges={**found.gauges, **left.gauges},
        nominals={**found.nominals, **left.nominals},
        readings={**found.readings, **{check: read for check, read in left.readings.items() if read}},
        seals=replace(
            found.seals,
            there={**found.seals.there, **left.seals.there},
            sheets={**found.seals.sheets, **left.seals.sheets},
            closed=(*found.seals.closed, *left.seals.closed),
        ),
    )


def _told(where: Where, grooves: Mapping[Where, GrooveFound], survey: Survey) -> GrooveFound:
    """A groove with what was told of it: how many and which way, corner and lead-in, the section of its old seal."""
    groove = grooves.get(where) or GrooveFound(*where)
    there, old = survey.seals.there.get(where), survey.seals.old.get(where)
    if old and old.section:
        groove = replace(groove, old_section=Known(float(old.section.value), TYPED_WITHIN_MM, 1))
    if there is None:
        return groove
    corner = float(there.corner.value) if there.corner else None
    return replace(groove, number=there.count, corner_mm=corner, lead_in=there.lead_in, lips_face=there.lips)


def _stated(survey: Survey) -> dict[Where, tuple[Stated, ...]]:
    stated: dict[Where, tuple[Stated, ...]] = {}
    for (where, figure), off in survey.seals.sheets.items():
        if figure != GAP:
            stated[where] = (*stated.get(where, ()), Stated(figure, float(off.value.value), off.sheet))
    return stated


def _old(where: Where, old: OldSeal, survey: Survey, tables: Tables, handbook: Handbook) -> OldFound:
    """An old seal with what the assessment adds: the oval of what it ran on, the bend of its rod."""
    states = tuple(tables.old_seals[s] for s in old.states if s in tables.old_seals)
    measured = handbook.positions.measured_by(survey.cylinder, *where)
    beside = {("oval", measured.sealed if measured else "", "ovality"), ("bent", BENT, "tir")}
    evidence = {
        name: _outside(finding)
        for name, check, characteristic in beside
        for finding in _findings(check, survey, tables)
        if (finding.characteristic, finding.verdict) == (characteristic, Verdict.BEYOND)
    }
    section, hardness = (float(x.value) if x else None for x in (old.section, old.hardness))
    return OldFound(states, section, hardness, evidence)


def _findings(check_id: str, survey: Survey, tables: Tables) -> tuple[Finding, ...]:
    """What is made of a check, nothing where it is not asked for."""
    cylinder = tables.cylinders[survey.cylinder]
    check = cylinder.check(check_id)
    if check is None or not is_asked(check, survey):
        return ()
    return assess_check(check, cylinder, survey, tables).findings


def _outside(finding: Finding) -> Sentence:
    title = finding.title[:1].upper() + finding.title[1:]
    value = Amount(finding.value or Decimal(0), finding.kind)
    return Sentence(f"{title} {{value}} is outside its limit.", {"value": value})


def _duty(survey: Survey, tables: Tables, handbook: Handbook) -> Duty:
    return Duty(
        fluid=fluid_code(typed=survey.text("fluid"), tables=handbook.seal_materials) or "",
        rated_mpa=_nameplate(survey, "rated_pressure"),
        throttled={"yes": True, "no": False}.get(survey.text("rod_side_throttled").strip().lower()),
        coldest_c=_nameplate(survey, "coldest_start"),
        hottest_c=_nameplate(survey, "oil_temperature"),
        speed_m_s=_metres_a_second(survey),
        swell_mm=swell_of(survey, tables),
    )


def _nameplate(survey: Survey, field: str) -> float | None:
    value = survey.length(field)
    return None if value is None else float(value)


def _metres_a_second(survey: Survey) -> float | None:
    mm_a_minute = _nameplate(survey, "rod_speed")
    return None if mm_a_minute is None else mm_a_minute / 60_000


def swell_of(survey: Survey, tables: Tables, bore_mm: float | None = None) -> float | None:
    """Growth of the bore at the rated pressure, by the thinnest wall that was read, else by the nameplate's outside.

    Args:
        survey: the state of the cylinder.
        tables: the tables that judge it.
        bore_mm: the bore as it will be; its outside stays.
    """
    bore, pressure = _nameplate(survey, "bore"), _nameplate(survey, "rated_pressure")
    wall, outside = _known("barrel-wall", survey, tables), _nameplate(survey, "outside_diameter")
    if bore and wall:
        outside = bore + 2 * wall.size.least_mm
    if not (bore and pressure and outside):
        return None
    try:
        return bore_swelling_mm(bore_mm=bore_mm or bore, outside_mm=outside, pressure_mpa=pressure)
    except Refusal:
        return None  # an outside smaller than the bore: the list asks for the wall


def _groove(m: MeasuredBy, known: Mapping[str, Known | None], survey: Survey, tables: Tables) -> GrooveFound:
    sealed, land, diameter = (known[check] for check in (m.sealed, m.land, m.diameter))
    if diameter and sealed and land and not m.nominal:
        # a joint's ring may be cut in either part: it seals on the one that lies farther from its groove
        sealed, land = sorted((sealed, land), key=lambda k: -abs(k.value_mm - diameter.value_mm))
    roughness = [float(s.value) for s in _sized(m.surface, survey, tables)]
    return GrooveFound(
        m.position,
        m.place,
        diameter=diameter,
        width=known[m.width],
        sealed=sealed,
        nominal_mm=_nameplate(survey, m.nominal) if m.nominal else None,
        land=land,
        strip=known[m.strip],
        roughness_um=max(roughness, default=None),
    )


def _sized(check_id: str, survey: Survey, tables: Tables) -> list[Sized]:
    check = tables.cylinders[survey.cylinder].check(check_id)
    return sizes_of(check, survey, tables) if check else []


def _known(check_id: str, survey: Survey, tables: Tables) -> Known | None:
    """A check's readings as one size; else the nominal size somebody typed at it; else None."""
    sizes = [s for s in _sized(check_id, survey, tables) if s.value > 0]
    if sizes:
        values = [s.value for s in sizes]
        widest = max(float(expanded(u_of(s.terms))) for s in sizes)
        mean = sum(values, Decimal(0)) / len(values)
        gauges = {survey.gauges[r.gauge].kind for r in survey.readings.get(check_id, {}).values()}
        read = 0 if gauges == {PLANNED_GAUGE} else len(values)
        return Known(float(mean), widest, read, float(min(values)), float(max(values)))
    typed = survey.nominals.get(check_id)
    return Known(float(typed.value), TYPED_WITHIN_MM) if typed and typed.value and typed.value > 0 else None
