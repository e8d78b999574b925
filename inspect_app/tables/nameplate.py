"""The fields of the nameplate, as checklists/nameplate.toml lists them: one list for screens, files, limits, report."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.tables.blocks import block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.trade.measuring.units import KINDS

TEXT = "text"


@dataclass(frozen=True, slots=True)
class NameplateField:
    """One field: its name in a sentence and a file, what it measures ("text" for words), and how it is asked for."""

    id: str
    title: str
    group: str
    kind: str = TEXT
    hint: str = ""
    lines: int = 1


def load_nameplate(reader: Reader) -> dict[str, NameplateField]:
    """The fields of the nameplate by id, in the order they are asked for.

    Args:
        reader: the checklists folder being read; faults are noted in it.
    """
    file = "nameplate.toml"
    content = reader.toml(file)
    reader.known_keys(file, content, "field")
    fields: dict[str, NameplateField] = {}
    for n, block in enumerate(reader.blocks(file, content, "field"), 1):
        where = f"field {block.get('id', n)}"
        field: NameplateField | None = block_from(reader, file, where, block, NameplateField)
        if field is None:
            continue
        if field.kind not in (TEXT, *KINDS):
            reader.fault(file, f"{where}.kind", allowed_words(field.kind, (TEXT, *KINDS)))
        if field.id in fields:
            reader.fault(file, where, "stands twice; rename one.")
        fields[field.id] = field
    return fields
