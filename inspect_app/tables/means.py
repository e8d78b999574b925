"""The kinds of means a shop works with: checklists/means.toml."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from inspect_app.tables.blocks import Named, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.trade.measuring.units import KINDS

FILE = "means.toml"
DEMANDS = ("mass", "breakaway", "tightening", "draw-force", "length", "proof", "fill")
"""What a job may ask of a means; `job/means.py` reckons each."""


@dataclass(frozen=True, slots=True)
class MeansKind:
    """A kind of means: what its range measures, and what is asked of it, by step."""

    id: str
    title: str
    measures: str
    asked: Named


def load_means(reader: Reader, steps: Collection[str]) -> Mapping[str, MeansKind]:
    """The kinds of means by id, in file order.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        steps: ids of the steps.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "means")
    found: dict[str, MeansKind] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "means"), 1):
        where = f"means {block.get('id') or n}"
        kind = block_from(reader, FILE, where, block, MeansKind)
        if kind is None:
            continue
        if kind.id in found:
            reader.fault(FILE, where, "stands twice; rename one.")
        if kind.measures not in KINDS:
            reader.fault(FILE, f"{where}.measures", allowed_words(kind.measures, KINDS))
        for step, demand in kind.asked.items():
            if step not in steps:
                reader.fault(FILE, f"{where}.asked", allowed_words(step, steps))
            if demand not in DEMANDS:
                reader.fault(FILE, f"{where}.asked.{step}", allowed_words(demand, DEMANDS))
        found[kind.id] = kind
    return found
