"""Figures off a seal's own sheet held against what is there: both numbers said, nothing passed; knows no file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence
from inspect_app.trade.measuring.required import require_finite
from inspect_app.trade.sealing.pairings import Objection


@dataclass(frozen=True, slots=True)
class FigureKind:
    """A figure a sheet may state: what it is read as, how it is said, and whether it is a least one.

    `said` is a kind of `Amount`; `ours` names what it is held against.
    """

    kind: str
    said: str
    ours: str
    least: bool = False


GAP = "greatest gap"
FIGURES: Mapping[str, FigureKind] = {
    GAP: FigureKind("length", "length", "our gap"),
    "greatest pressure": FigureKind("pressure", "pressure", "the pressure at this seal"),
    "greatest speed": FigureKind("speed", "running speed", "the rod's speed"),
    "hottest": FigureKind("temperature", "temperature", "the hottest oil"),
    "coldest": FigureKind("temperature", "temperature", "the coldest start", least=True),
}
"""The figures asked for, by name; a gap is radial, at the working pressure."""


@dataclass(frozen=True, slots=True)
class SheetSays:
    """A sheet's figure beside ours, and what speaks against the seal, None where nothing does or ours is not known."""

    sentence: Sentence
    objection: Objection | None


def against_sheet(*, figure: str, value: float, sheet: str, ours: float | None) -> SheetSays:
    """A figure of a seal's sheet beside what is there; the sheet decides, and within it nothing is passed.

    Args:
        figure: its name, one of FIGURES.
        value: what the sheet states, in the canonical unit of its kind.
        sheet: which sheet.
        ours: what is there, in the same unit; None while it is not known.
    Raises:
        Refusal: an unknown figure, a number that is none, no sheet.

    >>> says = against_sheet(figure="greatest pressure", value=25.0, sheet="A-4 of 2026", ours=43.6)
    >>> str(says.sentence), says.objection.rule
    ('Sheet A-4 of 2026: greatest pressure 250 bar; the pressure at this seal is 436 bar.', 'sheet-greatest-pressure')
    """
    if figure not in FIGURES:
        raise Refusal(f"{figure!r} is no figure of a sheet; allowed are {', '.join(FIGURES)}.")
    require_finite(value=value)
    if not sheet.strip():
        raise Refusal("Say which sheet the figure is from.")
    kind = FIGURES[figure]
    states: dict[str, Said | str] = {"sheet": sheet, "value": Amount(value, kind.said)}
    if ours is None:
        says = Sentence(f"Sheet {{sheet}}: {figure} {{value}}; {kind.ours} is not known.", states)
        return SheetSays(says, None)
    require_finite(ours=ours)
    says = Sentence(
        f"Sheet {{sheet}}: {figure} {{value}}; {kind.ours} is {{ours}}.",
        {**states, "ours": Amount(ours, kind.said)},
    )
    beyond = ours < value if kind.least else ours > value
    if not beyond:
        return SheetSays(says, None)
    against = Sentence("{says} It is beyond the sheet.", {"says": says})
    settles = Sentence("another seal, or the seal maker's written word for this duty")
    return SheetSays(says, Objection(f"sheet-{figure.replace(' ', '-')}", against, settles))
