"""The panels of measuring: where and against what, the number with what it comes to, and what is asked about it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import hypot

import flet as ft

from inspect_app.entries.job import Job, Place, Reading, Survey
from inspect_app.figures.part import part_drawing
from inspect_app.figures.shapes import Drawing
from inspect_app.job.findings import CheckResult
from inspect_app.job.judge import limit_for, nominal_of
from inspect_app.job.words import LEVELS, limit_sentence, place_words, source_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.entering import NOMINAL, latest_reading, reading_at
from inspect_app.screens.mechanic.gauging import coarse_words, gauge_in_hand
from inspect_app.screens.mechanic.photographing import photograph
from inspect_app.screens.mechanic.standing import Stand, size_words, stand_of, stand_of_typed, unit_of
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, is_tall
from inspect_app.screens.pieces.keypad import Line
from inspect_app.screens.pieces.look import GAP, TOUCH
from inspect_app.tables.cylinders import Check
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.measuring.decision import Verdict

LOWEST_DRAWING, SHARE_OF_WIDTH = 84, 0.62


# ---- the number and what it comes to


@ft.component
def NumberLine(  # noqa: N802
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    place: Place,
    version: int,
    open_panel: Callable[[str], None],
    same: Callable[[int, str], None],
) -> ft.Control:
    """The number as it is typed under what it comes to; drawn by itself, so that a key echoes at once."""
    look = desk.standing.look
    _, echo = ft.use_state(Line())
    ft.use_effect(lambda: desk.entering.echoed_by(echo), [])
    line = desk.entering.line
    number = marks.number(
        look, line.typed, unit_of(check, desk.entering.system), stands=line.stands, left=line.left
    )
    beside = [] if place == NOMINAL else [_camera(desk, job, check, place)]
    last = None if line.typed or desk.standing.notice else _last_elsewhere(survey, check, place)
    if last is not None:  # it stands in sight above
        beside.append(_same(desk, last, same))
    rows: list[ft.Control] = [ft.Row([*beside, ft.Container(number, expand=True)], spacing=0)]
    # a notice is newer than what came of the last number, and a short screen has room for one of them; that a
    # nominal size is asked for is never left out
    if not desk.standing.notice or place == NOMINAL:
        high = max(TOUCH, look.size(74 if is_tall(desk) else 54)) if place != NOMINAL else look.size(32)
        comes_to = _comes_to(desk, job, survey, check, place, line) or _how(desk, check, open_panel)
        rows.insert(0, ft.Container(comes_to, height=high))
    return ft.Column(rows, spacing=0, tight=True)


def _last_elsewhere(survey: Survey, check: Check, place: Place) -> Reading | None:
    """The reading entered last, where this place has none yet."""
    if place == NOMINAL or reading_at(survey, check, place) is not None:
        return None
    return latest_reading(survey, check)


def _same(desk: Desk, last: Reading, same: Callable[[int, str], None]) -> ft.Control:
    """Enters the reading last entered for the place lit too, by one touch."""
    look, number = desk.standing.look, desk.entering.keys[-1][0]
    return ft.Semantics(
        label=f"Same again: {controls.printable(last.typed)}",
        button=True,
        container=True,
        exclude_semantics=True,
        key=f"same {number}",
        on_tap=lambda _: same(number, last.typed),
        content=ft.Container(
            controls.text(look, "Same", 18, lines=1),
            height=TOUCH,
            padding=ft.Padding(8, 0, 8, 0),
            alignment=ft.Alignment.CENTER,
            bgcolor=look.raised,
            border=ft.Border.all(1.5 * look.weight, look.rule),
            border_radius=6,
            on_click=lambda _: same(number, last.typed),
            ink=True,
        ),
    )


def _camera(desk: Desk, job: Job, check: Check, place: Place) -> ft.Control:
    """Takes a photograph of this place or of the gauge at it, before its number is typed or after."""
    look = desk.standing.look
    where = place_words(place, check.stations.names, desk.standing.system)
    what = f"{check.title}, {where}" if where else check.title
    saved = sum(photo.caption == what for photo in job.photos_of(check.id))

    async def take(_: object) -> None:
        await photograph(desk, job.id, check.id, what)

    icon = controls.icon_button(
        look,
        ft.Icons.PHOTO_CAMERA_OUTLINED,
        "Photograph this place" + (f", {saved} saved" if saved else ""),
        desk.guard(take),
        action=desk.host.picking(),
    )
    count = controls.text(look, str(saved), 16, color=look.soft)
    return ft.Row([icon, *([count] if saved else [])], spacing=0, tight=True, key="camera")


def _how(desk: Desk, check: Check, open_panel: Callable[[str], None]) -> ft.Control:
    """How it is measured, as far as two lines hold it; touched, all of it."""
    words = controls.text(desk.standing.look, check.how, 16, color=desk.standing.look.soft, lines=2)
    return _open(f"How it is measured: {check.how}", words, lambda _: open_panel("limit"))


def _comes_to(
    desk: Desk, job: Job, survey: Survey, check: Check, place: Place, line: Line
) -> ft.Control | None:
    """What is typed and not entered yet, what stands here already or was entered last; None while nothing was."""
    look, system, tables = desk.standing.look, desk.standing.system, desk.bench.tables_of(job)
    if place == NOMINAL:
        return controls.text(look, "The nominal size, not a reading", 17, bold=True, color=look.accent)
    if line.typed:
        gauge, typed_in = gauge_in_hand(desk, job, survey, check), desk.entering.system
        stand = stand_of_typed(line.text, check, survey, tables, typed_in, system, gauge)
        if stand and not line.left:
            return _stand_line(desk, stand, "not entered yet")
        stays = f"Typed in {unit_of(check, typed_in)}, and stays so until it is entered or deleted."
        return controls.text(look, "" if typed_in == system else stays, 16, color=look.soft, lines=2)
    here = reading_at(survey, check, place)
    if here is not None:
        stand = stand_of(here, check, survey, tables, system)
        return _stand_line(desk, stand, "stands here now")
    last = _last_elsewhere(survey, check, place)
    if last is None:
        return None
    stand = stand_of(last, check, survey, tables, system)
    where = place_words(last.place, check.stations.names, system)
    return _stand_line(
        desk, Stand(stand.verdict, f"{stand.words} at {where}" if where else stand.words), "last"
    )


def _stand_line(desk: Desk, stand: Stand, when: str) -> ft.Control:
    """A verdict's mark and word with when it was reached, and under them the number with its uncertainty."""
    look = desk.standing.look
    verdict, word = stand.verdict, "saved" if when == "last" else "no limit for a single reading"
    top: list[ft.Control] = []
    if verdict is Verdict.NOT_MEASURED:
        verdict, word = None, "no verdict yet"
    if verdict is not None:
        top.append(marks.mark(look, verdict, look.size(24)))
        word = verdict.value
    colour = marks.verdict_colour(look, verdict) if verdict else look.ink
    top += [
        controls.text(look, word, 18, bold=True, color=colour),
        controls.text(look, when, 16, color=look.soft, expand=True, align=ft.TextAlign.RIGHT, lines=1),
    ]
    return ft.Semantics(
        label=controls.printable(f"{when}: {word}. {stand.words}"),
        container=True,
        exclude_semantics=True,
        content=ft.Column(
            [
                ft.Row(top, spacing=8, vertical_alignment=ft.CrossAxisAlignment.CENTER),
                controls.text(look, stand.words, 16, lines=2 if is_tall(desk) else 1),
            ],
            spacing=1,
            tight=True,
        ),
    )


# ---- where, and against what


def place_panel(
    *,
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    result: CheckResult,
    place: Place,
    open_panel: Callable[[str], None],
    choose: Callable[[Place | None], None],
) -> list[ft.Control]:
    """Where to measure now, and against what; the place is touched to choose another, the limit to read all."""
    look = desk.standing.look
    words = place_words(place, check.stations.names, desk.standing.system) or check.title
    lit = _open(
        f"Place: {words}",
        controls.text(look, words, 22, bold=True, color=look.accent),
        lambda _: open_panel("places"),
        live=True,
    )
    again = reading_at(survey, check, place) is not None
    leave = (
        controls.button(look, "Cancel", desk.guard(lambda _: choose(None)))
        if again
        else controls.button(look, "Skip", lambda _: open_panel("skip"))
    )
    limit = _limit_line(desk, job, survey, check)
    said = "How it is measured, and its limits"
    limits = ft.Container(_open(said, limit, lambda _: open_panel("limit")), expand=True)
    gauge = gauge_in_hand(desk, job, survey, check)
    named = desk.bench.shop.name_of(gauge)
    with_gauge = _open(
        f"Gauge: {named}",
        controls.text(look, named, 16, color=look.accent, lines=2, align=ft.TextAlign.RIGHT),
        lambda _: open_panel("gauge"),
    )
    where = ft.Row([ft.Container(lit, expand=3), ft.Container(with_gauge, expand=2)], spacing=GAP)
    needed = [where, ft.Row([limits, leave], spacing=GAP)]
    coarse = coarse_words(desk, job, survey, check, gauge)
    if coarse:
        needed.append(
            controls.text(look, coarse, 16, color=marks.verdict_colour(look, Verdict.UNCLEAR), lines=2)
        )
    needed += [
        controls.text(look, f"{p.picked.name}: {p.state}", 16, bold=p.failed)
        for p in desk.pictures.of(check.id)
    ]
    figure = _drawing(desk, job, survey, check, result, place, choose)
    return [figure, *needed] if _room(desk) >= LOWEST_DRAWING else [*needed, figure]


def _open(said: str, content: ft.Control, on_click: controls.Handler, live: bool = False) -> ft.Control:
    """Words that are touched to see more of what they say."""
    return ft.Semantics(
        label=controls.printable(said),
        button=True,
        live_region=live,
        container=True,
        exclude_semantics=not isinstance(content, ft.Column),
        on_tap=on_click,
        key=said.partition(":")[0],
        content=ft.Container(
            ft.Row([ft.Container(height=TOUCH, width=0), ft.Container(content, expand=True)], spacing=0),
            on_click=on_click,
        ),
    )


def _room(desk: Desk) -> float:
    """What head, words, number and keys leave of the screen's height, dp; measured on phones' sizes."""
    scale = desk.standing.look.scale
    notice = 70 * scale if desk.standing.notice else 0
    return (desk.page.height or 800) - 378 - (325 if is_tall(desk) else 300) * scale - notice


def _drawing(
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    result: CheckResult,
    place: Place,
    choose: Callable[[Place | None], None],
) -> ft.Control:
    """The part with every place on it, the one to measure now lit; a touch chooses the nearest place."""
    look, system = desk.standing.look, desk.standing.system
    name, surface = desk.bench.tables_of(job).cylinders[survey.cylinder].shown_on(check)
    width = column_width(desk) - 32
    figure = part_drawing(
        name,
        [p.place for p in result.places],
        place,
        {p.place: p.verdict for p in result.places if p.reading},
        length_mm=survey.length(check.stations.over),
        called=check.stations.names,
        system=system,
        width=width,
        height=max(LOWEST_DRAWING, min(width * SHARE_OF_WIDTH, _room(desk))),
        diameter="size" in check.characteristics,
        surface=surface,
    )

    def touched(event: ft.TapEvent) -> None:
        at = event.local_position
        found = nearest(figure, at.x, at.y, place, {p.place for p in result.places if p.reading or p.skip})
        if found is not None and found != place:
            choose(found)

    # who cannot see the drawing chooses from the list of places, one touch on the place's name away
    canvas = ft.GestureDetector(
        content=marks.drawing(look, figure), on_tap_up=desk.guard(touched), exclude_from_semantics=True
    )
    return ft.Container(canvas, alignment=ft.Alignment.CENTER)


def nearest(
    figure: Drawing, x: float, y: float, lit: Place, done: Iterable[Place], reach: float = TOUCH / 2
) -> Place | None:
    """The place a finger meant on a drawing; of several at one spot the lit clock's, else one that is open.

    Args:
        figure: the drawing.
        x: across, in the drawing's units.
        y: down.
        lit: the place lit now.
        done: places with a reading or a skip.
        reach: how far from a spot it still counts.
    """
    near = [(hypot(px - x, py - y), p) for px, py, p in figure.spots if isinstance(p, Place)]
    least = min((d for d, _ in near), default=reach + 1)
    if least > reach:
        return None
    here = [p for d, p in near if d < least + 0.5]
    same_clock = [p for p in here if p.clock == lit.clock]
    left = [p for p in here if p not in set(done)]
    return (same_clock or left or here)[0]


def _limit_line(desk: Desk, job: Job, survey: Survey, check: Check) -> ft.Control:
    """The reuse limit and whose it is, as far as it is known, and the nominal it comes from."""
    look, system = desk.standing.look, desk.standing.system
    name = check.characteristics[0]
    limit = limit_for(check, name, "reuse", survey, desk.bench.tables_of(job))
    nominal = nominal_of(check, survey)
    from_nominal = f"nominal {size_words(nominal, check, system)}; " if nominal is not None else ""
    if limit is None:
        return controls.text(look, f"{CHARACTERISTICS[name].title}: {from_nominal}information, no limit", 16)
    return ft.Column(
        [
            controls.text(
                look,
                f"{LEVELS['reuse']}: {limit_sentence(limit, check.kind).words(system)}",
                17,
                bold=True,
                lines=2,
            ),
            controls.text(look, from_nominal + source_words(limit, system), 16, color=look.soft, lines=2),
        ],
        spacing=2,
        tight=True,
    )
