"""Gauges and their uncertainty, as checklists/gauges.toml gives them before a shop enters its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source
from inspect_app.trade.units import KINDS


@dataclass(frozen=True, slots=True)
class GaugeKind:
    """A kind of gauge: `errors` are rows (up to this reading, ± error), `share` a fraction of the reading.

    Everything in the canonical unit of `measures`; `step` is the resolution. The errors are read as
    expanded with coverage factor 2.
    """

    kind: str
    measures: str
    errors: tuple[tuple[Decimal, Decimal], ...]
    share: Decimal
    step: Decimal
    source: Source

    @property
    def error_measures(self) -> str:
        """The kind of quantity its error and step are: of a gauge of lengths, small lengths."""
        return "deviation" if self.measures == "length" else self.measures


KEYS = ("kind", "measures", "errors", "share", "step", "source")


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
        for key in KEYS:
            if key not in block and key != "share":
                reader.fault(file, f"{name}.{key}", "is missing; add it.")
        if unknown := block.keys() - {*KEYS}:
            reader.fault(file, name, f"has unknown keys {', '.join(sorted(unknown))}; remove them.")
        for key, allowed in (("measures", KINDS), ("source", sources)):
            if key in block and block[key] not in allowed:
                reader.fault(file, f"{name}.{key}", allowed_words(str(block[key]), allowed))
        if name in gauges:
            reader.fault(file, name, "stands twice; rename one.")
        if len(reader.faults) == before and (gauge := _gauge(reader, file, block, sources)):
            gauges[name] = gauge
    return gauges


def _gauge(
    reader: Reader, file: str, block: Mapping[str, Any], sources: Mapping[str, Source]
) -> GaugeKind | None:
    name = str(block["kind"])
    try:
        errors = tuple((_number(up_to), _number(error)) for up_to, error in block["errors"])
        share, step = _number(block.get("share", 0)), _number(block["step"])
    except (TypeError, ValueError, InvalidOperation):
        reader.fault(
            file, name, "errors are written as [[up_to, error], ...], step and share as numbers from 0 up."
        )
        return None
    if not errors or list(errors) != sorted(errors):
        reader.fault(file, f"{name}.errors", "needs rows whose first numbers rise from row to row.")
        return None
    return GaugeKind(name, str(block["measures"]), errors, share, step, sources[block["source"]])


def _number(value: object) -> Decimal:
    number = Decimal(str(value))
    if isinstance(value, bool) or not (number.is_finite() and number >= 0):
        raise ValueError
    return number
