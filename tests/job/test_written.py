"""Whatever a job says is written as a sentence is, and holds what its types declare: nothing missing, nothing else."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from closing import KINDS, Closing
from declared import not_as_declared
from log import NOMINAL, SHIPPED, SOUND, STILL, Log, sound
from planned_cases import case_of, cylinder
from spelling import wrongly_written

from inspect_app.entries.assembling import TorqueAimed
from inspect_app.job import assembling, testing
from inspect_app.job.output import notes_of, output_of
from inspect_app.job.paths import paths_of
from inspect_app.job.places import places_of
from inspect_app.job.present import is_asked
from inspect_app.job.pricing import recommend
from inspect_app.job.triage import triage
from inspect_app.tables import shipped_folder
from inspect_app.tables.rates import load_rates

DOUBLE_ACTING = STILL.cylinders["double-acting"]
PLATE = {"bore": "100", "rod": "63", "stroke": "1200", "pin": "50", "support_span": "1300"}


def one_reading_of_each() -> Log:
    """Nearly everything is missing, and what was read is the sound cylinder's."""
    log = Log(**PLATE)
    survey = log.survey()
    for check in DOUBLE_ACTING.checks:
        if check.id in NOMINAL:
            log.write("nominal", check=check.id, typed=NOMINAL[check.id], value=NOMINAL[check.id])
        if check.id in SOUND and is_asked(check, survey):
            log.read(check.id, " ".join(places_of(check, survey)[0]), SOUND[check.id], u2="0.5")
    return log


def worn_out() -> Log:
    """Every size a tenth beyond the sound one's, and every defect that is looked for, wherever it may be."""
    log = sound()
    for check_id, size in SOUND.items():
        log.read_all(check_id, f"{float(size) * 1.1:.3f}")
    for check in DOUBLE_ACTING.checks:
        for kind in check.look:
            for zone in DOUBLE_ACTING.zones_of(check):
                log.defect(check.id, kind, zone, depth="0.3", length="20", felt="felt")
    return log


def other_answers() -> Log:
    """The last answer of each question."""
    return Log(answers={q.id: list(q.answers)[-1] for q in DOUBLE_ACTING.questions}, **PLATE)


@pytest.mark.parametrize("make", [Log, one_reading_of_each, sound, worn_out, other_answers])
def test_an_assessment_is_written_in_sentences(make: Callable[[], Log]) -> None:
    log = make()
    assessment = log.assess()
    assert not wrongly_written(assessment.parts, triage(assessment))
    assert not list(not_as_declared((assessment, triage(assessment))))


@pytest.mark.parametrize("bare", [True, False])
def test_paths_and_prices_are_written_in_sentences(bare: bool) -> None:
    log = Log() if bare else cylinder()
    if not bare:
        log.defect("bore-surface", "score-along", zone="seal-travel", depth="0.1")
        log.read_all("rod-runout", "1.2")
    case = case_of(log)
    found = paths_of(case)
    rates = load_rates(shipped_folder(), None, STILL.operations)
    advice = recommend(found, case.found.cylinder, rates)
    assert not wrongly_written(found, advice)
    assert not list(not_as_declared((found, advice)))


@pytest.mark.parametrize("bare", [True, False])
@pytest.mark.parametrize("kind", KINDS)
def test_output_joints_and_pressure_test_of_each_kind_are_written_in_sentences(kind: str, bare: bool) -> None:
    closing = Closing({} if bare else KINDS[kind], {"stages": "2"}, cylinder=kind)
    if not bare:
        closing.record(fluid="HM 32", relief="34 MPa", gauge="P-3", low_rod="drops", motion="jerks")
        gland = next(j.joint for j in assembling.joints_of(closing.job, SHIPPED) if "thread" in j.joint.id)
        closing.enter(TorqueAimed(gland.id, "shop", nominal="640 N·m", source="table 3", on="oil"))
    job, cylinder = closing.job, SHIPPED.cylinders[kind]
    told = (
        output_of(cylinder, job.as_found), notes_of(cylinder), assembling.joints_of(job, SHIPPED),
        assembling.what_is_missing(job, SHIPPED), testing.whole_test(job, SHIPPED),
        testing.friction_words(job, SHIPPED), testing.limit_sentence(job, SHIPPED),
        testing.what_is_missing(job, SHIPPED),
    )  # fmt: skip
    assert not wrongly_written(told)
    assert not list(not_as_declared(told))
