"""Torques at reassembly: each joint, the torque it is aimed at large enough to read from the bench, the one reached."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft

from inspect_app.bench.assembling import computed_from, rows_of
from inspect_app.entries.assembled import BASES, COMPUTED, DRAWING
from inspect_app.entries.assembling import BEYOND_TOOL, TorqueAimed, TorqueReached
from inspect_app.entries.job import Job
from inspect_app.figures.torque_rule import TorqueMark, torque_rule
from inspect_app.job.assembling import JointStands, basis_words, joints_of, order_words
from inspect_app.job.presets import torque_preset
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.nameplate import label_of
from inspect_app.screens.mechanic.routes import job_route, step_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.steps import REASSEMBLY
from inspect_app.trade.joints.torque import FrictionKind
from inspect_app.trade.measuring.amounts import Amount, Amounts
from inspect_app.trade.measuring.refusal import Refusal

TARGET, REACHED = "target", "reached"
_RULE, _LEAST_RULE, _ROUND_IT = 370, 240, 440
"""How high the rule is at most and at least, and what else a screen shows: what is set and reached stays in sight."""


@ft.component
def Torques(desk: Desk, job: Job, name: str) -> ft.Control:  # noqa: N802
    """Every joint, or one of them by its id."""
    every = joints_of(job, desk.bench.tables_of(job))
    form, set_form = ft.use_state("")
    stands = next((j for j in every if j.joint.id == name), None)
    tools = (
        units_tool(desk),
        controls.icon_button(
            desk.standing.look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))
        ),
    )
    home = f"{job_route(job)}/torque"
    if stands is None:
        rows = [_row(desk, j, f"{home}/{j.joint.id}") for j in every]
        says = controls.text(
            desk.standing.look, "Each joint: the torque it is aimed at, then the one reached.", 17
        )
        return frame(
            desk, "Torques", [says, *rows], under=job.name, back=step_route(job, REASSEMBLY), tools=tools,
            foot=_next_joint(desk, every, home),
        )  # fmt: skip
    asked = form or ("" if stands.target else TARGET)
    if asked:
        shape = TargetForm if asked == TARGET else ReachedForm
        body: list[ft.Control] = [
            shape(desk=desk, job=job, stands=stands, leave=lambda: set_form(""), key=asked)
        ]
    else:
        body = _shown(desk, stands)
    return frame(
        desk, stands.joint.title, body, under=job.name, back=home, tools=tools, panel=asked,
        foot=() if asked else _foot(desk, stands, set_form),
    )  # fmt: skip


def _next_joint(desk: Desk, every: Sequence[JointStands], home: str) -> list[ft.Control]:
    """To the first joint that is still to be tightened."""
    to_do = next((j.joint for j in every if (j.must or j.target) and j.reached is None), None)
    if not to_do:
        return []
    words = f"Go on: {to_do.title}"
    return [controls.button(desk.standing.look, words, lambda _: desk.go(f"{home}/{to_do.id}"), strong=True)]


def _row(desk: Desk, stands: JointStands, route: str) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    under = "no torque target" if stands.must else "only if this cylinder has it"
    if stands.range_nm:
        under = Amounts((stands.range_nm.least_nm, stands.range_nm.greatest_nm), "torque", " to ").words(
            system
        )
    reached = stands.reached
    said = "" if reached is None else "beyond the tool" if reached.torque is None else stands.verdict.value
    leading = marks.mark(look, stands.verdict) if stands.target else None
    return controls.row(
        look, stands.joint.title, under, leading=leading, trailing=said, on_click=lambda _: desk.go(route),
        key=f"joint {stands.joint.id}",
    )  # fmt: skip


def _shown(desk: Desk, stands: JointStands) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    target, aimed = stands.target, stands.range_nm
    if target is None or aimed is None:
        return []
    width, height = column_width(desk) - 32, max(_LEAST_RULE, min(_RULE, (desk.page.height or 0) - _ROUND_IT))
    drawn = torque_rule(aimed, _mark(stands), width=width, height=height)
    said: list[ft.Control] = [marks.drawing(look, drawn)]
    if stands.setting_nm is not None:
        words = Amount(stands.setting_nm, "torque").words(system)
        said.append(
            controls.notice(look, f"Set the wrench to {words}: what is on it makes it longer.", "accent")
        )
    for preset in torque_preset(stands, desk.bench.shop.means()):
        said.append(controls.notice(look, preset.words(system), "accent"))
    said += _reached(desk, stands)
    said.append(controls.text(look, f"{target.on}.", 18, bold=True))
    if stands.passes_nm:
        passes = ", ".join(Amount(nm, "torque").words(system) for nm in stands.passes_nm)
        said.append(controls.text(look, f"In passes: {passes}. {order_words(stands.order)}", 18))
    said.append(controls.small(look, basis_words(target)))
    return [*said, *(controls.text(look, s.words(system), 17) for s in stands.says)]


def _mark(stands: JointStands) -> TorqueMark | None:
    reached = stands.reached
    if reached is None or reached.torque is None:
        return None
    nm = float(reached.torque.value)
    return TorqueMark(nm, nm * float(reached.error_percent or 0) / 100)


def _reached(desk: Desk, stands: JointStands) -> list[ft.Control]:
    look, reached = desk.standing.look, stands.reached
    if reached is None:
        return [controls.text(look, "Not tightened yet.", 18)]
    off = f" ± {reached.error_percent:f} %" if reached.error_percent is not None else ""
    tool = f"{reached.tool}{off}, {reached.by}"
    if reached.torque is None:
        return [controls.text(look, f"Beyond the tool: {tool}", 20, bold=True)]
    both = "  ".join(Amount(reached.torque.value, "torque").words(s) for s in ("metric", "inch"))
    shown: list[ft.Control] = [controls.text(look, both, 26, bold=True, color=look.accent)]
    shown.append(marks.verdict_line(look, stands.verdict, tool))
    if reached.angle:
        shown.append(controls.text(look, f"Turned {reached.angle.typed}", 18))
    return shown


def _foot(desk: Desk, stands: JointStands, ask: Callable[[str], None]) -> list[ft.Control]:
    look = desk.standing.look
    again = stands.reached is not None
    words = "Tightened again" if again else "Enter what was reached"
    return [
        controls.button(look, words, lambda _: ask(REACHED), strong=not again, key=REACHED),
        controls.button(look, "Another target", lambda _: ask(TARGET), key=TARGET),
    ]


@ft.component
def TargetForm(desk: Desk, job: Job, stands: JointStands, leave: Callable[[], None]) -> ft.Control:  # noqa: N802
    """Where the torque is from, and what it is; a computed one is reckoned from thread, friction and share."""
    look, system, joint = desk.standing.look, desk.standing.system, stands.joint
    figures = desk.bench.tables_of(job).assembling.computed
    texts, write = use_texts(lambda: Texts(basis=DRAWING, share=f"{figures.share_percent:f} %"))

    def keep() -> None:
        basis, made_of = texts["basis"], None
        if basis == COMPUTED:
            typed = {key: texts[key] for key in ("thread", "strength", "surface", "way", "share")}
            try:
                made_of = computed_from(desk.bench.handbook_of(job), typed, system)
            except Refusal as refusal:
                desk.say(refusal.words(system))
                return
        aimed = TorqueAimed(
            joint.id, basis, texts["nominal"], texts["low"], texts["high"], texts["source"],
            texts["on"] or texts["surface"], texts["count"], made_of, texts["wrench"], texts["extension"],
        )  # fmt: skip
        if desk.enter(job, job.as_found, aimed):
            leave()

    def label(title: str, kind: str) -> str:
        return label_of(title, kind, system)

    body: list[ft.Control] = [controls.text(look, "Where is the torque from?", 18, bold=True)]
    body.append(
        controls.choices(
            look, [(b, w) for b, w in BASES.items()], texts["basis"], lambda b: write("basis", b), columns=1
        )
    )
    if texts["basis"] == COMPUTED:
        body += _computed(desk, job, texts, write)
    else:
        body += [
            texts.field(look, "nominal", label("Torque", "torque")),
            texts.field(look, "low", label("Lowest allowed", "torque")),
            texts.field(look, "high", label("Highest allowed", "torque")),
            texts.field(look, "source", f"Which one: {BASES[texts['basis']]}", hint="number, sheet or page"),
        ]
    body.append(texts.field(look, "on", "What is on thread and face", hint="e.g. oil on thread and face"))
    if joint.several:
        body.append(texts.field(look, "count", "How many screws"))
    body += [
        texts.field(look, "wrench", label("Wrench, drive to grip", "length")),
        texts.field(
            look, "extension", label("What makes it longer", "length"), hint="only with an extension on it"
        ),
        controls.button(look, "Save the target", desk.guard(lambda _: keep()), strong=True),
    ]
    if stands.target:
        body.append(controls.button(look, "Leave it", lambda _: leave()))
    return controls.form(body)


def _computed(desk: Desk, job: Job, texts: Texts, write: Callable[[str, str], None]) -> list[ft.Control]:
    look, handbook = desk.standing.look, desk.bench.handbook_of(job)
    rows: list[ft.Control] = [
        texts.field(look, "thread", "Thread", hint="M42x3, 1-8 UNC"),
        texts.field(look, "strength", "Strength: class, or proof stress", hint="8.8, 10.9, SAE 5, 600 MPa"),
        texts.field(look, "share", "Percent of proof to aim at"),
    ]
    for key, title, kind in (
        ("surface", "On thread and face, for its friction", FrictionKind.NUT_FACTOR),
        ("way", "How it is tightened, for its scatter", FrictionKind.SCATTER),
    ):
        rows.append(controls.text(look, title, 18, bold=True))
        options = [(name, name) for name in rows_of(handbook, kind)]
        rows.append(controls.choices(look, options, texts[key], lambda v, k=key: write(k, v), columns=1))
    return rows


@ft.component
def ReachedForm(desk: Desk, job: Job, stands: JointStands, leave: Callable[[], None]) -> ft.Control:  # noqa: N802
    """The torque that was reached, with which tool."""
    look, system = desk.standing.look, desk.standing.system
    last = stands.reached
    first = {"tool": last.tool, "error": f"{last.error_percent or ''}", "until": last.until} if last else {}
    texts, _ = use_texts(lambda: Texts(**first))

    def keep(torque: str) -> None:
        reached = TorqueReached(
            stands.joint.id, torque, texts["tool"], texts["error"], texts["until"], texts["angle"]
        )
        if desk.enter(job, job.as_found, reached):
            leave()

    return controls.form(
        [
            texts.field(look, "torque", label_of("Torque reached", "torque", system)),
            texts.field(look, "tool", "Tool", hint="its number in the shop"),
            texts.field(look, "error", "It may be off by, %", hint="from its certificate"),
            texts.field(look, "until", "Calibrated until", hint="2027-03-01"),
            texts.field(look, "angle", label_of("Angle turned", "angle", system)),
            controls.button(look, "Save", desk.guard(lambda _: keep(texts["torque"])), strong=True),
            ft.Row(
                [
                    controls.button(
                        look, "Beyond the tool", desk.guard(lambda _: keep(BEYOND_TOOL)), expand=True
                    ),
                    controls.button(look, "Leave it", lambda _: leave(), expand=True),
                ],
                spacing=GAP,
            ),
        ]
    )
