"""Whether the cylinder as planned still stands: the wall its pressure, the rod or the telescope its push."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.job import staged
from inspect_app.job.outcome import Band, Bands, Outcome, judged, length_of, not_known, without_stop
from inspect_app.job.planned import Plan
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.strength.bowed_rod import bow_over_length_mm, push_capacity
from inspect_app.trade.strength.column import round_section
from inspect_app.trade.strength.force import circle_area_mm2
from inspect_app.trade.strength.hone_out import PressureCase, least_wall_mm
from inspect_app.trade.strength.wall_left import wall_use_after_honing


def _wall(plan: Plan, case_name: str) -> Outcome:
    title = f"Share of what the wall may bear at {case_name} pressure"
    found, cylinder = plan.found.sizes, plan.found.cylinder
    lacking = {
        "the wall is not measured": found.wall,
        "the bore is not measured": found.bore_smallest,
        "how deep the deepest mark is has not been measured": plan.sizes.bore,
        "the rated pressure is not known": cylinder.rated_mpa,
        "the yield strength of the barrel's steel is not known": cylinder.barrel_yield_mpa,
    }
    if why := next((w for w, x in lacking.items() if x is None), ""):
        return not_known("wall", title, why)
    assert found.wall
    assert found.bore_smallest
    assert plan.sizes.bore
    assert cylinder.rated_mpa
    assert cylinder.barrel_yield_mpa
    factor = plan.figure("afterwards", "proof-factor") if case_name == "proof" else 1.0
    band = Band(None, 1.0, "wall-shares")
    try:
        case = PressureCase(factor * cylinder.rated_mpa, plan.figure("afterwards", f"{case_name}-share"))
        used = wall_use_after_honing(
            bore=found.bore_smallest,
            honed=plan.sizes.bore,
            wall=found.wall,
            case=case,
            yield_mpa=cylinder.barrel_yield_mpa,
        )
        needed = least_wall_mm(case, bore_mm=plan.sizes.bore.value, yield_mpa=cylinder.barrel_yield_mpa)
    except Refusal as refusal:
        return Outcome("wall", title, Verdict.BEYOND, missing=without_stop(refusal.sentence))
    left = found.wall.value - (plan.sizes.bore.value - found.bore_smallest.value) / 2
    lengths = {"left": length_of(left), "u": length_of(found.wall.expanded), "needed": length_of(needed)}
    more = Sentence("Wall left {left} ±{u}, needed {needed}.", lengths)
    return judged("wall", title, used, band, kind="number", decimals=3, more=more)


def _share(of: str, title: str, used: Carried | str, source: str) -> Outcome:
    if isinstance(used, str):
        return not_known(of, title, used)
    return judged(of, title, used, Band(None, 1.0, source), kind="number", decimals=3)


def ground_wall(case_name: str) -> Callable[[Plan, Bands], Outcome | None]:
    """What the wall of a ground sleeve bears; of a rod there is none."""

    def reckon(plan: Plan, bands: Bands) -> Outcome | None:
        used = staged.wall_used(plan, case_name)
        title = f"Share of what the ground wall may bear at {case_name} pressure"
        return None if used is None else _share("wall", title, used, "wall-shares")

    return reckon


def wall_rated(plan: Plan, bands: Bands) -> Outcome | None:
    """What a honed wall bears at rated pressure."""
    return _wall(plan, "rated")


def wall_proof(plan: Plan, bands: Bands) -> Outcome | None:
    """What a honed wall bears at proof pressure."""
    return _wall(plan, "proof")


def column(plan: Plan, bands: Bands) -> Outcome | None:
    """Whether the rod, or the telescope with one stage worked on, stands its push as a column."""
    if plan.found.bore_field != "bore":
        title = "Push of the last stage as a share of what the telescope stands as a column"
        return _share("column", title, staged.column_used(plan), "column-safety")
    title = "Push of the cylinder as a share of what the rod stands as a column"
    sizes, cylinder = plan.sizes, plan.found.cylinder
    safety = plan.figure("afterwards", "column-safety")
    lacking = {
        "how long the column is and how its ends are held is not known": cylinder.column_mm,
        "the yield strength of the rod's steel is not known": cylinder.rod_yield_mpa,
        "the rated pressure is not known": cylinder.rated_mpa,
        "the area the oil pushes on is not known": cylinder.pushed_mm,
        "the steel below the chrome is not known": sizes.base,
        "the bow is not measured": sizes.runout and cylinder.span_mm,
    }
    if why := next((w for w, x in lacking.items() if x is None), ""):
        return not_known("column", title, why)
    length, span = float(cylinder.column_mm or 0), float(cylinder.span_mm or 0)
    push = circle_area_mm2(cylinder.pushed_mm or 0) * (cylinder.rated_mpa or 0)
    assert sizes.base
    assert sizes.runout

    def used(base_mm: float, runout_mm: float) -> float:
        bow = bow_over_length_mm(bow_mm=max(0.0, runout_mm) / 2, span_mm=span, length_mm=length)
        stands = push_capacity(
            round_section(outside_mm=base_mm),
            effective_length_mm=length,
            yield_mpa=cylinder.rod_yield_mpa or 0,
            bow_mm=bow,
            safety=safety,
        )
        return stands.utilisation(push)

    value = carry(used, base_mm=sizes.base, runout_mm=sizes.runout)
    return judged("column", title, value, Band(None, 1.0, "column-safety"), kind="number", decimals=3)
