"""A yes covers what was shown and nothing else: every difference is told with old and new, and answers stay put."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

import pytest
from scopes import SCOPE

from inspect_app.entries.agreed import Agreeing, CustomerAnswer, Version
from inspect_app.entries.agreeing import hash_of
from inspect_app.job.scope.covering import AnswerStanding, Stand, changes, standing_of
from inspect_app.job.scope.shown import Figure, Picture, Scope, from_data, to_data
from inspect_app.trade.measuring.refusal import Refusal

TODAY = "2026-03-10"


def line(n: int, **new: Any) -> Scope:
    lines = list(SCOPE.lines)
    lines[n - 1] = replace(lines[n - 1], **new)
    return replace(SCOPE, lines=tuple(lines))


def item(**new: Any) -> Scope:
    return replace(SCOPE, items=(replace(SCOPE.items[0], **new), *SCOPE.items[1:]))


@pytest.mark.parametrize(
    ("now", "told"),
    [
        # price, wording, quantity, option of a line
        (line(1, amount="440.00"), "Line 1, Rod: plate it new: XTS 410.00, now XTS 440.00."),
        (line(1, title="Rod: strip and plate it"), "Line 1, Rod: plate it new: now it says “Rod: strip and plate it”."),
        (line(2, title="Seals, 8 pieces"), "Line 2, All new seals, 9 pieces: now it says “Seals, 8 pieces”."),
        (line(3, optional=False), "Line 3, A new pin: the customer's choice, now always done."),
        (line(3, if_not="It knocks."), "Line 3, A new pin: what happens without it: The play grows, now It knocks."),
        (line(3, items=()), "Line 3, A new pin: it is for Pin loose, other end, now for nothing."),
        (line(4, why="wanted"), "Line 4, Guard over the rod: why this price: asked for, now wanted."),
        # a line gone, come, left out
        (replace(SCOPE, lines=SCOPE.lines[:3]), "Line gone, Guard over the rod: it was XTS 118.00."),
        (
            replace(SCOPE, lines=(*SCOPE.lines, replace(SCOPE.lines[1], line="own-2", title="Paint"))),
            "New line, Paint: XTS 214.00.",
        ),
        (replace(SCOPE, lines=SCOPE.lines[::-1]), "The lines stand in another order."),
        (replace(SCOPE, dropped=()), "No longer left out, Barrel: smooth it."),
        # tax, currency, number format, rounding
        (replace(SCOPE, tax="0.19"), "Tax: 20 %, now 19 %."),
        (replace(SCOPE, coin=replace(SCOPE.coin, currency="XXX")), "Currency: XTS, now XXX."),
        # photograph by its bytes, reading and limit as printed, wording of what was found
        (item(photo="bb22"), "Found 1, Scratch in the rod: another photograph, aa11, now bb22."),
        (item(photo=""), "Found 1, Scratch in the rod: another photograph, aa11, now none."),
        (
            item(figures=(Figure("length", "41 mm", "at most 12.7 mm"),)),
            "Found 1, Scratch in the rod: length, the reading: 39 mm, now 41 mm.",
        ),
        (
            item(figures=(Figure("length", "39 mm", "at most 10 mm"),)),
            "Found 1, Scratch in the rod: length, the limit: at most 12.7 mm, now at most 10 mm.",
        ),
        (item(if_not="It drips."), "Found 1, Scratch in the rod: what happens if not: It leaks, now It drips."),
        (replace(SCOPE, items=SCOPE.items[:1]), "No longer found: Pin loose, other end. Worn. 0.6 mm of play."),
        (replace(SCOPE, marked=()), "Marks on photograph aa11: 1, now 0."),
        (replace(SCOPE, pictures=(Picture("dd44", "later"),)), "Further photographs: cc33 as it came in, now dd44"),
        # terms
        (replace(SCOPE, form="estimate"), "The offer: quotation, now estimate."),
        (replace(SCOPE, valid_until="2026-05-01"), "Valid until: 2026-04-01, now 2026-05-01."),
        (replace(SCOPE, excluded=""), "Not included: painting, now nothing."),
        (replace(SCOPE, refused_fee="100.00"), "Charged for a no: XTS 96.00, now XTS 100.00."),
        (replace(SCOPE, sentence="I agree."), "The sentence agreed to: I agree to what is shown here, now I agree."),
        (replace(SCOPE, headline="We repair it."), "Headline: We can repair it: XTS 1 480.00 with tax, 8 days, now We"),
    ],
)  # fmt: skip
def test_a_difference_is_told_with_old_and_new(now: Scope, told: str) -> None:
    sentences = changes(SCOPE, now)
    assert any(sentence.startswith(told) for sentence in sentences), sentences
    # and the other way round something is told as well
    assert changes(now, SCOPE)


def leaves(value: Any, within: Callable[[Any], Any], path: str) -> Iterator[tuple[str, Any]]:
    """The scope with one of its values changed, for every value it holds, however deep."""
    if is_dataclass(value) and not isinstance(value, type):
        for f in fields(value):
            yield from leaves(
                getattr(value, f.name),
                lambda new, name=f.name, of=value: within(replace(of, **{name: new})),
                f"{path}.{f.name}",
            )
    elif isinstance(value, tuple):
        for n, inner in enumerate(value):
            yield from leaves(
                inner, lambda new, n=n, of=value: within((*of[:n], new, *of[n + 1 :])), f"{path}[{n}]"
            )
        yield f"{path} without its last", within(value[:-1])
    else:
        yield path, within(_other(value))


def _other(value: Any) -> Any:
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | Decimal):
        return value + 1
    try:
        return str(Decimal(value) + 1)
    except ArithmeticError:
        return value + " else"


EVERY = {name: now for name, now in leaves(SCOPE, lambda x: x, "scope") if now != SCOPE}


def test_nothing_that_is_shown_can_change_unnoticed() -> None:
    # by the fields of the values themselves: one that is added later is in it
    assert len(EVERY) > 70
    unnoticed = [name for name, now in EVERY.items() if not changes(SCOPE, now)]
    assert unnoticed == []
    assert changes(SCOPE, from_data(to_data(SCOPE))) == ()


def test_a_scope_that_was_frozen_before_marks_were_shown_is_not_changed_by_them() -> None:
    older = to_data(SCOPE)
    del older["marked"]
    assert changes(from_data(older), SCOPE) == ()
    assert changes(from_data(older), replace(SCOPE, tax="0.19")) == ("Tax: 20 %, now 19 %.",)


def test_a_scope_reads_back_from_its_json_as_it_was_and_every_value_is_in_it() -> None:
    as_text = json.dumps(to_data(SCOPE))
    assert from_data(json.loads(as_text)) == SCOPE
    assert hash_of(json.loads(as_text)) == hash_of(to_data(SCOPE))
    names = [name for name, now in EVERY.items() if hash_of(to_data(now)) == hash_of(to_data(SCOPE))]
    assert names == []


def test_the_total_is_the_firm_lines_and_the_options_said_yes_to_with_tax_once() -> None:
    # firm 410.00 + 214.00 = 624.00; tax 20 % = 124.80
    assert [str(x) for x in (lambda t: (t.net, t.tax, t.gross))(SCOPE.total({}))] == [
        "624.00",
        "124.80",
        "748.80",
    ]
    # with the guard 118.00: 742.00; tax 148.40
    whole = SCOPE.total({"own-1": True, "new-pin": False})
    assert (whole.net, whole.tax, whole.gross) == (Decimal("742.00"), Decimal("148.40"), Decimal("890.40"))
    with pytest.raises(Refusal, match="reseal: no such optional line"):
        SCOPE.total({"reseal": False})


# ---- how a job stands


def version(number: int, scope: Scope, at: str = "") -> Version:
    shown = to_data(scope)
    return Version(f"v{number}", number, shown, hash_of(shown), "KM", at or f"2026-03-0{number}T08", "D")


def said(answer: str, to: Version, at: str, **more: Any) -> CustomerAnswer:
    given = CustomerAnswer(
        f"a{at}", to.sha256, answer, {}, "", "", "", "", "XTS", "2026-04-01", "H. A.", "", "paper", "", "", (), "",
        "shown", "KM", at, "D",
    )  # fmt: skip
    return replace(given, **more)


def stands(
    versions: list[Version], answers: list[CustomerAnswer], now: Scope | str, today: str = TODAY
) -> AnswerStanding:
    agreeing = Agreeing(versions=tuple(versions), answers=tuple(answers))
    return standing_of(agreeing, lambda system: now, today)


ONE = version(1, SCOPE)
DEARER = line(1, amount="440.00")
TWO = version(2, DEARER)
YES = said("yes", ONE, "2026-03-01T09")


def test_before_anything_was_shown_and_before_an_answer() -> None:
    assert stands([], [], SCOPE).stand is Stand.NOT_SHOWN
    shown = stands([ONE], [], SCOPE)
    assert (shown.stand, shown.version, shown.waiting, shown.changes) == (Stand.OPEN, ONE, ONE, ())
    # a question or a call decides nothing
    assert stands([ONE], [said("question", ONE, "2026-03-01T10")], SCOPE).stand is Stand.OPEN


def test_what_was_shown_and_changed_before_the_answer_says_so() -> None:
    told = stands([ONE], [], DEARER)
    assert told.stand is Stand.OPEN
    assert told.changes == ("Line 1, Rod: plate it new: XTS 410.00, now XTS 440.00.",)


def test_a_yes_covers_what_was_shown_and_a_change_is_named() -> None:
    assert stands([ONE], [YES], SCOPE).stand is Stand.YES
    changed = stands([ONE], [YES], DEARER)
    assert (changed.stand, changed.answer, changed.waiting) == (Stand.CHANGED, YES, None)
    assert changed.changes == ("Line 1, Rod: plate it new: XTS 410.00, now XTS 440.00.",)


def test_what_can_no_longer_be_proposed_is_not_covered() -> None:
    changed = stands([ONE], [YES], "No repair is proven yet.")
    assert (changed.stand, changed.changes) == (
        Stand.CHANGED,
        ("Nothing like it can be proposed any more: No repair is proven yet.",),
    )


def test_its_date_past_stops_a_new_yes_and_not_one_given() -> None:
    late = "2026-04-02"
    assert stands([ONE], [YES], SCOPE, late).stand is Stand.YES
    assert stands([ONE], [], SCOPE, late).stand is Stand.EXPIRED
    assert stands([ONE], [], SCOPE, "2026-04-01").stand is Stand.OPEN


def test_a_second_version_waits_beside_the_first_yes_and_takes_none_of_it() -> None:
    waiting = stands([ONE, TWO], [YES], DEARER)
    assert (waiting.stand, waiting.version, waiting.waiting) == (Stand.CHANGED, ONE, TWO)
    both = stands([ONE, TWO], [YES, second := said("yes", TWO, "2026-03-02T09")], DEARER)
    assert (both.stand, both.version, both.answer) == (Stand.YES, TWO, second)


def test_a_refusal_after_a_yes_holds_until_something_is_shown_again() -> None:
    no = said("no", ONE, "2026-03-01T11")
    assert stands([ONE], [YES, no], SCOPE).stand is Stand.REFUSED
    assert stands([ONE, TWO], [YES, no], DEARER).stand is Stand.OPEN
    # the same scope shown once more is asked anew, whatever was said to it before
    again = replace(version(3, SCOPE), at="2026-03-03T08")
    assert stands([ONE, again], [YES, no], SCOPE).stand is Stand.OPEN


def test_an_answer_to_a_version_that_is_not_here_decides_nothing() -> None:
    assert stands([ONE], [said("yes", TWO, "2026-03-02T09")], SCOPE).stand is Stand.OPEN
