"""The scope as plain lines and as data, for the prompt and for other programs; and how it stands with the customer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo
from typing import Any

from inspect_app.entries.agreed import ANSWERS, HOWS, Agreeing, CustomerAnswer
from inspect_app.job.scope.covering import AnswerStanding, Stand
from inspect_app.job.scope.shown import Scope, to_data
from inspect_app.report.phrases import when
from inspect_app.trade.measuring.wording import capital

STANDS = {
    Stand.NOT_SHOWN: "It was not shown to the customer yet.",
    Stand.OPEN: "It was shown, and nobody has said yes or no.",
    Stand.EXPIRED: "It was shown, nobody has said yes or no, and its date is past.",
    Stand.YES: "The customer said yes, and the yes covers this.",
    Stand.CHANGED: "The customer said yes to something else; it no longer covers:",
    Stand.REFUSED: "The customer said no.",
}
"""How a scope stands, in a sentence."""


def scope_lines(scope: Scope, standing: AnswerStanding, agreeing: Agreeing, zone: tzinfo) -> Iterator[str]:
    """What was found, what is proposed, the total, the terms, and how it stands.

    Args:
        scope: what would be shown now.
        standing: how it stands with the customer.
        agreeing: every version and answer.
        zone: where times are shown.
    """
    yield f"{capital(scope.form) if scope.offers else 'What we found'}: {scope.cylinder}"
    yield from (x for x in (scope.headline, scope.beside) if x)
    yield from (f"  - {fact}" for fact in scope.facts)
    for item in scope.items:
        yield ""
        yield f"{item.number}. {item.title}"
        yield f"    {item.saw} {item.does}"
        yield f"    If it stays: {item.if_not}"
    if scope.offers:
        yield ""
        yield from _proposed(scope)
    for left in scope.dropped:
        yield f"Left out: {left.title}, {left.reason}. {left.if_not}".rstrip()
    if scope.excluded:
        yield f"Not included: {scope.excluded}"
    yield ""
    yield from scope.cautions
    yield from (x for x in (scope.rounding if scope.offers else "", scope.notice) if x)
    yield ""
    yield STANDS[standing.stand]
    yield from (f"  - {change}" for change in standing.changes)
    yield from (answer_words(answer, agreeing, zone) for answer in agreeing.answers)


def _proposed(scope: Scope) -> Iterator[str]:
    for line in scope.lines:
        cures = f" ({', '.join(map(str, line.items))})" if line.items else ""
        why = f"; {line.why}" if line.why else ""
        optional = "you choose: " if line.optional else ""
        yield f"    {optional}{line.title}{cures}: {scope.money(line.amount)}{why}"
        if line.optional and line.if_not:
            yield f"        If no: {line.if_not}"
    whole = scope.total({})
    said = "Without what you choose" if scope.optional else "Together"
    net, tax, gross = (scope.money(x) for x in (whole.net, whole.tax, whole.gross))
    yield f"    {said} {net}, tax {tax}, with tax {gross}. {scope.days} days."
    yield f"    It holds until {scope.valid_until}."
    if scope.refused_fee:
        yield f"    If you say no: {scope.money(scope.refused_fee)} before tax for the work done so far."


def answer_words(answer: CustomerAnswer, agreeing: Agreeing, zone: tzinfo) -> str:
    """An answer in one line: what, to which version, who, how, when, by whom taken.

    Args:
        answer: the answer.
        agreeing: every version, for its number.
        zone: where times are shown.
    """
    version = agreeing.version(answer.version)
    to = f"version {version.number}" if version else "a version that is not here"
    who = ", ".join(w for w in (answer.name, answer.role) if w)
    how = " ".join(w for w in (HOWS.get(answer.how, answer.how), answer.to) if w)
    sum_ = f", {answer.currency} {answer.total} with tax" if answer.answer == "yes" else ""
    words = f": {answer.words}" if answer.words else ""
    said = ANSWERS.get(answer.answer, answer.answer)
    return f"{when(answer.at, zone)}: {said} to {to}{sum_}, by {who}, {how}, taken by {answer.by}{words}"


def scope_list_data(scope: Scope, standing: AnswerStanding, agreeing: Agreeing) -> dict[str, Any]:
    """The same as data: the scope as it is frozen, how it stands, every version and answer.

    Args:
        scope: what would be shown now.
        standing: how it stands with the customer.
        agreeing: every version and answer.
    """
    whole = scope.total({}) if scope.offers else None
    return {
        "scope": to_data(scope),
        "without_options": whole
        and {"net": str(whole.net), "tax": str(whole.tax), "gross": str(whole.gross)},
        "standing": standing.stand.value,
        "changes": list(standing.changes),
        "versions": [
            {"number": v.number, "sha256": v.sha256, "at": v.at, "by": v.by, "device": v.device}
            for v in agreeing.versions
        ],
        "answers": [_answer_data(answer) for answer in agreeing.answers],
    }


def _answer_data(answer: CustomerAnswer) -> dict[str, Any]:
    texts = (
        "version", "answer", "sentence", "net", "tax", "total", "currency", "valid_until", "name", "role", "how", "to",
        "words", "zone", "copy", "by", "at", "device",
    )  # fmt: skip
    return {
        **{name: getattr(answer, name) for name in texts},
        "options": dict(answer.options),
        "signature": [list(stroke) for stroke in answer.signature],
    }
