"""The calculators at the bench: the list by topic, and the state of the one that is open."""

from __future__ import annotations

import flet as ft

from inspect_app.calculators import CALCULATORS, named
from inspect_app.calculators.answer import cautions_of
from inspect_app.calculators.shape import Calculator
from inspect_app.calculators.typed import Entry, begun
from inspect_app.screens import calculating
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.wording import capital


def label_of(calculator: Calculator) -> str:
    """A calculator's name as words."""
    words = capital(calculator.name)
    return words if words.startswith("O-ring") else words.replace("-", " ")


def is_meant(calculator: Calculator, wanted: str) -> bool:
    """Whether a calculator is meant by what was typed into the search."""
    keys = " ".join(key.title for key in calculator.keys)
    told = f"{calculator.name} {calculator.topic} {calculator.title} {keys}".casefold()
    return all(word in told for word in wanted.casefold().split())


@ft.component
def CalculatorList(desk: Desk) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    wanted, set_wanted = ft.use_state("")
    found = [calculator for calculator in CALCULATORS if is_meant(calculator, wanted)]
    body: list[ft.Control] = [
        controls.field(look, "Search", wanted, set_wanted, on_change=set_wanted, hint="wall, torque, O-ring")
    ]
    for topic in dict.fromkeys(calculator.topic for calculator in found):
        body.append(controls.heading(look, topic))
        body.append(ft.Column([_row(desk, c) for c in found if c.topic == topic], spacing=0))
    if not found:
        body.append(controls.notice(look, "No calculator matches.", "accent"))
    return frame(desk, "Calculators", body, back="/")


def _row(desk: Desk, calculator: Calculator) -> ft.Control:
    return controls.row(
        desk.standing.look,
        label_of(calculator),
        calculator.title,
        on_click=lambda _: desk.go(f"/calc/{calculator.name}"),
        key=f"calc {calculator.name}",
    )


@ft.component
def CalculatorScreen(desk: Desk, name: str) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    calculator, handbook = named(name), shipped_handbook()
    entry, set_entry = ft.use_state(lambda: begun(calculator))

    def press(key: str) -> None:
        set_entry(lambda e: e.press(key, system))

    desk.on_key = desk.guard(press) if entry.numeric else None
    answer, refusal = entry.answer(system, handbook)
    choose = desk.guard(lambda key: set_entry(lambda e: e.turned_to(key)))
    rows = [calculating.key_row(look, entry, key, system, choose) for key in calculator.keys]
    return frame(
        desk,
        label_of(calculator),
        [
            controls.small(look, calculator.title),
            *calculating.outcome(look, entry, answer, refusal, system),
            *rows,
            *calculating.grounds(look, calculator, answer, cautions_of(calculator, handbook), system),
        ],
        back="/calc",
        tools=(
            units_tool(desk),
            controls.icon_button(
                look, ft.Icons.RESTART_ALT, "Clear", desk.guard(lambda _: set_entry(begun(calculator)))
            ),
        ),
        foot=_foot(desk, entry, set_entry, press) or calculating.standing(look, answer, refusal, system),
    )


def _foot(
    desk: Desk, entry: Entry, set_entry: calculating.SetEntry, press: calculating.OnText
) -> list[ft.Control]:
    """What fills the key that is being filled: the keypad, choices, or a line to type in."""
    look, system = desk.standing.look, desk.standing.system
    key = entry.key
    if key is None:
        return []
    if entry.numeric:
        answer, _ = entry.answer(system, shipped_handbook())
        so_far = calculating.in_short(answer, system)
        switch = desk.guard(lambda _: set_entry(lambda e: e.switched(key.name, system)))
        return calculating.number_entry(look, entry, key, system, desk.guard(press), switch, so_far)
    write = desk.guard(lambda text: set_entry(lambda e: e.write(key.name, text, system)))
    done = desk.guard(lambda text: set_entry(lambda e: e.finish(key.name, text, system)))
    return calculating.word_entry(look, entry, key, key.choices(shipped_handbook()), write, done)
