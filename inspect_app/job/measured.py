"""What a reading is worth: its size at 20 °C, and everything it may be wrong by, source by source.

The gauge's setting and calibration is one source for all readings of it in one check; scatter and step are
each reading's own; temperature and expansion are one source a part. So what two readings share cancels in
their difference. Across checks a gauge is set anew, for another size: there its error is not taken as shared.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from inspect_app.entries.job import DefectSize, Gauge, Reading, Survey
from inspect_app.job.present import material_of
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.gauges import GaugeKind
from inspect_app.trade.measuring.quantities import KINDS, exact, show_text
from inspect_app.trade.measuring.temperature import REFERENCE_C, size_at_20_mm, temperature_terms_um
from inspect_app.trade.measuring.uncertainty import (
    STATES,
    GaugeError,
    Line,
    Terms,
    by_weight,
    expanded,
    read_step,
    resolution_u,
    shared_u,
    u_of,
)
from inspect_app.trade.measuring.wording import inside

STEP_MM = Decimal("0.0001")
"""A size at 20 °C is rounded to this: finer than any gauge at the bench shows."""

KNOWN_WITHIN_C = Decimal(1)
"""A temperature typed in at the bench is taken as known within ± this, °C (this project's choice)."""

ASSUMED_WITHIN_C = Decimal(5)
"""A temperature nobody noted is taken as 20 °C within ± this, °C (this project's choice)."""

UM_PER_MM = 1000

LEAST_SHARE = 0.005
"""Lines of a budget below this share of the variance are not worth a word."""


@dataclass(frozen=True, slots=True)
class Sized:
    """A reading as it is judged: value and contributions to its uncertainty by source, in the canonical unit.

    `corrected` says whether it was brought to 20 °C; `remark` what was assumed, in a sentence, or "".
    """

    value: Decimal
    terms: Terms
    corrected: bool
    remark: str


@dataclass(frozen=True, slots=True)
class Warmth:
    """The temperature of a part or of the gauges, °C, known within ± `within_c`; `noted` on the nameplate or not."""

    at_c: Decimal
    within_c: Decimal
    noted: bool


def default_gauge(kind: GaugeKind) -> Gauge:
    """The shipped default of a kind of gauge, as long as the shop has not entered its own.

    Args:
        kind: the kind, as checklists/gauges.toml has it.
    """
    return Gauge(
        f"default {kind.kind}",
        kind.kind,
        "",
        kind.errors,
        kind.share,
        kind.step,
        "",
        kind.states,
        kind.repeatability,
    )


def gauge_name(gauge: Gauge, kinds: Mapping[str, GaugeKind]) -> str:
    """What a gauge is called: the shop's name for it, or what its kind is called.

    Args:
        gauge: the gauge.
        kinds: the kinds of gauge by id.
    """
    kind = kinds.get(gauge.kind)
    return gauge.name or (kind.title if kind else gauge.kind)


def is_default(gauge: Gauge) -> bool:
    """Whether a gauge is a shipped default rather than one the shop entered.

    Args:
        gauge: the gauge.
    """
    return gauge.id.startswith("default ")


def gauge_of(reading: Reading, check: Check, survey: Survey, tables: Tables) -> Gauge | None:
    """The gauge of a reading; where the log does not hold it the shipped default of the check's kind.

    Args:
        reading: the reading.
        check: its check.
        survey: the state of the cylinder.
        tables: the tables.
    Returns: None where neither is known: such a reading cannot be judged.
    """
    known = survey.gauges.get(reading.gauge)
    if known:
        return with_scatter(known, tables)
    kind = tables.gauges.get(check.gauge)
    return default_gauge(kind) if kind else None


def with_scatter(gauge: Gauge, tables: Tables) -> Gauge:
    """The gauge with the scatter of its kind where its certificate says none: few say how readings scatter in use.

    Args:
        gauge: the gauge.
        tables: the tables.
    """
    kind = tables.gauges.get(gauge.kind)
    if gauge.repeatability is not None or kind is None:
        return gauge
    return replace(gauge, repeatability=kind.repeatability)


def gauge_error(gauge: Gauge, value: Decimal) -> GaugeError:
    """What a gauge may be wrong by at this reading: the first row of its table that reaches so far.

    Args:
        gauge: the gauge as it was when read.
        value: the reading, canonical unit.
    """
    fixed = next((e for up_to, e in gauge.errors if abs(value) <= up_to), gauge.errors[-1][1])
    scatter = gauge.repeatability or Decimal(0)
    return GaugeError(fixed, gauge.share, gauge.step, STATES[gauge.states], scatter)


def gauge_terms(gauge: Gauge, value: Decimal, step: Decimal, *, check: str, own: str) -> Terms:
    """What a gauge leaves uncertain in one value read with it, by source, in the canonical unit.

    Args:
        gauge: the gauge.
        value: what was read.
        step: one of the last digit typed; 0 where it is not known.
        check: id of the check; the gauge's shared error is one within it.
        own: id of what was read; its scatter and step are its own.
    Source: gum
    """
    error = gauge_error(gauge, value)
    coarser = "digit" if step > gauge.step else "step"
    by_step = {f"{coarser}|{own}": resolution_u(float(read_step(error.step, step)))}
    if gauge.repeatability is None:
        # nobody told apart what its readings share: then nothing may cancel in a difference
        return {f"error|{own}": shared_u(value, error), **by_step}
    return {
        f"setting|{gauge.id}|{check}": shared_u(value, error),
        f"scatter|{own}": float(error.repeatability),
        **by_step,
    }


def size_terms(size: DefectSize, gauge_kind: str, own: str, survey: Survey, tables: Tables) -> Terms | None:
    """Everything one size of a defect may be wrong by, by source.

    Args:
        size: the size.
        gauge_kind: the kind of gauge it is taken with where none was named.
        own: what names it among all that was read.
        survey: the state of the cylinder, for the gauge.
        tables: the tables.
    Returns: None where neither its gauge nor the kind is known: it cannot be judged.
    Source: gum
    """
    kind = tables.gauges.get(gauge_kind)
    gauge = survey.gauges.get(size.gauge) or (default_gauge(kind) if kind else None)
    return gauge_terms(gauge, size.value, size.step, check="defects", own=own) if gauge else None


def terms_of(reading: Reading, check: Check, survey: Survey, tables: Tables) -> Terms | None:
    """Everything a reading may be wrong by, by source: gauge, scatter, step, and for a size temperature.

    Args:
        reading: the reading.
        check: its check.
        survey: the state of the cylinder, for gauge and temperatures.
        tables: the tables.
    Returns: None where its gauge is not known and its check names no known kind: it cannot be judged.
    Source: gum
    """
    judged = sized(reading, check, survey, tables)
    return judged.terms if judged else None


def sized(reading: Reading, check: Check, survey: Survey, tables: Tables) -> Sized | None:
    """A reading as it is judged: a size at 20 °C where a temperature is known, else as it was read.

    Args:
        reading: the reading.
        check: its check.
        survey: the state of the cylinder, for gauge and temperatures.
        tables: the tables.
    Returns: None as `terms_of`.
    Source: iso-1, gum
    """
    return sizing(check, survey, tables)(reading)


def sizing(check: Check, survey: Survey, tables: Tables) -> Callable[[Reading], Sized | None]:
    """What gives `sized` of each reading of a check: gauges, materials and temperatures are looked up once for all.

    Args:
        check: the check.
        survey: the state of the cylinder, for gauge and temperatures.
        tables: the tables.
    Source: iso-1, gum
    """
    gauges: dict[str, Gauge | None] = {}
    holds_size = "size" in check.characteristics and check.kind == "length"
    part, gauge = warmth_of(survey)
    steel = tables.expansion["steel"]
    material = tables.expansion[_material(check, survey, tables)] if holds_size else steel
    at_20 = partial(size_at_20_mm, part=material, part_c=part.at_c, gauge=steel, gauge_c=gauge.at_c)
    left_um = partial(
        temperature_terms_um,
        part=material,
        part_c=part.at_c,
        part_within_c=part.within_c,
        gauge=steel,
        gauge_c=gauge.at_c,
        gauge_within_c=gauge.within_c,
    )

    def of(reading: Reading) -> Sized | None:
        if reading.gauge not in gauges:
            gauges[reading.gauge] = gauge_of(reading, check, survey, tables)
        read_with = gauges[reading.gauge]
        if read_with is None:
            return None
        terms = gauge_terms(read_with, reading.value, reading.step, check=check.id, own=reading.id)
        remark = _gauge_remark(reading, check, survey)
        if not holds_size or reading.value <= 0:
            return Sized(reading.value, terms, False, remark)
        by_source = left_um(size_mm=reading.value)
        terms = {**terms, **{f"{source}|{check.part}": um / UM_PER_MM for source, um in by_source.items()}}
        if not (part.noted or gauge.noted):
            return Sized(reading.value, terms, False, remark)
        return Sized(at_20(reading_mm=reading.value).quantize(STEP_MM), terms, True, remark)

    return of


def sizes_of(check: Check, survey: Survey, tables: Tables) -> list[Sized]:
    """Every reading of a check as it is judged; those whose gauge is not known are left out.

    Args:
        check: the check.
        survey: the state of the cylinder.
        tables: the tables.
    """
    as_judged = sizing(check, survey, tables)
    return [s for r in survey.readings.get(check.id, {}).values() if (s := as_judged(r))]


def _gauge_remark(reading: Reading, check: Check, survey: Survey) -> str:
    if reading.gauge in survey.gauges:
        return ""
    return f"Its gauge is not in the log; it is judged with the built-in value of a {check.gauge}."


def _material(check: Check, survey: Survey, tables: Tables) -> str:
    part = next((p for p in tables.cylinders[survey.cylinder].parts if p.id == check.part), None)
    return material_of(part, survey) if part else "steel"


def warmth_of(survey: Survey) -> tuple[Warmth, Warmth]:
    """The temperatures of parts and of gauges, noted or assumed.

    Nothing noted is 20 °C within 5. With one of the two noted, the other lies anywhere between 5 K on the far
    side of 20 °C and 5 K on the far side of the noted one.

    Args:
        survey: the state of the cylinder.
    Source: iso-1
    """
    part_c, gauge_c = survey.length("part_temperature"), survey.length("gauge_temperature")
    return _warmth(part_c, gauge_c), _warmth(gauge_c, part_c)


def _warmth(noted_c: Decimal | None, other_c: Decimal | None) -> Warmth:
    if noted_c is not None:
        return Warmth(noted_c, KNOWN_WITHIN_C, True)
    away = (other_c if other_c is not None else REFERENCE_C) - REFERENCE_C
    return Warmth(REFERENCE_C + away / 2, ASSUMED_WITHIN_C + abs(away) / 2, False)


def temperature_words(survey: Survey) -> str:
    """Which temperatures sizes are judged with, noted or assumed, in a sentence for screen and report.

    Args:
        survey: the state of the cylinder.
    Source: iso-1
    """
    part, gauges = warmth_of(survey)
    if not (part.noted or gauges.noted):
        return (
            f"Temperatures not noted: parts and gauges are each taken as {_within(part)}, and their sizes are "
            "that much less certain."
        )
    words = [
        f"{what} {'at' if w.noted else 'not noted, taken as'} {_within(w)}"
        for what, w in (("parts", part), ("gauges", gauges))
    ]
    return f"Sizes are judged at 20 °C: {', '.join(words)}."


def _within(warmth: Warmth) -> str:
    return f"{exact(warmth.at_c)} °C ±{exact(warmth.within_c)} °C"


def sees(reading: Reading, characteristic: str, check: Check, survey: Survey, tables: Tables) -> bool:
    """Whether a reading's gauge can show a characteristic at all: a three-point gauge sees nothing of an oval.

    Args:
        reading: the reading.
        characteristic: what is to be made of it.
        check: its check.
        survey: the state of the cylinder.
        tables: the tables.
    """
    gauge = gauge_of(reading, check, survey, tables)
    kind = tables.gauges.get(gauge.kind) if gauge else None
    return kind is None or characteristic not in kind.blind_to


def budget_of(terms: Terms, survey: Survey, tables: Tables) -> tuple[Line, ...]:
    """A value's uncertainty line by line, the heaviest first, in words for a person.

    Args:
        terms: its contributions by source.
        survey: the state of the cylinder, for the gauges' names.
        tables: the tables, for the parts' names.
    Source: gum
    """
    return by_weight(terms, lambda source: source_words(source, survey, tables))


def budget_sentence(terms: Terms, kind: str, survey: Survey, tables: Tables, system: str) -> str:
    """A value's expanded uncertainty and what it comes from, the heaviest first; "" where there is none.

    Args:
        terms: its contributions by source.
        kind: the quantity's kind.
        survey: the state of the cylinder.
        tables: the tables.
        system: "metric" or "inch".
    Source: gum
    """
    lines = [
        f"{line.name} {100 * line.share:.0f} %"
        for line in budget_of(terms, survey, tables)
        if line.share >= LEAST_SHARE
    ]
    if not lines:
        return ""
    decimals = KINDS[kind].shown(system)[1] + 1
    shown = show_text(expanded(u_of(terms)), kind=kind, system=system, decimals=decimals)
    return f"U ±{shown} (k = 2), by weight: {', '.join(lines)}."


SOURCES = {
    "error": "error of the gauge",
    "setting": "setting and calibration of {of}",
    "scatter": "scatter of single readings",
    "step": "step of the gauge",
    "digit": "last digit typed",
    "part temperature": "temperature of the {of}",
    "part expansion": "how the {of} expands",
    "gauge temperature": "temperature of the gauge on the {of}",
    "gauge expansion": "how the gauge on the {of} expands",
}


def source_words(source: str, survey: Survey, tables: Tables) -> str:
    """A source of uncertainty in words.

    Args:
        source: its name in the terms.
        survey: the state of the cylinder, for the gauges' names.
        tables: the tables, for the parts' names.
    """
    what, _, of = source.partition("|")
    if what == "setting":
        of = of.rpartition("|")[0]
        kind = tables.gauges.get(of.removeprefix("default "))
        if of in survey.gauges:
            of = gauge_name(survey.gauges[of], tables.gauges)
        elif kind:
            of = kind.title
    part = next((inside(p.title) for p in tables.cylinders[survey.cylinder].parts if p.id == of), of)
    return SOURCES.get(what, what).format(of=part)
