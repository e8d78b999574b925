"""The repair paths of a job, priced by the shop's rates: where tables, rates and the cylinder meet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from inspect_app import tables as checklists
from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.job.known import Handbook, duties_of, found_of
from inspect_app.job.paths import Case, Paths, Standing, bands_of, paths_of
from inspect_app.job.planned_survey import judged
from inspect_app.job.pricing import Priced, Recommendation, cheapest, recommend
from inspect_app.job.seals.after import state_after
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import Pair, seal_list, side_by_side
from inspect_app.tables.faults import Reader
from inspect_app.tables.rates import Rates, load_rates
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.tables.standards.orings import load_extrusion_limits
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.extrusion_limits import ExtrusionLimit


@dataclass(frozen=True, slots=True)
class Proposal:
    """The ways of one job: its paths, those offered with their prices, and what to recommend."""

    paths: Paths
    offered: tuple[Priced, ...]
    unproven: tuple[Priced, ...]
    recommendation: Recommendation
    rates: Rates


def propose(bench: Bench, job: Job, shop: Path | None, system: str) -> Proposal:
    """The repair paths of a job as found, with prices and a recommendation.

    Args:
        bench: the bench.
        job: the job.
        shop: the data folder whose rates are taken; None takes the shipped example.
        system: "metric" or "inch", for the sentences.
    Raises:
        TableError: the rates cannot be used.
    """
    tables, survey = bench.tables_of(job), job.as_found
    assessment = bench.assess(job)
    rules = tables.operations
    found = found_of(assessment, survey, rules, Handbook(tables.iso286, tables.housings, _gaps()))
    case = Case(
        assessment,
        found,
        bands_of(assessment, rules),
        rules,
        {name: answer.text for name, answer in survey.answers.items()},
        duties_of(survey, rules),
        judge=judged(survey, assessment, tables, system),
        system=system,
    )
    paths = paths_of(case)
    rates = load_rates(checklists.shipped_folder(), shop, rules)
    return Proposal(
        paths,
        cheapest(paths, rates),
        cheapest(paths, rates, Standing.UNPROVEN),
        recommend(paths, found.cylinder, rates),
        rates,
    )


def seals_after(
    bench: Bench, job: Job, wanted: str, shop: Path | None, system: str
) -> tuple[str, tuple[Pair, ...]]:
    """The seal list as it is and after a path, side by side, and the state after it by name.

    Args:
        bench: the bench.
        job: the job.
        wanted: the path: its number among those offered, or its operations with + between.
        shop: the data folder whose rates are taken; None takes the shipped example.
        system: "metric" or "inch", for the sentences.
    Raises:
        Refusal: no path of this name, with those there are.
    """
    proposal = propose(bench, job, shop, system)
    offered = {str(n): priced.path for n, priced in enumerate(proposal.offered, 1)}
    named = offered | {"+".join(path.operations): path for path in proposal.paths.every}
    path = named.get(wanted)
    if path is None:
        known = "; ".join(f"{n}: {'+'.join(path.operations)}" for n, path in offered.items()) or "none"
        raise Refusal(f"{wanted!r} is no path of {job.name}; offered are {known}.")
    tables, handbook = bench.tables_of(job), shipped_handbook()
    now = state_of(job.as_found, tables, handbook)
    after = state_after(job.as_found, bench.assess(job), path.plan, tables, handbook)
    pairs = side_by_side(seal_list(now, handbook), seal_list(after, handbook))
    return after.name, pairs


@cache
def _gaps() -> tuple[ExtrusionLimit, ...]:
    """The gaps seals stand, as shipped."""
    reader = Reader(checklists.shipped_folder())
    gaps = load_extrusion_limits(reader)
    reader.raise_faults()
    return gaps
