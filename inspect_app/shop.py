"""The shop's own, folded out of the log: its gauges, and the settings of every phone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from inspect_app.job.job import Gauge, gauge_from
from inspect_app.job.measured import default_gauge
from inspect_app.logbook.entries import Entry
from inspect_app.tables.gauges import GaugeKind


class Shop:
    """Gauges in use and settings by phone, as the entries taken in so far say."""

    def __init__(self, shipped: Mapping[str, GaugeKind]) -> None:
        self._shipped = {kind: default_gauge(g) for kind, g in shipped.items()}
        self._own: dict[str, Gauge] = {}
        self._settings: dict[str, dict[str, str]] = {}

    def take_in(self, entries: Iterable[Entry]) -> None:
        """Follow further entries of the shop; kinds and bodies it does not know are left alone."""
        for entry in entries:
            if entry.kind == "gauge":
                self._take_gauge(entry.body)
            elif entry.kind == "setting":
                client = self._settings.setdefault(str(entry.body.get("client", "")), {})
                client[entry.body["name"]] = entry.body["value"]

    def _take_gauge(self, body: Mapping[str, Any]) -> None:
        try:
            gauge = gauge_from(body)
        except (KeyError, TypeError, ValueError, ArithmeticError):
            return  # written by a newer version: kept in the log, left alone here
        if "states" not in body:
            # an older log: a shop had one gauge of a kind, and a new one took the place of the one before
            self._own = {g.id: g for g in self._own.values() if g.kind != gauge.kind}
        self._own.pop(gauge.id, None)
        if not body.get("retired"):
            self._own[gauge.id] = gauge

    def gauges_of(self, kind: str) -> tuple[Gauge, ...]:
        """The gauges of a kind: the shop's own where it entered any, else the shipped default; none of a kind
        nobody knows."""
        own = tuple(g for g in self._own.values() if g.kind == kind)
        shipped = self._shipped.get(kind)
        return own or ((shipped,) if shipped else ())

    def gauges(self) -> tuple[Gauge, ...]:
        """Every gauge in use: the shop's own, and the shipped default of each kind it has none of."""
        kinds = dict.fromkeys((*self._shipped, *(g.kind for g in self._own.values())))
        return tuple(g for kind in kinds for g in self.gauges_of(kind))

    def named(self, word: str) -> Gauge | None:
        """The gauge in use with this id, or this name, or the only one of this kind; None if there is none."""
        gauges = self.gauges()
        by_id = next((g for g in gauges if g.id == word), None)
        by_name = [g for g in gauges if g.name == word]
        by_kind = self.gauges_of(word)
        return by_id or next((found[0] for found in (by_name, by_kind) if len(found) == 1), None)

    def settings(self, client: str) -> Mapping[str, str]:
        """Settings of one phone or browser by name."""
        return self._settings.get(client, {})
