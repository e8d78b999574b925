"""What a step shows of what was recorded: mass, legs against ratings, force to draw, oil, energy."""

from __future__ import annotations

import pytest
from log import SHIPPED, Log

from inspect_app.job.step_figures import SHOWN
from inspect_app.job.steps import Facts
from inspect_app.job.weighing import mass_of
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
        mass_of(SHIPPED.cylinders["double-acting"], log.survey())
    # by hand in tests of the trade: 69.4 kg, 152.9 lb
    assert "Computed mass 69.4 kg: tube 26.6 kg" in says("mass", Log(**SIZES))
    assert "Computed mass 152.9 lb" in says("mass", Log(**SIZES), "inch")


def of_kind(kind: str, answers: dict[str, str] | None = None, **sizes: str) -> Log:
    log = Log()
    log.write("job", name="J1", cylinder=kind, cylinder_hash="", limits_hash="", units="metric")
    for question, text in (answers or {}).items():
        log.answer(question, text)
    log.write("nameplate", fields={name: {"typed": mm, "value": mm} for name, mm in sizes.items()})
    return log


@pytest.mark.parametrize(
    ("kind", "sizes", "total", "part", "one_missing"),
    # by hand in tests of the trade
    [
        ("double-rod", {"bore": "100", "side-a-rod": "70", "side-b-rod": "56", "stroke": "400",
                        "outside_diameter": "120"}, 63.1, "rods 26.8 kg", "side-b-rod"),
        ("tie-rod", {"bore": "100", "rod": "45", "stroke": "500", "outside_diameter": "115", "tie_rod": "20",
                     "tie_rod_length": "700"}, 62.9, "tie-rods and nuts 7.43 kg", "tie_rod"),
        ("telescopic", {"bore": "140", "outside_diameter": "163", "stage-1-outside": "125", "stage-1-inside": "110",
                        "stage-1-stroke": "900", "stage-2-outside": "100", "stage-2-stroke": "900"},
         200.1, "stages 92.7 kg", "stage-2-stroke"),
        # plunger 90, bore 105, tube 127, 1500 + 189 = 1689 long: 4008.7 mm² = 53.15 kg; 6361.7 mm² = 84.35 kg; foot and
        # gland 2297.3 mm² x 189 = 3.41 kg; cap 12667.7 mm² x 52.5 = 5.22 kg; oil 12.9885 l = 11.30 kg; 157.43, x 1.1
        ("ram", {"bore": "105", "rod": "90", "stroke": "1500", "outside_diameter": "127"},
         173.2, "plunger, solid 84.3 kg", "rod"),
    ],
)  # fmt: skip
def test_each_kind_is_weighed_by_its_own_sizes(
    kind: str, sizes: dict[str, str], total: float, part: str, one_missing: str
) -> None:
    said = says("mass", of_kind(kind, {"stages": "2"} if kind == "telescopic" else {}, **sizes))
    assert f"Computed mass {total} kg" in said
    assert part in said
    less = {name: mm for name, mm in sizes.items() if name != one_missing}
    said = says("mass", of_kind(kind, {"stages": "2"} if kind == "telescopic" else {}, **less))
    title = SHIPPED.cylinders[kind].fields[one_missing].title
    assert f"cannot be computed: {title[0].lower()}{title[1:]} not known" in said
    if kind == "telescopic":
        assert "how many stages it has is not said" in says("mass", of_kind(kind, {}, **sizes))


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


def test_a_telescope_holds_the_oil_of_all_its_tubes() -> None:
    # tubes of 140 and 110, 900 each: π/4 (140² + 110²) x 900 = 22.407 l; at 16 MPa V p² / 2K = 22.407e-3 m³ x (16e6)²
    # / (2 x 1400e6) = 2049 J
    log = of_kind(
        "telescopic", {"stages": "2"}, **{
            "bore": "140", "stage-1-outside": "125", "stage-1-inside": "110", "stage-1-stroke": "900",
            "stage-2-outside": "100", "stage-2-stroke": "900", "rated_pressure": "16",
        },
    )  # fmt: skip
    assert "At 160 bar the oil in it holds 2049 J" in says("energy", log)
