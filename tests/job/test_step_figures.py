"""What a step shows of what was recorded: mass, legs against ratings, force to draw, oil, energy."""

from __future__ import annotations

import pytest
from log import SHIPPED, Log

from inspect_app.job.step_figures import SHOWN, mass_of
from inspect_app.job.steps import Facts
from inspect_app.tables.steps import SHOWN as NAMED
from inspect_app.trade.measuring.refusal import Refusal

SIZES = {"bore": "100", "rod": "56", "stroke": "800", "outside_diameter": "120"}


def says(name: str, log: Log, system: str = "metric") -> str:
    facts = Facts(log.job(), SHIPPED, log.assess, parts=lambda: (), seals=lambda: ())
    return " ".join(s.words(system) for s in SHOWN[name](facts))


def record(log: Log, step: str, **records: tuple[str, str]) -> Log:
    for name, (typed, value) in records.items():
        log.write("record", step=step, record=name.replace("_", "-"), typed=typed, value=value)
    return log


def weighed(kg: str, **records: tuple[str, str]) -> Log:
    log = Log()
    log.write("nameplate", fields={"mass": {"typed": f"{kg} kg", "value": kg}})
    return record(log, "receiving", **records)


def test_everything_named_is_reckoned_and_shown_by_a_step() -> None:
    assert set(SHOWN) == set(NAMED)
    assert {name for step in SHIPPED.steps.values() for name in step.shows} == set(NAMED)


def test_the_mass_asks_for_the_wall_and_is_never_nothing() -> None:
    log = Log(**{k: v for k, v in SIZES.items() if k != "outside_diameter"})
    assert "barrel outside diameter not known" in says("mass", log)
    with pytest.raises(Refusal):
        mass_of(log.survey())
    # by hand in tests of the trade: 69.4 kg, 152.9 lb
    assert "Computed mass 69.4 kg: tube 26.6 kg" in says("mass", Log(**SIZES))
    assert "Computed mass 152.9 lb" in says("mass", Log(**SIZES), "inch")


def test_each_leg_is_held_against_what_is_rated_and_the_hoist_against_the_mass() -> None:
    two = {"legs": ("2", ""), "leg_angle": ("45°", "45"), "angle_from": ("horizontal", "")}
    assert "angle is missing" in says("legs", weighed("1000", legs=("2", "")))
    said = says(
        "legs", weighed("1000", **two, sling_rating=("750 kg", "750"), hoist_rating=("950 kg", "950"))
    )
    assert "Each leg carries 707.1 kg at most." in said
    assert "The sling carries 707.1 kg, rated 750 kg." in said
    assert "The eye or shackle's rating is not typed: not proven." in said
    assert "DO NOT LIFT: the hoist carries 1000 kg, rated 950 kg." in said
    flat = weighed("1000", legs=("4", ""), leg_angle=("65°", "65"), angle_from=("vertical", ""))
    assert "25° from the horizontal is too flat" in says("legs", flat)
    off = weighed(
        "1000", legs=("2", ""), near=("900 mm", "900"), far=("300 mm", "300"), hook=("700 mm", "700")
    )
    assert "Each leg carries 816" in says("legs", off)
    assert "Of more legs 2 are counted" in says("legs", weighed("900", **{**two, "legs": ("3", "")}))


def test_the_force_to_draw_is_told_from_what_a_shut_port_explains() -> None:
    log = Log(bore="100")
    # 0.101325 MPa x 7854 mm² = 796 N
    assert says("draw-force", log) == "A shut port alone holds the rod with 0.796 kN."
    assert "says nothing of the parts" in says(
        "draw-force", record(log, "teardown", draw_force=("0.7 kN", "700"))
    )
    assert "4.2 kN is more than that" in says(
        "draw-force", record(log, "teardown", draw_force=("5 kN", "5000"))
    )
    assert "the bore is missing" in says("draw-force", Log())


def test_the_oil_that_came_out_stands_beside_what_it_holds_and_a_code_is_said_in_words() -> None:
    log = record(Log(**SIZES), "make-safe", oil_volume=("1 l", "1000"), iso_4406=("18/16/13", ""))
    said = says("oil", log)
    # 6283 ml and 6283 - 1970 = 4313 ml
    assert "1000 ml came out; full it holds 4312.8 ml with the rod in, 6283.2 ml with the rod out." in said
    assert "The rest is still in it." in said
    assert "Oil 18/16/13: twice as dirty as 17/15/12, by the laboratory." in said
    assert "is no code of ISO 4406" in says("oil", record(log, "make-safe", iso_4406=("clean", "")))


def test_the_energy_is_that_of_the_oil_at_the_rated_pressure() -> None:
    log = Log(**SIZES)
    assert "rated pressure is missing" in says("energy", log)
    log.write("nameplate", fields={"rated_pressure": {"typed": "21 MPa", "value": "21"}})
    # 21² x 6.283 l / (2 x 1400) = 0.9896 kJ
    assert "At 210 bar the oil in it holds 990 J" in says("energy", log)
