"""The shop's own, folded out of the log: its gauges, and the settings of every phone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from inspect_app.job.job import Gauge, gauge_from
from inspect_app.logbook.entries import Entry
from inspect_app.tables.gauges import GaugeKind


class Shop:
    """Gauges in use and settings by phone, as the entries taken in so far say."""

    def __init__(self, shipped: Mapping[str, GaugeKind]) -> None:
        self._gauges = {
            kind: Gauge(f"default {kind}", kind, kind, g.errors, g.share, g.step, "")
            for kind, g in shipped.items()
        }
        self._settings: dict[str, dict[str, str]] = {}

    def take_in(self, entries: Iterable[Entry]) -> None:
        """Follow further entries of the shop; kinds it does not know are left alone."""
        for entry in entries:
            if entry.kind == "gauge":
                gauge = gauge_from(entry.body)
                self._gauges[gauge.kind] = gauge
            elif entry.kind == "setting":
                client = self._settings.setdefault(str(entry.body.get("client", "")), {})
                client[entry.body["name"]] = entry.body["value"]

    def gauges(self) -> Mapping[str, Gauge]:
        """The gauge in use for each kind: the shop's own where it entered one, else the shipped default."""
        return self._gauges

    def settings(self, client: str) -> Mapping[str, str]:
        """Settings of one phone or browser by name."""
        return self._settings.get(client, {})
