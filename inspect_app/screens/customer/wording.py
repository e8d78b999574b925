"""What a customer reads around a scope, on the phone handed over and on their own: the same words on both."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal

from inspect_app.bench.customers_phone import Offered
from inspect_app.entries.agreed import CustomerAnswer
from inspect_app.job.scope.shown import Dropped, Scope
from inspect_app.report.phrases import when

FOUND, PROPOSE, IF_NOT = "We found", "We propose", "If not"
YES, NO, QUESTION, CALL = "Yes, repair it", "No, do not repair it", "I have a question", "Call me"
NO_PROOF = "What you sign or type is kept with the time. It does not prove who signed."
SIGN_OR_TYPE = "Sign with your finger, or leave the box empty: then your typed name stands for it."
COPY = "Keep a copy on paper (PDF)"
NO_OR_QUESTION = "No, or ask us"
BEFORE_TAX, TAX, TOGETHER = "Before tax", "Tax", "Together"
NAME, ROLE = "Your name", "You may order for"
WORDS, NUMBER = "Your question, or why not", "Your telephone number"

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def long_day(day: str) -> str:
    """A date in words, which nobody reads the wrong way round.

    Args:
        day: year-month-day.

    >>> long_day("2026-12-04"), long_day("soon")
    ('4 December 2026', 'soon')
    """
    try:
        read = date.fromisoformat(day)
    except ValueError:
        return day
    return f"{read.day} {_MONTHS[read.month - 1]} {read.year}"


def validity_words(form: str, valid_until: str) -> str:
    """How firm the price is, and until when.

    Args:
        form: "estimate" or "quotation".
        valid_until: year-month-day, "" without an end.

    >>> validity_words("quotation", "2026-12-11")
    'Fixed price. Good until 11 December 2026.'
    """
    firm = "Fixed price." if form == "quotation" else "An estimate. Before it costs more, we ask you."
    return f"{firm} Good until {long_day(valid_until)}." if valid_until else firm


def dropped_words(line: Dropped) -> str:
    """A line that was left out: why, and what happens without it.

    Args:
        line: the line.

    >>> dropped_words(Dropped("pin", "New pin", "you have one", "The play stays."))
    'Left out: New pin (you have one). The play stays.'
    """
    return f"Left out: {line.title} ({line.reason}). {line.if_not}".strip()


def terms_words(scope: Scope) -> Iterator[str]:
    """What holds for the whole of an offer, a sentence each.

    Args:
        scope: as it was frozen.
    """
    if scope.offers:
        yield validity_words(scope.form, scope.valid_until)
    if scope.excluded:
        yield f"Not included: {scope.excluded}"
    if scope.refused_fee and Decimal(scope.refused_fee):
        yield f"If you say no, taking it apart and looking at it costs {scope.money(scope.refused_fee)} before tax."
    yield from (words for words in (scope.notice, scope.rounding) if words)


NEWER = "A newer version of this offer was made. Please ask us for its link, or scan its code."


def shut_words(of: Offered, today: str) -> str:
    """Why a version can be answered no more, "" while it can.

    Args:
        of: the version.
        today: year-month-day.
    """
    if not of.is_last:
        return NEWER
    if today <= of.scope.valid_until:
        return ""
    return f"This offer was good until {long_day(of.scope.valid_until)}. Please ask us for a new one."


SAID = {"yes": "yes", "no": "no", "question": "a question", "call": "please call"}


def time_words(answer: CustomerAnswer) -> str:
    """When an answer was given, by the clock of whoever took it.

    Args:
        answer: the answer.
    """
    try:
        zone = datetime.fromisoformat(f"2000-01-01T00:00{answer.zone}").tzinfo or UTC
    except ValueError:
        zone = UTC
    return when(answer.at, zone)


def thanks_words(answer: CustomerAnswer, scope: Scope) -> str:
    """What the customer is told of their answer once it is kept.

    Args:
        answer: the answer.
        scope: what it was given to.
    """
    amount = f", {scope.money(answer.total)}" if answer.answer == "yes" else ""
    words = f" {answer.words}" if answer.words else ""
    kept = f"Kept: {SAID[answer.answer]}{amount}, {answer.name}, {time_words(answer)}."
    return f"Thank you. {kept}{words}"
