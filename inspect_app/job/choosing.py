"""Which gauge a reading is taken with: of several of a kind the one that reaches its size; pure, asks when unsure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from operator import attrgetter

from inspect_app.entries.job import Gauge, Survey
from inspect_app.job.measured import gauge_error, gauge_name
from inspect_app.tables.cylinders import Check
from inspect_app.tables.gauges import GaugeKind
from inspect_app.trade.measuring.quantities import KINDS, show_text
from inspect_app.trade.measuring.uncertainty import expanded, standard_uncertainty
from inspect_app.trade.measuring.wording import either

WHICH_GAUGE = "which gauge"
"""Why a reading is asked about where it is not sure what took it."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The gauge that is taken, and a question where that is not sure, "" where it is."""

    gauge: Gauge
    question: str = ""


def reaches(gauge: Gauge, size: Decimal) -> bool:
    """Whether a size lies within a gauge's range; a gauge without a stated range reaches everything.

    Args:
        gauge: the gauge.
        size: what is read, in the gauge's canonical unit.
    """
    return (gauge.from_ is None or gauge.from_ <= size) and (gauge.up_to is None or size <= gauge.up_to)


def range_words(gauge: Gauge, measures: str, system: str) -> str:
    """A gauge's range, "" where none was stated.

    Args:
        gauge: the gauge.
        measures: the kind of quantity it measures.
        system: "metric" or "inch".
    """
    ends = [(word, end) for word, end in (("from", gauge.from_), ("to", gauge.up_to)) if end is not None]
    return " ".join(f"{word} {show_text(end, kind=measures, system=system)}" for word, end in ends)


def last_used(survey: Survey, gauges: Sequence[Gauge]) -> str:
    """Id of that of the gauges this state was last measured with, "" if none was.

    Args:
        survey: the state of the cylinder.
        gauges: the gauges.
    """
    ids = {gauge.id for gauge in gauges}
    readings = [r for at in survey.readings.values() for r in at.values() if r.gauge in ids]
    return max(readings, key=attrgetter("at", "id")).gauge if readings else ""


def gauge_for(
    gauges: Sequence[Gauge],
    size: Decimal | None,
    *,
    last: str,
    measures: str,
    kinds: Mapping[str, GaugeKind],
    system: str,
) -> Choice:
    """The gauge for a size: the only one that reaches it, or of several the one used last; else a question.

    A question is answered by naming a gauge. Left unanswered, of several that reach the size the least exact
    is taken, and if none does the one whose range lies nearest.

    Args:
        gauges: the gauges of the kind, at least one.
        size: the reading, or before it the nominal; None while neither is known.
        last: id of the gauge used last on this state, or "".
        measures: the kind of quantity they measure.
        kinds: the kinds of gauge by id, for what they are called.
        system: "metric" or "inch".
    """
    fitting = [g for g in gauges if size is None or reaches(g, size)]
    if not fitting:
        assert size is not None
        nearest = min(gauges, key=lambda g: _short_of(g, size))
        return Choice(nearest, _out_of_range(gauges, nearest, size, measures, kinds, system))
    remembered = next((g for g in fitting if g.id == last), None)
    if remembered or len(fitting) == 1:
        return Choice(remembered or fitting[0])
    coarsest = max(fitting, key=lambda g: _u(g, size))
    named, counts_as = either([gauge_name(g, kinds) for g in fitting]), gauge_name(coarsest, kinds)
    return Choice(
        coarsest, f"Which gauge was it: {named}? Taken without an answer, it counts as {counts_as}."
    )


def outside_range(
    gauge: Gauge, size: Decimal, measures: str, kinds: Mapping[str, GaugeKind], system: str
) -> str:
    """The question about a reading its own gauge cannot show; "" where it can.

    Args:
        gauge: the gauge that was named for it.
        size: the reading.
        measures: the kind of quantity.
        kinds: the kinds of gauge by id, for what they are called.
        system: "metric" or "inch".
    """
    return "" if reaches(gauge, size) else _out_of_range([gauge], gauge, size, measures, kinds, system)


def too_coarse(
    gauge: Gauge, check: Check, size: Decimal | None, kinds: Mapping[str, GaugeKind], system: str
) -> str:
    """Before the reading: that this gauge cannot decide this check, "" where it can.

    Args:
        gauge: the gauge at hand.
        check: the check, for the uncertainty it needs.
        size: the size it will read, or the limit it will be held to, canonical unit; None where neither is known.
        kinds: the kinds of gauge by id, for what they are called.
        system: "metric" or "inch".
    """
    if check.needs_u is None:
        return ""
    at = size if size is not None else Decimal(0)
    u = expanded(standard_uncertainty(at, gauge_error(gauge, at)))
    if u <= check.needs_u:
        return ""
    finer = KINDS[check.kind].shown(system)[1] + 1
    reads, needs = (show_text(x, kind=check.kind, system=system, decimals=finer) for x in (u, check.needs_u))
    return (
        f"{gauge_name(gauge, kinds)} reads to ±{reads} here; to decide this check takes ±{needs} or better."
    )


def _out_of_range(
    gauges: Sequence[Gauge],
    nearest: Gauge,
    size: Decimal,
    measures: str,
    kinds: Mapping[str, GaugeKind],
    system: str,
) -> str:
    read, named = show_text(size, kind=measures, system=system), gauge_name(nearest, kinds)
    if len(gauges) > 1:
        kind = kinds[nearest.kind].title if nearest.kind in kinds else nearest.kind
        return (
            f"No {kind} of the shop reaches {read}. Which gauge was it? Taken without an answer, it counts "
            f"as {named}."
        )
    reads = range_words(nearest, measures, system)
    return f"{named} reads {reads}; {read} is outside. Look at which gauge it was and what it showed."


def _short_of(gauge: Gauge, size: Decimal) -> Decimal:
    below = gauge.from_ - size if gauge.from_ is not None else Decimal(0)
    above = size - gauge.up_to if gauge.up_to is not None else Decimal(0)
    return max(below, above, Decimal(0))


def _u(gauge: Gauge, size: Decimal | None) -> float:
    at = size if size is not None else gauge.errors[-1][0]
    return standard_uncertainty(at, gauge_error(gauge, at))
