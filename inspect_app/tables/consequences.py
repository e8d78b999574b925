"""What a customer is told of findings and work, in plain words: checklists/consequences.toml; judges nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inspect_app.tables.blocks import block_from
from inspect_app.tables.check_kinds import names_of
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.operations import Operation, Operations
from inspect_app.trade.measuring.wording import capital, inside

FILE = "consequences.toml"
BRACES = {"says": "{value}", "other": "{part}"}
"""What is put into the words of a table."""

OTHER = ("title", "saw", "does", "if_not")
NO_MEASURES = ("felt", "count")
"""What a mark is judged by that is no size of it."""


@dataclass(frozen=True, slots=True)
class Consequence:
    """What is told of the `finds` (kinds of defects, characteristics) of some checks, by their names or kinds."""

    id: str
    title: str
    checks: tuple[str, ...]
    finds: tuple[str, ...]
    saw: str
    does: str
    if_not: str


@dataclass(frozen=True, slots=True)
class Consequences:
    """Everything the file says: consequences by check and find, words for sizes, for zones, for operations."""

    of: Mapping[tuple[str, str], Consequence]
    says: Mapping[str, str]
    called: Mapping[str, str]
    where: Mapping[str, str]
    work: Mapping[str, str]
    other: Mapping[str, str]


def load_consequences(folder: Path, cylinders: Iterable[Cylinder], operations: Operations) -> Consequences:
    """What a customer is told of each finding these checklists can have, and of each operation.

    Args:
        folder: the checklists folder.
        cylinders: the checklists.
        operations: the operations.
    Raises:
        TableError: with every fault found in the file.
    """
    reader, every = Reader(folder), tuple(cylinders)
    content = reader.toml(FILE)
    tables = ("says", "called", "where", "work", "other")
    reader.known_keys(FILE, content, *tables, "consequence")
    says, called, where, work, other = (_words(reader, content, key) for key in tables)
    sizes = {m.id for c in every for m in c.measures} | {
        x for c in every for k in c.checks for x in k.characteristics
    }
    for key, table, allowed in (
        ("says", says, sizes | {*NO_MEASURES}),
        ("called", called, sizes),
        ("where", where, {z for c in every for z in c.zones}),
        ("work", work, {*operations.by_id}),
        ("other", other, {*OTHER}),
    ):
        for name in table:
            if name not in allowed:
                reader.fault(FILE, f"{key}.{name}", allowed_words(name, sorted(allowed)))
    for name, operation in operations.by_id.items():
        if operation.repeats and operation.repeats in work:
            work.setdefault(name, _of_one(operation, work[operation.repeats]))
        elif name not in work and name not in operations.never_done:
            reader.fault(FILE, f"work.{name}", "is missing; say what is proposed, in plain words.")
    for name in sorted(sizes - called.keys()):
        reader.fault(FILE, f"called.{name}", "is missing; say what this size is called.")
    for name in OTHER:
        if name not in other:
            reader.fault(FILE, f"other.{name}", "is missing; say it in plain words.")
    pairs = found_by(every)
    checks = {c.id: c for cylinder in every for c in cylinder.checks}
    of = _consequences(reader, content, pairs, {c.id: names_of(c, checks) for c in checks.values()})
    for check, name in pairs:
        if (check, name) not in of:
            reader.fault(FILE, f"{check}, {name}", "is told nowhere; add it to a consequence.")
    reader.raise_faults()
    return Consequences(of, says, called, where, work, other)


def found_by(cylinders: Iterable[Cylinder]) -> tuple[tuple[str, str], ...]:
    """Every pair of a check and what can be found at it: a characteristic, or a kind of defect.

    Args:
        cylinders: the checklists.
    """
    pairs = (
        (check.id, name)
        for cylinder in cylinders
        for check in cylinder.checks
        for name in (*check.characteristics, *check.look)
    )
    return tuple(dict.fromkeys(pairs))


def _words(reader: Reader, content: Mapping[str, Any], key: str) -> dict[str, str]:
    table = content.get(key)
    if not isinstance(table, dict) or not all(isinstance(v, str) and v for v in table.values()):
        reader.fault(FILE, key, f"found {table!r}; write a table headed [{key}], names and words.")
        return {}
    for name, text in table.items():
        if set("{}") & set(text.replace(BRACES.get(key, "{}"), "")):
            allowed = f"only {BRACES[key]} may stand there" if key in BRACES else "nothing may stand there"
            reader.fault(FILE, f"{key}.{name}", f"found {text!r} with braces; {allowed}.")
    return dict(table)


def _of_one(operation: Operation, words: str) -> str:
    """What is proposed for one of several: "Rod: polish it" is of side B the rod, of a stage the stage itself."""
    part, colon, what = words.partition(": ")
    if not colon:
        return f"{capital(operation.called)}: {inside(words)}"
    is_there = f"{operation.at}-{part.lower()}" in operation.parts
    return f"{capital(operation.called)}{f', {inside(part)}' if is_there else ''}: {what}"


def _consequences(
    reader: Reader,
    content: dict[str, Any],
    pairs: tuple[tuple[str, str], ...],
    called: Mapping[str, Sequence[str]],
) -> dict[tuple[str, str], Consequence]:
    found: dict[tuple[str, str], Consequence] = {}
    nearness: dict[tuple[str, str], int] = {}
    ids: set[str] = set()
    for n, block in enumerate(reader.blocks(FILE, content, "consequence"), 1):
        where = f"consequence {block.get('id') or n}"
        told = block_from(reader, FILE, where, block, Consequence)
        if told is None:
            continue
        if told.id in ids:
            reader.fault(FILE, where, "stands twice; rename one.")
        ids.add(told.id)
        mine = {
            (c, f): n for c, f in pairs if f in told.finds and (n := _nearest(called[c], told.checks)) >= 0
        }
        for check in told.checks:
            if not any(check in called[c] for c, _ in mine):
                reader.fault(
                    FILE, f"{where}.checks", f"found {check!r}, at which none of its finds can be; mend it."
                )
        for name in told.finds:
            if name not in [f for _, f in mine]:
                reader.fault(
                    FILE, f"{where}.finds", f"found {name!r}, which none of its checks has; mend it."
                )
        for pair, near in mine.items():
            if nearness.get(pair) == near:
                reader.fault(FILE, where, f"{pair[1]} of {pair[0]} stands at {found[pair].id} too; keep one.")
            if near < nearness.get(pair, near + 1):
                found[pair], nearness[pair] = told, near
    return found


def _nearest(names: Sequence[str], wanted: Sequence[str]) -> int:
    """How near a check is to those wanted: 0 by its own name, then by what it repeats and its kinds; -1 for not."""
    return next((n for n, name in enumerate(names) if name in wanted), -1)
