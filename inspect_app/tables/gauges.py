"""Gauges and their uncertainty, as checklists/gauges.toml gives them before a shop enters its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.measuring.uncertainty import EXPANDED, STATES, GaugeError
from inspect_app.trade.measuring.units import KINDS


@dataclass(frozen=True, slots=True)
class GaugeKind:
    """A kind of gauge by its id, and what it is called.

    `errors` are rows (up to this reading, ± error), `share` a fraction of the reading. Everything in the canonical
    unit of `measures`; `step` is the resolution, `repeatability` the standard deviation of one reading. `states` says
    what the ± is, a key of `uncertainty.STATES`. Kinds that share a word of `uses` can stand in for each other;
    `blind_to` lists the characteristics a kind cannot see.
    """

    kind: str
    title: str
    measures: str
    errors: tuple[tuple[Decimal, Decimal], ...]
    share: Decimal
    step: Decimal
    source: Source
    states: str = EXPANDED
    repeatability: Decimal | None = None
    uses: tuple[str, ...] = ()
    blind_to: tuple[str, ...] = ()

    @property
    def error_measures(self) -> str:
        """The kind of quantity its error and step are: of a gauge of lengths, small lengths."""
        return "deviation" if self.measures == "length" else self.measures

    def error_at(self, size: Decimal) -> GaugeError | None:
        """What a gauge of this kind may be wrong by at a size; None beyond its last row."""
        fixed = next((error for up_to, error in self.errors if abs(size) <= up_to), None)
        if fixed is None:
            return None
        scatter = self.repeatability or Decimal(0)
        return GaugeError(fixed, self.share, self.step, STATES[self.states], scatter)


NEEDED = ("kind", "title", "measures", "errors", "step", "source")
KEYS = (*NEEDED, "share", "states", "repeatability", "uses", "blind_to")
"""A kept copy of older tables has only those needed: its errors were read as expanded, and not told apart."""


def load_gauges(reader: Reader, sources: Mapping[str, Source]) -> dict[str, GaugeKind]:
    """The kinds of gauge in checklists/gauges.toml by name.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    file = "gauges.toml"
    content = reader.toml(file)
    reader.known_keys(file, content, "gauge")
    gauges: dict[str, GaugeKind] = {}
    for n, block in enumerate(reader.blocks(file, content, "gauge"), 1):
        name = str(block.get("kind", f"gauge number {n}"))
        before = len(reader.faults)
        for key in NEEDED:
            if key not in block:
                reader.fault(file, f"{name}.{key}", "is missing; add it.")
        if unknown := block.keys() - {*KEYS}:
            reader.fault(file, name, f"has unknown keys {', '.join(sorted(unknown))}; remove them.")
        for key, allowed in (("measures", KINDS), ("states", STATES), ("source", sources)):
            if key in block and str(block[key]) not in allowed:
                reader.fault(file, f"{name}.{key}", allowed_words(str(block[key]), allowed))
        if name in gauges:
            reader.fault(file, name, "stands twice; rename one.")
        if len(reader.faults) == before and (gauge := _gauge(reader, file, block, sources)):
            gauges[name] = gauge
    return gauges


def stand_ins(kind: str, gauges: Mapping[str, GaugeKind]) -> tuple[GaugeKind, ...]:
    """The kinds that can read what a kind reads, itself first.

    Args:
        kind: the kind of gauge.
        gauges: every kind by name.
    """
    this = gauges.get(kind)
    if this is None:
        return ()
    others = (g for g in gauges.values() if g is not this and set(g.uses) & set(this.uses))
    return (this, *others)


def _gauge(
    reader: Reader, file: str, block: Mapping[str, Any], sources: Mapping[str, Source]
) -> GaugeKind | None:
    name = str(block["kind"])
    try:
        errors = tuple((_number(up_to), _number(error)) for up_to, error in block["errors"])
        share, step = _number(block.get("share", 0)), _number(block["step"])
        repeatability = _number(block["repeatability"]) if "repeatability" in block else None
    except (TypeError, ValueError, InvalidOperation):
        reader.fault(
            file,
            name,
            "errors are written as [[up_to, error], ...], step, share and repeatability as numbers from 0 up.",
        )
        return None
    uses, blind_to = block.get("uses", []), block.get("blind_to", [])
    for key, words in (("uses", uses), ("blind_to", blind_to)):
        if not (isinstance(words, list) and all(isinstance(word, str) for word in words)):
            reader.fault(file, f"{name}.{key}", 'must be a list of words, like ["ovality"].')
            return None
    if unknown := [c for c in blind_to if c not in CHARACTERISTICS]:
        reader.fault(file, f"{name}.blind_to", allowed_words(str(unknown[0]), CHARACTERISTICS))
        return None
    if not errors or list(errors) != sorted(errors):
        reader.fault(file, f"{name}.errors", "needs rows whose first numbers rise from row to row.")
        return None
    return GaugeKind(
        name,
        str(block["title"]),
        str(block["measures"]),
        errors,
        share,
        step,
        sources[block["source"]],
        str(block.get("states", EXPANDED)),
        repeatability,
        tuple(uses),
        tuple(blind_to),
    )


def _number(value: object) -> Decimal:
    number = Decimal(str(value))
    if isinstance(value, bool) or not (number.is_finite() and number >= 0):
        raise ValueError
    return number
