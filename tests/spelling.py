"""How what is said is written, whatever it says: for tests that read everything a result holds at once."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Said, Sentence

ABBREVIATIONS = {
    "AB", "AS", "ASME", "AU", "EPDM", "EU", "FKM", "GO", "HFAE",
    "HFAS", "HFC", "HFDR", "HM", "HNBR", "HRC", "ISO", "IT", "NBR", "NOT",
    "PA", "POM", "PTFE", "SAE", "TIR", "TM", "UFGS", "US", "XTS",
}  # fmt: skip
"""What the trade and its standards write in capitals, and initials."""
NAMED_FIRST = re.compile(
    "(squeeze|fill|stretch|fabric|rod is) |.* (was not read|is no distance|lies outside)"
)
"""What begins with a name: of what is reckoned, of a place."""
WORD = re.compile(r"[^\W\d_]{2,}")


def told(result: object, seen: set[int] | None = None) -> Iterator[str]:
    """Every sentence and every name in a result, at any depth."""
    seen = set() if seen is None else seen
    if isinstance(result, str):
        yield result
    elif callable(words := getattr(result, "words", None)):
        yield words("metric")
    elif id(result) not in seen:
        seen.add(id(result))
        inside: list[object] = []
        if isinstance(result, Mapping):
            inside = [*result, *result.values()]
        elif isinstance(result, tuple | list | set | frozenset):
            inside = [*result]
        elif is_dataclass(result):
            inside = [getattr(result, f.name) for f in fields(result)]
        for each in inside:
            yield from told(each, seen)


def wrongly_written(*results: object) -> list[str]:
    """What has capitals inside a word, a brace or two stops, or is a sentence that begins with a small letter."""
    return [said for said in dict.fromkeys(told(results)) if _is_wrong(said)]


def _is_wrong(said: str) -> bool:
    shouted = [w for w in WORD.findall(said) if w[1:] != w[1:].lower() and w not in ABBREVIATIONS]
    small = said.endswith(".") and said[:1].islower() and not NAMED_FIRST.match(said)
    return bool(shouted) or small or "{" in said or ".." in said


NAME = re.compile(r"\{(\w*)[^{}]*\}")
RUN_ON = re.compile(r"[A-Z]{3}[a-z]{2}|[a-z]{2}[.]?[A-Z]{2}$")
"""Capitals that run into a word, or out of it."""


@functools.cache
def _names(template: str) -> frozenset[str]:
    """The names in a template, which is not shouted; one word alone may be an abbreviation of a table."""
    text = NAME.sub("9", template)
    shouted = RUN_ON.search(text) or (text.isupper() and len(WORD.findall(text)) > 2)
    assert not shouted, f"written wrongly: {template!r}"
    return frozenset(NAME.findall(template))


def check_sentences() -> None:
    """From now on a sentence made with parts has a text, a part for each name in it, and a number in each amount.

    So whatever a test makes is looked at, whether or not it asks for the words.
    """
    made = Sentence.__init__

    @functools.wraps(made)
    def looked_at(self: Sentence, template: str, parts: Mapping[str, Said | str] | None = None) -> None:
        made(self, template, {} if parts is None else parts)
        assert isinstance(template, str), f"a sentence of {template!r}"
        if parts or not NAME.search(template):
            assert _names(template) <= {*(parts or ())}, f"{template!r} has other parts: {[*(parts or ())]}"
        if parts:
            amounts = [part for part in parts.values() if isinstance(part, Amount)]
            assert all(isinstance(a.value, int | float | Decimal) for a in amounts), (
                f"{template!r}: {amounts}"
            )

    Sentence.__init__ = looked_at  # type: ignore[method-assign]
