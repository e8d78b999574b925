"""The nameplate: bore, rod and stroke first, the rest when it is known; every field is kept when it is left."""

from __future__ import annotations

import flet as ft

from inspect_app.entries import opening
from inspect_app.entries.job import AS_FOUND, Job, Survey
from inspect_app.job.nameplate import fields_of
from inspect_app.job.output import Row, notes_of, output_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.routes import job_route, parts_of
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import Look
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.nameplate import TEXT
from inspect_app.trade.measuring.inch_bores import rods_met
from inspect_app.trade.measuring.nameplate_sizes import nameplate_doubts
from inspect_app.trade.measuring.units import KINDS


def label_of(title: str, kind: str, system: str) -> str:
    """A field's title, with the unit a bare number is read in."""
    unit = "" if kind == TEXT else KINDS[kind].shown(system)[0].name
    return f"{title}, {unit}" if unit else title


def _told(desk: Desk, job: Job, survey: Survey, cylinder: Cylinder) -> list[ft.Control]:
    """What is hard to believe of the main sizes, and in inches the rods met with such a bore."""
    look, bore = desk.standing.look, survey.length("bore")
    doubts = nameplate_doubts(
        bore_mm=None if cylinder.areas == "rod" else bore,  # a plunger may fill its tube
        rod_mm=survey.length("rod"),
        stroke_mm=survey.length("stroke"),
        pressure_mpa=survey.length("rated_pressure"),
    )
    told: list[ft.Control] = [controls.notice(look, d.sentence) for d in doubts]
    if bore and desk.standing.system == "inch":
        met = rods_met(bore_mm=float(bore), bores=desk.bench.handbook_of(job).inch_bores)
        told += [controls.small(look, met.words("inch"))] if met else []
    return told


def _output(look: Look, rows: tuple[Row, ...], notes: tuple[str, ...], system: str) -> list[ft.Control]:
    """What the cylinder can do by what stands above, as soon as its sizes are known."""
    if not rows:
        return []
    lines = [controls.text(look, f"{name}: {said.words(system)}", 18) for name, said in rows]
    return [
        controls.heading(look, "What it can do"),
        *lines,
        *(controls.small(look, note) for note in notes),
    ]


@ft.component
def Nameplate(desk: Desk, job: Job, survey: Survey) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    unreadable, set_unreadable = ft.use_state({})

    def keep(name: str, typed: str) -> None:
        plate, by = opening.Nameplate({name: typed}), desk.standing.initials
        outcome = desk.bench.enter(job, plate, by, system, survey.name)
        if outcome.remark:
            set_unreadable(lambda kept: {**kept, name: typed})
            desk.say(outcome.remark.words(desk.standing.system))
        elif outcome.job is not job:
            set_unreadable(lambda kept: {n: t for n, t in kept.items() if n != name})
            desk.refresh()

    cylinder = desk.bench.tables_of(job).cylinders[survey.cylinder]
    listed = fields_of(cylinder, survey)
    groups = list(dict.fromkeys(f.group for f in listed))

    def fields(group: str) -> list[ft.Control]:
        return [
            controls.field(
                look,
                label_of(f.title, f.kind, system),
                unreadable.get(f.id, survey.text(f.id)),
                desk.guard(lambda text, n=f.id: keep(n, text)),
                hint=f.hint,
                lines=f.lines,
                key=f.id,
            )
            for f in listed
            if f.group == group
        ]

    body = fields(groups[0]) + _told(desk, job, survey, cylinder)
    body.append(
        controls.small(
            look,
            "A bare number is in the unit beside its box; 2 1/2 in or 63,5 mm are understood too.",
        )
    )
    for group in groups[1:]:
        body.append(controls.heading(look, group))
        body += fields(group)
    body += _output(look, output_of(cylinder, survey), notes_of(cylinder), system)
    return frame(
        desk,
        "Nameplate",
        body,
        under=f"{job.name} · {cylinder.title}",
        back=job_route(job) if survey.name == AS_FOUND else parts_of(job, survey),
        tools=(units_tool(desk),),
        foot=_ways_on(desk, job, survey),
    )


def _ways_on(desk: Desk, job: Job, survey: Survey) -> list[ft.Control]:
    """As found, the job with its steps comes before its parts."""
    look, found = desk.standing.look, survey.name == AS_FOUND

    def parts(_: object) -> None:
        desk.go(parts_of(job, survey))

    to_parts = controls.button(look, "To the parts", parts, strong=not found, icon=ft.Icons.BUILD_OUTLINED)
    to_job = controls.button(look, "To the job", lambda _: desk.go(job_route(job)), strong=True)
    return [to_job, to_parts] if found else [to_parts]
