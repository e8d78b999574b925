"""The list of jobs: search, open, begin a new one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal

import flet as ft

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import entered_since
from inspect_app.entries.job import Job, Survey
from inspect_app.entries.opening import AnswerGiven
from inspect_app.entries.steps import CLOSED
from inspect_app.figures.stroke import stroke_drawing
from inspect_app.job.nameplate import main_sizes
from inspect_app.job.progress import Progress, ago_words
from inspect_app.job.seals.standing import late_orders
from inspect_app.job.steps import in_hand, steps_of
from inspect_app.screens.customer.agreed import listed_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.exchanging import TakeJob
from inspect_app.screens.host import Note
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import Look
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.cylinders import Question
from inspect_app.tables.faults import TableError
from inspect_app.tables.steps import RELEASE
from inspect_app.trade.measuring.quantities import show, show_text
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted, inside

AT_ONCE = 12
"""So many jobs are shown before more are asked for: those worked on last."""

URGENT = ("beyond", "accent")
"""In these roles what the host says stands above the jobs, else below them."""

STROKE = 150
"""How wide the stroke of a job is drawn, dp."""

FIRST, STAGES = "double-acting", "stages"
"""The usual kind of cylinder, and the question of how many stages there are."""

UNITS = (("metric", "Millimetres"), ("inch", "Inches"))


def size_words(desk: Desk, survey: Survey) -> str:
    """Diameters and stroke as far as they are known: bore / rod × stroke, or every stage's."""
    system, cylinder = desk.standing.system, desk.bench.tables.cylinders.get(survey.cylinder)
    if cylinder is None:
        return ""
    sizes = [f.id for f in main_sizes(cylinder, survey) if not f.id.endswith("-inside")]
    strokes = [survey.length(name) for name in sizes if name.endswith("stroke")]
    stroke = sum((mm for mm in strokes if mm), Decimal(0)) if all(strokes) else None
    diameters = [survey.length(name) for name in sizes if not name.endswith("stroke")]
    if not any(diameters) and not stroke:
        return ""
    decimals = 0 if system == "metric" else 2
    shown = [
        show(mm, kind="length", system=system, decimals=decimals)[0] if mm else "?"
        for mm in (*diameters, stroke)
    ]
    unit = show_text(Decimal(1), kind="length", system=system).split()[-1]
    return f"{' / '.join(f'Ø{size}' for size in shown[:-1])} × {shown[-1]} {unit}"


def matches(job: Job, wanted: str) -> bool:
    """Whether a job is meant by what was typed into the search."""
    fields = (job.as_found.text(name) for name in ("customer", "machine", "serial"))
    told = " ".join((job.name, *fields)).casefold()
    return all(word in told for word in wanted.casefold().split())


def report_words(bench: Bench, job: Job) -> str:
    """Whether a report was made, and whether it still says all that stands; "" without one."""
    since = entered_since(bench, job)
    if not since:
        return ""
    came = counted(since[-1], "entry", "entries") if since[-1] else "nothing entered"
    return f"report made, {came} since"


def step_words(bench: Bench, job: Job) -> str:
    """Which step of a job is in hand, or whether it is released."""
    hand = in_hand(steps_of(job.steps, bench.tables_of(job).steps))
    if hand:
        return f"Step: {inside(hand.step.title)}"
    last = job.steps.last(RELEASE)
    return "released" if last and last.did == CLOSED else "every step closed or skipped"


def late_words(bench: Bench, job: Job) -> str:
    """How many orders of seals are late, "" for none."""
    late = late_orders(job.ordering, bench.today())
    return counted(late, "order late", "orders late") if late else ""


def _row(desk: Desk, job: Job) -> ft.Control:
    """A job: whose it is, what becomes of it so far, how far it is, when it was last touched."""
    look = desk.standing.look
    whose = [job.as_found.text("customer"), job.as_found.text("machine")]
    under = " · ".join(w for w in (*whose, size_words(desk, job.as_found)) if w)
    lines: list[ft.Control] = [controls.small(look, under)] if under else []
    ago, report = ago_words(job.last_at, desk.bench.now()), report_words(desk.bench, job)
    customer = ""
    try:
        stands, customer = desk.bench.progress(job), listed_words(desk, job)
    except (TableError, Refusal) as damaged:  # this job's limits; the other jobs are listed all the same
        lines.append(controls.small(look, str(damaged)))
        said = str(damaged)
    else:
        lines += _stands(look, stands, ago)
        said = (
            f"{stands.word}{f', {stands.parts}' if stands.parts else ''}. {stands.done} of {stands.of} done"
        )
        step, late = step_words(desk.bench, job), late_words(desk.bench, job)
        lines.append(controls.text(look, step, 16))
        if late:
            lines.append(controls.text(look, late, 16, bold=True, color=look.beyond))
        said = ". ".join(w for w in (said, step, late) if w)
    lines += [controls.text(look, words, 16) for words in (customer, report) if words]
    go = desk.guard(lambda _: desk.go(f"/job/{job.id}"))
    return ft.Semantics(
        label=controls.printable(". ".join(w for w in (job.name, under, said, customer, report, ago) if w)),
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=f"job {job.name}",
        on_tap=go,
        key=f"job {job.id}",
        content=ft.Container(
            ft.Column([controls.text(look, job.name, 20, bold=True), *lines], spacing=4, tight=True),
            padding=ft.Padding(12, 10, 8, 10),
            border=ft.Border(bottom=ft.BorderSide(look.weight, look.rule)),
            on_click=go,
            ink=True,
        ),
    )


def _stands(look: Look, stands: Progress, ago: str) -> list[ft.Control]:
    """The sign and word of what becomes of it, the stroke of what is done, and when that was."""
    sign = [marks.mark(look, stands.sign, look.size(22)), controls.text(look, stands.word, 18, bold=True)]
    parts = [controls.text(look, stands.parts, 16, expand=True, lines=2)] if stands.parts else []
    stroke = marks.drawing(look, stroke_drawing(stands.done, stands.of, width=STROKE, height=18))
    done = controls.text(look, f"{stands.done} of {stands.of}", 16, expand=True)
    when = controls.text(look, ago, 16, color=look.soft)
    middle = ft.CrossAxisAlignment.CENTER
    narrow = look.scale > 1  # in larger type the time stands on a line of its own
    return [
        ft.Row([*sign, *parts], spacing=8, vertical_alignment=middle),
        ft.Row([stroke, done, *([] if narrow else [when])], spacing=10, vertical_alignment=middle),
        *([when] if narrow else []),
    ]


def _note(desk: Desk, note: Note) -> ft.Control:
    """What the host has to say, and what can be done about it."""
    look = desk.standing.look
    then = note.then
    if then is None:
        return controls.notice(look, note.words, note.role)

    async def do(_: object) -> None:
        await then()
        desk.redraw()

    return controls.notice(look, note.words, note.role, [controls.button(look, note.does, desk.guard(do))])


@ft.component
def Jobs(desk: Desk, version: int) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    wanted, set_wanted = ft.use_state("")
    shown, set_shown = ft.use_state(AT_ONCE)
    every = desk.bench.logbook.jobs()
    if wanted:
        every = tuple(i for i in every if matches(desk.bench.job(i), wanted))
    jobs = [desk.bench.job(i) for i in every[:shown]]  # the others are not even read
    notes = desk.host.notes()
    body = [_note(desk, note) for note in notes if note.role in URGENT]
    body += [
        controls.field(
            look, "Search", wanted, set_wanted, on_change=set_wanted, hint="number, customer, machine, serial"
        )
    ]
    body += [_row(desk, job) for job in jobs]
    if len(every) > shown:
        words = f"{len(every) - shown} more, not touched for longer"
        body.append(controls.button(look, words, lambda _: set_shown(shown + AT_ONCE), key="More jobs"))
    if not jobs:
        words = (
            "No job matches. Search by a part of the job's number, the customer or the machine."
            if wanted
            else "No job yet. Begin with the one on the bench. Touch New job and give its number; the parts to measure "
            "come then."
        )
        body.append(controls.notice(look, words, "accent"))
    body += [
        *([TakeJob(desk=desk)] if desk.may("job") else []),
        *(_note(desk, note) for note in notes if note.role not in URGENT),
    ]
    return frame(
        desk,
        "Cylinders on the bench",
        body,
        tools=_tools(desk),
        foot=(controls.button(look, "New job", lambda _: desk.go("/new"), strong=True),)
        if desk.may("job")
        else (),
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
        if route != "/orders" or desk.may("seal-order")
    ]


@ft.component
def NewJob(desk: Desk) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    kinds = desk.bench.tables.cylinders
    first = Texts(initials=desk.standing.initials, system=desk.standing.system, kind=FIRST)
    texts, write = use_texts(lambda: first)

    def begin() -> None:
        initials = texts["initials"].strip()
        if not initials:
            desk.say("Type your initials: every entry says who made it.")
            return
        if initials != desk.standing.initials:
            desk.setting("initials", initials)
        stages, units = _stages(desk, texts["kind"]), texts["system"]
        if stages and texts["stages"] not in stages.answers:
            desk.say(stages.ask)
            return
        job = desk.bench.open_job(texts["name"], initials, texts["kind"], units=units)
        if stages:
            desk.bench.enter(job, AnswerGiven(stages.id, texts["stages"]), initials, units)
        if units != desk.standing.system:
            desk.switch_units(units, job.id)
        desk.go(f"/job/{job.id}/nameplate")

    return frame(
        desk,
        "New job",
        [
            texts.field(look, "name", "Job number or tag"),
            *([] if desk.bench.shop.people() else [texts.field(look, "initials", "Your initials")]),
            controls.heading(look, "A bare number is in"),
            controls.choices(look, UNITS, texts["system"], lambda s: write("system", s)),
            controls.heading(look, "It is a"),
            controls.choices(
                look,
                [(kind, kinds[kind].title.replace(" cylinder", "")) for kind in in_order(kinds)],
                texts["kind"],
                lambda kind: write("kind", kind),
            ),
            *_ask_stages(desk, texts, write),
            controls.small(look, "Everything else can wait until it is known."),
        ],
        back="/",
        foot=(controls.button(look, "Begin", desk.guard(lambda _: begin()), strong=True),),
    )


def in_order(kinds: Iterable[str]) -> list[str]:
    """The kinds of cylinder, the usual one first.

    Args:
        kinds: the ids of the checklists.

    >>> in_order(["tie-rod", "double-acting"])
    ['double-acting', 'tie-rod']
    """
    return sorted(kinds, key=lambda kind: (kind != FIRST, kind))


def _stages(desk: Desk, kind: str) -> Question | None:
    """What asks for the number of stages of such a cylinder, None where it has none."""
    return desk.bench.tables.cylinders[kind].question(STAGES)


def _ask_stages(desk: Desk, texts: Texts, write: Callable[[str, str], None]) -> list[ft.Control]:
    look, asked = desk.standing.look, _stages(desk, texts["kind"])
    if asked is None:
        return []
    options = tuple(asked.answers.items())
    stages = controls.choices(look, options, texts["stages"], lambda n: write("stages", n), len(options))
    return [controls.heading(look, asked.ask), stages]
