"""The seals as they were fitted, and the gauges it was measured with, in few words for one page."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.job import AS_FOUND, LATER, Job
from inspect_app.job.measured import gauge_name
from inspect_app.job.seals.standing import Standing
from inspect_app.report.gauges import taken_after_calibration
from inspect_app.report.phrases import used_gauges
from inspect_app.report.seal_words import count_words, size_words
from inspect_app.report.steps import record_text
from inspect_app.tables import Tables
from inspect_app.tables.steps import REASSEMBLY
from inspect_app.trade.measuring.wording import capital, listed

FITTED = (
    "rod-seal-way",
    "wiper-way",
    "piston-seal-way",
    "backup-way",
    "strip-gaps",
    "lubricant",
    "lubricant-name",
    "cure-dates",
)
"""What the reassembly records of how they went in."""
NONE_THERE = "none"
BY_THE_LIST = "by the seal list; no delivery of it in this log"


def fitted_lines(job: Job, tables: Tables, seals: Sequence[Standing], system: str) -> tuple[str, ...]:
    """The seals that were fitted, a line a position, and how they went in.

    Args:
        job: the job.
        tables: its tables.
        seals: every line of the seal list with what came for it.
        system: "metric" or "inch".
    """
    by_position: dict[str, dict[str, list[str]]] = {}
    for stands in seals:
        alike = by_position.setdefault(stands.line.title, {})
        alike.setdefault(_fitted(stands, system), []).append(stands.line.place)
    said = [
        f"{title}: {'; '.join(f'{what} ({listed(places)})' for what, places in alike.items())}."
        for title, alike in by_position.items()
    ]
    step = tables.steps[REASSEMBLY]
    ways = [
        f"{record.title.lower()} {text}"
        for record in step.records
        if record.id in FITTED
        and job.steps.typed(step.id, record.id) not in ("", NONE_THERE)
        and (text := record_text(record, job, step, system))
    ]
    if seals and not any(stands.here for stands in seals):
        ways.insert(0, BY_THE_LIST)
    return (*said, f"{capital('; '.join(ways))}.") if ways else tuple(said)


def _fitted(stands: Standing, system: str) -> str:
    """What was fitted at a place: as it came where it came, else as the list has it."""
    line, here = stands.line, [o for o in stands.orders if o.here]
    size = size_words(line, system) if line.ring else "by the old one"
    made = " and ".join(dict.fromkeys(m.material for m in line.made))
    many = count_words(line, system) if line.quantity != 1 else ""
    listing = ", ".join(w for w in (size, made, many) if w)
    offered = [o.offer.offers for o in here if o.offer and o.offer.accepted]
    right = [r for o in here for r in o.receipts if not r.wrong]
    came = [w for r in right for w in (r.cured and f"cured {r.cured}", r.batch and f"batch {r.batch}") if w]
    return ", ".join([*(offered or [listing]), *came])


def gauge_words(job: Job, tables: Tables) -> str:
    """The gauges it was measured with, as found and as left, each with its calibration; "" where none was used.

    Args:
        job: the job.
        tables: its tables.
    """
    used: dict[str, str] = {}
    for state in (AS_FOUND, *LATER):
        survey = job.survey(state)
        for gauge in used_gauges(survey).values():
            late = taken_after_calibration(gauge, survey)
            words = (
                f"EXPIRED {gauge.calibrated_until}" if late else f"calibrated until {gauge.calibrated_until}"
            )
            name = gauge_name(gauge, tables.gauges)
            if late or name not in used:
                used[name] = words if gauge.calibrated_until else ""
    dated = "; ".join(f"{name}, {until}" for name, until in used.items() if until)
    undated = ", ".join(name for name, until in used.items() if not until)
    said = [f"Measured with {dated}."] if dated else []
    return " ".join([*said, *([f"Gauges without a date of calibration: {undated}."] if undated else ())])
