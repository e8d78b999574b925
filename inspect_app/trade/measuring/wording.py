"""What English does to words when a sentence takes them in: large and small letters, one and many, lists.

Another language has its own; nothing else in the program changes a word's letters or glues an s to it.
"""

from __future__ import annotations

from collections.abc import Sequence


def capital(text: str) -> str:
    """The text with its first letter large, as a sentence or a title begins.

    Args:
        text: any text.

    >>> capital("runout (TIR)")
    'Runout (TIR)'
    """
    return text[:1].upper() + text[1:]


def inside(title: str) -> str:
    """A title as it stands inside a sentence: only its first letter small, and not where more than one is large.

    Args:
        title: as it stands alone.

    >>> inside("Rod hardness, HRC"), inside("HRC of the rod"), inside("O-ring, old")
    ('rod hardness, HRC', 'HRC of the rod', 'O-ring, old')
    """
    follows = title[1:2]
    return title[:1].lower() + title[1:] if follows.islower() or follows == " " else title


def counted(number: int, one: str, many: str) -> str:
    """A number and what is counted, in the form that goes with it.

    Args:
        number: how many.
        one: the form for 1.
        many: the form for none and for more.

    >>> counted(1, "place", "places"), counted(0, "place", "places"), counted(2, "place", "places")
    ('1 place', '0 places', '2 places')
    """
    return f"{number} {one if number == 1 else many}"


def listed(items: Sequence[str]) -> str:
    """Items of a list with one sign between them: a semicolon where an item holds a comma of its own.

    Args:
        items: the items.

    >>> listed(["25 mm", "50 mm"]), listed(["25 mm, 3 o'clock", "50 mm"])
    ('25 mm, 50 mm', "25 mm, 3 o'clock; 50 mm")
    """
    return ("; " if any("," in item for item in items) else ", ").join(items)


def either(items: Sequence[str]) -> str:
    """Items of which one is to be chosen, at least one of them.

    Args:
        items: the items.

    >>> either(["B-1"]), either(["B-1", "B-2"]), either(["B-1", "B-2", "B-3"])
    ('B-1', 'B-1 or B-2', 'B-1, B-2 or B-3')
    """
    *before, last = items
    return f"{listed(before)} or {last}" if before else last
