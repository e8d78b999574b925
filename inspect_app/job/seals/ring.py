"""Chooses the O-ring of a named groove and holds its stretch, squeeze and fill against the recommended bands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from inspect_app.job.seals.inputs import Duty, GrooveFound, Known
from inspect_app.job.seals.line import Step
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.sealing.mistaken import old_ring_differs
from inspect_app.trade.sealing.oring_sums import free_inside_mm, stretch_percent
from inspect_app.trade.sealing.orings import ORing, RingSizes, nearest_rings, rings_of_section
from inspect_app.trade.sealing.pairings import (
    Objection,
    fill_of_groove,
    ring_in_gland_groove,
    squeeze_in_groove,
    stretch_on_groove,
)
from inspect_app.trade.sealing.ring_fit import AS_ASSEMBLED, Band, Service, against_band, band_for, fit_ring

ASSEMBLED_C = 20.0
HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class RingChosen:
    """The ring in words, the steps that led to it, what speaks against it, and its size; None by its dimensions."""

    words: Sentence
    steps: tuple[Step, ...]
    objections: tuple[Objection, ...]
    size: ORing | None = None


def choose_ring(
    found: GrooveFound,
    section_mm: float,
    moves: bool,
    material: str,
    duty: Duty,
    handbook: Handbook,
    *,
    behind_face: bool,
) -> RingChosen:
    """The standard ring of a section nearest to a groove, with its fit; a metric section goes by its dimensions.

    Args:
        found: the groove, with what it seals on.
        section_mm: section of the ring.
        moves: whether the ring runs on what it seals, which sets the band of its squeeze.
        material: the ring's material, "" while it is not known: then its growth by heat is left out.
        duty: the temperatures.
        handbook: sizes and bands.
        behind_face: whether it lies behind a plastic face, which takes up part of the groove: squeeze and fill are
            then the seal maker's.
    Source: oring-design-page, engineers-handbook-seals, oring-band-guide, oring-outside-rule
    """
    assert found.diameter
    assert found.sealed
    outward = found.diameter.value_mm > found.sealed.value_mm
    old = _old_ring(found, section_mm, handbook)
    if not rings_of_section(section_mm=section_mm, rings=handbook.orings):
        chosen = _by_dimensions(found.sealed if outward else found.diameter, section_mm, outward, handbook)
    elif behind_face and outward:
        chosen = _by_outside(found.diameter, section_mm, handbook)
    else:
        on, where = (found.sealed, "gland-groove") if outward else (found.diameter, "piston-groove")
        band = band_for(application=where, quantity="stretch", section_mm=section_mm, bands=handbook.bands)
        able = (
            _that_lie_well(section_mm, found.sealed.value_mm, found.diameter.value_mm, handbook)
            if outward
            else ()
        )
        nearest = nearest_rings(
            on_mm=on.value_mm,
            section_mm=section_mm,
            least_stretch_percent=band.least_percent,
            greatest_stretch_percent=band.greatest_percent,
            rings=able or handbook.orings,
            count=1,
        )[0]
        says = Sentence(
            f"{{ring}}: stretched {nearest.stretch_percent:.1f} % on {{on}}.",
            {"ring": ring_words(nearest.ring), "on": Amount(on.value_mm, "length", -1)},
        )
        step = Step("ring", says, nearest.ring.source, nearest.ring.status)
        if behind_face:
            loose = stretch_on_groove(stretch_percent=nearest.stretch_percent, band=band)
            against = [_with_next(loose, nearest.ring, on.value_mm, handbook)] if loose else []
            chosen = RingChosen(ring_words(nearest.ring), (step,), tuple(against), nearest.ring)
        else:
            steps, against = _fit(nearest.ring, found, outward, moves, material, duty, handbook)
            chosen = RingChosen(ring_words(nearest.ring), (step, *steps), tuple(against), nearest.ring)
    return replace(chosen, objections=(*chosen.objections, *old))


def _by_dimensions(on: Known, section_mm: float, outward: bool, handbook: Handbook) -> RingChosen:
    where = "gland-groove" if outward else "piston-groove"
    band = band_for(application=where, quantity="stretch", section_mm=section_mm, bands=handbook.bands)
    least, greatest = free_inside_mm(
        on_mm=on.value_mm,
        least_stretch_percent=band.least_percent,
        greatest_stretch_percent=band.greatest_percent,
    )
    section = RingSizes((section_mm,))
    words = Sentence(
        "inside {inside} × {section}",
        {"inside": RingSizes((least, greatest), " to "), "section": section},
    )
    says = Sentence(
        "Section {section} has no inch size: the ring goes by inside × section.", {"section": section}
    )
    step = Step("ring", Sentence("{says} {words}.", {"says": says, "words": words}), band.source, band.status)
    settles = Sentence("take the supplier's size between these, and write it down")
    objection = Objection("by-dimensions", says, settles)
    return RingChosen(words, (step,), (objection,))


def _by_outside(groove: Known, section_mm: float, handbook: Handbook) -> RingChosen:
    """The ring behind the face of a rod seal: its outside holds it on the groove's floor."""
    band = band_for(
        application="gland-groove", quantity="outside", section_mm=section_mm, bands=handbook.bands
    )
    rings = rings_of_section(section_mm=section_mm, rings=handbook.orings)
    ring = _nearest_outside(rings, groove.value_mm, band)
    over = _over(ring, groove.value_mm)
    says = Sentence(
        f"{{ring}}: its outside is {over:+.1f} % off the floor of {{floor}}.",
        {"ring": ring_words(ring), "floor": Amount(groove.value_mm, "length", -1)},
    )
    step = Step("ring", says, ring.source, ring.status)
    if band.least_percent <= over <= band.greatest_percent:
        return RingChosen(ring_words(ring), (step,), (), ring)
    settles = Sentence("the supplier's set for this housing")
    return RingChosen(ring_words(ring), (step,), (Objection("ring-outside", says, settles),), ring)


def _with_next(objection: Objection, ring: ORing, on_mm: float, handbook: Handbook) -> Objection:
    """An objection to how a ring lies on a groove, settled by the next size, named with its own stretch.

    The ring chosen is the best there is, so the next one is no better without a word of somebody who knows.
    """
    others = rings_of_section(section_mm=ring.section_mm, rings=handbook.orings)
    if stretch_percent(inside_mm=ring.inside_mm, on_mm=on_mm) > 0:
        called, further = "larger", [r for r in others if r.inside_mm > ring.inside_mm]
    else:
        called, further = "smaller", [r for r in others if r.inside_mm < ring.inside_mm]
    if not further:
        says = Sentence(f"a ring made to measure; no {called} size of this section is listed")
        return replace(objection, settles=says)
    offered = min(further, key=lambda r: abs(r.inside_mm - ring.inside_mm))
    lies = _stretched(stretch_percent(inside_mm=offered.inside_mm, on_mm=on_mm))
    says = Sentence(
        f"a ring made to measure; the next {called} size, {{ring}}, is {lies}", {"ring": ring_words(offered)}
    )
    return replace(objection, settles=says)


def _stretched(percent: float) -> str:
    return f"stretched {percent:.1f} %" if percent >= 0 else f"loose by {-percent:.1f} %"


def _over(ring: ORing, floor_mm: float) -> float:
    """How far the outside of a free ring lies over the floor of a groove round it, percent."""
    return 100 * (ring.inside_mm + 2 * ring.section_mm - floor_mm) / floor_mm


def _nearest_outside(rings: Sequence[ORing], floor_mm: float, band: Band) -> ORing:
    middle = (band.least_percent + band.greatest_percent) / 2
    return min(rings, key=lambda r: abs(_over(r, floor_mm) - middle))


def _in_groove_round(
    ring: ORing, rod_mm: float, floor_mm: float, handbook: Handbook
) -> tuple[Objection, ...]:
    """What speaks against how a ring lies in a groove round it; the other size that lies nearest is named beside it."""
    outside, inside = (_band(name, "gland-groove", ring, handbook) for name in ("outside", "stretch"))
    against = ring_in_gland_groove(
        ring=ring, groove_mm=floor_mm, rod_mm=rod_mm, outside=outside, inside=inside
    )
    others = [
        r for r in rings_of_section(section_mm=ring.section_mm, rings=handbook.orings) if r.dash != ring.dash
    ]
    if not against or not others:
        return against
    offered = _nearest_outside(others, floor_mm, outside)
    lies = _stretched(stretch_percent(inside_mm=offered.inside_mm, on_mm=rod_mm))
    says = Sentence(
        f"a ring made to measure; {{ring}} is {lies} on the rod, its outside {_over(offered, floor_mm):+.1f} %"
        " off the floor",
        {"ring": ring_words(offered)},
    )
    return tuple(replace(objection, settles=says) for objection in against)


def _that_lie_well(
    section_mm: float, rod_mm: float, floor_mm: float, handbook: Handbook
) -> tuple[ORing, ...]:
    """The rings of a section that a groove round them holds by the outside, without stretching them too far."""
    rings = rings_of_section(section_mm=section_mm, rings=handbook.orings)
    return tuple(r for r in rings if not _in_groove_round(r, rod_mm, floor_mm, handbook))


def ring_words(ring: ORing) -> Sentence:
    """A ring by its size code, and by inside × section.

    Args:
        ring: the ring.

    >>> str(ring_words(ORing("214", 24.9936, 0.254, 3.5306, 0.1016, "reprint", "as568-dimension-table")))
    'AS568-214 = 24.99 × 3.53 mm'
    """
    size = RingSizes((_printed(ring.inside_mm), _printed(ring.section_mm)))
    return Sentence(f"AS568-{ring.dash} = {{size}}", {"size": size})


def _printed(mm: float) -> Decimal:
    """To the hundredth, half of it upwards, as tables of rings print it: 3.475 in is 88.27 mm."""
    return Decimal(f"{mm:.6f}").quantize(HUNDREDTH, ROUND_HALF_UP)


def _fit(
    ring: ORing, found: GrooveFound, outward: bool, moves: bool, material: str, duty: Duty, handbook: Handbook
) -> tuple[list[Step], list[Objection]]:
    assert found.diameter
    assert found.sealed
    assert found.width
    inner, outer = (found.sealed, found.diameter) if outward else (found.diameter, found.sealed)
    try:
        sizes = {"ring": ring, "inner": inner.size, "outer": outer.size, "width": found.width.size}
        cold = fit_ring(**sizes)  # type: ignore[arg-type]
        hot = fit_ring(**sizes, service=_service(material, duty, handbook))  # type: ignore[arg-type]
    except Refusal as no_fit:
        return [], [Objection("squeeze", no_fit.sentence, Sentence("measure the groove again"), stop=True)]
    application = "reciprocating" if moves else "static"
    spreads = [("squeeze", application, cold.squeeze_percent), ("fill", application, hot.fill_percent)]
    if not outward:
        spreads.append(("stretch", "piston-groove", cold.stretch_percent))
    bands = {name: _band(name, where, ring, handbook) for name, where, _ in spreads}
    steps = [
        Step(
            name,
            Sentence(against_band(spread=spread, band=bands[name]).sentence),
            bands[name].source,
            bands[name].status,
        )
        for name, _, spread in spreads
    ]
    against = [
        squeeze_in_groove(squeeze_percent=cold.squeeze_percent, band=bands["squeeze"]),
        fill_of_groove(fill_percent=hot.fill_percent, band=bands["fill"]),
    ]
    held = [a for a in against if a]
    return steps, [*held, *_how_it_lies(ring, inner.value_mm, outer.value_mm, outward, handbook)]


def _how_it_lies(
    ring: ORing, inner_mm: float, outer_mm: float, outward: bool, handbook: Handbook
) -> Iterator[Objection]:
    """What speaks against a ring's stretch on its groove, or against how it lies in a groove round it."""
    if outward:
        yield from _in_groove_round(ring, inner_mm, outer_mm, handbook)
        return
    stretched = stretch_percent(inside_mm=ring.inside_mm, on_mm=inner_mm)
    band = _band("stretch", "piston-groove", ring, handbook)
    if loose := stretch_on_groove(stretch_percent=stretched, band=band):
        yield _with_next(loose, ring, inner_mm, handbook)


def _band(quantity: str, application: str, ring: ORing, handbook: Handbook) -> Band:
    return band_for(
        application=application, quantity=quantity, section_mm=ring.section_mm, bands=handbook.bands
    )


def _service(material: str, duty: Duty, handbook: Handbook) -> Service:
    """What heat does to the ring at the hottest; nothing while material or heat is not known."""
    rubber = handbook.seal_materials.materials.get(material)
    if rubber is None or rubber.expansion_per_k is None or duty.hottest_c is None:
        return AS_ASSEMBLED
    steel = float(handbook.expansion["steel"].um_per_m_k) * 1e-6
    return Service(duty.hottest_c - ASSEMBLED_C, rubber.expansion_per_k, steel)


def _old_ring(found: GrooveFound, section_mm: float, handbook: Handbook) -> tuple[Objection, ...]:
    old: Known | None = found.old_section
    if old is None:
        return ()
    sections = {round(ring.section_mm, 2) for ring in handbook.orings if not ring.dash.startswith("9")}
    sections |= {round(gland.section_mm, 2) for gland in handbook.glands}
    against = old_ring_differs(
        old_section_mm=old.value_mm, section_mm=section_mm, sections_mm=sorted(sections)
    )
    return (against,) if against else ()
