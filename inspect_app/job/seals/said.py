"""How the size of a seal and what it runs on are said; chooses nothing."""

from __future__ import annotations

from inspect_app.job.seals.inputs import GrooveFound
from inspect_app.job.seals.matching import Named
from inspect_app.tables.positions import Position
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import UNSAID, Sentence, joined


def words(named: Named) -> Sentence:
    """The size by its housing, the sealed diameter first.

    Args:
        named: what the groove is.
    """
    return joined([named.housing.designation if named.housing else "made to measure"], "")


def roughness_words(ra_um: float) -> Sentence:
    """A roughness as it is said.

    Args:
        ra_um: Ra, µm.
    """
    return Sentence("Ra {ra}", {"ra": Amount(ra_um, "roughness")})


def surface_words(position: Position, found: GrooveFound) -> Sentence:
    """What a seal runs or rests on, as it is or will be.

    Args:
        position: which seal.
        found: its groove.
    """
    if found.sealed is None:
        return UNSAID
    name = {"rod": "rod", "bore": "bore"}.get(position.on, "joint")
    parts = [Sentence(f"{name} {{size}}", {"size": Amount(found.sealed.value_mm, "length")})]
    if found.roughness_um is not None:
        parts.append(roughness_words(found.roughness_um))
    return joined(parts, ", ")
