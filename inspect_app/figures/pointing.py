"""Which place a finger means on the drawing of a part: how far along on the side view, which clock on the end view."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import atan2, floor, hypot, pi

from inspect_app.entries.job import Place, Survey
from inspect_app.figures.part import End, laid_out
from inspect_app.figures.stations import mm_of, span_of
from inspect_app.trade.measuring.units import KINDS

ALONG, ROUND = "along", "round"
AXIAL = ("rod", "barrel", "whole")
"""Parts whose side view is true to length: a station lies on it where it lies on the part."""

STEPS = (1, 2, 5)
FINEST = {"metric": Decimal(1), "inch": Decimal("0.05")}
A_FINGER = 1.2
"""A finger tells no finer than so many points of the drawing."""


def length_of(figure: str, survey: Survey) -> Decimal | None:
    """What the side view of a part spans, mm; None where it is not to scale or the stroke is not known.

    Args:
        figure: which part.
        survey: the state of the cylinder.
    """
    return survey.length("stroke") if figure in AXIAL else None


@dataclass(frozen=True, slots=True)
class Pointing:
    """The measures of one drawing: where the stations 0 and `span_mm` lie on it (no span: it is not to scale), and
    its end view."""

    start: float
    stop: float
    span_mm: float | None
    end: End

    def view(self, x: float, y: float) -> str:
        """Which view a point is on: ALONG the part or ROUND it; "" where neither can say anything.

        Args:
            x: across.
            y: down.
        """
        if hypot(x - self.end.x, y - self.end.y) < self.end.radius + self.end.size + 11:
            return ROUND
        return ALONG if self.span_mm and x < self.end.x else ""

    def station(self, x: float, system: str) -> str:
        """The station at a point of the side view, as somebody would type it: in steps a finger can tell apart.

        Args:
            x: across.
            system: "metric" or "inch".
        """
        assert self.span_mm
        unit = KINDS["length"].shown(system)[0]
        share = min(max((x - self.start) / (self.stop - self.start), 0.0), 1.0)
        span = unit.number(Decimal(f"{self.span_mm:.12g}"))
        step = _step(span * Decimal(f"{A_FINGER / (self.stop - self.start):.12g}"), FINEST[system])
        steps = floor(span * Decimal(f"{share:.12g}") / step + Decimal("0.5"))
        return f"{(steps * step).normalize():f}"

    def clock(self, x: float, y: float) -> str:
        """The whole hour a point of the end view is nearest to.

        Args:
            x: across.
            y: down.
        """
        turn = atan2(x - self.end.x, self.end.y - y) / (2 * pi)
        return str(round(turn * 12) % 12 or 12)


def _step(least: Decimal, finest: Decimal) -> Decimal:
    """The smallest of 1, 2, 5, 10 ... times the finest that is not less than what a finger tells."""
    times = 1
    while True:
        for step in STEPS:
            if finest * step * times >= least:
                return finest * step * times
        times *= 10


def pointing(figure: str, places: Iterable[Place], survey: Survey, width: float, height: float) -> Pointing:
    """The measures of a drawing of defects that has an end view.

    Args:
        figure: which part, a name in OUTLINES.
        places: all places drawn on it.
        survey: the state of the cylinder.
        width: of the drawing.
        height: of the drawing.
    """
    stations = {p.station for p in places}
    laid = laid_out(figure, len(stations), width, height, round_view=True)
    assert laid.end is not None
    at = [mm for s in stations if (mm := mm_of(s)) is not None]
    length = length_of(figure, survey)
    span = span_of(at, length) if length else None
    return Pointing(laid.outline.start, laid.outline.end, span, laid.end)
