"""Where everything meets: opens the log, loads the tables, records entries; knows the clock, ids and folders.

Nothing else asks for the time, makes an id or names a folder. A screen hands in what a person typed
and gets back an Outcome: the job as it now stands, or a sentence and the job unchanged.
"""

from __future__ import annotations

import copy
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from inspect_app.bench.kept_tables import KeptTables
from inspect_app.bench.shop import Shop, as_new
from inspect_app.entries.entry import SHOP, Entry, uuid7
from inspect_app.job import as_typed, as_typed_gauges
from inspect_app.job.as_typed import Body, Found
from inspect_app.job.assess import Assessment, assess
from inspect_app.job.choosing import WHICH_GAUGE
from inspect_app.job.doubts import reading_doubt
from inspect_app.job.folding import fold, write_up
from inspect_app.job.job import WHOLE_CHECK, Gauge, Job, Place
from inspect_app.job.judge import Judgement, nominal_of
from inspect_app.job.places import places_of
from inspect_app.job.readings import judge_reading
from inspect_app.logbook.photos import Photo, take_in
from inspect_app.logbook.store import Logbook
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.plausible import Doubt
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Sentence

UNDOABLE = (
    "reading", "skip", "defect", "looked", "photo", "decision", "nominal", "limit", "caution", "nameplate",
    "answer",
)  # fmt: skip
"""Kinds that one tap of undo takes back, beside a layout a person chose; gauges and reports stay."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of something a person entered.

    `remark` is a sentence when nothing was recorded; `doubt` a question when a reading is unlikely and
    was not recorded yet; `judgement` the verdict on a reading that was.
    """

    job: Job
    remark: Sentence = UNSAID
    doubt: Doubt | None = None
    judgement: Judgement | None = None


class Bench:
    """One data folder, open.

    Args:
        folder: the data folder; made if missing.
        now: the clock.
        random: where the chance in ids comes from.
        device: the id a new folder's device takes; None makes one up.
        checklists: the checklists folder; the shipped one if None.
        throw_away: the folder is gone afterwards; nothing waits for the disk.
    Raises:
        NotSaved: the log cannot be opened.
        TableError: the checklists or the shop's limits cannot be used.
    """

    def __init__(
        self,
        folder: Path,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        random: Callable[[int], bytes] = os.urandom,
        device: str | None = None,
        checklists: Path | None = None,
        throw_away: bool = False,
    ) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.photos = folder / "photos"
        self.kept_tables = KeptTables(folder, checklists)
        self.tables = self.kept_tables.today
        self.logbook = Logbook(folder / "logbook.db", device, throw_away=throw_away)
        self.shop = Shop(self.tables.gauges)
        self.shop.take_in(self.logbook.entries(SHOP))
        self._now = now
        self._random = random
        self._jobs: dict[str, Job] = {}
        self._last_ms = [_ms(self.logbook.last_at(self.logbook.device))]
        self.client = ""

    def of_phone(self, client: str) -> Bench:
        """The same bench in the hand of one phone: what is recorded there names the phone, for its undo.

        Args:
            client: the name the phone or browser goes by.
        """
        bench = copy.copy(self)
        bench.client = client
        return bench

    def close(self) -> None:
        """Close the log; nothing is lost by not calling it."""
        self.logbook.close()

    def today(self) -> str:
        """The date here, year-month-day."""
        return self._now().astimezone().date().isoformat()

    # -- reading ---------------------------------------------------------------------------------

    def job(self, job_id: str) -> Job:
        """A job as it stands.

        Raises:
            Refusal: when the log has no such job.
        """
        if job_id not in self._jobs:
            entries = self.logbook.entries(job_id)
            if not entries:
                raise Refusal(f"There is no job {job_id} in this logbook; open it from the list of jobs.")
            self._jobs[job_id] = fold(job_id, entries)
        return self._jobs[job_id]

    def jobs(self) -> list[Job]:
        """Every job, the one worked on last first."""
        return [self.job(job_id) for job_id in self.logbook.jobs()]

    def tables_of(self, job: Job) -> Tables:
        """The tables that judge a job; raises as `KeptTables.of`."""
        return self.kept_tables.of(job)

    def assess(self, job: Job) -> Assessment:
        """The job judged by its tables."""
        return assess(job, self.tables_of(job))

    # -- recording -------------------------------------------------------------------------------

    def record(self, job_id: str, by: str, *bodies: tuple[str, Body]) -> Job:
        """Append entries to a job in one step and give the job as it then stands.

        Args:
            job_id: the job, or SHOP.
            by: initials of who enters.
            bodies: (kind, body) of each entry.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        entries = [self._entry(job_id, kind, body, by) for kind, body in bodies]
        self.logbook.append_all(entries)
        if job_id == SHOP:
            self.shop.take_in(entries)
            return Job(SHOP)
        job = self._jobs.get(job_id)
        if job is None or any(e.kind == "undo" for e in entries):
            job = fold(job_id, self.logbook.entries(job_id))
        else:
            for entry in entries:
                job = write_up(job, entry)
        self._jobs[job_id] = job
        return job

    def _entry(self, job_id: str, kind: str, body: Body, by: str) -> Entry:
        # later than this device's previous entry, whatever the clock says: clocks are set back now and then
        self._last_ms[0] = max(self._now_ms(), self._last_ms[0] + 1)
        moment = datetime.fromtimestamp(self._last_ms[0] / 1000, UTC).isoformat(timespec="milliseconds")
        at = moment.replace("+00:00", "Z")
        if self.client and job_id != SHOP:
            body = {**body, "client": self.client}
        return Entry(self._new_id(), job_id, self.logbook.device, at, by, kind, body)

    def _new_id(self) -> str:
        return uuid7(max(self._now_ms(), self._last_ms[0]), self._random(10))

    def _now_ms(self) -> int:
        return round(self._now().timestamp() * 1000)

    def _enter(
        self, job: Job, by: str, kind: str, make: Callable[[], Body | None], *before: tuple[str, Body]
    ) -> Outcome:
        """Record what was typed, after the entries it needs before it, or give the sentence that refuses it."""
        try:
            body = make()
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        return Outcome(self.record(job.id, by, *before, (kind, body)) if body is not None else job)

    def _laid_out(self, job: Job, check: Check) -> list[tuple[str, Body]]:
        """The entry that fixes where a check is measured, unless the log has one."""
        if check.id in job.places:
            return []
        places = places_of(check, job)
        stations, clocks = (list(dict.fromkeys(words)) for words in zip(*places, strict=True))
        return [("places", as_typed.places(check, stations, clocks))]

    # -- the job and its tables --------------------------------------------------------------------

    def open_job(
        self, name: str, by: str, cylinder: str = "double-acting", typed_off: Mapping[str, str] | None = None
    ) -> Job:
        """Open a job and keep a copy of the tables that will judge it.

        Args:
            name: the shop's job number or tag; may be "".
            by: initials.
            cylinder: the checklist's id.
            typed_off: of a readings file, which: file, sha256, date, units.
        """
        tables = self.kept_tables.keep(cylinder)
        body: Body = {"name": name.strip() or f"Job of {self.today()}", **tables}
        if typed_off:
            body = {**body, "typed_off": dict(typed_off)}
        return self.record(self._new_id(), by, ("job", body))

    def outdated(self, job: Job) -> bool:
        """Whether the shop's limits changed since the job was opened."""
        return self.tables_of(job) is not self.tables

    def adopt_tables(self, job: Job, by: str) -> Job:
        """Judge a job by today's tables from here on; the log keeps that it was judged by others before."""
        return self.record(job.id, by, ("tables", self.kept_tables.keep(job.cylinder)))

    def fill_nameplate(self, job: Job, typed: Mapping[str, str], by: str, system: str) -> Outcome:
        """Record nameplate fields as typed; "" takes a field back, an unreadable quantity is refused."""
        fields = self.tables_of(job).nameplate
        return self._enter(job, by, "nameplate", lambda: as_typed.nameplate(job, typed, system, fields))

    def answer(self, job: Job, question: str, text: str, by: str) -> Outcome:
        """Record what is present on this cylinder."""
        cylinder = self.tables_of(job).cylinders[job.cylinder]
        return self._enter(job, by, "answer", lambda: as_typed.answer(cylinder, question, text))

    # -- gauges and settings -----------------------------------------------------------------------

    def gauge_of(self, kind: str, certificate: Mapping[str, str], system: str) -> Gauge:
        """A gauge off its certificate, not yet in use.

        Args:
            kind: the kind of gauge.
            certificate: as `as_typed_gauges.gauge_of` reads it.
            system: "metric" or "inch".
        Raises:
            Refusal: what cannot be read.
        """
        return as_typed_gauges.gauge_of(
            certificate,
            kind=kind,
            measures=self.tables.gauges[kind].error_measures,
            system=system,
            gauge_id=self._new_id(),
        )

    def enter_gauge(
        self, kind: str, certificate: Mapping[str, str], by: str, system: str, instead_of: str = ""
    ) -> None:
        """Take a gauge into use beside the others of its kind; jobs keep what their readings were taken with.

        Args:
            kind: the kind of gauge.
            certificate: as `as_typed_gauges.gauge_of` reads it.
            by: initials.
            system: "metric" or "inch".
            instead_of: id of the gauge whose new certificate this is, "" for a further gauge.
        Raises:
            Refusal: what cannot be read.
        """
        gauge = self.gauge_of(kind, certificate, system)
        before = self._retirement(instead_of) if instead_of else []
        self.record(SHOP, by, *before, ("gauge", as_typed_gauges.gauge(gauge)))

    def retire_gauge(self, gauge_id: str, by: str) -> None:
        """Take a gauge out of use; the readings taken with it stay as they are."""
        if retirement := self._retirement(gauge_id):
            self.record(SHOP, by, *retirement)

    def _retirement(self, gauge_id: str) -> list[tuple[str, Body]]:
        gauge = self.shop.named(gauge_id)
        return [("gauge", {**as_typed_gauges.gauge(gauge), "retired": True})] if gauge else []

    def overdue(self, gauge: Gauge) -> bool:
        """Whether a gauge's calibration has run out today; a gauge without a date says nothing."""
        return bool(gauge.calibrated_until) and gauge.calibrated_until < self.today()

    def set_setting(self, client: str, name: str, value: str, by: str) -> None:
        """Record one setting of one phone or browser."""
        self.record(SHOP, by, ("setting", {"client": client, "name": name, "value": value}))

    # -- measuring -------------------------------------------------------------------------------

    def measure(
        self, job: Job, check: Check, place: Place, text: str, by: str, system: str, sure: bool = False,
        gauge: Gauge | str = "",
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
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        nominal = nominal_of(check, job)
        try:
            quantity = quantities.read(text, kind=check.kind, system=system, nominal=nominal)
            if check.nominal and quantity.value <= 0:
                raise Refusal(f"{text.strip()} is not a size; it must be greater than 0.")
            choice = self.shop.gauge_taken(job, check, quantity.value, gauge, self.tables_of(job), system)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        question = reading_doubt(job, check, place, quantity.value, system)
        if choice.question:
            first = f"{question.sentence} " if question else ""
            question = Doubt(first + choice.question, question.meant if question else None, WHICH_GAUGE)
        if question and not sure:
            return Outcome(job, doubt=question)
        taken = as_new(choice.gauge, job)
        bodies = self._laid_out(job, check)
        if taken.id not in job.gauges:
            bodies.append(("gauge", as_typed_gauges.gauge(taken)))
        bodies.append(("reading", as_typed.reading(check, place, text, quantity, taken)))
        job = self.record(job.id, by, *bodies)
        reading = job.readings[check.id][place]
        return Outcome(job, judgement=judge_reading(check, reading, job, self.tables_of(job)))

    def skip(self, job: Job, check: Check, place: Place, reason: str, by: str) -> Outcome:
        """Leave a place, or with an empty place the whole check, unmeasured for a reason."""
        before = [] if place == WHOLE_CHECK else self._laid_out(job, check)
        return self._enter(job, by, "skip", lambda: as_typed.skip(check, place, reason), *before)

    def lay_out(
        self, job: Job, check: Check, stations: Sequence[str], clocks: Sequence[str], by: str
    ) -> Outcome:
        """Record where a check is measured; readings already taken elsewhere stay."""

        def body() -> Body:
            return {**as_typed.places(check, stations, clocks), "chosen": True}

        return self._enter(job, by, "places", body)

    def set_nominal(self, job: Job, check: Check, text: str, by: str, system: str) -> Outcome:
        """Record the nominal size a check asks for."""
        return self._enter(job, by, "nominal", lambda: as_typed.nominal(check, text, system))

    def set_limit(
        self, job: Job, check: Check, characteristic: str, typed: tuple[str, str], source: str, by: str,
        system: str,
    ) -> Outcome:  # fmt: skip
        """Record a limit off the maker's drawing: lower and upper as typed, "" for none, and which drawing."""
        return self._enter(
            job, by, "limit", lambda: as_typed.drawing_limit(check, characteristic, typed, source, system)
        )

    # -- defects, photographs, decisions -----------------------------------------------------------

    def note_defect(
        self, job: Job, check: Check, found: Found, typed: Mapping[str, str], by: str, system: str
    ) -> Outcome:
        """Record a defect: what and where, and its sizes as typed ("" where it was not measured)."""
        cylinder = self.tables_of(job).cylinders[job.cylinder]
        kinds = {m.id: m.gauge for m in cylinder.measures if typed.get(m.id, "").strip()}
        gauges = {name: g for name, kind in kinds.items() if (g := self.shop.gauge_at_hand(job, kind))}
        new = {g.id: g for g in gauges.values() if g.id not in job.gauges}
        return self._enter(
            job,
            by,
            "defect",
            lambda: as_typed.defect(
                check, found, typed, system, cylinder.measures, {name: g.id for name, g in gauges.items()}
            ),
            *(("gauge", as_typed_gauges.gauge(g)) for g in new.values()),
        )

    def take_photo(self, job: Job, of: str, data: bytes, caption: str, by: str) -> Outcome:
        """Take a photograph in: file first, then the entry that names it.

        Raises:
            NotSaved: when the disk refused.
        """

        try:
            photo = take_in(data, folder=self.photos)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        return Outcome(self.name_photo(job, of, photo, caption, by))

    def name_photo(self, job: Job, of: str, photo: Photo, caption: str, by: str) -> Job:
        """Record a photograph whose file is kept already."""
        of_file = ("sha256", "original_sha256", "width", "height", "taken_at")
        body = {name: getattr(photo, name) for name in of_file} | {"of": of, "caption": caption.strip()}
        return self.record(job.id, by, ("photo", body))

    def decide(
        self,
        job: Job,
        part: str,
        disposition: str,
        reason: str,
        by: str,
        examined_by: str = "",
        examined_how: str = "",
    ) -> Outcome:
        """Record what a person decides for a part with open eyes; over a stop, who examined it and how."""
        cylinder = self.tables_of(job).cylinders[job.cylinder]
        computed = next((p.computed.value for p in self.assess(job).parts if p.part.id == part), "")
        return self._enter(
            job,
            by,
            "decision",
            lambda: as_typed.decision(
                cylinder,
                part,
                disposition,
                reason,
                computed=computed,
                examined_by=examined_by,
                examined_how=examined_how,
            ),
        )

    def last_of_phone(self, job: Job) -> Entry | None:
        """The last entry of this phone that stands and can be taken back, None when there is none left."""
        entries = self.logbook.entries(job.id)
        taken_back = {e.body.get("of") for e in entries if e.kind == "undo"}
        for entry in reversed(entries):
            here = entry.device == self.logbook.device and entry.body.get("client", "") == self.client
            chosen = entry.kind == "places" and entry.body.get("chosen")
            if here and entry.id not in taken_back and (chosen or entry.kind in UNDOABLE):
                return entry
        return None

    def take_back(self, job: Job, entry: Entry, by: str) -> Job:
        """Take one entry back; both stay in the log."""
        return self.record(job.id, by, ("undo", {"of": entry.id}))

    def undo(self, job: Job, by: str) -> tuple[Job, Entry | None]:
        """Take back this phone's last entry that can be taken back; None when there is none left."""
        entry = self.last_of_phone(job)
        return (self.take_back(job, entry, by), entry) if entry else (job, None)


def _ms(at: str) -> int:
    return round(datetime.fromisoformat(at).timestamp() * 1000) if at else 0
