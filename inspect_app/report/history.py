"""The cylinder's earlier visits, and what wore since, as a section of the report."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.paper.blocks import Bullets, Section
from inspect_app.trade.measuring.refusal import Sentence


def history_section(earlier: Sequence[Sentence], system: str) -> Section | None:
    """What is said of the earlier visits; None where there was none.

    Args:
        earlier: as `history_of` says it.
        system: "metric" or "inch".
    """
    return Section("Earlier visits", (Bullets(tuple(s.words(system) for s in earlier)),)) if earlier else None
