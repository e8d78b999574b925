"""How what is said is written, whatever it says: for tests that read everything a result holds at once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

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
