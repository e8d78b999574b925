"""The list of jobs: search, open, begin a new one."""

from __future__ import annotations

from decimal import Decimal

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.trade.measuring.quantities import show, show_text

UNITS = (("metric", "Millimetres"), ("inch", "Inches"))


def size_words(survey: Survey, system: str) -> str:
    """Bore / rod × stroke as far as they are known."""
    decimals = 0 if system == "metric" else 2
    shown = [
        show(mm, kind="length", system=system, decimals=decimals)[0] if (mm := survey.length(name)) else "?"
        for name in ("bore", "rod", "stroke")
    ]
    if shown == ["?", "?", "?"]:
        return ""
    unit = show_text(Decimal(1), kind="length", system=system).split()[-1]
    return f"Ø{shown[0]} / Ø{shown[1]} × {shown[2]} {unit}"


def matches(job: Job, wanted: str) -> bool:
    """Whether a job is meant by what was typed into the search."""
    told = f"{job.name} {job.as_found.text('customer')} {job.as_found.text('machine')}".casefold()
    return all(word in told for word in wanted.casefold().split())


@ft.component
def Jobs(desk: Desk, version: int) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    wanted, set_wanted = ft.use_state("")
    jobs = [job for job in desk.bench.jobs() if matches(job, wanted)]
    body: list[ft.Control] = [
        controls.field(
            look, "Search", wanted, set_wanted, on_change=set_wanted, hint="number, customer, machine"
        )
    ]
    for job in jobs:
        size = size_words(job.as_found, system)
        whose = " · ".join(w for w in (job.as_found.text("customer"), job.as_found.text("machine")) if w)
        under = "\n".join(w for w in (whose, size) if w)
        done = "report" if job.reports else job.last_at[:10]
        body.append(
            controls.row(
                look,
                job.name,
                under,
                trailing=done,
                on_click=lambda _, i=job.id: desk.go(f"/job/{i}"),
                key=f"job {job.name}",
            )
        )
    if not jobs:
        words = "No job matches." if wanted else "No job yet. Begin with the one on the bench."
        body.append(controls.notice(look, words, "accent"))
    return frame(
        desk,
        "Cylinders on the bench",
        body,
        tools=_tools(desk),
        foot=(controls.button(look, "New job", lambda _: desk.go("/new"), strong=True),),
    )


def _tools(desk: Desk) -> list[ft.Control]:
    """What belongs to no job: the orders of all of them, the calculators, the settings."""
    look = desk.standing.look
    return [
        controls.icon_button(look, icon, said, lambda _, r=route: desk.go(r))
        for icon, said, route in (
            (ft.Icons.SHOPPING_CART_OUTLINED, "To order today", "/orders"),
            (ft.Icons.CALCULATE_OUTLINED, "Calculators", "/calc"),
            (ft.Icons.SETTINGS_OUTLINED, "Settings", "/settings"),
        )
    ]


@ft.component
def NewJob(desk: Desk) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    first = Texts(initials=desk.standing.initials, system=desk.standing.system)
    texts, write = use_texts(lambda: first)

    def begin() -> None:
        initials = texts["initials"].strip()
        if not initials:
            desk.say("Type your initials: every entry says who made it.")
            return
        if initials != desk.standing.initials:
            desk.setting("initials", initials)
        if texts["system"] != desk.standing.system:
            desk.setting("system", texts["system"])
        job = desk.bench.open_job(texts["name"], initials)
        desk.go(f"/job/{job.id}/nameplate")

    return frame(
        desk,
        "New job",
        [
            texts.field(look, "name", "Job number or tag"),
            texts.field(look, "initials", "Your initials"),
            controls.heading(look, "A bare number is in"),
            controls.choices(look, UNITS, texts["system"], lambda s: write("system", s)),
            controls.small(look, "Double-acting cylinder. Everything else can wait until it is known."),
        ],
        back="/",
        foot=(controls.button(look, "Begin", desk.guard(lambda _: begin()), strong=True),),
    )


@ft.component
def Who(desk: Desk) -> ft.Control:  # noqa: N802
    """Asks once who holds this phone, before anything is entered with it."""
    look = desk.standing.look
    texts, _ = use_texts()

    def keep() -> None:
        if texts["initials"].strip():
            desk.setting("initials", texts["initials"].strip())
        else:
            desk.say("Type your initials: every entry says who made it.")

    return frame(
        desk,
        "Who holds this phone?",
        [texts.field(look, "initials", "Your initials")],
        back="/",
        foot=(controls.button(look, "Go on", desk.guard(lambda _: keep()), strong=True),),
    )
