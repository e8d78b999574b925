"""Cylinder checklists as data: parts, checks, where to measure and with what, defects to look for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from inspect_app.tables.blocks import Named, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.gauges import GaugeKind
from inspect_app.tables.limits import Answers


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the cylinder; `body` parts decide over the whole: replacing one replaces the cylinder.

    One that is `optional` may be missing: said to be not fitted, it is nothing to judge.
    `material` is a key of standards/expansion.csv; `material_from` names the question whose answer is one,
    written with blanks ("ductile iron").
    """

    id: str
    title: str
    figure: str
    body: bool = False
    optional: bool = False
    material: str = "steel"
    material_from: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """What is present on this cylinder, asked before the checks that hang on it, with its allowed answers."""

    id: str
    part: str
    title: str
    ask: str
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove by its place: the part it is `cut_in`, the kind of `housing` it may be, and what it `sealed`
    against: "rod" or "bore" off the nameplate, or the check that measures it."""

    id: str
    cut_in: str
    housing: str
    sealed: str


@dataclass(frozen=True, slots=True)
class Stations:
    """Where along the part: `names`, ids with what each is called, or spread over the nameplate length `over`.

    Spread: at least `least` stations, one every `every_mm` or closer, the first and last `inset_mm`
    from the ends. While the length is unknown the stations are numbered.
    """

    names: Named = field(default_factory=dict)
    over: str = ""
    least: int = 3
    every_mm: Decimal = Decimal(500)
    inset_mm: Decimal = Decimal(25)


@dataclass(frozen=True, slots=True)
class Check:
    """One check: what is measured where, with which gauge, and what is made of the readings.

    `nominal` is a nameplate field, "ask" (asked for at the check) or "" (none). `between` names two
    other checks, hole first, whose difference is a clearance. `look` lists the defects to look for,
    `zones` where on the part they may sit (empty is any of the cylinder's zones).
    A check that is `optional` may be skipped with a reason without leaving the part undecided.
    `when` says on which answers the check is there at all. `needs_u` is the greatest expanded
    uncertainty that can still decide it, in the unit of `kind`. `triage` is its turn in the short first
    look (0: not in it), `triage_places` how many of its places that takes (0: all), spread over the
    stations, and `minutes` how long that takes. `groove` names the groove whose diameter or width it is,
    `surface` the surface of the part's figure that is measured where it is not the running one.
    `of_kind` names another check, or a kind, whose limits and cures are its own too. A look that is `qualified` counts
    only with who looked, how qualified, and by which method.
    """

    id: str
    part: str
    title: str
    why: str
    how: str
    gauge: str = ""
    kind: str = "length"
    nominal: str = ""
    stations: Stations = Stations()
    clocks: tuple[str, ...] = ()
    characteristics: tuple[str, ...] = ()
    between: tuple[str, str] | None = None
    look: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    optional: bool = False
    when: Answers = field(default_factory=dict)
    needs_u: Decimal | None = None
    triage: int = 0
    triage_places: int = 0
    minutes: int = 0
    groove: str = ""
    of_kind: str = ""
    surface: str = ""
    qualified: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """What may be measured on a defect, and with which kind of gauge unless another is named; what is
    counted by eye has none."""

    id: str
    title: str
    gauge: str = ""
    kind: str = "deviation"


@dataclass(frozen=True, slots=True)
class DefectKind:
    """A kind of defect by the trade's name, and which measures are asked for.

    A `mark` is felt for with a fingernail: not felt, felt, or measured with a gauge.
    """

    id: str
    title: str
    plain: str
    measures: tuple[str, ...]
    mark: bool = False


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One kind of cylinder and everything to be checked on it; `content_hash` names exactly this text.

    `zones`, `stations` and `reasons` say what the ids of areas, named stations and reasons for skipping are called.
    """

    id: str
    title: str
    parts: tuple[Part, ...]
    checks: tuple[Check, ...]
    defects: tuple[DefectKind, ...]
    zones: Named
    stations: Named = field(default_factory=dict)
    reasons: Named = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    measures: tuple[Measure, ...] = ()
    grooves: tuple[Groove, ...] = ()
    content_hash: str = ""

    def check(self, check_id: str) -> Check | None:
        """The check with this id, or None."""
        return next((c for c in self.checks if c.id == check_id), None)

    def checks_of(self, part_id: str) -> tuple[Check, ...]:
        """The checks on one part, in the file's order."""
        return tuple(c for c in self.checks if c.part == part_id)

    def zones_of(self, check: Check) -> Named:
        """The zones a defect of this check may sit in, with what each is called."""
        return {zone: self.zones[zone] for zone in check.zones or self.zones}

    def shown_on(self, check: Check) -> tuple[str, str]:
        """The figure a check is shown on, and which surface of it; a groove on the part it is cut in."""
        groove = self.groove(check.groove) if check.groove else None
        part_id = groove.cut_in if groove else check.part
        figure = next((p.figure for p in self.parts if p.id == part_id), "")
        return figure, groove.id if groove else check.surface

    def question(self, question_id: str) -> Question | None:
        """The question with this id, or None."""
        return next((q for q in self.questions if q.id == question_id), None)

    def measure(self, measure_id: str) -> Measure | None:
        """The measure of defects with this id, or None."""
        return next((m for m in self.measures if m.id == measure_id), None)

    def groove(self, groove_id: str) -> Groove | None:
        """The groove with this id, or None."""
        return next((g for g in self.grooves if g.id == groove_id), None)

    def defect(self, defect_id: str) -> DefectKind | None:
        """The kind of defect with this id, or None."""
        return next((d for d in self.defects if d.id == defect_id), None)


def material_key(answer: str) -> str:
    """The key of standards/expansion.csv that an answer about a material means.

    Args:
        answer: as the checklist has it.

    >>> material_key("ductile iron")
    'ductile_iron'
    """
    return answer.replace(" ", "_")


SHAPES: Mapping[str, type] = {
    "part": Part,
    "question": Question,
    "check": Check,
    "measure": Measure,
    "groove": Groove,
    "defect": DefectKind,
}


CALLED = ("zones", "stations", "reasons")
"""The tables that say what ids are called."""


def load_cylinder(
    reader: Reader,
    file: str,
    content_hash: str,
    gauges: Mapping[str, GaugeKind],
) -> Cylinder:
    """One cylinder file, every check one that can be carried out.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        file: relative path, e.g. ``cylinders/double_acting.toml``.
        content_hash: SHA-256 of the file's bytes.
        gauges: the kinds of gauge a check may name.
    """
    content = reader.toml(file)
    reader.known_keys(file, content, "id", "title", *CALLED, *SHAPES)
    for key in ("id", "title"):
        if not isinstance(content.get(key), str):
            reader.fault(file, key, "is missing or not text; write it as text.")
    zones, stations, reasons = (_called(reader, file, content, key) for key in CALLED)
    groups: dict[str, tuple[Any, ...]] = {}
    for key, shape in SHAPES.items():
        named = ((f"{key} {b.get('id', n)}", b) for n, b in enumerate(reader.blocks(file, content, key), 1))
        groups[key] = tuple(x for where, b in named if (x := block_from(reader, file, where, b, shape)))
    cylinder = Cylinder(
        id=str(content.get("id", "")),
        title=str(content.get("title", "")),
        parts=groups["part"],
        checks=tuple(_with_names(reader, file, check, zones, stations) for check in groups["check"]),
        defects=groups["defect"],
        zones=zones,
        stations=stations,
        reasons=reasons,
        questions=groups["question"],
        measures=groups["measure"],
        grooves=groups["groove"],
        content_hash=content_hash,
    )
    for check in cylinder.checks:
        _check_taking(reader, file, check, gauges)
    for measure in cylinder.measures:
        if measure.gauge and measure.gauge not in gauges:
            reader.fault(file, f"measure {measure.id}.gauge", allowed_words(measure.gauge, gauges))
    return cylinder


def _called(reader: Reader, file: str, content: Mapping[str, Any], key: str) -> Named:
    """What the ids of one kind are called; none, and a fault, where they are no table of texts."""
    found = content.get(key, {})
    if isinstance(found, dict) and all(isinstance(words, str) for words in found.values()):
        return found
    reader.fault(
        file, key, f'found {found!r}; write a table headed [{key}], with lines like gland-end = "gland end".'
    )
    return {}


def _with_names(reader: Reader, file: str, check: Check, zones: Named, stations: Named) -> Check:
    """The check with what its named stations are called; a fault for a station or zone that is called nothing."""
    for key, used, known in (
        ("stations.names", check.stations.names, stations),
        ("zones", check.zones, zones),
    ):
        for unknown in (name for name in used if name not in known):
            reader.fault(file, f"check {check.id}.{key}", allowed_words(unknown, known))
    named = {name: stations.get(name, name) for name in check.stations.names}
    zones_known = tuple(zone for zone in check.zones if zone in zones)
    return replace(check, stations=replace(check.stations, names=named), zones=zones_known)


def _check_taking(reader: Reader, file: str, check: Check, gauges: Mapping[str, GaugeKind]) -> None:
    """Note a fault for a check that cannot be carried out as it is written."""
    where = f"check {check.id}"
    ways = (bool(check.look), check.between is not None, bool(check.gauge))
    if sum(ways) != 1:
        reader.fault(file, where, "needs one of gauge, between and look: read, computed or looked at.")
    elif check.look and check.characteristics:
        reader.fault(file, f"{where}.characteristics", "a look has defects, not characteristics; remove it.")
    elif not (check.look or check.characteristics):
        reader.fault(file, f"{where}.characteristics", "is missing; add what is made of the readings.")
    elif check.gauge and check.gauge not in gauges:
        reader.fault(file, f"{where}.gauge", allowed_words(check.gauge, gauges))
    elif check.gauge and gauges[check.gauge].measures != check.kind:
        measures = gauges[check.gauge].measures
        reader.fault(file, f"{where}.kind", f"found {check.kind!r}; a {check.gauge} measures {measures}.")
    elif (check.between is not None) != ("clearance" in check.characteristics):
        reader.fault(file, where, 'clearance and between belong together: between = ["hole", "shaft"].')
    elif check.between is not None and len(check.between) != 2:
        reader.fault(file, f"{where}.between", f"found {list(check.between)}; name two checks, hole first.")
