"""Holds the cylinder as planned against what it must stand: wall, gap, clearance, chrome, steel, bow, column.

Each outcome is proven within, proven outside or not proven, with its figure and its limit; what cannot be
reckoned says what is missing and is never passed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace

from inspect_app.job import strength_after
from inspect_app.job.outcome import Band, Bands, Outcome, judged, length_of, not_known
from inspect_app.job.planned import Plan, piston_room, swelling_mm
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.refusal import UNSAID, Sentence, joined
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.measuring.wording import capital, inside
from inspect_app.trade.sealing.extrusion import piston_gap


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
        return not_known("gap", title, why)
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
    return judged("gap", title, carry(gap, **at), band, more=more)


def _no_room(plan: Plan) -> Sentence:
    """Why no piston at all fits, nothing where one does or none is made."""
    room = piston_room(plan) if plan.does("new-piston") else None
    if room is None or room.width_mm >= 0:
        return UNSAID
    return Sentence(
        "Metal stays off metal from {least} of clearance, and the seal stands {greatest} at most: take another seal.",
        {"least": length_of(room.least_mm), "greatest": length_of(max(0.0, room.greatest_mm))},
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
        return not_known("gap", title, "piston, wear ring groove or wear ring is not measured")
    strip = math.hypot(sizes.ring.expanded, plan.figure("new-piston", "strip-tolerance"))
    metal = carry(
        lambda land, groove, ring: ring - (land - groove) / 2,
        land=sizes.land,
        groove=sizes.ring_groove,
        ring=Carried(sizes.ring.value, strip),
    )
    return judged("gap", title, metal, Band(0.0, None, "guided-gap"))


def _squeeze(plan: Plan, bands: Bands) -> Outcome | None:
    """Standard seals fit a bore a little over nominal; beyond that another seal or another piston is needed."""
    bore, cylinder = plan.sizes.bore, plan.found.cylinder
    if plan.does("new-piston", "special-seal"):
        return None
    title = "Bore over nominal for the standard piston seal"
    if bore is None or cylinder.bore_mm is None:
        return not_known("squeeze", title, "the bore as it will be is not known")
    over = Carried(bore.value - cylinder.bore_mm, bore.expanded)
    most = plan.figure("hone", "standard-seals")
    deeper = {"deeper": length_of(over.value / 2)}
    more = Sentence("Its groove is {deeper} deeper than in the nominal bore.", deeper)
    return judged(
        "squeeze", title, over, Band(None, most, "oversize-tm"), more=more if over.value > 0 else UNSAID
    )


def _piston_clearance(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Clearance of the piston in the bore"
    found, sizes = plan.found.sizes, plan.sizes
    if "clearance" not in bands or (found.bore, found.land) == (sizes.bore, sizes.land):
        return None
    if plan.sizes.bore is None or plan.sizes.land is None:
        return not_known("clearance", title, "bore or piston as it will be is not known")
    bore = Carried(plan.sizes.bore.value) if plan.does("new-piston") else plan.sizes.bore
    room = carry(lambda hole, shaft: hole - shaft, hole=bore, shaft=plan.sizes.land)
    return judged("clearance", title, room, bands["clearance"])


def _gland_clearance(plan: Plan, bands: Bands) -> Outcome | None:
    title = "Clearance of the gland on the rod"
    made_to_fit = plan.does("sleeve-gland", "new-gland", "renew-bush")
    if "gland" not in bands or made_to_fit or plan.found.sizes.rod == plan.sizes.rod:
        return None
    if plan.sizes.gland is None or plan.sizes.rod is None:
        return not_known("clearance", title, "gland or rod as it will be is not known")
    room = carry(lambda hole, shaft: hole - shaft, hole=plan.sizes.gland, shaft=plan.sizes.rod)
    return judged("clearance", title, room, bands["gland"])


def _from_band(
    key: str, title: str, kind: str, decimals: int, why: str
) -> Callable[[Plan, Bands], Outcome | None]:
    """A size of the plan held against a limit of the tables."""

    def reckon(plan: Plan, bands: Bands) -> Outcome | None:
        value: Carried | None = getattr(plan.sizes, key)
        if key not in bands:
            return not_known(key, title, "its limit is not known yet")
        if value is None:
            return not_known(key, title, why)
        return judged(key, title, value, bands[key], kind=kind, decimals=decimals)

    return reckon


RECKONED: Mapping[str, tuple[Callable[[Plan, Bands], Outcome | None], ...]] = {
    "bore": (_from_band("bore", "Bore", "length", 3, "bore or depth of its deepest mark is not measured"),),
    "wall": (strength_after.wall_rated, strength_after.wall_proof),
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
        strength_after.ground_wall("rated"),
        strength_after.ground_wall("proof"),
    ),
    "bow": (_from_band("runout", "Dial swing over the span", "length", 2, "the span is not known"),),
    "column": (strength_after.column,),
}
"""How each thing of the operations' `computes` is reckoned."""
