"""Cylinder checklists as data: parts, checks, where to measure and with what, defects to look for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from inspect_app.tables.faults import Reader
from inspect_app.tables.limits import Limit

NAMEPLATE_LENGTHS = ("bore", "rod", "stroke", "outside_diameter", "pin", "support_span")
MEASURES = ("length", "width", "depth", "count")
"""What is asked of a defect; `count` is never asked: a defect that was found counts one."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the cylinder; `body` parts decide over the whole: replacing one replaces the cylinder."""

    id: str
    title: str
    figure: str
    body: bool = False


@dataclass(frozen=True, slots=True)
class Stations:
    """Where along the part: `names` in words, or spread over the nameplate length `over`.

    Spread: at least `least` stations, one every `every_mm` or closer, the first and last `inset_mm`
    from the ends. While the length is unknown the stations are named in words.
    """

    names: tuple[str, ...] = ()
    over: str = ""
    least: int = 3
    every_mm: Decimal = Decimal(500)
    inset_mm: Decimal = Decimal(25)


@dataclass(frozen=True, slots=True)
class Check:
    """One check: what is measured where, with which gauge, and what is made of the readings.

    `nominal` is a nameplate field, "ask" (asked for at the check) or "" (none). `between` names two
    other checks, hole first, whose difference is a clearance. `look` lists the defects to look for.
    A check that is `optional` may be skipped with a reason without leaving the part undecided.
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
    optional: bool = False


@dataclass(frozen=True, slots=True)
class DefectKind:
    """A kind of defect by the trade's name, and which of MEASURES are asked for."""

    id: str
    title: str
    plain: str
    measures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One kind of cylinder and everything to be checked on it; `content_hash` names exactly this text."""

    id: str
    title: str
    parts: tuple[Part, ...]
    checks: tuple[Check, ...]
    defects: tuple[DefectKind, ...]
    zones: tuple[str, ...]
    content_hash: str = ""

    def check(self, check_id: str) -> Check | None:
        """The check with this id, or None."""
        return next((c for c in self.checks if c.id == check_id), None)

    def checks_of(self, part_id: str) -> tuple[Check, ...]:
        """The checks on one part, in the file's order."""
        return tuple(c for c in self.checks if c.part == part_id)

    def defect(self, defect_id: str) -> DefectKind | None:
        """The kind of defect with this id, or None."""
        return next((d for d in self.defects if d.id == defect_id), None)


def _block(reader: Reader, file: str, where: str, block: Mapping[str, Any], shape: type) -> Any | None:
    """One dataclass out of a TOML table: its fields are the allowed keys."""
    allowed = {f.name: f for f in fields(shape)}
    before = len(reader.faults)
    if unknown := set(block) - set(allowed):
        reader.fault(
            file,
            where,
            f"has unknown keys {', '.join(sorted(unknown))}; allowed are {', '.join(allowed)}.",
        )
    values: dict[str, Any] = {}
    for key, value in block.items():
        if key not in allowed:
            continue
        wanted = str(allowed[key].type)
        if wanted == "str" and not isinstance(value, str):
            reader.fault(file, f"{where}.{key}", f"found {value!r}; write text in quotes.")
        elif wanted == "bool" and not isinstance(value, bool):
            reader.fault(file, f"{where}.{key}", f"found {value!r}; write true or false.")
        elif wanted == "int" and (not isinstance(value, int) or value < 1):
            reader.fault(file, f"{where}.{key}", f"found {value!r}; write a whole number from 1 up.")
        elif wanted == "Decimal":
            if isinstance(value, bool) or not isinstance(value, int | float) or value <= 0:
                reader.fault(file, f"{where}.{key}", f"found {value!r}; write a number above 0.")
            else:
                values[key] = Decimal(str(value))
            continue
        elif wanted.startswith("tuple"):
            if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
                reader.fault(file, f"{where}.{key}", f'found {value!r}; write a list like ["12", "3"].')
            else:
                value = tuple(value)
        elif wanted == "Stations":
            value = _block(reader, file, f"{where}.stations", value, Stations)
        values[key] = value
    if len(reader.faults) > before:
        return None
    try:
        return shape(**values)
    except TypeError:
        missing = [f for f in allowed if f not in values and f in _required(shape)]
        reader.fault(file, where, f"lacks {', '.join(missing)}; add it.")
        return None


def _required(shape: type) -> set[str]:
    from dataclasses import MISSING

    return {f.name for f in fields(shape) if f.default is MISSING}


def load_cylinder(reader: Reader, file: str, content_hash: str, characteristics: tuple[str, ...]) -> Cylinder:
    """One cylinder file, every name in it checked against the others.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        file: relative path, e.g. ``cylinders/double_acting.toml``.
        content_hash: SHA-256 of the file's bytes.
        characteristics: the names that can be computed.
    """
    content = reader.toml(file)
    for key in ("id", "title"):
        if not isinstance(content.get(key), str):
            reader.fault(file, key, "is missing or not text; write it as text.")
    groups: dict[str, tuple[Any, ...]] = {}
    for key, shape in (("part", Part), ("check", Check), ("defect", DefectKind)):
        named = (
            (f"{key} {b.get('id', n)}", b)
            for n, b in enumerate(content.get(key, ()), 1)
            if isinstance(b, dict)
        )
        groups[key] = tuple(x for where, b in named if (x := _block(reader, file, where, b, shape)))
    cylinder = Cylinder(
        id=str(content.get("id", "")),
        title=str(content.get("title", "")),
        parts=groups["part"],
        checks=groups["check"],
        defects=groups["defect"],
        zones=tuple(content.get("zones", ())),
        content_hash=content_hash,
    )
    _check_names(reader, file, cylinder, characteristics)
    return cylinder


def _check_names(reader: Reader, file: str, cylinder: Cylinder, characteristics: tuple[str, ...]) -> None:
    parts, checks = {p.id for p in cylinder.parts}, {c.id for c in cylinder.checks}
    defects = {d.id for d in cylinder.defects}

    def known(where: str, names: tuple[str, ...], allowed: set[str] | tuple[str, ...]) -> None:
        for name in names:
            if name not in allowed:
                reader.fault(file, where, f"found {name!r}; allowed are {', '.join(sorted(allowed))}.")

    for kind, group in (("part", cylinder.parts), ("check", cylinder.checks), ("defect", cylinder.defects)):
        ids = [x.id for x in group]
        for twice in sorted({i for i in ids if ids.count(i) > 1}):
            reader.fault(file, f"{kind} {twice}", "stands twice; rename one.")
    for check in cylinder.checks:
        where = f"check {check.id}"
        known(f"{where}.part", (check.part,), parts)
        known(f"{where}.characteristics", check.characteristics, characteristics)
        known(f"{where}.look", check.look, defects)
        known(f"{where}.between", check.between or (), checks)
        if check.nominal:
            known(f"{where}.nominal", (check.nominal,), {*NAMEPLATE_LENGTHS, "ask"})
        if check.stations.over:
            known(f"{where}.stations.over", (check.stations.over,), set(NAMEPLATE_LENGTHS))
        if not (check.characteristics or check.look):
            reader.fault(file, where, "has neither characteristics nor look; add what is made of it.")
    for defect in cylinder.defects:
        known(f"defect {defect.id}.measures", defect.measures, MEASURES)


def check_limits(reader: Reader, cylinders: tuple[Cylinder, ...], limits: tuple[Limit, ...]) -> None:
    """Note a fault for every limit that judges nothing any cylinder has.

    Args:
        reader: where faults are noted.
        cylinders: the cylinders read.
        limits: the limits read.
    """
    checks = {c.id: c for cylinder in cylinders for c in cylinder.checks}
    defects = {d.id: d for cylinder in cylinders for d in cylinder.defects}
    zones = {z for cylinder in cylinders for z in cylinder.zones}
    for limit in limits:
        where = f"limits: {limit.id}"
        check = checks.get(limit.check)
        if check is None:
            reader.fault(where, "check", f"found {limit.check!r}; allowed are {', '.join(sorted(checks))}.")
            continue
        if limit.defect and limit.defect not in check.look:
            reader.fault(where, "defect", f"found {limit.defect!r}; allowed are {', '.join(check.look)}.")
        allowed = check.characteristics
        if limit.defect in defects:
            allowed = (*defects[limit.defect].measures, "count")
        if limit.characteristic not in allowed:
            reader.fault(
                where, "characteristic", f"found {limit.characteristic!r}; allowed are {', '.join(allowed)}."
            )
        if limit.zone and limit.zone not in zones:
            reader.fault(where, "zone", f"found {limit.zone!r}; allowed are {', '.join(sorted(zones))}.")
