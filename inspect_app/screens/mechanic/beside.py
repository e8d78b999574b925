"""On a wide screen beside measuring: every place with what was read there, and what is made of it as it comes."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Place, Survey
from inspect_app.figures.of_check import measured_figures
from inspect_app.job.findings import CheckResult, PlaceResult
from inspect_app.job.words import clock_words, place_words, station_words, value_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.standing import word_of_place
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import room_beside
from inspect_app.screens.pieces.look import TOUCH, Look
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import show

STATION_WIDTH = 120
DRAWN = 511.0
"""How wide the figures are drawn before they are fitted to the room."""

Choose = Callable[[Place], None]


@ft.component
def Beside(  # noqa: N802
    desk: Desk, survey: Survey, result: CheckResult, lit: Place | None, choose: Callable[[Place | None], None]
) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    # the rows are drawn anew only where something changed, so they hold on to one handler
    latest = ft.use_ref(lambda: choose)
    latest.current = choose
    touched = ft.use_callback(desk.guard(lambda place: latest.current(place)), [])
    stations: dict[str, list[PlaceResult]] = {}
    for place in result.places:
        stations.setdefault(place.place.station, []).append(place)
    figures = [
        marks.drawing(look, figure, room_beside(desk))
        for figure in measured_figures(result, survey, system, DRAWN)
    ]
    rows = [
        GridRow(
            look=look,
            system=system,
            check=result.check,
            places=tuple(places),
            lit=lit if lit and lit.station == station else None,
            touched=touched,
            key=f"station {station}",
        )
        for station, places in stations.items()
    ]
    return ft.Column(
        [
            *_so_far(look, result, system),
            *figures,
            *_clocks(look, next(iter(stations.values()), [])),
            ft.Column(rows, spacing=0),
            _legend(look),
        ],
        spacing=12,
    )


def _so_far(look: Look, result: CheckResult, system: str) -> list[ft.Control]:
    """What is made of the readings, as far as they go."""
    until = "" if result.complete else ", so far"
    lines: list[ft.Control] = []
    for finding in (f for f in result.findings if f.value is not None):
        words = f"{finding.title} {value_words(finding, system)}{until}"
        line = marks.verdict_line(look, finding.verdict, words, 1) if finding.verdict else None
        lines.append(line or controls.text(look, words, 17))
    return lines or [controls.text(look, "Nothing is measured yet.", 17, color=look.soft)]


def _clocks(look: Look, places: list[PlaceResult]) -> list[ft.Control]:
    """The head of the grid: the clocks of the first station."""
    if not any(p.place.clock for p in places):
        return []
    words = [controls.text(look, clock_words(p.place.clock), 16, color=look.soft) for p in places]
    return [
        ft.Row([ft.Container(width=STATION_WIDTH), *(ft.Container(w, expand=True) for w in words)], spacing=0)
    ]


def _grid_row(
    look: Look,
    system: str,
    check: Check,
    places: tuple[PlaceResult, ...],
    lit: Place | None,
    touched: Choose,
) -> ft.Control:
    """One station: its name, and a cell for each clock."""
    station = places[0].place.station
    name = controls.text(
        look,
        station_words(station, check.stations.names, system) if station else "",
        16,
        bold=lit is not None,
        color=look.accent if lit else look.soft,
    )
    cells = [_cell(look, system, check, p, p.place == lit, touched) for p in places]
    return ft.Row([ft.Container(name, width=STATION_WIDTH), *cells], spacing=0)


GridRow = ft.memo(ft.component(_grid_row))


def _cell(
    look: Look, system: str, check: Check, result: PlaceResult, is_lit: bool, touched: Choose
) -> ft.Control:
    """One place: the sign of what was read there and the number; touched, it is the next to measure."""
    verdict, word = word_of_place(result)
    value = show(result.reading.value, kind=check.kind, system=system)[0] if result.reading else ""
    shown = value or ("skipped" if result.skip else "")
    where = place_words(result.place, check.stations.names, system) or "the only place"
    return ft.Semantics(
        label=controls.printable(f"{where}: {word}. {shown}"),
        button=True,
        selected=is_lit,
        container=True,
        exclude_semantics=True,
        expand=True,
        on_tap=lambda _: touched(result.place),
        key=f"cell {result.place.station} {result.place.clock}",
        content=ft.Container(
            ft.Row([marks.mark(look, verdict, 22), controls.text(look, shown, 18, bold=True)], spacing=10),
            height=max(TOUCH, look.size(TOUCH)),
            padding=ft.Padding(10, 0, 6, 0),
            bgcolor=look.raised,
            border=ft.Border.all(3 if is_lit else look.weight, look.accent if is_lit else look.rule),
            on_click=lambda _: touched(result.place),
            ink=True,
        ),
    )


def _legend(look: Look) -> ft.Control:
    """The words of the signs in the grid."""
    signs = (Verdict.WITHIN, Verdict.UNCLEAR, Verdict.BEYOND, Verdict.NOT_MEASURED)
    return ft.Row(
        [
            ft.Row([marks.mark(look, v, 20), controls.small(look, v.value)], spacing=6, tight=True)
            for v in signs
        ],
        spacing=18,
        wrap=True,
    )
