"""A logger's file picked on the phone: shown before it is taken, and asked about where it says two things."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import flet as ft

from inspect_app.bench.testing import Shown, keep_log, look_into, taken
from inspect_app.entries.job import Job
from inspect_app.figures.pressure_curve import pressure_curve
from inspect_app.job.testing import pressures_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Made
from inspect_app.screens.mechanic.testing import named_pressures
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.trade.leakage.logged import Asked, Log
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import capital, counted

_CURVE, _ENDS = 190, 3
_SAID = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars"}


@ft.component
def LogPicker(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    """Picks a file, and shows it until it is taken or left."""
    look = desk.standing.look
    nothing: Shown | None = None
    shown, set_shown = ft.use_state(nothing)
    # what was asked and answered stays in sight, so that it can be answered otherwise
    asked, set_asked = ft.use_state(dict[str, Asked])
    chosen, set_chosen = ft.use_state(dict[str, str])

    def show(new: Shown, before: Mapping[str, Asked]) -> None:
        set_asked({**before, **{a.about: a for a in new.asked}})
        set_shown(new)

    async def pick(_: object) -> None:
        picked = await desk.pick(any_file=True)
        if not picked:
            return
        try:
            raw = await picked[0].bring(lambda _: None)
            if isinstance(raw, Made):
                raise Refusal("This is a photograph. Choose the logger's file.")
            set_chosen({})
            show(look_into(picked[0].name, raw, {}), {})
        except Refusal as refusal:
            set_shown(None)
            desk.say(f"{picked[0].name}: {refusal}")

    def answer(about: str, said: str) -> None:
        if shown:
            set_chosen({**chosen, about: said})
            show(look_into(shown.name, shown.raw, {**chosen, about: said}), asked)

    button = controls.button(
        look,
        "Choose a file",
        desk.guard(pick),
        icon=ft.Icons.UPLOAD_FILE,
        key="pick a log",
        action=desk.host.picking(any_file=True),
    )
    if shown is None:
        return controls.form([button])
    leave = controls.button(look, "Leave this file", lambda _: set_shown(None))
    body = _read(desk, shown, asked, chosen, answer)
    if shown.log:
        took = Taking(
            desk=desk, job=job, shown=shown, log=shown.log, done=lambda: set_shown(None), key="taking"
        )
        body.append(took)
    return controls.form([*body, leave])


def _read(
    desk: Desk,
    shown: Shown,
    asked: Mapping[str, Asked],
    chosen: Mapping[str, str],
    answer: Callable[[str, str], None],
) -> list[ft.Control]:
    """What was found in a file, and what is to be said of it."""
    look, file = desk.standing.look, shown.file
    rows = len(file.lines)
    words = (
        f"{shown.name}: {counted(rows, 'row', 'rows')} under {counted(file.head_lines, 'line', 'lines')} of head,"
        f" {len(file.columns)} columns with {_SAID[file.separator]} between."
    )
    said: list[ft.Control] = [controls.text(look, words, 17)]
    if file.unread_lines:
        said.append(controls.small(look, f"{counted(file.unread_lines, 'line', 'lines')} left unread."))
    heads = " · ".join(c.head for c in file.columns)
    ends = [0, 1, 2] if rows <= 2 * _ENDS else [0, 1, 2, rows - 2, rows - 1]
    table = [f"line {file.lines[n]}: " + " · ".join(c.cells[n] for c in file.columns) for n in ends]
    said += [controls.small(look, line) for line in (heads, *table)]
    if shown.wrong:
        said.append(controls.notice(look, shown.wrong, "beyond"))
    for about, each in asked.items():
        title = f"{about}: what is {each.example}?" if each.example else f"{about}?"
        said.append(controls.text(look, capital(title), 18, bold=True))
        options = [(w, w) for w in each.answers]
        said.append(
            controls.choices(look, options, chosen.get(about, ""), lambda w, a=about: answer(a, w), columns=1)
        )
    return said


@ft.component
def Taking(desk: Desk, job: Job, shown: Shown, log: Log, done: Callable[[], None]) -> ft.Control:  # noqa: N802
    """A file that can be read in one way: its curve, where the hold is in it, and the button that takes it."""
    look, system = desk.standing.look, desk.standing.system
    texts, _ = use_texts(Texts)

    def take() -> None:
        try:
            entry = taken(shown, texts["from"], texts["to"])
        except Refusal as refusal:
            desk.say(refusal.words(system))
            return
        keep_log(desk.bench.folder, shown.raw)
        if desk.enter(job, job.as_found, entry):
            done()

    read_as = "; ".join(f"{about}: {word}" for about, word in log.read_as.items())
    first, last = log.points[0], log.points[-1]
    left = [
        w for n, w in ((log.gaps, "without a reading"), (log.same_time, "at the time of the one above")) if n
    ]
    pressures = pressures_of(job, desk.bench.tables_of(job))
    drawn = pressure_curve(
        log.points,
        (),
        named_pressures(pressures),
        system=system,
        width=column_width(desk) - 32,
        height=_CURVE,
    )
    return controls.form(
        [
            controls.text(look, f"Read as {read_as}.", 17),
            *(controls.small(look, f"Rows {w} are left out.") for w in left),
            controls.text(look, f"First {_point(first, system)}, last {_point(last, system)}.", 17),
            marks.drawing(look, drawn),
            texts.field(look, "from", "The hold begins at, min", hint="empty: at the beginning"),
            texts.field(look, "to", "The hold ends at, min", hint="empty: at the end"),
            controls.button(look, "Take this log", desk.guard(lambda _: take()), strong=True),
        ]
    )


def _point(point: Point, system: str) -> str:
    words = f"{point.minutes:.1f} min {Amount(point.mpa, 'pressure').words(system)}"
    if point.celsius is None:
        return words
    return f"{words}, oil {Amount(point.celsius, 'temperature').words(system)}"
