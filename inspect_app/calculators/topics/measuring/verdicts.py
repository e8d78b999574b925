"""Calculators of the decision: what a reading proves against its limits, at which risk, which gauge would decide."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.measuring.readings import TOPIC
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring import decision, uncertainty, wear
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import capital


def _decision(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    lower, upper = (given.exact(name) if given.has(name) else None for name in ("lower", "upper"))
    expanded = given.exact("uncertainty")
    decided = decision.decide(
        value=given.exact("value"), lower=lower, upper=upper, expanded_uncertainty=expanded
    )
    results = [
        Result("verdict", "Verdict", decided.verdict.value),
        Result("zone", "", decision.guard_sentence(decided, "deviation")),
        Result("risk", "", decision.risk_sentence(decided)),
        Result(
            "needed",
            "Maximum U that decides this value",
            decision.deciding_uncertainty(value=given.exact("value"), lower=lower, upper=upper),
            "deviation",
        ),
    ]
    if decided.room is not None and decided.conformance_probability is not None:
        results += [
            Result("room", "Room to the nearer limit", decided.room, "deviation"),
            Result(
                "probability", "Chance that it lies within", 100 * decided.conformance_probability, "percent"
            ),
        ]
    if lower is not None and upper is not None and expanded:
        ratio = decision.uncertainty_ratio(lower=lower, upper=upper, expanded_uncertainty=expanded)
        results.append(
            Result("ratio", "Tolerance over the gauge's band; 4 or more is the aim", float(ratio), "number")
        )
    return tuple(results)


def _chance(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    if not (given.has("lower") or given.has("upper")):
        raise Refusal("Give a lower limit, an upper limit or both.")
    chance = decision.conformance_probability(
        value=given.number("value"),
        u=given.number("u"),
        lower=given.maybe("lower"),
        upper=given.maybe("upper"),
    )
    return (Result("probability", "Chance that the true value lies within", 100 * chance, "percent"),)


def _wear(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    change = wear.change_between(
        earlier=given.exact("earlier"),
        later=given.exact("later"),
        expanded_earlier=given.number("earlier-u"),
        expanded_later=given.number("later-u"),
    )
    said = "a change shows" if change.shown else "no wear shown: the change drowns in its uncertainty"
    results = [
        Result("shown", "", said),
        Result("change", "Change, later less earlier", change.change, "deviation"),
        Result("uncertainty", "Uncertainty of the change, k = 2", change.expanded, "deviation"),
    ]
    if given.has("elapsed") and change.shown:
        rate = wear.rate_of(change, elapsed=given.number("elapsed"))
        results += [
            Result("rate", "Change for each hour or month", rate.change, "deviation"),
            Result("rate-uncertainty", "Uncertainty of that, k = 2", rate.expanded, "deviation"),
        ]
    return tuple(results)


def _uses(handbook: Handbook) -> tuple[str, ...]:
    return tuple(sorted({use for g in handbook.gauges.values() if g.measures == "length" for use in g.uses}))


def _which_gauge(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    lower, upper = (given.exact(name) if given.has(name) else None for name in ("lower", "upper"))
    value = given.exact("value")
    needed = decision.deciding_uncertainty(value=value, lower=lower, upper=upper)
    size = given.exact("size") if given.has("size") else value
    good = [
        (uncertainty.expanded(uncertainty.standard_uncertainty(size, error)), g.title, g.kind)
        for g in handbook.gauges.values()
        if g.measures == "length" and given.text("use") in g.uses and (error := g.error_at(size))
    ]
    return (
        Result("needed", "Maximum U that decides this value", needed, "deviation"),
        *(
            Result(
                kind,
                f"{capital(title)}, U at the bench, {'decides' if u <= needed else 'does not decide'}",
                u,
                "deviation",
            )
            for u, title, kind in sorted(good)
        ),
    )


_LOWER = Key("lower", "deviation", "Lower limit", optional=True)
_UPPER = Key("upper", "deviation", "Upper limit", optional=True)

CALCULATORS = (
    Calculator(
        "decision",
        TOPIC,
        "What a reading proves against its limits",
        (
            Key("value", "deviation", "Measured value"),
            _LOWER,
            _UPPER,
            Key("uncertainty", "length", "Expanded uncertainty, k = 2"),
        ),
        _decision,
        (
            decision.decide,
            decision.uncertainty_ratio,
            decision.chance_outside,
            decision.risk_sentence,
            decision.deciding_uncertainty,
        ),
        "within: lower + U to upper − U; outside: beyond the limits by more than U; else too close to limit",
        {"value": "79.965mm", "lower": "79.940mm", "upper": "79.970mm", "uncertainty": "0.006mm"},
    ),
    Calculator(
        "which-gauge",
        TOPIC,
        "Which gauge decides a value near its limit",
        (
            Key("value", "deviation", "Measured value"),
            _LOWER,
            _UPPER,
            Key("use", "choice", "What the gauge must reach", options=_uses),
            Key("size", "length", "Size it reads, where that is not the value", optional=True),
        ),
        _which_gauge,
        (decision.deciding_uncertainty, uncertainty.standard_uncertainty),
        "U must be no more than the distance to the nearer limit; U of one reading of each kind as shipped, most of "
        "them from memory, without temperature",
        {"value": "79.948mm", "lower": "79.940mm", "upper": "79.970mm", "use": "outside"},
    ),
    Calculator(
        "chance",
        TOPIC,
        "Chance that the true value lies within the limits",
        (
            Key("value", "deviation", "Measured value"),
            Key("u", "length", "Standard uncertainty"),
            _LOWER,
            _UPPER,
        ),
        _chance,
        (decision.conformance_probability,),
        "normal distribution about the value, between the limits",
        {"value": "79.964mm", "u": "0.003mm", "lower": "79.940mm", "upper": "79.970mm"},
    ),
    Calculator(
        "wear",
        TOPIC,
        "What wore between two visits, and how fast",
        (
            Key("earlier", "length", "Size at the earlier visit, at 20 °C"),
            Key("earlier-u", "length", "Its expanded uncertainty, k = 2"),
            Key("later", "length", "Size now, at 20 °C, at the same place"),
            Key("later-u", "length", "Its expanded uncertainty, k = 2"),
            Key("elapsed", "number", "Hours run, or months, between the visits", optional=True),
        ),
        _wear,
        (wear.change_between, wear.rate_of),
        "U = √(U1² + U2²); a change less than U is no wear; rate = (later − earlier)/time ± U/time",
        {
            "earlier": "69.962mm",
            "earlier-u": "0.004mm",
            "later": "69.932mm",
            "later-u": "0.004mm",
            "elapsed": "12",
        },
    ),
)
