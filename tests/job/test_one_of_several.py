"""One stage of a telescope, one rod of two: worked on by itself, proven by its own sizes, never another one's proof.

The cylinders are those of the demo: a tipper of three stages, the second bent; a steering gear with rod B worn.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import eigh_tridiagonal

from inspect_app.bench.bench import Bench
from inspect_app.bench.planning import Proposal, propose
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.bench.repairing import case_of
from inspect_app.entries.job import Survey
from inspect_app.job.afterwards import outcomes
from inspect_app.job.assess import assess
from inspect_app.job.paths import Paths, RepairPath, paths_of
from inspect_app.job.planned import Cylinder, Found, Sizes, planned
from inspect_app.job.roles import roles_of, several_of
from inspect_app.job.seals.after import changed_by, state_after
from inspect_app.job.seals.of_survey import state_of
from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.tables.consequences import load_consequences
from inspect_app.tables.rates import load_rates
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.carried import Carried

SHIPPED = load()
ONES = {"telescopic": ("stage-1", "stage-2", "stage-3"), "double_rod": ("side-a", "side-b")}
DIAMETER = {"telescopic": "outside-diameter", "double_rod": "rod-diameter"}

Case = tuple[str, Survey, Tables, Proposal]


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Case]]:
    found, benches = {}, []
    for kind in ONES:
        path = shipped_folder("demo_data") / f"{kind}.toml"
        bench: Bench = bench_for(path, tmp_path_factory.mktemp(kind))
        benches.append(bench)
        job, _ = record_file(path, bench)
        found[kind] = (kind, job.as_found, bench.tables_of(job), propose(bench, job, None))
    yield found
    for bench in benches:
        bench.close()


def ways(survey: Survey, tables: Tables) -> Paths:
    case = case_of(survey, assess(survey, tables), tables, shipped_handbook(), frozenset())
    return paths_of(case)


def read(survey: Survey, check: str, by: Decimal | str, *, at: bool = False) -> Survey:
    """Every reading of a check so much larger, or `at` that size."""
    by = Decimal(by)
    changed = {
        place: r._replace(value=by if at else r.value + by) for place, r in survey.readings[check].items()
    }
    return replace(survey, readings={**survey.readings, check: changed})


def sound(kind: str, survey: Survey) -> Survey:
    """The cylinder without what is wrong with it."""
    if kind == "telescopic":
        mended = read(survey, "stage-2-runout", "0.10", at=True)
    else:
        mended = read(survey, "side-b-rod-chrome", "30", at=True)
    return replace(mended, defects=())


def the_one(paths: Paths, *operations: str) -> RepairPath:
    (one,) = [p for p in paths.every if {*p.operations} - {"reseal"} == {*operations}]
    return one


# ---- what is found on one is cured there


def test_a_bent_stage_is_replaced_by_itself_and_priced(cases: dict[str, Case]) -> None:
    _, _, tables, proposal = cases["telescopic"]
    (priced,) = proposal.offered
    assert {*priced.path.operations} == {"reseal", "stage-2-new-stage"}
    assert priced.total is not None
    assert tables.operations.by_id["stage-2-new-stage"].title == "fit a new stage (stage 2)"


def test_a_worn_rod_is_ground_and_chromed_by_itself_and_its_gland_stays(cases: dict[str, Case]) -> None:
    _, _, _, proposal = cases["double_rod"]
    paths = {frozenset(p.path.operations) - {"reseal"} for p in proposal.offered}
    assert paths == {frozenset({"side-b-rechrome"}), frozenset({"side-b-new-rod"})}
    titles = [str(o.title) for p in proposal.offered for o in p.path.outcomes]
    assert titles
    assert all(title.startswith("Side B, ") for title in titles)


@settings(max_examples=4, deadline=None)
@given(data=st.data())
def test_a_finding_on_one_makes_no_work_on_another(cases: dict[str, Case], data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from([*ONES]))
    one = data.draw(st.sampled_from(ONES[kind]))
    worn = data.draw(st.decimals("-0.45", "-0.20", places=2))
    _, survey, tables, _ = cases[kind]
    found = ways(read(sound(kind, survey), f"{one}-{DIAMETER[kind]}", worn), tables)
    assert found.every
    for path in found.every:
        done = [tables.operations.by_id[o] for o in path.operations]
        assert {o.at for o in done} == {"", one}
        assert [o.id for o in done if not o.at] == ["reseal"]
        parts = {part for o in done if o.at for part in (*o.parts, *o.renews)}
        assert not [p for p in parts for other in ONES[kind] if other != one and p.startswith(other)]


def test_two_worn_stages_take_work_on_both(cases: dict[str, Case]) -> None:
    kind, survey, tables, _ = cases["telescopic"]
    worn = read(sound(kind, survey), "stage-1-outside-diameter", "-0.3")
    found = ways(read(worn, "stage-3-outside-diameter", "-0.3"), tables)
    for path in found.every:
        assert {tables.operations.by_id[o].at for o in path.operations} == {"", "stage-1", "stage-3"}


def test_no_operation_cures_a_check_of_another_stage_or_side() -> None:
    of_parts = {
        check.id: part.id.removesuffix(f"-{part.repeats}")
        for cylinder in SHIPPED.cylinders.values()
        for part in cylinder.parts
        if part.repeats
        for check in cylinder.checks_of(part.id)
    }
    assert {"stage-6-outside-diameter", "side-b-rod-chrome"} <= set(of_parts)
    for operation in SHIPPED.operations.by_id.values():
        for check in operation.cures:
            if operation.at:
                assert check.startswith(f"{operation.at}-"), operation.id
            else:
                assert check not in of_parts, operation.id
    for limit in SHIPPED.limits:
        if limit.cure and limit.check in of_parts:
            assert limit.cure.at == of_parts[limit.check], limit.id


# ---- by its own sizes, against figures from outside


def buckles_n(tubes: list[tuple[float, float, float]]) -> float:
    """Push at which a stepped column between pins buckles, by finite differences: E I y'' = -P y; mm and MPa."""
    elastic, step = 206_000, 1.0
    stiff = np.concatenate(
        [np.full(round(length / step), elastic * math.pi / 64 * (d**4 - i**4)) for d, i, length in tubes]
    )
    root = np.sqrt(stiff)
    off = -root[:-1] * root[1:] / step**2
    return float(eigh_tridiagonal(2 * stiff / step**2, off, select="i", select_range=(0, 0))[0][0])


def test_the_column_is_that_of_all_stages_with_the_new_one_in_it(cases: dict[str, Case]) -> None:
    # tube 163/140 x 1300, stages 125/110, 100/80 and 70 of 900 each; 16 MPa on the last one's outside, twice over.
    # The new stage counts with the steel below its chrome: 100 f7 is 99.929 to 99.964 (ISO 286-2), less 2 x 35 µm
    _, _, tables, proposal = cases["telescopic"]
    chrome = float(tables.operations.figure("new-rod", "chrome")) / 1000
    steel = 99.9465 - 2 * chrome
    stands = buckles_n([(163, 140, 1300), (125, 110, 900), (steel, 80, 900), (70, 0, 900)])
    push = 16 * math.pi / 4 * 70**2
    (column,) = [o for o in proposal.offered[0].path.outcomes if o.of == "column"]
    assert column.value is not None
    assert column.value.value == pytest.approx(2 * push / stands, rel=2e-3)


def test_the_wall_of_a_ground_sleeve_is_reckoned_thinner(cases: dict[str, Case]) -> None:
    # stage 1 worn 0.30: 124.649 at its least, chrome 27 µm. Ground below it and 0.05 besides: 124.545.
    # Thinnest wall 6.9 of the worn stage: bore 124.649 - 13.8 = 110.849, wall left 6.848.
    # Lamé, open ends: hoop = p (b² + a²) / (b² - a²); von Mises of hoop, -p and nothing along
    kind, survey, tables, _ = cases["telescopic"]
    steel = replace(survey.nameplate["rated_pressure"], value=Decimal(355), typed="355 MPa")
    worn = read(sound(kind, survey), "stage-1-outside-diameter", "-0.30")
    path = the_one(
        ways(replace(worn, nameplate={**worn.nameplate, "barrel_yield": steel}), tables), "stage-1-rechrome"
    )
    (rated, _proof) = [o for o in path.outcomes if o.of == "wall"]
    stock = float(tables.operations.figure("rechrome", "stock"))
    ground = 124.649 - 2 * 0.027 - stock
    a = (124.649 - 2 * 6.9) / 2
    b = a + 6.9 - (124.649 - ground) / 2
    hoop, radial = 16 * (b * b + a * a) / (b * b - a * a), -16.0
    stress = math.sqrt(hoop**2 - hoop * radial + radial**2)
    share = float(tables.operations.figure("afterwards", "rated-share"))
    assert rated.value is not None
    assert rated.value.value == pytest.approx(stress / (share * 355), rel=5e-3)


def test_without_the_stage_s_wall_a_ground_sleeve_is_not_proven(cases: dict[str, Case]) -> None:
    kind, survey, tables, _ = cases["telescopic"]
    worn = read(sound(kind, survey), "stage-1-outside-diameter", "-0.30")
    path = the_one(ways(worn, tables), "stage-1-rechrome")
    told = " ".join(o.sentence.words("metric") for o in path.outcomes)
    assert "Stage 1, share of what the ground wall may bear at rated pressure: not proven, the yield" in told
    plunger = read(sound(kind, survey), "stage-3-outside-diameter", "-0.30")
    path = the_one(ways(plunger, tables), "stage-3-rechrome")
    assert not [o for o in path.outcomes if o.of == "wall"]  # it is solid


def test_one_rod_is_pushed_by_the_oil_around_the_other(cases: dict[str, Case]) -> None:
    # 100 bore; rod A 70, rod B 56: B is pushed out by pi/4 (100² - 70²) = 4005.5 mm²
    _, survey, tables, _ = cases["double_rod"]
    case = case_of(survey, assess(survey, tables), tables, shipped_handbook(), frozenset())
    pushed = case.found.each["side-b"].cylinder.pushed_mm
    assert pushed is not None
    assert math.pi / 4 * pushed**2 == pytest.approx(4005.5, abs=0.05)


# ---- seals, price, words


def test_the_seals_of_the_other_rod_stay_as_they_are(cases: dict[str, Case]) -> None:
    _, survey, tables, proposal = cases["double_rod"]
    handbook, assessment = shipped_handbook(), assess(survey, tables)
    plan = the_one(proposal.paths, "side-b-rechrome").plan
    now = {(g.position, g.place): g for g in state_of(survey, tables, handbook).grooves}
    then = {(g.position, g.place): g for g in state_after(survey, assessment, plan, tables, handbook).grooves}
    changed = {place for place in now if now[place] != then[place]}
    assert {place for _, place in changed} == {"gland B"}
    sealed = then["rod-seal", "gland B"].sealed
    assert sealed is not None
    assert sealed.value_mm == pytest.approx(55.955, abs=0.001)  # 56 f7: 55.940 to 55.970
    assert changed_by(plan, "double-rod", handbook)


def test_a_new_stage_leaves_the_grooves_of_its_own_foot_to_be_measured(cases: dict[str, Case]) -> None:
    _, survey, tables, proposal = cases["telescopic"]
    handbook, assessment = shipped_handbook(), assess(survey, tables)
    plan = proposal.offered[0].path.plan
    now = {(g.position, g.place) for g in state_of(survey, tables, handbook).grooves if g.diameter}
    after = state_after(survey, assessment, plan, tables, handbook).grooves
    gone = {g.place for g in after if (g.position, g.place) in now and g.diameter is None}
    assert gone == {"foot of stage 2"}


def test_work_on_one_costs_what_the_work_costs_and_says_on_which() -> None:
    rates = load_rates(shipped_folder(), None, SHIPPED.operations)
    assert rates.work["stage-3-rechrome"] == rates.work["rechrome"]
    told = load_consequences(shipped_folder(), SHIPPED.cylinders.values(), SHIPPED.operations)
    assert told.work["stage-2-new-stage"] == "Stage 2: a new stage"
    assert told.work["stage-2-polish-rod"] == "Stage 2: polish it"
    assert told.work["side-b-polish-rod"] == "Side B, rod: polish it"


def test_a_shop_may_price_work_on_one_stage_by_itself(tmp_path: Path) -> None:
    text = (shipped_folder() / "rates.toml").read_text(encoding="utf-8")
    own = text + '\n[[work]]\noperation = "stage-1-new-stage"\nhours = 40\ndays = 9\n'
    (tmp_path / "rates.toml").write_text(own, encoding="utf-8")
    rates = load_rates(shipped_folder(), tmp_path, SHIPPED.operations)
    assert rates.work["stage-1-new-stage"].hours == 40
    assert rates.work["stage-2-new-stage"].hours == rates.work["new-stage"].hours


# ---- a bore and the foot that runs in it


def test_in_the_bore_of_a_stage_runs_the_foot_of_the_next() -> None:
    telescope = SHIPPED.cylinders["telescopic-double-acting"]
    tube, second = roles_of(telescope, ""), roles_of(telescope, "stage-2")
    assert tube["bore-diameter"] == "tube-seal-bore"
    assert tube["piston-diameter"] == "stage-1-foot-diameter"
    assert second["bore-diameter"] == "stage-2-seal-bore"
    assert second["rod-diameter"] == "stage-2-outside-diameter"
    assert second["piston-clearance"] == "stage-3-foot-clearance"
    assert second["piston-seal-groove-diameter"] == "stage-3-piston-seal-groove-diameter"
    assert "piston-diameter" not in roles_of(telescope, "stage-6")


def test_each_role_is_measured_on_the_cylinder_it_is_of() -> None:
    for cylinder in SHIPPED.cylinders.values():
        for one in several_of(cylinder):
            checks = [cylinder.check(check) for check in roles_of(cylinder, one.at).values()]
            assert all(checks), (cylinder.id, one)
    rod_b = roles_of(SHIPPED.cylinders["double-rod"], "side-b")
    assert rod_b["rod-chrome"] == "side-b-rod-chrome"
    assert "piston-diameter" not in rod_b


def test_a_seal_made_for_a_honed_stage_is_of_that_stage() -> None:
    # nominal 80 bore read 80.10 to 80.20 over a mark of 0.05: 80.20 + 2 x 0.05 and the stock
    bore = Sizes(bore=Carried(80.20), bore_smallest=Carried(80.10))
    stage = Found(
        Cylinder(bore_mm=80), bore, bore_mark=Carried(0.05), called="stage 1", bore_field="stage-1-inside"
    )
    found = Found(Cylinder(bore_mm=125), Sizes(bore=Carried(125.02)), each={"stage-1": stage})
    rules = SHIPPED.operations
    plan = planned(found, {"stage-1-hone", "special-seal", "reseal"}, rules)
    honed = plan.each["stage-1"]
    stock = float(rules.figure("hone", "stock"))
    assert honed.sizes.bore is not None
    assert honed.sizes.bore.value == pytest.approx(80.30 + stock)
    assert plan.sizes == found.sizes
    assert honed.does("hone", "special-seal")
    # the gap beside the seal is reckoned for the stage alone, and the standard seal's is not asked for
    assert {o.of for o in outcomes(plan, {})} == set()
    assert "squeeze" not in {o.of for o in outcomes(honed, {})}
    assert "gap" in {o.of for o in outcomes(honed, {})}
