"""What torque, force and pressure a means is set to; arithmetic by hand beside each figure."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from closing import SIZES, Closing
from log import SHIPPED, Log

from inspect_app.entries.assembled import ComputedFrom
from inspect_app.entries.assembling import TorqueAimed
from inspect_app.entries.means import Means
from inspect_app.job.assembling import joint_of
from inspect_app.job.means import means_told
from inspect_app.job.presets import barrel_bears_mpa, step_presets, torque_preset
from inspect_app.job.steps import Facts

NUT = {"piston-fixing": "on-a-spigot"}
DRAWING = TorqueAimed(
    "piston-nut", "drawing", low="600 N·m", high="680 N·m", source="2207, sheet 2", on="oil, thread and face"
)
THICK = {**SIZES, "outside_diameter": "120", "barrel_yield": "450"}


def means(kind: str, up_to: str) -> Means:
    return Means(kind, "M-1", Decimal(up_to), up_to)


def facts(closing: Closing) -> Facts:
    nothing = Log()
    return Facts(closing.job, SHIPPED, nothing.assess, parts=lambda: (), seals=lambda: ())


def torque(aimed: TorqueAimed, *shops: Means, system: str = "metric") -> str:
    closing = Closing(answers=NUT)
    closing.enter(aimed)
    stands = joint_of(closing.job, SHIPPED, SHIPPED.assembling.joints["piston-nut"])
    return " ".join(s.words(system) for s in torque_preset(stands, shops))


def step(name: str, closing: Closing, *shops: Means) -> str:
    return " ".join(str(s) for s in step_presets(name, facts(closing), shops))


def test_a_torque_tool_is_set_to_the_middle_of_the_range_in_both_units() -> None:
    # (600 + 680) / 2 = 640 N·m; 640 / 1.355818 = 472 lbf·ft
    assert torque(DRAWING) == "Set the torque tool to 640 N·m (472 lbf·ft) at most."
    assert torque(DRAWING, system="inch") == "Set the torque tool to 472 lbf·ft (640 N·m) at most."
    assert torque(DRAWING, means("torque-tool", "1000")) == torque(DRAWING)


def test_no_torque_above_the_tool_and_none_that_misses_the_range() -> None:
    weaker = torque(DRAWING, means("torque-tool", "610"))
    assert weaker == "Set the torque tool to 610 N·m (449.9 lbf·ft) at most, as high as M-1 is rated."
    too_weak = torque(DRAWING, means("torque-tool", "590"))
    assert too_weak.startswith(
        "No preset: 640 N·m (472 lbf·ft) is needed; the strongest torque tool here, M-1, is rated 590"
    )


def test_a_wrench_that_is_longer_is_set_lower_and_the_tool_is_asked_for_that() -> None:
    # 640 x 500 / (500 + 100) = 533.3 N·m; the range begins at 600 x 5/6 = 500
    longer = replace(DRAWING, wrench="500 mm", extension="100 mm")
    assert torque(longer).startswith("Set the torque tool to 533.3 N·m")
    assert torque(longer, means("torque-tool", "501")).startswith("Set the torque tool to 501 N·m")
    assert torque(longer, means("torque-tool", "499")).startswith("No preset")


def test_a_computed_torque_that_overshoots_proof_is_lowered_to_what_the_part_stands() -> None:
    k = Decimal("0.18")
    made_of = ComputedFrom(
        "M42x3", "600 MPa", Decimal(42), Decimal(723_600), "lubricated", (k, k, k), "torque wrench",
        Decimal("0.28"), Decimal("0.75"),
    )  # fmt: skip
    # 21 x 1.5 = 31.5 MPa on pi/4 (100² - 56²) = 5391 mm² are 169 817 N; the bolt takes 40 % of it at most, 67 927 N.
    # 1.28 x share x 723 600 + 67 927 = 723 600 gives the share 0.7079;
    # K F d = 0.18 x 0.7079 x 723 600 x 0.042 = 3872 N·m
    said = torque(TorqueAimed("piston-nut", "computed", on="oil", computed=made_of))
    assert said.startswith("Set the torque tool to 387")
    assert said.endswith("at most; more overshoots proof.")


def test_the_torque_tool_is_asked_for_the_target_of_the_joint() -> None:
    closing = Closing(answers=NUT)
    tool = means("torque-tool", "600")
    assert means_told("reassembly", facts(closing), [tool], "2026-03-02") == ()
    closing.enter(DRAWING)
    (said,) = means_told("reassembly", facts(closing), [tool], "2026-03-02")
    assert str(said) == "Torque tool: 640 N·m is asked for; the strongest here, M-1, is rated 600 N·m."


def test_the_stand_goes_to_proof_and_not_above_what_barrel_or_stand_bear() -> None:
    # proof 21 x 1.5 = 31.5 MPa = 315 bar = 4568.7 psi
    said = step("pressure-test", Closing())
    assert said.startswith(
        "Set the test stand to 315 bar (4569 psi) at most; what the barrel bears is not known"
    )
    # k = 1.2: open ends 450 x 0.44 / sqrt(3 x 1.2⁴ + 1) = 73.69 MPa, 0.9 of it 66.32
    thick = Closing(sizes=THICK)
    bears = barrel_bears_mpa(thick.found, SHIPPED)
    assert bears is not None
    assert abs(bears - 66.32) < 0.01
    assert step("pressure-test", thick) == "Set the test stand to 315 bar (4569 psi) at most."
    assert step("pressure-test", thick, means("test-stand", "31.4")).startswith("No preset: 315 bar")
    # k = 1.08: 450 x 0.1664 / sqrt(3 x 1.08⁴ + 1) = 33.07 MPa, 0.9 of it 29.77, below proof
    thin = Closing(sizes={**THICK, "outside_diameter": "108"})
    assert step("pressure-test", thin).startswith(
        "No pressure is proposed: proof is 315 bar (4569 psi), and the barrel bears 29"
    )


def test_the_stand_is_held_against_proof_and_not_against_the_rating_alone() -> None:
    # between 21 MPa rated and 31.5 MPa proof
    (said,) = means_told("pressure-test", facts(Closing()), [means("test-stand", "25")], "2026-03-02")
    assert str(said).startswith("Test stand, pressure: 315 bar is asked for")


def test_a_puller_draws_with_what_a_shut_port_explains_and_no_more() -> None:
    # 0.101325 MPa x pi/4 x 100² = 795.8 N; / 4.44822 = 178.9 lbf
    said = step("teardown", Closing())
    assert said.startswith("Set the puller to 0.796 kN (179 lbf) at most; a rod that needs more")
    assert "Set the puller to 0.5 kN" in step("teardown", Closing(), means("puller", "500"))
    assert step("teardown", Closing(sizes={"bore": "100"})) == ""


def test_the_stand_is_held_against_the_oil_of_a_cylinder_without_a_bore_too() -> None:
    closing = Closing(sizes={"rod": "80", "stroke": "1000"})
    closing.found = replace(closing.found, cylinder="ram")
    # pi/4 x 80² x 1000 = 5 026 548 mm³
    (said,) = means_told("pressure-test", facts(closing), [means("test-stand-oil", "5000")], "2026-03-02")
    assert "5026.5 ml is asked for" in str(said)
    assert means_told("pressure-test", facts(closing), [means("test-stand-oil", "5100")], "2026-03-02") == ()
    nothing = Closing(sizes={"stroke": "1000"})
    nothing.found = replace(nothing.found, cylinder="ram")
    assert means_told("pressure-test", facts(nothing), [means("test-stand-oil", "1")], "2026-03-02") == ()
