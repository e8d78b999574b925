"""Limits as data: the few kinds of rule, and the reading of limits/*.toml.

A limit says which characteristic of which check it judges, on which level, by which rule, from which
source, and what follows when a reading is proven beyond it. Rules carry numbers in the canonical unit
of what is measured (mm for lengths, µm for roughness and coatings) and no formulas.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.blocks import WordLists, word_lists
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.operations import Operation
from inspect_app.tables.sources import Source, source_from

LEVELS = ("reuse", "new", "rework")
"""reuse: still fit; new: as the drawing asks of a new part; rework: an operation can still bring it back."""

BEYOND = ("rework", "replace", "refer")
"""What follows from proven beyond reuse: work, a new part, or a stop until a qualified person decides."""

Answers = WordLists
"""Of a check or a limit: it is there only while each question named has one of these answers."""

SIDES = ("both", "lower", "upper")
OWNERS = ("drawing", "shop", "shipped")
DIMENSIONS = ("diameter", "width")


@dataclass(frozen=True, slots=True)
class Fit:
    """An ISO 286 class on the check's nominal; `side` keeps only one of its two limits.

    `lower` and `upper` count that limit from the nominal instead, where wear never moves the size to that side.
    """

    fit_class: str
    side: str = "both"
    lower: Decimal | None = None
    upper: Decimal | None = None


@dataclass(frozen=True, slots=True)
class PerLength:
    """At most `at_most` per metre of the length named by `of` (a nameplate field)."""

    at_most: Decimal
    of: str


@dataclass(frozen=True, slots=True)
class AtMost:
    """At most `value`."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class AtLeast:
    """At least `value`."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class Within:
    """From `low` to `high`; offsets from the check's nominal when `from_nominal`."""

    low: Decimal
    high: Decimal
    from_nominal: bool = False


@dataclass(frozen=True, slots=True)
class GradeShare:
    """At most `share` of the ISO 286 tolerance grade `grade` of the check's nominal."""

    grade: int
    share: Decimal


@dataclass(frozen=True, slots=True)
class BySize:
    """At most the value of the first row whose `up_to` holds the check's nominal; when `from_nominal` that
    much over the nominal, and no less than the nominal and `low`."""

    rows: tuple[tuple[Decimal, Decimal], ...]
    from_nominal: bool = False
    low: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class ShareOfNominal:
    """At most `share` of the check's nominal, but never less than `least` nor more than `most`; and at
    least `low`."""

    share: Decimal
    least: Decimal
    most: Decimal
    low: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SizeAfter:
    """How deep a mark an operation reaches: the size of `check` after taking out twice the depth must still
    lie within that size's own rework limit.

    `side` is the limit the size runs into: upper for a bore that grows, lower for a rod that shrinks.
    `clean_up` on diameter is taken besides, where the size's own limit does not keep it back already.
    """

    check: str
    side: str
    clean_up: Decimal


@dataclass(frozen=True, slots=True)
class HousingTolerance:
    """The tolerance of the standard housing the groove is, in one dimension ("diameter" or "width").

    `wear` lets it go so far beyond on the side wear moves it to, `other` on the other side.
    """

    dimension: str
    wear: Decimal
    other: Decimal


Rule = (
    Fit
    | PerLength
    | AtMost
    | AtLeast
    | Within
    | GradeShare
    | BySize
    | ShareOfNominal
    | SizeAfter
    | HousingTolerance
)


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit. `defect` and `zone` narrow it to a kind of defect and where it sits ("" is any).

    `when` says on which answers about the cylinder it holds; `only_felt` that it holds only for a mark
    that a fingernail feels. `file` is where it stands, relative to its folder.
    """

    id: str
    check: str
    characteristic: str
    level: str
    rule: Rule
    source: Source
    owner: str
    beyond: str = "replace"
    cure: Operation | None = None
    defect: str = ""
    zone: str = ""
    note: str = ""
    when: Answers = field(default_factory=dict)
    only_felt: bool = False
    file: str = ""


def needs_nominal(rule: Rule) -> bool:
    """Whether a rule has numbers only once the check's nominal size is known.

    Args:
        rule: the rule.
    """
    return isinstance(rule, Fit | GradeShare | BySize | ShareOfNominal) or (
        isinstance(rule, Within) and rule.from_nominal
    )


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"found {value!r}; write a number")
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        raise ValueError(f"found {value!r}; write a number") from None
    if not number.is_finite():
        raise ValueError(f"found {value!r}; write a finite number")
    return number


def _side(block: Mapping[str, Any]) -> str:
    side = block.get("side", "both")
    if side not in SIDES:
        raise ValueError(f"found side {side!r}; allowed are {', '.join(SIDES)}")
    return str(side)


def _maybe(block: Mapping[str, Any], key: str) -> Decimal | None:
    return _number(block[key]) if key in block else None


def _housing(block: Mapping[str, Any]) -> HousingTolerance:
    if block["housing"] not in DIMENSIONS:
        raise ValueError(f"found housing {block['housing']!r}; allowed are {', '.join(DIMENSIONS)}")
    return HousingTolerance(block["housing"], _number(block.get("wear", 0)), _number(block.get("other", 0)))


def _size_after(block: Mapping[str, Any]) -> SizeAfter:
    side = _side(block)
    if side == "both":
        raise ValueError("lacks the side it runs into; write side = upper for a bore, lower for a rod")
    return SizeAfter(str(block["size_after"]), side, _number(block.get("clean_up", 0)))


def _by_size(rows: Any, block: Mapping[str, Any]) -> BySize:
    if not isinstance(rows, list) or not rows or any(len(r) != 2 for r in rows):
        raise ValueError("write rows as [[up_to, at_most], ...]")
    pairs = tuple((_number(a), _number(b)) for a, b in rows)
    if list(pairs) != sorted(pairs):
        raise ValueError("the sizes must rise from row to row")
    return BySize(pairs, block.get("from") == "nominal", _number(block.get("low", 0)))


RULES: Mapping[str, Any] = {
    "fit": lambda b: Fit(str(b["fit"]), _side(b), _maybe(b, "lower"), _maybe(b, "upper")),
    "per_length": lambda b: PerLength(_number(b["per_length"]), str(b["of"])),
    "at_most": lambda b: AtMost(_number(b["at_most"])),
    "at_least": lambda b: AtLeast(_number(b["at_least"])),
    "within": lambda b: Within(_number(b["within"][0]), _number(b["within"][1]), b.get("from") == "nominal"),
    "grade_share": lambda b: GradeShare(int(b["grade_share"][0]), _number(b["grade_share"][1])),
    "by_size": lambda b: _by_size(b["by_size"], b),
    "share_of_nominal": lambda b: ShareOfNominal(
        _number(b["share_of_nominal"]), _number(b["least"]), _number(b["most"]), _maybe(b, "low")
    ),
    "size_after": lambda b: _size_after(b),
    "housing": _housing,
}
"""The first key of a `rule` table, and how the rule is read from it."""


def rule_from(block: Mapping[str, Any]) -> Rule:
    """The rule in a TOML table such as ``{ fit = "f7" }`` or ``{ at_most = 0.4 }``.

    Args:
        block: the table.
    Raises:
        ValueError: with a short sentence of what was found and what is allowed.

    >>> rule_from({"per_length": 0.5, "of": "support_span"})
    PerLength(at_most=Decimal('0.5'), of='support_span')
    """
    kinds = [kind for kind in RULES if kind in block]
    if len(kinds) != 1:
        raise ValueError(f"found keys {', '.join(block) or 'none'}; a rule has one of {', '.join(RULES)}")
    try:
        rule: Rule = RULES[kinds[0]](block)
    except KeyError as e:
        raise ValueError(f"lacks {e.args[0]!r} beside {kinds[0]!r}") from None
    except (TypeError, IndexError):
        raise ValueError(
            f"found {block[kinds[0]]!r} for {kinds[0]!r}; see another limit of this kind"
        ) from None
    if isinstance(rule, Within) and rule.low > rule.high:
        raise ValueError(f"found from {rule.low} to {rule.high}; write the smaller first")
    return rule


TEXTS = ("id", "check", "characteristic", "level", "beyond", "defect", "zone", "note")
SPREAD = ("check", "defect", "zone")
KEYS = {*TEXTS, "rule", "source", "when", "only_felt", "cure"}


def _spread(block: Mapping[str, Any]) -> list[dict[str, Any]]:
    """One block for each check, defect and zone of a block that lists several; the id says which."""
    blocks = [dict(block)]
    for key in SPREAD:
        if isinstance(block.get(key), list):
            blocks = [
                {**b, key: member, "id": f"{b.get('id', '')}-{str(member).replace(' ', '-')}"}
                for b in blocks
                for member in block[key]
            ]
    return blocks


def _rule_of(reader: Reader, file: str, name: str, block: Mapping[str, Any]) -> Rule | None:
    if isinstance(block.get("rule"), dict):
        try:
            return rule_from(block["rule"])
        except ValueError as e:
            reader.fault(file, f"{name}.rule", f"{e}.")
    elif "rule" in block:
        words = f"found {block['rule']!r}; write a table like {{ at_most = 0.4 }}."
        reader.fault(file, f"{name}.rule", words)
    return None


@dataclass(frozen=True, slots=True)
class Known:
    """What limits may name of other files: sources, and the operations that cure."""

    sources: Mapping[str, Source]
    operations: Mapping[str, Operation]


def _limit_from(
    reader: Reader, file: str, n: int, block: Mapping[str, Any], known: Known, owner: str
) -> Limit | None:
    name = str(block.get("id", f"limit number {n}"))
    before = len(reader.faults)
    for key in ("id", "check", "characteristic", "level", "rule", "source"):
        if key not in block:
            reader.fault(file, f"{name}.{key}", "is missing; add it.")
    if unknown := set(block) - KEYS:
        reader.fault(file, name, f"has unknown keys {', '.join(sorted(unknown))}; remove them.")
    for key, allowed in (("level", LEVELS), ("beyond", BEYOND)):
        if key in block and block[key] not in allowed:
            reader.fault(file, f"{name}.{key}", f"found {block[key]!r}; allowed are {', '.join(allowed)}.")
    for key, names in (("source", known.sources), ("cure", known.operations)):
        if key in block and str(block[key]) not in names:
            reader.fault(file, f"{name}.{key}", allowed_words(str(block[key]), names))
    rule = _rule_of(reader, file, name, block)
    when: Answers = {}
    try:
        when = word_lists(block.get("when", {}))
    except ValueError as e:
        reader.fault(file, f"{name}.when", f"found {block['when']!r}; {e}.")
    if not isinstance(block.get("only_felt", False), bool):
        reader.fault(file, f"{name}.only_felt", f"found {block['only_felt']!r}; write true or false.")
    if len(reader.faults) > before or rule is None:
        return None
    return Limit(
        rule=rule,
        source=known.sources[block["source"]],
        cure=known.operations.get(block.get("cure", "")),
        owner=owner,
        file=file,
        when=when,
        only_felt=block.get("only_felt", False),
        **{k: str(block[k]) for k in TEXTS if k in block},
    )


def _own_sources(reader: Reader, file: str, blocks: Any) -> dict[str, Source]:
    if not isinstance(blocks, dict) or not all(isinstance(b, dict) for b in blocks.values()):
        reader.fault(file, "source", "must be tables headed [source.my-key] with title, where, status, kind.")
        return {}
    own = ((key, source_from(reader, file, key, block)) for key, block in blocks.items())
    return {key: source for key, source in own if source}


def load_limits(reader: Reader, folder: str, known: Known, owner: str) -> list[Limit]:
    """The limits in every TOML file of a folder, in file order.

    Args:
        reader: what is being read; faults are noted in it.
        folder: relative to the reader's folder.
        known: sources and operations; a file may add its own sources as ``[source.<key>]``.
        owner: "shipped" or "shop".
    """
    limits: list[Limit] = []
    for path in sorted((reader.folder / folder).glob("*.toml")):
        file = f"{folder}/{path.name}" if folder else path.name
        content = reader.toml(file)
        reader.known_keys(file, content, "limit", "source")
        own = _own_sources(reader, file, content.get("source", {}))
        here = replace(known, sources={**known.sources, **own})
        for n, block in enumerate(reader.blocks(file, content, "limit"), 1):
            read = (_limit_from(reader, file, n, one, here, owner) for one in _spread(block))
            limits += [limit for limit in read if limit]
    for n, limit in enumerate(limits):
        if first := next((x for x in limits[:n] if x.id == limit.id), None):
            reader.fault(limit.file, limit.id, f"stands already in {first.file}; rename one.")
    return limits
