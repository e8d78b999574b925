"""The places of a check: each to be chosen, one to be added where it is needed, all to be laid out anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

import flet as ft

from inspect_app.entries.job import Job, Place, Survey
from inspect_app.entries.measuring import Layout
from inspect_app.entries.typed import Station, station_of
from inspect_app.job.findings import CheckResult, PlaceResult
from inspect_app.job.places import places_of
from inspect_app.job.words import clock_words, place_words, station_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.standing import word_of_place
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.look import GAP, TOUCH
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.cylinders import Check
from inspect_app.trade.form.grid import distance_mm
from inspect_app.trade.measuring.quantities import show_text
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS

IN_A_ROW = 3
"""So many cells of a station stand in a row."""


def length_unit(system: str) -> str:
    """The unit a bare length is read in."""
    return KINDS["length"].shown(system)[0].name


def station_typed(station: str, check: Check, system: str) -> str:
    """A station as somebody would type it in the job's unit."""
    return station_words(station, check.stations.names, system).removesuffix(f" {length_unit(system)}")


def in_order(stations: Sequence[Station]) -> list[Station]:
    """Stations in mm from the datum on; words keep their order after them."""
    numbers = [s for s in stations if distance_mm(s.at) is not None]
    return sorted(numbers, key=lambda s: distance_mm(s.at) or Decimal(0)) + [
        s for s in stations if distance_mm(s.at) is None
    ]


def places_panel(
    *,
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    result: CheckResult,
    choose: Callable[[Place | None], None],
    close: Callable[[], None],
) -> list[ft.Control]:
    """Every place to be chosen, and a station more where something was found."""
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = [
        controls.text(look, "Touch a place to measure it now", 20, bold=True),
        controls.button(look, "Back to measuring", lambda _: close()),
    ]
    stations = dict.fromkeys(p.place.station for p in result.places)
    for station in stations:
        if station:
            body.append(controls.heading(look, station_words(station, check.stations.names, system)))
        cells = [_cell(desk, check, p, choose) for p in result.places if p.place.station == station]
        for n in range(0, len(cells), IN_A_ROW):
            body.append(ft.Row(cells[n : n + IN_A_ROW], spacing=GAP))
    if any(stations):
        # other units empty it: a number typed in its box would be read in them
        another = f"another {system}"
        body.append(
            AnotherStation(desk=desk, job=job, survey=survey, check=check, choose=choose, key=another)
        )
    laid = f"{system} {len(result.places)}"
    body.append(PlacesForm(desk=desk, job=job, survey=survey, check=check, system=system, key=laid))
    return body


def _cell(
    desk: Desk, check: Check, result: PlaceResult, choose: Callable[[Place | None], None]
) -> ft.Control:
    look, system, place = desk.standing.look, desk.standing.system, result.place
    hour = clock_words(place.clock).removesuffix(" o'clock") or "here"
    stands = result.why or "open"
    if result.reading:
        stands = show_text(result.reading.value, kind=check.kind, system=system)
    words = place_words(place, check.stations.names, system) or check.title
    lit = place == desk.entering.place
    verdict, word = word_of_place(result)
    return ft.Semantics(
        label=controls.printable(f"{words}. {word if result.reading else stands}. {stands}"),
        button=True,
        selected=lit,
        container=True,
        exclude_semantics=True,
        identifier=f"place {place.station} {place.clock}",
        key=f"place {place.station} {place.clock}",
        expand=True,
        on_tap=desk.guard(lambda _: choose(place)),
        content=ft.Container(
            ft.Row(
                [
                    marks.mark(look, verdict, look.size(24)),
                    controls.text(look, hour, 18, lines=1, expand=True),
                ],
                spacing=6,
            ),
            height=max(TOUCH, look.size(TOUCH)),
            padding=ft.Padding(8, 0, 4, 0),
            bgcolor=look.raised,
            border=ft.Border.all((3 if lit else 1) * look.weight, look.accent if lit else look.rule),
            border_radius=6,
            on_click=desk.guard(lambda _: choose(place)),
            ink=True,
        ),
    )


@ft.component
def AnotherStation(  # noqa: N802
    desk: Desk, job: Job, survey: Survey, check: Check, choose: Callable[[Place | None], None]
) -> ft.Control:
    """A station more, in the job's unit, measured then and there."""
    look, system = desk.standing.look, desk.standing.system
    texts, _ = use_texts()

    def add() -> None:
        new = station_of(texts["station"], system, check.stations.names)
        if not new.at:
            raise Refusal("Type how far from the gland end, or a word for the place.")
        places = places_of(check, survey)
        clocks = list(dict.fromkeys(p.clock for p in places))
        stations = list(dict.fromkeys(p.station for p in places))
        if new.at not in stations:
            every = in_order([*(Station("", at) for at in stations), new])
            if not desk.enter(job, survey, Layout(check, every, clocks)):
                return
        choose(Place(new.at, clocks[0]))

    return controls.form(
        [
            controls.heading(look, "A station more, where it is scored or worn"),
            texts.field(look, "station", f"From the gland end, {length_unit(system)}", key="another station"),
            controls.button(look, "Measure there", desk.guard(lambda _: add())),
        ]
    )


@ft.component
def PlacesForm(desk: Desk, job: Job, survey: Survey, check: Check, system: str) -> ft.Control:  # noqa: N802
    """Where to measure, editable: stations and clocks as lists."""
    look = desk.standing.look
    places = places_of(check, survey)
    laid = [station_typed(s, check, system) for s in dict.fromkeys(p.station for p in places)]
    clocks = ", ".join(dict.fromkeys(p.clock for p in places))
    texts, _ = use_texts(lambda: Texts(stations=", ".join(laid), clocks=clocks))

    def keep() -> None:
        # a station that was not touched stays to the digit, however it was rounded to be shown
        known = {station_typed(p.station, check, system): p.station for p in places}

        def listed(text: str) -> list[str]:
            return [w for part in text.split(",") if (w := part.strip())] or [""]

        wanted = [
            Station("", known[s]) if s in known else station_of(s, system, check.stations.names)
            for s in listed(texts["stations"])
        ]
        desk.enter(job, survey, Layout(check, wanted, listed(texts["clocks"])))

    return controls.form(
        [
            controls.heading(look, "Where it is measured"),
            texts.field(
                look, "stations", f"Stations, {length_unit(system)} from the gland end", key="stations"
            ),
            texts.field(look, "clocks", "Clock positions"),
            controls.button(look, "Measure at these places", desk.guard(lambda _: keep())),
        ]
    )
