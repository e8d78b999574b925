"""Which seals a kind of cylinder must, may or cannot have, and what measures each: checklists/positions.toml."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.references import lengths_of
from inspect_app.tables.sources import Source

FILE = "positions.toml"
NEEDS = ("must", "may", "cannot")
SEALS = ("rod", "piston", "wiper", "wear-ring", "static", "other")
SURFACES = ("rod", "bore", "joint")
SIDES = ("rod side", "cap side", "both sides", "none")
STAGE = "{stage}"
MOST_STAGES = 6
"""More moving sections no telescopic cylinder has."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of cylinder: the checklist that measures it ("" while there is none) and its places by group.

    `intensifies`: whether a throttled rod port drives the rod side above the pressure of the cap side.
    """

    id: str
    title: str
    places: WordLists
    checklist: str = ""
    intensifies: bool = False


@dataclass(frozen=True, slots=True)
class Position:
    """A seal by its place in the trade: the housing it sits in, the surface it works on, the pressure it stands.

    `usual` are the least and greatest usual number at one place; one number is both. `unlisted` are the standard
    housings of it that no table here has.
    """

    id: str
    title: str
    seal: str
    on: str
    pressed: str
    source: str
    moves: bool = False
    usual: tuple[str, ...] = ("1",)
    note: str = ""
    unlisted: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """Whether kinds of cylinder must, may or cannot have a position, `at` which group of their places.

    `there` are the answers under which it is there, `instead` those that name what is there in its stead.
    """

    kinds: tuple[str, ...]
    position: str
    need: str
    at: str
    there: WordLists = field(default_factory=dict)
    instead: WordLists = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MeasuredBy:
    """The groove and the checks of a checklist that measure a position at a place; "" where nothing does.

    `checklists` are those it holds for. `each` says for which of several parts it is read: "{n}" stands for the word
    each time, "{i}" for the same in small letters, "{b}" for the number before.
    """

    checklists: tuple[str, ...]
    position: str
    place: str
    groove: str
    diameter: str
    width: str
    sealed: str
    nominal: str = ""
    land: str = ""
    strip: str = ""
    surface: str = ""
    each: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Positions:
    """Everything positions.toml says, in its order."""

    kinds: Mapping[str, Kind]
    positions: Mapping[str, Position]
    needs: tuple[Need, ...]
    measured: tuple[MeasuredBy, ...]

    def needs_of(self, kind: str) -> tuple[Need, ...]:
        """What a kind of cylinder must, may or cannot have."""
        return tuple(need for need in self.needs if kind in need.kinds)

    def places_of(self, checklist: str, position: str) -> tuple[str, ...]:
        """The places of a position on the cylinders a checklist measures; none where it cannot be."""
        kinds = [kind for kind in self.kinds.values() if kind.checklist == checklist]
        needs = ((k, n) for k in kinds for n in self.needs_of(k.id) if n.position == position)
        places = (kind.places[need.at] for kind, need in needs if need.need != "cannot")
        return tuple(
            dict.fromkeys(
                each for group in places for place in group for each in instances(place, MOST_STAGES)
            )
        )

    def measured_on(self, checklist: str) -> tuple[MeasuredBy, ...]:
        """Everything of the seals that a checklist measures."""
        return tuple(m for m in self.measured if checklist in m.checklists)

    def measured_by(self, checklist: str, position: str, place: str) -> MeasuredBy | None:
        """What measures a position at a place, or None."""
        of_it = self.measured_on(checklist)
        return next((m for m in of_it if (m.position, m.place) == (position, place)), None)


def instances(place: str, stages: int) -> tuple[str, ...]:
    """A place, or that of each stage.

    Args:
        place: as positions.toml has it.
        stages: how many moving sections there are.

    >>> instances("gland", 0), instances("gland of stage {stage}", 2)
    (('gland',), ('gland of stage 1', 'gland of stage 2'))
    """
    if STAGE not in place:
        return (place,)
    return tuple(place.replace(STAGE, str(n)) for n in range(1, stages + 1))


def _each(m: MeasuredBy) -> list[MeasuredBy]:
    """A row for each of several parts."""
    texts = {f.name: getattr(m, f.name) for f in fields(m) if f.name not in ("checklists", "each")}
    rows = []
    for n in m.each or ("",):
        stands_for = {"{n}": n, "{i}": n.lower(), "{b}": str(int(n) - 1) if n.isdigit() else ""}
        changed: dict[str, Any] = {key: _filled(text, stands_for) for key, text in texts.items()}
        rows.append(replace(m, **changed))
    return rows


def _filled(text: str, stands_for: Mapping[str, str]) -> str:
    for sign, words in stands_for.items():
        text = text.replace(sign, words)
    return text


def load_positions(reader: Reader, sources: Mapping[str, Source]) -> Positions:
    """The positions of seals; every kind says of every position whether it needs it, once a place.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "kind", "position", "need", "measured")
    groups: dict[str, list[Any]] = {}
    for key, shape in (("kind", Kind), ("position", Position), ("need", Need), ("measured", MeasuredBy)):
        named = [
            (f"{key} {b.get('id') or b.get('position') or n}", b)
            for n, b in enumerate(reader.blocks(FILE, content, key), 1)
        ]
        groups[key] = [x for where, b in named if (x := block_from(reader, FILE, where, b, shape))]
    for key in ("kind", "position"):
        ids = [x.id for x in groups[key]]
        for twice in sorted({i for i in ids if ids.count(i) > 1}):
            reader.fault(FILE, f"{key} {twice}", "stands twice; rename one.")
    found = Positions(
        {kind.id: kind for kind in groups["kind"]},
        {position.id: position for position in groups["position"]},
        tuple(groups["need"]),
        tuple(each for m in groups["measured"] for each in _each(m)),
    )
    _check_positions(reader, found, sources)
    _check_needs(reader, found)
    return found


def check_measured(reader: Reader, positions: Positions, cylinders: Mapping[str, Cylinder]) -> None:
    """Note a fault for every name of a checklist, groove, check, answer or nameplate field that is not there.

    Args:
        reader: where faults are noted.
        positions: what positions.toml says.
        cylinders: the checklists.
    """
    for kind in positions.kinds.values():
        if kind.checklist:
            _known(reader, f"kind {kind.id}.checklist", kind.checklist, cylinders)
    for need in positions.needs:
        checklists = [positions.kinds[k].checklist for k in need.kinds if k in positions.kinds]
        for cylinder in (cylinders[c] for c in checklists if c in cylinders):
            _check_answers(reader, need, cylinder)
    for m in positions.measured:
        where = f"measured {m.position}"
        for name in m.checklists:
            _known(reader, f"{where}.checklists", name, cylinders)
        for cylinder in (cylinders[name] for name in m.checklists if name in cylinders):
            checks = [c.id for c in cylinder.checks]
            _known(reader, f"{where}.groove", m.groove, [g.id for g in cylinder.grooves])
            for key in ("diameter", "width", "sealed", "land", "strip", "surface"):
                if getattr(m, key):
                    _known(reader, f"{where}.{key}", getattr(m, key), checks)
            if m.nominal:
                _known(reader, f"{where}.nominal", m.nominal, lengths_of(cylinder))


def _known(reader: Reader, where: str, name: str, allowed: Collection[str]) -> None:
    if name not in allowed:
        reader.fault(FILE, where, allowed_words(name, allowed))


def _check_answers(reader: Reader, need: Need, cylinder: Cylinder) -> None:
    for key in ("there", "instead"):
        for question_id, answers in getattr(need, key).items():
            where = f"need {need.position}.{key}"
            question = cylinder.question(question_id)
            _known(reader, where, question_id, [q.id for q in cylinder.questions])
            for answer in answers if question else ():
                _known(reader, f"{where}.{question_id}", answer, question.answers if question else ())


def _check_positions(reader: Reader, found: Positions, sources: Mapping[str, Source]) -> None:
    for p in found.positions.values():
        where = f"position {p.id}"
        for key, allowed in (
            ("seal", SEALS),
            ("on", SURFACES),
            ("pressed", SIDES),
            ("source", tuple(sources)),
        ):
            _known(reader, f"{where}.{key}", getattr(p, key), allowed)
        if not 1 <= len(p.usual) <= 2 or not all(n.isdigit() and n != "0" for n in p.usual):
            reader.fault(FILE, f"{where}.usual", f'found {list(p.usual)}; write ["1"] or ["1", "3"].')


def _check_needs(reader: Reader, found: Positions) -> None:
    for need in found.needs:
        where = f"need {need.position}"
        _known(reader, f"{where}.position", need.position, found.positions)
        _known(reader, f"{where}.need", need.need, NEEDS)
        for kind in need.kinds:
            _known(reader, f"{where}.kinds", kind, found.kinds)
            if kind in found.kinds:
                _known(reader, f"{where}.at", need.at, found.kinds[kind].places)
    for each in found.kinds.values():
        said = [(n.position, place) for n in found.needs_of(each.id) for place in each.places.get(n.at, ())]
        for position in found.positions:
            if position not in [p for p, _ in said]:
                words = f"is not said to be needed or not on a {each.id}; add a [[need]]."
                reader.fault(FILE, f"position {position}", words)
        for position, place in sorted({x for x in said if said.count(x) > 1}):
            reader.fault(FILE, f"need {position}", f"stands twice for {each.id}, {place}; keep one.")
    for m in found.measured:
        _known(reader, f"measured {m.position}.position", m.position, found.positions)
