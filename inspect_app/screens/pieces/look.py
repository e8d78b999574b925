"""How everything looks: colours, sizes and weights for light, dark and bright sun; no controls.

Graphite on paper, one accent: the marking blue that fitters spot bearings with. Text keeps at least
7:1 against what it stands on (a test computes it).
"""

from __future__ import annotations

from dataclasses import dataclass

TOUCH = 56
"""The least height of anything that is tapped, dp."""

GAP = 12
"""The least distance between two things that are tapped, dp."""


@dataclass(frozen=True, slots=True)
class Look:
    """A theme. `paper` is the ground, `raised` what lies on it; `weight` thickens strokes for bright sun."""

    name: str
    dark: bool
    paper: str
    raised: str
    ink: str
    soft: str
    rule: str
    accent: str
    on_accent: str
    within: str
    beyond: str
    unclear: str
    unmeasured: str
    weight: float
    scale: float = 1.0

    def size(self, points: float) -> float:
        """A text size at this phone's text scale."""
        return round(points * self.scale, 1)

    def role(self, role: str) -> str:
        """The colour of a drawing's role."""
        return {
            "ink": self.ink,
            "faint": self.rule,
            "accent": self.accent,
            "fill": self.raised,
            "guard": self.soft,
        }.get(role) or str(getattr(self, role))


LIGHT = Look(
    name="light",
    dark=False,
    paper="#F7F4EC",
    raised="#FFFDF7",
    ink="#1B1F23",
    soft="#454B51",
    rule="#868A87",
    accent="#123A86",
    on_accent="#FFFFFF",
    within="#0F5129",
    beyond="#93101A",
    unclear="#634100",
    unmeasured="#454B51",
    weight=1.0,
)
DARK = Look(
    name="dark",
    dark=True,
    paper="#14171A",
    raised="#1F2428",
    ink="#F0ECE2",
    soft="#BFC4C4",
    rule="#767C80",
    accent="#A9C7FF",
    on_accent="#0B1B3A",
    within="#8FE0A8",
    beyond="#FFB4AE",
    unclear="#F5CC7A",
    unmeasured="#BFC4C4",
    weight=1.0,
)
SUN = Look(
    name="sun",
    dark=False,
    paper="#FFFFFF",
    raised="#FFFFFF",
    ink="#000000",
    soft="#1A1A1A",
    rule="#4A4A4A",
    accent="#001F7A",
    on_accent="#FFFFFF",
    within="#003D17",
    beyond="#7A0008",
    unclear="#4A2F00",
    unmeasured="#1A1A1A",
    weight=1.8,
)
LOOKS = {look.name: look for look in (LIGHT, DARK, SUN)}
LOOK_TITLES = {"light": "Light", "dark": "Dark", "sun": "Bright sun"}
SCALES = {"normal": 1.0, "large": 1.15, "largest": 1.3}
