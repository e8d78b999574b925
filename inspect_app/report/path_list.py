"""Repair paths as plain lines and as data, for the prompt and for other programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from inspect_app.job.outcome import Outcome
from inspect_app.job.paths import Paths, RepairPath, Standing
from inspect_app.job.pricing import Priced, Recommendation, rounding_words
from inspect_app.tables import Tables
from inspect_app.tables.operations import Operations
from inspect_app.tables.rates import Rates
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.money.price import amount_text

MOST = 5
"""So many paths of one standing are shown at the prompt; --json has all."""


def path_lines(
    paths: Paths,
    offered: tuple[Priced, ...],
    recommendation: Recommendation,
    tables: Tables,
    rates: Rates,
    system: str,
) -> Iterator[str]:
    """What to do, the paths offered with their prices, and why the others are not.

    Args:
        paths: every path.
        offered: those offered, priced, cheapest first.
        recommendation: what to do.
        tables: the operations and the cautions before them.
        rates: the rates the prices are made with.
        system: "metric" or "inch".
    """
    rules = tables.operations
    yield recommendation.words
    for fact in recommendation.facts:
        yield f"  - {in_words(fact, system)}"
    for n, priced in enumerate(offered[:MOST], 1):
        yield ""
        yield from _offered(n, priced, rules, rates, system)
        yield from (f"  ! {words}" for words in careful_words(priced.path, tables))
    if len(offered) > MOST:
        yield f"{len(offered) - MOST} more are offered; --json lists them."
    for standing in (Standing.UNPROVEN, Standing.REFUSED):
        yield from _others(paths.standing(standing), standing, rules, system)
    for bar in dict.fromkeys(
        (rules.by_id[b.operation].title, b.sentence.words(system)) for b in paths.barred
    ):
        yield ""
        yield f"Out of reach: {bar[0]}"
        yield f"  - {bar[1]}"
    for sentence in paths.uncured:
        yield f"Nothing in reach cures it: {sentence.words(system)}"
    yield from _sources(paths, tables, system)
    if offered:
        yield ""
        yield rounding_words(rates)
        if rates.notice:
            yield rates.notice


def _sources(paths: Paths, tables: Tables, system: str) -> Iterator[str]:
    """Where the limits of what was reckoned come from, and how sure that is."""
    keys = dict.fromkeys(o.band.source for p in paths.every for o in p.outcomes if o.band)
    known = [tables.sources[key] for key in keys if key in tables.sources]
    if known:
        yield ""
        yield "Limits of what was reckoned:"
    for source in known:
        yield f"  - {source.title.words(system)} ({STATUSES[source.status]})"


def _offered(n: int, priced: Priced, rules: Operations, rates: Rates, system: str) -> Iterator[str]:
    yield f"Path {n}: {_titles(priced.path.operations, rules)}"
    for line in priced.lines:
        missing = f"no price yet: {line.missing.words(system)}"
        amount = missing if line.amount is None else amount_text(line.amount, rates.coin)
        yield f"    {line.title}: {amount}"
    if priced.total:
        net, tax, gross = (
            amount_text(x, rates.coin) for x in (priced.total.net, priced.total.tax, priced.total.gross)
        )
        yield f"    Total {net}, tax {tax}, together {gross}. {priced.lead.days:g} days."
    for outcome in priced.path.outcomes:
        yield f"  + {outcome.sentence.words(system)}"


def careful_words(path: RepairPath, tables: Tables) -> Iterator[str]:
    """Who may do it, where somebody else must, and what is dangerous about it.

    Args:
        path: the path.
        tables: the operations and the cautions before them.
    """
    operations = [tables.operations.by_id[name] for name in path.operations]
    for operation in operations:
        if operation.licence:
            yield f"{operation.title}: {operation.licence}."
    hazards = {hazard for operation in operations for hazard in operation.hazards}
    for caution in tables.cautions:
        if caution.id in hazards:
            yield caution.sentence


def _others(paths: Iterable[RepairPath], standing: Standing, rules: Operations, system: str) -> Iterator[str]:
    shown = list(paths)
    for path in shown[:MOST]:
        yield ""
        yield f"{capital(standing.value)}: {_titles(path.operations, rules)}"
        for reason in path.reasons:
            yield f"  - {in_words(reason, system)}"
    if len(shown) > MOST:
        yield f"{len(shown) - MOST} more are {standing.value}; --json lists them."


def _titles(operations: Iterable[str], rules: Operations) -> str:
    return "; ".join(rules.by_id[o].title for o in operations)


def path_data(
    paths: Paths, priced: Iterable[Priced], recommendation: Recommendation, rates: Rates, system: str
) -> dict[str, Any]:
    """The same as data: amounts as exact decimal text, verdicts in words.

    Args:
        paths: every path.
        priced: those that have a price.
        recommendation: what to do.
        rates: the rates the prices are made with.
        system: "metric" or "inch", for the sentences.
    """
    prices = {p.path.operations: p for p in priced}
    return {
        "recommendation": recommendation.words,
        "facts": [in_words(fact, system) for fact in recommendation.facts],
        "stops": [in_words(stop, system) for stop in paths.stops],
        "notice": rates.notice,
        "rounding": rounding_words(rates),
        "currency": rates.coin.currency,
        "paths": [
            _path_data(p, prices.get(p.operations), system, stopped=bool(paths.stops)) for p in paths.every
        ],
        "out_of_reach": [{"operation": b.operation, "why": b.sentence.words(system)} for b in paths.barred],
        "without_cure": [sentence.words(system) for sentence in paths.uncured],
    }


def _outcome_data(outcome: Outcome, system: str) -> dict[str, Any]:
    value, band = outcome.value, outcome.band
    return {
        "of": outcome.of,
        "verdict": outcome.verdict.value,
        "sentence": outcome.sentence.words(system),
        "value": value.value if value else None,
        "u": value.expanded if value else None,
        "lower": band.lower if band else None,
        "upper": band.upper if band else None,
        "source": band.source if band else "",
    }


def _path_data(path: RepairPath, priced: Priced | None, system: str, *, stopped: bool) -> dict[str, Any]:
    whole = priced.total if priced else None
    return {
        "operations": list(path.operations),
        "standing": "stopped" if stopped else path.standing.value,
        "reasons": [in_words(reason, system) for reason in path.reasons],
        "outcomes": [_outcome_data(o, system) for o in path.outcomes],
        "lines": [
            {
                "work": x.work,
                "title": x.title,
                "amount": None if x.amount is None else str(x.amount),
                "missing": x.missing.words(system),
            }
            for x in (priced.lines if priced else ())
        ],
        "net": str(whole.net) if whole else None,
        "tax": str(whole.tax) if whole else None,
        "gross": str(whole.gross) if whole else None,
        "days": priced.lead.days if priced else None,
    }
