"""Gauges and their uncertainty, as checklists/gauges.toml gives them before a shop enters its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source
from inspect_app.trade.characteristics import CHARACTERISTICS
from inspect_app.trade.uncertainty import EXPANDED, STATES
from inspect_app.trade.units import KINDS


@dataclass(frozen=True, slots=True)
class GaugeKind:
    """A kind of gauge: `errors` are rows (up to this reading, ± error), `share` a fraction of the reading.

    Everything in the canonical unit of `measures`; `step` is the resolution, `repeatability` the standard
    deviation of one reading. `states` says what the ± is, a key of `uncertainty.STATES`. `blind_to` lists the
    characteristics it cannot see, whatever it reads.
    """

    kind: str
    measures: str
    errors: tuple[tuple[Decimal, Decimal], ...]
    share: Decimal
    step: Decimal
    source: Source
    states: str = EXPANDED
    repeatability: Decimal = Decimal(0)
    blind_to: tuple[str, ...] = ()

    @property
    def error_measures(self) -> str:
        """The kind of quantity its error and step are: of a gauge of lengths, small lengths."""
        return "deviation" if self.measures == "length" else self.measures


NEEDED = ("kind", "measures", "errors", "step", "source")
KEYS = (*NEEDED, "share", "states", "repeatability", "blind_to")
"""A kept copy of older tables has no `states` and no `repeatability`: its errors were read as expanded."""


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
        repeatability = _number(block.get("repeatability", 0))
    except (TypeError, ValueError, InvalidOperation):
        reader.fault(
            file,
            name,
            "errors are written as [[up_to, error], ...], step, share and repeatability as numbers from 0 up.",
        )
        return None
    blind_to = block.get("blind_to", [])
    if not isinstance(blind_to, list):
        reader.fault(file, f"{name}.blind_to", 'must be a list of characteristics, like ["ovality"].')
        return None
    if unknown := [c for c in blind_to if c not in CHARACTERISTICS]:
        reader.fault(file, f"{name}.blind_to", allowed_words(str(unknown[0]), CHARACTERISTICS))
        return None
    if not errors or list(errors) != sorted(errors):
        reader.fault(file, f"{name}.errors", "needs rows whose first numbers rise from row to row.")
        return None
    return GaugeKind(
        name,
        str(block["measures"]),
        errors,
        share,
        step,
        sources[block["source"]],
        str(block.get("states", EXPANDED)),
        repeatability,
        tuple(blind_to),
    )


def _number(value: object) -> Decimal:
    number = Decimal(str(value))
    if isinstance(value, bool) or not (number.is_finite() and number >= 0):
        raise ValueError
    return number
