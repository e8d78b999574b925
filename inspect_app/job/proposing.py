"""Nominal sizes that may be the one a check asks for: out of what is known, for somebody to confirm; pure.

None is ever taken unasked. A groove nobody lists and no drawing shows stays without one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.entries.job import Survey
from inspect_app.job.groove import dimension_of, listed_sizes
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Groove
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.units import KINDS
from inspect_app.trade.measuring.wording import inside, listed
from inspect_app.trade.sealing.inch_sections import inch_groove_diameters_mm

STRIP_STEPS = {"metric": Decimal("0.01"), "inch": Decimal("0.001")}
"""What a diameter reckoned from a strip's thickness is rounded to, in mm or inches: as drawings have it."""


@dataclass(frozen=True, slots=True)
class Proposed:
    """Sizes that may be it, each as it would be typed with its unit, and why they may."""

    why: Sentence
    sizes: tuple[str, ...]


def nominals_proposed(check: Check, survey: Survey, tables: Tables, system: str) -> tuple[Proposed, ...]:
    """The nominal sizes that may be a check's, by why they may; a size stands under the first reason for it only.

    Args:
        check: a check that asks for its nominal size.
        survey: the state of the cylinder, for its nameplate and the nominals typed.
        tables: the tables.
        system: "metric" or "inch".
    """
    groove, dimension = tables.cylinders[survey.cylinder].groove(check.groove), dimension_of(check, tables)
    found: list[Proposed] = []
    if groove is not None and dimension == "diameter":
        found += _of_strip(check, groove, survey, tables, system)
    if groove is not None:
        found += _of_housings(groove, dimension, survey, tables) or _of_sections(groove, dimension, survey)
    if dimension != "diameter":
        found += _of_others(check, survey, tables)
    return _once(found)


def _once(found: Iterable[Proposed]) -> tuple[Proposed, ...]:
    """Each size under its first reason, and no reason without a size."""
    seen: set[str] = set()
    kept = []
    for proposed in found:
        fresh = tuple(size for size in dict.fromkeys(proposed.sizes) if size not in seen)
        seen.update(fresh)
        if fresh:
            kept.append(Proposed(proposed.why, fresh))
    return tuple(kept)


def _typed(size: Decimal, system: str, step: Decimal | None = None) -> str:
    """A size in mm as it would be typed: with its unit, without idle zeros, to `step` of it where one is given."""
    unit = KINDS["length"].shown(system)[0]
    number = unit.number(size)
    return f"{(number.quantize(step) if step else number).normalize():f} {unit.name}"


def _of_strip(
    check: Check, groove: Groove, survey: Survey, tables: Tables, system: str
) -> Iterable[Proposed]:
    """A wear ring's groove: what its ring runs on, and twice the new ring where its nominal was typed.

    So the sizes of ISO 10766 are made: rod or bore and twice the ring.
    """
    sealed = survey.length(groove.sealed)
    by = next((m for m in tables.positions.measured_on(survey.cylinder) if m.diameter == check.id), None)
    strip = survey.nominals.get(by.strip) if by else None
    if sealed is None or strip is None or strip.value is None:
        return
    outward = groove.cut_in == "gland"
    across = sealed + (2 if outward else -2) * strip.value
    words = (
        "{sealed} and twice its new ring of {ring}"
        if outward
        else "{sealed} less twice its new ring of {ring}"
    )
    why = Sentence(words, {"sealed": Amount(sealed, "length"), "ring": Amount(strip.value, "length")})
    yield Proposed(why, (_typed(across, system, STRIP_STEPS[system]),))


def _of_housings(groove: Groove, dimension: str, survey: Survey, tables: Tables) -> list[Proposed]:
    """What the standard housings on this rod or bore have; they are metric."""
    sizes = listed_sizes(groove, dimension, survey, tables) if dimension else ()
    sealed = survey.length(groove.sealed)
    if not sizes or sealed is None:
        return []
    why = Sentence("Standard housings on {sealed}", {"sealed": Amount(sealed, "length")})
    return [Proposed(why, tuple(_typed(size, "metric") for size in sizes))]


def _of_sections(groove: Groove, dimension: str, survey: Survey) -> list[Proposed]:
    """What inch seals of the usual sections would have on an inch rod or bore."""
    sealed = survey.length(groove.sealed)
    if sealed is None or dimension != "diameter" or groove.housing not in ("rod", "piston", "wiper"):
        return []
    outward = groove.cut_in == "gland"
    sizes = inch_groove_diameters_mm(sealed_mm=sealed, outward=outward)
    words = "{sealed} and" if outward else "{sealed} less"
    why = Sentence(
        words + " two sections, 1/8 to 1/2 in (from memory)",
        {"sealed": Amount(sealed, "length")},
    )
    return [Proposed(why, tuple(_typed(size, "inch") for size in sizes))]


def _of_others(check: Check, survey: Survey, tables: Tables) -> list[Proposed]:
    """What was typed for the same on this cylinder: at the other wear ring, at other grooves."""
    cylinder = tables.cylinders[survey.cylinder]
    alike = [
        c
        for c in cylinder.checks
        if c != check and (c.nominal, c.of_kind, c.gauge) == ("ask", check.of_kind, check.gauge)
    ]
    typed = [(c, field) for c in alike if (field := survey.nominals.get(c.id))]
    by_text: dict[str, list[str]] = {}
    for other, field in typed:
        by_text.setdefault(field.typed, []).append(inside(other.title))
    return [Proposed(Sentence(f"As typed for {listed(titles)}"), (text,)) for text, titles in by_text.items()]
