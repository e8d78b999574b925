"""The seal list as whoever orders reads it: what stands, what holds a line back; for screen and paper alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.job.seals.line import Doubt, SealLine, Step
from inspect_app.job.seals.seal_list import SealList
from inspect_app.report.seal_lines import backup_words, dimension_words, material_words, unit_words
from inspect_app.tables.sources import STATUSES, Source
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital, counted

MEMORY_RULE = "memory"


@dataclass(frozen=True, slots=True)
class Numbered:
    """A line under its number in the whole list, the same on screen and on paper."""

    number: int
    line: SealLine

    @property
    def title(self) -> str:
        """Its number, position and place."""
        return f"{self.number}. {self.line.title}, {self.line.place}"


def ready(listing: SealList) -> tuple[Numbered, ...]:
    """The lines that can be ordered.

    Args:
        listing: the seal list.
    """
    return tuple(n for n in numbered(listing) if n.line.orderable)


def numbered(listing: SealList) -> tuple[Numbered, ...]:
    """Every line under its number.

    Args:
        listing: the seal list.
    """
    return tuple(Numbered(n, line) for n, line in enumerate(listing.lines, 1))


def standing_words(listing: SealList) -> str:
    """How many lines there are, how many can be ordered, how many have an open doubt.

    Args:
        listing: the seal list.
    """
    lines, can = len(listing.lines), len(ready(listing))
    open_doubt = sum(bool(line.open_doubts) for line in listing.lines)
    doubts = counted(open_doubt, "has", "have")
    return f"{counted(lines, 'line', 'lines')}, {can} can be ordered, {doubts} an open doubt."


def asked_once(listing: SealList, system: str) -> tuple[tuple[str, str], ...]:
    """The open doubts about the whole cylinder, each with what settles it, once.

    Args:
        listing: the seal list.
        system: "metric" or "inch".
    """
    shared = (doubt_words(d, system) for line in listing.lines for d in line.open_doubts if d.shared)
    return tuple(dict.fromkeys(shared))


def doubt_words(doubt: Doubt, system: str) -> tuple[str, str]:
    """A doubt, and what settles it.

    Args:
        doubt: the doubt.
        system: "metric" or "inch".
    """
    objection = doubt.objection
    stop = "Stop: " if objection.stop else ""
    return (
        f"{stop}{in_words(objection.sentence, system)}",
        f"To settle it: {in_words(objection.settles, system)}.",
    )


def waits_for(line: SealLine) -> str:
    """That a line waits for what is asked once, or "".

    Args:
        line: the line.
    """
    shared = sum(d.shared for d in line.open_doubts)
    if not shared:
        return ""
    return f"Waits for {counted(shared, 'answer', 'answers')} asked once for the whole cylinder."


def closed_words(doubt: Doubt, system: str) -> str:
    """A doubt that a person closed: by whom, and why; "" for one that nobody closed.

    Args:
        doubt: the doubt.
        system: "metric" or "inch".
    """
    if doubt.closed is None:
        return ""
    return f"Closed by {doubt.closed.by}: {in_words(doubt.objection.sentence, system)} Why: {doubt.closed.reason}"


def step_words(step: Step, system: str) -> str:
    """A step of the choice: what was asked, and what it came to.

    Args:
        step: the step.
        system: "metric" or "inch".
    """
    return f"{capital(in_words(step.name, system))}: {in_words(step.sentence, system)}"


def size_words(line: SealLine, system: str) -> str:
    """The seal and its size: a designation, or made to measure.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    if not line.ring:
        return "Not known yet"
    return capital(f"{line.seal} {in_words(line.ring, system)}".strip())


def made_words(line: SealLine) -> str:
    """Its materials with their hardness, and its back-up rings.

    Args:
        line: the line.
    """
    return "; ".join(w for w in (material_words(line) or "no material yet", backup_words(line)) if w)


def count_words(line: SealLine, system: str) -> str:
    """How many, in its unit.

    Args:
        line: the line.
        system: "metric" or "inch", for strip.
    """
    if line.quantity is None:
        return "how many is not known"
    several = "s" if line.quantity > 1 and not line.cut_mm else ""
    return f"{line.quantity} {unit_words(line, system)}{several}"


def basis_words(line: SealLine, system: str) -> str:
    """Whether its groove is matched to a listed housing, or measured and none is near, or neither yet.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    if line.housing:
        housing = in_words(line.housing.designation, system)
        same = housing in in_words(line.ring, system)
        return "Matched to this standard housing." if same else f"Matched to {housing}."
    if line.made_to_measure:
        return "Measured; no listed housing is near."
    return "Not measured far enough to know its size."


def measured_words(line: SealLine, system: str) -> tuple[str, ...]:
    """Each dimension as measured; of one made to measure everything its maker needs.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    return tuple(capital(dimension_words(d, system)) for d in line.made_to_measure or line.measured)


def source_words(key: str, status: str, sources: Mapping[str, Source], system: str) -> str:
    """Where a step is from and how sure that is, "" without a source.

    Args:
        key: the source's key.
        status: how sure, a key of STATUSES, or "".
        sources: the sources of the tables.
        system: "metric" or "inch".
    """
    if not key:
        return ""
    title = sources[key].title.words(system) if key in sources else key
    return f"{title} ({STATUSES[status]})" if status else title


def none_words(listing: SealList, system: str) -> tuple[str, ...]:
    """What was answered to be not there, or to be something else.

    Args:
        listing: the seal list.
        system: "metric" or "inch".
    """
    return tuple(f"{s.position.title}, {s.place}: {in_words(s.words, system)}" for s in listing.settled)


def unsaid_words(listing: SealList) -> tuple[str, ...]:
    """What may be there, and nobody has said.

    Args:
        listing: the seal list.
    """
    return tuple(f"{a.position.title}, {a.place}" for a in listing.unsaid)
