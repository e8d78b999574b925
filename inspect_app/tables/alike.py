"""A checklist written as another one with changes: what it has not, what it says otherwise, what stands several times.

Works on the blocks as the files have them, before they are read, and keeps for each the file it stands in; knows no
limit and no cylinder in hand.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from inspect_app.tables.blocks import Named, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.trade.measuring.wording import capital, inside

FOLDER = "cylinders"
CALLED = ("zones", "stations", "reasons")
"""The tables that say what ids are called."""

KINDS = ("part", "question", "field", "groove", "check", "measure", "defect")
REPEATED = ("part", "field", "groove", "check")
"""What stands several times with a part; a question about it is asked once for all of them."""

BEFORE = "@before"
"""Behind a name: that of the time before, as the tube a stage runs in."""

FOLLOWED = "unless_last"
"""Of a block that stands several times: it is not there on the last, as the bore of the smallest stage."""


@dataclass(frozen=True, slots=True)
class Block:
    """A block and the file it stands in."""

    file: str
    content: Mapping[str, Any]

    @property
    def id(self) -> str:
        """Its id, "" where it has none."""
        return str(self.content.get("id", ""))


@dataclass(frozen=True, slots=True)
class Repeat:
    """What stands several times: `what` are ids of parts, with all that is on them, of grooves, checks and fields;
    `of` and `called` the id and the name of each time. `count` names the question whose answer is how many there are;
    `first` what stands for the one before on the first, by its id. `file` is where it stands.
    """

    of: tuple[str, ...]
    called: tuple[str, ...]
    what: tuple[str, ...]
    count: str = ""
    first: Named = field(default_factory=dict)
    file: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """A checklist as its files have it: its head, the blocks of each kind, and the names of ids."""

    head: Mapping[str, Any]
    blocks: Mapping[str, tuple[Block, ...]]
    called: Mapping[str, Mapping[str, str]]
    repeats: Mapping[tuple[str, ...], Repeat] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Writing:
    """The checklists folder being read, the fields every nameplate has, and what was put together of it so far."""

    reader: Reader
    fields: tuple[Block, ...]
    known: dict[str, Written] = field(default_factory=dict)


def hashes(files: Mapping[str, bytes]) -> dict[str, str]:
    """What each checklist is named by: SHA-256 of its bytes, and of the name of the one it is like.

    Args:
        files: the files of the checklists by their name in one folder.

    >>> hashes({"a.toml": b""})["a.toml"][:8]
    'e3b0c442'
    """
    found: dict[str, str] = {}

    def named(file: str, inside_of: tuple[str, ...]) -> str:
        if file not in found and file in files and file not in inside_of:
            like = _like(files[file])
            base = named(like, (*inside_of, file)) if like else ""
            found[file] = hashlib.sha256(files[file] + base.encode()).hexdigest()
        return found.get(file, "")

    return {file: named(file, ()) for file in files}


def chain_of(file: str, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """A checklist and those it is like, the nearest first; one that is like itself ends where that shows.

    Args:
        file: the checklist.
        files: the files of the checklists by their name in one folder.

    >>> chain_of("b.toml", {"a.toml": b"", "b.toml": b'like = "a.toml"'})
    ('b.toml', 'a.toml')
    """
    found = [file]
    while (like := _like(files.get(found[-1], b""))) and like not in found:
        found.append(like)
    return tuple(found)


def _like(content: bytes) -> str:
    """The file a checklist says it is like, "" for none or where it cannot be read."""
    head = re.split(rb"(?m)^\[", content, maxsplit=1)[0]
    try:
        return str(tomllib.loads(head.decode("utf-8")).get("like", ""))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError):
        return ""


def written(writing: Writing, file: str, inside_of: tuple[str, ...] = ()) -> Written:
    """A checklist with what it takes from the one it is like.

    Args:
        writing: what is being read; faults are noted in its reader.
        file: relative path, e.g. ``cylinders/tie_rod.toml``.
        inside_of: the files that are like this one, on the way here.
    """
    if file in writing.known:
        return writing.known[file]
    reader = writing.reader
    content = reader.toml(file)
    reader.known_keys(file, content, "id", "title", "like", "areas", "without", "repeat", *CALLED, *KINDS)
    start = Written({}, {key: () for key in KINDS} | {"field": writing.fields}, {key: {} for key in CALLED})
    if like := content.get("like"):
        other = f"{FOLDER}/{like}"
        if other in (*inside_of, file):
            reader.fault(file, "like", f"found {like!r}, which is like this one; name another file.")
        else:
            start = written(writing, other, (*inside_of, file))
    kept = _without(reader, file, content.get("without", []), start)
    own = {key: _merged(reader, file, content, key, kept.blocks[key]) for key in KINDS}
    called = {key: {**kept.called[key], **_called(reader, file, content, key)} for key in CALLED}
    head = {**start.head, **{k: v for k, v in content.items() if isinstance(v, str)}}
    found = Written(
        {**head, "id": content.get("id"), "title": content.get("title")}, own, called, start.repeats
    )
    for n, block in enumerate(reader.blocks(file, content, "repeat"), 1):
        repeat: Repeat | None = block_from(reader, file, f"repeat {n}", block, Repeat)
        if repeat is not None:
            before = found.repeats.get(repeat.of)
            if before:
                what, first = (*before.what, *repeat.what), {**before.first, **repeat.first}
                repeat = replace(before, what=what, first=first)
            found = replace(
                found, repeats={**found.repeats, repeat.of: replace(repeat, file=repeat.file or file)}
            )
    writing.known[file] = found
    return found


def laid_out(reader: Reader, found: Written) -> Written:
    """A checklist with what stands several times written out.

    Args:
        reader: where faults are noted.
        found: the checklist as its files have it.
    """
    for repeat in found.repeats.values():
        found = _repeated(reader, repeat, found)
    return found


def _called(reader: Reader, file: str, content: Mapping[str, Any], key: str) -> Mapping[str, str]:
    """What the ids of one kind are called; none, and a fault, where they are no table of texts."""
    found = content.get(key, {})
    if isinstance(found, dict) and all(isinstance(words, str) for words in found.values()):
        return found
    reader.fault(
        file, key, f'found {found!r}; write a table headed [{key}], with lines like gland-end = "gland end".'
    )
    return {}


def _merged(
    reader: Reader, file: str, content: dict[str, Any], key: str, before: tuple[Block, ...]
) -> tuple[Block, ...]:
    """The blocks so far with this file's own: one of a known id says some of it otherwise, the others are new."""
    own = [Block(file, block) for block in reader.blocks(file, content, key)]
    otherwise = {b.id: b.content for b in own if b.id in [x.id for x in before]}
    blocks = [Block(file, {**b.content, **otherwise[b.id]}) if b.id in otherwise else b for b in before]
    for block in (b for b in own if b.id not in otherwise):
        behind = str(block.content.get("before", ""))
        plain = Block(file, {k: v for k, v in block.content.items() if k != "before"})
        ids = [b.id for b in blocks]
        if behind and behind not in ids:
            reader.fault(file, f"{key} {block.id}.before", allowed_words(behind, ids))
        blocks.insert(ids.index(behind) if behind in ids else len(blocks), plain)
    return tuple(blocks)


def _without(reader: Reader, file: str, names: Any, found: Written) -> Written:
    """What is left of a checklist without some of its parts, questions, grooves, checks and fields."""
    if not isinstance(names, list):
        reader.fault(file, "without", 'write a list of ids, like ["piston", "barrel-thread"].')
        return found
    every = [name for key in KINDS for b in found.blocks[key] for name in (b.id, f"{key} {b.id}")]
    for name in names:
        if name not in every:
            reader.fault(file, "without", allowed_words(str(name), every))
    blocks = {
        key: tuple(b for b in found.blocks[key] if not {b.id, f"{key} {b.id}", *_of(b)} & set(names))
        for key in KINDS
    }
    return replace(found, blocks=blocks)


def _of(block: Block) -> tuple[str, ...]:
    """What a block goes with: the part it is on and the groove it measures."""
    return tuple(str(block.content[key]) for key in ("part", "groove") if key in block.content)


def _repeated(reader: Reader, repeat: Repeat, found: Written) -> Written:
    """A checklist with some of it several times, one after the other where the first of it stood."""
    file, where, counts = repeat.file, f"repeat {repeat.of[0]}", {b.id: b for b in found.blocks["question"]}
    every = [b.id for key in REPEATED for b in found.blocks[key]]
    for name in repeat.what:
        if name not in every:
            reader.fault(file, f"{where}.what", allowed_words(name, every))
    if len(repeat.of) != len(repeat.called):
        reader.fault(file, f"{where}.called", "must have a name for each of `of`; write as many.")
        return found
    if repeat.count and repeat.count not in counts:
        reader.fault(file, f"{where}.count", allowed_words(repeat.count, counts))
        return found
    taken = {key: [b for b in found.blocks[key] if {b.id, *_of(b)} & set(repeat.what)] for key in REPEATED}
    local = {key: [b.id for b in blocks] for key, blocks in taken.items()}
    answers = tuple(counts[repeat.count].content.get("answers", ())) if repeat.count else ()
    blocks: dict[str, tuple[Block, ...]] = dict(found.blocks)
    for key in REPEATED:
        new = [
            block
            for n in range(len(repeat.of))
            for b in taken[key]
            if (block := _one_of_several(_Time(repeat, n, local, answers), key, b))
        ]
        at = next((i for i, b in enumerate(found.blocks[key]) if b.id in local[key]), 0)
        rest = [b for b in found.blocks[key] if b.id not in local[key]]
        blocks[key] = (*rest[:at], *new, *rest[at:])
    first = _Time(repeat, 0, local, answers)
    blocks["question"] = tuple(
        Block(b.file, {**b.content, "part": first.named(b.content["part"], "part")})
        if b.content.get("part") in local["part"]
        else b
        for b in found.blocks["question"]
    )
    return replace(found, blocks=blocks)


@dataclass(frozen=True, slots=True)
class _Time:
    """One of several times something stands: the `n`th; `local` are the ids that are repeated, by kind of block."""

    repeat: Repeat
    n: int
    local: Mapping[str, list[str]]
    answers: tuple[str, ...]

    def named(self, name: str, *keys: str) -> str:
        """A name as it stands this time: its own, that of the time before, or one that stands once."""
        plain = name.removesuffix(BEFORE)
        if plain not in [x for key in keys for x in self.local[key]]:
            return name
        if plain == name:
            return f"{self.repeat.of[self.n]}-{name}"
        if self.n == 0:
            return self.repeat.first.get(plain, plain)
        return f"{self.repeat.of[self.n - 1]}-{plain}"

    def there(self, block: Block) -> tuple[str, ...] | None:
        """The answers under which a block is there this time, () for always; None for never."""
        follows = bool(block.content.get(FOLLOWED))
        if not self.answers:
            return None if follows and self.n + 1 == len(self.repeat.of) else ()
        least = self.n + (2 if follows else 1)
        there = tuple(a for a in self.answers if not a.isdigit() or int(a) >= least)
        return None if not there else () if there == self.answers else there


def _one_of_several(time: _Time, key: str, block: Block) -> Block | None:
    """A block as it stands one of several times: named by it, and naming what is its own; None where it is not."""
    there = time.there(block)
    if there is None:
        return None
    of, words = time.repeat.of[time.n], time.repeat.called[time.n]
    content = {k: v for k, v in block.content.items() if k != FOLLOWED}
    content["id"] = f"{words} {block.id}" if key == "groove" else f"{of}-{block.id}"
    if "title" in content:
        content["title"] = f"{capital(words)} {inside(str(content['title']))}"
    if key in ("part", "check", "groove"):
        content["repeats"] = block.id
    if key == "part":
        content["called"] = words
    if key == "check":
        content |= _named_in_check(time, content)
    if key == "groove":
        content["sealed"] = time.named(str(content.get("sealed")), "field", "check")
    if there and key != "groove":
        content["when"] = {**content.get("when", {}), time.repeat.count: list(there)}
    return Block(block.file, content)


def _named_in_check(time: _Time, content: Mapping[str, Any]) -> dict[str, Any]:
    """What a check names, as it is named this time."""
    named: dict[str, Any] = {"part": time.named(str(content.get("part")), "part")}
    if "nominal" in content:
        named["nominal"] = time.named(content["nominal"], "field")
    if "between" in content:
        named["between"] = [time.named(x, "check") for x in content["between"]]
    if isinstance(stations := content.get("stations"), dict) and "over" in stations:
        named["stations"] = {**stations, "over": time.named(stations["over"], "field")}
    if content.get("groove") in time.local["groove"]:
        named["groove"] = f"{time.repeat.called[time.n]} {content['groove']}"
    return named
