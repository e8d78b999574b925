"""The shop's own, folded out of the log: its people, gauges and means, and the settings of every phone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_app.entries.entry import Entry
from inspect_app.entries.gauges import gauge_from
from inspect_app.entries.job import Gauge, Survey
from inspect_app.entries.means import Means, means_from
from inspect_app.entries.people import Person, person_from
from inspect_app.entries.typed import id_of
from inspect_app.job.choosing import Choice, gauge_for, last_used, outside_range
from inspect_app.job.judge import nominal_of
from inspect_app.job.measured import default_gauge, gauge_name, is_default
from inspect_app.report.issue import House
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.gauges import GaugeKind, stand_ins
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import inside, listed

HOUSE = ""
"""The client under which settings stand that are the shop's, not a phone's."""

ORIGINALS, KEPT, DROPPED = "originals", "", "dropped"
"""The setting that says whether the shop keeps photographs as the camera made them."""
HOUSE_SETTINGS = ("name", "address", "authorises")


class Shop:
    """Gauges in use and settings by phone, as the entries taken in so far say."""

    def __init__(self, shipped: Mapping[str, GaugeKind]) -> None:
        self._kinds = shipped
        self._shipped = {kind: default_gauge(g) for kind, g in shipped.items()}
        self._own: dict[str, Gauge] = {}
        self._means: dict[str, Means] = {}
        self._people: dict[str, Person] = {}
        self._settings: dict[str, dict[str, str]] = {}

    def take_in(self, entries: Iterable[Entry]) -> None:
        """Follow further entries of the shop; kinds and bodies it does not know are left alone."""
        for entry in entries:
            if entry.kind == "gauge":
                self._take_gauge(entry.body)
            elif entry.kind == "means":
                self._take_means(entry.body)
            elif entry.kind == "person":
                self._take_person(entry.body)
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

    def _take_means(self, body: Mapping[str, Any]) -> None:
        try:
            means = means_from(body)
        except (KeyError, TypeError, ValueError, ArithmeticError):
            return  # as a gauge
        self._means.pop(means.id, None)
        if not body.get("retired"):
            self._means[means.id] = means

    def _take_person(self, body: Mapping[str, Any]) -> None:
        try:
            person = person_from(body)
        except (KeyError, TypeError, ValueError):
            return  # as a gauge
        self._people.pop(person.id, None)
        if not body.get("retired"):
            self._people[person.id] = person

    def people(self) -> tuple[Person, ...]:
        """Everybody in the shop's list; without one nobody is asked who they are but for initials."""
        return tuple(self._people.values())

    def means(self) -> tuple[Means, ...]:
        """Every means in use."""
        return tuple(self._means.values())

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

    def name_of(self, gauge: Gauge) -> str:
        """What a gauge is called: the shop's name for it, or what its kind is called."""
        return gauge_name(gauge, self._kinds)

    def named(self, word: str) -> Gauge | None:
        """The gauge in use with this id, or this name, or the only one of this kind; None if there is none."""
        gauges = self.gauges()
        by_id = next((g for g in gauges if g.id == word), None)
        by_name = [g for g in gauges if self.name_of(g) == word]
        by_kind = self.gauges_of(id_of(word, {kind: g.title for kind, g in self._kinds.items()}))
        return by_id or next((found[0] for found in (by_name, by_kind) if len(found) == 1), None)

    def gauges_for(self, check: Check, tables: Tables) -> tuple[Gauge, ...]:
        """The gauges a check may be read with: those of its own kind first, then the shop's own that stand in.

        Args:
            check: the check.
            tables: the job's tables, for what may stand in.
        """
        kinds = stand_ins(check.gauge, tables.gauges)
        own_kind = self.gauges_of(check.gauge) or tuple(default_gauge(kind) for kind in kinds[:1])
        others = (g for kind in kinds[1:] for g in self.gauges_of(kind.kind))
        return (*own_kind, *(g for g in others if not is_default(g)))

    def gauge_proposed(
        self, survey: Survey, check: Check, value: Decimal | None, tables: Tables, system: str
    ) -> Choice:
        """The gauge a reading would be taken with if none is named, and the question where that is not sure.

        Args:
            survey: the state of the cylinder that is measured.
            check: the check.
            value: the reading, or None before it; then the nominal counts.
            tables: the job's tables.
            system: "metric" or "inch", the units of the question.
        """
        of_kind = [g for g in self.gauges_for(check, tables) if g.kind == check.gauge]
        return gauge_for(
            of_kind,
            value if value is not None else nominal_of(check, survey),
            # every reading is gone through for it, and with one gauge of a kind nothing hangs on it
            last=last_used(survey, of_kind) if len(of_kind) > 1 else "",
            measures=check.kind,
            kinds=self._kinds,
            system=system,
        )

    def gauge_taken(
        self, survey: Survey, check: Check, value: Decimal, named: Gauge | str, tables: Tables, system: str
    ) -> Choice:
        """The gauge a reading is taken with: the one named, else the one proposed.

        Args:
            survey: the state of the cylinder that is measured.
            check: the check.
            value: the reading.
            named: a gauge, or id or name of one in use; "" where none was named.
            tables: the job's tables.
            system: "metric" or "inch", the units of a question.
        Raises:
            Refusal: there is no gauge of that name, or it measures something else.
        """
        if not named:
            return self.gauge_proposed(survey, check, value, tables, system)
        gauge = named if isinstance(named, Gauge) else self.named(named)
        if gauge is None:
            allowed = listed([self.name_of(g) for g in self.gauges_for(check, tables)])
            raise Refusal(
                f"There is no gauge {named!r} in use; for {inside(check.title)} there are: {allowed}."
            )
        measures = tables.gauges[gauge.kind].measures if gauge.kind in tables.gauges else check.kind
        if measures != check.kind:
            raise Refusal(
                f"{self.name_of(gauge)} measures {measures}; {inside(check.title)} is a {check.kind}."
            )
        return Choice(gauge, outside_range(gauge, value, check.kind, self._kinds, system))

    def gauge_at_hand(self, survey: Survey, kind: str) -> Gauge | None:
        """The gauge a size of a defect is taken with: the one last used of its kind, or the first; None by eye."""
        of_kind = self.gauges_of(kind)
        last = last_used(survey, of_kind)
        taken = next((g for g in of_kind if g.id == last), next(iter(of_kind), None))
        return as_new(taken, survey) if taken else None

    def house(self) -> House:
        """Who the shop is, as its reports say it."""
        said = self.settings(HOUSE)
        return House(*(said.get(name, "") for name in HOUSE_SETTINGS))

    @property
    def keeps_originals(self) -> bool:
        """Whether a photograph is kept as the camera made it, beside the small one."""
        return self.settings(HOUSE).get(ORIGINALS) != DROPPED

    def settings(self, client: str) -> Mapping[str, str]:
        """Settings of one phone or browser by name."""
        return self._settings.get(client, {})


def as_new(gauge: Gauge, survey: Survey) -> Gauge:
    """The gauge under an id of its own: readings taken with an earlier shipped default keep that one's figures."""
    taken, number = gauge, 1
    while survey.gauges.get(taken.id, taken) != taken:
        number += 1
        taken = replace(gauge, id=f"{gauge.id}, {number}")
    return taken
