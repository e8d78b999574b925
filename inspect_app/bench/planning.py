"""The repair paths of a job, priced by the shop's rates: where tables, rates and the cylinder meet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from inspect_app import tables as checklists
from inspect_app.bench.bench import Bench
from inspect_app.entries.agreed import Agreeing
from inspect_app.entries.job import Job
from inspect_app.job.known import duties_of, found_of
from inspect_app.job.paths import Case, Paths, RepairPath, Standing, bands_of, paths_of
from inspect_app.job.planned import Cylinder
from inspect_app.job.planned_survey import judged
from inspect_app.job.pricing import NewCylinder, Priced, Recommendation, cheapest, new_cylinder, recommend
from inspect_app.job.seals.after import state_after
from inspect_app.job.seals.seal_list import Pair, seal_list, side_by_side
from inspect_app.tables import Tables
from inspect_app.tables.rates import Rates, load_rates
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
    tables = bench.tables_of(job)
    known = replace(job.judged, agreeing=Agreeing(confirmed=job.agreeing.confirmed))
    paths, cylinder = bench.remembered.of(known, tables, "paths", lambda: _paths(bench, job, tables))
    # the shop's rates may change while the program runs: they are read each time, and price what is remembered
    rates = load_rates(checklists.shipped_folder(), shop, tables.operations)
    return Proposal(
        paths,
        cheapest(paths, rates),
        cheapest(paths, rates, Standing.UNPROVEN),
        recommend(paths, cylinder, rates),
        rates,
        new_cylinder(cylinder, rates),
    )


def _paths(bench: Bench, job: Job, tables: Tables) -> tuple[Paths, Cylinder]:
    """The paths of a job as found, and what the recommendation asks of the cylinder."""
    survey, rules, assessment = job.as_found, tables.operations, bench.assess(job)
    found = found_of(assessment, survey, rules, bench.handbook_of(job))
    case = Case(
        assessment,
        found,
        bands_of(assessment, rules),
        rules,
        {name: answer.text for name, answer in survey.answers.items()},
        duties_of(survey, rules),
        frozenset(job.agreeing.confirmed),
        judge=judged(survey, assessment, tables),
    )
    return paths_of(case), found.cylinder


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
    tables, handbook = bench.tables_of(job), bench.handbook_of(job)
    after = state_after(job.as_found, bench.assess(job), path.plan, tables, handbook)
    return after.name, side_by_side(bench.seal_list(job), seal_list(after, handbook))


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
