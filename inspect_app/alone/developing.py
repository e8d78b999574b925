"""What is picked on the phone alone: photographs, made small by the browser's own decoder; other files as they are."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass

from inspect_app.alone.page import Page
from inspect_app.logbook.photos import (
    BROKEN,
    HEIC,
    LONGEST_SIDE,
    QUALITY,
    THUMB_SIDE,
    Developed,
    is_heic,
    refuse_size,
    taken_at,
)
from inspect_app.screens.host import Made
from inspect_app.trade.measuring.refusal import Refusal

MOST_BYTES = 200_000_000
"""The largest file of another kind: it stands in memory several times while it is taken in."""


@dataclass(frozen=True, slots=True)
class InHand:
    """A photograph that was picked: it is here already, as it came from the camera."""

    page: Page
    name: str
    content: bytes

    async def bring(self, moved: Callable[[float], None]) -> Made:
        """As `Picked.bring`."""
        refuse_size(self.content)
        try:
            made = await self.page.develop(self.content, LONGEST_SIDE, THUMB_SIDE, QUALITY / 100)
        except Exception as e:  # JavaScript's, of any kind
            # an iPhone's browser can read its own kind, others cannot
            raise Refusal(HEIC if is_heic(self.content) else BROKEN) from e
        jpeg, thumbnail = made.jpeg.to_bytes(), made.thumbnail.to_bytes()
        developed = Developed(jpeg, thumbnail, int(made.width), int(made.height), taken_at(self.content))
        return Made(developed, hashlib.sha256(self.content).hexdigest())


@dataclass(frozen=True, slots=True)
class AsItIs:
    """A file of any other kind that was picked."""

    name: str
    content: bytes

    async def bring(self, moved: Callable[[float], None]) -> bytes:
        """As `Picked.bring`."""
        if len(self.content) > MOST_BYTES:
            raise Refusal(f"larger than {MOST_BYTES // 1_000_000} MB, too large for a phone's browser.")
        return self.content
