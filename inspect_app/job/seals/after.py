"""The cylinder of a seal list as repair paths leave it: surfaces as planned, grooves that are cut anew not known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.paths import ALWAYS
from inspect_app.job.planned import Plan
from inspect_app.job.planned_survey import PLANNED, as_planned
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.of_survey import remeasured, state_of, swell_of
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Groove
from inspect_app.tables.operations import Operation
from inspect_app.tables.standards.handbook import Handbook

NOTHING_SAID = Survey()

CUT_ANEW = ("rebuild-groove", "widen-groove", "sleeve-gland")
"""Operations after which a groove of the parts they are done to is no longer the one that was measured; where the part
is the grooves, nobody says which of them."""


def states_after(
    survey: Survey,
    assessment: Assessment,
    plans: Iterable[Plan],
    tables: Tables,
    handbook: Handbook,
    left: Survey = NOTHING_SAID,
) -> tuple[CylinderState, ...]:
    """The cylinder as each path leaves it that changes a groove or what a seal runs on; paths alike in that once.

    Args:
        survey: the state as found.
        assessment: how that was judged.
        plans: the paths.
        tables: the tables that judge.
        handbook: positions, housings, rings, gaps and materials.
        left: what was said of the cylinder as left.
    """
    alike: dict[tuple[object, ...], Plan] = {}
    for plan in plans:
        alike.setdefault(changed_by(plan, survey.cylinder, handbook), plan)
    alike.pop((), None)
    return tuple(state_after(survey, assessment, plan, tables, handbook, left) for plan in alike.values())


def changed_by(plan: Plan, cylinder: str, handbook: Handbook) -> tuple[object, ...]:
    """What a path changes of grooves and of what seals run on; () for nothing.

    Args:
        plan: the path.
        cylinder: the checklist.
        handbook: which checks measure what a seal sits in and runs on.
    """
    named = handbook.positions.measured_on(cylinder)
    sealing = {check for m in named for check in (m.sealed, m.land, m.diameter, m.width)}
    sizes = (
        (check, foreseen(one))
        for one in plan.whole
        for role, foreseen in PLANNED.items()
        if (check := one.found.check(role)) in sealing
        and foreseen(one) != foreseen(replace(one, sizes=one.found.sizes))
    )
    operations = (plan.rules.by_id[name] for name in plan.operations)
    return (*sizes, *(o.id for o in operations if o.renews or o.name in CUT_ANEW))


def _cuts(operation: Operation, groove: Groove) -> bool:
    """Whether a groove is no longer the one that was measured: it is cut in a part made anew, or cut anew itself."""
    if operation.called and groove.repeats and not groove.id.startswith(f"{operation.called} "):
        return False  # the groove of another stage or side
    parts = operation.renews if operation.name not in CUT_ANEW else (*operation.renews, *operation.parts)
    plain = {p.removeprefix(f"{operation.at}-") for p in parts}
    if "sleeve" in plain:
        plain.add("piston")  # a stage has the grooves of its foot
    return bool({groove.cut_in, "grooves"} & {*plain, *parts})


def way_words(plan: Plan) -> str:
    """What is done to the cylinder on a path, without the seals that every path ends with.

    Args:
        plan: the path.
    """
    done = [name for name in plan.operations if name not in ALWAYS] or plan.operations
    return ", ".join(plan.rules.by_id[name].title for name in done)


def state_after(
    survey: Survey,
    assessment: Assessment,
    plan: Plan,
    tables: Tables,
    handbook: Handbook,
    left: Survey = NOTHING_SAID,
) -> CylinderState:
    """The cylinder as a path leaves it, for its seal list.

    A groove keeps the nominal size it was cut for, so that a honed bore does not make it another one. Of a part that
    is made new nothing stands but what is foreseen: its grooves are measured when it is there.

    Args:
        survey: the state as found.
        assessment: how that was judged.
        plan: the path.
        tables: the tables that judge.
        handbook: positions, housings, rings, gaps and materials.
        left: what was said of the cylinder as left: what was measured again takes the place of what was foreseen.
    """
    planned = as_planned(survey, assessment, plan)
    cylinder = tables.cylinders[survey.cylinder]
    operations = [plan.rules.by_id[name] for name in plan.operations]
    renewed = {part for o in operations for part in o.renews}
    cut = [o for o in operations if o.renews or o.name in CUT_ANEW]
    grooves = {
        check
        for m in handbook.positions.measured_on(survey.cylinder)
        if any(_cuts(o, groove) for o in cut if (groove := cylinder.groove(m.groove)))
        for check in (m.diameter, m.width)
    }
    roles = {one.found.check(role) for one in plan.whole for role in PLANNED}
    foreseen = {check for check in roles if planned.readings.get(check) != survey.readings.get(check)}
    gone = grooves | {c.id for c in cylinder.checks if c.part in renewed and c.id not in foreseen}
    after = replace(
        planned,
        # the size that came out is in the readings; the nameplate names the grooves
        nameplate=survey.nameplate,
        readings={check: read for check, read in planned.readings.items() if check not in gone},
        nominals={check: size for check, size in planned.nominals.items() if check not in gone},
    )
    after = remeasured(after, left)
    state = state_of(after, tables, handbook)
    bore = plan.sizes.bore
    bored = bore and "bore-diameter" in foreseen and not left.readings.get("bore-diameter")
    swell = swell_of(after, tables, bore.value if bore and bored else None)
    return replace(state, name=f"after: {way_words(plan)}", duty=replace(state.duty, swell_mm=swell))
