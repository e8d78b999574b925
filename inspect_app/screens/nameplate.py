"""The nameplate: bore, rod and stroke first, the rest when it is known; every field is kept when it is left."""

from __future__ import annotations

import flet as ft

from inspect_app.job.job import Job
from inspect_app.screens import pieces
from inspect_app.screens.desk import Desk
from inspect_app.screens.frame import frame
from inspect_app.trade.nameplate_sizes import nameplate_doubts

FIRST = (
    ("bore", "Bore", "inside diameter of the barrel, nominal"),
    ("rod", "Rod diameter", "nominal"),
    ("stroke", "Stroke", ""),
)
MEASURING = (
    ("support_span", "Distance between the V-blocks", "for the rod's runout"),
    ("outside_diameter", "Barrel outside diameter", ""),
    ("pin", "Pin diameter", "nominal"),
    ("part_temperature", "Temperature of the parts", "when measured"),
    ("gauge_temperature", "Temperature of the gauges", ""),
)
DUTY = (
    ("rated_pressure", "Rated pressure", ""),
    ("fluid", "Fluid", "e.g. HM 46, HFC"),
    ("oil_temperature", "Oil temperature", ""),
    ("closed_length", "Closed length, pin to pin", ""),
    ("mounting", "Mounting", "eye, clevis, trunnion, flange"),
    ("mass", "Mass", "with rod, for lifting"),
)
ORIGIN = (
    ("customer", "Customer", ""),
    ("machine", "Machine and position", ""),
    ("serial", "Serial or tag", ""),
    ("maker", "Maker and type", ""),
    ("complaint", "Complaint", "what was wrong, in the customer's words"),
)
GROUPS = (("For measuring", MEASURING), ("Duty", DUTY), ("Where it comes from", ORIGIN))


@ft.component
def Nameplate(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    unreadable, set_unreadable = ft.use_state({})

    def keep(name: str, typed: str) -> None:
        outcome = desk.bench.fill_nameplate(job, {name: typed}, desk.standing.initials, system)
        if outcome.remark:
            set_unreadable(lambda kept: {**kept, name: typed})
            desk.say(outcome.remark)
        elif outcome.job is not job:
            set_unreadable(lambda kept: {n: t for n, t in kept.items() if n != name})
            desk.refresh()

    def fields(group: tuple[tuple[str, str, str], ...]) -> list[ft.Control]:
        return [
            pieces.field(
                look,
                label,
                unreadable.get(name, job.text(name)),
                desk.guard(lambda text, n=name: keep(n, text)),
                hint=hint,
                lines=2 if name == "complaint" else 1,
                key=name,
            )
            for name, label, hint in group
        ]

    body = fields(FIRST)
    doubts = nameplate_doubts(
        bore_mm=job.length("bore"),
        rod_mm=job.length("rod"),
        stroke_mm=job.length("stroke"),
        pressure_mpa=job.length("rated_pressure"),
    )
    body += [pieces.notice(look, d.sentence) for d in doubts]
    body.append(
        pieces.small(
            look,
            f"Bare numbers are read in {'millimetres' if system == 'metric' else 'inches'}; "
            "2 1/2 in or 63,5 mm are understood too.",
        )
    )
    for title, group in GROUPS:
        body.append(pieces.heading(look, title))
        body += fields(group)
    return frame(
        desk,
        "Nameplate",
        body,
        under=job.name,
        back=f"/job/{job.id}",
        foot=(
            pieces.button(
                look,
                "To the parts",
                lambda _: desk.go(f"/job/{job.id}"),
                strong=True,
                icon=ft.Icons.BUILD_OUTLINED,
            ),
        ),
    )
