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
    cautions = []
    for n, block in enumerate(reader.toml(file).get("caution", ()), 1):
        values = [block.get(key) for key in ("id", "when", "sentence")]
        if not all(isinstance(v, str) and v for v in values):
            reader.fault(file, f"caution number {n}", "needs id, when and sentence as text.")
            continue
        cautions.append(
            Caution(block["id"], block["when"], block["sentence"], str(block.get("reference", "")))
        )
    return tuple(cautions)
