"""Gauges and their uncertainty, as checklists/gauges.toml gives them before a shop enters its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import Source


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


def load_gauges(reader: Reader, sources: Mapping[str, Source]) -> dict[str, GaugeKind]:
    """The kinds of gauge in checklists/gauges.toml by name.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    file = "gauges.toml"
    gauges: dict[str, GaugeKind] = {}
    for n, block in enumerate(reader.toml(file).get("gauge", ()), 1):
        name = str(block.get("kind", f"gauge number {n}"))
        source = sources.get(str(block.get("source")))
        if source is None:
            reader.fault(
                file, f"{name}.source", f"found {block.get('source')!r}; no source has that key; add it."
            )
            continue
        try:
            errors = tuple((Decimal(str(a)), Decimal(str(b))) for a, b in block["errors"])
            gauges[name] = GaugeKind(
                kind=str(block["kind"]),
                measures=str(block["measures"]),
                errors=errors,
                share=Decimal(str(block.get("share", 0))),
                step=Decimal(str(block["step"])),
                source=source,
            )
        except KeyError as e:
            reader.fault(file, f"{name}.{e.args[0]}", "is missing; add it.")
        except (TypeError, ValueError, InvalidOperation):
            reader.fault(
                file, name, "errors are written as [[up_to, error], ...], step and share as numbers."
            )
    return gauges
