"""One check, one place at a time: the drawing with the place lit, the gauge, the limit, the keypad, the verdict."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.figures.part import part_drawing
from inspect_app.job.findings import CheckResult, assess_check, judge_reading
from inspect_app.job.job import Job, Place, Reading
from inspect_app.job.judge import limits_for, nominal_of
from inspect_app.job.places import next_place
from inspect_app.job.words import (
    limit_words,
    place_words,
    source_words,
)
from inspect_app.screens import marks, pieces
from inspect_app.screens.check_summary import summary
from inspect_app.screens.desk import Desk
from inspect_app.screens.frame import column_width, frame, on_its_side
from inspect_app.screens.keypad import keypad, pressed
from inspect_app.screens.limits import limit_panel
from inspect_app.screens.skipping import skip_panel
from inspect_app.tables.cylinders import Check
from inspect_app.trade.characteristics import CHARACTERISTICS
from inspect_app.trade.plausible import Doubt, as_keyed
from inspect_app.trade.quantities import show_text
from inspect_app.trade.units import KINDS


def latest_reading(job: Job, check: Check) -> Reading | None:
    """The reading of this check entered last."""
    return max(job.readings.get(check.id, {}).values(), key=lambda r: (r.at, r.id), default=None)


def unit_of(check: Check, system: str) -> str:
    """The unit a bare number is read in."""
    return KINDS[check.kind].shown(system)[0].name


@ft.component
def Measure(desk: Desk, job: Job, check: Check) -> ft.Control:  # noqa: N802
    tables = desk.bench.tables_of(job)
    result = assess_check(check, tables.cylinders[job.cylinder], job, tables)
    chosen, set_chosen = ft.use_state(None)
    typed, set_typed = ft.use_state("")
    doubt, set_doubt = ft.use_state(None)
    panel, set_panel = ft.use_state("")
    unknown_nominal, set_unknown_nominal = ft.use_state(False)
    last = latest_reading(job, check)
    place = chosen or (None if result.skipped else next_place(check, job, last.place if last else None))
    asks_nominal = (
        check.nominal == "ask"
        and nominal_of(check, job) is None
        and not unknown_nominal
        and not (result.skipped and chosen is None)
    )
    standing = desk.standing

    def enter(sure: bool = False, text: str | None = None) -> None:
        meant = typed if text is None else text
        if asks_nominal:
            if desk.outcome(desk.bench.set_nominal(job, check, meant, standing.initials, standing.system)):
                set_typed("")
            return
        if place is None:
            return
        outcome = desk.bench.measure(job, check, place, meant, standing.initials, standing.system, sure)
        if outcome.doubt:
            set_doubt(outcome.doubt)
            return
        if desk.outcome(outcome):
            set_typed("")
            set_chosen(None)
        set_doubt(None)

    def press(key: str) -> None:
        if key == "⏎":
            enter()
            return
        if standing.notice:
            desk.say("")
        set_typed(lambda t: pressed(t, key))

    def choose(p: Place | None) -> None:
        set_chosen(p)
        set_typed("")
        set_panel("")

    common = dict(desk=desk, job=job, check=check, result=result)

    def shown() -> tuple[list[ft.Control], list[ft.Control]]:
        """What stands in the body and what at the foot."""
        if panel == "skip":
            return skip_panel(**common, place=place, close=lambda: set_panel("")), []
        if panel == "limit":
            return limit_panel(**common, close=lambda: set_panel("")), []
        if doubt is not None:
            return doubt_panel(desk, check, typed, doubt, enter, lambda: set_doubt(None)), []
        if place is None and not asks_nominal:
            return summary(**common, choose=choose, open_panel=set_panel), []
        if asks_nominal:
            where = nominal_panel(desk, check, lambda: set_unknown_nominal(True), lambda: set_panel("skip"))
        else:
            where = place_panel(**common, place=place, open_panel=set_panel)
        said = said_panel(desk, job, check, typed, asks_nominal)
        keys = keypad(standing.look, desk.guard(press), inch=standing.system == "inch")
        return ([*said, *where], [keys]) if on_its_side(desk) else (where, [*said, keys])

    body, foot = shown()
    # elsewhere a keyboard types into the fields of a panel
    desk.on_key = desk.guard(press) if foot else None
    look = standing.look
    return frame(
        desk,
        check.title,
        body,
        under=f"{result.measured} of {result.expected} · {check.gauge}",
        back=f"/job/{job.id}",
        tools=(
            pieces.icon_button(
                look, ft.Icons.STRAIGHTEN, "Metric or inch", desk.guard(lambda _: toggle(desk))
            ),
            pieces.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: desk.undo(job))),
        ),
        foot=foot,
    )


def toggle(desk: Desk) -> None:
    """Metric to inch and back; what was typed stays as typed."""
    desk.setting("system", "inch" if desk.standing.system == "metric" else "metric")


def nominal_panel(
    desk: Desk, check: Check, leave: Callable[[], None], skip: Callable[[], None]
) -> list[ft.Control]:
    """Asks for the size a check is judged from, and lets it be unknown."""
    look = desk.standing.look
    return [
        pieces.text(look, "Nominal size, off the drawing or the housing standard", 20, bold=True),
        pieces.text(look, check.how, 17),
        pieces.button(look, "Not known: measure without", lambda _: leave(), key="Not known"),
        pieces.button(look, "Skip", lambda _: skip()),
    ]


def place_panel(
    *,
    desk: Desk,
    job: Job,
    check: Check,
    result: CheckResult,
    place: Place,
    open_panel: Callable[[str], None],
) -> list[ft.Control]:
    """Where to measure now, and against what."""
    look, system = desk.standing.look, desk.standing.system
    words = place_words(place, system) or check.title
    lit = ft.Semantics(
        live_region=True,
        container=True,
        label=f"Place: {words}",
        exclude_semantics=True,
        content=pieces.text(look, words, 22, bold=True, color=look.accent),
    )
    limit = ft.Container(_limit_line(desk, job, check), expand=True, on_click=lambda _: open_panel("limit"))
    skip = pieces.button(look, "Skip", lambda _: open_panel("skip"))
    needed = [lit, ft.Row([limit, skip], spacing=12)]
    figure = _drawing(desk, job, check, result, place)
    return [figure, *needed] if _room(desk) >= LOWEST_DRAWING else [*needed, figure]


LOWEST_DRAWING, HIGHEST_DRAWING = 84, 150


def _room(desk: Desk) -> float:
    """What head, words, number and keys leave of the screen's height, dp; measured on phones' sizes."""
    scale = desk.standing.look.scale
    notice = 70 * scale if desk.standing.notice else 0
    return (desk.page.height or 800) - 330 - 310 * scale - notice


def said_panel(desk: Desk, job: Job, check: Check, typed: str, asks_nominal: bool) -> list[ft.Control]:
    """The number as it is typed, and what came of the one before."""
    number = marks.number(desk.standing.look, typed, unit_of(check, desk.standing.system))
    # a notice is newer than the last verdict, and a short screen has room for one of them
    if asks_nominal or desk.standing.notice:
        return [number]
    return [number, _last_verdict(desk, job, check)]


def _drawing(desk: Desk, job: Job, check: Check, result: CheckResult, place: Place) -> ft.Control:
    """The part with every place on it, and the one to measure now lit."""
    look, system = desk.standing.look, desk.standing.system
    part = next(p for p in desk.bench.tables_of(job).cylinders[job.cylinder].parts if p.id == check.part)
    figure = part_drawing(
        part.figure,
        [p.place for p in result.places],
        place,
        {p.place: p.verdict for p in result.places if p.reading},
        length_mm=job.length(check.stations.over),
        system=system,
        width=column_width(desk) - 32,
        height=max(LOWEST_DRAWING, min(HIGHEST_DRAWING, _room(desk))),
    )
    return ft.Container(marks.drawing(look, figure), alignment=ft.Alignment.CENTER)


def _limit_line(desk: Desk, job: Job, check: Check) -> ft.Control:
    """The reuse limit and whose it is, as far as it is known."""
    look, system = desk.standing.look, desk.standing.system
    name = check.characteristics[0]
    limit = limits_for(check, name, job, desk.bench.tables_of(job)).get("reuse")
    if limit is None:
        return pieces.text(look, f"{CHARACTERISTICS[name].title}: information, no limit", 16)
    kind = check.kind
    return ft.Column(
        [
            pieces.text(look, f"Reuse: {limit_words(limit, kind, system)}", 17, bold=True, lines=2),
            pieces.text(look, source_words(limit), 16, color=look.soft, lines=2),
        ],
        spacing=2,
        tight=True,
    )


def _last_verdict(desk: Desk, job: Job, check: Check) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    last = latest_reading(job, check)
    if last is None:
        return pieces.text(look, check.how, 16, color=look.soft, lines=2)
    judgement = judge_reading(check, last, job, desk.bench.tables_of(job))
    words = f"{show_text(last.value, kind=check.kind, system=system)} at {place_words(last.place, system)}"
    if judgement is None:
        return pieces.text(look, f"Saved: {words}", 17, lines=1)
    if judgement.limit.missing:
        return pieces.text(look, f"Saved: {words}. No verdict yet: {judgement.limit.missing}.", 16, lines=2)
    return marks.verdict_line(look, judgement.verdict, words, lines=2)


def doubt_panel(
    desk: Desk,
    check: Check,
    typed: str,
    doubt: Doubt,
    enter: Callable[..., None],
    close: Callable[[], None],
) -> list[ft.Control]:
    """An unlikely reading: the question, what may have been meant, and the reading as it was typed."""
    look, system = desk.standing.look, desk.standing.system
    actions: list[ft.Control] = []
    if doubt.meant is not None:
        meant = as_keyed(doubt.meant, check.kind, system)
        actions.append(
            pieces.button(
                look,
                f"I meant {meant}",
                desk.guard(lambda _: enter(sure=True, text=meant)),
                strong=True,
                key="I meant",
            )
        )
    actions.append(
        pieces.button(look, f"It is {typed}", desk.guard(lambda _: enter(sure=True)), key="It is as typed")
    )
    actions.append(pieces.button(look, "Type it again", lambda _: close()))
    return [
        marks.number(look, typed, unit_of(check, system)),
        pieces.notice(look, doubt.sentence, "unclear", actions),
    ]
