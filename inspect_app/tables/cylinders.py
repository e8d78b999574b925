"""Cylinder checklists as data: parts, checks, where to measure and with what, defects to look for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from inspect_app.tables.alike import CALLED, Block, Writing, laid_out, written
from inspect_app.tables.blocks import Named, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.gauges import GaugeKind
from inspect_app.tables.limits import Answers
from inspect_app.tables.nameplate import NameplateField

Files = Mapping[tuple[str, str], str]
"""The file each block stands in, by its kind and id."""


AREAS = ("bore", "rod", "annulus", "stages", "stages both ways")
"""What the oil presses on: bore out and annulus in; the rod alone, and the load brings it back; the annulus both ways;
the outsides of stages; the bores stages run in, and their annuli back."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the cylinder; `body` parts decide over the whole: replacing one replaces the cylinder.

    One that is `optional` may be missing: said to be not fitted, it is nothing to judge. `when` says on which
    answers it is there at all, `repeats` which part it is one of several of, `called` which of them.
    `material` is a key of standards/expansion.csv; `material_from` names the question whose answers are such keys.
    """

    id: str
    title: str
    figure: str
    body: bool = False
    optional: bool = False
    material: str = "steel"
    material_from: str = ""
    when: Answers = field(default_factory=dict)
    repeats: str = ""
    called: str = ""

    @property
    def at(self) -> str:
        """Which of several it is, a stage or a side, such as "stage-2"; for a part that `repeats` another."""
        return self.id.removesuffix(f"-{self.repeats}")


@dataclass(frozen=True, slots=True)
class Question:
    """What is present on this cylinder, asked before the checks that hang on it; `answers` are ids with their words."""

    id: str
    part: str
    title: str
    ask: str
    answers: Named


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove by its place: the part it is `cut_in`, the kind of `housing` it may be, and what it `sealed`
    against: a length off the nameplate, or the check that measures it. `repeats` is the groove it is one of several of.
    """

    id: str
    cut_in: str
    housing: str
    sealed: str
    repeats: str = ""

    @property
    def name(self) -> str:
        """What it is on any cylinder: the groove it is one of several of, or itself."""
        return self.repeats or self.id


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
    A check that is `optional` may be skipped with a reason without leaving the part undecided; one that is not
    `alike` measures a size of its own at each place, as a cone and the stem behind it.
    `when` says on which answers the check is there at all, each of them needed; of `when_any` one is.
    `needs_u` is the greatest expanded uncertainty that can still decide it, in the unit of `kind`. `triage` is its
    turn in the short first look (0: not in it), `triage_places` how many of its places that takes (0: all), spread
    over the stations, and `minutes` how long that takes. `groove` names the groove whose diameter or width it is,
    `surface` the surface of the part's figure that is measured where it is not the running one. `of_kind` names
    another check, or a kind, whose limits and cures are its own too; `repeats` the check it is one of several of,
    `figure` the figure it is shown on where that is not its part's. A look that is `qualified`
    counts only with who looked, how qualified, and by which method.
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
    alike: bool = True
    when: Answers = field(default_factory=dict)
    when_any: Answers = field(default_factory=dict)
    needs_u: Decimal | None = None
    triage: int = 0
    triage_places: int = 0
    minutes: int = 0
    groove: str = ""
    of_kind: str = ""
    surface: str = ""
    figure: str = ""
    repeats: str = ""
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
    """One kind of cylinder and everything to be checked on it; `content_hash` names exactly the text of its files.

    `zones`, `stations` and `reasons` say what the ids of areas, named stations and reasons for skipping are called;
    `fields` are those of its nameplate, in the order they are asked for. `areas` says what the oil presses on,
    `files` in which file each block stands.
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
    fields: Mapping[str, NameplateField] = field(default_factory=dict)
    areas: str = "bore"
    files: Files = field(default_factory=dict)
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
        if groove:
            return groove.cut_in, groove.name
        figure = next((p.figure for p in self.parts if p.id == check.part), "")
        return check.figure or figure, check.surface

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


SHAPES: Mapping[str, type] = {
    "part": Part,
    "question": Question,
    "check": Check,
    "measure": Measure,
    "groove": Groove,
    "defect": DefectKind,
    "field": NameplateField,
}


def load_cylinder(
    writing: Writing,
    file: str,
    content_hash: str,
    gauges: Mapping[str, GaugeKind],
    read: dict[int, Any],
) -> Cylinder:
    """One kind of cylinder, every check one that can be carried out.

    Args:
        writing: the checklists folder being read; faults are noted in its reader.
        file: relative path, e.g. ``cylinders/double_acting.toml``.
        content_hash: what names the text of its files.
        gauges: the kinds of gauge a check may name.
        read: blocks read for other kinds that have them too, by the block.
    """
    reader = writing.reader
    found = laid_out(reader, written(writing, file))
    for key in ("id", "title"):
        if not isinstance(found.head.get(key), str):
            reader.fault(file, key, "is missing or not text; write it as text.")
    zones, stations, reasons = (found.called[key] for key in CALLED)
    groups: dict[str, tuple[Any, ...]] = {}
    for key, shape in SHAPES.items():
        blocks = [_block(reader, n, key, block, shape, read) for n, block in enumerate(found.blocks[key], 1)]
        groups[key] = tuple(x for x in blocks if x)
    files = {(key, b.id): b.file for key, blocks in found.blocks.items() for b in blocks}
    cylinder = Cylinder(
        id=str(found.head.get("id", "")),
        title=str(found.head.get("title", "")),
        parts=groups["part"],
        checks=tuple(
            _with_names(reader, files["check", check.id], check, zones, stations) for check in groups["check"]
        ),
        defects=groups["defect"],
        zones=zones,
        stations=stations,
        reasons=reasons,
        questions=groups["question"],
        measures=groups["measure"],
        grooves=groups["groove"],
        fields=_in_groups(groups["field"], writing),
        areas=str(found.head.get("areas", AREAS[0])),
        files=files,
        content_hash=content_hash,
    )
    if cylinder.areas not in AREAS:
        reader.fault(file, "areas", allowed_words(cylinder.areas, AREAS))
    for check in cylinder.checks:
        _check_taking(reader, files["check", check.id], check, gauges)
    for measure in cylinder.measures:
        if measure.gauge and measure.gauge not in gauges:
            where = f"measure {measure.id}.gauge"
            reader.fault(files["measure", measure.id], where, allowed_words(measure.gauge, gauges))
    return cylinder


def _in_groups(fields: tuple[NameplateField, ...], writing: Writing) -> dict[str, NameplateField]:
    """The fields of a kind group by group, the groups in the order of the fields every nameplate has."""
    order = list(dict.fromkeys(str(b.content.get("group")) for b in writing.fields))
    order += [f.group for f in fields if f.group not in order]
    return {f.id: f for f in sorted(fields, key=lambda f: order.index(f.group))}


def _block(reader: Reader, n: int, key: str, block: Block, shape: type, read: dict[int, Any]) -> Any:
    """A block as a dataclass; one that several kinds have is read once."""
    if id(block) not in read:
        value = block_from(reader, block.file, f"{key} {block.id or n}", block.content, shape)
        read[id(block)] = value, block  # the block is kept, so that no other takes its identity
    return read[id(block)][0]


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
