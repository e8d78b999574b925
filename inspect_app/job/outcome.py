"""What was reckoned for a cylinder as planned: figure, limit and verdict, and each in one sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Shown
from inspect_app.trade.measuring.carried import Carried
from inspect_app.trade.measuring.decision import Verdict, decide
from inspect_app.trade.measuring.refusal import UNSAID, Said, Sentence, joined

FINEST = Decimal("0.0001")
"""A planned figure is decided to this: finer than anything it is made of."""


@dataclass(frozen=True, slots=True)
class Band:
    """A limit on a planned figure, and who says so; None on a side without one."""

    lower: float | None
    upper: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """One thing reckoned for the cylinder as planned.

    `of` is the key of what was reckoned, `title` its name in a sentence; without a value `missing` says what
    is not known. `kind` is the quantity's, shown with `decimals` in metric units. `more` is what else belongs
    to the figure.
    """

    of: str
    title: Said | str
    verdict: Verdict
    value: Carried | None = None
    band: Band | None = None
    kind: str = "length"
    decimals: int = 2
    missing: Said | str = ""
    more: Sentence = UNSAID

    @property
    def sentence(self) -> Sentence:
        """Figure, limit and verdict in one sentence."""
        proven = PROVEN[self.verdict]
        if self.value is None or self.band is None:
            why = ", {missing}" if self.missing else ""
            return Sentence(f"{{title}}: {proven}{why}.", {"title": self.title, "missing": self.missing})
        parts: dict[str, Said | str] = {
            "title": self.title,
            "value": self._shown(self.value.value, bare=True),
            "expanded": self._shown(self.value.expanded),
            "limit": self._limit(self.band.lower, self.band.upper),
        }
        told = Sentence(f"{{title}} {{value}} ±{{expanded}} against {{limit}}: {proven}.", parts)
        return joined((told, self.more), " ") if self.more else told

    def _shown(self, number: float, *, bare: bool = False) -> Shown:
        return Shown(exact(number), self.kind, self.decimals, bare)

    def _limit(self, lower: float | None, upper: float | None) -> Sentence:
        if lower is not None and upper is not None:
            return joined((self._shown(lower, bare=True), self._shown(upper)), " to ")
        if lower is not None:
            return joined(("at least", self._shown(lower)), " ")
        return joined(("at most", self._shown(upper or 0)), " ")


PROVEN = {
    Verdict.WITHIN: "within",
    Verdict.BEYOND: "outside",
    Verdict.UNCLEAR: "not proven, too close to limit",
    Verdict.NOT_MEASURED: "not proven",
}


Bands = Mapping[str, Band]
"""Limits the shop's own tables write, by key: bore, clearance, gland, chrome, base, runout."""


def judged(
    of: str,
    title: str,
    value: Carried,
    band: Band,
    *,
    kind: str = "length",
    decimals: int = 2,
    more: Sentence = UNSAID,
) -> Outcome:
    """A planned figure held against its limit.

    Args:
        of: the key of what was reckoned.
        title: what it is called.
        value: the figure.
        band: its limit.
        kind: the kind of quantity.
        decimals: so many are shown in metric units.
        more: what else belongs to it.
    """
    lower, upper = (None if x is None else exact(x) for x in (band.lower, band.upper))
    decision = decide(
        value=exact(value.value), lower=lower, upper=upper, expanded_uncertainty=exact(value.expanded)
    )
    return Outcome(of, title, decision.verdict, value, band, kind, decimals, more=more)


def exact(number: float) -> Decimal:
    """A planned figure as it is decided."""
    return Decimal(repr(number)).quantize(FINEST)


def length_of(mm: float) -> Shown:
    """A planned length as it is shown."""
    return Shown(exact(mm), "length", 2)


def without_stop(sentence: Sentence) -> Sentence:
    """A sentence as it stands inside another one."""
    return Sentence(sentence.template.removesuffix("."), sentence.parts)


def not_known(of: str, title: str, why: str) -> Outcome:
    """What cannot be reckoned, and why."""
    return Outcome(of, title, Verdict.NOT_MEASURED, missing=why)
