"""Which screen belongs to which route, and how a session starts."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import partial

import flet as ft

from inspect_app.bench.bench import Bench
from inspect_app.bench.listing import opened_beside, opens_at_once, take_from
from inspect_app.calculators import CALCULATORS
from inspect_app.entries.job import AS_FOUND, Job
from inspect_app.screens.calculators import CalculatorList, CalculatorScreen
from inspect_app.screens.clerk.orders import Orders
from inspect_app.screens.clerk.places import place_of
from inspect_app.screens.clerk.seals import Seals
from inspect_app.screens.customer.paths import RepairPaths
from inspect_app.screens.customer.scope import ScopeScreen, ShownVersion, proposed
from inspect_app.screens.customer.scope_forms import LineForm, ScopePhotos, Taken, Tell, TermsForm
from inspect_app.screens.customer.showing import Showing
from inspect_app.screens.desk import Desk, client_of
from inspect_app.screens.devices import PairedDevices, PairOne
from inspect_app.screens.exchanging import ShopForm
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import Host
from inspect_app.screens.jobs import Jobs, NewJob
from inspect_app.screens.means import MeansForm
from inspect_app.screens.mechanic.comparing import ChooseOther, Compare
from inspect_app.screens.mechanic.defects import LookAt
from inspect_app.screens.mechanic.findings import Findings
from inspect_app.screens.mechanic.job import JobScreen
from inspect_app.screens.mechanic.measure import Measure
from inspect_app.screens.mechanic.nameplate import Nameplate
from inspect_app.screens.mechanic.parts import Cautions, Parts
from inspect_app.screens.mechanic.photo import PhotoScreen
from inspect_app.screens.mechanic.photographs import AllPhotos
from inspect_app.screens.mechanic.present import Present
from inspect_app.screens.mechanic.report import ReportScreen
from inspect_app.screens.mechanic.routes import split
from inspect_app.screens.mechanic.step import StepScreen
from inspect_app.screens.mechanic.testing import PressureTest, trial_named
from inspect_app.screens.mechanic.tightening import Torques
from inspect_app.screens.mechanic.triage import ShortLook
from inspect_app.screens.mechanic.trial import TrialScreen
from inspect_app.screens.mechanic.undoing import came_back
from inspect_app.screens.people import People, PersonForm, Who
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.settings import GaugeForm, Settings
from inspect_app.screens.theirs import not_theirs
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Refusal


def screen(desk: Desk) -> ft.Control:
    """The screen of the session's route; an unknown one leads back to the jobs. In a customer's hand there is one."""
    if desk.standing.handed:
        return Showing(desk=desk, version=desk.standing.version, key=f"handed {desk.standing.handed}")
    job_id, state, rest = split(desk.standing.route)
    role, people = desk.holder().role, desk.bench.shop.people()
    if people and not role:
        return Who(desk=desk, key="who")
    if sentence := not_theirs(role, people, rest):
        return _lost(desk, sentence, "Not yours")
    if job_id and not opens_at_once(desk.bench, job_id):
        return Opening(desk=desk, job_id=job_id, key=f"opening {job_id}")
    if job_id:
        return _job_screen(desk, job_id, state, rest)
    match rest:
        case []:
            return Jobs(desk=desk, version=desk.standing.version, key="jobs")
        case ["who" | "people" | "person" | "devices" | "pair" as what, *named]:
            return _of_people(desk, what, "".join(named))
        case ["new"]:
            if people and not desk.standing.initials:
                return Who(desk=desk, key="who")
            return NewJob(desk=desk, key="new")
        case ["orders"]:
            if not desk.standing.initials:
                return Who(desk=desk, key="who")
            return Orders(desk=desk, version=desk.standing.version, key="orders")
        case ["shop"] if shop := desk.host.shop():
            return ShopForm(desk=desk, shop=shop, key="shop")
        case ["settings"]:
            return Settings(desk=desk, key="settings")
        case ["gauge", kind]:
            return GaugeForm(desk=desk, kind=kind, key=f"gauge {kind}")
        case ["means", kind] if kind in desk.bench.tables.means:
            return MeansForm(desk=desk, kind=kind, key=f"means {kind} {desk.standing.version}")
        case ["calc"]:
            return CalculatorList(desk=desk, key="calc")
        case ["calc", name] if any(calculator.name == name for calculator in CALCULATORS):
            return CalculatorScreen(desk=desk, name=name, key=f"calc {name}")
    return _lost(desk, "There is no such screen.")


def _job_screen(desk: Desk, job_id: str, state: str, rest: list[str]) -> ft.Control:
    try:
        job = desk.bench.job(job_id)
        cylinder = desk.bench.tables_of(job).cylinders[job.cylinder]
    except (Refusal, TableError) as refused:
        return _lost(desk, str(refused))
    if not desk.standing.initials:
        return Who(desk=desk, key="who")
    # a state of the cylinder has screens of its own; cautions and the report are the whole job's
    of, key = {"desk": desk, "job": job, "survey": job.survey(state)}, f"{job_id} {state}"
    match rest:
        case [] if state == AS_FOUND:
            return JobScreen(desk=desk, job=job, key=f"job {job_id}")
        case [] | ["parts"]:
            return Parts(**of, key=f"parts {key}")
        case ["step", name] if state == AS_FOUND and (step := desk.bench.tables_of(job).steps.get(name)):
            return StepScreen(desk=desk, job=job, step=step, key=f"step {job_id} {name}")
        case ["nameplate"]:
            return Nameplate(**of, key=f"nameplate {key}")
        case ["present"]:
            return Present(**of, key=f"present {key}")
        case ["short-look"]:
            return ShortLook(**of, key=f"short look {key}")
        case ["findings"]:
            return Findings(**of, key=f"findings {key}")
        case ["look", check_id] if (check := cylinder.check(check_id)) and check.look:
            return LookAt(**of, check=check, key=f"look {key} {check_id}")
        case ["measure", check_id] if (check := cylinder.check(check_id)) and check.gauge:
            return Measure(**of, check=check, key=f"measure {key} {check_id}")
        case ["cautions"] if state == AS_FOUND:
            return Cautions(desk=desk, job=job, key=f"cautions {job_id}")
        case ["report"] if state == AS_FOUND:
            return ReportScreen(desk=desk, job=job, key=f"report {job_id}")
        case ["seals", *place] if state == AS_FOUND and (not place or place_of(place)):
            return Seals(desk=desk, job=job, at=place_of(place), key=f"seals {job_id}")
        case ["paths"] if state == AS_FOUND:
            return RepairPaths(desk=desk, job=job, key=f"paths {job_id}")
        case ["scope", *what] if state == AS_FOUND and (page := _of_scope(desk, job, what)):
            return page
    page = _shared(desk, job, rest) if state == AS_FOUND else None
    return page or _lost(desk, "There is no such screen in this job.")


def _of_people(desk: Desk, what: str, named: str) -> ft.Control:
    """A screen of people and their phones."""
    match what:
        case "people":
            return People(desk=desk, key=f"people {desk.standing.version}")
        case "person":
            return PersonForm(desk=desk, named=named, key=f"person {named}")
        case "devices":
            return PairedDevices(desk=desk, version=desk.standing.version, key="devices")
        case "pair":
            return PairOne(desk=desk, named=named, key=f"pair {named}")
    return Who(desk=desk, key="who")


def _shared(desk: Desk, job: Job, what: list[str]) -> ft.Control | None:
    """A screen of reassembly, pressure test or photographs; None where there is none of that name."""
    of, key = {"desk": desk, "job": job}, f"{job.id} {' '.join(what)}"
    match what:
        case ["torque", *name]:
            return Torques(**of, name="".join(name), key=key)
        case ["test"]:
            return PressureTest(**of, key=key)
        case ["photos"]:
            return AllPhotos(**of, version=desk.standing.version, key=key)
        case ["photo", name] if photo := job.photo(name):
            return PhotoScreen(**of, photo=photo, key=key)
        case ["compare", name] if photo := job.photo(name):
            return ChooseOther(**of, photo=photo, key=key)
        case ["compare", *names] if len(photos := [p for name in names if (p := job.photo(name))]) == 2:
            return Compare(**of, first=photos[0], second=photos[1], key=key)
        case ["test", name] if trial := trial_named(desk, job, name):
            return TrialScreen(**of, trial=trial, key=key)
    return None


def _of_scope(desk: Desk, job: Job, what: list[str]) -> ft.Control | None:
    """A screen of the customer's scope; None where there is none of that name."""
    of, key = {"desk": desk, "job": job}, f"scope {job.id} {' '.join(what)}"
    match what:
        case []:
            return ScopeScreen(**of, key=key)
        case ["line", line]:
            return LineForm(**of, line=line, now=proposed(desk, job), key=key)
        case ["terms"]:
            return TermsForm(**of, now=proposed(desk, job), key=key)
        case ["photos"]:
            return ScopePhotos(**of, now=proposed(desk, job), key=key)
        case ["shown", sha256] if version := job.agreeing.version(sha256):
            return ShownVersion(**of, version=version, key=key)
        case ["taken", sha256] if version := job.agreeing.version(sha256):
            return Taken(**of, version=version, key=key)
        case ["tell", name] if asked := next((a for a in job.agreeing.answers if a.id == name), None):
            return Tell(**of, asked=asked, key=key)
    return None


def _lost(desk: Desk, sentence: str, title: str = "Not found") -> ft.Control:
    return frame(
        desk,
        title,
        [controls.notice(desk.standing.look, sentence)],
        foot=(
            controls.button(desk.standing.look, "To the list of jobs", lambda _: desk.go("/"), strong=True),
        ),
    )


@ft.component
def Opening(desk: Desk, job_id: str) -> ft.Control:  # noqa: N802
    """A job of very many entries is opened beside the screens: no other phone waits for it."""

    async def open_it() -> None:
        beside = await desk.floor.beside(partial(opened_beside, desk.bench, job_id))
        take_from(desk.bench, beside, job_id)
        desk.redraw()

    def begin() -> None:
        desk.page.run_task(desk.guard(open_it))

    ft.use_effect(begin, [])
    return frame(
        desk,
        "Opening the job",
        [controls.text(desk.standing.look, "It has very many entries.", 18)],
        back="/",
    )


@ft.component
def App(desk: Desk) -> ft.Control:  # noqa: N802
    _, set_standing = ft.use_state(desk.standing)
    ft.use_effect(lambda: desk.listen(set_standing), [])
    return screen(desk)


def session(
    bench: Bench,
    host_of: Callable[[ft.Page], Host],
    floor: Floor,
    name_of: Callable[[ft.Page], Awaitable[str]] = client_of,
) -> Callable[[ft.Page], Awaitable[None]]:
    """The function that Flet calls for every phone or browser that connects.

    Args:
        bench: the open data folder.
        host_of: what hosts a session, by its page.
        floor: every open screen.
        name_of: the name a phone goes by.
    """

    def back(desk: Desk) -> None:
        if desk.access:
            desk.access.came_back()
        floor.join(desk)
        came_back(desk)

    async def main(page: ft.Page) -> None:
        client = await name_of(page)
        desk = Desk(bench, page, client, floor, host_of(page))
        floor.join(desk)
        page.on_connect = desk.guard(lambda _: back(desk))
        page.on_disconnect = lambda _: floor.leave(desk)
        page.title = "Cylinder inspection"
        page.padding = 0
        page.spacing = 0
        still = ft.PageTransitionTheme.NONE
        page.theme = ft.Theme(
            page_transitions=ft.PageTransitionsTheme(
                android=still, ios=still, linux=still, macos=still, windows=still
            )
        )
        page.on_route_change = lambda e: desk.arrived(e.route)
        page.on_resize = lambda _: desk.resized()
        page.on_keyboard_event = lambda e: desk.key_pressed(e)
        kept = bench.logbook.bookmark(client)
        desk.guard(came_back)(desk)  # a tab that outlived the program stands where it was
        page.render(App, desk)
        if page.route in ("", "/") and kept and kept != "/":
            page.navigate(kept)

    return main
