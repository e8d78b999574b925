"""What holds lines of a seal list back, each reason once under a letter, with its lines; judges nothing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_lowercase

from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.report.seal_words import MEMORY_RULE, numbered
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.sealing.pairings import Objection

LEAST_SHARED = 12
"""Sentences that begin or end alike for so many characters have that said once."""


@dataclass(frozen=True, slots=True)
class Hold:
    """One reason not to order yet: its letter, what speaks against it, what settles it, and the lines it holds."""

    letter: str
    says: str
    settles: str
    numbers: tuple[int, ...]
    stop: bool


def holds(listing: SealList, system: str) -> tuple[Hold, ...]:
    """Every open doubt once, in the order of the lines; a stop before all others.

    Args:
        listing: the seal list.
        system: "metric" or "inch".
    """
    groups: dict[tuple[bool, str, str], list[tuple[int, str]]] = {}
    for at in numbered(listing):
        for objection in (doubt.objection for doubt in at.line.open_doubts):
            key = (not objection.stop, objection.rule, in_words(objection.settles, system))
            groups.setdefault(key, []).append((at.number, _said(at.line, objection, system)))
    ordered = sorted(groups.items(), key=lambda group: group[0][0])
    return tuple(
        Hold(
            _letter(n), together(said), capital(settles),
            tuple(dict.fromkeys(number for number, _ in said)), not later,
        )
        for n, ((later, _, settles), said) in enumerate(ordered)
    )  # fmt: skip


def closings(listing: SealList, system: str) -> tuple[str, ...]:
    """What somebody closed: on which lines, by whom, why, and how it began, once for all of them.

    Args:
        listing: the seal list.
        system: "metric" or "inch".
    """
    groups: dict[tuple[str, str, str], list[tuple[int, str]]] = {}
    for at in numbered(listing):
        for doubt in at.line.doubts:
            if doubt.closed and not doubt.open:
                key = (doubt.objection.rule, doubt.closed.by, doubt.closed.reason)
                first = _said(at.line, doubt.objection, system).split(". ")[0].rstrip(".") + "."
                groups.setdefault(key, []).append((at.number, first))
    return tuple(
        f"{line_numbers([n for n, _ in said])} by {by}: {reason}. {together(said)}"
        for (_, by, reason), said in groups.items()
    )


def together(said: Sequence[tuple[int, str]]) -> str:
    """Sentences about lines as one text: what is common once, what differs behind its line's number.

    Args:
        said: line numbers with their sentences.

    >>> together([(1, "Quoted from memory: AU."), (2, "Quoted from memory: NBR.")])
    'Quoted from memory: (1) AU. (2) NBR.'
    >>> together([(1, "Nobody knows the fluid."), (3, "Nobody knows the fluid.")])
    'Nobody knows the fluid.'
    """
    by_sentence: dict[str, list[int]] = {}
    for number, sentence in said:
        by_sentence.setdefault(sentence, []).append(number)
    if len(by_sentence) == 1:
        return next(iter(by_sentence))
    before = _shared(list(by_sentence))
    after = _shared([text[len(before) :][::-1] for text in by_sentence])[::-1]
    clause = re.search(r"[,.;] ", after)
    after = after[clause.start() :] if clause else ""
    listed = (
        f"({line_numbers(of)}) {text[len(before) : len(text) - len(after)]}"
        for text, of in by_sentence.items()
    )
    return before + " ".join(listed) + after


def _shared(texts: Sequence[str]) -> str:
    """How all begin, in whole words, where it is worth saying apart."""
    least, greatest = min(texts), max(texts)
    same = next((n for n, (a, b) in enumerate(zip(least, greatest, strict=False)) if a != b), len(least))
    shared = least[: least.rfind(" ", 0, same) + 1]
    return shared if len(shared) >= LEAST_SHARED else ""


def line_numbers(numbers: Sequence[int]) -> str:
    """Numbers of lines, those in a row as from–to.

    Args:
        numbers: the numbers, ascending.

    >>> line_numbers([1, 2, 3, 5, 7, 8])
    '1–3, 5, 7, 8'
    """
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    short = (f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
    return ", ".join(short)


def _said(line: SealLine, objection: Objection, system: str) -> str:
    said = in_words(objection.sentence, system)
    return f"Quoted from memory: {_quoted(line, said, system)}." if objection.rule == MEMORY_RULE else said


def _quoted(line: SealLine, said: str, system: str) -> str:
    """What of a line is quoted from memory; the words themselves stand in its row."""
    housing = in_words(line.housing.designation, system) if line.housing else ""
    backups = line.backups.material if line.backups else ""
    parts = (
        ("housing", bool(housing) and housing in said),
        ("material", any(m.material in said for m in line.made)),
        ("back-up ring", bool(backups) and backups in said),
    )
    *first, last = [part for part, is_quoted in parts if is_quoted] or [""]
    return " and ".join(w for w in (", ".join(first), last) if w)


def _letter(n: int) -> str:
    """a, b … z, aa, ab …"""
    first, last = divmod(n, len(ascii_lowercase))
    return (ascii_lowercase[first - 1] if first else "") + ascii_lowercase[last]
