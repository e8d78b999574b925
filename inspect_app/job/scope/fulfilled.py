"""What the customer agreed to, held against the cylinder as left: what is not done, what is done and not within limit.

It is what speaks against letting the cylinder go; whoever lets it go says why.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from inspect_app.entries.agreed import Agreeing, CustomerAnswer
from inspect_app.job.as_left import PartNow
from inspect_app.job.assess import FIT
from inspect_app.job.scope.shown import Scope, ScopeLine, from_data
from inspect_app.job.words import disposition_words
from inspect_app.tables.operations import Operation
from inspect_app.trade.measuring.wording import listed

NOT_YET = "Not to be let go before this is settled, or somebody says why:"
"""What stands before the sentences of `against_release`."""


def last_yes(agreeing: Agreeing) -> tuple[CustomerAnswer, Scope] | None:
    """The yes that was given last, where no refusal came after it, with what it was said to.

    Args:
        agreeing: every version and answer.
    """
    deciding = [a for a in agreeing.answers if a.decides]
    if not deciding or deciding[-1].answer != "yes":
        return None
    version = agreeing.version(deciding[-1].version)
    return (deciding[-1], from_data(version.shown)) if version else None


def agreed_lines(answer: CustomerAnswer, scope: Scope) -> tuple[ScopeLine, ...]:
    """The lines that are done by this answer: the firm ones and the options said yes to.

    Args:
        answer: a yes.
        scope: what it was said to.
    """
    return tuple(line for line in scope.lines if not line.optional or answer.options.get(line.line))


def parts_agreed(agreeing: Agreeing, operations: Mapping[str, Operation]) -> frozenset[str]:
    """The parts that are worked on by what was agreed to.

    Args:
        agreeing: every version and answer.
        operations: the operations by id.
    """
    agreed = last_yes(agreeing)
    if agreed is None:
        return frozenset()
    done = (operations[line.line] for line in agreed_lines(*agreed) if line.line in operations)
    return frozenset(part for operation in done for part in (*operation.parts, *operation.renews))


def against_release(
    agreeing: Agreeing, parts: Sequence[PartNow], operations: Mapping[str, Operation]
) -> tuple[str, ...]:
    """What was agreed to and is not done, or is done and not within limit, a sentence each.

    Work that cures nothing measured, such as new seals, is not told by any reading and is left out.

    Args:
        agreeing: every version and answer.
        parts: every part as found and as left.
        operations: the operations by id.
    """
    agreed = last_yes(agreeing)
    if agreed is None:
        return ()
    said = []
    for line in agreed_lines(*agreed):
        operation = operations.get(line.line)
        if operation is None or not line.items:
            continue
        these = [
            p
            for p in parts
            if {p.part.id, p.part.repeats} & {*operation.parts} and p.found.disposition not in FIT
        ]
        waiting = [p.part.title for p in these if not p.touched]
        unfit = [p for p in these if p.touched and p.left.disposition not in FIT]
        if waiting:
            said.append(f"{line.title}: agreed to and not done; {listed(waiting)} not measured since.")
        for part in unfit:
            told = f"{part.part.title} as left: {disposition_words(part.left)}"
            said.append(f"{line.title}: done and not within limit; {told}.")
    return tuple(said)
