"""A dimension with the least and greatest it may be, and a value computed from such; knows no part."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Size:
    """A dimension with the least and greatest it may be, mm."""

    nominal_mm: float
    least_mm: float
    greatest_mm: float

    def __post_init__(self) -> None:
        require_positive(least_mm=self.least_mm)
        require_finite(greatest_mm=self.greatest_mm)
        if not self.least_mm <= self.nominal_mm <= self.greatest_mm:
            raise Refusal(
                "{nominal} does not lie between {least} and {greatest}.",
                nominal=Amount(self.nominal_mm, "length"),
                least=Amount(self.least_mm, "length"),
                greatest=Amount(self.greatest_mm, "length"),
            )

    @classmethod
    def plus_minus(cls, nominal_mm: float, either_way_mm: float) -> Size:
        """A size from its value and a tolerance or expanded uncertainty either way."""
        require_not_negative(either_way_mm=either_way_mm)
        return cls(nominal_mm, nominal_mm - either_way_mm, nominal_mm + either_way_mm)

    def times(self, factor: float) -> Size:
        """The size grown or shrunk by a factor."""
        return Size(self.nominal_mm * factor, self.least_mm * factor, self.greatest_mm * factor)


@dataclass(frozen=True, slots=True)
class Spread:
    """A computed value with the least and greatest the tolerances allow."""

    nominal: float
    least: float
    greatest: float
