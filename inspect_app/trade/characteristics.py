"""What can be made of a check's readings, by the trade's name; knows neither limits nor gauges.

A characteristic of scope "place" is the reading itself, judged place by place; of scope "section" it
belongs to one station; of scope "part" it needs the whole grid.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade import bore, roundness, straightness

Sections = Mapping[str, Mapping[str, Decimal]]
"""Readings by station (in order along the part, mm as text or a word) and clock (hours as text)."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A characteristic's value, the station it belongs to ("" for the whole part), and how many times the
    standard uncertainty of one reading it carries."""

    value: Decimal
    station: str
    u_factor: float


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A characteristic: its name in a sentence, its scope, how it is computed (None for scope place), and
    its kind of quantity where that is another than the readings'."""

    title: str
    scope: str
    compute: Callable[[Sections], list[Measured]] | None = None
    kind: str = ""

    def kind_from(self, readings: str) -> str:
        """The kind of quantity this is, of readings of a kind: what is made of lengths is a small length."""
        made_of_lengths = self.scope != "place" and readings == "length"
        return self.kind or ("deviation" if made_of_lengths else readings)


ROOT_2 = 2**0.5
BEND_STEP_MM = Decimal("0.001")
"""A bend per metre is a quotient; it is kept to the dial's own step."""


def _means(sections: Sections) -> list[tuple[str, Decimal]]:
    return [(s, bore.section_mean_mm(list(at.values()))) for s, at in sections.items() if at]


def _ovality(sections: Sections) -> list[Measured]:
    return [
        Measured(roundness.ovality_mm(list(at.values())), station, ROOT_2)
        for station, at in sections.items()
        if len(at) >= 2
    ]


def _taper(sections: Sections) -> list[Measured]:
    means = _means(sections)
    if len(means) < 2:
        return []
    return [Measured(bore.taper_mm([mean for _, mean in means]), "", ROOT_2)]


def _wear(sections: Sections) -> list[Measured]:
    """Of a part read where it ran and where it did not: greatest less least station, which the worn one is."""
    means = [mean for _, mean in _means(sections)]
    return [Measured(max(means) - min(means), "", ROOT_2)] if len(means) >= 2 else []


def _ordered(sections: Sections) -> list[tuple[Decimal, Decimal]]:
    """Section means by rank along the part: these characteristics need the order, not the distances."""
    return [(Decimal(rank), mean) for rank, (_, mean) in enumerate(_means(sections))]


def _ballooning(sections: Sections) -> list[Measured]:
    ordered = _ordered(sections)
    return [Measured(bore.ballooning_mm(ordered), "", ROOT_2)] if len(ordered) >= 3 else []


def _bell_mouth(sections: Sections) -> list[Measured]:
    ordered = _ordered(sections)
    return [Measured(bore.bell_mouth_mm(ordered), "", ROOT_2)] if len(ordered) >= 3 else []


def _worst_tir(sections: Sections) -> tuple[str, Decimal] | None:
    readings = [(station, value) for station, at in sections.items() for value in at.values()]
    return max(readings, key=lambda r: r[1], default=None)


def _bow(sections: Sections) -> list[Measured]:
    worst = _worst_tir(sections)
    return [Measured(straightness.bow_from_tir_mm(worst[1]), worst[0], 0.5)] if worst else []


def _bend(sections: Sections) -> list[Measured]:
    """Only where the stations are known in mm: a bend per metre needs the distances."""
    try:
        read = [(Decimal(station), value) for station, at in sections.items() for value in at.values()]
    except ArithmeticError:
        return []
    if len(read) < 3 or len({station for station, _ in read}) < len(read):
        return []
    return [Measured(straightness.worst_bend_per_metre(read).quantize(BEND_STEP_MM), "", ROOT_2)]


def _mean(sections: Sections) -> list[Measured]:
    values = [value for at in sections.values() for value in at.values()]
    return [Measured(bore.section_mean_mm(values), "", 1.0)] if values else []


CHARACTERISTICS: Mapping[str, Characteristic] = {
    "size": Characteristic("size", "place"),
    "least": Characteristic("least thickness", "place"),
    "gap": Characteristic("gap or play", "place"),
    "tir": Characteristic("runout (TIR)", "place"),
    "roughness": Characteristic("roughness Ra", "place"),
    "hardness": Characteristic("hardness", "place"),
    "ovality": Characteristic("ovality", "section", _ovality),
    "taper": Characteristic("taper", "part", _taper),
    "wear": Characteristic("wear against the unworn end", "part", _wear),
    "ballooning": Characteristic("ballooning", "part", _ballooning),
    "bell_mouth": Characteristic("bell-mouth", "part", _bell_mouth),
    "bow": Characteristic("bow (half the TIR)", "part", _bow),
    "worst_per_metre": Characteristic("worst local bend (TIR)", "part", _bend, "slope"),
    "mean": Characteristic("mean", "part", _mean),
    "clearance": Characteristic("clearance on diameter", "part"),
}
"""Every characteristic a checklist may name. A clearance lies between two checks and is computed there."""
