"""What a shop can do to a cylinder, as data: checklists/operations.toml read into frozen dataclasses; plans nothing.

An operation says what it cures and leaves, a figure is a number plans are made with, and nonsense is a
combination that is refused in a sentence.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source

FILE = "operations.toml"
ALL = "all"
"""In place of names: everything a check finds."""

AFTERWARDS = "afterwards"
"""What a figure is of that belongs to no operation: what the cylinder is held to when all is done."""

COMPUTES = ("bore", "wall", "gap", "squeeze", "clearance", "chrome", "base", "bow", "column")
"""What can be reckoned for the cylinder as it will be."""

BASES = (
    "each", "chromed area", "honed stock", "bar mass", "blank mass", "tube mass", "weld length", "handled mass",
)  # fmt: skip
"""What the cost of an operation grows with."""


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation. `cures` and `reach` name checks and what of them; the reach itself stands in the rework limits.

    `when` says on which answers about the cylinder it is done; `confirm` what somebody has to say first,
    because nothing here can reckon it. Done to one of several stages or sides it says which, `at` by id and `called` in
    words, and of which operation it is one of several (`repeats`).
    """

    id: str
    title: str
    parts: tuple[str, ...]
    needs: tuple[str, ...]
    leaves: tuple[str, ...]
    computes: tuple[str, ...]
    basis: str
    source: str
    cures: WordLists = field(default_factory=dict)
    reach: WordLists = field(default_factory=dict)
    when: WordLists = field(default_factory=dict)
    renews: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    confirm: str = ""
    outside: str = ""
    licence: str = ""
    hazards: tuple[str, ...] = ()
    repeats: str = ""
    at: str = ""
    called: str = ""

    @property
    def name(self) -> str:
        """What it is on any part: the operation it is one of several of, or itself."""
        return self.repeats or self.id

    def fits(self, answers: Mapping[str, str]) -> bool:
        """Whether it is done on a cylinder of which this was answered."""
        return all(answers.get(question) in allowed for question, allowed in self.when.items())

    def does_cure(self, check: str, name: str) -> bool:
        """Whether it cures a characteristic, or a kind of defect, of a check."""
        cured = self.cures.get(check, ())
        return ALL in cured or name in cured

    def is_held_by(self, check: str, characteristic: str) -> bool:
        """Whether a rework limit on this characteristic says how far it reaches."""
        return characteristic in self.reach.get(check, ())


@dataclass(frozen=True, slots=True)
class Figure:
    """One number a plan is made with: of which operation, its name there, and what it says."""

    of: str
    name: str
    value: Decimal
    unit: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Nonsense:
    """Operations that are refused together, and on what condition; without one they are refused as such.

    `without`: unless one of these is done too. `finding`: where a defect of this kind stands on the part.
    `zone`: for a finding that sits there. `left`: while anything beyond its limit is left. `duty`: where this
    field of the nameplate says yes; `ask` is what is asked while it says nothing.
    """

    id: str
    together: tuple[str, ...]
    sentence: str
    without: tuple[str, ...] = ()
    finding: str = ""
    zone: str = ""
    left: bool = False
    duty: str = ""
    ask: str = ""

    @property
    def always(self) -> bool:
        """Whether it is refused without any condition."""
        return not (self.without or self.finding or self.zone or self.left or self.duty)


@dataclass(frozen=True, slots=True)
class Operations:
    """Everything checklists/operations.toml says."""

    by_id: Mapping[str, Operation]
    figures: tuple[Figure, ...]
    nonsense: tuple[Nonsense, ...]

    @property
    def never_done(self) -> frozenset[str]:
        """The operations that are refused as such, whatever stands beside them."""
        return frozenset(x.together[0] for x in self.nonsense if len(x.together) == 1 and x.always)

    def figure(self, of: str, name: str) -> Decimal:
        """The value of one figure.

        Raises:
            KeyError: when no such figure is written.
        """
        for figure in self.figures:
            if (figure.of, figure.name) == (of, name):
                return figure.value
        raise KeyError(f"{of}.{name}")


def load_operations(reader: Reader, sources: Mapping[str, Source], cautions: Collection[str]) -> Operations:
    """The operations, figures and nonsense of a checklists folder, in file order.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
        cautions: ids of the cautions a hazard may name.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "operation", "figure", "nonsense")
    operations: dict[str, Operation] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "operation"), 1):
        where = f"operation {block.get('id', n)}"
        read = block_from(reader, FILE, where, block, Operation)
        if read and read.id in operations:
            reader.fault(FILE, where, "stands twice; rename one.")
        elif read:
            operations[read.id] = read
    figures = [
        block_from(reader, FILE, f"figure {block.get('of', n)}.{block.get('name', '')}", block, Figure)
        for n, block in enumerate(reader.blocks(FILE, content, "figure"), 1)
    ]
    nonsense = [
        block_from(reader, FILE, f"nonsense {block.get('id', n)}", block, Nonsense)
        for n, block in enumerate(reader.blocks(FILE, content, "nonsense"), 1)
    ]
    found = Operations(
        operations, tuple(f for f in figures if f is not None), tuple(x for x in nonsense if x is not None)
    )
    _check_names(reader, found, sources, cautions)
    return found


def _check_names(
    reader: Reader, found: Operations, sources: Mapping[str, Source], cautions: Collection[str]
) -> None:
    """Note a fault for every name inside the file that stands nowhere, and for an order that runs in a circle."""

    def known(where: str, names: Collection[str], allowed: Collection[str]) -> None:
        for name in names:
            if name not in allowed:
                reader.fault(FILE, where, allowed_words(name, allowed))

    ids = found.by_id
    for operation in ids.values():
        where = f"operation {operation.id}"
        known(f"{where}.after", operation.after, ids)
        known(f"{where}.computes", operation.computes, COMPUTES)
        known(f"{where}.basis", (operation.basis,), BASES)
        known(f"{where}.hazards", operation.hazards, cautions)
        known(f"{where}.source", (operation.source,), sources)
    for figure in found.figures:
        where = f"figure {figure.of}.{figure.name}"
        known(f"{where}.of", (figure.of,), {*ids, AFTERWARDS})
        known(f"{where}.source", (figure.source,), sources)
    for nonsense in found.nonsense:
        known(f"nonsense {nonsense.id}", (*nonsense.together, *nonsense.without), ids)
    for operation in ids.values():
        if operation.id in _before(operation.id, ids):
            words = "comes after itself, through the operations it names; take one of them out."
            reader.fault(FILE, f"operation {operation.id}.after", words)


def _before(name: str, operations: Mapping[str, Operation]) -> set[str]:
    """Everything that comes before an operation, directly or through others."""
    seen: set[str] = set()
    ahead = list(operations[name].after)
    while ahead:
        one = ahead.pop()
        if one not in seen and one in operations:
            seen.add(one)
            ahead += operations[one].after
    return seen
