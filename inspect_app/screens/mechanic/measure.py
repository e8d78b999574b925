"""One check, one place at a time: the drawing with the place lit, the gauge, the limit, the keypad, the verdict."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import flet as ft

from inspect_app.entries.job import Job, Place, Survey
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.beside import Beside
from inspect_app.screens.mechanic.check_summary import summary
from inspect_app.screens.mechanic.entering import NOMINAL
from inspect_app.screens.mechanic.gauging import gauge_in_hand, gauge_panel
from inspect_app.screens.mechanic.limits import limit_panel
from inspect_app.screens.mechanic.measuring import NumberLine, place_panel
from inspect_app.screens.mechanic.placing import places_panel
from inspect_app.screens.mechanic.questions import nominal_panel, question_panel
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.mechanic.skipping import skip_panel
from inspect_app.screens.mechanic.thumb import Thumb
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame, has_beside, on_its_side
from inspect_app.screens.pieces.keypad import keypad
from inspect_app.tables.cylinders import Check


@ft.component
def Measure(desk: Desk, job: Job, survey: Survey, check: Check) -> ft.Control:  # noqa: N802
    result = desk.bench.result(job, survey.name, check)
    panel, set_panel = ft.use_state("")
    thumb = ft.use_memo(lambda: Thumb(desk), [])
    standing, entering = desk.standing, desk.entering
    thumb.settle(job, survey, check)
    place = entering.place

    def choose(p: Place | None) -> None:
        entering.choose(p)
        set_panel("")
        desk.redraw()

    def open_panel(name: str) -> None:
        set_panel(name)
        desk.redraw()  # by the job as it stands now: others may have entered what was not in sight here

    def leave_nominal() -> None:
        entering.without_nominal = True
        entering.clear()
        desk.redraw()

    common = dict(desk=desk, job=job, survey=survey, check=check, result=result)

    def shown() -> tuple[str, list[ft.Control], list[ft.Control]]:
        """Which panel it is, what stands in the body and what at the foot."""
        where = None if place == NOMINAL else place
        if panel == "skip":
            return panel, skip_panel(**common, place=where, close=lambda: set_panel("")), []
        if panel == "limit":
            return panel, limit_panel(**common, close=lambda: set_panel("")), []
        if panel == "gauge":
            return panel, gauge_panel(**common, close=lambda: set_panel("")), []
        if panel == "places":
            return panel, places_panel(**common, choose=choose, close=lambda: set_panel("")), []
        if entering.question is not None:
            return "question", question_panel(desk, check, entering.question, thumb.answer), []
        if place is None:
            return "done", summary(**common, choose=choose, open_panel=open_panel), []
        if place == NOMINAL:
            of = dict(desk=desk, job=job, survey=survey, check=check)
            asked = nominal_panel(
                **of, leave=leave_nominal, confirm=partial(thumb.confirm, entering.at), open_panel=open_panel
            )
        else:
            asked = place_panel(**common, place=place, open_panel=open_panel, choose=choose)
        said = NumberLine(
            desk=desk,
            job=job,
            survey=survey,
            check=check,
            place=place,
            version=standing.version,
            open_panel=set_panel,
            same=thumb.same,
            key="number line",
        )
        keys = keypad(
            standing.look, entering.system == "inch", thumb.press, thumb.enter,
            tuple(number for number, _ in entering.keys), key="keypad",
        )  # fmt: skip
        name = "nominal" if place == NOMINAL else "place"
        return (name, [said, *asked], [keys]) if on_its_side(desk) else (name, asked, [said, keys])

    name, body, foot = shown()
    # of a panel nobody knows what it shows; where a place is lit it is the check, its gauge and its photographs
    desk.in_sight(partial(_sight, desk, job.id, survey.name, check) if name == "place" else None)
    # elsewhere a keyboard types into the fields of a panel
    desk.on_key = thumb.physical if foot else None
    return frame(
        desk,
        check.title,
        body,
        under=f"{result.measured} of {result.expected}",
        back=parts_of(job, survey),
        tools=_tools(desk, lambda: undo(desk, job)),
        foot=foot,
        panel=name,
        beside=[Beside(desk=desk, survey=survey, result=result, lit=place, choose=choose, key="so far")]
        if has_beside(desk)
        else None,
    )


def _sight(desk: Desk, job_id: str, state: str, check: Check) -> tuple[object, ...]:
    """What a place is measured by, as it stands."""
    job = desk.bench.job(job_id)
    survey = job.survey(state)
    return (
        desk.bench.result(job, state, check),
        survey.nameplate,
        gauge_in_hand(desk, job, survey, check),
        job.photos_of(check.id),
    )


def _tools(desk: Desk, take_back: Callable[[], None]) -> tuple[ft.Control, ...]:
    look = desk.standing.look
    return (
        units_tool(desk),
        controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: take_back())),
    )


def units_tool(desk: Desk) -> ft.Control:
    """Metric to inch and back, of this job on this phone; what was typed stays as typed."""

    def switch(_: object) -> None:
        desk.switch_units("inch" if desk.standing.system == "metric" else "metric", desk.job_id())

    return controls.icon_button(desk.standing.look, ft.Icons.STRAIGHTEN, "Metric or inch", desk.guard(switch))
