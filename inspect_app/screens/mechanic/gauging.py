"""Which gauge a check is read with: the one proposed, another of the shop's, and whether it can decide the check."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Gauge, Job, Survey
from inspect_app.job.choosing import range_words, too_coarse
from inspect_app.job.findings import CheckResult
from inspect_app.job.judge import nominal_of
from inspect_app.job.readings import reading_limit
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.tables.cylinders import Check


def gauge_in_hand(desk: Desk, job: Job, survey: Survey, check: Check) -> Gauge:
    """The gauge a reading would be taken with now: chosen on this phone, else the one proposed."""
    chosen = desk.bench.shop.named(desk.entering.gauges.get(check.gauge, ""))
    if chosen:
        return chosen
    tables, system = desk.bench.tables_of(job), desk.standing.system
    return desk.bench.shop.gauge_proposed(survey, check, None, tables, system).gauge


def coarse_words(desk: Desk, job: Job, survey: Survey, check: Check, gauge: Gauge) -> str:
    """Before the reading: that a gauge cannot decide this check, "" where it can."""
    limit = reading_limit(check, survey, desk.bench.tables_of(job))
    held_to = (limit.upper if limit.lower is None else limit.lower) if limit else None
    size = nominal_of(check, survey) or held_to
    return too_coarse(gauge, check, size, desk.bench.tables.gauges, desk.standing.system)


def gauge_panel(
    *, desk: Desk, job: Job, survey: Survey, check: Check, result: CheckResult, close: Callable[[], None]
) -> list[ft.Control]:
    """The gauges this check may be read with, each with its range and whether it can decide."""
    look = desk.standing.look
    in_hand = gauge_in_hand(desk, job, survey, check)

    def take(gauge: Gauge) -> None:
        desk.entering.gauges[check.gauge] = gauge.id
        close()

    rows: list[ft.Control] = []
    for gauge in desk.bench.shop.gauges_for(check, desk.bench.tables_of(job)):
        reach = range_words(gauge, check.kind, desk.standing.system)
        overdue = "calibration expired" if desk.bench.overdue(gauge) else ""
        under = ". ".join(w for w in (reach, overdue, coarse_words(desk, job, survey, check, gauge)) if w)
        rows.append(
            controls.choice(
                look,
                desk.bench.shop.name_of(gauge),
                gauge.id == in_hand.id,
                desk.guard(lambda _, g=gauge: take(g)),
                key=f"gauge {desk.bench.shop.name_of(gauge)}",
            )
        )
        if under:
            rows.append(controls.small(look, under))
    return [
        controls.button(look, "Back to measuring", lambda _: close()),
        controls.text(look, f"Read with which {desk.bench.tables.gauges[check.gauge].title}?", 20, bold=True),
        controls.small(look, f"{result.measured} of {result.expected} are read; those keep their gauge."),
        *rows,
        controls.small(look, "A gauge of your own is entered under Settings, off its certificate."),
    ]
