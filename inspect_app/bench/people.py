"""The bench in the hand of one phone, whose holder may do what their role does; and the shop's list of people."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Mapping
from functools import partial

from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import SHOP
from inspect_app.entries.people import HOST, Holder, Person, body_of, person_of, require_role
from inspect_app.entries.typed import Written
from inspect_app.trade.measuring.refusal import Refusal

THE_HOST = Holder(HOST)
"""Who uses this machine itself: it is the host's, whoever sits at it."""


def at_the_host() -> Holder:
    """Whoever uses this machine itself, or a phone alone."""
    return THE_HOST


def of_phone(bench: Bench, client: str, holder: Callable[[], Holder] = at_the_host) -> Bench:
    """The same bench in the hand of one phone: what is recorded there names the phone, for its undo.

    Args:
        bench: the bench.
        client: the name the phone or browser goes by.
        holder: who holds it, asked anew before every entry.
    """
    own = copy.copy(bench)
    own.client = client
    own.allows = partial(_allows, bench, holder)
    return own


def _allows(
    bench: Bench, holder: Callable[[], Holder], by: str | None, job_id: str, written: Iterable[Written]
) -> None:
    """Refuse what is not for the holder to enter; what is taken back is as much somebody's as what was entered."""
    entries = list(written)
    undone = {str(body.get("of")) for kind, body in entries if kind == "undo"}
    if undone:
        entries += [(e.kind, e.body) for e in bench.logbook.entries(job_id) if e.id in undone]
    require_role(holder(), bench.shop.people(), by, entries)


def enter_person(bench: Bench, typed: Mapping[str, str], by: str) -> Person:
    """Put a person into the shop's list; one of the same initials takes the place of the one before.

    Args:
        bench: the bench of the host.
        typed: as `person_of` reads it.
        by: initials.
    Raises:
        Refusal: what cannot be read, or this is not the host.
        NotSaved: the disk refused.
    """
    person = person_of(typed)
    bench.record(SHOP, by, ("person", body_of(person)))
    return person


def retire_person(bench: Bench, person: Person, by: str) -> None:
    """Take a person out of the list; what they entered stays theirs.

    Args:
        bench: the bench of the host.
        person: who.
        by: initials.
    """
    bench.record(SHOP, by, ("person", body_of(person, retired=True)))


def holder_named(bench: Bench, name: str) -> Holder:
    """Who holds a paired phone, by the id its session has; nobody of that name when they left the list.

    Args:
        bench: the bench.
        name: the person's id, "" while nobody said.
    """
    person = next((p for p in bench.shop.people() if p.id == name), None)
    return Holder(person.role, person.initials) if person else Holder()


def may_hold(bench: Bench, now: str, name: str) -> Person:
    """The person who is to hold a paired phone from now on.

    Args:
        bench: the bench.
        now: id of who holds it, "" while nobody said.
        name: the id of who is to.
    Raises:
        Refusal: nobody of that name, or the phone would open more than it was paired for.
    """
    person = next((p for p in bench.shop.people() if p.id == name), None)
    if person is None:
        raise Refusal("Nobody of that name is in the shop's list.")
    role = holder_named(bench, now).role
    if person.role == HOST or (role and role != person.role):
        raise Refusal(f"Pair the phone anew for {person.name}: the host's settings show the code.")
    return person
