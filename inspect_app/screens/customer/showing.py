"""The screen a customer is handed: one frozen scope, what they say to it, and no way into the job but the shop's own.

Drawn from what was frozen alone: what was entered since is not on it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import flet as ft

from inspect_app.bench.customers_phone import Offered, offered
from inspect_app.bench.scoping import answer
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.offer import offer, summed
from inspect_app.screens.desk import HANDED, Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.screens.pieces.signature import SignatureBox, Strokes
from inspect_app.screens.pieces.texts import Texts, use_texts

READ, SIGN, ASK, DONE, BACK = "read", "sign", "ask", "done", "back"
GIVE_BACK = "Give the phone back"


@ft.component
def Showing(desk: Desk, version: int) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    job_id, _, sha256 = desk.standing.handed.partition(" ")
    of = offered(desk.bench, job_id, sha256)
    panel, set_panel = ft.use_state(READ)
    options, set_options = ft.use_state(dict[str, bool])
    texts, _ = use_texts(lambda: Texts(role=of.scope.may_order_for if of else ""))
    strokes, _ = ft.use_state(Strokes)

    def turn(to: str) -> None:
        desk.say("")
        set_panel(to)

    def say(said: str, how: str, total: str = "") -> None:
        assert of
        outcome = answer(
            desk.bench, of.job, of.version, said, by=desk.standing.initials, name=texts["name"], how=how,
            options=chosen if said == "yes" else {}, total=total, role=texts["role"], to=texts["to"],
            words=texts["words"], signature=strokes.kept() if how == "signed-here" else (),
        )  # fmt: skip
        if desk.outcome(outcome):
            strokes.clear()
            set_panel(DONE)

    if of is None or panel == BACK:
        return GiveBack(desk=desk, leave=lambda: turn(READ), title=of.scope.cylinder if of else "The offer")
    chosen = {line.line: bool(options.get(line.line)) for line in of.scope.optional}
    if panel == SIGN:
        return Sign(desk=desk, of=of, options=chosen, texts=texts, strokes=strokes, say=say, turn=turn)
    if panel == ASK:
        return Ask(desk=desk, of=of, texts=texts, say=say, turn=turn)
    if panel == DONE:
        return _done(desk, of, turn)

    def choose(line: str) -> None:
        set_options(lambda so_far: {**so_far, line: not so_far.get(line)})

    shut = wording.shut_words(of, desk.bench.today())
    body: list[ft.Control] = [
        controls.notice(look, sentence) for sentence in (_answered(of), shut) if sentence
    ]
    body += offer(desk, of.scope, chosen, choose)
    body.append(controls.button(look, GIVE_BACK, desk.guard(lambda _: turn(BACK))))
    return _frame(desk, of, body, _ways(desk, of, shut, turn), READ)


def _frame(desk: Desk, of: Offered, body: list[ft.Control], foot: list[ft.Control], panel: str) -> ft.Control:
    scope = of.scope
    whose = " for ".join(name for name in (scope.shop, scope.customer) if name)
    under = " · ".join(part for part in (whose, f"version {of.version.number}") if part)
    return frame(desk, scope.cylinder, body, under=under, foot=foot, panel=panel)


def _answered(of: Offered) -> str:
    """The last answer to this version, in a sentence; "" while there is none."""
    return wording.thanks_words(of.answers[-1], of.scope) if of.answers else ""


def _ways(desk: Desk, of: Offered, shut: str, turn: Callable[[str], None]) -> list[ft.Control]:
    """No or a question, and yes where there is something to say it to."""
    look = desk.standing.look
    words = wording.NO_OR_QUESTION if of.scope.offers else wording.QUESTION
    no = controls.button(look, words, desk.guard(lambda _: turn(ASK)), expand=True)
    if shut or not of.scope.offers:
        return [ft.Row([no])]
    yes = controls.button(look, wording.YES, desk.guard(lambda _: turn(SIGN)), strong=True, expand=True)
    return [ft.Row([no, yes], spacing=GAP)]


def _done(desk: Desk, of: Offered, turn: Callable[[str], None]) -> ft.Control:
    look = desk.standing.look
    body: list[ft.Control] = [
        controls.text(look, _answered(of), 22, bold=True),
        controls.text(look, wording.NO_PROOF, 17),
        controls.button(look, "Look at the offer again", desk.guard(lambda _: turn(READ))),
    ]
    back = controls.button(look, GIVE_BACK, desk.guard(lambda _: turn(BACK)), strong=True)
    return _frame(desk, of, body, [back], DONE)


@ft.component
def Sign(  # noqa: N802
    desk: Desk, of: Offered, options: Mapping[str, bool], texts: Texts, strokes: Strokes,
    say: Callable[[str, str, str], None], turn: Callable[[str], None],
) -> ft.Control:  # fmt: skip
    """What a yes agrees to, who says it, and below where it does not scroll the box to sign in."""
    look = desk.standing.look
    _, drawn = ft.use_state(0)
    total = of.scope.total(options)

    def anew() -> None:
        drawn(lambda n: n + 1)

    def clear() -> None:
        strokes.clear()
        anew()

    def agree() -> None:
        how = "signed-here" if strokes.all else "typed-name"
        say("yes", how, str(total.gross))

    body = [
        *summed(desk, of.scope, options),
        controls.text(look, of.scope.sentence, 18),
        texts.field(look, "name", wording.NAME),
        texts.field(look, "role", wording.ROLE),
        controls.text(look, wording.SIGN_OR_TYPE, 17),
        controls.small(look, wording.NO_PROOF),
    ]
    width = column_width(desk) - 32
    foot = [
        SignatureBox(look=look, width=width, strokes=strokes, said=anew, key="signature"),
        ft.Row(
            [
                controls.button(look, "Go back", desk.guard(lambda _: turn(READ)), expand=True),
                controls.button(look, "Clear", desk.guard(lambda _: clear()), expand=True),
            ],
            spacing=GAP,
        ),
        controls.button(look, wording.YES, desk.guard(lambda _: agree()), strong=True, key="agree"),
    ]
    return _frame(desk, of, body, foot, SIGN)


@ft.component
def Ask(  # noqa: N802
    desk: Desk, of: Offered, texts: Texts, say: Callable[[str, str], None], turn: Callable[[str], None]
) -> ft.Control:
    """A question, a call, or a no: what each needs is asked for when it is touched."""
    look = desk.standing.look
    ends = [(wording.QUESTION, "question"), (wording.CALL, "call")]
    ends += [(wording.NO, "no")] if of.scope.offers else []
    body: list[ft.Control] = [
        texts.field(look, "name", wording.NAME),
        texts.field(look, "words", wording.WORDS, lines=3),
        texts.field(look, "to", wording.NUMBER),
        *(
            controls.button(look, words, desk.guard(lambda _, s=said: say(s, "typed-name")))
            for words, said in ends
        ),
    ]
    foot = [controls.button(look, "Go back", desk.guard(lambda _: turn(READ)))]
    return _frame(desk, of, body, foot, ASK)


@ft.component
def GiveBack(desk: Desk, leave: Callable[[], None], title: str) -> ft.Control:  # noqa: N802
    """The one way back into the job: whoever the phone belongs to says so by their initials."""
    look = desk.standing.look
    texts, _ = use_texts()

    def take() -> None:
        if texts["initials"].strip().casefold() != desk.standing.initials.casefold():
            desk.say("Only the shop goes back from here: type the initials this phone is held under.")
            return
        job_id = desk.standing.handed.partition(" ")[0]
        desk.setting(HANDED, "")
        desk.go(f"/job/{job_id}/scope")

    body: list[ft.Control] = [
        controls.text(look, "Please give the phone back to the shop.", 22, bold=True),
        controls.text(look, "For the shop: your initials lead back to the job.", 17),
        texts.field(look, "initials", "Initials of the shop"),
        controls.button(look, "Back to the job", desk.guard(lambda _: take())),
    ]
    foot = (controls.button(look, "Stay with the offer", desk.guard(lambda _: leave()), strong=True),)
    return frame(desk, title, body, foot=foot, panel=BACK)
