"""The seal list in plain lines, as data, and as a table a spreadsheet opens right, for the parts clerk."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from inspect_app.job.seals.inputs import Known
from inspect_app.job.seals.line import Dimension, Doubt, SealLine, Step
from inspect_app.job.seals.seal_list import SealList
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.quantities import show, show_text
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.units import KINDS
from inspect_app.trade.measuring.wording import counted
from inspect_app.trade.sealing.pairings import Objection

BOM = "\ufeff"
"""Tells a spreadsheet that the file is UTF-8."""

MONTH = r"(jan|feb|m[aä]r|apr|ma[iy]|jun|jul|aug|sep|o[ck]t|nov|de[cz])[a-zäû]*"
TURNED = re.compile(
    r"[=+\-@\t\r']"
    r"|[\d\s.,/:%$€£-]+$|[\d.,]+e\d+$|\d[\d:.]*\s*[ap]m$"
    rf"|\d[\d\s./-]*{MONTH}\.?[\d\s./,-]*$|{MONTH}\.?[\d\s./,-]+$"
    r"|(true|false|wahr|falsch|vrai|faux)$",
    re.IGNORECASE,
)
"""What a spreadsheet would run as a formula, or turn into a number, a date or a yes: such a text is escaped."""

ESCAPE = "'"

DIMENSIONS = ("groove diameter", "groove width", "seals on")
"""What was measured, in columns of its own."""


def head(system: str) -> tuple[str, ...]:
    """The heads of a spreadsheet's columns, lengths with the reader's unit.

    Args:
        system: "metric" or "inch".
    """
    unit = KINDS["length"].shown(system)[0].name
    sizes = (f"{of}{either} [{unit}]" for of in DIMENSIONS for either in ("", " ±"))
    return (
        "job", "state", "number", "position", "place", "seal", "housing", "provenance", "size", "material",
        "back-up rings", "quantity", "unit", f"cut length [{unit}]", *sizes, "may be ordered", "open doubts",
    )  # fmt: skip


def seal_lines(name: str, listing: SealList, system: str) -> Iterator[str]:
    """The list as lines: what may be ordered, what is asked once for the cylinder, then line by line.

    Args:
        name: the job.
        listing: its seal list.
        system: "metric" or "inch".
    """
    ready = sum(line.orderable for line in listing.lines)
    yield f"{name}: seal list, {listing.state}. {ready} of {len(listing.lines)} lines may be ordered."
    shared = dict.fromkeys(d.objection for line in listing.lines for d in line.open_doubts if d.shared)
    if shared:
        yield ""
        yield "Asked once, for the whole cylinder:"
        for objection in shared:
            yield f"  ? {_objection_words(objection, system)}"
    for number, line in enumerate(listing.lines, 1):
        yield ""
        yield f"{number}. {line.title}, {line.place}: {order_words(line, system)}"
        yield from (f"   {said}" for said in _about(line, system))
    if listing.settled:
        yield ""
        listed = "; ".join(f"{s.position.title}, {s.place}: {s.words}" for s in listing.settled)
        yield f"Answered: {listed}."
    if listing.unsaid:
        yield ""
        listed = "; ".join(f"{a.position.title}, {a.place}" for a in listing.unsaid)
        yield f"May be there, and nobody has said: {listed}."


def _objection_words(objection: Objection, system: str) -> str:
    return f"{objection.sentence.words(system)} To settle it: {objection.settles.words(system)}."


def order_words(line: SealLine, system: str) -> str:
    """What to order, in one sentence.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    if not line.ring:
        return "not known yet."
    made = material_words(line)
    backups = f"; {backup_words(line)}" if line.backups else ""
    number = (
        "how many is not known" if line.quantity is None else f"{line.quantity} {unit_words(line, system)}"
    )
    ready = "may be ordered" if line.orderable else "not yet"
    ring = line.ring.words(system)
    return f"{line.seal} {ring}; {made or 'no material yet'}{backups}; {number}: {ready}."


def material_words(line: SealLine) -> str:
    """The materials of a seal, part by part, with their hardness.

    Args:
        line: the line.
    """
    parts = [f"{m.material} {m.hardness}".strip() for m in line.made]
    if len(parts) == 1:
        return parts[0]
    return ", ".join(f"{m.part} {words}" for m, words in zip(line.made, parts, strict=True))


def backup_words(line: SealLine) -> str:
    """The back-up rings of a line, "" where there are none.

    Args:
        line: the line.
    """
    if line.backups is None:
        return ""
    rings = counted(line.backups.number, "back-up ring", "back-up rings")
    each = " each" if (line.quantity or 1) > 1 else ""
    return f"{rings} {line.backups.material}{each}, {line.backups.where}"


def unit_words(line: SealLine, system: str) -> str:
    """The unit a line is counted in, with the length of a strip.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    return f"× {Amount(line.cut_mm, 'length', -2).words(system)} of strip" if line.cut_mm else line.unit


def provenance(line: SealLine) -> str:
    """How sure the housing's row is, and where it is from; "" without a housing.

    Args:
        line: the line.
    """
    if line.housing is None:
        return ""
    return f"{STATUSES[line.housing.status]} ({line.housing.source})"


def same_words(line: SealLine) -> str:
    """That the ways to repair that are open change nothing here; "" while one does, and where none is open.

    Args:
        line: the line.
    """
    same = bool(line.after) and all(each.same for each in line.after)
    return "The same after every way to repair that is open." if same else ""


def _about(line: SealLine, system: str) -> Iterator[str]:
    if line.measured:
        yield f"measured: {', '.join(dimension_words(d, system) for d in line.measured)}"
    if line.housing:
        yield f"housing: {in_words(line.housing.designation, system)}, {provenance(line)}"
    if line.made_to_measure:
        yield f"made to measure: {', '.join(dimension_words(d, system) for d in line.made_to_measure)}"
    yield from line.remarks
    for step in line.steps:
        yield f"- {step.name}: {step.sentence.words(system)}{_from(step)}"
    if same := same_words(line):
        yield same
    yield from (f"old: {pointer.sentence.words(system)}" for pointer in line.old)
    for doubt in line.doubts:
        if doubt.open and not doubt.shared:
            mark = "STOP" if doubt.objection.stop else "?"
            yield f"{mark} {_objection_words(doubt.objection, system)}"
        elif doubt.closed:
            said = doubt.objection.sentence.words(system)
            yield f"closed by {doubt.closed.by}: {said} Why: {doubt.closed.reason}"


def _from(step: Step) -> str:
    if not step.source:
        return ""
    return f" [{step.source}: {STATUSES[step.status]}]" if step.status else f" [{step.source}]"


def dimension_words(dimension: Dimension, system: str) -> str:
    """A dimension as measured, with what it may be off and how often it was read.

    Args:
        dimension: the dimension.
        system: "metric" or "inch".
    """
    if dimension.known is None:
        return f"{dimension.name} {dimension.words or 'missing'}"
    known = dimension.known
    value = show_text(_decimal(known.value_mm), kind="length", system=system)
    either = show_text(_decimal(known.expanded_mm), kind="length", system=system)
    off = f" ± {either}" if known.expanded_mm else ""
    how = counted(known.readings, "reading", "readings") if known.readings else "typed, not read"
    return f"{dimension.name} {value}{off} ({how})"


def _decimal(number: float) -> Decimal:
    return Decimal(repr(round(number, 6)))


def seal_data(name: str, listing: SealList) -> dict[str, Any]:
    """The list as data: lengths in mm, sentences metric, every step with its source, every doubt with what settles it.

    Args:
        name: the job.
        listing: its seal list.
    """
    return {
        "job": name,
        "state": listing.state,
        "lines": [_line_data(line) for line in listing.lines],
        "answered": [
            {"position": s.position.id, "place": s.place, "answer": s.words} for s in listing.settled
        ],
        "unsaid": [{"position": a.position.id, "place": a.place} for a in listing.unsaid],
    }


def _line_data(line: SealLine) -> dict[str, Any]:
    housing = line.housing
    return {
        "position": line.position,
        "place": line.place,
        "title": line.title,
        "seal": line.seal,
        "measured_mm": [_dimension_data(d) for d in line.measured],
        "housing": housing
        and {
            "standard": housing.standard,
            "designation": str(housing.designation),
            "status": housing.status,
            "source": housing.source,
        },
        "candidates": [{"designation": str(c.housing.designation), "off": c.worst} for c in line.candidates],
        "made_to_measure_mm": [_dimension_data(d) for d in line.made_to_measure],
        "surface": str(line.surface),
        "size": str(line.ring),
        "material": [{"part": m.part, "material": m.material, "hardness": m.hardness} for m in line.made],
        "quantity": line.quantity,
        "unit": line.unit,
        "cut_mm": line.cut_mm,
        "backup_rings": backup_words(line),
        "remarks": list(line.remarks),
        "steps": [
            {"step": s.name, "sentence": str(s.sentence), "source": s.source, "status": s.status}
            for s in line.steps
        ],
        "doubts": [_doubt_data(d) for d in line.doubts],
        "old": [{"looks": p.state, "fits": p.fits, "sentence": str(p.sentence)} for p in line.old],
        "after": [{"way": a.way, "thing": str(a.thing), "same": a.same} for a in line.after],
        "orderable": line.orderable,
    }


def _dimension_data(dimension: Dimension) -> dict[str, Any]:
    known = dimension.known
    return {
        "name": dimension.name,
        "value": known and round(known.value_mm, 4),
        "expanded_uncertainty": known and known.expanded_mm,
        "readings": known and known.readings,
        "words": dimension.words,
    }


def _doubt_data(doubt: Doubt) -> dict[str, Any]:
    objection = doubt.objection
    return {
        "rule": objection.rule,
        "sentence": str(objection.sentence),
        "settles": str(objection.settles),
        "stop": objection.stop,
        "waits": objection.waits,
        "open": doubt.open,
        "closed_by": doubt.closed.by if doubt.closed else "",
        "reason": doubt.closed.reason if doubt.closed else "",
    }


def seal_csv(name: str, listing: SealList, *, system: str, decimal_comma: bool) -> str:
    """The list as a table for a spreadsheet: UTF-8 with its mark, units in the head, sizes kept as text.

    Args:
        name: the job.
        listing: its seal list.
        system: "metric" or "inch".
        decimal_comma: numbers with a comma and ``;`` between cells, or with a point and a comma between.
    """
    between = ";" if decimal_comma else ","
    rows = [
        head(system),
        *(_cells(name, listing.state, at, system, decimal_comma) for at in enumerate(listing.lines, 1)),
    ]
    return BOM + "".join(between.join(_quoted(cell) for cell in row) + "\r\n" for row in rows)


def _cells(
    name: str, state: str, at: tuple[int, SealLine], system: str, decimal_comma: bool
) -> tuple[str, ...]:
    number, line = at
    known = {d.name: d.known for d in line.measured}
    numbers = [
        cell for dimension in DIMENSIONS for cell in _size_cells(known.get(dimension), system, decimal_comma)
    ]
    texts = (
        line.title, line.place, line.seal,
        in_words(line.housing.designation, system) if line.housing else "", provenance(line),
        line.ring.words(system), material_words(line), backup_words(line),
    )  # fmt: skip
    doubts = " ".join(d.objection.sentence.words(system) for d in line.open_doubts)
    cut = Amount(line.cut_mm, "length", -2).figure(system)[0] if line.cut_mm else ""
    counts = ("" if line.quantity is None else str(line.quantity), line.unit, _number(cut, decimal_comma))
    return (
        escaped(name), escaped(state), str(number), *(escaped(text) for text in texts), *counts,
        *numbers, "yes" if line.orderable else "no", escaped(doubts),
    )  # fmt: skip


def _size_cells(known: Known | None, system: str, decimal_comma: bool) -> tuple[str, ...]:
    if known is None:
        return "", ""
    sizes = (_decimal(mm) for mm in (known.value_mm, known.expanded_mm))
    return tuple(_number(show(mm, kind="length", system=system)[0], decimal_comma) for mm in sizes)


def _number(text: str, decimal_comma: bool) -> str:
    return text.replace(".", ",") if decimal_comma else text


def escaped(text: str) -> str:
    """A text a spreadsheet leaves alone: what it would run or turn into a number or a date gets a sign in front.

    Args:
        text: the text of a cell.

    >>> escaped("-325"), escaped("1-1/2"), escaped("AS568-325")
    ("'-325", "'1-1/2", 'AS568-325')
    """
    return ESCAPE + text if TURNED.match(text) else text


def unescaped(cell: str) -> str:
    """A cell as it was before `escaped`.

    Args:
        cell: the text of a cell.

    >>> unescaped("'-325"), unescaped("AS568-325")
    ('-325', 'AS568-325')
    """
    return cell[1:] if cell.startswith(ESCAPE) else cell


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if re.search(r'[",;\r\n]', cell) else cell
