"""Reassembly as it stands: each joint's torque, whether it was reached, and whether the joint holds at proof."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.assembled import BASES, COMPUTED, ComputedFrom, Reached, Target
from inspect_app.entries.job import AS_LEFT, Job, Survey
from inspect_app.job.parting import NOT_KNOWN, Parting, parting_of
from inspect_app.job.testing import pressures_of
from inspect_app.tables import Tables
from inspect_app.tables.assembling import ENDS, LUBRICANT, Computed, Joint, joints_on
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.steps import REASSEMBLY
from inspect_app.trade.joints.targets import (
    ComputedTarget,
    Held,
    computed_target,
    cross_pattern,
    greatest_share,
    held_over_scatter,
    wrench_setting_nm,
)
from inspect_app.trade.joints.torque import TorqueTarget
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Decision, Verdict, decide
from inspect_app.trade.measuring.refusal import Said, Sentence
from inspect_app.trade.measuring.wording import listed

_PERCENT = Decimal(100)


@dataclass(frozen=True, slots=True)
class JointStands:
    """One joint: its target as a range, what it reached, and what speaks for and against it.

    `setting_nm` is what the wrench is set to where something makes it longer. `load_n` is what parts one screw's share
    of the joint at proof pressure, None while a size or pressure is not known. `passes_nm` and `order` are of several
    screws. `held` and `offered_share` are of a computed target alone.
    """

    joint: Joint
    must: bool
    target: Target | None = None
    range_nm: TorqueTarget | None = None
    setting_nm: float | None = None
    computed: ComputedTarget | None = None
    load_n: float | None = None
    held: Held | None = None
    offered_share: float | None = None
    reached: Reached | None = None
    decision: Decision | None = None
    passes_nm: tuple[float, ...] = ()
    order: tuple[int, ...] = ()
    says: tuple[Sentence, ...] = ()

    @property
    def tool_shows_nm(self) -> float | None:
        """What the tool is set to for this joint, None while it has no target."""
        if self.setting_nm is not None:
            return self.setting_nm
        return self.range_nm.nominal_nm if self.range_nm else None

    @property
    def verdict(self) -> Verdict:
        """What the torque reached proves of the target."""
        return self.decision.verdict if self.decision else Verdict.NOT_MEASURED


def joints_of(job: Job, tables: Tables) -> tuple[JointStands, ...]:
    """Every joint of a cylinder as it stands, in the order they are tightened.

    Args:
        job: the job.
        tables: its tables.
    """
    survey = job.survey(AS_LEFT)
    answers = {question: answer.text for question, answer in survey.answers.items()}
    cylinder = tables.cylinders[job.cylinder]
    every = [
        _stands(j, job, survey, tables) for j in joints_on(tables.assembling, cylinder, answers).values()
    ]
    return tuple(j for j in every if j.must or j.target or _may_have(j.joint, cylinder, answers))


def _may_have(joint: Joint, cylinder: Cylinder, answers: Mapping[str, str]) -> bool:
    """Whether such a cylinder can have a joint at all: not one that hangs on what it is not asked, or is not there."""
    if not joint.when:
        return not joint.on
    return any(cylinder.question(question) and question not in answers for question in joint.when)


def joint_of(job: Job, tables: Tables, joint: Joint) -> JointStands:
    """One joint as it stands.

    Args:
        job: the job.
        tables: its tables.
        joint: which.
    """
    return _stands(joint, job, job.survey(AS_LEFT), tables)


def _stands(joint: Joint, job: Job, survey: Survey, tables: Tables) -> JointStands:
    figures = tables.assembling.computed
    target, reached = job.assembled.of(joint.id, joint.repeats)
    answered = (survey.answers[q].text in named for q, named in joint.when.items() if q in survey.answers)
    must = survey.cylinder in joint.on or any(answered)
    if target is None:
        return JointStands(joint, must)
    parting, proof = (
        parting_of(joint.parted_by, tables.cylinders[job.cylinder], survey, joint.at),
        pressures_of(job, tables).proof,
    )
    load_n = float(proof) * parting.area_mm2 / target.count if proof and parting.area_mm2 else None
    computed = _computed(target.computed) if target.computed else None
    range_nm = _range(target, computed, figures)
    held, offered = _held(target, computed, load_n, figures)
    setting_nm = None
    if target.wrench and target.extension:
        longer = {"wrench_mm": float(target.wrench.value), "extension_mm": float(target.extension.value)}
        setting_nm = wrench_setting_nm(torque_nm=range_nm.nominal_nm, **longer)
    several = joint.several and target.count > 1
    passes = tuple(range_nm.nominal_nm * int(p) / 100 for p in figures.passes) if several else ()
    stands = JointStands(
        joint, must, target, range_nm, setting_nm, computed, load_n, held, offered, reached,
        _decided(reached, range_nm), passes, cross_pattern(target.count) if several else (),
    )  # fmt: skip
    parted = _about_parting(stands, parting)
    return replace(stands, says=(*_about_reading(stands), *parted, *_about_hold(stands, figures)))


def _computed(made_of: ComputedFrom) -> ComputedTarget:
    low, expected, high = (float(k) for k in made_of.nut_factors)
    return computed_target(
        share=float(made_of.share),
        proof_load_n=float(made_of.proof_load_n),
        d_mm=float(made_of.d_mm),
        nut_factors=(low, expected, high),
        scatter=float(made_of.scatter),
    )


def _range(target: Target, computed: ComputedTarget | None, figures: Computed) -> TorqueTarget:
    """The torque with its range: as typed, else what a reading may be off."""
    if target.low and target.high:
        low, high = float(target.low.value), float(target.high.value)
        return TorqueTarget(low, float(target.nominal.value) if target.nominal else (low + high) / 2, high)
    nominal = computed.nominal_nm if computed else float(target.nominal.value) if target.nominal else 0.0
    off = nominal * float(figures.reading_percent / _PERCENT)
    return TorqueTarget(nominal - off, nominal, nominal + off)


def _decided(reached: Reached | None, range_nm: TorqueTarget) -> Decision | None:
    if reached is None or reached.torque is None:
        return None
    error = reached.torque.value * (reached.error_percent or Decimal(0)) / _PERCENT
    return decide(
        value=reached.torque.value,
        lower=Decimal(f"{range_nm.least_nm:.4f}"),
        upper=Decimal(f"{range_nm.greatest_nm:.4f}"),
        expanded_uncertainty=error,
    )


def _held(
    target: Target, computed: ComputedTarget | None, load_n: float | None, figures: Computed
) -> tuple[Held | None, float | None]:
    """Whether a computed target holds over its scatter, and the share that would where it overshoots."""
    if target.computed is None or computed is None or load_n is None:
        return None, None
    proof_n = float(target.computed.proof_load_n)
    constants = float(figures.bolt_takes_least / _PERCENT), float(figures.bolt_takes_most / _PERCENT)
    held = held_over_scatter(
        lowest_n=computed.lowest_n,
        highest_n=computed.highest_n,
        load_n=load_n,
        constants=constants,
        proof_load_n=proof_n,
    )
    if held.proof_use <= 1:
        return held, None
    share = greatest_share(
        load_n=load_n, constants=constants, proof_load_n=proof_n, scatter=float(target.computed.scatter)
    )
    return held, share


def _about_reading(stands: JointStands) -> list[Sentence]:
    reached = stands.reached
    if reached is None:
        return []
    if reached.torque is None:
        return [Sentence("The torque was beyond the tool: use a stronger one.")]
    if reached.error_percent is None:
        return [Sentence("How far the tool may be off is not said; it is taken as exact.")]
    return []


def _about_parting(stands: JointStands, parting: Parting) -> list[Sentence]:
    if stands.load_n is None or stands.target is None:
        return [Sentence(NOT_KNOWN if parting.area_mm2 else parting.why)] if parting.why else []
    each = ", for each of {count}" if stands.target.count > 1 else ""
    load: dict[str, Said | str] = {
        "load": Amount(stands.load_n, "force"),
        "why": parting.why,
        "count": str(stands.target.count),
    }
    return [Sentence(f"At proof pressure it is pulled apart with {{load}}{each}, {{why}}.", load)]


def _about_hold(stands: JointStands, figures: Computed) -> list[Sentence]:
    held, target = stands.held, stands.target
    if target is None or target.computed is None or held is None:
        return []
    said = [
        Sentence(
            "At proof pressure the {what} carries at most {use} of its proof load.",
            {"what": stands.joint.title.lower(), "use": f"{held.proof_use * 100:.0f} %"},
        )
    ]
    if stands.offered_share is not None:
        said.append(_overshoots(stands.offered_share))
    if held.lowest_clamp_n <= 0:
        said.append(
            Sentence(
                "At its lowest preload the parts may part at proof pressure: {short} are missing.",
                {"short": Amount(-held.lowest_clamp_n, "force")},
            )
        )
    least_n = stands.computed.lowest_n if stands.computed else 0.0
    if (
        stands.joint.parted_by == ENDS
        and stands.load_n
        and least_n < float(figures.tie_rod_margin) * stands.load_n
    ):
        said.append(
            Sentence(
                "The tie-rods hold {times} times what parts them at their lowest; wanted are {margin}.",
                {"times": f"{least_n / stands.load_n:.2f}", "margin": f"{figures.tie_rod_margin:f}"},
            )
        )
    return said


def _overshoots(share: float) -> Sentence:
    if share <= 0:
        return Sentence("With its scatter it overshoots proof whatever the torque: the thread is too weak.")
    return Sentence(
        "With its scatter it overshoots proof. Aim at {share} of proof, or tighten in a way that scatters less.",
        {"share": f"{int(share * 100)} %"},
    )


# ---- what is missing


def what_is_missing(job: Job, tables: Tables) -> tuple[Sentence, ...]:
    """What keeps the reassembly from being closed: a joint without target, not tightened, or not proven in range.

    Args:
        job: the job.
        tables: its tables.
    """
    every = [j for j in joints_of(job, tables) if j.must or j.target]
    if not every:
        return (Sentence("No joint has a torque target."),)
    return tuple(said for stands in every if (said := _missing(stands)))


def wrongly_fitted(job: Job, tables: Tables, materials: Collection[str]) -> tuple[Sentence, ...]:
    """What was recorded of the fitting that keeps the reassembly open.

    Args:
        job: the job.
        tables: its tables.
        materials: what the seals are made of, by their codes.
    """
    rules, step = tables.assembling.fitted, tables.steps[REASSEMBLY]
    said = []
    for name, answers in rules.wrong.items():
        typed, record = job.steps.typed(step.id, name), step.record(name)
        if record and typed in answers:
            said.append(
                Sentence("{title}: {answer}.", {"title": record.title, "answer": record.options[typed]})
            )
    on, record = job.steps.typed(step.id, LUBRICANT), step.record(LUBRICANT)
    ruined = sorted({*rules.lubricant_ruins.get(on, ())} & {*materials})
    if record and ruined:
        words = "On the seals: {lubricant}. It ruins {materials}."
        said.append(Sentence(words, {"lubricant": record.options[on], "materials": listed(ruined)}))
    return (*said, *_twisted(job, tables))


def _twisted(job: Job, tables: Tables) -> tuple[Sentence, ...]:
    """Whether the pins of both ends are turned against each other by more than the drawing, or practice, allows."""
    twist = tables.assembling.twist
    angle, drawing = (job.steps.value(REASSEMBLY, name) for name in (twist.record, twist.allowed))
    allowed = twist.at_most if drawing is None else drawing
    if angle is None or abs(angle) <= allowed:
        return ()
    by = "in common practice" if drawing is None else "by the drawing"
    parts = {"angle": Amount(abs(angle), "angle"), "allowed": Amount(allowed, "angle")}
    return (
        Sentence(
            f"The pins of both ends are {{angle}} apart about the rod; {by} at most {{allowed}}.", parts
        ),
    )


def _missing(stands: JointStands) -> Sentence | None:
    title = {"joint": stands.joint.title}
    if stands.target is None:
        return Sentence("{joint}: no torque target.", title)
    if stands.reached is None:
        return Sentence("{joint}: not tightened.", title)
    if stands.reached.torque is None:
        return Sentence("{joint}: the torque was beyond the tool.", title)
    words = {
        Verdict.WITHIN: "",
        Verdict.BEYOND: "{joint}: {torque} is outside the range.",
        Verdict.UNCLEAR: "{joint}: {torque} is too close to the end of the range for this tool.",
    }.get(stands.verdict, "{joint}: not tightened.")
    return (
        Sentence(words, {**title, "torque": Amount(stands.reached.torque.value, "torque")}) if words else None
    )


def basis_words(target: Target) -> str:
    """Where a torque is from, for a line under it.

    Args:
        target: the target.
    """
    made_of = target.computed
    if target.basis != COMPUTED or made_of is None:
        return f"From {BASES[target.basis]}: {target.source}."
    share = f"{made_of.share * 100:.0f} % of proof"
    return f"Computed: {made_of.thread}, {made_of.strength}, {share}, {made_of.surface}; {made_of.way}."


def order_words(order: Sequence[int]) -> str:
    """In which order several screws are tightened; "" for one.

    Args:
        order: their numbers.
    """
    return f"Order: {', '.join(str(n) for n in order)}, then once round." if order else ""
