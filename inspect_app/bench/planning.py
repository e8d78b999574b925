"""The repair paths of a job, priced by the shop's rates: where tables, rates and the cylinder meet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from inspect_app import tables as checklists
from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.job.known import duties_of, found_of
from inspect_app.job.paths import Case, Paths, Standing, bands_of, paths_of
from inspect_app.job.planned_survey import judged
from inspect_app.job.pricing import Priced, Recommendation, cheapest, recommend
from inspect_app.tables.rates import Rates, load_rates


@dataclass(frozen=True, slots=True)
class Proposal:
    """The ways of one job: its paths, those offered with their prices, and what to recommend."""

    paths: Paths
    offered: tuple[Priced, ...]
    unproven: tuple[Priced, ...]
    recommendation: Recommendation
    rates: Rates


def propose(bench: Bench, job: Job, shop: Path | None) -> Proposal:
    """The repair paths of a job as found, with prices and a recommendation.

    Args:
        bench: the bench.
        job: the job.
        shop: the data folder whose rates are taken; None takes the shipped example.
    Raises:
        TableError: the rates cannot be used.
    """
    tables, survey = bench.tables_of(job), job.as_found
    assessment = bench.assess(job)
    rules = tables.operations
    found = found_of(assessment, survey, rules, bench.handbook_of(job))
    case = Case(
        assessment,
        found,
        bands_of(assessment, rules),
        rules,
        {name: answer.text for name, answer in survey.answers.items()},
        duties_of(survey, rules),
        judge=judged(survey, assessment, tables),
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
