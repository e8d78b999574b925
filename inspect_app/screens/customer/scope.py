"""The scope as the mechanic prepares it: what was found, lines and prices, photographs, terms; then it is shown."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.customers_phone import Offered, copy_drawn
from inspect_app.bench.scoping import freeze, frozen_scope, hours_of, scope_now
from inspect_app.entries.agreed import OWN_LINE, Version
from inspect_app.entries.job import Job
from inspect_app.job.scope.shown import Scope, ScopeLine
from inspect_app.report.phrases import beside_words, when
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.agreed import agreed_notices, answer_words, scope_route, standing_now
from inspect_app.screens.customer.offer import summed
from inspect_app.screens.desk import HANDED, Desk
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.papers import PAPER, open_button
from inspect_app.screens.pieces.signature import signed
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

SHOW, OTHERWISE = "Show to the customer", "Link, paper or telephone"


@ft.component
def ScopeScreen(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    now = ft.use_memo(lambda: proposed(desk, job), [job, desk.standing.system])
    body = agreed_notices(desk, job, standing_now(desk, job), here=True)
    foot: list[ft.Control] = []
    if isinstance(now, str):
        body.append(controls.notice(look, now))
    else:
        body += [
            controls.text(look, now.headline, 22, bold=True),
            *_made_of(desk, job, now),
            *_hours(desk, job),
        ]
        foot = [
            controls.button(look, SHOW, desk.guard(lambda _: hand_over(desk, job)), strong=True),
            controls.button(look, OTHERWISE, desk.guard(lambda _: _show_otherwise(desk, job))),
        ]
    body += _shown_so_far(desk, job)
    take_back = controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job)))
    return frame(
        desk, "Scope for the customer", body, under=job.name, back=f"/job/{job.id}", tools=(take_back,), foot=foot
    )  # fmt: skip


def _hours(desk: Desk, job: Job) -> list[ft.Control]:
    """What was worked beside what was estimated, once somebody has started a step."""
    look = desk.standing.look
    told = hours_of(desk.bench, job, desk.standing.system)
    if not any(beside.spent for beside in told):
        return []
    return [
        controls.heading(look, "Hours"),
        *(controls.text(look, beside_words(beside), 17) for beside in told),
    ]


def proposed(desk: Desk, job: Job) -> Scope | str:
    """What would be shown now, or the sentence why nothing can be.

    Args:
        desk: the session.
        job: the job.
    """
    try:
        return scope_now(desk.bench, job, desk.standing.system)
    except Refusal as refused:
        return refused.words(desk.standing.system)
    except TableError as fault:
        return str(fault)


def hand_over(desk: Desk, job: Job) -> None:
    """Freeze what is proposed now, and turn this phone into the customer's screen of it."""
    job, version = freeze(desk.bench, job, desk.standing.initials, desk.standing.system)
    desk.refresh()
    desk.setting(HANDED, f"{job.id} {version.sha256}")


def _show_otherwise(desk: Desk, job: Job) -> None:
    job, version = freeze(desk.bench, job, desk.standing.initials, desk.standing.system)
    desk.refresh()
    desk.go(scope_route(job, "shown", version.sha256))


def _made_of(desk: Desk, job: Job, now: Scope) -> list[ft.Control]:
    """What the customer would be shown, each row leading to where it is changed."""
    look = desk.standing.look
    rows: list[ft.Control] = [controls.text(look, fact, 17) for fact in (now.beside, *now.facts) if fact]
    rows.append(
        controls.row(
            look,
            "The way to repair it",
            "chosen by hand" if job.agreeing.path else "the cheapest that is offered",
            on_click=lambda _: desk.go(f"/job/{job.id}/paths"),
        )
    )
    rows.append(controls.heading(look, "Found"))
    for item in now.items:
        rows.append(controls.row(look, f"{item.number}. {item.title}", f"{item.saw} {item.if_not}"))
    if now.offers or now.dropped:
        rows.append(controls.heading(look, "Lines"))
    rows += [_line(desk, job, now, line) for line in now.lines]
    rows += [
        controls.row(
            look,
            dropped.title,
            f"left out: {dropped.reason}",
            on_click=lambda _, i=dropped.line: desk.go(scope_route(job, "line", i)),
            key=f"line {dropped.line}",
        )
        for dropped in now.dropped
    ]
    if now.offers:
        rows.append(controls.button(look, "Add a line", lambda _: desk.go(_next_own(job))))
        rows += summed(desk, now, {})
        if now.optional:
            rows.append(controls.small(look, "Without what the customer may choose."))
    pictured = len({i.photo for i in now.items if i.photo} | {p.photo for p in now.pictures})
    shown = f"{pictured} of {counted(len(job.photos), 'photograph', 'photographs')} shown"
    to_photos = lambda _: desk.go(scope_route(job, "photos"))  # noqa: E731
    rows.append(controls.row(look, "Photographs", shown, on_click=to_photos if job.photos else None))
    for_whom = f"for {now.customer}. " if now.customer else ""
    terms = f"{for_whom}{wording.validity_words(now.form, now.valid_until)}"
    rows.append(controls.row(look, "Terms", terms, on_click=lambda _: desk.go(scope_route(job, "terms"))))
    rows += [controls.notice(look, now.notice)] if now.notice else []
    return rows


def _line(desk: Desk, job: Job, now: Scope, line: ScopeLine) -> ft.Control:
    words = ["the customer may choose it"] if line.optional else []
    words += [f"price by hand: {line.why}"] if line.why else []
    changed = line.line in {x.line for x in now.lines if x.line != "least"}
    return controls.row(
        desk.standing.look,
        line.title,
        ", ".join(words),
        trailing=now.money(line.amount),
        on_click=(lambda _: desk.go(scope_route(job, "line", line.line))) if changed else None,
        key=f"line {line.line}",
    )


def _next_own(job: Job) -> str:
    numbers = [int(x.removeprefix(OWN_LINE)) for x in job.agreeing.lines if x.startswith(OWN_LINE)]
    return scope_route(job, "line", f"{OWN_LINE}{1 + max(numbers, default=0)}")


def _shown_so_far(desk: Desk, job: Job) -> list[ft.Control]:
    """Every version that was shown, the last one first."""
    look = desk.standing.look
    rows: list[ft.Control] = []
    for version in reversed(job.agreeing.versions):
        said = [a for a in job.agreeing.answers if a.version == version.sha256]
        last = f"{wording.SAID[said[-1].answer]}, {said[-1].name}" if said else "no answer"
        title = f"Version {version.number}, {when(version.at, desk.bench.zone_at(version.at))}"
        rows.append(
            controls.row(
                look,
                title,
                f"by {version.by}: {last}",
                on_click=lambda _, v=version: desk.go(scope_route(job, "shown", v.sha256)),
                key=f"version {version.sha256}",
            )
        )
    return [controls.heading(look, "Shown so far"), *rows] if rows else []


@ft.component
def ShownVersion(desk: Desk, job: Job, version: Version) -> ft.Control:  # noqa: N802
    """One version that was shown: its answers, its paper, and while it is good the link and what was said elsewhere."""
    look, scope = desk.standing.look, frozen_scope(version)
    of = Offered(job, version, scope)
    pdf, set_pdf = ft.use_state(b"")
    shut = wording.shut_words(of, desk.bench.today())
    body: list[ft.Control] = [controls.text(look, scope.headline, 20, bold=True)]
    body += [controls.notice(look, shut)] if shut else []
    for answer in of.answers:
        body.append(controls.text(look, answer_words(answer, version), 17))
        if answer.signature:
            body.append(signed(look, answer.signature, column_width(desk) - 32))
        if told := job.agreeing.told.get(answer.id):
            body.append(controls.text(look, f"{told.by} told them: {told.words}", 17))
    if not of.answers:
        body.append(controls.text(look, "No answer yet.", 17))
    if pdf:
        body.append(open_button(desk, f"offer-{version.sha256[:8]}.pdf", pdf, strong=False))
    else:

        async def make(_: object) -> None:
            set_pdf(await desk.floor.beside(copy_drawn(desk.bench, of)))

        body.append(controls.button(look, "Make the PDF", desk.guard(make), icon=PAPER))
    foot: list[ft.Control] = []
    if not shut:
        body += _own_phone(desk, job, version)
        handed = f"{job.id} {version.sha256}"
        foot = [
            controls.button(
                look, "Telephone, message or paper", lambda _: desk.go(scope_route(job, "taken", version.sha256))
            ),
            controls.button(
                look, "Hand this phone over", desk.guard(lambda _: desk.setting(HANDED, handed)), strong=True
            ),
        ]  # fmt: skip
    body.append(controls.small(look, f"What was shown is named by {version.sha256[:16]}."))
    return frame(
        desk, f"Version {version.number}", body, under=job.name, back=scope_route(job), foot=foot
    )  # fmt: skip


def _own_phone(desk: Desk, job: Job, version: Version) -> list[ft.Control]:
    """The link for the customer's own phone, to be scanned off this screen."""
    look, way = desk.standing.look, desk.host.customers_way(job.id, version.sha256)
    heading = controls.heading(look, "On the customer's own phone")
    if way is None:
        start = "No other phone can come in: start the program with --lan, in the shop's Wi-Fi."
        return [heading, controls.text(look, start, 17)]
    size = min(column_width(desk) - 64, 300)
    return [
        heading,
        controls.text(look, "In the shop's Wi-Fi, scan this. It opens this offer and nothing else.", 17),
        marks.squares(way.squares, size, f"QR code of {way.address}"),
        controls.small(look, way.address),
    ]
