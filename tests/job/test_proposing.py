"""Which nominal sizes are proposed where a check asks for one: of standard housings, sections and what was typed."""

from __future__ import annotations

from log import Log

from inspect_app.job.proposing import nominals_proposed


def proposed(log: Log, check_id: str, system: str = "metric") -> dict[str, tuple[str, ...]]:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    found = nominals_proposed(check, log.survey(), log.tables, system)
    return {p.why.words(system): p.sizes for p in found}


def nominal(log: Log, check: str, typed: str, mm: str) -> Log:
    log.write("nominal", check=check, typed=typed, value=mm)
    return log


def inch(**nameplate_mm: str) -> Log:
    return Log(answers={"sizes": "inch"}, units="inch", **nameplate_mm)


def test_a_metric_groove_has_the_sizes_of_the_standard_housings_on_its_rod_or_bore() -> None:
    # ISO 5597 (from memory): rod 50 in 60, and in 65 where the section is 7.5
    (sizes,) = proposed(Log(rod="50"), "rod-seal-groove-diameter").values()
    assert {"60 mm", "65 mm"} <= set(sizes)
    assert sizes == tuple(sorted(sizes, key=lambda s: float(s.split()[0])))
    # wear ring sheet headed ISO 10766: bore 80, strip 2.5, groove 75 x 9.7
    (of_bore,) = proposed(Log(bore="80"), "piston-wear-ring-groove-diameter").items()
    assert of_bore[0] == "Standard housings on 80 mm"
    assert "75 mm" in of_bore[1]


def test_a_width_is_that_of_the_housings_with_the_diameter_typed() -> None:
    log = Log(rod="50")
    every = set(next(iter(proposed(log, "rod-seal-groove-width").values())))
    nominal(log, "rod-seal-groove-diameter", "60 mm", "60")
    of_60 = set(next(iter(proposed(log, "rod-seal-groove-width").values())))
    assert "6.3 mm" in of_60
    assert of_60 < every


def test_an_inch_groove_has_rod_or_bore_and_twice_a_section() -> None:
    # 5 in and twice 1/8, 3/16, 1/4, 5/16, 3/8, 1/2; 8 in less them
    log = inch(rod="127", bore="203.2")
    (rod,) = proposed(log, "rod-seal-groove-diameter", "inch").items()
    assert rod[0] == "5 in and two sections, 1/8 to 1/2 in (from memory)"
    assert [float(s.removesuffix(" in")) for s in rod[1]] == [5.25, 5.375, 5.5, 5.625, 5.75, 6]
    (bore,) = proposed(log, "piston-seal-groove-diameter", "inch").values()
    assert [float(s.removesuffix(" in")) for s in bore] == [7.75, 7.625, 7.5, 7.375, 7.25, 7]
    # a rod that is neither in the tables nor a whole sixteenth of an inch
    assert proposed(inch(rod="127.3"), "rod-seal-groove-diameter", "inch") == {}


def test_a_wear_rings_groove_has_what_it_runs_on_and_twice_its_new_ring() -> None:
    log = inch(rod="127", bore="203.2")
    assert proposed(log, "gland-wear-ring-groove-diameter", "inch") == {}
    nominal(log, "gland-new-ring", ".0984 in", "2.49936")
    nominal(log, "piston-new-ring", ".0984 in", "2.49936")
    # 5 + 2 x 0.0984 = 5.1968, 8 - 2 x 0.0984 = 7.8032, as a drawing has them
    (gland,) = proposed(log, "gland-wear-ring-groove-diameter", "inch").items()
    assert gland == ("5 in and twice its new ring of 0.0984 in", ("5.197 in",))
    (piston,) = proposed(log, "piston-wear-ring-groove-diameter", "inch").items()
    assert piston == ("8 in less twice its new ring of 0.0984 in", ("7.803 in",))


def test_what_was_typed_for_the_same_elsewhere_is_proposed_once() -> None:
    log = nominal(inch(rod="127", bore="203.2"), "piston-new-ring", ".0984 in", "2.49936")
    assert proposed(log, "gland-new-ring", "inch") == {
        "As typed for new wear rings of the piston": (".0984 in",)
    }
    nominal(log, "rod-seal-groove-width", ".5 in", "12.7")
    nominal(log, "piston-seal-groove-width", ".5 in", "12.7")
    (widths,) = proposed(log, "wiper-groove-width", "inch").items()
    assert widths[1] == (".5 in",)
    assert widths[0] == "As typed for rod seal groove width, piston seal groove width"


def test_nothing_is_proposed_where_nothing_is_known() -> None:
    assert proposed(Log(), "rod-seal-groove-diameter") == {}
    assert proposed(Log(), "static-groove-diameter") == {}
    assert proposed(Log(), "piston-new-ring") == {}
