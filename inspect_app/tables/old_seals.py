"""How an old seal may look and what that points to: checklists/old_seals.toml."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.tables.blocks import block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source
from inspect_app.trade.sealing.old_seals import EVIDENCE, OldSealState

FILE = "old_seals.toml"


def load_old_seals(reader: Reader, sources: Mapping[str, Source]) -> Mapping[str, OldSealState]:
    """The states of old seals by id, in the order they are offered.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "state")
    found: dict[str, OldSealState] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "state"), 1):
        where = f"state {block.get('id') or n}"
        state = block_from(reader, FILE, where, block, OldSealState)
        if state is None:
            continue
        if state.id in found:
            reader.fault(FILE, where, "stands twice; rename one.")
        if state.source not in sources:
            reader.fault(FILE, f"{where}.source", allowed_words(state.source, sources))
        for name in state.agrees:
            if name not in EVIDENCE:
                reader.fault(FILE, f"{where}.agrees", allowed_words(name, EVIDENCE))
        if bool(state.points_to) != bool(state.confirm):
            reader.fault(FILE, where, "says what it points to or what confirms it, not both; add the other.")
        found[state.id] = state
    return found
