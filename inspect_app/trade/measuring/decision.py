"""The one decision rule, ISO 14253-1: proven within, proven beyond, or neither; knows no part.

The guard band on each limit is the expanded uncertainty, k = 2. A value exactly on the inner border is
proven within; one exactly on the outer border is not yet proven beyond.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive

# the expanded uncertainty given to a decision always has this coverage
_COVERAGE = 2

# a chance is said to two digits, and not finer than this: the limits themselves are not known better
_LEAST_SAID = 0.001


class Verdict(enum.Enum):
    """What a measurement proves against its limits."""

    WITHIN = "within limit"
    BEYOND = "outside limit"
    UNCLEAR = "too close to limit"
    NOT_MEASURED = "not measured"


_WORST_FIRST = (Verdict.BEYOND, Verdict.UNCLEAR, Verdict.NOT_MEASURED, Verdict.WITHIN)


@dataclass(frozen=True, slots=True)
class Decision:
    """A value against its limits, all in the unit of the value.

    `accept_lower` and `accept_upper` are the limits less the guard band; `room` is the distance to the
    nearer limit, negative outside. Without a value it is None.
    """

    verdict: Verdict
    value: Decimal | None
    lower: Decimal | None
    upper: Decimal | None
    expanded_uncertainty: Decimal
    accept_lower: Decimal | None
    accept_upper: Decimal | None
    room: Decimal | None

    @property
    def conformance_probability(self) -> float | None:
        """The probability that the true value lies within the limits; None without a value."""
        if self.value is None:
            return None
        return conformance_probability(
            value=0.0,
            u=float(self.expanded_uncertainty) / _COVERAGE,
            lower=None if self.lower is None else float(self.lower - self.value),
            upper=None if self.upper is None else float(self.upper - self.value),
        )

    @property
    def can_be_proven_within(self) -> bool:
        """Whether any reading could prove conformity; if not, the gauge is too coarse for these limits."""
        return (
            self.accept_lower is None or self.accept_upper is None or self.accept_lower <= self.accept_upper
        )


def decide(
    *, value: Decimal | None, lower: Decimal | None, upper: Decimal | None, expanded_uncertainty: Decimal
) -> Decision:
    """What a measured value proves against a lower limit, an upper limit or both.

    within: lower + U ≤ value ≤ upper − U; beyond: value < lower − U or value > upper + U; else unclear

    Args:
        value: measured value; None when not measured.
        lower: lower limit, if there is one.
        upper: upper limit, if there is one.
        expanded_uncertainty: U with k = 2, in the unit of the value.
    Raises:
        Refusal: when there is no limit, the limits are exchanged, or a number is not usable.
    Source: iso-14253-1, jcgm-106

    >>> from decimal import Decimal
    >>> rod = decide(value=Decimal("79.965"), lower=Decimal("79.940"), upper=Decimal("79.970"),
    ...              expanded_uncertainty=Decimal("0.006"))
    >>> rod.verdict.value, rod.conformance_probability
    ('too close to limit', 0.952)
    """
    _require_usable(value, lower, upper, expanded_uncertainty)
    accept_lower = None if lower is None else lower + expanded_uncertainty
    accept_upper = None if upper is None else upper - expanded_uncertainty
    verdict, room = Verdict.NOT_MEASURED, None
    if value is not None:
        room = min(_rooms(value, lower, upper))
        verdict = _verdict(room, expanded_uncertainty)
    return Decision(verdict, value, lower, upper, expanded_uncertainty, accept_lower, accept_upper, room)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The verdict of several characteristics together: beyond, then unclear, then not measured, then within.

    Args:
        verdicts: the verdicts of the characteristics; none at all is "not measured".

    >>> worst([Verdict.WITHIN, Verdict.UNCLEAR, Verdict.NOT_MEASURED]).value
    'too close to limit'
    """
    return min(verdicts, key=_WORST_FIRST.index, default=Verdict.NOT_MEASURED)


def conformance_probability(
    *, value: float, u: float, lower: float | None = None, upper: float | None = None
) -> float:
    """The probability that the true value lies within the limits, its scatter taken as normal.

    p = Φ((upper − value)/u) − Φ((lower − value)/u)

    Args:
        value: measured value.
        u: its standard uncertainty; 0 makes the answer 0 or 1.
        lower: lower limit, if there is one.
        upper: upper limit, if there is one.
    Raises:
        Refusal: when u is negative, or what is given is no number.
    Valid: little known about the value beforehand, compared with the measurement.
    Source: jcgm-106

    >>> conformance_probability(value=79.964, u=0.003, lower=79.940, upper=79.970)
    0.97725
    """
    require_not_negative(u=u)
    limits = {name: limit for name, limit in (("lower", lower), ("upper", upper)) if limit is not None}
    require_finite(value=value, **limits)
    below_upper = 1.0 if upper is None else _normal_below(upper - value, u)
    above_lower = 1.0 if lower is None else _normal_below(value - lower, u)
    return max(0.0, below_upper + above_lower - 1.0)


def chance_outside(decision: Decision) -> float | None:
    """The chance that the true value lies outside the limits, given this measured value.

    p = Φ((lower − value)/u) + Φ((value − upper)/u), u = U / 2

    Of a value that is accepted it is the chance of a wrong acceptance: the specific consumer's risk.

    Args:
        decision: the value against its limits.
    Returns: None without a value.
    Valid: little known about the value beforehand, compared with the measurement.
    Source: jcgm-106

    >>> from decimal import Decimal
    >>> chance_outside(decide(value=Decimal("79.964"), lower=Decimal("79.940"), upper=Decimal("79.970"),
    ...                       expanded_uncertainty=Decimal("0.006")))
    0.02275
    """
    if decision.value is None:
        return None
    u = float(decision.expanded_uncertainty) / _COVERAGE
    return sum(
        _normal_beyond(float(room), u) for room in _rooms(decision.value, decision.lower, decision.upper)
    )


def risk_sentence(decision: Decision) -> str:
    """What it means to go by this value, as a chance; "" without a value.

    Args:
        decision: the value against its limits.
    Source: jcgm-106

    >>> from decimal import Decimal
    >>> risk_sentence(decide(value=Decimal("79.965"), lower=Decimal("79.940"), upper=Decimal("79.970"),
    ...                      expanded_uncertainty=Decimal("0.006")))
    'If it is accepted all the same, the chance that it is in truth outside its limit is 4.8 %.'
    """
    outside = chance_outside(decision)
    if outside is None:
        return ""
    if decision.verdict is Verdict.WITHIN:
        return f"Accepting it is wrong with a chance of {_per_cent(outside)}."
    if decision.verdict is Verdict.BEYOND:
        return f"The chance that it is in truth within its limit is {_per_cent(1 - outside)}."
    return (
        "If it is accepted all the same, the chance that it is in truth outside its limit is "
        f"{_per_cent(outside)}."
    )


def deciding_uncertainty(*, value: Decimal, lower: Decimal | None, upper: Decimal | None) -> Decimal:
    """The greatest U with which this very value could be called within its limits, or beyond them.

    U = distance of the value to the nearer limit; beyond needs a U that is smaller, not equal

    Args:
        value: the measured value.
        lower: lower limit, if there is one.
        upper: upper limit, if there is one.
    Returns: 0 for a value exactly on a limit: no gauge decides it.
    Raises:
        Refusal: when there is no limit, the limits are exchanged, or a number is not usable.
    Source: iso-14253-1

    >>> from decimal import Decimal
    >>> deciding_uncertainty(value=Decimal("79.965"), lower=Decimal("79.940"), upper=Decimal("79.970"))
    Decimal('0.005')
    """
    _require_usable(value, lower, upper, Decimal(0))
    return abs(min(_rooms(value, lower, upper)))


def guard_sentence(decision: Decision, kind: str) -> Sentence:
    """The uncertainty, and from where to where a value surely lies within its limits.

    Args:
        decision: the decision to explain.
        kind: the kind of its numbers, a name in KINDS.
    Source: iso-14253-1

    >>> from decimal import Decimal
    >>> rod = decide(value=None, lower=Decimal("49.936"), upper=Decimal("49.975"),
    ...              expanded_uncertainty=Decimal("0.0051"))
    >>> print(guard_sentence(rod, "length"))
    Uncertainty ±0.0051 mm (k = 2): surely within from 49.9411 mm to 49.9699 mm.
    """
    lower, upper = decision.accept_lower, decision.accept_upper
    least = Decimal(0) if upper is None else upper
    if not decision.can_be_proven_within or least < 0:
        within = "no reading of this gauge can prove it; use a better one"
    elif upper is None:
        within = "surely within from {lower}"
    elif lower is None:
        within = "surely within up to {upper}"
    else:
        within = "surely within from {lower} to {upper}"
    numbers = {"lower": lower, "upper": upper, "guard": decision.expanded_uncertainty}
    return Sentence(
        f"Uncertainty ±{{guard}} (k = 2): {within}.",
        {name: Amount(x, kind, finer=1) for name, x in numbers.items() if x is not None},
    )


def uncertainty_ratio(*, lower: Decimal, upper: Decimal, expanded_uncertainty: Decimal) -> Decimal:
    """How many times the gauge's whole band goes into the tolerance; customary aim is 4 or more.

    ratio = (upper − lower) / 2U

    Args:
        lower: lower limit.
        upper: upper limit.
        expanded_uncertainty: U with k = 2, in the unit of the limits.
    Raises:
        Refusal: when the limits are exchanged or U is not positive.
    Source: z540-3

    >>> from decimal import Decimal
    >>> uncertainty_ratio(lower=Decimal(-71), upper=Decimal(-36), expanded_uncertainty=Decimal("8.13"))
    Decimal('2.15...')
    """
    require_positive(expanded_uncertainty=float(expanded_uncertainty))
    _require_usable(None, lower, upper, expanded_uncertainty)
    return (upper - lower) / (2 * expanded_uncertainty)


def _normal_below(distance: float, u: float) -> float:
    if u == 0:
        return 1.0 if distance >= 0 else 0.0
    return math.erfc(-distance / u / math.sqrt(2)) / 2


def _normal_beyond(room: float, u: float) -> float:
    """1 − `_normal_below`, without losing a small chance to rounding."""
    if u == 0:
        return 0.0 if room >= 0 else 1.0
    return math.erfc(room / u / math.sqrt(2)) / 2


def _per_cent(chance: float) -> str:
    if chance < _LEAST_SAID:
        return f"less than {100 * _LEAST_SAID:g} %"
    if chance > 1 - _LEAST_SAID:
        return f"more than {100 * (1 - _LEAST_SAID):g} %"
    return f"{100 * chance:.2g} %"


def _verdict(room: Decimal, guard: Decimal) -> Verdict:
    if room < -guard:
        return Verdict.BEYOND
    return Verdict.WITHIN if room >= guard else Verdict.UNCLEAR


def _rooms(value: Decimal, lower: Decimal | None, upper: Decimal | None) -> list[Decimal]:
    from_lower = [] if lower is None else [value - lower]
    from_upper = [] if upper is None else [upper - value]
    return from_lower + from_upper


def _require_usable(
    value: Decimal | None, lower: Decimal | None, upper: Decimal | None, expanded_uncertainty: Decimal
) -> None:
    require_not_negative(expanded_uncertainty=float(expanded_uncertainty))
    given = {"value": value, "lower": lower, "upper": upper}
    require_finite(**{name: float(number) for name, number in given.items() if number is not None})
    if lower is None and upper is None:
        raise Refusal("There is no limit to decide against; give a lower limit, an upper limit or both.")
    if lower is not None and upper is not None and lower > upper:
        raise Refusal(f"The lower limit {lower} is above the upper limit {upper}; swap them.")
