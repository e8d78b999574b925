"""What is asked over the fleet as a document: per question what it comes to, bars, and the figures beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.figures.bars import Piece, bar
from inspect_app.job.words import OWNERS
from inspect_app.paper.blocks import Block, Cell, Column, Report, Section, Table, Words
from inspect_app.tables import Tables
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.wording import capital, counted, inside

Row = Mapping[str, Any]
Rows = Sequence[Row]

WIDE, NARROW = 118.0, 72.0
"""How wide a bar is: narrower than its column on either size of paper."""
RUN, MONTH = "um in 1000 hours", "um a month"
HALF, NINE = "half within hours", "nine of ten within hours"


@dataclass(frozen=True, slots=True)
class Answers:
    """The rows of each question by its name, each row by the heads of its columns; how many jobs they are made of, in
    a sentence; and when the last was opened, UTC."""

    rows: Mapping[str, Rows]
    judged: str
    last: str


def fleet_page(answers: Answers, most: int, tables: Tables, system: str) -> Report:
    """The document: a section a question, one without an answer says in words what it takes.

    Args:
        answers: what every question comes to, the most pressing row first.
        most: at most so many rows of each; the others are counted.
        tables: what checks, defects and steps are called.
        system: "metric" or "inch".
    """
    called = _Called(tables)
    asked: tuple[tuple[str, Callable[[Rows, int, _Called, str], Section]], ...] = (
        ("wear", _wear),
        ("limits", _limits),
        ("defects", _defects),
        ("time", _time),
        ("late", _late),
    )
    sections = tuple(
        says(answers.rows[name], most, called, system) if answers.rows[name] else _nothing(name)
        for name, says in asked
    )
    opened = f"Jobs opened up to {answers.last[:10]}." if answers.last else "No job was opened yet."
    return Report(
        title="The fleet",
        name="The fleet: what its jobs say",
        under=(answers.judged, opened),
        head="The fleet",
        foot=answers.judged,
        tag=f"FLEET {answers.last}".upper(),
        tag_caption="fleet, last job opened",
        made_at=answers.last,
        sections=sections,
        compact=True,
    )


NOTHING = {
    "wear": (
        "Wear: not known yet",
        "No cylinder was measured at two visits with its hours or months between them.",
    ),
    "limits": ("Limits: not known yet", "No judged job has a value with a limit for reuse."),
    "defects": ("Defects: none in the judged jobs", "No judged job has a defect."),
    "time": ("Time in steps: not known yet", "In no judged job was a step started and stopped."),
    "late": ("Late parts: none in the judged jobs", "In no judged job was a part promised for a day."),
}


def _nothing(name: str) -> Section:
    title, words = NOTHING[name]
    return Section(title, (Words(words, "small"),), 2)


class _Called:
    """What is called how; an id that the tables do not know stands as it is."""

    def __init__(self, tables: Tables) -> None:
        kinds = tables.cylinders.values()
        self.checks = {c.id: c.title for kind in kinds for c in kind.checks}
        self.defects = {d.id: d.title for kind in kinds for d in kind.defects}
        self.steps = {step.id: step.title for step in tables.steps.values()}

    def check(self, row: Row) -> str:
        return _named(self.checks, row["check"])

    def defect(self, row: Row) -> str:
        return _named(self.defects, row["kind"])

    def step(self, row: Row) -> str:
        return _named(self.steps, row["step"])

    def limited(self, row: Row) -> str:
        """What a limit is for: the check, and the characteristic where that is not just its size."""
        id_ = row["characteristic"]
        known = CHARACTERISTICS.get(id_)
        what = known.title if known else inside(id_)
        return self.check(row) if id_ == "size" else f"{self.check(row)}: {what}"


def _named(names: Mapping[str, str], id_: str) -> str:
    return names.get(id_, id_)


def _wear(rows: Rows, most: int, called: _Called, system: str) -> Section:
    rates = ((RUN, "in 1000 hours"), (MONTH, "a month"))
    fast = sorted(rows, key=lambda row: [-_number(row[rate]) for rate, _ in rates])
    title = "What wears: how fast is not known yet"
    for rate, per in rates:
        if largest := max(_number(row[rate]) for row in rows):
            first, alike = _first(rows, rate, called.check)
            title = (
                f"{first} wears fastest, half of the cylinders less than {_um(largest, system)} {per}{alike}"
            )
            break
    columns = [Column("Measured", 34), Column("Jobs", 9, True)]
    for _, per in rates:
        columns += [Column(capital(per), 14, True), Column("", 17)]

    def cells(row: Row) -> Iterator[Cell]:
        yield from (Cell(called.check(row)), Cell(str(row["jobs"])))
        for rate, _ in rates:
            longest = max(_number(other[rate]) for other in rows)
            said = "-" if row[rate] is None else _um(_number(row[rate]), system)
            yield from (Cell(said), _bar([Piece(_number(row[rate]))], longest, said, NARROW))

    note = "Of each size half of the cylinders wore less than the figure. Few jobs prove little."
    return _section(title, note, columns, [tuple(cells(row)) for row in fast], most)


LIMITS = (
    Column("Limit of", 42),
    Column("Whose", 13),
    Column("Outside", 9, True),
    Column("Too close", 10, True),
    Column("Judged", 9, True),
    Column("Outside; hatched: too close", 26),
)
COUNTED = ("outside", "too close", "judged")


def _limits(rows: Rows, most: int, called: _Called, system: str) -> Section:
    alike: dict[tuple[str, str], Counter[str]] = {}
    for row in rows:  # one for each source
        alike.setdefault((called.limited(row), _named(OWNERS, row["owner"])), Counter()).update(
            {head: row[head] for head in COUNTED}
        )
    summed: list[dict[str, Any]] = [
        {"limit": limit, "owner": owner, **many} for (limit, owner), many in alike.items()
    ]
    biting = [row for row in summed if row["outside"] or row["too close"]]
    biting.sort(key=lambda row: (-row["outside"], -row["too close"]))
    quiet = len(summed) - len(biting)
    note = f"Of {counted(quiet, 'other limit', 'other limits')} nothing is outside or close." if quiet else ""
    note = f"{note} Where each limit comes from: inspect-app limits.".strip()
    title = _bites(summed)
    if not biting:
        return Section(title, (Words(note, "fine"),), 2)
    longest = max(row["outside"] + row["too close"] for row in biting)
    table = []
    for row in biting:
        said = f"{row['outside']} outside, {row['too close']} too close"
        pieces = [Piece(row["outside"]), Piece(row["too close"], "hatched")]
        texts = (row["limit"], row["owner"], *(str(row[head]) for head in COUNTED))
        table.append((*map(Cell, texts), _bar(pieces, longest, said)))
    return _section(title, note, LIMITS, table, most)


def _bites(summed: Rows) -> str:
    """Which limit decides most, or that none does."""
    outside, close, judged = (_all(summed, head) for head in COUNTED)
    if outside:
        top = max(summed, key=lambda row: row["outside"])
        first, alike = _first(summed, "outside", lambda row: row["limit"])
        limited = f"{top['outside']} of {top['judged']}, by the {top['owner']}"
        return f"Most often outside: {inside(first)} ({limited}){alike}"
    return f"Nothing is outside its limit, {close} of {judged} too close to it"


def _defects(rows: Rows, most: int, called: _Called, system: str) -> Section:
    kinds: Counter[str] = Counter()
    for row in rows:
        kinds[called.defect(row)] += row["defects"]
    summed = [{"kind": kind, "defects": many} for kind, many in kinds.items()]
    first, alike = _first(summed, "defects", lambda row: row["kind"])
    found = counted(_all(rows, "defects"), "defect", "defects")
    title = f"Found most often: {inside(first)} ({max(kinds.values())} of {found}){alike}"
    longest = max(row["defects"] for row in rows)
    columns = (
        Column("Defect", 20),
        Column("Where", 26),
        Column("Machine", 18),
        Column("Found", 8, True),
        Column("Jobs", 8, True),
        Column("", 26),
    )
    table = [
        (
            Cell(called.defect(row)),
            Cell(called.check(row)),
            Cell(row["machine"] or "not named"),
            Cell(str(row["defects"])),
            Cell(str(row["jobs"])),
            _bar([Piece(row["defects"])], longest, str(row["defects"])),
        )
        for row in rows
    ]
    return _section(title, "", columns, table, most)


def _time(rows: Rows, most: int, called: _Called, system: str) -> Section:
    first, alike = _first(rows, NINE, called.step)
    longest = max(_number(row[NINE]) for row in rows)
    title = f"{first} takes longest, nine of ten jobs within {_hours(longest)}{alike}"
    columns = (
        Column("Step", 34),
        Column("Jobs", 8, True),
        Column("Half within", 14, True),
        Column("Nine of ten within", 18, True),
        Column("Black: half. Hollow: nine of ten", 26),
    )
    table = []
    for row in rows:
        half, nine = _number(row[HALF]), _number(row[NINE])
        said = f"half within {_hours(half)}, nine of ten within {_hours(nine)}"
        pieces = [Piece(half), Piece(nine - half, "hollow")]
        texts = (called.step(row), str(row["jobs"]), _hours(half), _hours(nine))
        table.append((*map(Cell, texts), _bar(pieces, longest, said)))
    return _section(title, "", columns, table, most)


def _late(rows: Rows, most: int, called: _Called, system: str) -> Section:
    late, ordered = _all(rows, "late"), _all(rows, "ordered")
    title = f"No part was late, of {counted(ordered, 'order', 'orders')}"
    if late:
        first, alike = _first(rows, "late", lambda row: row["place"])
        title = f"{late} of {counted(ordered, 'order', 'orders')} late, most often {inside(first)}{alike}"
    longest = max(row["ordered"] for row in rows)
    columns = (
        Column("Part", 38),
        Column("Ordered", 10, True),
        Column("Late", 10, True),
        Column("Most days late", 16, True),
        Column("Black: late. Hollow: in time", 26),
    )
    table = []
    for row in rows:
        pieces = [Piece(row["late"]), Piece(row["ordered"] - row["late"], "hollow")]
        texts = (row["place"], *(str(row[head]) for head in ("ordered", "late", "most days late")))
        table.append((*map(Cell, texts), _bar(pieces, longest, f"{row['late']} of {row['ordered']} late")))
    return _section(
        title,
        "Late is also what had not come after its day, when the jobs were judged last.",
        columns,
        table,
        most,
    )


def _section(
    title: str, note: str, columns: Sequence[Column], rows: Sequence[tuple[Cell, ...]], most: int
) -> Section:
    left = len(rows) - most
    more = [f"{counted(left, 'more row', 'more rows')} not shown."] if left > 0 else []
    words = " ".join([*([note] if note else []), *more])
    blocks: list[Block] = [Table(tuple(columns), tuple(rows[:most]), fine=True)]
    return Section(title, (*blocks, Words(words, "fine")) if words else tuple(blocks), 2)


def _first(rows: Rows, head: str, name: Callable[[Row], str]) -> tuple[str, str]:
    """What is first by a figure, and in words how many others are just as high."""
    top = max(_number(row[head]) for row in rows)
    names = list(dict.fromkeys(name(row) for row in rows if _number(row[head]) == top))
    return names[0], f"; {len(names) - 1} more alike" if len(names) > 1 else ""


def _all(rows: Rows, head: str) -> int:
    return sum(row[head] for row in rows)


def _number(value: object) -> float:
    return 0.0 if value is None else float(str(value))


def _um(um: float, system: str) -> str:
    return Amount(Decimal(f"{um}"), "thickness").words(system)


def _hours(hours: float) -> str:
    return f"{hours:g} h"


def _bar(pieces: Sequence[Piece], most: float, says: str, width: float = WIDE) -> Cell:
    return Cell("", drawing=bar(pieces, most, width, says))
