"""A log of one job written in a few words, for tests: `Log(rod="50").read("rod-diameter", "25 12", "49.948")`.

A gauge is exact unless its expanded uncertainty is given, and no part expands, so that a case shows one rule
at a time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_app.job.assess import Assessment, PartResult, assess
from inspect_app.job.findings import CheckResult, Finding
from inspect_app.job.job import Job, fold
from inspect_app.job.places import places_of
from inspect_app.job.present import is_asked
from inspect_app.logbook.entries import Entry, refusal
from inspect_app.tables import Tables, load
from inspect_app.tables.cylinders import Check
from inspect_app.trade.decision import Verdict
from inspect_app.trade.temperature import Expansion

D = Decimal
SHIPPED = load()
STILL = replace(SHIPPED, expansion={name: Expansion(name, D(0), D(0)) for name in SHIPPED.expansion})
"""The shipped tables for parts that no warmth changes."""


class Log:
    """A log of one job, written entry by entry and folded when it is asked about."""

    def __init__(self, tables: Tables = STILL, **nameplate_mm: str) -> None:
        self.tables = tables
        self.entries: list[Entry] = []
        self._gauges: set[str] = set()
        self.write("job", name="J1", cylinder="double-acting", cylinder_hash="", limits_hash="")
        fields = {name: {"typed": mm, "value": mm} for name, mm in nameplate_mm.items()}
        self.write("nameplate", fields=fields)

    def write(self, kind: str, /, **body: object) -> str:
        n = len(self.entries) + 1
        at = f"2026-03-02T{8 + n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}.000Z"
        entry = Entry(f"{n:06}", "J", "D", at, "AB", kind, body)
        assert refusal(entry) is None
        self.entries.append(entry)
        return entry.id

    def gauge(self, expanded: str, share: str = "0", step: str = "0") -> str:
        name = f"±{expanded} {share} {step}"
        if name not in self._gauges:
            self._gauges.add(name)
            self.write(
                "gauge", gauge=name, kind="any", name=name, fixed=[["100000", expanded]], share=share,
                step=step, calibrated_until="",
            )  # fmt: skip
        return name

    def read(
        self, check: str, place: str, value: str, u2: str = "0", share: str = "0", step: str = "0"
    ) -> str:
        """One reading at "station clock" ("" for a check without either) with a gauge of ± `u2`."""
        station, _, clock = place.rpartition(" ")
        gauge = self.gauge(u2, share, step)
        body = {
            "check": check,
            "station": station,
            "clock": clock,
            "typed": value,
            "value": value,
            "step": "0",
        }
        return self.write("reading", **body, gauge=gauge)

    def read_all(self, check_id: str, value: str, u2: str = "0") -> None:
        check = self.tables.cylinders["double-acting"].check(check_id)
        assert check is not None
        for place in places_of(check, self.job()):
            self.read(check_id, " ".join(place), value, u2)

    def defect(
        self, check: str, kind: str, zone: str = "", note: str = "", felt: str = "", u2: str = "0",
        **measures_mm: str,
    ) -> str:  # fmt: skip
        """One defect, its sizes taken with a gauge of ± `u2`."""
        gauge = self.gauge(u2)
        measures = {name: {"typed": mm, "value": mm, "gauge": gauge} for name, mm in measures_mm.items()}
        body = {"check": check, "defect": kind, "station": "300", "clock": "6", "zone": zone, "note": note}
        return self.write("defect", **body, measures=measures, felt=felt)

    def answer(self, question: str, text: str) -> str:
        return self.write("answer", question=question, answer=text)

    def lay_out(self, check: str, stations: str, clocks: str = "") -> str:
        """Where a check is measured: stations and clocks with blanks between them."""
        return self.write(
            "places", check=check, stations=stations.split(), clocks=clocks.split() if clocks else [""]
        )

    def decide(self, part: str, disposition: str, **examined: str) -> str:
        return self.write("decision", part=part, disposition=disposition, reason="seen", **examined)

    def skip(self, check: str, place: str = " ", reason: str = "no gauge here") -> str:
        station, _, clock = place.rpartition(" ")
        return self.write("skip", check=check, station=station, clock=clock, reason=reason)

    def drawing(self, check: str, characteristic: str, lower: str = "", upper: str = "") -> str:
        body = {"check": check, "characteristic": characteristic, "lower": lower, "upper": upper}
        return self.write("limit", **body, source="drawing 4711")

    def undo(self, of: str) -> None:
        self.write("undo", of=of)

    def job(self) -> Job:
        return fold("J", self.entries)

    def assess(self) -> Assessment:
        return assess(self.job(), self.tables)

    def part(self, part_id: str) -> PartResult:
        return next(p for p in self.assess().parts if p.part.id == part_id)

    def check(self, check_id: str) -> CheckResult:
        return next(c for p in self.assess().parts for c in p.checks if c.check.id == check_id)

    def finding(self, check_id: str, name: str) -> Finding:
        return next(f for f in self.check(check_id).findings if name in (f.characteristic, f.title))

    def verdict(self, check_id: str, characteristic: str, level: str = "reuse") -> Verdict:
        judgement = self.finding(check_id, characteristic).judgement(level)
        assert judgement is not None
        return judgement.verdict


SOUND = {
    # a sound 100/63 x 1200 cylinder, 50 mm pins: every reading well inside every limit
    "rod-diameter": "62.955", "rod-runout": "0.10", "rod-chrome": "30", "rod-roughness": "0.2",
    "rod-hardness": "55", "bore-diameter": "100.030", "bore-roughness": "0.2", "barrel-wall": "10.2",
    "piston-diameter": "99.40", "piston-bore": "50.02", "gland-bore": "63.55", "groove-depth": "5.2",
    "groove-radius": "0.3", "groove-roughness": "0.8", "rod-eye-bore": "50.05", "rod-eye-pin": "49.95",
    "cap-eye-bore": "50.05", "cap-eye-pin": "49.95",
}  # fmt: skip
NOMINAL = "75"


def sound(tables: Tables = STILL, without: Mapping[str, str] | None = None) -> Log:
    """A log in which everything was measured and looked at, and everything is well.

    Args:
        tables: the tables.
        without: question to answer where it is another than the first.
    """
    cylinder = tables.cylinders["double-acting"]
    log = Log(tables, bore="100", rod="63", stroke="1200", pin="50", support_span="1300")
    for question in cylinder.questions:
        log.answer(question.id, (without or {}).get(question.id, question.answers[0]))
    for check in cylinder.checks:
        if is_asked(check, log.job()):
            do_well(log, check)
    return log


def do_well(log: Log, check: Check) -> None:
    """Measure or look at all of one check, and find it well."""
    if check.nominal == "ask":
        log.write("nominal", check=check.id, typed=NOMINAL, value=NOMINAL)
    if check.gauge:
        log.read_all(check.id, SOUND.get(check.id, "75.03"))
    elif check.look:
        log.write("looked", check=check.id)
