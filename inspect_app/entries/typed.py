"""What a person typed, and what it is read against; as typed stands in the log beside as understood.

A subject's file holds a value for each thing that can be typed, and that value says which entries it makes, or
raises Refusal with a sentence for the one who typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple, Protocol

from inspect_app.entries.entry import Body
from inspect_app.entries.job import Gauge, Job, Place, Survey
from inspect_app.entries.seals import Where
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import Quantity
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.wording import listed
from inspect_app.trade.sealing.pairings import Objection

LARGEST = Decimal(100_000)
"""mm: no cylinder is longer and no station lies farther; the one error of a shop's own gauge holds up to here."""

Written = tuple[str, Body]
"""The kind and the body of an entry that is not in the log yet."""

MOST_TEXT, MOST_NAME = 2_000, 200
"""Characters of a text somebody types, and of a name, which stands on every page of the report."""
NAMES = frozenset({"name", "by", "initials"})
MADE = frozenset({"scope-version", "test-log", "report"})
"""Kinds whose bodies the program makes of what stands already."""


@dataclass(frozen=True, slots=True)
class Listed:
    """What the seal list says of a place: what to order and how many more, what speaks against that, what is open.

    `what` is "" and `count` None while they are not known. What is open is all that speaks against ordering, and
    what is in doubt about an order that was made. Of the whole cylinder there are its doubts alone.
    """

    what: str
    count: int | None
    against: tuple[Objection, ...]
    open: tuple[Objection, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """What speaks against closing a step: what is missing, which a reason overrules, and what nothing overrules."""

    missing: tuple[Sentence, ...] = ()
    refused: tuple[Sentence, ...] = ()


@dataclass(frozen=True, slots=True)
class Known:
    """What a person's words are read against: the job, and the state of the cylinder they are said of.

    `system` ("metric" or "inch") gives a bare number its unit. `places` says where a check is measured,
    `at_hand` which gauge of a kind a size is taken with (None by eye), `computed` what the readings alone say
    of a part ("" of one there is not), `listed` what the seal list says of a place, `held` what speaks against closing
    a step. `by` are the initials of who types.
    """

    job: Job
    survey: Survey
    tables: Tables
    system: str
    places: Callable[[Check], Sequence[Place]]
    at_hand: Callable[[str], Gauge | None]
    computed: Callable[[str], str]
    listed: Callable[[Where], Listed]
    held: Callable[[str], Held]
    by: str

    @property
    def cylinder(self) -> Cylinder:
        """The checklist, for its questions, parts and measures."""
        return self.tables.cylinders[self.survey.cylinder]


def require_short(by: str, written: Iterable[Written]) -> None:
    """Refuse a text longer than anybody types by hand: it would fill the report's pages.

    Args:
        by: initials.
        written: the entries.
    Raises:
        Refusal: says how long it may be.
    """
    _require_short("by", by)
    for kind, body in written:
        if kind not in MADE:
            _require_short("", body)


def _require_short(key: str, said: object) -> None:
    if isinstance(said, str):
        most = MOST_NAME if key in NAMES else MOST_TEXT
        if len(said) > most:
            raise Refusal(
                f"That is {len(said)} characters long; at most {most} can be kept here. Say it shorter."
            )
    elif isinstance(said, Mapping):
        for name, value in said.items():
            _require_short("", str(name))
            _require_short(str(name), value)
    elif isinstance(said, list | tuple):
        for value in said:
            _require_short(key, value)


def cut_short(kind: str, said: Any, key: str = "") -> Any:
    """What an entry from elsewhere says, as it is shown: no text is longer than one typed here, … stands for the rest.

    Args:
        kind: the entry's.
        said: its body, or a part of it.
        key: what the part is called.
    """
    if kind in MADE:
        return said
    if isinstance(said, str):
        most = MOST_NAME if key in NAMES else MOST_TEXT
        return said if len(said) <= most else f"{said[: most - 1]}…"
    if isinstance(said, Mapping):
        return {cut_short(kind, name): cut_short(kind, value, name) for name, value in said.items()}
    return [cut_short(kind, value, key) for value in said] if isinstance(said, list) else said


class Typed(Protocol):
    """Anything a person can type into a job."""

    def written(self, known: Known) -> list[Written]:
        """The entries it makes, none where nothing changed.

        Raises:
            Refusal: what cannot be taken, in a sentence.
        """
        ...


def id_of(text: str, called: Mapping[str, str]) -> str:
    """The id somebody meant by it or by what it is called; "" for neither.

    Args:
        text: as typed.
        called: what each id is called.

    >>> id_of(" Gland  end", {"gland-end": "gland end"}), id_of("gland-end", {"gland-end": "gland end"})
    ('gland-end', 'gland-end')
    >>> id_of("port", {"gland-end": "gland end"})
    ''
    """
    meant = " ".join(text.split()).casefold()
    return next((name for name, words in called.items() if meant in (name, words.casefold())), "")


def one_of(text: str, called: Mapping[str, str], what: str) -> str:
    """The id somebody meant.

    Args:
        text: as typed.
        called: what each id is called.
        what: what it should be, as the end of a sentence.
    Raises:
        Refusal: it is none of them.
    """
    if found := id_of(text, called):
        return found
    raise Refusal(f"{text.strip()!r} is not {what}; allowed are {listed(list(called.values()))}.")


class Station(NamedTuple):
    """A station as typed ("" where it stood already), and as understood: mm from the datum, an id, or own words."""

    typed: str
    at: str


def station_of(text: str, system: str, called: Mapping[str, str]) -> Station:
    """A station somebody typed.

    Args:
        text: as typed.
        system: "metric" or "inch", the unit of a bare number.
        called: what the named stations of the check are called.

    >>> station_of("10", "inch", {})
    Station(typed='10 in', at='254.0')
    >>> station_of("350", "metric", {}).at, station_of(" Gland end ", "inch", {"gland-end": "gland end"}).at
    ('350', 'gland-end')
    """
    if known := id_of(text, called):
        return Station(text.strip(), known)
    try:
        quantity = quantities.read(text, kind="length", system=system)
    except Refusal:
        return Station(text.strip(), text.strip())
    return Station(with_unit(text, quantity), quantities.exact(quantity.value))


def with_unit(text: str, quantity: Quantity) -> str:
    """The text as typed, with the unit a bare number was read in.

    Args:
        text: as typed.
        quantity: as read from it.
    """
    bare = not any(c.isalpha() or c in "\"'°µ" for c in text)
    return f"{text.strip()} {quantity.typed_unit}".strip() if bare else text.strip()


def day_typed(text: str) -> str:
    """A day as the log has it, "" where nothing was typed.

    Args:
        text: as typed.
    Raises:
        Refusal: it is no day, or written in another order.

    >>> day_typed(" 2026-12-04 ")
    '2026-12-04'
    """
    day = text.strip()
    try:
        if not day or date.fromisoformat(day).isoformat() == day:
            return day
    except ValueError:
        pass
    raise Refusal("{day!r} is not a date; write it year-month-day, like 2027-03-31.", day=day)


def require_clock(text: str) -> None:
    """Refuse what is no clock position.

    Args:
        text: hours.
    """
    hours = _number(text)
    if hours is None or not hours.is_finite() or not 0 < hours <= 12:
        raise Refusal(f"{text!r} is not a clock position; write 12, 3, 4.5 and so on.")


def require_station(text: str, called: Mapping[str, str]) -> None:
    """Refuse a number that is no station, and other words where the checklist names the stations.

    Args:
        text: mm, an id, or own words.
        called: what the named stations of the check are called.
    """
    mm = _number(text)
    if mm is None and called and text not in called:
        raise Refusal(
            f"{text!r} is no station of this check; allowed are {listed(list(called.values()))}, or mm."
        )
    if mm is not None and not (mm.is_finite() and 0 <= mm < LARGEST):
        raise Refusal(f"{text!r} is not a station; write mm from the gland end, or a word.")


def _number(text: str) -> Decimal | None:
    try:
        return Decimal(text)
    except ArithmeticError:
        return None


def decimal(text: object) -> Decimal | None:
    """A number of a body, None where it says none.

    Args:
        text: as the body has it.
    """
    return None if text in (None, "") else Decimal(str(text))
