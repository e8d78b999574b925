"""The repair paths of a job, priced by the shop's rates: where tables, rates and the cylinder meet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.bench.sealing import as_left
from inspect_app.entries.job import Job
from inspect_app.job.paths import Paths, RepairPath, Standing
from inspect_app.job.pricing import NewCylinder, Priced, Recommendation, cheapest, new_cylinder, recommend
from inspect_app.job.seals.after import state_after
from inspect_app.job.seals.of_survey import remeasured, state_of
from inspect_app.job.seals.seal_list import Pair, seal_list, side_by_side
from inspect_app.tables.rates import Rates
from inspect_app.trade.measuring.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Proposal:
    """The ways of one job: its paths, those offered with their prices, what to recommend, and a new cylinder."""

    paths: Paths
    offered: tuple[Priced, ...]
    unproven: tuple[Priced, ...]
    recommendation: Recommendation
    rates: Rates
    new: NewCylinder | None


def propose(bench: Bench, job: Job, shop: Path | None) -> Proposal:
    """The repair paths of a job as found, with prices and a recommendation.

    Args:
        bench: the bench.
        job: the job.
        shop: the data folder whose rates are taken; None takes the shipped example.
    Raises:
        TableError: the rates cannot be used.
    """
    paths, cylinder = bench.ways(job)
    rates = bench.kept_tables.rates(shop, bench.tables_of(job).operations)
    return Proposal(
        paths,
        cheapest(paths, rates),
        cheapest(paths, rates, Standing.UNPROVEN),
        recommend(paths, cylinder, rates),
        rates,
        new_cylinder(cylinder, rates),
    )


def seals_after(bench: Bench, job: Job, wanted: str, shop: Path | None) -> tuple[str, tuple[Pair, ...]]:
    """The seal list as it is and after a path, side by side, and the state after it by name.

    Args:
        bench: the bench.
        job: the job.
        wanted: the path: its number among those offered, or its operations with + between.
        shop: the data folder whose rates are taken; None takes the shipped example.
    Raises:
        Refusal: no path of this name, with those there are.
    """
    path = path_named(propose(bench, job, shop), wanted, job.name)
    tables, handbook, left = bench.tables_of(job), bench.handbook_of(job), as_left(job)
    now = state_of(remeasured(job.as_found, left), tables, handbook)
    after = state_after(job.as_found, bench.assess(job), path.plan, tables, handbook, left)
    return after.name, side_by_side(seal_list(now, handbook), seal_list(after, handbook))


def path_named(proposal: Proposal, wanted: str, job_name: str) -> RepairPath:
    """A path by its number among those offered, or by its operations with + between.

    Args:
        proposal: the ways of a job.
        wanted: number or operations.
        job_name: what the job is called.
    Raises:
        Refusal: no path of this name, with those there are.
    """
    offered = {str(n): priced.path for n, priced in enumerate(proposal.offered, 1)}
    named = offered | {"+".join(path.operations): path for path in proposal.paths.every}
    path = named.get(wanted)
    if path is None:
        known = "; ".join(f"{n}: {'+'.join(path.operations)}" for n, path in offered.items()) or "none"
        raise Refusal(f"{wanted!r} is no path of {job_name}; offered are {known}.")
    return path
