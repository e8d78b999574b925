"""The people of the shop: a name, initials and a role each; and which entries a role may make. Knows no device."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from inspect_app.entries.entry import Body
from inspect_app.entries.typed import Written
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import either, listed

MECHANIC, CLERK, HOST, CUSTOMER = "mechanic", "clerk", "host", "customer"
ROLES = {MECHANIC: "Mechanic", CLERK: "Parts clerk", HOST: "Host"}
"""What a person of the shop may be. A customer comes by a link, and is in no list."""
WHOSE = {MECHANIC: "a mechanic's", CLERK: "the parts clerk's", HOST: "the host's", CUSTOMER: "the customer's"}

MOST_INITIALS = 8

OF_CLERKS = frozenset({"seal-question", "seal-order", "seal-offer"})
OF_BOTH = frozenset(
    {"seal-received", "reassembly", "seal-sheet", "seal-doubt", "seal-answer", "setting", "undo"}
)
OF_HOSTS = frozenset({"person"})
OF_CUSTOMERS = frozenset({"customer-answer"})
"""The kinds of entry that are one role's; all others are a mechanic's. A host may make every one."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the shop, known by the initials."""

    initials: str
    name: str
    role: str

    @property
    def id(self) -> str:
        """What the person is known by, however the initials are written."""
        return self.initials.casefold()


@dataclass(frozen=True, slots=True)
class Holder:
    """Whose hand a phone is in: the role, "" while nobody said who it is; the initials, "" where anybody's count."""

    role: str = ""
    initials: str = ""


def person_of(typed: Mapping[str, str]) -> Person:
    """A person as the host types them.

    Args:
        typed: `name`, `initials` and `role`.
    Raises:
        Refusal: one of them is missing, or is none.

    >>> person_of({"name": " Kaisa  Mäki ", "initials": "KM", "role": "clerk"})
    Person(initials='KM', name='Kaisa Mäki', role='clerk')
    """
    name, initials = " ".join(typed.get("name", "").split()), typed.get("initials", "").strip()
    role = typed.get("role", "")
    if not name:
        raise Refusal("Give the person's name.")
    if not initials or len(initials) > MOST_INITIALS or not initials.isprintable():
        raise Refusal(f"Give initials, at most {MOST_INITIALS} letters: every entry is signed with them.")
    if role not in ROLES:
        raise Refusal(f"Say what {name} is: {listed(list(ROLES.values()))}.")
    return Person(initials, name, role)


def body_of(person: Person, retired: bool = False) -> Body:
    """A person as the log has them.

    Args:
        person: the person.
        retired: whether they are in the list no longer.
    """
    body = {"person": person.id, "name": person.name, "initials": person.initials, "role": person.role}
    return {**body, "retired": True} if retired else body


def person_from(body: Mapping[str, Any]) -> Person:
    """A person off the log.

    Args:
        body: the entry's body.
    """
    return Person(str(body["initials"]), str(body["name"]), str(body["role"]))


def may_make(role: str, people: Iterable[Person], kind: str) -> bool:
    """Whether a role may make an entry of a kind: its own, and what is left to it where nobody has the other role.

    Args:
        role: the role, "" of a phone whose holder nobody said.
        people: everybody of the shop; in a shop without a list nobody is asked.
        kind: the kind.

    >>> may_make("mechanic", [Person("KM", "K. Mäki", "mechanic")], "seal-order")    # there is no clerk
    True
    >>> may_make("mechanic", [Person("KM", "K. Mäki", "clerk")], "seal-order")
    False
    >>> may_make("clerk", [Person("KM", "K. Mäki", "mechanic")], "reading")
    False
    """
    if role in (HOST, CUSTOMER):
        return role == HOST or kind in OF_CUSTOMERS
    there = {person.role for person in people}
    if kind in OF_HOSTS or (there and not role):
        return kind == "setting"
    works = {role, *({MECHANIC, CLERK} - there)}
    of_clerk, of_both = kind in OF_CLERKS, kind in OF_BOTH
    return of_both or (CLERK if of_clerk else MECHANIC) in works


def require_role(
    holder: Holder, people: Iterable[Person], by: str | None, written: Iterable[Written]
) -> None:
    """Refuse entries that are not for whoever holds the phone to make, or are signed with somebody else's initials.

    Args:
        holder: who holds it.
        people: everybody of the shop.
        by: the initials they are signed with; None where there are none.
        written: the entries.
    Raises:
        Refusal: says whose they are.
    """
    everybody = list(people)
    for kind, body in written:
        # who the shop is on its reports stands under no phone
        of_shop = kind == "setting" and not body.get("client") and bool(everybody) and holder.role != HOST
        if of_shop or not may_make(holder.role, everybody, kind):
            raise Refusal(_not_yours(holder, everybody, HOST if of_shop else _role_of(kind)))
        if holder.initials and by is not None and by != holder.initials and kind != "setting":
            raise Refusal(
                f"This phone is in the hand of {holder.initials}; entries of {by} come from another one."
            )


def _role_of(kind: str) -> str:
    if kind in OF_HOSTS:
        return HOST
    return CLERK if kind in OF_CLERKS else MECHANIC


def _not_yours(holder: Holder, people: list[Person], needed: str) -> str:
    if people and not holder.role:
        return "Say first who holds this phone: choose your name from the shop's list."
    names = [person.name for person in people if person.role == needed]
    ask = f" Ask {either(names)}." if names else ""
    return f"This is {WHOSE[needed]} to do.{ask}"
