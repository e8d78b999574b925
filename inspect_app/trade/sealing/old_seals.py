"""What an old seal points to, and what a measurement of it adds; evidence, never a verdict; knows no file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.trade.measuring.refusal import Refusal, Sentence, joined
from inspect_app.trade.measuring.required import require_finite, require_positive

EVIDENCE = (
    "gap", "oval", "bent", "hotter", "too-fast", "smooth", "harder", "softer", "swollen", "flattened", "thinned",
)  # fmt: skip
"""What measurements may say beside an old seal, by name."""


@dataclass(frozen=True, slots=True)
class OldSealState:
    """How an old seal may look: what that points to, what would confirm it, and which evidence agrees with it.

    A state that points to nothing, as new, has "" there.
    """

    id: str
    title: str
    source: str
    points_to: str = ""
    confirm: str = ""
    agrees: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pointer:
    """What one state of an old seal points to; `fits` where a measurement agrees. Never a verdict."""

    state: str
    fits: bool
    sentence: Sentence
    source: str


def pointer(*, state: OldSealState, evidence: Mapping[str, Sentence]) -> Pointer:
    """What an old seal's state points to; where a measurement agrees, that it fits, with what was measured.

    Args:
        state: how it looks.
        evidence: what was measured, by name of EVIDENCE; a name that is not there was not found.
    Source: old-seal-signs

    >>> rolled = OldSealState("rolled", "cut in a spiral", "x", "a ring that rolled", "the ovality", ("oval",))
    >>> str(pointer(state=rolled, evidence={}).sentence)
    'Cut in a spiral: points to a ring that rolled. To confirm: the ovality.'
    >>> str(pointer(state=rolled, evidence={"oval": Sentence("Bore ovality 0.08 mm is outside its limit.")}).sentence)
    'Cut in a spiral: fits a ring that rolled. Bore ovality 0.08 mm is outside its limit.'
    """
    looks = state.title[:1].upper() + state.title[1:]
    if not state.points_to:
        return Pointer(state.id, False, Sentence(f"{looks}: points to nothing."), state.source)
    agreeing = [evidence[name] for name in state.agrees if name in evidence]
    if agreeing:
        says = joined([f"{looks}: fits {state.points_to}.", *agreeing], " ")
        return Pointer(state.id, True, says, state.source)
    says = Sentence(f"{looks}: points to {state.points_to}. To confirm: {state.confirm}.")
    return Pointer(state.id, False, says, state.source)


def hardness_change(*, old_shore_a: float, new_shore_a: float, within_shore_a: float) -> str:
    """Whether an old seal is "harder" or "softer" than a new one of its material, "" within the tolerance of new.

    Args:
        old_shore_a: hardness of the old one, Shore A.
        new_shore_a: nominal hardness of a new one, Shore A.
        within_shore_a: how far a new one may be off, Shore A.
    Raises:
        Refusal: a hardness off the scale.
    Source: old-seal-signs

    >>> hardness_change(old_shore_a=82, new_shore_a=70, within_shore_a=5)
    'harder'
    """
    require_positive(within_shore_a=within_shore_a)
    for hardness in (old_shore_a, new_shore_a):
        require_finite(hardness=hardness)
        if not 0 < hardness <= 100:
            raise Refusal(f"{hardness:g} is no hardness on the scale Shore A; it runs from 0 to 100.")
    change = old_shore_a - new_shore_a
    return "" if abs(change) <= within_shore_a else "harder" if change > 0 else "softer"


def growth_percent(*, old_section_mm: float, new_section_mm: float) -> float:
    """How much thicker an old ring is than a new one, per cent of the new one; negative where it is thinner.

    Args:
        old_section_mm: section of the old ring as measured, mm.
        new_section_mm: section of a new ring, mm.
    Raises:
        Refusal: a section that is not above 0.
    Source: old-seal-signs

    >>> round(growth_percent(old_section_mm=3.74, new_section_mm=3.53), 1)    # 0.21 / 3.53
    5.9
    """
    require_positive(old_section_mm=old_section_mm, new_section_mm=new_section_mm)
    return 100 * (old_section_mm - new_section_mm) / new_section_mm


def compression_set_percent(*, old_section_mm: float, new_section_mm: float, depth_mm: float) -> float:
    """How much of its squeeze a ring has kept as set, per cent: 0 springs back whole, 100 stays as flat as the groove.

    Args:
        old_section_mm: height of the old ring as taken out, mm.
        new_section_mm: section of a new ring, mm.
        depth_mm: depth of its groove to the other part, mm.
    Raises:
        Refusal: a size that is not above 0, or a groove that does not squeeze the ring.
    Source: compression-set

    >>> round(compression_set_percent(old_section_mm=3.10, new_section_mm=3.53, depth_mm=2.90))    # 0.43 / 0.63
    68
    """
    require_positive(old_section_mm=old_section_mm, new_section_mm=new_section_mm, depth_mm=depth_mm)
    if depth_mm >= new_section_mm:
        raise Refusal("The groove is as deep as the ring is thick, or deeper: nothing is squeezed.")
    return 100 * (new_section_mm - old_section_mm) / (new_section_mm - depth_mm)
