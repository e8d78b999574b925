"""The job's first screen: where it stands, what holds it, its steps, and the next one at the strong button."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.exchange import remarks
from inspect_app.bench.releasing import card_pdf
from inspect_app.bench.stepping import facts_of
from inspect_app.entries.job import Job
from inspect_app.figures.stroke import steps_drawing
from inspect_app.job.findings import worst_disposition
from inspect_app.job.headline import WHOLE
from inspect_app.job.steps import (
    Facts,
    Stands,
    StepStands,
    hold_sentence,
    in_hand,
    passed_over_words,
    steps_of,
)
from inspect_app.job.words import BECOMES
from inspect_app.report.phrases import when
from inspect_app.screens.desk import Desk
from inspect_app.screens.exchanging import GiveJob, SendJob
from inspect_app.screens.mechanic.parts import next_check
from inspect_app.screens.mechanic.routes import parts_of, route_of, step_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP, TOUCH, Look
from inspect_app.screens.pieces.papers import Paper

STROKE = 46
"""How wide the stroke of the steps is drawn, dp."""

MEASURING = "measure"
"""The step whose work is on screens of its own from the first touch: the next check is one tap away."""


@ft.component
def JobScreen(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    facts = facts_of(desk.bench, job)
    every = steps_of(job.steps, facts.tables.steps)
    hand = in_hand(every)
    holds = hold_sentence(facts, hand).words(desk.standing.system)
    pitch = look.size(TOUCH)
    at = every.index(hand) if hand else None
    rows = [_step_row(desk, job, s, s is hand, pitch) for s in every]
    stroke = marks.drawing(look, steps_drawing([s.over for s in every], at, width=STROKE, pitch=pitch))
    steps = ft.Row(
        [stroke, ft.Column(rows, spacing=0, expand=True)],
        spacing=12,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )
    return frame(
        desk,
        job.name,
        [_hold(look, holds), *_remarks(desk, job), steps, *_also(desk, job)],
        under=becomes_words(facts),
        back="/",
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        foot=_ways_on(desk, job, hand),
    )


def becomes_words(facts: Facts) -> str:
    """What becomes of the cylinder; of one that was worked on as found and as left."""
    whole = WHOLE[facts.assessment().whole]
    parts = facts.parts()
    if not any(p.touched for p in parts):
        return whole
    now = BECOMES[worst_disposition(p.now.disposition for p in parts)]
    return f"as found {whole}, as left {now}"


def _hold(look: Look, sentence: str) -> ft.Control:
    return ft.Container(
        controls.text(look, sentence, 20, bold=True),
        border=ft.Border(left=ft.BorderSide(6, look.accent)),
        padding=ft.Padding(12, 4, 4, 4),
        margin=ft.Margin(0, 10, 0, 4),
    )


def _remarks(desk: Desk, job: Job) -> list[ft.Control]:
    """Entries of it that are kept aside, or came by two ways."""
    return [controls.notice(desk.standing.look, words) for words in remarks(desk.bench, job)]


def state_words(desk: Desk, stands: StepStands) -> str:
    """How a step stands in a few words: closed or skipped when and by whom, or who is at work in it."""
    last = stands.last
    if last and stands.over:
        day = when(last.at, desk.bench.zone_at(last.at))[5:10]
        word = "skipped" if stands.stands is Stands.SKIPPED else "closed"
        against = " with something missing" if stands.stands is Stands.CLOSED and last.reason else ""
        return f"{word}{against} {day} · {last.by}"
    if stands.running:
        return f"at work: {', '.join(r.by for r in stands.running)}"
    return "begun" if stands.stands is Stands.BEGUN else ""


def _step_row(desk: Desk, job: Job, stands: StepStands, is_hand: bool, height: float) -> ft.Control:
    look, step = desk.standing.look, stands.step
    words = state_words(desk, stands) or ("next" if is_hand else "")
    words = ", ".join(w for w in (words, passed_over_words(stands, job)) if w)

    def go(_: object) -> None:
        desk.go(step_route(job, step.id))

    shown = words.removeprefix("closed ").replace(" · ", "\u00a0·\u00a0")  # the rod says so beside it
    inner = [
        controls.text(look, step.title, 18, bold=is_hand),
        controls.text(look, shown, 16, color=look.soft, lines=2, align=ft.TextAlign.RIGHT, expand=True),
    ]
    edge = ft.Border.all(2 * look.weight, look.accent) if is_hand else None
    rule = ft.Border(bottom=ft.BorderSide(look.weight, look.rule))
    return ft.Semantics(
        label=controls.printable(". ".join(w for w in (step.title, words) if w)),
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=f"step {step.id}",
        on_tap=go,
        key=f"step {step.id}",
        content=ft.Container(
            ft.Row(inner, spacing=8, vertical_alignment=ft.CrossAxisAlignment.CENTER),
            height=height,
            padding=ft.Padding(8, 0, 8, 0),
            border=edge or rule,
            border_radius=6 if is_hand else None,
            bgcolor=look.raised if is_hand else None,
            on_click=go,
            ink=True,
        ),
    )


def _also(desk: Desk, job: Job) -> list[ft.Control]:
    """What belongs to the whole job beside its steps."""
    look = desk.standing.look
    pages = (
        ("Nameplate", "sizes, duty, where it comes from", f"/job/{job.id}/nameplate"),
        ("Photographs", f"{len(job.photos)} taken, all by their numbers", f"/job/{job.id}/photos"),
        ("Repair or replace", "the ways, what each costs", f"/job/{job.id}/paths"),
    )
    rows: list[ft.Control] = [
        controls.row(look, title, under, on_click=lambda _, r=route: desk.go(r), key=title)
        for title, under, route in pages
    ]

    def card() -> bytes:
        return card_pdf(desk.bench, desk.bench.job(job.id), desk.standing.system, desk.host.address())

    name = f"card-{job.id[:8]}.pdf"
    paper = Paper(desk=desk, label="Make the bench card", name=name, make=card, entries=job.entries)
    shop = desk.host.shop()
    send = [SendJob(desk=desk, job=job, shop=shop)] if shop else []
    return [*rows, paper, *send, GiveJob(desk=desk, job=job)]


def _ways_on(desk: Desk, job: Job, hand: StepStands | None) -> list[ft.Control]:
    """The step in hand, and always the parts and the report."""
    look = desk.standing.look
    ways: list[ft.Control] = []
    if hand:
        route = step_route(job, hand.step.id)
        following = None
        if hand.step.id == MEASURING:
            following = next_check(desk.bench.assess(job).parts)
            route = route_of(job, job.as_found, following) if following else route
        ways.append(
            controls.button(
                look,
                f"Go on: {hand.step.title}",
                lambda _: desk.go(route),
                strong=True,
                key="Go on",
            )
        )
    parts = controls.button(look, "Parts", lambda _: desk.go(parts_of(job, job.as_found)), expand=True)
    report = controls.button(
        look, "Report", lambda _: desk.go(f"/job/{job.id}/report"), strong=hand is None, expand=True
    )
    return [*ways, ft.Row([parts, report], spacing=GAP)]
