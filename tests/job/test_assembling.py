"""Torques of a reassembly: what a target is, whether it was reached, whether the joint holds; arithmetic by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from closing import KINDS, SIZES, Closing
from log import SHIPPED

from inspect_app.entries.assembled import ComputedFrom
from inspect_app.entries.assembling import TorqueAimed, TorqueReached
from inspect_app.entries.stepping import RecordNoted
from inspect_app.job.assembling import JointStands, joint_of, joints_of, what_is_missing, wrongly_fitted
from inspect_app.tables.assembling import joints_on
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal

NUT = {"piston-fixing": "on-a-spigot"}
DRAWING = TorqueAimed(
    "piston-nut", "drawing", low="600 N·m", high="680 N·m", source="2207, sheet 2", on="oil, thread and face"
)


def made_of(share: str = "0.75", scatter: str = "0.28") -> ComputedFrom:
    # M42x3: 600 MPa on 1206.0 mm² are 723 600 N
    k = Decimal("0.18")
    return ComputedFrom(
        "M42x3", "600 MPa", Decimal(42), Decimal(723_600), "lubricated", (k, k, k), "torque wrench",
        Decimal(scatter), Decimal(share),
    )  # fmt: skip


def stands(closing: Closing, joint: str = "piston-nut") -> JointStands:
    job = closing.job
    answers = {q: a.text for q, a in job.as_found.answers.items()}
    joints = joints_on(SHIPPED.assembling, SHIPPED.cylinders[job.cylinder], answers)
    return joint_of(job, SHIPPED, joints[joint])


def missing(closing: Closing) -> list[str]:
    return [str(s) for s in what_is_missing(closing.job, SHIPPED)]


def says(found: JointStands) -> str:
    return " ".join(str(s) for s in found.says)


def test_a_range_off_the_drawing_is_the_target_and_its_middle_what_is_aimed_at() -> None:
    closing = Closing(answers=NUT)
    assert missing(closing) == ["Piston nut: no torque target."]
    closing.enter(DRAWING)
    assert missing(closing) == ["Piston nut: not tightened."]
    found = stands(closing).range_nm
    assert found is not None
    assert (found.least_nm, found.nominal_nm, found.greatest_nm) == (600, 640, 680)


@pytest.mark.parametrize(
    ("torque", "verdict", "said"),
    [
        # 4 % of 652 are 26.1: 652 + 26.1 = 678.1, within 680; 660 + 26.4 = 686.4 is not; 710 - 28.4 = 681.6 is outside
        ("652 N·m", Verdict.WITHIN, ""),
        (
            "660 N·m",
            Verdict.UNCLEAR,
            "Piston nut: 660 N·m is too close to the end of the range for this tool.",
        ),
        ("710 N·m", Verdict.BEYOND, "Piston nut: 710 N·m is outside the range."),
        ("beyond the tool", Verdict.NOT_MEASURED, "Piston nut: the torque was beyond the tool."),
        # 480.9 lbf·ft are 652 N·m
        ("480.9 lbf·ft", Verdict.WITHIN, ""),
    ],
)
def test_what_was_reached_is_held_against_the_range_with_the_error_of_the_tool(
    torque: str, verdict: Verdict, said: str
) -> None:
    closing = Closing(answers=NUT)
    closing.enter(DRAWING, TorqueReached("piston-nut", torque, "W-02", "4", "2027-03-01", "30"))
    assert stands(closing).verdict is verdict
    assert missing(closing) == ([said] if said else [])


def test_a_torque_without_a_range_holds_within_a_tenth() -> None:
    closing = Closing()
    closing.enter(TorqueAimed("piston-nut", "shop", nominal="640 N·m", source="table 3", on="oil"))
    found = stands(closing).range_nm
    assert found is not None
    assert (found.least_nm, found.greatest_nm) == pytest.approx((576, 704))


def test_a_computed_torque_and_whether_the_joint_holds_at_proof_by_hand() -> None:
    # rated 21, proof 31.5 MPa, annulus 5390.97 mm²: P = 169 816 N
    # preload 542 700 N, K 0.18, d 42: 4102.8 N·m; highest 694 656 + 0.4 x 169 816 = 762 582 N, 105 % of 723 600
    # offered (1 - 0.4 x 169 816 / 723 600) / 1.28 = 0.7079
    closing = Closing()
    closing.enter(TorqueAimed("piston-nut", "computed", on="oil", computed=made_of()))
    found = stands(closing)
    assert found.range_nm is not None
    assert found.range_nm.nominal_nm == pytest.approx(4102.8, abs=0.1)
    assert found.load_n == pytest.approx(169_816, abs=1)
    assert found.held is not None
    assert found.held.proof_use == pytest.approx(1.0539, abs=0.0005)
    assert found.offered_share == pytest.approx(0.7079, abs=0.0005)
    assert "Aim at 70 % of proof" in says(found)
    # 0.60: 555 725 + 67 926 = 623 651, 86 %
    closing.enter(TorqueAimed("piston-nut", "computed", on="oil", computed=made_of("0.60")))
    found = stands(closing)
    assert "86 % of its proof load" in says(found)
    assert found.offered_share is None


@pytest.mark.parametrize(
    ("kind", "joint", "newton", "why"),
    [
        # 31.5 MPa x π/4 (100² - 56²) = 31.5 x 5390.97; on the gland stands the piston: 31.5 x 7853.98
        ("double-acting", "piston-nut", 169_816, "from the rod side on the piston"),
        ("double-acting", "gland-thread", 247_400, "with the piston standing on the gland"),
        ("ram", "piston-nut", None, "this kind has no piston on a rod"),
        # 24 MPa x π/4 105² = 24 x 8659.01
        ("ram", "gland-thread", 207_816, "with the plunger standing on the gland"),
        # 24 MPa x 5390.97, against 4005.53 on side A
        ("double-rod", "piston-nut", 129_383, "from side B, the one with the thinner rod"),
        # on gland A stands the piston with the oil around rod B behind it, on gland B that around rod A: 24 x 4005.53
        ("double-rod", "side-a-gland-thread", 129_383, "with the piston standing on gland A"),
        ("double-rod", "side-b-gland-thread", 129_383, "from the oil on gland B itself"),
        # 27 MPa x π/4 (125² - 100²) = 27 x 4417.86, stage 2 has 2563.54 only; the gland 27 x 12 271.85
        ("telescopic-double-acting", "piston-nut", 119_282, "on the piston of stage 1"),
        ("telescopic-double-acting", "stage-1-gland-thread", 331_340, "on the gland of stage 1"),
        # stage 2 stands in the tube of 80: 27 MPa x π/4 80² = 27 x 5026.55
        ("telescopic-double-acting", "stage-2-gland-thread", 135_717, "on the gland of stage 2"),
    ],
)
def test_what_pulls_a_joint_apart_at_proof_in_each_kind_by_hand(
    kind: str, joint: str, newton: float | None, why: str
) -> None:
    closing = Closing(KINDS[kind], {"stages": "2"}, cylinder=kind)
    closing.enter(TorqueAimed(joint, "shop", nominal="640 N·m", source="table 3", on="oil"))
    found = stands(closing, joint)
    assert found.load_n == (newton and pytest.approx(newton, rel=1e-4))
    assert why in says(found)


def telescope(stages: str) -> Closing:
    return Closing(
        KINDS["telescopic-double-acting"],
        {"stages": stages, "gland-held": "thread"},
        cylinder="telescopic-double-acting",
    )


def test_the_gland_of_each_stage_has_its_own_target_and_its_own_torque() -> None:
    closing = telescope("3")
    each = [f"Gland in its thread, stage {n}" for n in "123"]
    assert missing(closing) == [f"{gland}: no torque target." for gland in each]
    for stage, torque in (("1", "1500 N·m"), ("2", "900 N·m")):
        closing.enter(
            TorqueAimed(f"stage-{stage}-gland-thread", "drawing", nominal=torque, source="2", on="grease")
        )
    closing.enter(TorqueReached("stage-2-gland-thread", "905 N·m", "W-02", "4"))
    assert missing(closing) == [f"{each[0]}: not tightened.", f"{each[2]}: no torque target."]
    assert stands(closing, "stage-2-gland-thread").verdict is Verdict.WITHIN
    assert stands(closing, "stage-1-gland-thread").reached is None


@pytest.mark.parametrize(
    ("kind", "not_there"),
    [
        ("ram", "Piston nut"),
        ("double-acting", "Tie-rods"),
        ("telescopic", "Piston nut"),
        ("ram", "Gland screws"),
    ],
)
def test_what_a_cylinder_cannot_have_is_not_offered_to_be_tightened(kind: str, not_there: str) -> None:
    closing = Closing(cylinder=kind, answers={"gland-held": "thread"})
    titles = [j.joint.title for j in joints_of(closing.job, SHIPPED)]
    assert titles
    assert not_there not in titles


def test_a_torque_is_not_entered_for_all_glands_at_once() -> None:
    words = "allowed are .*Gland in its thread, stage 1.*Gland in its thread, stage 2"
    aimed = TorqueAimed("gland-thread", "drawing", nominal="1500 N·m", source="2", on="grease")
    with pytest.raises(Refusal, match=words):
        telescope("2").enter(aimed)


def test_a_torque_of_an_older_log_holds_for_every_gland_nothing_else_was_said_of() -> None:
    closing = telescope("2")
    old = Closing(answers={"gland-held": "thread"})
    old.enter(
        TorqueAimed("gland-thread", "drawing", nominal="1500 N·m", source="2", on="grease"),
        TorqueReached("gland-thread", "1490 N·m", "T-1", "4"),
    )
    closing.entries += old.entries
    assert missing(closing) == []
    assert stands(closing, "stage-2-gland-thread").verdict is Verdict.WITHIN
    closing.enter(TorqueAimed("stage-2-gland-thread", "drawing", nominal="900 N·m", source="2", on="grease"))
    assert missing(closing) == ["Gland in its thread, stage 2: not tightened."]
    assert stands(closing, "stage-1-gland-thread").verdict is Verdict.WITHIN


def test_each_gland_bears_the_wider_annulus_whichever_side_it_is_on() -> None:
    closing = Closing(
        {**KINDS["double-rod"], "side-a-rod": "56", "side-b-rod": "70"},
        {"stages": "2"},
        cylinder="double-rod",
    )
    # π/4 (100² − 56²) x 24 MPa, worked by hand
    for side, why in (("a", "from the oil on gland A itself"), ("b", "with the piston standing on gland B")):
        joint = f"side-{side}-gland-thread"
        closing.enter(TorqueAimed(joint, "shop", nominal="640 N·m", source="table 3", on="oil"))
        assert stands(closing, joint).load_n == pytest.approx(129_383, rel=1e-4)
        assert why in says(stands(closing, joint))


def test_a_size_that_is_missing_is_said_where_a_joint_is_pulled_apart() -> None:
    closing = Closing(
        {"bore": "100", "side-a-rod": "70", "stroke": "400", "rated_pressure": "16"}, cylinder="double-rod"
    )
    closing.enter(TorqueAimed("piston-nut", "shop", nominal="640 N·m", source="table 3", on="oil"))
    assert stands(closing).load_n is None
    assert "a size or the rated pressure is missing" in says(stands(closing))


def test_a_weak_preload_lets_the_parts_part_and_says_by_how_much() -> None:
    # 0.20 x 723 600 x 0.72 = 104 198 N; 0.9 x 169 816 = 152 834 N: 48.6 kN are missing
    closing = Closing()
    closing.enter(TorqueAimed("piston-nut", "computed", on="oil", computed=made_of("0.20")))
    assert "48.6 kN are missing" in says(stands(closing))


def test_a_tie_rod_cylinder_is_not_together_before_its_tie_rods_are_tight() -> None:
    closing = Closing()
    closing.found = replace(closing.found, cylinder="tie-rod")
    assert missing(closing) == ["Tie-rods: no torque target."]


def test_tie_rods_share_the_load_and_are_tightened_across_in_passes() -> None:
    # four rods: 31.5 x 7853.98 / 4 = 61 850 N each; 0.75 x 80 000 x 0.72 = 43 200 N: 0.70 times what parts them
    closing = Closing()
    weak = ComputedFrom(
        "M16x1.5", "8.8", Decimal(16), Decimal(80_000), "lubricated", (Decimal("0.18"),) * 3, "w", Decimal("0.28"),
        Decimal("0.75"),
    )  # fmt: skip
    closing.enter(TorqueAimed("tie-rods", "computed", on="oil", count="4", computed=weak))
    found = stands(closing, "tie-rods")
    assert found.load_n == pytest.approx(61_850, abs=1)
    assert found.order == (1, 3, 2, 4)
    # 0.18 x 60 000 x 16 / 1000 = 172.8: 51.8, 103.7, 172.8
    assert found.passes_nm == pytest.approx((51.84, 103.68, 172.8))
    assert "The tie-rods hold 0.70 times" in says(found)


def test_a_longer_wrench_is_set_lower() -> None:
    # 640 x 500 / 600 = 533.3
    closing = Closing()
    closing.enter(
        TorqueAimed(
            "piston-nut", "shop", nominal="640 N·m", source="t", on="oil", wrench="500", extension="100"
        )
    )
    assert stands(closing).setting_nm == pytest.approx(533.33, abs=0.01)


def test_without_sizes_nothing_is_said_to_hold() -> None:
    closing = Closing({"bore": "100"})
    closing.enter(TorqueAimed("piston-nut", "computed", on="oil", computed=made_of()))
    assert "is not known" in says(stands(closing))


def test_a_tool_without_a_known_error_is_said() -> None:
    closing = Closing(SIZES, NUT)
    closing.enter(DRAWING, TorqueReached("piston-nut", "640 N·m", "W-02"))
    assert "taken as exact" in says(stands(closing))


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (TorqueAimed("piston-nut", "drawing", nominal="640", source="x"), "thread and face"),
        (TorqueAimed("piston-nut", "drawing", nominal="640", on="oil"), "Say which one"),
        (TorqueAimed("piston-nut", "drawing", low="640", source="x", on="oil"), "lowest and the highest"),
        (TorqueAimed("piston-nut", "drawing", low="700", high="640", source="x", on="oil"), "swap"),
        (TorqueAimed("piston-nut", "guess", nominal="640", source="x", on="oil"), "where a torque is from"),
        (TorqueAimed("nut", "drawing", nominal="640", source="x", on="oil"), "not a joint"),
        (TorqueAimed("tie-rods", "shop", nominal="64", source="x", on="oil"), "count"),
        (TorqueAimed("piston-nut", "computed", on="oil"), "needs thread"),
        (TorqueAimed("piston-nut", "shop", nominal="64", source="x", on="oil", wrench="500"), "or neither"),
        (TorqueReached("piston-nut", "640", "W-02"), "no torque target"),
    ],
)
def test_what_cannot_be_taken_is_refused_in_a_sentence(typed: TorqueAimed | TorqueReached, says: str) -> None:
    with pytest.raises(Refusal, match=says):
        Closing().enter(typed)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (TorqueReached("piston-nut", "", "W-02"), "Type the torque"),
        (TorqueReached("piston-nut", "640", ""), "which tool"),
        (TorqueReached("piston-nut", "640000", "W-02"), "unit right"),
        (TorqueReached("piston-nut", "640", "W-02", "400"), "between 0 and 100"),
        (TorqueReached("piston-nut", "640", "W-02", "4", "March"), "is not a date"),
    ],
)
def test_a_reached_torque_that_cannot_be_is_refused(typed: TorqueReached, says: str) -> None:
    closing = Closing()
    closing.enter(DRAWING)
    with pytest.raises(Refusal, match=says):
        closing.enter(typed)


@pytest.mark.parametrize(
    ("records", "materials", "says"),
    [
        ({"clean": "wiped", "lubricant": "mineral"}, {"NBR", "AU"}, []),
        ({"lubricant": "mineral"}, {"EPDM"}, ["On the seals: mineral oil or grease. It ruins EPDM."]),
        ({"lubricant": "silicone"}, {"VMQ", "NBR"}, ["On the seals: silicone grease. It ruins VMQ."]),
        ({"cure-dates": "old"}, set(), ["Cure dates on the bags: one too old was fitted."]),
        ({"witness-marks": "none"}, set(), ["Witness marks: not made."]),
        ({"eye-angle": "1"}, set(), []),  # 1 degree in common practice, more only by a drawing
        (
            {"eye-angle": "1.2"},
            set(),
            ["The pins of both ends are 1.2° apart about the rod; in common practice at most 1°."],
        ),
        ({"eye-angle": "1.2", "eye-angle-allowed": "2"}, set(), []),
        (
            {"eye-angle": "0.8", "eye-angle-allowed": "0.5"},
            set(),
            ["The pins of both ends are 0.8° apart about the rod; by the drawing at most 0.5°."],
        ),
    ],
)
def test_what_was_fitted_wrongly_keeps_the_reassembly_open(
    records: dict[str, str], materials: set[str], says: list[str]
) -> None:
    closing = Closing()
    closing.enter(*(RecordNoted("reassembly", name, text) for name, text in records.items()))
    assert [str(s) for s in wrongly_fitted(closing.job, SHIPPED, materials)] == says
