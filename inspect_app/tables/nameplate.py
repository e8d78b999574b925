"""The fields of the nameplate, as checklists/nameplate.toml lists them: one list for screens, files, limits, report."""

from __future__ import annotations

from dataclasses import dataclass, field

from inspect_app.tables.alike import Block
from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.trade.measuring.units import KINDS

FILE, TEXT = "nameplate.toml", "text"


@dataclass(frozen=True, slots=True)
class NameplateField:
    """One field: its name in a sentence and a file, what it measures ("text" for words), and how it is asked for.

    `when` says on which answers about the cylinder it is there.
    """

    id: str
    title: str
    group: str
    kind: str = TEXT
    hint: str = ""
    lines: int = 1
    when: WordLists = field(default_factory=dict)


def load_nameplate(reader: Reader) -> tuple[tuple[Block, ...], dict[str, NameplateField]]:
    """The fields every nameplate has, as they are written and by id, in the order they are asked for.

    Args:
        reader: the checklists folder being read; faults are noted in it.
    """
    file = FILE
    content = reader.toml(file)
    reader.known_keys(file, content, "field")
    fields: dict[str, NameplateField] = {}
    for n, block in enumerate(reader.blocks(file, content, "field"), 1):
        where = f"field {block.get('id', n)}"
        read: NameplateField | None = block_from(reader, file, where, block, NameplateField)
        if read is None:
            continue
        check_field(reader, file, read)
        if read.id in fields:
            reader.fault(file, where, "stands twice; rename one.")
        fields[read.id] = read
    return tuple(Block(file, b) for b in reader.blocks(file, content, "field")), fields


def check_field(reader: Reader, file: str, field: NameplateField) -> None:
    """Note a fault for a field that measures nothing known.

    Args:
        reader: where faults are noted.
        file: the file it stands in.
        field: the field.
    """
    if field.kind not in (TEXT, *KINDS):
        reader.fault(file, f"field {field.id}.kind", allowed_words(field.kind, (TEXT, *KINDS)))
