"""Calculators of readings: what a gauge may be wrong by, budgets, repeats, and the decision against limits."""

from __future__ import annotations

import math
from decimal import Decimal

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring import uncertainty
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import EXPANDED, STATES, Budget, Contribution, GaugeError

TOPIC = "Readings"


def _gauge(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    told_apart = given.has("scatter")
    gauge = GaugeError(
        fixed=given.exact("error"),
        share=given.exact("share") / 100,
        step=given.exact("step"),
        coverage=STATES[given.text("states")],
        repeatability=given.exact("scatter") if told_apart else Decimal(0),
    )
    typed_step = given.exact("digit")
    u_mm = uncertainty.standard_uncertainty(given.exact("reading"), gauge, typed_step)
    own_mm = uncertainty.own_u(gauge, typed_step) if told_apart else u_mm
    return (
        Result("expanded", "Expanded uncertainty, ±, k = 2", uncertainty.expanded(u_mm), "deviation"),
        Result("standard", "Standard uncertainty", u_mm, "deviation"),
        Result(
            "difference",
            "Standard uncertainty of maximum minus minimum (ovality, taper)",
            uncertainty.of_extreme_difference(own_mm),
            "deviation",
        ),
        Result(
            "half", "Standard uncertainty of half a reading (bow)", uncertainty.of_half(u_mm), "deviation"
        ),
    )


def _within(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return (
        Result(
            "standard",
            "Standard uncertainty",
            uncertainty.rectangular(given.number("half-width")),
            "deviation",
        ),
    )


def _budget(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    shares = given.numbers("u")
    freedoms = given.numbers("dof") if given.has("dof") else [math.inf] * len(shares)
    factors = given.numbers("sensitivity") if given.has("sensitivity") else [1.0] * len(shares)
    if not len(shares) == len(freedoms) == len(factors):
        raise Refusal("dof and sensitivity, if given, need one item for each u; write dof 0 for none known.")
    budget = Budget(
        tuple(
            Contribution(f"line {n}", u, sensitivity=factor, dof=dof or math.inf)
            for n, (u, factor, dof) in enumerate(zip(shares, factors, freedoms, strict=True), 1)
        )
    )
    dof, confidence = budget.degrees_of_freedom, given.share("confidence")
    by_weight = uncertainty.by_weight({line.name: line.share_u for line in budget.contributions})
    return (
        Result("expanded", "Expanded uncertainty, ±", budget.expanded(confidence), "number"),
        Result("combined", "Combined standard uncertainty", budget.combined, "number"),
        Result(
            "k", "Coverage factor k", uncertainty.coverage_factor(dof=dof, confidence=confidence), "number"
        ),
        Result("dof", "Degrees of freedom", dof, "number")
        if math.isfinite(dof)
        else Result("dof", "Degrees of freedom", "without end"),
        *(
            Result(line.name.replace(" ", "-"), f"Weight of {line.name}", 100 * line.share, "percent")
            for line in by_weight
        ),
    )


def _together(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    shared, own = given.number("shared"), given.number("own")
    readings = [
        (weight, {"what all share": shared, f"reading {n}": own})
        for n, weight in enumerate(given.numbers("weights"), 1)
    ]
    terms = uncertainty.linear(readings)
    u_mm = uncertainty.u_of(terms)
    return (
        Result("expanded", "Expanded uncertainty, ±, k = 2", uncertainty.expanded(u_mm), "deviation"),
        Result("standard", "Standard uncertainty", u_mm, "deviation"),
        Result("left", "Part of it that all readings share", abs(terms["what all share"]), "deviation"),
    )


def _repeats(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    readings = given.exacts("readings")
    u_mm = uncertainty.repeatability(readings)
    mean_u_mm = uncertainty.of_mean(random_u=u_mm, n=len(readings), systematic_u=given.number("shared"))
    return (
        Result("mean", "Mean", round(sum(readings, Decimal(0)) / len(readings), 5), "deviation"),
        Result("one", "Standard uncertainty of one reading from scatter", u_mm, "deviation"),
        Result("of_mean", "Standard uncertainty of the mean", mean_u_mm, "deviation"),
    )


_NO_ERROR = "0 mm"

CALCULATORS = (
    Calculator(
        "gauge",
        TOPIC,
        "Uncertainty of one reading of a gauge of length",
        (
            Key("error", "length", "May be wrong by, either way"),
            Key("reading", "length", "Reading", _NO_ERROR),
            Key("share", "percent", "and by so much of the reading", "0 %"),
            Key("step", "length", "Smallest step read", _NO_ERROR),
            Key("states", "choice", "What that error is", EXPANDED, options=tuple(STATES)),
            Key(
                "scatter",
                "length",
                "Standard deviation of one reading about the others",
                optional=True,
                note="what all readings share cancels in a difference; not given, nothing cancels",
            ),
            Key("digit", "length", "One of the last digit written down", _NO_ERROR, note="0.1mm for 89.9"),
        ),
        _gauge,
        (
            uncertainty.standard_uncertainty,
            uncertainty.shared_u,
            uncertainty.own_u,
            uncertainty.read_step,
            uncertainty.expanded,
            uncertainty.resolution_u,
            uncertainty.of_extreme_difference,
            uncertainty.of_half,
        ),
        "u² = ((error + share × reading) / k)² + scatter² + step² / 12, the coarser of gauge and last digit; k 2, of a "
        "limit of error 1.732; U = 2 u, rounded up to two figures",
        {"error": "0.005mm", "reading": "63.47mm", "step": "0.001mm"},
    ),
    Calculator(
        "within",
        TOPIC,
        "Standard uncertainty of a size known only to lie within bounds",
        (Key("half-width", "length", "Known to within, either way"),),
        _within,
        (uncertainty.rectangular,),
        "u = half width / √3",
        {"half-width": "0.006mm"},
    ),
    Calculator(
        "budget",
        TOPIC,
        "Uncertainty budget: combined and expanded, with k from the degrees of freedom",
        (
            Key("u", "number", "Standard uncertainties, all in one unit", many=True),
            Key("sensitivity", "number", "How far the result follows each", optional=True, many=True),
            Key("dof", "number", "Degrees of freedom of each, 0 for no end", optional=True, many=True),
            Key("confidence", "percent", "Confidence", "95 %"),
        ),
        _budget,
        (
            uncertainty.combined,
            uncertainty.effective_degrees_of_freedom,
            uncertainty.coverage_factor,
            uncertainty.by_weight,
        ),
        "u² = sum of (sensitivity × u)²; degrees of freedom by Welch and Satterthwaite; U = k u, rounded up",
        {"u": "5.8,3.9,6.7", "dof": "24,5,8"},
    ),
    Calculator(
        "together",
        TOPIC,
        "Uncertainty of a sum or difference of readings of one gauge",
        (
            Key("weights", "number", "Weight of each reading", many=True, note="1,-1 for a difference"),
            Key("shared", "length", "Standard uncertainty all of them share: setting, calibration"),
            Key("own", "length", "Standard uncertainty of each by itself: scatter, step"),
        ),
        _together,
        (uncertainty.linear, uncertainty.u_of, uncertainty.expanded),
        "u² = (sum of weights × shared)² + sum of (weight × own)²",
        {"weights": "1,-1", "shared": "0.003mm", "own": "0.002mm"},
    ),
    Calculator(
        "repeats",
        TOPIC,
        "Scatter of repeated readings of one place, and of their mean",
        (
            Key("readings", "deviation", "Repeated readings", many=True),
            Key("shared", "length", "Standard uncertainty all of them share", _NO_ERROR),
        ),
        _repeats,
        (uncertainty.repeatability, uncertainty.of_mean),
        "s² = sum of (reading − mean)² / (n − 1); of the mean: s / √n, with what all share added in squares",
        {"readings": "50.000,50.002,50.004"},
    ),
)
