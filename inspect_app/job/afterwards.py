"""Holds the cylinder as planned against what it must stand: wall, gap, clearance, chrome, steel, bow, column.

Each outcome is proven within, proven outside or not proven, with its figure and its limit; what cannot be
reckoned says what is missing and is never passed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.job import staged
from inspect_app.job.planned import Plan, piston_room, swelling_mm
from inspect_app.trade.measuring.amounts import Shown
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.decision import Verdict, decide
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence, joined
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.measuring.wording import capital, inside
from inspect_app.trade.sealing.extrusion import piston_gap
from inspect_app.trade.strength.bowed_rod import bow_over_length_mm, push_capacity
from inspect_app.trade.strength.column import round_section
from inspect_app.trade.strength.force import circle_area_mm2
from inspect_app.trade.strength.hone_out import PressureCase, least_wall_mm
from inspect_app.trade.strength.wall_left import wall_use_after_honing

FINEST = Decimal("0.0001")
"""A planned figure is decided to this: finer than anything it is made of."""


@dataclass(frozen=True, slots=True)
class Band:
    """A limit on a planned figure, and who says so; None on a side without one."""

    lower: float | None
    upper: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """One thing reckoned for the cylinder as planned.

    `of` is the key of what was reckoned, `title` its name in a sentence; without a value `missing` says what
    is not known. `kind` is the quantity's, shown with `decimals` in metric units. `more` is what else belongs
    to the figure.
    """

    of: str
    title: Said | str
    verdict: Verdict
    value: Carried | None = None
    band: Band | None = None
    kind: str = "length"
    decimals: int = 2
    missing: Said | str = ""
    more: Sentence = UNSAID

    @property
    def sentence(self) -> Sentence:
        """Figure, limit and verdict in one sentence."""
        proven = PROVEN[self.verdict]
        if self.value is None or self.band is None:
            why = ", {missing}" if self.missing else ""
            return Sentence(f"{{title}}: {proven}{why}.", {"title": self.title, "missing": self.missing})
        parts: dict[str, Said | str] = {
            "title": self.title,
            "value": self._shown(self.value.value, bare=True),
            "expanded": self._shown(self.value.expanded),
            "limit": self._limit(self.band.lower, self.band.upper),
        }
        told = Sentence(f"{{title}} {{value}} ±{{expanded}} against {{limit}}: {proven}.", parts)
        return joined((told, self.more), " ") if self.more else told

    def _shown(self, number: float, *, bare: bool = False) -> Shown:
        return Shown(_exact(number), self.kind, self.decimals, bare)

    def _limit(self, lower: float | None, upper: float | None) -> Sentence:
        if lower is not None and upper is not None:
            return joined((self._shown(lower, bare=True), self._shown(upper)), " to ")
        if lower is not None:
            return joined(("at least", self._shown(lower)), " ")
        return joined(("at most", self._shown(upper or 0)), " ")


PROVEN = {
    Verdict.WITHIN: "within",
    Verdict.BEYOND: "outside",
    Verdict.UNCLEAR: "not proven, too close to limit",
    Verdict.NOT_MEASURED: "not proven",
}


Bands = Mapping[str, Band]
"""Limits the shop's own tables write, by key: bore, clearance, gland, chrome, base, runout."""


def outcomes(plan: Plan, bands: Bands) -> tuple[Outcome, ...]:
    """Everything the plan's operations ask to be reckoned afterwards.

    Args:
        plan: the cylinder as planned.
        bands: the limits of the tables that hold on this cylinder.
    """
    told = (outcome for key in plan.computed for reckon in RECKONED[key] if (outcome := reckon(plan, bands)))
    called = plan.found.called
    return tuple(
        replace(o, title=f"{capital(called)}, {inside(str(o.title))}") if called else o for o in told
    )


def _judged(
    plan: Plan,
    of: str,
    title: str,
    value: Carried,
    band: Band,
    *,
    kind: str = "length",
    decimals: int = 2,
    more: Sentence = UNSAID,
) -> Outcome:
    lower, upper = (None if x is None else _exact(x) for x in (band.lower, band.upper))
    decision = decide(
        value=_exact(value.value), lower=lower, upper=upper, expanded_uncertainty=_exact(value.expanded)
    )
    return Outcome(of, title, decision.verdict, value, band, kind, decimals, more=more)


def _exact(number: float) -> Decimal:
    return Decimal(repr(number)).quantize(FINEST)


def _length(mm: float) -> Shown:
    return Shown(_exact(mm), "length", 2)


def _without_stop(sentence: Sentence) -> Sentence:
    return Sentence(sentence.template.removesuffix("."), sentence.parts)


def _missing(of: str, title: str, why: str) -> Outcome:
    return Outcome(of, title, Verdict.NOT_MEASURED, missing=why)


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
        return _missing("wall", title, why)
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
        return Outcome("wall", title, Verdict.BEYOND, missing=_without_stop(refusal.sentence))
    left = found.wall.value - (plan.sizes.bore.value - found.bore_smallest.value) / 2
    lengths = {"left": _length(left), "u": _length(found.wall.expanded), "needed": _length(needed)}
    more = Sentence("Wall left {left} ±{u}, needed {needed}.", lengths)
    return _judged(plan, "wall", title, used, band, kind="number", decimals=3, more=more)


def _gap(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Gap beside the piston seal at rated pressure"
    sizes, cylinder = plan.sizes, plan.found.cylinder
    swell = swelling_mm(plan)
    lacking = {
        "the bore as it will be is not known": sizes.bore,
        "how far the bore swells cannot be reckoned: wall, bore and rated pressure are needed": swell,
        "no gap is written for this seal: ask its maker for the figure": cylinder.seal_gap_mm,
        "piston, wear ring groove or wear ring is not measured": sizes.land
        and sizes.ring_groove
        and sizes.ring,
    }
    if why := next((w for w, x in lacking.items() if x is None), ""):
        return _missing("gap", title, why)
    assert sizes.bore
    assert swell
    assert sizes.land
    assert sizes.ring_groove
    assert sizes.ring
    # a new piston is turned to the bore as measured then: what the hone may be off is not in its gap
    bore = Carried(sizes.bore.value) if plan.does("new-piston") else sizes.bore
    strip = math.hypot(sizes.ring.expanded, plan.figure("new-piston", "strip-tolerance"))
    ring = Carried(sizes.ring.value, strip)

    def gap(bore_mm: float, land_mm: float, groove_mm: float, ring_mm: float, swell_mm: float) -> float:
        return piston_gap(
            bore=_plain(bore_mm),
            land=_plain(land_mm),
            ring_groove=_plain(groove_mm),
            ring_thickness=_plain(ring_mm),
            swell_mm=swell_mm,
        ).one_sided_mm

    at = {
        "bore_mm": bore,
        "land_mm": sizes.land,
        "groove_mm": sizes.ring_groove,
        "ring_mm": ring,
        "swell_mm": swell,
    }
    band = Band(None, cylinder.seal_gap_mm, cylinder.seal_gap_source)
    more = joined([words for words in (_no_room(plan), _by_the_table(plan)) if words], " ")
    return _judged(plan, "gap", title, carry(gap, **at), band, more=more)


def _no_room(plan: Plan) -> Sentence:
    """Why no piston at all fits, nothing where one does or none is made."""
    room = piston_room(plan) if plan.does("new-piston") else None
    if room is None or room.width_mm >= 0:
        return UNSAID
    return Sentence(
        "Metal stays off metal from {least} of clearance, and the seal stands {greatest} at most: take another seal.",
        {"least": _length(room.least_mm), "greatest": _length(max(0.0, room.greatest_mm))},
    )


def _by_the_table(plan: Plan) -> Sentence:
    """That a table stands in for the seal's sheet: it and the clearance of a new land do not agree."""
    if not plan.found.cylinder.seal_gap_source:
        return UNSAID
    return Sentence(
        "That figure is the trade's; the seal's own sheet decides, give its greatest gap on the seal list."
    )


def _plain(mm: float) -> Size:
    return Size.plus_minus(mm, 0)


def _metal_gap(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Gap that keeps the piston's metal off the bore"
    sizes = plan.sizes
    if sizes.land is None or sizes.ring_groove is None or sizes.ring is None:
        return _missing("gap", title, "piston, wear ring groove or wear ring is not measured")
    strip = math.hypot(sizes.ring.expanded, plan.figure("new-piston", "strip-tolerance"))
    metal = carry(
        lambda land, groove, ring: ring - (land - groove) / 2,
        land=sizes.land,
        groove=sizes.ring_groove,
        ring=Carried(sizes.ring.value, strip),
    )
    return _judged(plan, "gap", title, metal, Band(0.0, None, "guided-gap"))


def _squeeze(plan: Plan, bands: Bands) -> Outcome | None:
    """Standard seals fit a bore a little over nominal; beyond that another seal or another piston is needed."""
    bore, cylinder = plan.sizes.bore, plan.found.cylinder
    if plan.does("new-piston", "special-seal"):
        return None
    title = "Bore over nominal for the standard piston seal"
    if bore is None or cylinder.bore_mm is None:
        return _missing("squeeze", title, "the bore as it will be is not known")
    over = Carried(bore.value - cylinder.bore_mm, bore.expanded)
    most = plan.figure("hone", "standard-seals")
    deeper = {"deeper": _length(over.value / 2)}
    more = Sentence("Its groove is {deeper} deeper than in the nominal bore.", deeper)
    return _judged(
        plan, "squeeze", title, over, Band(None, most, "oversize-tm"), more=more if over.value > 0 else UNSAID
    )


def _piston_clearance(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Clearance of the piston in the bore"
    found, sizes = plan.found.sizes, plan.sizes
    if "clearance" not in bands or (found.bore, found.land) == (sizes.bore, sizes.land):
        return None
    if plan.sizes.bore is None or plan.sizes.land is None:
        return _missing("clearance", title, "bore or piston as it will be is not known")
    bore = Carried(plan.sizes.bore.value) if plan.does("new-piston") else plan.sizes.bore
    room = carry(lambda hole, shaft: hole - shaft, hole=bore, shaft=plan.sizes.land)
    return _judged(plan, "clearance", title, room, bands["clearance"])


def _gland_clearance(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Clearance of the gland on the rod"
    made_to_fit = plan.does("sleeve-gland", "new-gland", "renew-bush")
    if "gland" not in bands or made_to_fit or plan.found.sizes.rod == plan.sizes.rod:
        return None
    if plan.sizes.gland is None or plan.sizes.rod is None:
        return _missing("clearance", title, "gland or rod as it will be is not known")
    room = carry(lambda hole, shaft: hole - shaft, hole=plan.sizes.gland, shaft=plan.sizes.rod)
    return _judged(plan, "clearance", title, room, bands["gland"])


def _from_band(
    key: str, title: str, kind: str, decimals: int, why: str
) -> Callable[[Plan, Bands], Outcome | None]:
    """A size of the plan held against a limit of the tables."""

    def reckon(plan: Plan, bands: Bands) -> Outcome | None:
        value: Carried | None = getattr(plan.sizes, key)
        if key not in bands:
            return _missing(key, title, "its limit is not known yet")
        if value is None:
            return _missing(key, title, why)
        return _judged(plan, key, title, value, bands[key], kind=kind, decimals=decimals)

    return reckon


def _column(plan: Plan, bands: Bands) -> Outcome | None:
    if plan.found.bore_field != "bore":
        title = "Push of the last stage as a share of what the telescope stands as a column"
        return _share(plan, "column", title, staged.column_used(plan), "column-safety")
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
        return _missing("column", title, why)
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
    return _judged(plan, "column", title, value, Band(None, 1.0, "column-safety"), kind="number", decimals=3)


def _share(plan: Plan, of: str, title: str, used: Carried | str, source: str) -> Outcome:
    if isinstance(used, str):
        return _missing(of, title, used)
    return _judged(plan, of, title, used, Band(None, 1.0, source), kind="number", decimals=3)


def _ground_wall(case_name: str) -> Callable[[Plan, Bands], Outcome | None]:
    """What the wall of a ground sleeve bears; of a rod there is none."""

    def reckon(plan: Plan, bands: Bands) -> Outcome | None:
        used = staged.wall_used(plan, case_name)
        title = f"Share of what the ground wall may bear at {case_name} pressure"
        return None if used is None else _share(plan, "wall", title, used, "wall-shares")

    return reckon


def _wall_rated(plan: Plan, bands: Bands) -> Outcome | None:
    return _wall(plan, "rated")


def _wall_proof(plan: Plan, bands: Bands) -> Outcome | None:
    return _wall(plan, "proof")


RECKONED: Mapping[str, tuple[Callable[[Plan, Bands], Outcome | None], ...]] = {
    "bore": (_from_band("bore", "Bore", "length", 3, "bore or depth of its deepest mark is not measured"),),
    "wall": (_wall_rated, _wall_proof),
    "gap": (_gap, _metal_gap),
    "squeeze": (_squeeze,),
    "clearance": (_piston_clearance, _gland_clearance),
    "chrome": (
        _from_band("chrome", "Least chrome", "thickness", 0, "chrome or depth of the mark is not measured"),
    ),
    "base": (
        _from_band(
            "base", "Steel of the ground rod", "length", 2, "rod, chrome or depth of the mark is not measured"
        ),
        _ground_wall("rated"),
        _ground_wall("proof"),
    ),
    "bow": (_from_band("runout", "Dial swing over the span", "length", 2, "the span is not known"),),
    "column": (_column,),
}
"""How each thing of the operations' `computes` is reckoned."""
