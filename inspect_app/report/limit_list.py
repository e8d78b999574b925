"""Every limit, and everything nobody has confirmed, as lines that fit a terminal; judges nothing."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from inspect_app.job.rules import kind_of, rule_sentence
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.limits import Limit
from inspect_app.tables.sources import STATUSES, Source
from inspect_app.tables.unconfirmed import UnconfirmedRow
from inspect_app.trade.measuring.refusal import Refusal

NARROWEST = 60
LEVEL, WHOSE, SOURCE = 6, 7, 5


def wrapped(text: str, width: int, indent: int = 0) -> list[str]:
    """A sentence as lines no wider than a terminal.

    Args:
        text: the sentence.
        width: of the terminal, characters.
        indent: blanks before each line.
    """
    blanks = " " * indent
    return textwrap.wrap(
        text, max(width, NARROWEST), initial_indent=blanks, subsequent_indent=blanks, break_on_hyphens=False
    )


def limit_lines(
    tables: Tables, *, system: str = "metric", width: int = 100, part: str = "", check: str = ""
) -> Iterator[str]:
    """Every limit under its check: characteristic, level, rule, whose it is, and the number of its source below.

    Args:
        tables: the tables.
        system: "metric" or "inch".
        width: of the terminal, characters.
        part: only this part's; "" for all.
        check: only this check's; "" for all.
    Raises:
        Refusal: no such part or check.
    """
    asked = {c.id: c for cylinder in tables.cylinders.values() for c in cylinder.checks}
    parts = dict.fromkeys(p.id for cylinder in tables.cylinders.values() for p in cylinder.parts)
    for wanted, known in ((part, parts), (check, asked)):
        if wanted and wanted not in known:
            raise Refusal(f"found {wanted!r}; allowed are {', '.join(known)}.")
    cited: dict[str, tuple[int, Source]] = {}
    shown = {c.repeats or c.id: c for c in reversed(asked.values())}  # of several alike one says it for all
    for one in asked.values():
        if not (part or check) and (one.repeats in asked or shown[one.repeats or one.id] is not one):
            continue
        rows = []
        if part in ("", one.part) and check in ("", one.id):
            for limit in (x for x in tables.limits if x.check == one.id):
                number, _ = cited.setdefault(limit.source.key, (len(cited) + 1, limit.source))
                rows.append((*_limit_row(limit, one, tables, system), f"[{number}]"))
        if rows:
            yield f"{one.title} ({one.id})"
            yield from _table(rows, max(width, NARROWEST))
            yield ""
    for number, source in cited.values():
        yield from wrapped(f"[{number}] {source.sentence.words(system)}", width)


def _limit_row(limit: Limit, check: Check, tables: Tables, system: str) -> tuple[str, ...]:
    only = [f"{question} {' or '.join(answers)}" for question, answers in limit.when.items()]
    only += ["felt"] if limit.only_felt else []
    what = ", ".join(w for w in (limit.defect, limit.characteristic, limit.zone) if w)
    what += f" (if {', '.join(only)})" if only else ""
    rule = rule_sentence(limit.rule, kind_of(limit, check), tables).words(system)
    return what, limit.level, rule, limit.owner


def _table(rows: Sequence[tuple[str, ...]], width: int) -> Iterator[str]:
    """Rows in columns; what is too long for its column goes on below."""
    free = width - LEVEL - WHOSE - SOURCE - 2 * 5
    longest, rule = (max(len(row[n]) for row in rows) for n in (0, 2))
    what = min(longest, max(free // 2, free - rule))
    widths = (what, LEVEL, free - what, WHOSE, SOURCE)
    for row in rows:
        cells = [textwrap.wrap(cell, w, break_on_hyphens=False) for cell, w in zip(row, widths, strict=True)]
        for n in range(max(map(len, cells))):
            line = (lines[n] if n < len(lines) else "" for lines in cells)
            yield "  " + "  ".join(text.ljust(w) for text, w in zip(line, widths, strict=True)).rstrip()


def unconfirmed_lines(
    tables: Tables, rows: Sequence[UnconfirmedRow], width: int = 100, system: str = "metric"
) -> Iterator[str]:
    """Every source and every row of a table that nobody here has read in the published text.

    Args:
        tables: the tables, for the sources and the limits that rest on them.
        rows: the rows not confirmed.
        width: of the terminal, characters.
        system: "metric" or "inch".
    """
    yield from wrapped("Not yet confirmed; the shop confirms each against its own copy of the text:", width)
    for source in sorted(tables.sources.values(), key=lambda s: (s.status, s.key)):
        if source.confirmed:
            continue
        resting = [limit.id for limit in tables.limits if limit.source.key == source.key]
        yield ""
        yield from wrapped(source.cited.words(system), width)
        yield from wrapped(f"{STATUSES[source.status]} ({source.kind})", width, 2)
        if source.note:
            yield from wrapped(source.note.words(system), width, 2)
        if resting:
            yield from wrapped(f"limits: {', '.join(resting)}", width, 2)
    for file in dict.fromkeys(row.file for row in rows):
        here = [row for row in rows if row.file == file]
        yield ""
        yield f"{file}: {len(here)} rows"
        for row in here:
            figures = ", ".join(f"{head} {cell}" for head, cell in row.figures.items())
            yield from wrapped(f"{figures} ({STATUSES[row.status]}; {row.source})", width, 2)
