"""What a step asks of the shop's means, against what they are rated for: said before anybody finds out under load."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal

from inspect_app.entries.means import Means
from inspect_app.job.assembling import joints_of
from inspect_app.job.output import oil_out_ml
from inspect_app.job.step_figures import TEARDOWN
from inspect_app.job.steps import Facts
from inspect_app.job.testing import pressures_of
from inspect_app.tables.means import MeansKind
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Said, Sentence
from inspect_app.trade.strength.force import circle_area_mm2


def _plate(name: str) -> Callable[[Facts], Decimal | None]:
    return lambda facts: facts.job.as_found.length(name)


def _recorded(name: str) -> Callable[[Facts], Decimal | None]:
    return lambda facts: facts.job.steps.value(TEARDOWN, name)


def _length(facts: Facts) -> Decimal | None:
    """How long it is with the rod out; the stroke alone where the closed length is not known."""
    stroke, closed = (facts.job.as_found.length(n) for n in ("stroke", "closed_length"))
    return stroke + (closed or Decimal(0)) if stroke else None


def _fill(facts: Facts) -> Decimal | None:
    """The oil it holds with the rod out, ml; of a cylinder with a piston bore and stroke say it alone."""
    found = facts.job.as_found
    cylinder = facts.tables.cylinders.get(found.cylinder)
    out_ml = oil_out_ml(cylinder, found) if cylinder else None
    if out_ml is not None:
        return Decimal(repr(out_ml))
    bore, stroke = (facts.job.as_found.length(n) for n in ("bore", "stroke"))
    return Decimal(repr(circle_area_mm2(float(bore)) * float(stroke) / 1000)) if bore and stroke else None


def _tightening(facts: Facts) -> Decimal | None:
    """The greatest torque a tool has to show when it goes together, N·m."""
    shown = [nm for j in joints_of(facts.job, facts.tables) if (nm := j.tool_shows_nm)]
    return Decimal(f"{max(shown):.6g}") if shown else None


RECKONED: Mapping[str, Callable[[Facts], Decimal | None]] = {
    "mass": _plate("mass"),
    "proof": lambda facts: pressures_of(facts.job, facts.tables).proof,
    "breakaway": _recorded("breakaway"),
    "tightening": _tightening,
    "draw-force": _recorded("draw-force"),
    "length": _length,
    "fill": _fill,
}
"""What a job asks of a means, by the names of `tables/means.py`; None while it is not known."""


def means_told(step: str, facts: Facts, shops: Iterable[Means], today: str) -> tuple[Sentence, ...]:
    """What a step asks that the shop's means are not rated for, or whose test has run out; nothing where all is well.

    Of a kind the shop entered none of nothing is said.

    Args:
        step: the step's id.
        facts: the job.
        shops: the means in use.
        today: the date, year-month-day.
    """
    every = list(shops)
    told = []
    for kind in (k for k in facts.tables.means.values() if step in k.asked):
        own = [m for m in every if m.kind == kind.id]
        told += [*_beyond(kind, own, RECKONED[kind.asked[step]](facts)), *_overdue(kind, own, today)]
    return tuple(told)


def _beyond(kind: MeansKind, own: list[Means], asked: Decimal | None) -> Iterator[Sentence]:
    if not own or asked is None:
        return
    strongest = max(own, key=lambda m: m.up_to)
    shown: dict[str, Said | str] = {
        "asked": Amount(asked, kind.measures),
        "most": Amount(strongest.up_to, kind.measures),
        "title": kind.title,
        "name": strongest.name,
    }
    if asked > strongest.up_to:
        yield Sentence("{title}: {asked} is asked for; the strongest here, {name}, is rated {most}.", shown)


def _overdue(kind: MeansKind, own: list[Means], today: str) -> Iterator[Sentence]:
    for means in own:
        if means.tested_until and means.tested_until < today:
            shown = {"title": kind.title, "name": means.name, "until": means.tested_until}
            yield Sentence("{title} {name}: its test ran out on {until}.", shown)
