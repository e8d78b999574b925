"""How what is said is written, whatever it says: for tests that read everything a result holds at once."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

import pytest

from inspect_app.trade.measuring.amounts import _SAID, Amount, Amounts, Shown, Trimmed
from inspect_app.trade.measuring.refusal import Said, Sentence

ABBREVIATIONS = {
    "AB", "AS", "ASME", "AU", "EPDM", "EU", "FKM", "GO", "HFAE",
    "HFAS", "HFC", "HFDR", "HM", "HNBR", "HRC", "ISO", "IT", "KM", "NBR", "NOT",
    "PA", "POM", "PTFE", "SAE", "SEMATECH", "TIR", "TM", "TS", "UFGS", "UN", "UNC", "UNF", "US", "XTS", "kN",
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


NAME = re.compile(r"(?<!\"){(\w*)}")
"""What stands for a part in a sentence; what somebody typed is repeated between quotation marks."""


SHOUTED = re.compile(r"\b(?:[A-Z]{5,}|TO|OF|AT|IN|ON|IS|AND|THE|WITH|FOR|BY)\b|XX")
SUBJECT_FIRST = re.compile(r"[\w' ]+(:| (is|are|has|must|were|was|waits|measures) )")
"""A refusal that begins with what it refuses."""


@functools.cache
def faults_of(template: str, names: frozenset[str]) -> str:
    """What is wrong with a sentence before anybody reads it: how it is written, or a part that it has not."""
    if not names >= {*NAME.findall(template)}:
        return f"its parts are {', '.join(sorted(names))}"
    text = NAME.sub("", template)
    named = NAMED_FIRST.match(text) or SUBJECT_FIRST.match(text)
    small = text.endswith(".") and text[:1].islower() and not named
    shouted = [found for found in SHOUTED.findall(text) if found not in ABBREVIATIONS]
    return "how it is written" if small or shouted else ""


@pytest.fixture(scope="module", autouse=True)
def every_sentence_is_written_as_one() -> Iterator[None]:
    """Whatever a test makes say a sentence, whether it then looks at it or not."""
    make = Sentence.__init__

    def made(self: Sentence, template: str, parts: Mapping[str, Said | str] | None = None) -> None:
        parts = {} if parts is None else parts
        fault = faults_of(template, frozenset(parts))
        assert not fault, f"{template!r}: {fault}"
        for part in parts.values():
            if isinstance(part, Amount | Amounts | Shown | Trimmed):
                assert part.kind in _SAID, f"{template!r}: of no kind {part.kind}"
            else:
                assert part is not None, f"{template!r}: a part is missing"
        make(self, template, parts)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Sentence, "__init__", made)
        yield
