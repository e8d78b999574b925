"""The questions over the fleet and their answers; these are views of the hub, made anew when jobs were judged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from inspect_app.hub.connecting import only

if TYPE_CHECKING:
    from psycopg import Connection


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its name, what is asked, and the view that answers it, the most pressing row first."""

    name: str
    title: str
    view: str
    order: str


QUESTIONS = (
    Question("wear", "What wears, and how fast: half of the cylinders less", "what_wears", "jobs DESC, 1"),
    Question("limits", "Which limits decide most, and whose they are", "limits_that_bite", "outside DESC, 7 DESC, 1"),
    Question("defects", "What was found, where, on which machines", "defects_seen", "defects DESC, 1, 2, 3"),
    Question("time", "How long the steps take", "time_in_steps", "nine_of_ten_within_hours DESC, 1"),
    Question("late", "Which parts come late", "late_parts", "late DESC, 1"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Answer:
    """What a question comes to: the heads of the columns, and the rows."""

    question: Question
    heads: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]


def answers(hub: Connection) -> list[Answer]:
    """What every question comes to.

    Args:
        hub: the hub, connected as a login of the fleet.
    """
    found = []
    for question in QUESTIONS:
        asked = hub.execute(f"SELECT * FROM hub.{question.view} ORDER BY {question.order}".encode())
        heads = tuple(column.name.replace("_", " ") for column in asked.description or ())
        found.append(Answer(question, heads, tuple(asked.fetchall())))
    return found


def judged_words(hub: Connection) -> str:
    """How many jobs the answers are made of, of how many there are."""
    judged = only(hub, "SELECT count(*) FROM hub.judged")
    jobs = only(hub, "SELECT count(DISTINCT job) FROM hub.entry WHERE kind = 'job'")
    return f"Judged are {judged} of {jobs} jobs."


def last_opened(hub: Connection) -> str:
    """When the last job at the hub was opened, UTC; "" of an empty one."""
    return str(only(hub, "SELECT coalesce(max(at), '') FROM hub.entry WHERE kind = 'job'"))


def as_lines(every: Sequence[Answer], most: int) -> Iterator[str]:
    """The answers as lines of text.

    Args:
        every: the answers.
        most: at most so many rows of each; the others are counted.
    """
    for answer in every:
        yield ""
        yield answer.question.title
        cells = [answer.heads, *(tuple(map(_cell, row)) for row in answer.rows[:most])]
        widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
        for row in cells if answer.rows else ():
            yield (
                "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            )
        if not answer.rows:
            yield "  nothing yet"
        if len(answer.rows) > most:
            yield f"  and {len(answer.rows) - most} more"


def as_data(every: Sequence[Answer]) -> dict[str, list[dict[str, Any]]]:
    """The answers as data; figures with decimals as text, as they stand at the hub."""
    return {
        a.question.name: [dict(zip(a.heads, map(_plain, row), strict=True)) for row in a.rows] for a in every
    }


def _cell(value: Any) -> str:
    return "-" if value is None else str(value)


def _plain(value: Any) -> Any:
    return value if value is None or isinstance(value, int | str) else str(value)
