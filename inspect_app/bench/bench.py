"""Where everything meets: opens the log, loads the tables, records entries; knows the clock, ids and folders.

Nothing else asks for the time, makes an id or names a folder. A screen hands in what a person typed
and gets back an Outcome: the job as it now stands, or a sentence and the job unchanged.
"""

from __future__ import annotations

import copy
import os
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime, tzinfo
from pathlib import Path

from inspect_app.bench.holding import hold, unless_it_fails
from inspect_app.bench.installed import go_on
from inspect_app.bench.jobs_kept import JobsKept
from inspect_app.bench.kept_tables import KeptTables
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.remembered import Remembered
from inspect_app.bench.repairing import case_of, change_seals, may_be_taken, ways_of
from inspect_app.bench.sealing import ListOf, listed, seals_of, standings
from inspect_app.bench.shop import Shop, as_new
from inspect_app.bench.stamps import Stamps
from inspect_app.bench.stepping import facts_of
from inspect_app.entries import gauges, measuring
from inspect_app.entries.entry import SHOP, Body, Entry
from inspect_app.entries.job import AS_FOUND, AS_LEFT, Gauge, Job, Place
from inspect_app.entries.kinds import can_undo, said_of
from inspect_app.entries.picturing import Photographed
from inspect_app.entries.typed import Known, Typed, Written, require_short
from inspect_app.job.as_left import PartNow, parts_now
from inspect_app.job.assess import Assessment, assess
from inspect_app.job.choosing import WHICH_GAUGE
from inspect_app.job.doubts import reading_doubt
from inspect_app.job.findings import CheckResult
from inspect_app.job.judge import nominal_of
from inspect_app.job.left_state import state_of
from inspect_app.job.paths import Case, Paths
from inspect_app.job.places import places_of
from inspect_app.job.planned import Cylinder, Plan
from inspect_app.job.progress import Progress, progress_of
from inspect_app.job.readings import judge_reading
from inspect_app.job.seals.seal_list import SealList
from inspect_app.job.seals.standing import Standing
from inspect_app.job.steps import held_of
from inspect_app.logbook.photos import Photo, take_in
from inspect_app.logbook.store import Logbook, no_flush
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.plausible import Doubt
from inspect_app.trade.measuring.refusal import Refusal


class Bench:
    """One data folder, open.

    Args:
        folder: the data folder; made if missing.
        now: the clock.
        random: where the chance in ids comes from.
        device: the id a new folder's device takes; None makes one up.
        checklists: the checklists folder; the shipped one if None.
        throw_away: the folder is gone afterwards; nothing waits for the disk.
        zone: where the times of the log are shown; this machine's own if None.
        flush: called after every commit, where one must still be carried to the disk.
        reading: nothing is recorded, and nothing in the folder changed; it must hold a log.
        installs: where this computer keeps which folder is whose, so that a copy goes on as another device.
    Raises:
        NotSaved: the log cannot be opened.
        TableError: the checklists or the shop's limits cannot be used.
        Held: another program writes into the folder.
    """

    def __init__(
        self,
        folder: Path,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        random: Callable[[int], bytes] = os.urandom,
        device: str | None = None,
        checklists: Path | None = None,
        throw_away: bool = False,
        flush: Callable[[], None] = no_flush,
        zone: tzinfo | None = None,
        reading: bool = False,
        installs: Path | None = None,
    ) -> None:
        self.folder = folder
        self.zone = zone
        self.photos = folder / "photos"
        self.kept_tables = KeptTables(folder, checklists)
        self.tables = self.kept_tables.today
        self.held = None if reading or throw_away else hold(folder, now)
        file = folder / "logbook.db"
        with unless_it_fails(self.held):
            self.logbook = Logbook(file, device, flush=flush, throw_away=throw_away, reading=reading)
        self.shop = Shop(self.tables.gauges)
        self.shop.take_in(self.logbook.entries(SHOP))
        self._stamps = Stamps(now, random, self.logbook.last_at(self.logbook.device))
        self.reports_since: dict[str, tuple[int, tuple[int, ...]]] = {}
        self.remembered = Remembered()
        self._jobs = JobsKept(self.logbook.entries, self._let_go)
        self.client = ""
        self.allows: Callable[[str | None, str, Iterable[Written]], None] = lambda by, job_id, written: None
        if installs and self.held:
            go_on(installs, folder, self.logbook, self._stamps, random(16))

    def close(self) -> None:
        """Close the log and let others write; nothing is lost by not calling it."""
        self.logbook.close()
        if self.held:
            self.held.let_go()

    def now(self) -> datetime:
        """The time."""
        return self._stamps.now()

    def today(self) -> str:
        """The date here, year-month-day."""
        return self.now().astimezone(self.zone).date().isoformat()

    def zone_at(self, at: str) -> tzinfo:
        """What local time here was off UTC at a time of the log."""
        try:
            return datetime.fromisoformat(at).astimezone(self.zone).tzinfo or UTC
        except (ValueError, OverflowError):
            return UTC

    # -- reading ---------------------------------------------------------------------------------

    def job(self, job_id: str) -> Job:
        """A job as it stands.

        Raises:
            Refusal: when the log has no such job.
        """
        return self._jobs.of(job_id)

    def has(self, job_id: str) -> bool:
        """Whether a job is in memory."""
        return job_id in self._jobs

    def beside(self) -> Bench:
        """The same log with a memory of its own, for work that must not wait, nor be waited for."""
        bench = copy.copy(self)
        bench.reports_since, bench.remembered = {}, Remembered()
        bench._jobs = JobsKept(self.logbook.entries)
        return bench

    def take_over(self, beside: Bench, job: Job) -> None:
        """Take a job into memory, with what was computed of it, from a bench `beside` this one."""
        self._jobs.keep(job)
        self.remembered.take_over(beside.remembered)

    def _let_go(self, job_id: str) -> None:
        self.remembered.forget(job_id)
        self.reports_since.pop(job_id, None)

    def forget(self, job_id: str) -> None:
        """Read a job anew when it is asked for: entries came in from elsewhere."""
        self._jobs.pop(job_id)

    def jobs(self, *, under_way: bool = False) -> list[Job]:
        """Every job, the one worked on last first; or those not let go yet, and no other is opened for it."""
        ids = self.logbook.lines.under_way() if under_way else self.logbook.jobs()
        return [self.job(job_id) for job_id in ids]

    def tables_of(self, job: Job) -> Tables:
        """The tables that judge a job; raises as `KeptTables.of`."""
        return self.kept_tables.of(job)

    def handbook_of(self, job: Job) -> Handbook:
        """What is looked up for a job; raises as `KeptTables.handbook_of`."""
        return self.kept_tables.handbook_of(job)

    def assess(self, job: Job, survey: str = AS_FOUND) -> Assessment:
        """One state of the cylinder judged by the job's tables."""
        tables = self.tables_of(job)

        def made() -> Assessment:
            state = state_of(job, survey, tables, self.assess)
            return assess(state, tables, self.remembered.judged(job.id, survey))

        return self.remembered.of(job, tables, f"assessed {survey}", made, job.surveys, job.agreeing)

    def result(self, job: Job, survey: str, check: Check) -> CheckResult:
        """One check of one state judged by the job's tables, whether or not it is asked for."""
        tables = self.tables_of(job)
        state, judged = state_of(job, survey, tables, self.assess), self.remembered.judged(job.id, survey)
        return judged(check, tables.cylinders[state.cylinder], state, tables)

    def parts_now(self, job: Job) -> tuple[PartNow, ...]:
        """Every part as found and as left."""
        return parts_now(job, self.assess(job), self.assess(job, AS_LEFT))

    def progress(self, job: Job) -> Progress:
        """How the cylinder as found stands, for a list."""
        return progress_of(self.assess(job))

    def seal_list(self, job: Job) -> SealList:
        """The seal list of a job as it stands.

        Raises:
            Refusal: a checklist that measures no kind of cylinder with known seals.
        """
        return self._list_of(job).listing

    def seals(self, job: Job) -> tuple[Standing, ...]:
        """How every line of a job's seal list stands today with its orders; raises as `seal_list`."""
        tables, handbook, today = self.tables_of(job), self.handbook_of(job), self.today()
        of = self._list_of(job)
        return self.remembered.of(
            job, tables, f"seals {today}", lambda: standings(job, of, tables, handbook, today)
        )

    def _list_of(self, job: Job) -> ListOf:
        """The seal list after the way that was chosen, or while it is open, out of what was said of the cylinder."""
        tables, handbook, chosen = self.tables_of(job), self.handbook_of(job), job.agreeing.path
        operations = chosen.operations if chosen else ()
        return self.remembered.of(
            job,
            tables,
            "seals",
            lambda: seals_of(job, self.assess(job), self._plans_open(job), tables, handbook, operations),
            job.surveys,
            operations,
            job.agreeing.confirmed,
        )

    def _plans_open(self, job: Job) -> dict[str, Plan]:
        """The ways to repair that may still be taken, reckoned only where one of them changes a seal."""
        handbook = self.handbook_of(job)
        changes = change_seals(self._case(job), job.as_found.cylinder, handbook)
        return may_be_taken(self.ways(job)[0]) if changes else {}

    def _case(self, job: Job) -> Case:
        tables, handbook, known = self.tables_of(job), self.handbook_of(job), job.agreeing.confirmed

        def made() -> Case:
            return case_of(job.as_found, self.assess(job), tables, handbook, frozenset(known))

        return self.remembered.of(job, tables, "case", made, job.as_found, known)

    def ways(self, job: Job) -> tuple[Paths, Cylinder]:
        """The ways to repair the cylinder as found, and what stays of it whatever is done."""
        case = self._case(job)
        return self.remembered.of(job, self.tables_of(job), "paths", lambda: ways_of(case), case)

    # -- recording -------------------------------------------------------------------------------

    def record(self, job_id: str, by: str, *bodies: Written) -> Job:
        """Append entries to a job in one step and give the job as it then stands.

        Args:
            job_id: the job, or SHOP.
            by: initials of who enters.
            bodies: (kind, body) of each entry.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
            Refusal: an entry that is not for whoever holds this phone, or a text longer than any field.
        """
        self.allows(by, job_id, bodies)
        require_short(by, bodies)
        entries = [self._entry(job_id, kind, body, by) for kind, body in bodies]
        self.logbook.append_all(entries)
        if job_id == SHOP:
            self.shop.take_in(entries)
            return Job(SHOP)
        return self._jobs.go_on(job_id, entries)

    def _entry(self, job_id: str, kind: str, body: Body, by: str) -> Entry:
        if self.client and job_id != SHOP:
            body = {**body, "client": self.client}
        at = self._stamps.next_at()
        return Entry(self._stamps.new_id(), job_id, self.logbook.device, at, by, kind, body)

    def enter(self, job: Job, typed: Typed, by: str, system: str, survey: str = AS_FOUND) -> Outcome:
        """Record what a person typed, with the entries it needs before it, or give the sentence that refuses it.

        Args:
            job: the job.
            typed: what was typed: a value of one of the subjects in `entries/`.
            by: initials.
            system: "metric" or "inch", the unit of a bare number.
            survey: which state of the cylinder it is said of.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        known = self._known(job, survey, system, by)
        try:
            written = typed.written(known)
            return Outcome(self._record_of(known, by, written) if written else job)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)

    def _record_of(self, known: Known, by: str, written: Iterable[Written]) -> Job:
        return self.record(known.job.id, by, *(said_of(known.survey.name, w) for w in written))

    def _known(self, job: Job, survey: str, system: str, by: str) -> Known:
        state, tables = job.survey(survey), self.tables_of(job)

        def computed(part_id: str) -> str:
            parts = self.assess(job, survey).parts
            return next((p.computed.value for p in parts if p.part.id == part_id), "")

        return Known(
            job,
            state,
            tables,
            system,
            places=lambda check: places_of(check, state),
            at_hand=lambda kind: self.shop.gauge_at_hand(state, kind),
            computed=computed,
            listed=lambda where: listed(self.seals(job), where),
            held=lambda step: held_of(step, facts_of(self, job)),
            by=by,
        )

    # -- the job and its tables --------------------------------------------------------------------

    def open_job(
        self,
        name: str,
        by: str,
        cylinder: str = "double-acting",
        typed_off: Mapping[str, str] | None = None,
        units: str = "metric",
    ) -> Job:
        """Open a job and keep a copy of the tables that will judge it.

        Args:
            name: the shop's job number or tag; may be "".
            by: initials.
            cylinder: the checklist's id.
            typed_off: of a readings file, which: file, sha256, date, units.
            units: the system a bare number of this job is in, "metric" or "inch".
        """
        tables = self.kept_tables.keep(cylinder)
        offset = self.now().astimezone(self.zone).isoformat()[-len("+00:00") :]
        named = name.strip() or f"Job of {self.today()}"
        body: Body = {"name": named, "offset": offset, "units": units, **tables}
        if typed_off:
            body = {**body, "typed_off": dict(typed_off)}
        return self.record(self._stamps.new_id(), by, ("job", body))

    def outdated(self, job: Job) -> bool:
        """Whether the shop's limits changed since the job was opened."""
        return self.tables_of(job) is not self.tables

    def adopt_tables(self, job: Job, by: str) -> Job:
        """Judge a job by today's tables from here on; the log keeps that it was judged by others before."""
        return self.record(job.id, by, ("tables", self.kept_tables.keep(job.cylinder)))

    # -- gauges and settings -----------------------------------------------------------------------

    def gauge_of(self, kind: str, certificate: Mapping[str, str], system: str) -> Gauge:
        """A gauge off its certificate, not yet in use.

        Args:
            kind: the kind of gauge.
            certificate: as `gauges.gauge_of` reads it.
            system: "metric" or "inch".
        Raises:
            Refusal: what cannot be read.
        """
        return gauges.gauge_of(
            certificate,
            kind=kind,
            measures=self.tables.gauges[kind].error_measures,
            system=system,
            gauge_id=self._stamps.new_id(),
        )

    def enter_gauge(
        self, kind: str, certificate: Mapping[str, str], by: str, system: str, instead_of: str = ""
    ) -> None:
        """Take a gauge into use beside the others of its kind; jobs keep what their readings were taken with.

        Args:
            kind: the kind of gauge.
            certificate: as `gauges.gauge_of` reads it.
            by: initials.
            system: "metric" or "inch".
            instead_of: id of the gauge whose new certificate this is, "" for a further gauge.
        Raises:
            Refusal: what cannot be read.
        """
        self.use_gauge(self.gauge_of(kind, certificate, system), by, instead_of)

    def use_gauge(self, gauge: Gauge, by: str, instead_of: str = "") -> None:
        """Take a gauge into use that was read off its certificate already; `instead_of` as in `enter_gauge`."""
        self.record(SHOP, by, *self._retirement(instead_of), ("gauge", gauges.body_of(gauge)))

    def retire_gauge(self, gauge_id: str, by: str) -> None:
        """Take a gauge out of use; the readings taken with it stay as they are."""
        if retirement := self._retirement(gauge_id):
            self.record(SHOP, by, *retirement)

    def _retirement(self, gauge_id: str) -> list[Written]:
        gauge = self.shop.named(gauge_id) if gauge_id else None
        return [("gauge", gauges.body_of(gauge, retired=True))] if gauge else []

    def overdue(self, gauge: Gauge) -> bool:
        """Whether a gauge's calibration has run out today; a gauge without a date says nothing."""
        return bool(gauge.calibrated_until) and gauge.calibrated_until < self.today()

    def set_setting(self, client: str, name: str, value: str, by: str) -> None:
        """Record one setting of one phone or browser."""
        self.record(SHOP, by, ("setting", {"client": client, "name": name, "value": value}))

    # -- measuring -------------------------------------------------------------------------------

    def measure(
        self, job: Job, check: Check, place: Place, text: str, by: str, system: str, sure: bool = False,
        gauge: Gauge | str = "", survey: str = AS_FOUND,
    ) -> Outcome:  # fmt: skip
        """Record one reading: read the text, ask about an unlikely one or its gauge, append, judge.

        Args:
            job: the job.
            check: the check.
            place: where.
            text: as typed.
            by: initials.
            system: "metric" or "inch", the unit of a bare number.
            sure: the person has confirmed an unlikely reading, and the gauge proposed where none is named.
            gauge: what it was read with: a gauge, or id or name of one in use; "" takes the one the job was
                last measured with, or the only one.
            survey: which state of the cylinder was measured.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        known = self._known(job, survey, system, by)
        state, tables = known.survey, known.tables
        nominal = nominal_of(check, state)
        try:
            quantity = quantities.read(text, kind=check.kind, system=system, nominal=nominal)
            if check.nominal and quantity.value <= 0:
                raise Refusal(f"{text.strip()} is not a size; it must be greater than 0.")
            choice = self.shop.gauge_taken(state, check, quantity.value, gauge, tables, system)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        question = reading_doubt(state, check, place, quantity.value, system)
        if choice.question:
            first = f"{question.sentence} " if question else ""
            question = Doubt(first + choice.question, question.meant if question else None, WHICH_GAUGE)
        if question and not sure:
            return Outcome(job, doubt=question)
        taken = as_new(choice.gauge, state)
        written = measuring.laid_out(check, known)
        if taken.id not in state.gauges:
            written.append(("gauge", gauges.body_of(taken)))
        written.append(("reading", measuring.taken(check, place, text, quantity, taken)))
        job = self._record_of(known, by, written)
        state = job.survey(survey)
        reading = state.readings[check.id][place]
        return Outcome(job, judgement=judge_reading(check, reading, state, tables))

    # -- photographs, taking back -------------------------------------------------------------------

    def take_photo(self, job: Job, of: str, data: bytes, caption: str, by: str) -> Outcome:
        """Take a photograph in: file first, then the entry that names it.

        Raises:
            NotSaved: when the disk refused.
        """

        try:
            photo = take_in(data, folder=self.photos, keep=self.shop.keeps_originals)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        return Outcome(self.name_photo(job, of, photo, caption, by))

    def name_photo(self, job: Job, of: str, photo: Photo, caption: str, by: str, view: str = "") -> Job:
        """Record a photograph whose file is kept already; raises Refusal as `record`."""
        hashes, size = (photo.sha256, photo.original_sha256), (photo.width, photo.height)
        taken = Photographed(of, *hashes, *size, photo.taken_at, caption, photo.thumbnail, view, photo.kept)
        outcome = self.enter(job, taken, by, system="metric")
        if outcome.remark:
            raise Refusal("{remark}", remark=outcome.remark)
        return outcome.job

    def last_of_phone(self, job: Job) -> Entry | None:
        """The last entry of this phone that stands and can be taken back, None when there is none left."""
        taken_back = {undo.body.get("of") for undo in self.logbook.entries(job.id, "undo")}
        for entry in self.logbook.latest(job.id):
            here = entry.body.get("client", "") == self.client
            if here and entry.id not in taken_back and can_undo(entry):
                return entry
        return None

    def take_back(self, job: Job, entry: Entry, by: str) -> Job:
        """Take one entry back; both stay in the log."""
        return self.record(job.id, by, ("undo", {"of": entry.id}))

    def undo(self, job: Job, by: str) -> tuple[Job, Entry | None]:
        """Take back this phone's last entry that can be taken back; None when there is none left."""
        entry = self.last_of_phone(job)
        return (self.take_back(job, entry, by), entry) if entry else (job, None)
