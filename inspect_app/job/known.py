"""What is known of a cylinder's sizes when rework is planned: from its judged checks, its nameplate and answers.

Nothing is guessed: a size nobody measured stays unknown, and what hangs on it is not proven.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.cures import ToCure, to_cure
from inspect_app.job.findings import CheckResult
from inspect_app.job.known_of_each import PINNED, as_new, number_off, own_cylinder
from inspect_app.job.planned import NO_MARK, Cylinder, Found, Sizes
from inspect_app.job.roles import Several, roles_of, several_of
from inspect_app.job.weighing import mass_of
from inspect_app.tables.cylinders import Cylinder as Checklist
from inspect_app.tables.operations import Operations
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import expanded, u_of
from inspect_app.trade.sealing.extrusion_limits import limits_at
from inspect_app.trade.sealing.sheet_figures import GAP

UM_PER_MM = 1000
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

    def here(one: Several, cylinder: Cylinder, bore_field: str) -> Found:
        roles = roles_of(checklist, one.at)
        own = {role: checks[check] for role, check in roles.items() if check in checks}
        gap, source = _gap(own, roles, survey, handbook, (bore_field, one.holds))
        return Found(
            replace(cylinder, seal_gap_mm=gap, seal_gap_source=source),
            _sizes(own, survey, bore_field, roles),
            _deepest(own.get("bore-surface"), wanted, rules, one.at, "hone"),
            _deepest(own.get("rod-surface"), wanted, rules, one.at, "rechrome"),
            one.called,
            roles,
            bore_field,
        )

    main, *each = several_of(checklist)
    cylinder = _cylinder(survey, handbook, checklist)
    there = [one for one in each if not checks.keys().isdisjoint(roles_of(checklist, one.at).values())]
    several = {
        one.at: here(one, *own_cylinder(one.at, cylinder, survey, handbook, checklist)) for one in there
    }
    return replace(here(main, cylinder, "bore"), each=several)


PISTON_SEAL = "piston-seal"
"""The position of the seal list whose sheet says how wide a gap the piston may leave."""


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


def _sizes(
    checks: Mapping[str, CheckResult], survey: Survey, bore_field: str, roles: Mapping[str, str]
) -> Sizes:
    def of(role: str) -> list[Carried]:
        return _values(checks.get(role))

    sizes = Sizes(
        bore=_greatest(of("bore-diameter")),
        bore_smallest=_least(of("bore-diameter")),
        wall=_least(of("barrel-wall")),
        rod=_least(of("rod-diameter")),
        chrome=_least(of("rod-chrome")),
        runout=_greatest(of("rod-runout")),
        land=_least(of("piston-diameter")),
        ring_groove=_least(of("piston-wear-ring-groove-diameter")),
        ring=_ring(of("piston-new-ring"), survey, bore_field, roles),
        seal_groove=_least(of("piston-seal-groove-diameter")),
        gland=_greatest(of("gland-bore")),
    )
    if sizes.rod and sizes.chrome:
        base = carry(lambda d, um: d - 2 * um / UM_PER_MM, d=sizes.rod, um=sizes.chrome)
        sizes = replace(sizes, base=base)
    return sizes


def _ring(
    measured: list[Carried], survey: Survey, bore_field: str, roles: Mapping[str, str]
) -> Carried | None:
    """The new wear ring: as measured, or as the nominal sizes of bore and groove say."""
    if measured:
        return _least(measured)
    typed = survey.nominals.get(roles.get("piston-wear-ring-groove-diameter", ""))
    bore = survey.length(bore_field)
    groove = typed.value if typed else None
    return Carried(float(bore - groove) / 2) if bore and groove and bore > groove else None


def _deepest(
    result: CheckResult | None, wanted: tuple[ToCure, ...], rules: Operations, at: str, operation: str
) -> Carried | None:
    """The deepest mark an operation would take out; nought where there is none, None where one was not measured."""
    if result is None:
        return NO_MARK
    plain = rules.by_id[operation]
    taken = rules.by_id.get(f"{at}-{operation}", plain).cures.get(result.check.id, ())
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


def _cylinder(survey: Survey, handbook: Handbook, checklist: Checklist) -> Cylinder:
    bore, rod, stroke = (number_off(survey, name) for name in ("bore", "rod", "stroke"))
    closed = number_off(survey, "closed_length")
    eyes = all((told := survey.answers.get(q)) and told.text in PINNED for q in ("rod-end", "cap-end"))
    return Cylinder(
        bore_mm=bore,
        pushed_mm={"bore": bore, "rod": rod}.get(checklist.areas),
        rod_mm=rod,
        stroke_mm=stroke,
        span_mm=number_off(survey, "support_span"),
        # pinned at both ends the column is as long as the cylinder, rod fully out
        column_mm=number_off(survey, "column_length")
        or (closed + stroke if closed and stroke and eyes else None),
        rated_mpa=number_off(survey, "rated_pressure"),
        barrel_yield_mpa=number_off(survey, "barrel_yield"),
        rod_yield_mpa=number_off(survey, "rod_yield"),
        closed_mm=closed,
        outside_mm=number_off(survey, "outside_diameter"),
        mass_kg=number_off(survey, "mass") or _computed_kg(checklist, survey),
        new_bore=as_new(survey.length("bore"), "H8", handbook),
        new_rod=as_new(survey.length("rod"), "f7", handbook),
    )


def _computed_kg(checklist: Checklist, survey: Survey) -> float | None:
    """The mass of a kind without one rod, whose bar and tube the price of handling could not be taken from."""
    if "rod" in checklist.fields:
        return None
    try:
        return mass_of(checklist, survey).total_kg
    except Refusal:
        return None


def _gap(
    checks: Mapping[str, CheckResult],
    roles: Mapping[str, str],
    survey: Survey,
    handbook: Handbook,
    runs: tuple[str, str],
) -> tuple[float | None, str]:
    """The gap the piston seal stands at rated pressure: by its own sheet, which decides, else by the trade's table.

    No figure is shipped for lip seals: their makers print one each. A sheet somebody typed is no source of ours: "".
    """
    bore_field, held = runs
    place = f"piston of {held}" if held else "piston"
    sheet = survey.seals.sheets.get(((PISTON_SEAL, place), GAP))
    if sheet:
        return float(sheet.value.value), ""
    bore, rated = number_off(survey, bore_field), number_off(survey, "rated_pressure")
    diameter, width = (
        _nominal_or_read(f"piston-seal-groove-{size}", checks, roles, survey)
        for size in ("diameter", "width")
    )
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


def _nominal_or_read(
    role: str, checks: Mapping[str, CheckResult], roles: Mapping[str, str], survey: Survey
) -> float | None:
    nominal = survey.nominals.get(roles.get(role, ""))
    if nominal and nominal.value is not None:
        return float(nominal.value)
    read = _values(checks.get(role))
    return read[0].value if read else None
