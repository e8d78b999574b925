"""What was found beside what is left: each part that was measured again, and how the cylinder stands now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from inspect_app.entries.job import AS_LEFT, Job
from inspect_app.figures.of_check import compared
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.findings import CheckResult, Disposition, Finding, check_verdict
from inspect_app.job.headline import listed
from inspect_app.job.words import MARKS, disposition_words, limit_sentence, place_words, value_words
from inspect_app.paper.blocks import Block, Cell, Column, Figure, Figures, Photos, Section, Table, Words
from inspect_app.report.parts import decided_words, each_wide, not_measured, said_once
from inspect_app.report.pictures import photos_of
from inspect_app.report.plain import columns
from inspect_app.trade.measuring.wording import capital

COMPARED = (
    Column("What", 25),
    Column("Limit for reuse", 27),
    Column("As found", 24),
    Column("As left", 24),
)
NOTHING = Cell("not measured")


def as_left_sections(parts: Sequence[PartNow], job: Job, system: str, wide: float) -> list[Section]:
    """As found beside as left, a table a part; nothing where nothing was said of the cylinder as left.

    Args:
        parts: every part as found and as left.
        job: the job, for its photographs.
        system: "metric" or "inch".
        wide: the room between the margins.
    """
    touched = [p for p in parts if p.touched]
    if not touched:
        return []
    blocks: list[Block] = [Words(now_sentence(parts), "strong")]
    if still := [p.now for p in parts if p.as_found_still]:
        blocks.append(Words(f"Fit as found, and nothing measured since: {listed(still)}."))
    if waiting := [p.found for p in parts if not p.touched and not p.as_found_still]:
        blocks.append(Words(f"Not fit as found, and nothing measured since: {listed(waiting)}."))
    blocks.append(
        Words(
            "Of each check the value with the least room is shown. Every reading stands in the log.", "small"
        )
    )
    return [
        Section("As found and as left", tuple(blocks)),
        *(_part_section(p, job, system, wide) for p in touched),
    ]


def as_left_lines(parts: Sequence[PartNow], system: str) -> Iterator[str]:
    """The same as plain lines, for the prompt.

    Args:
        parts: every part as found and as left.
        system: "metric" or "inch".
    """
    touched = [p for p in parts if p.touched]
    if touched:
        yield from ("", now_sentence(parts))
    for part in touched:
        yield from ("", _title(part))
        rows = [
            tuple(" · ".join(w for w in (c.text, c.under) if w) for c in row) for row in _rows(part, system)
        ]
        if rows:
            for line in columns([tuple(c.head.lower() for c in COMPARED), *rows]):
                yield f"    {line}"


def as_left_data(parts: Sequence[PartNow]) -> dict[str, Any]:
    """How it stands as left, as data; empty where nothing was said of it.

    Args:
        parts: every part as found and as left.
    """
    if not any(p.touched for p in parts):
        return {}
    return {
        "sentence": now_sentence(parts),
        "parts": [
            {
                "part": p.part.id,
                "as_found": p.found.disposition.value,
                "as_left": p.left.disposition.value if p.touched else None,
                "now": p.now.disposition.value,
            }
            for p in parts
        ],
    }


def _title(part: PartNow) -> str:
    found, left = disposition_words(part.found), disposition_words(part.left)
    return f"{part.part.title}: as found {found}, as left {left}"


def _part_section(part: PartNow, job: Job, system: str, wide: float) -> Section:
    """One part: what was decided of it as left, the comparison, its new photographs."""
    left = part.left
    blocks: list[Block] = []
    if left.decided:
        blocks.append(Words(decided_words(left.decided, left.computed, job), "strong"))
    if rows := _rows(part, system):
        blocks.append(Table(COMPARED, rows, dense=True))
    found = {c.check.id: c for c in part.found.checks}
    figures: list[Figure] = []
    for check in part.done:
        before = found.get(check.check.id)
        if before and (drawn := compared(before, check, job.survey(AS_LEFT), system, each_wide(check, wide))):
            figures.append(Figure(drawn.drawing, drawn.shows, drawn.title))
    if figures:
        blocks.append(Figures(said_once(figures)))
    blocks += not_measured(left)
    photos = tuple(photo for c in part.done for d in c.defects for photo in photos_of(job, d.id, system))
    if photos:
        blocks.append(Photos(photos))
    return Section(_title(part), tuple(blocks), 2, MARKS[left.disposition])


def _rows(part: PartNow, system: str) -> tuple[tuple[Cell, ...], ...]:
    """Every check of which something was said as left, or that was not fit as found."""
    found = {c.check.id: c for c in part.found.checks}
    done = {c.check.id for c in part.done}
    rows: list[tuple[Cell, ...]] = []
    for check in part.left.checks:
        before = found.get(check.check.id)
        unfit = before is not None and before.disposition not in (Disposition.REUSE, Disposition.OPEN)
        follows = check.check.between and any(f.value is not None for f in check.findings)
        if check.check.id in done or unfit or follows:
            rows += _looked(before, check) if check.check.look else _measured(before, check, system)
    return tuple(rows)


def _looked(before: CheckResult | None, after: CheckResult) -> list[tuple[Cell, ...]]:
    """A look: what was seen each time."""
    return [(Cell(after.check.title, bold=True), Cell(""), _seen(before), _seen(after))]


def _seen(look: CheckResult | None) -> Cell:
    if look is None or not (look.complete or look.defects or look.skipped):
        return Cell("not looked at")
    if look.skipped:
        return Cell(f"skipped: {look.skipped}")
    marks = len(look.defects)
    seen = "nothing found" if not marks else ("1 defect" if marks == 1 else f"{marks} defects")
    return Cell(seen, "" if look.complete else "look not finished", sign=check_verdict(look))


def _measured(before: CheckResult | None, after: CheckResult, system: str) -> list[tuple[Cell, ...]]:
    """A measured check: each characteristic with its limit, both values and both verdicts."""
    was = {f.characteristic: f for f in before.findings if not f.defect} if before else {}
    rows: list[tuple[Cell, ...]] = []
    for now in (f for f in after.findings if not f.defect):
        then = was.get(now.characteristic)
        if now.value is None and (then is None or then.value is None):
            continue
        judged = now.judgement("reuse") or (then.judgement("reuse") if then else None)
        limit = limit_sentence(judged.limit, now.kind).words(system) if judged else "information, no limit"
        what = Cell(capital(now.title), after.check.title)
        rows.append((what, Cell(capital(limit)), _value(then, system), _value(now, system)))
    title = Cell(after.check.title, bold=True)
    return rows or [(title, Cell(""), _left_out(before), _left_out(after))]


def _left_out(check: CheckResult | None) -> Cell:
    return Cell(f"skipped: {check.skipped}") if check and check.skipped else NOTHING


def _value(finding: Finding | None, system: str) -> Cell:
    """A value with where it is and its verdict; the mark stands with the verdict's own word."""
    if finding is None or finding.value is None:
        return NOTHING
    reuse = finding.judgement("reuse")
    judged = reuse is not None and reuse.decision is not None
    words = (
        finding.verdict.value if judged and finding.verdict else "no limit yet" if reuse else "information"
    )
    under = ", ".join(
        w for w in (words, place_words(finding.place, finding.check.stations.names, system)) if w
    )
    return Cell(value_words(finding, system), under, finding.verdict if judged else None, bold=True)
