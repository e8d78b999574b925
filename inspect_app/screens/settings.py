"""Settings of this phone, and the shop's gauges with their range, uncertainty and calibration date."""

from __future__ import annotations

from decimal import Decimal

import flet as ft

from inspect_app.bench.shop import DROPPED, HOUSE, HOUSE_SETTINGS, KEPT, ORIGINALS
from inspect_app.entries.job import Gauge
from inspect_app.entries.people import HOST
from inspect_app.job.choosing import range_words
from inspect_app.job.measured import is_default
from inspect_app.job.places import CLOCKS_FIRST, STATIONS_FIRST
from inspect_app.logbook.photos import LONGEST_SIDE
from inspect_app.screens.desk import Desk
from inspect_app.screens.exchanging import SHOP_ROUTE
from inspect_app.screens.means import means_rows
from inspect_app.screens.mechanic.thumb import (
    BY_ITSELF,
    FELT,
    HEARD,
    LEADING,
    NEXT,
    ORDER,
    SOUND,
    STAY,
    TOUCH,
)
from inspect_app.screens.people import who_rows
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import LOOK_TITLES
from inspect_app.tables.gauges import GaugeKind
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.measuring.quantities import exact, show_text
from inspect_app.trade.measuring.uncertainty import EXPANDED, LIMIT_OF_ERROR
from inspect_app.trade.measuring.units import KINDS

SYSTEMS = (("", "As each job"), ("metric", "Metric"), ("inch", "Inch"))
ORDERS = (
    (STATIONS_FIRST, "Finish a station, then the next"),
    (CLOCKS_FIRST, "Along one clock, then the next"),
)
NEXT_CHECKS = ((BY_ITSELF, "Opens by itself"), ("touch", "When touched"))
TOUCHES = ((FELT, "Verdicts"), ("off", "Nothing"))
SOUNDS = (("off", "Nothing"), (HEARD, "Verdicts"))
LEADING_DIGITS = ((STAY, "Stay"), ("type", "Type them"))
WITH_ORIGINALS = ((KEPT, "Keep them"), (DROPPED, "Drop them"))
HOUSE_LINES = ("Name", "Address, telephone", "Who authorises reports, by name")
TEXTS = (("normal", "Normal"), ("large", "Large"), ("largest", "Largest"))


@ft.component
def Settings(desk: Desk) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    settings = desk.bench.shop.settings(desk.client)

    def choose(name: str) -> controls.Handler:
        return desk.guard(lambda value: desk.setting(name, value))

    body: list[ft.Control] = [
        *who_rows(desk),
        *_shop_row(desk),
        controls.heading(look, "Units"),
        controls.choices(look, SYSTEMS, settings.get("system", ""), choose("system"), columns=1),
        controls.small(
            look, "A job shows the units it was opened in until they are switched on its screens."
        ),
        controls.heading(look, "Screen"),
        controls.choices(look, tuple(LOOK_TITLES.items()), look.name, choose("look"), columns=1),
        controls.heading(look, "Text size"),
        controls.choices(look, TEXTS, settings.get("text", "normal"), choose("text"), columns=1),
        controls.heading(look, "Order of places"),
        controls.choices(look, ORDERS, settings.get(ORDER, STATIONS_FIRST), choose(ORDER), columns=1),
        controls.heading(look, "Leading digits of a size"),
        controls.choices(look, LEADING_DIGITS, settings.get(LEADING, STAY), choose(LEADING)),
        controls.small(
            look, "Where the readings before share them they stand already, and only the last ones are typed."
        ),
        controls.heading(look, "When a check is done, the next"),
        controls.choices(look, NEXT_CHECKS, settings.get(NEXT, BY_ITSELF), choose(NEXT)),
        controls.small(look, "What is outside its limit or too close to it stays on the screen."),
        controls.heading(look, "Felt in the hand"),
        controls.choices(look, TOUCHES, settings.get(TOUCH, FELT), choose(TOUCH)),
        controls.small(
            look,
            "One light knock: within limit. Two: too close. Three hard ones: outside. Not every phone can.",
        ),
        controls.heading(look, "Heard"),
        controls.choices(look, SOUNDS, settings.get(SOUND, "off"), choose(SOUND)),
        controls.small(
            look, "One high tone: within limit. Two: too close. Three low ones: outside. Not every phone can."
        ),
        *(_house_rows(desk) if desk.holder().role == HOST or not desk.bench.shop.people() else []),
        *([*_gauge_rows(desk), *means_rows(desk)] if desk.may("gauge") else []),
    ]
    return frame(desk, "Settings", body, back="/")


def _shop_row(desk: Desk) -> list[ft.Control]:
    """On a phone alone: the shop's program it hands jobs to."""
    shop = desk.host.shop()
    if shop is None:
        return []
    stands = f"paired with {shop.address()}" if shop.address() else "not paired: jobs go there as files"
    return [
        controls.row(desk.standing.look, "The shop's program", stands, on_click=lambda _: desk.go(SHOP_ROUTE))
    ]


def _house_rows(desk: Desk) -> list[ft.Control]:
    """Who the shop is, as its reports say it."""
    lines = zip(HOUSE_SETTINGS, HOUSE_LINES, strict=True)
    return [
        controls.heading(desk.standing.look, "The shop, on its reports"),
        *(_house_line(desk, name, label) for name, label in lines),
        *_originals(desk),
    ]


def _originals(desk: Desk) -> list[ft.Control]:
    """Whether photographs are kept as the camera made them; it is the same on every phone but one that is alone."""
    look = desk.standing.look
    heading = controls.heading(look, "Photographs as the camera made them")
    if desk.host.shop():  # its browser made them small already
        alone = f"Alone, this phone keeps them smaller, {LONGEST_SIDE} pixels at most, and never the camera's own file."
        return [heading, controls.small(look, f"{alone} The report says so.")]

    def choose(value: str) -> None:
        desk.bench.set_setting(HOUSE, ORIGINALS, value, desk.standing.initials)
        desk.refresh()

    said = desk.bench.shop.settings(HOUSE).get(ORIGINALS, KEPT)
    return [
        heading,
        controls.choices(look, WITH_ORIGINALS, said, desk.guard(choose)),
        controls.small(
            look,
            "What the camera wrote into them, such as the place, stays in the data folder and its backups. The report "
            "says whether they are kept.",
        ),
    ]


def _house_line(desk: Desk, name: str, label: str) -> ft.Control:
    """A line of who the shop is; it is the same on every phone."""
    said = desk.bench.shop.settings(HOUSE).get(name, "")

    def keep(text: str) -> None:
        if text.strip() != said:
            desk.bench.set_setting(HOUSE, name, text.strip(), desk.standing.initials)
            desk.refresh()

    return controls.field(desk.standing.look, label, said, desk.guard(keep))


def _gauge_rows(desk: Desk) -> list[ft.Control]:
    """The shop's own gauges, then the kinds it has none of."""
    look, gauges = (
        desk.standing.look,
        sorted(desk.bench.shop.gauges(), key=lambda g: (_kind(desk, g), g.name)),
    )
    own = [g for g in gauges if not is_default(g)]
    rows: list[ft.Control] = [
        controls.heading(look, "Gauges"),
        controls.small(
            look,
            "What they may be wrong by takes part in every verdict. Enter your own from the certificate: several of "
            "a kind, each with its range.",
        ),
        *(_gauge_row(desk, g, g.id) for g in own),
    ]
    if own:
        rows.append(controls.heading(look, "Built-in values"))
    return rows + [_gauge_row(desk, g, g.kind) for g in gauges if is_default(g)]


def _kind(desk: Desk, gauge: Gauge) -> str:
    return desk.bench.tables.gauges[gauge.kind].title


def _gauge_row(desk: Desk, gauge: Gauge, route: str) -> ft.Control:
    return controls.row(
        desk.standing.look,
        f"{gauge.name} · {_kind(desk, gauge)}" if gauge.name else _kind(desk, gauge),
        gauge_words(desk, gauge),
        on_click=lambda _: desk.go(f"/gauge/{route}"),
        key=f"gauge {gauge.id}",
    )


def gauge_words(desk: Desk, gauge: Gauge) -> str:
    """A gauge's range, error and calibration in a line."""
    shipped = desk.bench.tables.gauges[gauge.kind]
    measures, source = shipped.error_measures, shipped.source
    system = desk.standing.system
    errors = [_fine(error, measures, system) for error in (gauge.errors[0][1], gauge.errors[-1][1])]
    error = " to ".join(dict.fromkeys(errors))
    share = f" + {_per_cent(gauge)} %" if gauge.share else ""
    states = " limit of error" if gauge.states == LIMIT_OF_ERROR else ""
    reads = range_words(gauge, shipped.measures, system)
    calibrated = (
        f"calibrated until {gauge.calibrated_until}" if gauge.calibrated_until else "no calibration date"
    )
    own = f"built-in value, {STATUSES[source.status]}; " if is_default(gauge) else ""
    overdue = "EXPIRED, " if desk.bench.overdue(gauge) else ""
    return f"{f'{reads} · ' if reads else ''}±{error}{share}{states} · {own}{overdue}{calibrated}"


def _per_cent(gauge: Gauge) -> str:
    return exact((gauge.share * 100).normalize())


def _fine(value: Decimal, measures: str, system: str) -> str:
    """A gauge's error with one decimal more than a reading where it needs it: half a micrometre counts here."""
    unit, usual = KINDS[measures].shown(system)
    needed = -int(unit.number(value).normalize().as_tuple().exponent)
    return show_text(value, kind=measures, system=system, decimals=min(max(0, needed), usual + 1))


def _every_digit(value: Decimal | None, measures: str) -> str:
    """A gauge's figure in the unit it is kept in: shown rounded, it would be taken over rounded."""
    if value is None:
        return ""
    unit = KINDS[measures].shown("metric")[0]
    return f"{exact(unit.number(value))} {unit.name}".strip()


MEANINGS = (
    (EXPANDED, "Uncertainty U, k = 2, as a certificate"),
    (LIMIT_OF_ERROR, "Limit of error, as a maker"),
)
TYPED = (
    ("name", "Name and number", ""),
    ("from", "Reads from", ""),
    ("up_to", "Reads up to", ""),
    ("error", "Uncertainty ±", "off its certificate"),
    ("share", "and per cent of the reading", ""),
    ("repeatability", "Scatter of one reading (standard deviation)", ""),
    ("step", "Smallest step", ""),
    ("until", "Calibrated until", "year-month-day"),
)
"""The lines of a gauge's form: key, label, hint."""


def _as_certificate(gauge: Gauge, kind: GaugeKind, own: bool) -> dict[str, str]:
    """What the form shows at first: the gauge's own figures, or of a new one those of its kind."""
    # of several errors none holds for every size
    one = gauge.errors[0][1] if len(gauge.errors) == 1 else None
    scatter = gauge.repeatability if gauge.repeatability is not None else kind.repeatability
    return {
        "name": gauge.name if own else "",
        "from": _every_digit(gauge.from_, kind.measures) if own else "",
        "up_to": _every_digit(gauge.up_to, kind.measures) if own else "",
        "error": _every_digit(one, kind.error_measures),
        "share": _per_cent(gauge),
        "repeatability": _every_digit(scatter, kind.error_measures),
        "step": _every_digit(gauge.step, kind.error_measures),
        "until": gauge.calibrated_until if own else "",
    }


@ft.component
def GaugeForm(desk: Desk, kind: str) -> ft.Control:  # noqa: N802
    """A gauge of the shop (`kind` is its id, as the route has it), or a further one of a kind."""
    shop = desk.bench.shop
    own = next((g for g in shop.gauges() if g.id == kind), None)
    gauge = own or next((g for g in shop.gauges_of(kind) if g.kind in desk.bench.tables.gauges), None)
    if gauge is None:  # just taken out of use, or a route nobody made
        return frame(
            desk,
            "Gauge",
            [controls.small(desk.standing.look, "There is no such gauge in use.")],
            back="/settings",
        )
    return CertificateForm(desk=desk, gauge=gauge, own=own)


@ft.component
def CertificateForm(desk: Desk, gauge: Gauge, own: Gauge | None) -> ft.Control:  # noqa: N802
    """What is asked of a gauge; `own` is None for a further one of its kind."""
    look, bench = desk.standing.look, desk.bench
    shipped = bench.tables.gauges[gauge.kind]
    # changed in place: a form drawn anew at every key would put back what was typed since
    typed, _ = ft.use_state(_as_certificate(gauge, shipped, own is not None))
    states, set_states = ft.use_state(gauge.states)

    def keep() -> None:
        bench.enter_gauge(
            gauge.kind,
            typed | {"states": states},
            desk.standing.initials,
            desk.standing.system,
            instead_of=own.id if own else "",
        )
        back()

    def retire() -> None:
        bench.retire_gauge(gauge.id, desk.standing.initials)
        back()

    def back() -> None:
        desk.refresh()
        desk.go("/settings")

    def line(key: str, label: str, hint: str) -> ft.Control:
        def keep_typed(text: str) -> None:
            typed[key] = text

        return controls.field(look, label, typed[key], keep_typed, on_change=keep_typed, hint=hint)

    meaning = controls.choices(look, MEANINGS, states, set_states, columns=1)
    body = [controls.small(look, f"In use: {gauge_words(desk, gauge)}")]
    for key, label, hint in TYPED:
        body += [line(key, label, hint), *([meaning] if key == "error" else [])]
    body.append(
        controls.small(
            look,
            "Readings already taken keep the gauge they were taken with. An overdue gauge is named in the "
            "report; it changes no verdict by itself.",
        )
    )
    if own:
        another = f"/gauge/{gauge.kind}"
        body += [
            controls.button(
                look, f"Add another {_kind(desk, gauge)}", lambda _: desk.go(another), key="Add another"
            ),
            controls.button(look, "Take out of use", desk.guard(lambda _: retire())),
        ]
    return frame(
        desk,
        f"Gauge: {own.name if own else _kind(desk, gauge)}",
        body,
        back="/settings",
        foot=(controls.button(look, "Use this gauge", desk.guard(lambda _: keep()), strong=True),),
    )
