"""A log of one job written in a few words, for tests: `Log(rod="50").read("rod-diameter", "25 12", "49.948")`.

A gauge is exact unless its expanded uncertainty is given, and no part expands, so that a case shows one rule
at a time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold, write_up
from inspect_app.entries.job import Job, Survey
from inspect_app.entries.kinds import refusal
from inspect_app.job.assess import Assessment, PartResult, assess
from inspect_app.job.findings import CheckResult, Finding
from inspect_app.job.places import places_of
from inspect_app.job.present import is_asked
from inspect_app.tables import Tables, load
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.temperature import Expansion

D = Decimal
SHIPPED = load()
STILL = replace(SHIPPED, expansion={name: Expansion(name, D(0), D(0)) for name in SHIPPED.expansion})
"""The shipped tables for parts that no warmth changes."""


class Log:
    """A log of one job, written entry by entry and folded when it is asked about.

    What is there is answered: with the first answer of each question, so a metric cylinder with an induction
    hardened rod, eyes with bushes and wear rings, or with what `answers` says, question by question.
    """

    def __init__(
        self,
        tables: Tables = STILL,
        answers: Mapping[str, str] | None = None,
        units: str = "metric",
        **nameplate_mm: str,
    ) -> None:
        self.tables = tables
        self.entries: list[Entry] = []
        self._gauges: set[str] = set()
        self._told: tuple[int, Entry | None, Job] = 0, None, Job("J")
        opened = {"cylinder": "double-acting", "cylinder_hash": "", "limits_hash": "", "units": units}
        self.write("job", name="J1", **opened)
        fields = {name: {"typed": mm, "value": mm} for name, mm in nameplate_mm.items()}
        self.write("nameplate", fields=fields)
        for question in tables.cylinders["double-acting"].questions:
            self.answer(question.id, (answers or {}).get(question.id, next(iter(question.answers))))

    def write(self, kind: str, /, **body: object) -> str:
        n = len(self.entries) + 1
        at = f"2026-03-02T{8 + n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}.000Z"
        entry = Entry(f"{n:06}", "J", "D", at, "AB", kind, body)
        assert refusal(entry) is None
        self.entries.append(entry)
        return entry.id

    def gauge(
        self, expanded: str, share: str = "0", step: str = "0", scatter: str = "", kind: str = "any"
    ) -> str:
        """A gauge of ± `expanded`: what all its readings share if a `scatter` is said, else each reading's own."""
        name = f"±{expanded} {share} {step} {scatter}" + (f" {kind}" if kind != "any" else "")
        if name not in self._gauges:
            self._gauges.add(name)
            apart = {"repeatability": scatter} if scatter else {}
            self.write(
                "gauge", gauge=name, kind=kind, name=name, fixed=[["100000", expanded]], share=share,
                step=step, calibrated_until="", **apart,
            )  # fmt: skip
        return name

    def read(
        self, check: str, place: str, value: str, u2: str = "0", share: str = "0", step: str = "0",
        scatter: str = "",
    ) -> str:  # fmt: skip
        """One reading at "station clock" ("" for a check without either) with a gauge of ± `u2`."""
        station, _, clock = place.rpartition(" ")
        gauge = self.gauge(u2, share, step, scatter)
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
        for place in places_of(check, self.survey()):
            self.read(check_id, " ".join(place), value, u2)

    def defect(
        self, check: str, kind: str, zone: str = "", note: str = "", felt: str = "", u2: str = "0",
        scatter: str = "", **measures_mm: str,
    ) -> str:  # fmt: skip
        """One defect, its sizes taken with a gauge of ± `u2`."""
        gauge = self.gauge(u2, scatter=scatter)
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
        """The job told so far, going on from where it was asked for last: most tests ask after every few entries."""
        told, last, job = self._told
        new = self.entries[told:]
        if told and self.entries[told - 1 : told] == [last] and all(e.kind != "undo" for e in new):
            for entry in new:
                job = write_up(job, entry)
        else:
            job = fold("J", self.entries)
        self._told = len(self.entries), self.entries[-1], job
        return job

    def survey(self) -> Survey:
        """The cylinder as found."""
        return self.job().as_found

    def assess(self) -> Assessment:
        return assess(self.survey(), self.tables)

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
    "rod-kink": "0.02", "rod-runout": "0.10", "rod-end-runout": "0.03", "rod-diameter": "62.955",
    "rod-spigot-diameter": "49.980", "rod-chrome": "30", "rod-roughness": "0.2", "rod-hardness": "55",
    "bore-diameter": "100.030", "bore-beside": "100.030", "barrel-mouth-bore": "110.020",
    "barrel-wall": "10.2", "bore-roughness": "0.2", "barrel-outside-diameter": "120.00",
    "piston-old-ring": "2.45", "piston-diameter": "99.40", "piston-bore": "50.020", "piston-new-ring": "2.50",
    "gland-old-ring": "2.45", "gland-bore": "63.55", "gland-spigot-diameter": "109.960",
    "gland-new-ring": "2.50",
    **{f"{end}-cushion-spear": "39.95" for end in ("rod-side", "cap-side")},
    **{f"{end}-cushion-seat": "40.05" for end in ("rod-side", "cap-side")},
    **{f"{end}-cushion-needle": "7.98" for end in ("rod-side", "cap-side")},
    # standard housings: ISO 5597 rod 63 x 78 x 12.5, ISO 7425-2 63 x 78.1 x 6.3, ISO 6195 A 63 x 73 x 6.3,
    # ISO 10766 63 x 68 x 9.7 and 100 x 95 x 9.7, ISO 7425-1 100 x 84.5 x 6.3, O-rings of 3.53 mm
    "rod-seal-groove-diameter": "78.02", "rod-seal-groove-width": "12.60",
    "buffer-groove-diameter": "78.13", "buffer-groove-width": "6.38",
    "wiper-groove-diameter": "73.08", "wiper-groove-width": "6.38",
    "gland-wear-ring-groove-diameter": "68.02", "gland-wear-ring-groove-width": "9.78",
    "piston-wear-ring-groove-diameter": "94.98", "piston-wear-ring-groove-width": "9.78",
    "piston-seal-groove-diameter": "84.46", "piston-seal-groove-width": "6.38",
    "static-groove-diameter": "104.26", "static-groove-width": "4.95",
    "piston-static-groove-diameter": "55.74", "piston-static-groove-width": "4.95",
    "rod-eye-bore": "50.05", "rod-eye-pin": "49.95", "trunnion-diameter": "59.95", "rod-spherical-play": "0.05",
    "cap-eye-bore": "50.05", "cap-eye-pin": "49.95", "cap-spherical-play": "0.05",
}  # fmt: skip
NOMINAL = {
    "rod-spigot-diameter": "50", "piston-bore": "50", "piston-seat-clearance": "50", "piston-new-ring": "2.5",
    "barrel-mouth-bore": "110", "gland-static-clearance": "110",
    "gland-spigot-diameter": "110", "gland-new-ring": "2.5",
    "rod-seal-groove-diameter": "78", "rod-seal-groove-width": "12.5",
    "buffer-groove-diameter": "78.1", "buffer-groove-width": "6.3",
    "wiper-groove-diameter": "73", "wiper-groove-width": "6.3",
    "gland-wear-ring-groove-diameter": "68", "gland-wear-ring-groove-width": "9.7",
    "piston-wear-ring-groove-diameter": "95", "piston-wear-ring-groove-width": "9.7",
    "piston-seal-groove-diameter": "84.5", "piston-seal-groove-width": "6.3",
    "static-groove-diameter": "104.26", "static-groove-width": "4.95",
    "piston-static-groove-diameter": "55.74", "piston-static-groove-width": "4.95",
}  # fmt: skip
"""Sizes a check asks for, off the drawing."""


def sound(tables: Tables = STILL, answers: Mapping[str, str] | None = None) -> Log:
    """A log in which everything was measured and looked at, and everything is well.

    Args:
        tables: the tables.
        answers: question to answer where it is another than the first.
    """
    log = Log(tables)
    key = (id(tables), tuple(sorted((answers or {}).items())))
    if key not in _WRITTEN:
        _WRITTEN[key] = _write_sound(tables, answers or {})
    written = _WRITTEN[key]
    log.entries, log._gauges, log._told = list(written.entries), set(written._gauges), written._told
    return log


_WRITTEN: dict[tuple[int, tuple[tuple[str, str], ...]], Log] = {}
"""Sound logs written once: a test takes a copy and goes on from there."""


def _write_sound(tables: Tables, answers: Mapping[str, str]) -> Log:
    cylinder = tables.cylinders["double-acting"]
    log = Log(tables, answers, bore="100", rod="63", stroke="1200", pin="50", support_span="1300")
    answered = log.survey()
    for check in cylinder.checks:
        if is_asked(check, answered):
            do_well(log, check)
    return log


def do_well(log: Log, check: Check) -> None:
    """Measure or look at all of one check, and find it well."""
    if check.nominal == "ask":
        log.write("nominal", check=check.id, typed=NOMINAL[check.id], value=NOMINAL[check.id])
    if check.gauge:
        log.read_all(check.id, SOUND[check.id])
    elif check.look:
        log.write("looked", check=check.id)
