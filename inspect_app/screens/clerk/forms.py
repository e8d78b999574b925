"""One small form at a time: its fields and the ways to end it; what cannot be taken stays in it with a sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import flet as ft

from inspect_app.entries.job import Job
from inspect_app.entries.typed import Typed
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.texts import Texts, use_texts


@dataclass(frozen=True)
class Asks:
    """A form: its title, its fields as (name, label, hint), and its ends: the words on a button, and what it enters."""

    title: str
    fields: tuple[tuple[str, str, str], ...]
    ends: tuple[tuple[str, Callable[[Texts], Typed]], ...]
    under: str = ""
    first: tuple[tuple[str, str], ...] = ()


@ft.component
def Form(desk: Desk, job: Job, asks: Asks, leave: Callable[[], None]) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    texts, _ = use_texts(lambda: Texts(**dict(asks.first)))

    def keep(made: Callable[[Texts], Typed]) -> None:
        if desk.enter(job, job.as_found, made(texts)):
            leave()

    strong = len(asks.ends) == 1
    rows: list[ft.Control] = [controls.heading(look, asks.title)]
    if asks.under:
        rows.append(controls.text(look, asks.under, 17))
    rows += [texts.field(look, name, label, hint=hint) for name, label, hint in asks.fields]
    rows += [
        controls.button(look, label, desk.guard(lambda _, m=made: keep(m)), strong=strong)
        for label, made in asks.ends
    ]
    rows.append(controls.button(look, "Leave it", lambda _: leave()))
    return controls.form(rows)


@ft.component
def Looks(  # noqa: N802
    desk: Desk, job: Job, looks: Sequence[tuple[str, str]], make: Callable[[Sequence[str], Texts], Typed],
    leave: Callable[[], None],
) -> ft.Control:  # fmt: skip
    """How an old seal looks: as many of the words as hold, and what was measured of it."""
    look = desk.standing.look
    chosen, set_chosen = ft.use_state(())
    texts, _ = use_texts()

    def toggle(state: str) -> None:
        set_chosen(tuple(s for s in chosen if s != state) if state in chosen else (*chosen, state))

    def keep() -> None:
        if desk.enter(job, job.as_found, make(chosen, texts)):
            leave()

    rows: list[ft.Control] = [controls.heading(look, "How the old one looks")]
    rows += [
        controls.choice(look, title, state in chosen, lambda _, s=state: toggle(s), key=f"looks {state}")
        for state, title in looks
    ]
    rows += [
        texts.field(look, "section", "Its section"),
        texts.field(look, "hardness", "Its hardness, Shore A"),
        texts.field(look, "note", "Note"),
        controls.button(look, "Keep the look", desk.guard(lambda _: keep()), strong=True),
        controls.button(look, "Leave it", lambda _: leave()),
    ]
    return controls.form(rows)
