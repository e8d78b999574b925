"""The forms of a scope: a line, the terms, the photographs; what the customer said elsewhere, and was told."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.scoping import answer, frozen_scope
from inspect_app.entries.agreed import CustomerAnswer, Version
from inspect_app.entries.agreeing import CustomerTold, LineChanged, PhotoShown, TermsSaid
from inspect_app.entries.job import Job, Photo
from inspect_app.entries.seals import AsTyped
from inspect_app.entries.typed import Typed
from inspect_app.job.scope.shown import Scope
from inspect_app.logbook.photos import thumb
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.agreed import scope_route
from inspect_app.screens.customer.offer import priced, summed
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import Texts, use_texts

FIRM, OPTIONAL, LEFT_OUT = "firm", "optional", "dropped"
DONE_AS = ((FIRM, "It is done"), (OPTIONAL, "The customer chooses"), (LEFT_OUT, "Left out"))
FORMS = (("quotation", "Fixed price"), ("estimate", "Estimate"))
ANSWERS = (("yes", "Yes"), ("no", "No"), ("question", "A question"))
WAYS = (("telephone", "By telephone"), ("message", "By message"), ("paper", "On paper"))
COPY_OF = {"telephone": "told", "message": "document", "paper": "printed"}


def _form(desk: Desk, job: Job, title: str, body: list[ft.Control], back: str) -> ft.Control:
    return frame(desk, title, body, under=job.name, back=back)


def _keep(desk: Desk, job: Job, typed: Typed, back: str) -> None:
    if desk.enter(job, job.as_found, typed):
        desk.go(back)


def _typed(amount: AsTyped | None) -> str:
    return amount.typed if amount else ""


@ft.component
def LineForm(desk: Desk, job: Job, line: str, now: Scope | str) -> ft.Control:  # noqa: N802
    """One line: done, chosen by the customer or left out; its price and why; what happens without it."""
    look, stands, own = desk.standing.look, job.agreeing.lines.get(line), line.startswith("own-")
    titles: dict[str, str] = {}
    if not isinstance(now, str):
        titles = {x.line: x.title for x in now.lines} | {x.line: x.title for x in now.dropped}
    title = stands.title if stands and stands.title else titles.get(line, "")
    first = {
        "as": LEFT_OUT if stands and stands.dropped else OPTIONAL if stands and stands.optional else FIRM,
        "title": stands.title if stands else "",
        "price": _typed(stands.price) if stands else "",
        "reason": stands.reason if stands else "",
        "if_not": stands.if_not if stands else "",
    }
    texts, write = use_texts(lambda: Texts(**first))

    def keep() -> None:
        said = LineChanged(
            line,
            texts["title"],
            texts["price"],
            texts["as"] == OPTIONAL,
            texts["as"] == LEFT_OUT,
            texts["reason"],
            texts["if_not"],
        )
        _keep(desk, job, said, scope_route(job))

    empty = "" if own else ", empty: as it was"
    body = [
        controls.choices(look, DONE_AS, texts["as"], lambda chosen: write("as", chosen), columns=1),
        texts.field(look, "title", f"What is done{empty}"),
        texts.field(look, "price", f"Price before tax{empty}"),
        texts.field(look, "reason", "Reason, printed for the customer", lines=2),
        texts.field(look, "if_not", "If it is not done", lines=2),
        controls.button(look, "Keep the line", desk.guard(lambda _: keep()), strong=True),
    ]
    return _form(desk, job, title or "A line of your own", body, scope_route(job))


@ft.component
def TermsForm(desk: Desk, job: Job, now: Scope | str) -> ft.Control:  # noqa: N802
    """How firm the price is and until when, for whom, what is not in it, what a no costs."""
    look, terms = desk.standing.look, job.agreeing.terms
    shown = terms if isinstance(now, str) else now  # what follows from the nameplate and the rates as well
    stood = {name: str(getattr(shown, name)) for name in TEXTS}
    texts, write = use_texts(lambda: Texts(form=terms.form, refused_fee=_typed(terms.refused_fee), **stood))

    def keep() -> None:
        said = TermsSaid(texts["form"], *(texts[name] for name in (*TEXTS, "refused_fee")))
        _keep(desk, job, said, scope_route(job))

    body = [controls.choices(look, FORMS, texts["form"], lambda chosen: write("form", chosen))]
    body += [texts.field(look, name, label, lines=2 if name in LONG else 1) for name, label in TERM_LABELS]
    body.append(controls.button(look, "Keep the terms", desk.guard(lambda _: keep()), strong=True))
    return _form(desk, job, "Terms of the offer", body, scope_route(job))


TEXTS = ("valid_until", "excluded", "customer", "may_order_for", "complaint")
"""As TermsSaid takes them."""

TERM_LABELS = (
    ("valid_until", "Good until, year-month-day"),
    ("customer", "Customer"),
    ("may_order_for", "Whoever signs may order for"),
    ("complaint", "What the customer told us"),
    ("excluded", "Not included"),
    ("refused_fee", "What a no costs, empty: as computed"),
)
LONG = ("complaint", "excluded")


@ft.component
def ScopePhotos(desk: Desk, job: Job, now: Scope | str) -> ft.Control:  # noqa: N802
    """Which photographs the customer sees."""
    look = desk.standing.look
    shown: set[str] = set()
    if not isinstance(now, str):
        shown = {item.photo for item in now.items} | {picture.photo for picture in now.pictures}

    def toggle(photo: Photo) -> None:
        desk.enter(job, job.as_found, PhotoShown(photo.id, photo.sha256 not in shown))

    body: list[ft.Control] = [controls.text(look, "Touch a photograph to show it or to leave it out.", 17)]
    for n, photo in enumerate(job.photos, 1):
        file, on = thumb(photo.sha256, desk.bench.photos), photo.sha256 in shown
        said = f"{n}. {photo.caption or 'Photograph'}"
        picture = (
            ft.Image(src=file.read_bytes(), width=110, height=110, fit=ft.BoxFit.COVER)
            if file.exists()
            else controls.small(look, "missing on this device")
        )
        body.append(
            controls.row(
                look,
                said,
                "shown" if on else "not shown",
                leading=picture,
                on_click=desk.guard(lambda _, p=photo: toggle(p)),
                key=f"photo {photo.id}",
            )
        )
    return _form(desk, job, "Photographs", body, scope_route(job))


@ft.component
def Taken(desk: Desk, job: Job, version: Version) -> ft.Control:  # noqa: N802
    """What the customer said by telephone, in a message or on paper, and who took it down."""
    look, scope = desk.standing.look, frozen_scope(version)
    texts, write = use_texts(lambda: Texts(said="yes", how="telephone", role=scope.may_order_for))
    options, set_options = ft.use_state(dict[str, bool])
    chosen = {line.line: bool(options.get(line.line)) for line in scope.optional}
    back = scope_route(job, "shown", version.sha256)

    def keep() -> None:
        said = texts["said"]
        total = str(scope.total(chosen).gross) if said == "yes" else ""
        outcome = answer(
            desk.bench, job, version, said, by=desk.standing.initials, name=texts["name"], how=texts["how"],
            options=chosen if said == "yes" else {}, total=total, role=texts["role"], to=texts["to"],
            words=texts["words"], copy=COPY_OF[texts["how"]],
        )  # fmt: skip
        if desk.outcome(outcome):
            desk.go(back)

    def choose(line: str) -> None:
        set_options(lambda so_far: {**so_far, line: not so_far.get(line)})

    answers = ANSWERS if scope.offers else ANSWERS[1:]
    body: list[ft.Control] = [
        controls.choices(look, WAYS, texts["how"], lambda how: write("how", how), columns=1),
        controls.heading(look, "The customer says"),
        controls.choices(look, answers, texts["said"], lambda said: write("said", said), columns=1),
    ]
    if texts["said"] == "yes":
        body += [priced(desk, scope, line, chosen, choose) for line in scope.optional]
        body += summed(desk, scope, chosen)
        body.append(controls.text(look, f"Read it out: {scope.sentence}", 17))
    body += [
        texts.field(look, "name", "Name of who says it"),
        texts.field(look, "role", "May order for"),
        texts.field(look, "to", "Number called, or address of the message"),
        texts.field(look, "words", "In their words", lines=2),
        controls.small(look, f"Taken down by {desk.standing.initials}, now. {wording.NO_PROOF}"),
        controls.button(look, "Take it down", desk.guard(lambda _: keep()), strong=True),
    ]
    return _form(desk, job, "What the customer said", body, back)


@ft.component
def Tell(desk: Desk, job: Job, asked: CustomerAnswer) -> ft.Control:  # noqa: N802
    """What the customer was told to a question or a call."""
    look = desk.standing.look
    texts, _ = use_texts()
    back = scope_route(job)
    under = asked.words or "Please call me."
    reach = f" Number: {asked.to}." if asked.to else ""
    body = [
        controls.text(look, f"{asked.name}: {under}{reach}", 20, bold=True),
        texts.field(look, "words", "What they were told", lines=3),
        controls.button(
            look,
            "Keep it",
            desk.guard(lambda _: _keep(desk, job, CustomerTold(asked.id, texts["words"]), back)),
            strong=True,
        ),
    ]
    return _form(desk, job, "Answer the customer", body, back)
