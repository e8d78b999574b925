"""What torque, force and pressure a means is set to: never above what part and tool stand, and in both unit systems."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.entries.job import AS_LEFT, Survey
from inspect_app.entries.means import Means
from inspect_app.job.assembling import JointStands
from inspect_app.job.step_figures import TEARDOWN
from inspect_app.job.steps import Facts
from inspect_app.job.testing import pressures_of
from inspect_app.tables import Tables
from inspect_app.tables.operations import AFTERWARDS
from inspect_app.tables.pressure_test import STEP
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence
from inspect_app.trade.strength.barrel import first_yield_pressure_mpa
from inspect_app.trade.strength.compressed_oil import ATMOSPHERE_MPA
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2

TORQUE_TOOL, PULLER, TEST_STAND = "torque-tool", "puller", "test-stand"


@dataclass(frozen=True, slots=True)
class Both:
    """A quantity in the reader's units, and in the other ones behind it: tools are marked in either."""

    value: float
    kind: str

    def words(self, system: str) -> str:
        """Both; `system` is "metric" or "inch".

        >>> Both(100, "torque").words("metric"), Both(100, "torque").words("inch")
        ('100 N·m (73.8 lbf·ft)', '73.8 lbf·ft (100 N·m)')
        """
        other = "inch" if system == "metric" else "metric"
        amount = Amount(self.value, self.kind)
        return f"{amount.words(system)} ({amount.words(other)})"


def torque_preset(stands: JointStands, shops: Iterable[Means]) -> tuple[Sentence, ...]:
    """What a torque tool is set to for a joint; nothing while it has no target.

    A computed torque that overshoots proof with its scatter is lowered to the share that does not.

    Args:
        stands: the joint.
        shops: the means in use.
    """
    shows, range_nm, target = stands.tool_shows_nm, stands.range_nm, stands.target
    if shows is None or range_nm is None or target is None:
        return ()
    part_nm, why = shows, ""
    if stands.offered_share is not None and target.computed:
        part_nm, why = shows * stands.offered_share / float(target.computed.share), "more overshoots proof"
    if part_nm <= 0:
        return (Sentence("No torque is proposed: the thread is too weak for it."),)
    # what makes the wrench longer makes it show less by the same share
    least_nm = min(part_nm, range_nm.least_nm * shows / range_nm.nominal_nm)
    return _proposed("torque tool", part_nm, least_nm, "torque", strongest(TORQUE_TOOL, shops), why)


def step_presets(step: str, facts: Facts, shops: Iterable[Means]) -> tuple[Sentence, ...]:
    """What the means of a step are set to; nothing where it sets none, or while a size is not known.

    Args:
        step: the step's id.
        facts: the job.
        shops: the means in use.
    """
    if step == TEARDOWN:
        return _force(facts.job.as_found, strongest(PULLER, shops))
    if step == STEP:
        return _pressure(facts, strongest(TEST_STAND, shops))
    return ()


def strongest(kind: str, shops: Iterable[Means]) -> Means | None:
    """The means of a kind that is rated highest, None where the shop entered none.

    Args:
        kind: its kind.
        shops: the means in use.
    """
    return max((m for m in shops if m.kind == kind), key=lambda m: m.up_to, default=None)


def _force(found: Survey, puller: Means | None) -> tuple[Sentence, ...]:
    """A rod is drawn with no more than a shut port explains, nor with more than it bears at rated pressure."""
    bore, rod, rated = (found.length(name) for name in ("bore", "rod", "rated_pressure"))
    if not bore or not rod or not rated or rod >= bore:
        return ()
    alone = ATMOSPHERE_MPA * circle_area_mm2(float(bore))
    bears = float(rated) * annulus_area_mm2(bore_mm=float(bore), rod_mm=float(rod))
    why = "a rod that needs more is held by a shut port or by bent, swollen or dirty parts: stop and look"
    return _proposed("puller", min(alone, bears), 0.0, "force", puller, why)


def _pressure(facts: Facts, stand: Means | None) -> tuple[Sentence, ...]:
    """The stand goes to proof, and no higher than the barrel bears as far as its wall and steel are known."""
    proof = pressures_of(facts.job, facts.tables).proof
    if not proof:
        return ()
    bears = barrel_bears_mpa(facts.job.survey(AS_LEFT), facts.tables)
    if bears is not None and bears < proof:
        words = "No pressure is proposed: proof is {proof}, and the barrel bears {bears} at most by its wall and steel."
        return (Sentence(words, {"proof": Both(float(proof), "pressure"), "bears": Both(bears, "pressure")}),)
    why = (
        ""
        if bears is not None
        else "what the barrel bears is not known: its outside diameter or steel is missing"
    )
    return _proposed("test stand", float(proof), float(proof), "pressure", stand, why)


def barrel_bears_mpa(survey: Survey, tables: Tables) -> float | None:
    """The most the barrel bears at proof by its nominal wall, MPa, None while a size or its steel is not known.

    Args:
        survey: the state of the cylinder.
        tables: the tables, for the share of yield allowed.
    """
    bore, outside, steel = (survey.length(n) for n in ("bore", "outside_diameter", "barrel_yield"))
    if not bore or not outside or not steel:
        return None
    try:
        yields = first_yield_pressure_mpa(
            bore_mm=float(bore), outside_mm=float(outside), yield_mpa=float(steel)
        )
    except Refusal:
        return None  # sizes that cannot be are said where they were typed
    return yields * float(tables.operations.figure(AFTERWARDS, "proof-share"))


def _proposed(
    what: str, value: float, least: float, kind: str, tool: Means | None, why: str
) -> tuple[Sentence, ...]:
    """A preset in a sentence, lowered to the tool's rating where that still does, refused where it does not."""
    shown: dict[str, Said | str] = {"value": Both(value, kind), "why": why}
    if tool is not None and tool.up_to < Decimal(repr(least)):
        shown |= {"name": tool.name, "most": Both(float(tool.up_to), kind)}
        words = f"No preset: {{value}} is needed; the strongest {what} here, {{name}}, is rated {{most}}."
        return (Sentence(words, shown),)
    by = ""
    if tool is not None and float(tool.up_to) < value:
        shown |= {"value": Both(float(tool.up_to), kind), "name": tool.name}
        by = ", as high as {name} is rated"
    rest = "; {why}" if why else ""
    return (Sentence(f"Set the {what} to {{value}} at most{by}{rest}.", shown),)
