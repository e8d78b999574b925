"""Where in the app a job is worked on: a route says the job, the state of the cylinder, and what of it.

`/job/ID` is where the job stands, `/job/ID/step/teardown` one of its steps. `/job/ID/parts` are the parts on the bench.
`/job/ID/measure/rod-diameter` is the cylinder as found; a later state stands before what is done with it,
`/job/ID/as-left/measure/rod-diameter`.
"""

from __future__ import annotations

from inspect_app.entries.job import AS_FOUND, LATER, Job, Photo, Survey
from inspect_app.tables.cylinders import Check


def job_route(job: Job) -> str:
    """Where it is told how the job stands."""
    return f"/job/{job.id}"


def step_route(job: Job, step: str) -> str:
    """Where one step of the job is worked on."""
    return f"{job_route(job)}/step/{step}"


def home_of(job: Job, survey: Survey) -> str:
    """What every route of one state of a cylinder begins with."""
    return job_route(job) if survey.name == AS_FOUND else f"{job_route(job)}/{survey.name}"


def parts_of(job: Job, survey: Survey) -> str:
    """Where the parts of one state of a cylinder are."""
    return f"{home_of(job, survey)}/parts"


def route_of(job: Job, survey: Survey, check: Check) -> str:
    """Where a check is done."""
    return f"{home_of(job, survey)}/{'look' if check.look else 'measure'}/{check.id}"


def photo_route(job: Job, photo: Photo) -> str:
    """Where a photograph is looked at and marked."""
    return f"{job_route(job)}/photo/{photo.id}"


def compare_route(job: Job, *photos: Photo) -> str:
    """Where two photographs stand side by side; of one, where the other is chosen."""
    return "/".join([f"{job_route(job)}/compare", *(p.id for p in photos)])


def split(route: str) -> tuple[str, str, list[str]]:
    """The job and the state of the cylinder a route is about, and what follows; no job and "" elsewhere.

    >>> split("/job/J1/as-left/look/rod-surface")
    ('J1', 'as-left', ['look', 'rod-surface'])
    >>> split("/job/J1/report"), split("/settings")
    (('J1', 'as-found', ['report']), ('', '', ['settings']))
    """
    first, *rest = [part for part in route.partition("?")[0].split("/") if part] or [""]
    if first != "job" or not rest:
        return "", "", [part for part in (first, *rest) if part]
    job_id, *rest = rest
    if rest and rest[0] in LATER:
        return job_id, rest[0], rest[1:]
    return job_id, AS_FOUND, rest


def leads(route: str) -> bool:
    """Whether a screen is one that leads to the others of its job: the job itself, a step, the parts.

    >>> [leads(route) for route in ("/job/J1", "/job/J1/step/scope", "/job/J1/as-left/parts", "/job/J1/seals", "/")]
    [True, True, True, False, False]
    """
    job_id, _, rest = split(route)
    return bool(job_id) and (not rest or rest[0] in ("step", "parts"))


def of_check(route: str) -> bool:
    """Whether a check is done there: from it one goes back to the parts, to choose another."""
    return split(route)[2][:1] in (["measure"], ["look"])


def of_photo(route: str) -> bool:
    """Whether it is one photograph, or two: from it one goes back to where it was touched."""
    return split(route)[2][:1] in (["photo"], ["compare"])
