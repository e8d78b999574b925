"""The seal list as a path leaves it: the honed bore of the same groove, a new piston's grooves unknown; by hand."""

from __future__ import annotations

import pytest
from log import STILL, Log
from planned_cases import the_one, ways

from inspect_app.job.assess import assess
from inspect_app.job.seals.after import state_after
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import Pair, seal_list, side_by_side
from inspect_app.report.seal_after import after_data, after_lines, pair_words
from inspect_app.tables.standards.handbook import shipped_handbook
from tests.job.test_paths import scored

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
