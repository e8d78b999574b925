"""What is known of a cylinder's sizes when rework is planned: from its judged checks, its nameplate and answers.

Nothing is guessed: a size nobody measured stays unknown, and what hangs on it is not proven.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.cures import ToCure, to_cure
from inspect_app.job.findings import CheckResult
from inspect_app.job.planned import NO_MARK, Cylinder, Found, Sizes
from inspect_app.job.weighing import mass_of
from inspect_app.tables.cylinders import Cylinder as Checklist
from inspect_app.tables.operations import Operations
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form.fits import limits_of_size
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import expanded, u_of
from inspect_app.trade.sealing.extrusion_limits import limits_at
from inspect_app.trade.sealing.sheet_figures import GAP

UM_PER_MM = 1000
PINNED = ("eye-with-bush", "eye-with-spherical-bearing", "clevis")
"""The ends a pin goes through."""
TYPED_WITHIN_MM = 0.06
"""A groove's nominal, as typed or read, names a housing when it lies so near: figures are rounded, grooves wear."""


def found_of(
    assessment: Assessment, survey: Survey, rules: Operations, handbook: Handbook, checklist: Checklist
) -> Found:
    """A cylinder's sizes with their U, and what stays whatever is done.

    Args:
        assessment: the cylinder as it was judged.
        survey: the state of the cylinder, for nameplate, nominal sizes and answers.
        rules: the operations: which marks honing and re-chroming take out.
        handbook: tables to look things up in.
        checklist: the cylinder's checklist, which says what kind it is.
    """
    checks = {c.check.id: c for p in assessment.parts for c in p.checks}
    wanted = to_cure(assessment)
    sizes = _sizes(checks, survey)
    cylinder = _cylinder(checks, survey, handbook, checklist)
    return Found(
        cylinder,
        sizes,
        _deepest(checks.get("bore-surface"), wanted, rules, "hone"),
        _deepest(checks.get("rod-surface"), wanted, rules, "rechrome"),
    )


PISTON_SEAL = ("piston-seal", "piston")
"""The place of the seal list whose sheet says how wide a gap the piston may leave."""


def _number(survey: Survey, name: str) -> float | None:
    value = survey.length(name)
    return None if value is None else float(value)


def duties_of(survey: Survey, rules: Operations) -> dict[str, bool]:
    """What the nameplate says of the duties that nonsense asks for; only a plain yes or no counts.

    Args:
        survey: the state of the cylinder.
        rules: the operations and what is nonsense.
    """
    said = {x.duty: survey.text(x.duty).strip().casefold() for x in rules.nonsense if x.duty}
    return {duty: text == "yes" for duty, text in said.items() if text in ("yes", "no")}


def _values(result: CheckResult | None) -> list[Carried]:
    """Every reading of a check as it is judged, with its U."""
    if result is None:
        return []
    sized = [p.sized for p in result.places if p.sized]
    return [Carried(float(s.value), float(expanded(u_of(s.terms)))) for s in sized]


def _greatest(values: Iterable[Carried]) -> Carried | None:
    return max(values, key=lambda v: v.value, default=None)


def _least(values: Iterable[Carried]) -> Carried | None:
    return min(values, key=lambda v: v.value, default=None)


def _sizes(checks: Mapping[str, CheckResult], survey: Survey) -> Sizes:
    def of(check: str) -> list[Carried]:
        return _values(checks.get(check))

    sizes = Sizes(
        bore=_greatest(of("bore-diameter")),
        bore_smallest=_least(of("bore-diameter")),
        wall=_least(of("barrel-wall")),
        rod=_least(of("rod-diameter")),
        chrome=_least(of("rod-chrome")),
        runout=_greatest(of("rod-runout")),
        land=_least(of("piston-diameter")),
        ring_groove=_least(of("piston-wear-ring-groove-diameter")),
        ring=_ring(of("piston-new-ring"), survey),
        seal_groove=_least(of("piston-seal-groove-diameter")),
        gland=_greatest(of("gland-bore")),
    )
    if sizes.rod and sizes.chrome:
        base = carry(lambda d, um: d - 2 * um / UM_PER_MM, d=sizes.rod, um=sizes.chrome)
        sizes = replace(sizes, base=base)
    return sizes


def _ring(measured: list[Carried], survey: Survey) -> Carried | None:
    """The new wear ring: as measured, or as the nominal sizes of bore and groove say."""
    if measured:
        return _least(measured)
    bore, typed = survey.length("bore"), survey.nominals.get("piston-wear-ring-groove-diameter")
    groove = typed.value if typed else None
    return Carried(float(bore - groove) / 2) if bore and groove and bore > groove else None


def _deepest(
    result: CheckResult | None, wanted: tuple[ToCure, ...], rules: Operations, operation: str
) -> Carried | None:
    """The deepest mark an operation would take out; nought where there is none, None where one was not measured."""
    if result is None:
        return NO_MARK
    taken = rules.by_id[operation].cures.get(result.check.id, ())
    ids = {w.finding.defect for w in wanted if w.check == result.check.id and w.name in taken}
    depths: list[Carried] = []
    for defect in (d for d in result.defects if d.id in ids):
        size = defect.sizes.get("depth")
        told = [f for f in result.findings if f.defect == defect.id]
        if size is None and any(f.characteristic == "felt" and f.value for f in told):
            return None
        if size is not None:
            u = next((f.u for f in told if f.characteristic == "depth"), 0.0)
            depths.append(Carried(float(size.value), float(expanded(u))))
    return _greatest(depths) or NO_MARK


def _cylinder(
    checks: Mapping[str, CheckResult], survey: Survey, handbook: Handbook, checklist: Checklist
) -> Cylinder:
    bore, rod, stroke = (_number(survey, name) for name in ("bore", "rod", "stroke"))
    closed = _number(survey, "closed_length")
    eyes = all((told := survey.answers.get(q)) and told.text in PINNED for q in ("rod-end", "cap-end"))
    gap, source = _gap(checks, survey, handbook)
    return Cylinder(
        bore_mm=bore,
        pushed_mm={"bore": bore, "rod": rod}.get(checklist.areas),
        rod_mm=rod,
        stroke_mm=stroke,
        span_mm=_number(survey, "support_span"),
        # pinned at both ends the column is as long as the cylinder, rod fully out
        column_mm=closed + stroke if closed and stroke and eyes else None,
        rated_mpa=_number(survey, "rated_pressure"),
        barrel_yield_mpa=_number(survey, "barrel_yield"),
        rod_yield_mpa=_number(survey, "rod_yield"),
        seal_gap_mm=gap,
        seal_gap_source=source,
        closed_mm=closed,
        outside_mm=_number(survey, "outside_diameter"),
        mass_kg=_number(survey, "mass") or _computed_kg(checklist, survey),
        new_bore=_as_new(survey.length("bore"), "H8", handbook),
        new_rod=_as_new(survey.length("rod"), "f7", handbook),
    )


def _computed_kg(checklist: Checklist, survey: Survey) -> float | None:
    """The mass of a kind without one rod, whose bar and tube the price of handling could not be taken from."""
    if "rod" in checklist.fields:
        return None
    try:
        return mass_of(checklist, survey).total_kg
    except Refusal:
        return None


def _as_new(nominal: Decimal | None, fit: str, handbook: Handbook) -> Carried | None:
    """The middle of a tolerance, with half of it either way."""
    if nominal is None:
        return None
    try:
        size = limits_of_size(nominal_mm=nominal, fit_class=fit, tables=handbook.iso286)
    except Refusal:
        return None
    low, high = float(size.lower_mm), float(size.upper_mm)
    return Carried((low + high) / 2, (high - low) / 2)


def _gap(checks: Mapping[str, CheckResult], survey: Survey, handbook: Handbook) -> tuple[float | None, str]:
    """The gap the piston seal stands at rated pressure: by its own sheet, which decides, else by the trade's table.

    No figure is shipped for lip seals: their makers print one each. A sheet somebody typed is no source of ours: "".
    """
    sheet = survey.seals.sheets.get((PISTON_SEAL, GAP))
    if sheet:
        return float(sheet.value.value), ""
    bore, rated = _number(survey, "bore"), _number(survey, "rated_pressure")
    diameter = _nominal_or_read("piston-seal-groove-diameter", checks, survey)
    width = _nominal_or_read("piston-seal-groove-width", checks, survey)
    if bore is None or rated is None or diameter is None or width is None:
        return None, ""
    housing = next(
        (
            h
            for h in handbook.housings
            if (h.groove_in, h.kind) == ("piston", "piston")
            and h.sealed.nominal_mm == bore
            and abs(h.groove.nominal_mm - diameter) <= TYPED_WITHIN_MM
            and h.width.nominal_mm - TYPED_WITHIN_MM
            <= width
            <= h.width.nominal_mm + h.width.upper_mm + TYPED_WITHIN_MM
        ),
        None,
    )
    if housing is None or housing.ring_section_mm is None:
        return None, ""
    try:
        rows = limits_at(
            pressure_mpa=rated,
            section_mm=housing.ring_section_mm,
            hardness_shore_a=None,
            seal="plastic-faced",
            limits=handbook.gaps,
        )
    except Refusal:
        return None, ""
    row = min(rows, key=lambda r: r.greatest_mm)
    return row.greatest_mm, row.source


def _nominal_or_read(check: str, checks: Mapping[str, CheckResult], survey: Survey) -> float | None:
    nominal = survey.nominals.get(check)
    if nominal and nominal.value is not None:
        return float(nominal.value)
    read = _values(checks.get(check))
    return read[0].value if read else None
