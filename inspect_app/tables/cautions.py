"""What to say before dangerous work: checklists/cautions.toml."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.tables.faults import Reader


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: before which work (`when`), the sentence, and where the rule stands (`reference`)."""

    id: str
    when: str
    sentence: str
    reference: str


def load_cautions(reader: Reader) -> tuple[Caution, ...]:
    """The cautions in file order.

    Args:
        reader: the checklists folder being read; faults are noted in it.
    """
    file = "cautions.toml"
    cautions: list[Caution] = []
    content = reader.toml(file)
    reader.known_keys(file, content, "caution")
    for n, block in enumerate(reader.blocks(file, content, "caution"), 1):
        name = str(block.get("id", f"caution number {n}"))
        if not all(isinstance(block.get(key), str) and block[key] for key in ("id", "when", "sentence")):
            reader.fault(file, name, "needs id, when and sentence as text.")
        elif unknown := block.keys() - {"id", "when", "sentence", "reference"}:
            reader.fault(file, name, f"has unknown keys {', '.join(sorted(unknown))}; remove them.")
        elif any(c.id == name for c in cautions):
            reader.fault(file, name, "stands twice; rename one.")
        else:
            cautions.append(Caution(name, block["when"], block["sentence"], str(block.get("reference", ""))))
    return tuple(cautions)
