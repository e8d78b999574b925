"""The shop's means of one kind, off their plates: what each is rated for, and until when it is tested."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.means import enter_means, retire_means
from inspect_app.entries.means import Means
from inspect_app.report.phrases import as_typed
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.nameplate import label_of
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import use_texts


def means_rows(desk: Desk) -> list[ft.Control]:
    """Every kind of means with what the shop has of it, for the settings."""
    look, shops = desk.standing.look, desk.bench.shop.means()
    rows: list[ft.Control] = [
        controls.heading(look, "Means of the shop"),
        controls.small(look, "A step says beforehand what exceeds them."),
    ]
    for kind in desk.bench.tables.means.values():
        own = ", ".join(means_words(desk, m) for m in shops if m.kind == kind.id)
        rows.append(
            controls.row(
                look,
                kind.title,
                own or "none entered: nothing is asked of it",
                on_click=lambda _, k=kind.id: desk.go(f"/means/{k}"),
                key=f"means {kind.id}",
            )
        )
    return rows


def means_words(desk: Desk, means: Means) -> str:
    """A means in a line: its name, what it is rated for, and its test."""
    overdue = "EXPIRED, " if means.tested_until and means.tested_until < desk.bench.today() else ""
    tested = f"tested until {means.tested_until}" if means.tested_until else "no test date"
    measures = desk.bench.tables.means[means.kind].measures
    rated = as_typed(means.typed, means.up_to, measures, desk.standing.system)
    return f"{means.name} up to {rated}, {overdue}{tested}"


@ft.component
def MeansForm(desk: Desk, kind: str) -> ft.Control:  # noqa: N802
    look, bench = desk.standing.look, desk.bench
    shown = bench.tables.means[kind]
    texts, _ = use_texts()

    def keep() -> None:
        typed = {name: texts[name] for name in ("name", "up_to", "until")}
        enter_means(bench, kind, typed, desk.standing.initials, desk.standing.system)
        desk.refresh()
        desk.go("/settings")

    def retire(means: Means) -> None:
        retire_means(bench, means, desk.standing.initials)
        desk.refresh()

    body: list[ft.Control] = []
    for means in (m for m in bench.shop.means() if m.kind == kind):
        out = desk.guard(lambda _, m=means: retire(m))
        body += [
            controls.text(look, means_words(desk, means), 18),
            controls.button(look, f"Take {means.name} out of use", out),
        ]
    body += [
        texts.field(look, "name", "Name or number on it"),
        texts.field(look, "up_to", label_of("Rated up to", shown.measures, desk.standing.system)),
        texts.field(look, "until", "Tested until", hint="year-month-day"),
        controls.small(look, "One of the same name takes the place of the one before."),
    ]
    return frame(
        desk,
        shown.title,
        body,
        back="/settings",
        foot=(controls.button(look, "Use it", desk.guard(lambda _: keep()), strong=True),),
    )
