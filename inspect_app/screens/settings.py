"""Settings of this phone, and the shop's gauges with their uncertainty and calibration date."""

from __future__ import annotations

from decimal import Decimal

import flet as ft

from inspect_app.job.job import Gauge
from inspect_app.screens import pieces
from inspect_app.screens.desk import Desk
from inspect_app.screens.frame import frame
from inspect_app.screens.look import LOOK_TITLES
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.quantities import exact, show, show_text
from inspect_app.trade.units import KINDS

SYSTEMS = (("metric", "Metric"), ("inch", "Inch"))
TEXTS = (("normal", "Normal"), ("large", "Large"), ("largest", "Largest"))


@ft.component
def Settings(desk: Desk) -> ft.Control:  # noqa: N802
    look, standing = desk.standing.look, desk.standing
    settings = desk.bench.shop.settings(desk.client)

    def choose(name: str) -> pieces.Handler:
        return desk.guard(lambda value: desk.setting(name, value))

    body: list[ft.Control] = [
        pieces.field(
            look,
            "Your initials",
            standing.initials,
            desk.guard(lambda t: desk.setting("initials", t.strip())),
        ),
        pieces.heading(look, "Units"),
        pieces.choices(look, SYSTEMS, standing.system, choose("system")),
        pieces.heading(look, "Screen"),
        pieces.choices(look, tuple(LOOK_TITLES.items()), look.name, choose("look"), columns=1),
        pieces.heading(look, "Text size"),
        pieces.choices(look, TEXTS, settings.get("text", "normal"), choose("text"), columns=1),
        pieces.heading(look, "Gauges"),
        pieces.small(
            look, "Their uncertainty takes part in every verdict. Enter your own from the certificate."
        ),
    ]
    for kind, gauge in sorted(desk.bench.shop.gauges().items()):
        body.append(
            pieces.row(
                look,
                gauge.name,
                gauge_words(desk, gauge),
                on_click=lambda _, k=kind: desk.go(f"/gauge/{k.replace(' ', '-')}"),
                key=f"gauge {kind}",
            )
        )
    return frame(desk, "Settings", body, back="/")


def gauge_words(desk: Desk, gauge: Gauge) -> str:
    """A gauge's error and calibration in a line."""
    shipped = desk.bench.tables.gauges[gauge.kind]
    measures, source = shipped.error_measures, shipped.source
    system = desk.standing.system
    error = show_text(gauge.errors[-1][1], kind=measures, system=system)
    if len(gauge.errors) > 1:
        error = f"{show(gauge.errors[0][1], kind=measures, system=system)[0]} to {error}"
    share = f" + {_per_cent(gauge)} %" if gauge.share else ""
    calibrated = (
        f"calibrated until {gauge.calibrated_until}" if gauge.calibrated_until else "no calibration date"
    )
    own = "" if not gauge.id.startswith("default ") else f"shipped default, {STATUSES[source.status]}; "
    overdue = "OVERDUE, " if desk.bench.overdue(gauge) else ""
    return f"±{error}{share} · {own}{overdue}{calibrated}"


def _per_cent(gauge: Gauge) -> str:
    return exact((gauge.share * 100).normalize())


def _every_digit(value: Decimal, measures: str) -> str:
    """A gauge's figure in the unit it is kept in: shown rounded, it would be taken over rounded."""
    unit = KINDS[measures].shown("metric")[0]
    return f"{exact(unit.number(value))} {unit.name}".strip()


@ft.component
def GaugeForm(desk: Desk, kind: str) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    gauge = desk.bench.shop.gauges()[kind]
    measures = desk.bench.tables.gauges[kind].error_measures
    name, set_name = ft.use_state(gauge.name)
    one = gauge.errors[0][1] if len(gauge.errors) == 1 else None  # of several, none holds for every size
    error, set_error = ft.use_state("" if one is None else _every_digit(one, measures))
    share, set_share = ft.use_state(_per_cent(gauge))
    step, set_step = ft.use_state(_every_digit(gauge.step, measures))
    until, set_until = ft.use_state(gauge.calibrated_until)

    def keep() -> None:
        certificate = {"name": name, "error": error, "share": share, "step": step, "until": until}
        desk.bench.enter_gauge(kind, certificate, desk.standing.initials, system)
        desk.refresh()
        desk.go("/settings")

    return frame(
        desk,
        f"Gauge: {kind}",
        [
            pieces.field(look, "Name and number", name, set_name, on_change=set_name),
            pieces.small(look, f"In use: {gauge_words(desk, gauge)}"),
            pieces.field(
                look,
                "Uncertainty ±, k = 2",
                error,
                set_error,
                on_change=set_error,
                hint="off its certificate",
            ),
            pieces.field(look, "and per cent of the reading", share, set_share, on_change=set_share),
            pieces.field(look, "Smallest step", step, set_step, on_change=set_step),
            pieces.field(
                look, "Calibrated until", until, set_until, on_change=set_until, hint="year-month-day"
            ),
            pieces.small(
                look,
                "Readings already taken keep the gauge they were taken with. An overdue gauge is named in the "
                "report; it changes no verdict by itself.",
            ),
        ],
        back="/settings",
        foot=(pieces.button(look, "Use this gauge", desk.guard(lambda _: keep()), strong=True),),
    )
