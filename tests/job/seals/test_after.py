"""The seal list as paths leave it: the honed bore of the same groove, a new piston's grooves unknown; by hand."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from log import STILL, Log
from planned_cases import cylinder, the_one, ways

from inspect_app.bench.repairing import may_be_taken
from inspect_app.bench.sealing import seals_of
from inspect_app.job.assess import assess
from inspect_app.job.seals.after import state_after
from inspect_app.job.seals.inputs import Closing, CylinderState
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import Pair, SealList, seal_list, side_by_side, while_open
from inspect_app.report.seal_after import after_data, after_lines, pair_words
from inspect_app.report.seal_lines import same_words, seal_data
from inspect_app.tables.standards.handbook import shipped_handbook
from tests.job.test_paths import scored
from tests.seal_cases import BORE, USUAL, read

HANDBOOK = shipped_handbook()
PISTON_SEAL = ("piston-seal", "piston")
JOINT = ("piston-static-ring", "piston")


def after(log: Log, *operations: str) -> tuple[CylinderState, CylinderState]:
    survey = log.survey()
    path = the_one(ways(log), *operations)
    state = state_after(survey, assess(survey, log.tables), path.plan, log.tables, HANDBOOK)
    return state_of(survey, STILL, HANDBOOK), state


def pairs_of(log: Log, *operations: str) -> dict[tuple[str, str], Pair]:
    now, then = (seal_list(state, HANDBOOK) for state in after(log, *operations))
    return {pair.where: pair for pair in side_by_side(now, then)}


def test_a_honed_bore_is_sealed_in_the_groove_it_was_cut_for() -> None:
    now, then = after(scored("0.07"), "hone", "special-seal")
    # greatest 100.03, twice the score 0.07, clean-up 0.05: 100.22
    sealed = then.groove(PISTON_SEAL).sealed
    assert sealed
    assert sealed.value_mm == pytest.approx(100.22, abs=0.03)
    assert sealed.readings == 0  # planned, not read
    assert then.groove(PISTON_SEAL).diameter == now.groove(PISTON_SEAL).diameter
    assert then.groove(PISTON_SEAL).nominal_mm == 100
    assert then.name.startswith("after: hone")
    assert now.duty.swell_mm
    assert then.duty.swell_mm
    # the same outside, less wall: it grows more. Lamé, open ends, E 206 000 MPa, nu 0.3, at 9.5 MPa:
    # D ((k² + 1) / (k² - 1) + 0.3) p / E. Outside 100 + 2 x 10.2 = 120.4: at 100.00 k² = 1.44962 and 0.02651 mm,
    # at 100.22 k² = 1.44326 and 100.22 x 5.8120 x 9.5 / 206 000 = 0.02686 mm
    assert now.duty.swell_mm == pytest.approx(0.02651, abs=0.00002)
    assert then.duty.swell_mm == pytest.approx(0.02686, abs=0.00002)
    pair = pairs_of(scored("0.07"), "hone", "special-seal")[PISTON_SEAL]
    assert pair.now
    assert pair.after
    assert "off-size" not in [d.objection.rule for d in pair.now.open_doubts]
    assert "off-size" in [d.objection.rule for d in pair.after.open_doubts]
    assert not pair.orderable


def test_a_way_that_leaves_the_bore_alone_leaves_its_swelling_as_it_is() -> None:
    log = cylinder()
    log.read_all("rod-runout", "1.2")
    now, then = after(log, "new-rod")
    # as above: 100.00 in an outside of 120.4, which nothing touched
    assert now.duty.swell_mm == then.duty.swell_mm == pytest.approx(0.02651, abs=0.000005)


def test_of_a_new_piston_nothing_is_known_and_what_sits_in_the_gland_stays() -> None:
    pairs = pairs_of(scored("0.07"), "hone", "new-piston")
    for where in (PISTON_SEAL, JOINT):
        then = pairs[where].after
        assert then
        assert {"diameter", "width"} <= {d.objection.rule for d in then.open_doubts}
        assert not pairs[where].same
        assert pair_words(pairs[where]) == "differs: waits for the path"
    ring = pairs["gland-static-ring", "gland"]
    assert ring.same


def test_two_lists_side_by_side_say_what_may_go() -> None:
    log = scored("0.07")
    pairs = tuple(pairs_of(log, "hone", "new-piston").values())
    lines = list(after_lines("J1", "after: hone", pairs, "metric"))
    assert lines[0] == "J1: seal list as it is, and after: hone."
    ready = sum(pair.orderable for pair in pairs)
    assert lines[1].startswith(f"{ready} of {len(pairs)} places may be ordered")
    places = after_data("J1", "after: hone", pairs)["places"]
    assert [p["orderable"] for p in places] == [pair.orderable for pair in pairs]
    assert [p["position"] for p in places if p["same"]]


# --- while the way to repair is open


HONED = replace(
    USUAL,
    name="after: hone",
    grooves=tuple(replace(g, sealed=read(100.30)) if g.sealed == BORE else g for g in USUAL.grooves),
)
RINGS = {("gland-static-ring", "gland"), JOINT}


def opened(*ways: CylinderState, now: CylinderState = USUAL) -> dict[tuple[str, str], SealLine]:
    listing = while_open(seal_list(now, HANDBOOK), now, [seal_list(way, HANDBOOK) for way in ways])
    return {line.where: line for line in listing.lines}


def rules(line: SealLine) -> list[str]:
    return [d.objection.rule for d in line.open_doubts]


def test_what_every_way_leaves_the_same_is_ordered_and_what_differs_waits_and_says_both() -> None:
    lines = opened(HONED)
    assert {where for where, line in lines.items() if line.orderable} == RINGS
    assert {same_words(lines[where]) for where in RINGS} == {
        "The same after every way to repair that is open."
    }
    strip = lines["piston-wear-ring", "piston"]
    (waits,) = [d.objection for d in strip.open_doubts if d.objection.rule == "path"]
    # round the middle of the strip: pi (100.02 - 2.5) = 306.4 mm, honed pi (100.30 - 2.5) = 307.2 mm
    says = str(waits.sentence)
    now, then = re.findall(r"2 × (\d+) mm", says)
    assert int(then) == int(now) + 1
    assert "As it is: wear ring strip" in says
    assert "After hone: wear ring strip" in says
    assert not waits.closable
    assert same_words(strip) == ""
    data = {
        line["position"]: line
        for line in seal_data("J1", SealList("", tuple(lines.values()), (), (), "double-acting"))["lines"]
    }
    assert [a["same"] for a in data["piston-wear-ring"]["after"]] == [False]
    assert data["piston-wear-ring"]["orderable"] is False


def test_a_way_back_to_the_same_sizes_holds_nothing() -> None:
    assert {w for w, line in opened(replace(USUAL, name="after: hone")).items() if line.orderable} == RINGS


def test_two_ways_to_the_same_thing_are_said_once_and_a_place_that_falls_away_too() -> None:
    bush = replace(
        USUAL,
        name="after: bush",
        answers={**USUAL.answers, "piston-guide": "metal"},
        grooves=tuple(g for g in USUAL.grooves if g.position != "piston-wear-ring"),
    )
    lines = opened(HONED, replace(HONED, name="after: sleeve"), bush)
    (waits,) = [d.objection for d in lines["piston-wear-ring", "piston"].doubts if d.objection.rule == "path"]
    says = str(waits.sentence)
    assert "After hone; or sleeve: wear ring strip" in says
    assert says.endswith("After bush: no seal there.")


def test_the_same_seal_that_is_in_doubt_after_one_way_is_in_doubt_until_somebody_closes_that_too() -> None:
    # the joint's ring is worked into less pressure now than after a way that leaves a wider gap beside it
    wide = replace(
        USUAL,
        name="after: sleeve",
        grooves=tuple(
            replace(g, land=read(104.0)) if g.position == "gland-static-ring" else g for g in USUAL.grooves
        ),
    )
    ring = opened(wide)["gland-static-ring", "gland"]
    assert "path" not in rules(ring)
    more = [d.objection for d in ring.open_doubts]
    assert more
    assert all(str(o.sentence).startswith("After sleeve: ") for o in more)
    closed = {
        (*ring.where, o.rule, str(o.sentence)): Closing("KM", "the sleeve is turned to 104.9") for o in more
    }
    assert opened(wide, now=replace(USUAL, closed=closed))["gland-static-ring", "gland"].orderable


def listed(log: Log, *chosen: str) -> dict[tuple[str, str], SealLine]:
    of = seals_of(log.job(), log.assess(), may_be_taken(ways(log)), log.tables, HANDBOOK, chosen)
    return {line.where: line for line in of.listing.lines}


ON_THE_PISTON = {PISTON_SEAL, ("piston-wear-ring", "piston"), JOINT}


def test_a_scored_bore_holds_what_sits_on_the_piston_until_a_way_is_chosen() -> None:
    log = scored("0.07")
    held = {where for where, line in listed(log).items() if "path" in rules(line)}
    # a new barrel is a new joint for the gland; hone with a new piston new grooves for all that sits on it
    assert held == {*ON_THE_PISTON, ("gland-static-ring", "gland")}
    seal = listed(log)[PISTON_SEAL]
    assert [a.way for a in seal.after if not a.same] == ["hone, fit new piston"]
    # chosen, it is the list after it: the grooves of the new piston are measured when it is there
    chosen = listed(log, "hone", "new-piston", "reseal")
    assert not [line for line in chosen.values() if "path" in rules(line)]
    assert rules(chosen[PISTON_SEAL]) == ["diameter", "width"]
    assert chosen["rod-seal", "gland"].to_order == listed(log)["rod-seal", "gland"].to_order
    barrel = listed(log, "new-barrel", "reseal")
    assert barrel[PISTON_SEAL].to_order == listed(log)[PISTON_SEAL].to_order


def test_what_only_needs_new_seals_holds_nothing() -> None:
    assert not [line for line in listed(cylinder()).values() if "path" in rules(line) or line.after]


def test_measured_again_as_left_the_list_is_of_that_and_waits_for_nothing() -> None:
    log = scored("0.07")
    # another groove in the new piston, for the bore as it came out of the hone
    left = {"bore-diameter": "100.220", "piston-diameter": "99.60", "piston-bore": "50.020"}
    left |= {"piston-seal-groove-diameter": "79.50", "piston-seal-groove-width": "8.20"}
    gauge = log.gauge("0.01")
    for check, mm in left.items():
        for place in log.survey().readings[check]:
            body = {"check": check, "station": place.station, "clock": place.clock, "typed": mm, "value": mm}
            log.write("reading", **body, step="0", gauge=gauge, survey="as-left")
    seal = listed(log)[PISTON_SEAL]
    measured = {d.name: d.known.value_mm for d in seal.measured if d.known}
    assert (measured["groove diameter"], measured["groove width"], measured["seals on"]) == (
        79.5,
        8.2,
        100.22,
    )
    assert "path" not in rules(seal)
    # of the strip's groove in the new piston nothing was read yet
    assert "path" in rules(listed(log)["piston-wear-ring", "piston"])
