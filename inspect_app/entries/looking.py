"""Looking: what was found where, and that a surface was looked over to the end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.gauges import body_of
from inspect_app.entries.job import WHOLE_CHECK, Defect, DefectSize, Examined, Place, Survey
from inspect_app.entries.typed import (
    Known,
    Written,
    one_of,
    require_clock,
    require_station,
    station_of,
    with_unit,
)
from inspect_app.tables.cylinders import Check, Measure
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import capital

FELT = {"felt": "felt", "not-felt": "not felt"}
"""What a fingernail may say of a mark, ids with what each is called."""

# ---- typed


@dataclass(frozen=True, slots=True)
class Found:
    """A defect as somebody sees it: its kind, where, the zone, what a fingernail says, a note, its sizes by measure.

    Kind, zone and fingernail are ids or what those are called. The station is as typed, words stay words; a size is
    "" where it was not measured. `instead_of` is the defect this one corrects; a size typed as it was there keeps
    its gauge.
    """

    check: Check
    kind: str
    place: Place
    zone: str = ""
    felt: str = ""
    note: str = ""
    sizes: Mapping[str, str] = field(default_factory=dict)
    instead_of: Defect | None = None

    def written(self, known: Known) -> list[Written]:
        """The defect, after the gauges its sizes are taken with; refused is what the checklist has not, a size or
        a place that cannot be."""
        kinds = {d.id: d.title for d in known.cylinder.defects if d.id in self.check.look}
        kind = one_of(self.kind, kinds, "a defect of this check")
        zones = known.cylinder.zones_of(self.check)
        zone = one_of(self.zone, zones, "an area of this check") if self.zone.strip() else ""
        felt = one_of(self.felt, FELT, "what a fingernail says") if self.felt.strip() else ""
        where = station_of(self.place.station, known.system, {})
        require_station(where.at, {})
        if self.place.clock:
            require_clock(self.place.clock)
        typed = [m for m in known.cylinder.measures if self.sizes.get(m.id, "").strip()]
        kept = {m.id: stood for m in typed if (stood := self._stood(m))}
        measured = [m for m in typed if m.id not in kept]
        gauges = {m.id: g for m in measured if (g := known.at_hand(m.gauge))}
        sizes = {
            m.id: {**self._size(m, known.system), "gauge": gauges[m.id].id if m.id in gauges else ""}
            for m in measured
        } | {name: _size_body(size) for name, size in kept.items()}
        body = {
            "check": self.check.id,
            "defect": kind,
            "station": where.at,
            "station_typed": where.typed,
            "clock": self.place.clock,
            "zone": zone,
            "felt": felt,
            "measures": sizes,
            "note": self.note.strip(),
        }
        if self.instead_of:
            body["instead_of"] = self.instead_of.id
        new = {g.id: g for g in gauges.values() if g.id not in known.survey.gauges}
        return [*(("gauge", body_of(g)) for g in new.values()), ("defect", body)]

    def _stood(self, measure: Measure) -> DefectSize | None:
        """The size as it stood, where the one typed says the same."""
        stood = self.instead_of.sizes.get(measure.id) if self.instead_of else None
        return stood if stood and stood.typed == self.sizes[measure.id].strip() else None

    def _size(self, measure: Measure, system: str) -> dict[str, str]:
        text = self.sizes[measure.id].strip()
        quantity = quantities.read(text, kind=measure.kind, system=system)
        if quantity.value <= 0:
            raise Refusal(f"{capital(measure.title)} {text} is not a size; it must be greater than 0.")
        return {
            "typed": with_unit(text, quantity),
            "value": quantities.exact(quantity.value),
            "step": quantities.exact(quantity.step),
        }


def _size_body(size: DefectSize) -> dict[str, str]:
    return {"typed": size.typed, "value": str(size.value), "step": str(size.step), "gauge": size.gauge}


@dataclass(frozen=True, slots=True)
class LookedOver:
    """A surface was looked over to the end; a look for cracks says by whom, qualified how, and by which method."""

    check: Check
    who: str = ""
    qualified: str = ""
    method: str = ""

    def written(self, known: Known) -> list[Written]:
        """The look; refused of a check that is measured, and of a look for cracks by nobody."""
        if not self.check.look:
            raise Refusal(f"{self.check.title} is measured, not looked over.")
        if not self.check.qualified:
            return [("looked", {"check": self.check.id})]
        said = {"who": self.who.strip(), "qualified": self.qualified.strip(), "method": self.method.strip()}
        if not all(said.values()):
            raise Refusal(
                f"{self.check.title}: say who looked for cracks, qualified how, and by which method (for example "
                "magnetic particles); the report prints all three."
            )
        return [("looked", {"check": self.check.id, **said})]


# ---- folded


def defect(survey: Survey, entry: Entry, body: Body) -> Survey:
    """A defect joins those found; one that corrects another takes its place and its id, the photographs with it."""
    sizes = {
        name: DefectSize(
            Decimal(m["value"]), str(m["typed"]), Decimal(m.get("step", "0")), m.get("gauge", "")
        )
        for name, m in body["measures"].items()
    }
    first = str(body.get("instead_of") or entry.id)
    new = Defect(
        first,
        body["check"],
        body["defect"],
        Place(body["station"], body["clock"]),
        body["zone"],
        sizes,
        body.get("felt", ""),
        body["note"],
        entry.at,
        entry.by,
        str(body.get("station_typed", "")),
    )
    if any(d.id == first for d in survey.defects):
        return replace(survey, defects=tuple(new if d.id == first else d for d in survey.defects))
    return replace(survey, defects=(*survey.defects, new))


def looked(survey: Survey, entry: Entry, body: Body) -> Survey:
    """A look lifts that its check was left out."""
    skips = {k: s for k, s in survey.skips.items() if k != (body["check"], WHOLE_CHECK)}
    examined = survey.examined
    if body.get("who"):
        said = Examined(body["who"], body["qualified"], body["method"], entry.by, entry.at)
        examined = {**examined, body["check"]: said}
    return replace(survey, looked=survey.looked | {body["check"]}, skips=skips, examined=examined)
