"""Whose screen is whose: what a person's role does not do, no address of the app opens for them."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.people import CLERK, HOST, MECHANIC, WHOSE, Person

OF_HOSTS = ("people", "person", "devices", "pair")
OF_CLERKS = ("orders",)
OF_BOTH = ("", "settings", "calc", "who", "seals")
"""The first word behind the job, or of what belongs to no job; all others are a mechanic's."""


def not_theirs(role: str, people: Sequence[Person], rest: Sequence[str]) -> str:
    """Why a screen is not for whoever holds this phone, in a sentence; "" where it is.

    Args:
        role: the holder's.
        people: everybody in the shop's list; without one there is nobody to keep apart.
        rest: the route behind the job, split.

    >>> at_work = [Person("KM", "K. Maki", "mechanic"), Person("AB", "A. Berg", "clerk")]
    >>> not_theirs("clerk", at_work, ["measure", "rod-diameter"])
    "This screen is a mechanic's. Yours are the seals, the orders and the calculators."
    >>> not_theirs("clerk", at_work, ["seals", "gland"]), not_theirs("mechanic", at_work, ["measure", "x"])
    ('', '')
    """
    word = rest[0] if rest else ""
    if role == HOST or word in OF_BOTH:
        return ""
    if word in OF_HOSTS:
        return f"This screen is {WHOSE[HOST]}, on the shop's machine."
    there = {person.role for person in people}
    whose = CLERK if word in OF_CLERKS else MECHANIC
    if whose == role or whose not in there:
        return ""
    if role == CLERK:
        return f"This screen is {WHOSE[whose]}. Yours are the seals, the orders and the calculators."
    return f"This screen is {WHOSE[whose]}."
