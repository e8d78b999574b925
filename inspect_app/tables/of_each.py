"""Work on one of several parts alike: an operation of its own for each stage or side, which cures nothing of another.

Of what stands several times each has its own work, price and proof: `rechrome` becomes `stage-3-rechrome`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.limits import Limit
from inspect_app.tables.operations import Nonsense, Operation, Operations


@dataclass(slots=True)
class _Time:
    """One of several times: its id and name, its parts by the name they repeat, and its checks."""

    at: str
    called: str
    parts: dict[str, str] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)


def operations_of_each(operations: Operations, cylinders: Iterable[Cylinder]) -> Operations:
    """Operations with one more for each stage or side it is done to; the plain one keeps what stands once.

    Args:
        operations: each naming the checks it cures.
        cylinders: the checklists.
    """
    kinds = tuple(cylinders)
    times = _times(kinds)
    around: dict[str, set[str]] = {}
    for cylinder in kinds:
        for check in cylinder.checks:
            around.setdefault(check.id, set()).update(p.id for p in cylinder.parts)
    each = {o.id: [own for t in times if (own := _own(o, t))] for o in operations.by_id.values()}
    every = [
        x for o in operations.by_id.values() for x in (_plain(o, times, each[o.id], around), *each[o.id])
    ]
    by_id = {o.id: o for o in every}
    ordered = {o.id: replace(o, after=_before(o, each, by_id)) for o in every}
    nonsense = [x for one in operations.nonsense for x in (one, *_nonsense_of_each(one, times, by_id))]
    return Operations(ordered, operations.figures, tuple(nonsense))


def cured_on_each(
    limits: Iterable[Limit], operations: Operations, cylinders: Iterable[Cylinder]
) -> tuple[Limit, ...]:
    """Limits whose cure is the work on the very stage or side they are on.

    Args:
        limits: a limit for each check.
        operations: with one for each stage or side.
        cylinders: the checklists.
    """
    at = {check: time.at for time in _times(cylinders) for check in time.checks}

    def own(limit: Limit) -> Limit:
        cure = limit.cure and operations.by_id.get(f"{at.get(limit.check)}-{limit.cure.id}")
        return replace(limit, cure=cure) if cure else limit

    return tuple(own(limit) for limit in limits)


def _times(cylinders: Iterable[Cylinder]) -> list[_Time]:
    found: dict[str, _Time] = {}
    for cylinder in cylinders:
        here: dict[str, _Time] = {}
        for part in (p for p in cylinder.parts if p.repeats):
            here[part.at] = found.setdefault(part.at, _Time(part.at, part.called))
            here[part.at].parts[part.repeats] = part.id
        for time in here.values():
            time.checks |= {
                c.id: c for c in cylinder.checks if c.repeats and c.id == f"{time.at}-{c.repeats}"
            }
    return list(found.values())


def _own(operation: Operation, time: _Time) -> Operation | None:
    """The operation as it is done to one of several; None where it is not done to it alone."""
    cures = {check: what for check, what in operation.cures.items() if check in time.checks and what}
    on = {time.checks[check].part for check in cures}
    mine = [time.parts[p] for p in operation.parts if p in time.parts]
    shared = [p for p in operation.parts if p not in time.parts and p in on]
    renews = tuple(time.parts[p] for p in operation.renews if p in time.parts)
    if not cures or not (mine or shared) or len(renews) < len(operation.renews):
        return None
    return replace(
        operation,
        id=f"{time.at}-{operation.id}",
        title=f"{operation.title} ({time.called})",
        parts=(*mine, *shared),
        renews=renews,
        cures=cures,
        reach={check: what for check, what in operation.reach.items() if check in time.checks},
        repeats=operation.id,
        at=time.at,
        called=time.called,
    )


def _plain(
    operation: Operation, times: Iterable[_Time], own: Iterable[Operation], around: Mapping[str, set[str]]
) -> Operation:
    """The operation without what is done to one of several; a part that stands once it still does as a whole.

    `around` are all parts of the cylinders that have a check: where there is none of those it renews it is not done.
    """
    done = {o.at for o in own}

    def stays(check: str) -> bool:
        if check not in around:
            return True  # no such check: the reader says so
        if not {*operation.renews} <= around[check]:
            return False
        time = next((t for t in times if check in t.checks), None)
        return time is None or (time.at not in done and time.checks[check].part not in time.parts.values())

    def kept(by_check: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        return {check: what for check, what in by_check.items() if stays(check)}

    return replace(operation, cures=kept(operation.cures), reach=kept(operation.reach))


def _before(
    operation: Operation, each: Mapping[str, list[Operation]], known: Mapping[str, Operation]
) -> tuple[str, ...]:
    """What comes before it: of work on the same stage or side that alone, else the plain one and each."""
    found: list[str] = []
    for name in operation.after:
        own = f"{operation.at}-{name}"
        if not operation.at:
            found += [name, *(o.id for o in each.get(name, ()))]
        else:
            found += [own if own in known else name]
    return tuple(found)


def _nonsense_of_each(
    one: Nonsense, times: Iterable[_Time], known: Mapping[str, Operation]
) -> Iterable[Nonsense]:
    for time in times:
        together, without = (
            tuple(own if (own := f"{time.at}-{name}") in known else name for name in names)
            for names in (one.together, one.without)
        )
        if together != one.together:
            yield replace(one, id=f"{time.at}-{one.id}", together=together, without=without)
