"""Whether a yes still covers what would be done now: what was shown against what would be shown, piece by piece.

An answer belongs to the version it names and to no other; whatever is shown differently makes a yes not cover it.
"""

from __future__ import annotations

import enum
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TypeVar

from inspect_app.entries.agreed import FORMS, Agreeing, CustomerAnswer, Version
from inspect_app.job.scope.shown import Dropped, MarkedPhoto, Scope, ScopeLine, SeenItem, from_data

NOTHING = "nothing"
Named = TypeVar("Named", SeenItem, ScopeLine, Dropped, MarkedPhoto)


class Stand(enum.Enum):
    """How a job stands with its customer."""

    NOT_SHOWN = "not shown yet"
    OPEN = "shown, not answered"
    EXPIRED = "shown, its date is past"
    YES = "yes, and it covers what will be done"
    CHANGED = "yes, and it no longer covers what will be done"
    REFUSED = "no"


@dataclass(frozen=True, slots=True)
class AnswerStanding:
    """How a job stands: the version it is about, the answer that decides, and what changed since that was shown.

    `waiting` is the last version, where nobody has said yes or no to it since it was shown and its date is not past.
    `changes` are sentences; for a version not answered yet they say what would be shown differently now.
    """

    stand: Stand
    version: Version | None = None
    answer: CustomerAnswer | None = None
    changes: tuple[str, ...] = ()
    waiting: Version | None = None


def standing_of(agreeing: Agreeing, would_show: Callable[[str], Scope | str], today: str) -> AnswerStanding:
    """How a job stands with its customer.

    The last yes or no decides, unless something was shown after a no. A date that is past stops a new yes, not one
    given.

    Args:
        agreeing: everything that was shown and answered.
        would_show: what would be shown now, asked for in "metric" or "inch", or the sentence why nothing is.
        today: year-month-day.
    """
    if not agreeing.versions:
        return AnswerStanding(Stand.NOT_SHOWN)
    last = agreeing.versions[-1]
    deciding = [a for a in agreeing.answers if a.decides and agreeing.version(a.version)]
    answered = any(a.version == last.sha256 and a.at >= last.at for a in deciding)
    waiting = last if not answered and today <= str(last.shown["valid_until"]) else None
    answer = deciding[-1] if deciding else None
    version = agreeing.version(answer.version) if answer else None
    if answer and version and answer.answer == "yes":
        changed = _since(version, would_show)
        stand = Stand.CHANGED if changed else Stand.YES
        return AnswerStanding(stand, version, answer, changed, waiting if changed else None)
    if answer and version and answered:
        return AnswerStanding(Stand.REFUSED, version, answer)
    return AnswerStanding(
        Stand.OPEN if waiting else Stand.EXPIRED, last, None, _since(last, would_show), waiting
    )


def _since(version: Version, would_show: Callable[[str], Scope | str]) -> tuple[str, ...]:
    frozen = from_data(version.shown)
    shown = would_show(frozen.system)
    if isinstance(shown, str):
        return (f"Nothing like it can be proposed any more: {shown}",)
    return changes(frozen, shown)


def changes(frozen: Scope, now: Scope) -> tuple[str, ...]:
    """What is shown differently, a sentence each with old and new; none where the same is shown.

    Args:
        frozen: what was shown.
        now: what would be shown, in the same units.
    """
    if frozen.marked is None:  # none were shown then
        now = replace(now, marked=None)
    if frozen == now:
        return ()
    said = (*_lines(frozen, now), *_dropped(frozen, now), *_items(frozen, now), *_terms(frozen, now))
    # headline and facts follow from prices and terms: they are told only where nothing else tells
    return said or (*_texts(frozen, now),) or ("It is written otherwise than it was.",)


# ---- one subject each


def _lines(frozen: Scope, now: Scope) -> Iterator[str]:
    numbers = {line.line: n for n, line in enumerate(frozen.lines, 1)}
    for old, new in _pairs(frozen.lines, now.lines, "line"):
        if old is None or new is None:
            yield from _come_or_gone(old, new, now, frozen)
            continue
        at = f"Line {numbers[old.line]}, {old.title}"
        if Decimal(old.amount) != Decimal(new.amount) or frozen.coin != now.coin:
            yield f"{at}: {frozen.money(old.amount)}, now {now.money(new.amount)}."
        if old.title != new.title:
            yield f"{at}: now it says “{new.title}”."
        if old.optional != new.optional:
            choice = {True: "the customer's choice", False: "always done"}
            yield f"{at}: {choice[old.optional]}, now {choice[new.optional]}."
        for what, before, after in (
            ("what happens without it", old.if_not, new.if_not),
            ("why this price", old.why, new.why),
        ):
            yield from _text(f"{at}: {what}", before, after)
        if _titles(old, frozen) != _titles(new, now):
            yield f"{at}: it is for {_listed(_titles(old, frozen))}, now for {_listed(_titles(new, now))}."
    if [x.line for x in frozen.lines] != [x.line for x in now.lines] and _ids(frozen) == _ids(now):
        yield "The lines stand in another order."


def _ids(scope: Scope) -> set[str]:
    return {x.line for x in scope.lines}


def _come_or_gone(old: ScopeLine | None, new: ScopeLine | None, now: Scope, frozen: Scope) -> Iterator[str]:
    if new is not None:
        yield f"New line, {new.title}: {now.money(new.amount)}."
    elif old is not None:
        yield f"Line gone, {old.title}: it was {frozen.money(old.amount)}."


def _titles(line: ScopeLine, scope: Scope) -> list[str]:
    return sorted(item.title for item in scope.items if item.number in line.items)


def _dropped(frozen: Scope, now: Scope) -> Iterator[str]:
    for old, new in _pairs(frozen.dropped, now.dropped, "line"):
        if old is None and new is not None:
            yield f"Left out now, {new.title}: {new.reason}."
        elif old is not None and new is None:
            yield f"No longer left out, {old.title}."
        elif old is not None and new is not None:
            yield from _text(f"Left out, {old.title}: its reason", old.reason, new.reason)
            yield from _text(f"Left out, {old.title}: what happens without it", old.if_not, new.if_not)
            yield from _text("Left out, its title", old.title, new.title)


def _items(frozen: Scope, now: Scope) -> Iterator[str]:
    for old, new in _pairs(frozen.items, now.items, "id"):
        if old is None and new is not None:
            yield f"Found now too: {new.title}. {new.saw}"
        elif old is not None and new is None:
            yield f"No longer found: {old.title}. {old.saw}"
        elif old is not None and new is not None:
            yield from _item(old, new)
    if {x.photo: x.caption for x in frozen.pictures} != {x.photo: x.caption for x in now.pictures}:
        yield f"Further photographs: {_listed_photos(frozen)}, now {_listed_photos(now)}."
    for was, then in _pairs(frozen.marked or (), now.marked or (), "photo"):
        if was != then:
            of = next(x.photo[:8] for x in (was, then) if x)
            counts = [len(x.marks) if x else 0 for x in (was, then)]
            how = f"{counts[0]}, now {counts[1]}" if counts[0] != counts[1] else "drawn or written otherwise"
            yield f"Marks on photograph {of}: {how}."


def _item(old: SeenItem, new: SeenItem) -> Iterator[str]:
    at = f"Found {old.number}, {old.title}"
    for was, then in zip(old.figures, new.figures, strict=False):
        yield from _text(f"{at}: {was.what}, the reading", was.reading, then.reading)
        yield from _text(f"{at}: {was.what}, the limit", was.allowed, then.allowed)
        yield from _text(f"{at}: what was measured", was.what, then.what)
    if len(old.figures) != len(new.figures):
        yield f"{at}: {len(old.figures)} figures, now {len(new.figures)} figures."
    if old.photo != new.photo:
        yield f"{at}: another photograph, {old.photo[:8] or 'none'}, now {new.photo[:8] or 'none'}."
    texts = (
        ("its title", old.title, new.title),
        ("what we saw", old.saw, new.saw),
        ("what it does", old.does, new.does),
        ("what happens if not", old.if_not, new.if_not),
        ("the words below the photograph", old.caption, new.caption),
    )
    for what, before, after in texts:
        # a reading stands in the sentence too; it was told already
        if what != "what we saw" or old.figures == new.figures:
            yield from _text(f"{at}: {what}", before, after)


def _listed_photos(scope: Scope) -> str:
    return _listed([" ".join(w for w in (x.photo[:8], x.caption) if w) for x in scope.pictures])


def _terms(frozen: Scope, now: Scope) -> Iterator[str]:
    yield from _text("The offer", FORMS.get(frozen.form, frozen.form), FORMS.get(now.form, now.form))
    yield from _text("Valid until", frozen.valid_until, now.valid_until)
    if Decimal(frozen.tax) != Decimal(now.tax):
        yield f"Tax: {_per_cent(frozen.tax)}, now {_per_cent(now.tax)}."
    yield from _text("Currency", frozen.coin.currency, now.coin.currency)
    old_fee, new_fee = (s.money(s.refused_fee) if s.refused_fee else NOTHING for s in (frozen, now))
    yield from _text("Charged for a no", old_fee, new_fee)
    yield from _text("Days", frozen.days, now.days)
    for what, name in _PLAIN.items():
        yield from _text(what, str(getattr(frozen, name)), str(getattr(now, name)))
    yield from _text("Careful", " ".join(frozen.cautions), " ".join(now.cautions))


_PLAIN: Mapping[str, str] = {
    "Not included": "excluded",
    "Customer": "customer",
    "Who may order": "may_order_for",
    "What you told us": "complaint",
    "The cylinder": "cylinder",
    "The job": "job",
    "The shop": "shop",
    "The sentence agreed to": "sentence",
    "The note on prices": "notice",
    "Rounding": "rounding",
    "Units": "system",
}
"""What else is shown, and what it is called here."""


def _texts(frozen: Scope, now: Scope) -> Iterator[str]:
    yield from _text("Headline", frozen.headline, now.headline)
    yield from _text("Beside it", frozen.beside, now.beside)
    yield from _text("What decides", " ".join(frozen.facts), " ".join(now.facts))


def _text(what: str, before: str, after: str) -> Iterator[str]:
    if before != after:
        old, new = (text.removesuffix(".") or NOTHING for text in (before, after))
        yield f"{what}: {old}, now {new}."


def _per_cent(fraction: str) -> str:
    return f"{(Decimal(fraction) * 100).normalize():f} %"


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words) or NOTHING


def _pairs(
    old: tuple[Named, ...], new: tuple[Named, ...], name: str
) -> Iterator[tuple[Named | None, Named | None]]:
    """Old and new of the same id, the old ones' order first."""
    stood: dict[str, Named] = {getattr(x, name): x for x in old}
    stands: dict[str, Named] = {getattr(x, name): x for x in new}
    for key in dict.fromkeys((*stood, *stands)):
        yield stood.get(key), stands.get(key)
