"""Uncertainty of readings by the GUM: gauges, named sources, sums, coverage; knows no limit and no verdict.

Standard uncertainties `u` are floats in the unit of what is measured; an expanded uncertainty leaves this
module as a Decimal, rounded up to two digits, and is not rounded again.

The uncertainty of one value is its contributions by source (`Terms`), each with its sign. Values that share
a source move together: it cancels in their difference and adds in their sum. Sources of different names are
independent. So correlation is never a number typed in; it follows from who shares what.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_UP, Context, Decimal
from fractions import Fraction
from typing import Literal

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive

# beyond this the t and the normal quantile agree to four digits
_DOF_OF_NORMAL = 10_000

Terms = Mapping[str, float]
"""Contributions to the standard uncertainty of one value: signed, by source, in the unit of the value."""

EXPANDED, LIMIT_OF_ERROR = "expanded", "limit of error"
STATES = {EXPANDED: Decimal(2), LIMIT_OF_ERROR: Decimal(3).sqrt()}
"""What the ± of a gauge states, and what it is divided by for a standard uncertainty.

Expanded: the U of a certificate, k = 2. Limit of error: the most a maker or a standard lets the gauge be
wrong by, every error up to there equally likely.
"""


@dataclass(frozen=True, slots=True)
class GaugeError:
    """What a gauge may be wrong by, in the unit it measures: ±(`fixed` + `share` × reading), and its `step`.

    `coverage` is the k the ± stands for, one of STATES. All its readings share that error; `repeatability`
    is the standard deviation of one reading about the others, `step` the finest reading, or 0. `share` is a
    fraction (0.10 for 10 %).
    """

    fixed: Decimal
    share: Decimal = Decimal(0)
    step: Decimal = Decimal(0)
    coverage: Decimal = STATES[EXPANDED]
    repeatability: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        require_not_negative(
            fixed=float(self.fixed),
            share=float(self.share),
            step=float(self.step),
            repeatability=float(self.repeatability),
        )
        require_positive(coverage=float(self.coverage))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a budget: standard uncertainty `u` from one source, and its `share` of the variance, 0 to 1."""

    name: str
    u: float
    share: float


@dataclass(frozen=True, slots=True)
class Contribution:
    """One line of a budget: standard uncertainty `u` of an input and how far the result follows that input.

    Kind A comes from repeated readings, B from elsewhere; `dof` are its degrees of freedom.
    """

    name: str
    u: float
    sensitivity: float = 1.0
    kind: Literal["A", "B"] = "B"
    dof: float = math.inf

    @property
    def share_u(self) -> float:
        """The part of the result's standard uncertainty that comes from this line."""
        return abs(self.sensitivity) * self.u


@dataclass(frozen=True, slots=True)
class Budget:
    """Contributions of one result, independent of each other."""

    contributions: tuple[Contribution, ...]

    @property
    def combined(self) -> float:
        """The combined standard uncertainty of the result."""
        return combined(*(line.share_u for line in self.contributions))

    @property
    def degrees_of_freedom(self) -> float:
        """The effective degrees of freedom of the result."""
        return effective_degrees_of_freedom(self.contributions)

    def expanded(self, confidence: float = 0.95) -> Decimal:
        """The expanded uncertainty at a level of confidence, with k from the degrees of freedom."""
        k = coverage_factor(dof=self.degrees_of_freedom, confidence=confidence)
        return expanded(self.combined, coverage=k)


def resolution_u(step: float) -> float:
    """Standard uncertainty left by reading in steps: the true value lies anywhere within half a step.

    u = step / √12

    Args:
        step: the smallest step of the display or scale that is read.
    Raises:
        Refusal: when the step is negative.
    Source: gum

    >>> resolution_u(10)   # GUM F.2.2.1: u = 0.29 step
    2.89
    """
    require_not_negative(step=step)
    return step / math.sqrt(12)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a value known only to lie within ± a half width, all places equally likely.

    u = a / √3

    Args:
        half_width: a, half the width.
    Raises:
        Refusal: when the half width is negative.
    Source: gum

    >>> rectangular(6)
    3.464
    """
    require_not_negative(half_width=half_width)
    return half_width / math.sqrt(3)


def shared_u(reading: Decimal, gauge: GaugeError) -> float:
    """Standard uncertainty from what all readings of a gauge share: its setting and its calibration.

    u = (fixed + share·|reading|) / coverage

    The fixed and the proportional part are added before dividing, as makers print ±(a + b %).

    Args:
        reading: the reading, in the unit of the gauge.
        gauge: what the gauge may be wrong by.
    Source: gum

    >>> shared_u(Decimal("0.40"), GaugeError(fixed=Decimal("0.02"), share=Decimal("0.10")))
    0.03
    """
    return float((gauge.fixed + gauge.share * abs(reading)) / gauge.coverage)


def read_step(gauge_step: Decimal, typed_step: Decimal) -> Decimal:
    """The step a reading was really read in: that of the gauge, or of the last digit typed where that is coarser.

    Args:
        gauge_step: the finest step of the gauge.
        typed_step: one of the last digit that was typed, 0.1 for "89.9"; 0 where it is not known.
    Source: gum

    >>> read_step(Decimal("0.001"), Decimal("0.1"))
    Decimal('0.1')
    """
    return max(gauge_step, typed_step)


def own_u(gauge: GaugeError, typed_step: Decimal = Decimal(0)) -> float:
    """Standard uncertainty that is each reading's own: its scatter, and the step it was read in.

    u² = repeatability² + step² / 12, step the larger of the gauge's and the last digit typed

    Args:
        gauge: what the gauge may be wrong by.
        typed_step: one of the last digit that was typed; 0 where it is not known.
    Source: gum

    >>> own_u(GaugeError(fixed=Decimal(0), repeatability=Decimal("0.002"), step=Decimal("0.001")))
    0.00202
    """
    return math.hypot(float(gauge.repeatability), resolution_u(float(read_step(gauge.step, typed_step))))


def standard_uncertainty(reading: Decimal, gauge: GaugeError, typed_step: Decimal = Decimal(0)) -> float:
    """Standard uncertainty of one reading of a gauge.

    u² = u_shared² + u_own²

    Args:
        reading: the reading, in the unit of the gauge.
        gauge: what the gauge may be wrong by.
        typed_step: one of the last digit that was typed; 0 where it is not known.
    Source: gum

    >>> maker = GaugeError(fixed=Decimal(6), coverage=STATES[LIMIT_OF_ERROR], step=Decimal(1), repeatability=Decimal(2))
    >>> standard_uncertainty(Decimal(100), maker)
    4.01
    """
    return combined(shared_u(reading, gauge), own_u(gauge, typed_step))


def linear(parts: Iterable[tuple[float, Terms]]) -> Terms:
    """The contributions to a sum of weighted values: what they share adds up by source, sign and all.

    c = Σ weight·contribution, source by source

    Args:
        parts: (weight, contributions) of each value; a difference has the weights 1 and -1.
    Source: gum

    >>> first, second = {"setting": 0.003, "scatter 1": 0.002}, {"setting": 0.003, "scatter 2": 0.002}
    >>> linear([(1, first), (-1, second)])
    {'setting': 0.0, 'scatter 1': 0.002, 'scatter 2': -0.002}
    """
    total: dict[str, float] = {}
    for weight, terms in parts:
        for source, contribution in terms.items():
            total[source] = total.get(source, 0.0) + weight * contribution
    return total


def u_of(terms: Terms) -> float:
    """The standard uncertainty of a value from its contributions.

    u² = Σ c²

    Args:
        terms: its contributions by source.
    Source: gum

    >>> u_of({"setting": -3.0, "scatter": 4.0})
    5.0
    """
    return math.hypot(*terms.values())


def by_weight(terms: Terms, named: Callable[[str], str] = str) -> tuple[Line, ...]:
    """The lines of a budget, the heaviest first.

    Args:
        terms: contributions by source.
        named: the name a source has in the budget; sources of one name make one line.
    Source: gum

    >>> [(line.name, round(line.share, 2)) for line in by_weight({"setting": 3.0, "scatter": 4.0})]
    [('scatter', 0.64), ('setting', 0.36)]
    """
    variances: dict[str, float] = {}
    for source, contribution in terms.items():
        variances[named(source)] = variances.get(named(source), 0.0) + contribution**2
    whole = sum(variances.values())
    lines = (Line(name, math.sqrt(v), v / whole) for name, v in variances.items() if v)
    return tuple(sorted(lines, key=lambda line: (-line.share, line.name)))


def combined(*contributions: float) -> float:
    """Root sum of squares of independent standard uncertainties.

    u = √(u₁² + u₂² + …)

    Args:
        contributions: standard uncertainties, all in the unit of the result.
    Raises:
        Refusal: when one is negative or not a number.
    Source: gum

    >>> combined(5.8, 3.9, 6.7)   # GUM H.1.3.2: 9.7 nm
    9.7
    """
    for u in contributions:
        require_not_negative(standard_uncertainty=u)
    return math.hypot(*contributions)


def expanded(*contributions: float, coverage: float = 2.0) -> Decimal:
    """Expanded uncertainty of independent contributions, rounded up to two significant digits.

    U = k·√(u₁² + u₂² + …)

    Args:
        contributions: standard uncertainties, all in the unit of the result.
        coverage: k.
    Raises:
        Refusal: when a contribution is negative or k is not positive.
    Source: gum

    >>> expanded(3.464, 0.289, 2.0, 0.664)   # k·u = 8.13
    Decimal('8.2')
    """
    require_positive(coverage=coverage)
    # twelve digits first: 0.1 + 0.2 must not round up for its last binary digit
    exact = Decimal(f"{coverage * combined(*contributions):.12g}")
    rounded = Context(prec=2, rounding=ROUND_UP).create_decimal(exact)
    return rounded.quantize(Decimal(1)) if rounded.adjusted() > 1 else rounded


def of_difference(u_a: float, u_b: float) -> float:
    """Standard uncertainty of the difference (or sum) of two independent readings.

    u² = u_a² + u_b²

    Args:
        u_a: standard uncertainty of one reading.
        u_b: standard uncertainty of the other.
    Source: gum

    >>> of_difference(3, 4)
    5.0
    """
    return combined(u_a, u_b)


def of_extreme_difference(u: float) -> float:
    """Standard uncertainty of greatest less least reading of one gauge, as for ovality or taper.

    u = √2·u_reading

    What both readings share (the gauge's setting) cancels, so this is on the safe side.

    Args:
        u: standard uncertainty of one reading.
    Source: gum

    >>> of_extreme_difference(0.005)
    0.00707
    """
    return of_difference(u, u)


def of_half(u: float) -> float:
    """Standard uncertainty of half a reading, as of the bow taken from a runout.

    Args:
        u: standard uncertainty of the reading.
    Source: gum

    >>> of_half(0.01)
    0.005
    """
    require_not_negative(u=u)
    return u / 2


def of_mean(*, random_u: float, n: int, systematic_u: float = 0.0) -> float:
    """Standard uncertainty of the mean of n readings: only the random part shrinks.

    u² = u_random² / n + u_systematic²

    Args:
        random_u: standard uncertainty of one reading from scatter alone.
        n: number of readings.
        systematic_u: standard uncertainty of what all readings share.
    Raises:
        Refusal: when there is no reading.
    Source: gum

    >>> of_mean(random_u=8, n=4, systematic_u=3)
    5.0
    """
    require_positive(n=n)
    require_not_negative(random_u=random_u)
    return combined(random_u / math.sqrt(n), systematic_u)


def repeatability(values: Sequence[Decimal | float]) -> float:
    """Standard deviation of one reading from repeats of it (type A, n − 1 degrees of freedom).

    s² = Σ (x − mean)² / (n − 1)

    Args:
        values: two readings or more of the same place.
    Raises:
        Refusal: when there are fewer than two.
    Source: gum

    >>> repeatability([50.0, 50.002, 50.004])
    0.002
    """
    if len(values) < 2:
        raise Refusal(f"Repeatability needs at least 2 readings of the same place; given {len(values)}.")
    # as fractions: of 1000000000000.4 a float keeps too few digits for its scatter
    return float(statistics.stdev([Fraction(value) for value in values]))


def effective_degrees_of_freedom(contributions: Sequence[Contribution]) -> float:
    """Welch-Satterthwaite degrees of freedom of a combined standard uncertainty.

    ν = u⁴ / Σ (u_i⁴ / ν_i)

    Args:
        contributions: the lines of the budget; an infinite `dof` takes no part in the sum.
    Returns: infinite when every line is known without doubt.
    Source: gum

    >>> effective_degrees_of_freedom([Contribution("scatter", 3, dof=4), Contribution("gauge", 4)])
    30.9
    """
    below = sum(line.share_u**4 / line.dof for line in contributions)
    return combined(*(line.share_u for line in contributions)) ** 4 / below if below else math.inf


def coverage_factor(*, dof: float, confidence: float = 0.95) -> float:
    """The k that gives a level of confidence: two-sided Student t, dof cut down to a whole number.

    Args:
        dof: effective degrees of freedom; may be infinite.
        confidence: level of confidence, 0.95 for 95 %.
    Raises:
        Refusal: when there is less than one degree of freedom or the confidence is not between 0 and 1.
    Source: gum, abramowitz-stegun

    >>> coverage_factor(dof=16.7, confidence=0.99)   # GUM H.1.6: t99(16) = 2.92
    2.92
    """
    if not dof >= 1:
        raise Refusal(f"Coverage needs at least 1 degree of freedom; given {dof:g}. Repeat the reading.")
    if not 0 < confidence < 1:
        raise Refusal(f"Confidence is {confidence:g}; it must lie between 0 and 1, 0.95 for 95 %.")
    if dof > _DOF_OF_NORMAL:
        return statistics.NormalDist().inv_cdf((1 + confidence) / 2)
    whole = math.floor(dof)
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _within_t(middle, whole) < confidence else (low, middle)
    return math.sqrt(whole) * math.tan(low)


def _within_t(theta: float, dof: int) -> float:
    """Probability of |t| ≤ √dof·tan θ as the finite series of Abramowitz and Stegun 26.7.3 and 26.7.4."""
    cos2 = math.cos(theta) ** 2
    odd = dof % 2
    term = math.cos(theta) if odd else 1.0
    series = term if dof > 1 else 0.0
    for i in range(2 + odd, dof - 1, 2):
        term *= cos2 * (i - 1) / i
        series += term
    part = math.sin(theta) * series
    return (theta + part) * 2 / math.pi if odd else part
