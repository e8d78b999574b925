"""The cylinder of a seal list as a repair path leaves it: surfaces as planned, grooves that are cut anew not known."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.planned import Plan
from inspect_app.job.planned_survey import PLANNED, as_planned
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.of_survey import state_of, swell_of
from inspect_app.tables import Tables
from inspect_app.tables.standards.handbook import Handbook

CUT_ANEW = ("rebuild-groove", "widen-groove", "sleeve-gland")
"""Operations after which a groove of the parts they are done to is no longer the one that was measured; where the part
is the grooves, nobody says which of them."""


def state_after(
    survey: Survey, assessment: Assessment, plan: Plan, tables: Tables, handbook: Handbook
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
    """
    planned = as_planned(survey, assessment, plan)
    cylinder = tables.cylinders[survey.cylinder]
    operations = [plan.rules.by_id[name] for name in plan.operations]
    renewed = {part for o in operations for part in o.renews}
    cut = renewed | {part for o in operations if o.id in CUT_ANEW for part in o.parts}
    cut_in = {groove.id: {groove.cut_in, "grooves"} for groove in cylinder.grooves}
    grooves = {
        check
        for m in handbook.positions.measured
        if m.checklist == survey.cylinder and cut_in[m.groove] & cut
        for check in (m.diameter, m.width)
    }
    foreseen = {check for check in PLANNED if planned.readings.get(check) != survey.readings.get(check)}
    gone = grooves | {c.id for c in cylinder.checks if c.part in renewed and c.id not in foreseen}
    left = replace(
        planned,
        # the size that came out is in the readings; the nameplate names the grooves
        nameplate=survey.nameplate,
        readings={check: read for check, read in planned.readings.items() if check not in gone},
        nominals={check: size for check, size in planned.nominals.items() if check not in gone},
    )
    state = state_of(left, tables, handbook)
    bore = plan.sizes.bore
    swell = swell_of(left, tables, bore.value if bore and "bore-diameter" in foreseen else None)
    titles = ", ".join(o.title for o in operations)
    return replace(state, name=f"after: {titles}", duty=replace(state.duty, swell_mm=swell))
