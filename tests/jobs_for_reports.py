"""Jobs told as log entries, for the tests of the report and its benchmark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.entries.kinds import refusal
from inspect_app.tables import Tables

PRESENT = {
    "sizes": "metric", "rod-hardened": "not-hardened", "piston-fixing": "one-piece",
    "piston-guide": "wear-rings", "piston-material": "steel", "gland-held": "thread", "gland-guide": "wear-rings",
    "gland-material": "ductile_iron", "buffer-seal": "no", "cushions": "none",
}  # fmt: skip
"""What is there on the worn cylinder; its pins stayed with the machine, and nobody said what they were."""

STATIONS = ("25", "313", "600", "888", "1175")
CLOCKS = ("12", "1.5", "3", "4.5")
THREE = ("12", "2", "4")


@dataclass(frozen=True)
class Head:
    """How far a log reaches, as the store says it."""

    entries: int
    hash: str


HEAD = Head(143, "3fa91c2077be04d21f5566ab90cd77123e8845af6b21904c7d3355eeaa118802")


@dataclass
class Log:
    """Entries of one job, a minute apart."""

    tables: Tables
    name: str = "4711 boom, left"
    entries: list[Entry] = field(default_factory=list)

    def __post_init__(self) -> None:
        cylinder = self.tables.cylinders["double-acting"]
        self.add(
            "job",
            name=self.name,
            cylinder=cylinder.id,
            cylinder_hash=cylinder.content_hash,
            limits_hash=self.tables.limits_hash,
        )

    def add(self, kind: str, /, by: str = "AB", **body: Any) -> str:
        """Append one entry and give its id."""
        n = len(self.entries)
        entry = Entry(
            f"01f0-{n:04d}", "01f0-job", "phone-1", f"2026-03-02T{8 + n // 60:02d}:{n % 60:02d}:00.000Z",
            by, kind, body,
        )  # fmt: skip
        assert refusal(entry) is None
        self.entries.append(entry)
        return entry.id

    def nameplate(self, **typed: tuple[str, str]) -> None:
        """Fields as typed and as understood."""
        self.add("nameplate", fields={n: {"typed": t, "value": v} for n, (t, v) in typed.items()})

    def answer(self, answers: Mapping[str, str]) -> None:
        """What is there on this cylinder, by question."""
        for question, answer in answers.items():
            self.add("answer", question=question, answer=answer)

    def gauge(
        self, kind: str, name: str = "", fixed: str = "0.005", until: str = "", step: str = "0.001"
    ) -> str:
        """A gauge taken into use; without a name the shipped default of its kind."""
        known = self.tables.gauges[kind]
        rows = [["100000", fixed]] if name else [[str(a), str(b)] for a, b in known.errors]
        gauge = name or f"default {kind}"
        self.add(
            "gauge", gauge=gauge, kind=kind, name=name or kind, fixed=rows, share=str(known.share) if not name else "0",
            step=step, calibrated_until=until,
        )  # fmt: skip
        return gauge

    def read(
        self,
        check: str,
        gauge: str,
        at: Mapping[tuple[str, str], str],
        typed: Mapping[str, str] | None = None,
        unit: str = "mm",
    ) -> None:
        """Readings by place, exact values in the canonical unit; `typed` where it reads differently."""
        self.add(
            "places", check=check, stations=list(dict.fromkeys(s for s, _ in at)),
            clocks=list(dict.fromkeys(c for _, c in at)),
        )  # fmt: skip
        for (station, clock), value in at.items():
            if value:
                self.add(
                    "reading", check=check, station=station, clock=clock, value=value, step="0.001", gauge=gauge,
                    typed=(typed or {}).get(value, f"{value} {unit}"),
                )  # fmt: skip

    def job(self) -> Job:
        """What the entries tell."""
        return fold("01f0-job", self.entries)


def grid(stations: Iterable[str], clocks: Iterable[str], values: str) -> dict[tuple[str, str], str]:
    """Places, station by station, with their values; - leaves a place unmeasured."""
    places = [(s, c) for s in stations for c in clocks]
    given = values.split()
    return {p: "" if v == "-" else v for p, v in zip(places, given, strict=True)}


def worn_cylinder(tables: Tables, photo: str = "ab" * 32) -> Job:
    """A 100/56 x 1200 cylinder: rod bent and scored, bore a little wide, grooves and pins not measured."""
    log = Log(tables)
    log.answer(PRESENT)
    log.nameplate(
        customer=("Quarry & Sons Ltd", ""), machine=("Excavator 22, boom left", ""), serial=("C-88/12", ""),
        bore=("100 mm", "100"), rod=("56 mm", "56"), stroke=("1200 mm", "1200"), support_span=("1150 mm", "1150"),
        rated_pressure=("250 bar", "25"), complaint=("leaks at the rod, drifts under load", ""),
    )  # fmt: skip
    micrometer = log.gauge("outside-micrometer", "Micrometer 50-75, no. 14", "0.004", "2026-09-30")
    rod = ("25", "408", "792", "1175")
    log.read("rod-diameter", micrometer,
             grid(rod, THREE, "55.962 55.958 55.960 55.949 55.952 55.950 55.951 55.946 55.948 55.961 55.962 55.962"),
             {"55.949": "55,949", "55.951": "2.2028 in"})  # fmt: skip
    log.add("reading", check="rod-diameter", station="25", clock="2", typed="55.96", value="55.96", step="0.01",
            gauge=micrometer, by="CD")  # fmt: skip
    dial = log.gauge("dial-indicator", step="0.01")
    log.read("rod-runout", dial, grid(rod, ("",), "0.06 0.52 0.79 0.11"), {"0.79": "31 thou"})
    chrome = log.gauge("coating-gauge", "Coating gauge 3", "2", "2025-12-31", "0.5")
    log.read("rod-chrome", chrome, grid(rod, ("12", "6"), "24 22 17 19 21 - - 25"), unit="µm")
    log.add("skip", check="rod-chrome", station="792", clock="6", reason="dent there, probe would not sit")
    log.add("skip", check="rod-roughness", station="", clock="", reason="tester out for repair")
    score = log.add(
        "defect", check="rod-surface", defect="score-along", station="640", clock="3", zone="seal-travel",
        measures={"depth": {"typed": "0.08 mm", "value": "0.08"}, "length": {"typed": "140 mm", "value": "140"}},
        note="Nail catches over its whole length.",
    )  # fmt: skip
    log.add("defect", check="rod-surface", defect="rust", station="1190", clock="9", zone="outside-seal-travel",
            measures={}, note="")  # fmt: skip
    log.add("looked", check="rod-surface")
    for of, caption in (
        (score, "Score, rule beside it"),
        (score, "The same, nail in it"),
        ("01f0-job", "As received"),
    ):
        log.add("photo", sha256=photo, original_sha256="cd" * 32, width=1600, height=1200,
                taken_at="2026-03-02T09:10:00", of=of, caption=caption)  # fmt: skip
    bore = log.gauge("bore-gauge")
    log.read("bore-diameter", bore, grid(STATIONS, CLOCKS,
             "100.031 100.034 100.040 100.035 100.044 100.049 100.060 100.051 100.052 100.058 100.085 100.060 "
             "100.043 100.047 100.055 100.046 100.030 100.033 100.036 100.031"))  # fmt: skip
    log.add("looked", check="bore-surface")
    log.read("piston-diameter", micrometer, grid(("gland-side-land", "cap-side-land"), THREE,
             "99.60 99.61 99.60 99.59 99.60 99.60"))  # fmt: skip
    log.read(
        "gland-bore", bore, grid(("outer-land", "inner-land"), THREE, "56.45 56.47 56.46 56.44 56.46 56.45")
    )
    log.add(
        "limit",
        check="piston-diameter",
        characteristic="size",
        lower="99.5",
        upper="99.7",
        source="drawing 4711-3 rev B",
    )
    log.add(
        "decision",
        part="rod",
        disposition="replace",
        reason="bent and scored; a new rod is cheaper than two operations",
    )
    log.add("caution", caution="injection")
    return log.job()
