"""Where everything meets: opens the log, loads the tables, records entries; knows the clock, ids and folders.

Nothing else asks for the time, makes an id or names a folder. A screen hands in what a person typed
and gets back an Outcome: the job as it now stands, or a sentence and the job unchanged.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from inspect_app import tables as checklists
from inspect_app.job.assess import Assessment, assess, judge_reading
from inspect_app.job.job import Gauge, Issued, Job, Place, Reading, fold, gauge_from, write_up
from inspect_app.job.judge import Judgement, nominal_of
from inspect_app.job.places import places_of
from inspect_app.logbook.durable import write_file
from inspect_app.logbook.entries import SHOP, Entry, uuid7
from inspect_app.logbook.photos import path as photo_path
from inspect_app.logbook.photos import take_in
from inspect_app.logbook.photos import verify as verify_photos
from inspect_app.logbook.store import Head, Logbook
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade import quantities
from inspect_app.trade.plausible import Doubt, doubt
from inspect_app.trade.refusal import Refusal

NAMEPLATE_KINDS: Mapping[str, str] = {
    "bore": "length",
    "rod": "length",
    "stroke": "length",
    "outside_diameter": "length",
    "pin": "length",
    "support_span": "length",
    "closed_length": "length",
    "rated_pressure": "pressure",
    "oil_temperature": "temperature",
    "part_temperature": "temperature",
    "gauge_temperature": "temperature",
    "mass": "mass",
}
"""Nameplate fields that are quantities; every other field is plain text."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of something a person entered.

    `remark` is a sentence when nothing was recorded; `doubt` a question when a reading is unlikely and
    was not recorded yet; `judgement` the verdict on a reading that was.
    """

    job: Job
    remark: str = ""
    doubt: Doubt | None = None
    judgement: Judgement | None = None


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job as the list of jobs shows it."""

    id: str
    name: str
    customer: str
    machine: str
    size: tuple[Decimal | None, Decimal | None, Decimal | None]
    opened_at: str
    last_at: str
    reports: int


class Bench:
    """One data folder, open."""

    def __init__(
        self,
        folder: Path,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        random: Callable[[int], bytes] = os.urandom,
        device: str | None = None,
    ) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.photos = folder / "photos"
        self.shop_limits = folder / "limits"
        self.logbook = Logbook(folder / "logbook.db", device)
        self.tables = checklists.load(shop=self.shop_limits)
        self._now = now
        self._random = random
        self._jobs: dict[str, Job] = {}
        self._kept: dict[tuple[str, str], Tables] = {}
        self._last_ms = _time_ms(self.logbook.last_at(self.logbook.device))
        self._own_gauges: dict[str, Gauge] = {}
        self._settings: dict[str, dict[str, str]] = {}
        self._fold_shop(self.logbook.entries(SHOP))

    def close(self) -> None:
        """Close the log; nothing is lost by not calling it."""
        self.logbook.close()

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

    def jobs(self) -> list[JobLine]:
        """Every job, the one worked on last first."""
        lines = []
        for job_id in self.logbook.jobs():
            job = self.job(job_id)
            size = (job.length("bore"), job.length("rod"), job.length("stroke"))
            lines.append(
                JobLine(
                    job.id,
                    job.name,
                    job.text("customer"),
                    job.text("machine"),
                    size,
                    job.opened_at,
                    job.last_at,
                    job.reports,
                )
            )
        return lines

    def tables_of(self, job: Job) -> Tables:
        """The tables that judge a job: today's, or the kept copy of those it was opened with.

        Raises:
            TableError: when the kept copy is damaged.
            Refusal: when neither is there.
        """
        current = self.tables.cylinders.get(job.cylinder)
        key = (job.cylinder_hash, job.limits_hash)
        if current and key == (current.content_hash, self.tables.limits_hash):
            return self.tables
        if key not in self._kept:
            kept = self.folder / "tables" / _short(*key)
            if not kept.is_dir():
                raise Refusal(
                    f"The limits this job was opened with ({_short(*key)}) are not in {self.folder}; "
                    "bring them from the device that opened it."
                )
            self._kept[key] = checklists.load(kept / "checklists", kept / "limits")
        return self._kept[key]

    def assess(self, job: Job) -> Assessment:
        """The job judged by its tables."""
        return assess(job, self.tables_of(job))

    # -- recording -------------------------------------------------------------------------------

    def _stamp(self) -> int:
        """Now in ms, but later than this device's previous entry: clocks are set back now and then."""
        self._last_ms = max(round(self._now().timestamp() * 1000), self._last_ms + 1)
        return self._last_ms

    def _new_id(self) -> str:
        return uuid7(self._last_ms, self._random(10))

    def _entry(self, job_id: str, kind: str, body: Mapping[str, Any], by: str) -> Entry:
        at = _time_text(self._stamp())
        return Entry(self._new_id(), job_id, self.logbook.device, at, by, kind, body)

    def record(self, job_id: str, by: str, *bodies: tuple[str, Mapping[str, Any]]) -> Job:
        """Append entries to a job in one step and give the job as it then stands.

        Args:
            job_id: the job.
            by: initials of who enters.
            bodies: (kind, body) of each entry.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        entries = [self._entry(job_id, kind, body, by) for kind, body in bodies]
        if len(entries) == 1:
            self.logbook.append(entries[0])
        else:
            self.logbook.append_all(entries)
        if job_id == SHOP:
            self._fold_shop(entries)
            return Job(SHOP)
        job = self._jobs.get(job_id) or Job(job_id)
        if any(e.kind == "undo" for e in entries) or job_id not in self._jobs:
            job = fold(job_id, self.logbook.entries(job_id))
        else:
            for entry in entries:
                job = write_up(job, entry)
        self._jobs[job_id] = job
        return job

    def open_job(self, name: str, by: str, cylinder: str = "double-acting") -> Job:
        """Open a job and keep a copy of the tables that will judge it.

        Args:
            name: the shop's job number or tag; may be "".
            by: initials.
            cylinder: the checklist's id.
        """
        chosen = self.tables.cylinders[cylinder]
        self._keep_tables(chosen.content_hash)
        job_id = self._new_id()
        body = {
            "name": name.strip() or f"Job of {self._now().astimezone().date().isoformat()}",
            "cylinder": cylinder,
            "cylinder_hash": chosen.content_hash,
            "limits_hash": self.tables.limits_hash,
        }
        return self.record(job_id, by, ("job", body))

    def _keep_tables(self, cylinder_hash: str) -> None:
        kept = self.folder / "tables" / _short(cylinder_hash, self.tables.limits_hash)
        if kept.is_dir():
            return
        unfinished = kept.with_suffix(".part")
        shutil.rmtree(unfinished, ignore_errors=True)
        shutil.copytree(checklists.shipped_folder(), unfinished / "checklists")
        if self.shop_limits.is_dir():
            shutil.copytree(self.shop_limits, unfinished / "limits")
        unfinished.rename(kept)

    def adopt_tables(self, job: Job, by: str) -> Job:
        """Judge a job by today's tables from here on; the log keeps that it was judged by others before."""
        chosen = self.tables.cylinders[job.cylinder]
        self._keep_tables(chosen.content_hash)
        body = {
            "cylinder": job.cylinder,
            "cylinder_hash": chosen.content_hash,
            "limits_hash": self.tables.limits_hash,
        }
        return self.record(job.id, by, ("tables", body))

    def fill_nameplate(self, job: Job, typed: Mapping[str, str], by: str, system: str) -> Outcome:
        """Record nameplate fields as typed; unknown quantities stay empty, unreadable ones are refused.

        Args:
            job: the job.
            typed: field name to text; "" takes a field back.
            by: initials.
            system: "metric" or "inch", the unit of bare numbers.
        """
        fields: dict[str, dict[str, str]] = {}
        for name, text in typed.items():
            text = text.strip()
            if text == job.text(name):
                continue
            kind = NAMEPLATE_KINDS.get(name)
            if kind is None or not text:
                fields[name] = {"typed": text, "value": ""}
                continue
            try:
                quantity = quantities.read(text, kind=kind, system=system)
            except Refusal as refusal:
                return Outcome(job, remark=str(refusal))
            if quantity.value <= 0 and kind != "temperature":
                return Outcome(job, remark=f"{text} is not a size; it must be greater than 0.")
            shown = text if not _bare(text) else f"{text} {quantity.typed_unit}"
            fields[name] = {"typed": shown, "value": quantities.exact(quantity.value)}
        return Outcome(self.record(job.id, by, ("nameplate", {"fields": fields})) if fields else job)

    # -- the shop's own: gauges and settings ------------------------------------------------------

    def gauges(self) -> dict[str, Gauge]:
        """The gauge in use for each kind: the shop's own where it entered one, else the shipped default."""
        in_use = {
            kind: Gauge(f"default {kind}", kind, kind, g.errors, g.share, g.step, "")
            for kind, g in self.tables.gauges.items()
        }
        return in_use | self._own_gauges

    def enter_gauge(self, gauge: Gauge, by: str) -> None:
        """Take a gauge into use for its kind; jobs keep what their readings were taken with."""
        self.record(SHOP, by, ("gauge", gauge_body(gauge)))

    def describe_gauge(
        self, kind: str, measures: str, name: str, error: str, share: str, step: str, until: str, by: str,
        system: str,
    ) -> str:  # fmt: skip
        """Take a gauge into use as described on its certificate.

        Returns: "" when it was recorded, else a sentence of what could not be read.
        """
        try:
            fixed = quantities.read(error, kind=measures, system=system).value
            resolution = quantities.read(step, kind=measures, system=system).value
            per_cent = quantities.read(share or "0", kind="percent", system=system).value
        except Refusal as refusal:
            return str(refusal)
        if until.strip():
            try:
                date.fromisoformat(until.strip())
            except ValueError:
                return f"{until!r} is not a date; write it year-month-day, like 2027-03-31."
        if fixed < 0 or resolution < 0 or not 0 <= per_cent < 100:
            return "Uncertainty, step and per cent are 0 or more, and per cent is below 100."
        gauge = Gauge(
            id=self._new_id(),
            kind=kind,
            name=name.strip() or kind,
            errors=((LARGEST, fixed),),
            share=per_cent / 100,
            step=resolution,
            calibrated_until=until.strip(),
        )
        self.enter_gauge(gauge, by)
        return ""

    def overdue(self, gauge: Gauge) -> bool:
        """Whether a gauge's calibration has run out today; a gauge without a date says nothing."""
        return bool(gauge.calibrated_until) and gauge.calibrated_until < self._now().date().isoformat()

    def settings(self, client: str) -> Mapping[str, str]:
        """Settings of one phone or browser by name."""
        return self._settings.get(client, {})

    def set_setting(self, client: str, name: str, value: str, by: str) -> None:
        """Record one setting of one phone or browser."""
        self.record(SHOP, by, ("setting", {"client": client, "name": name, "value": value}))

    def _fold_shop(self, entries: Sequence[Entry]) -> None:
        for entry in entries:
            if entry.kind == "gauge":
                gauge = gauge_from(entry.body)
                self._own_gauges[gauge.kind] = gauge
            elif entry.kind == "setting":
                client = self._settings.setdefault(str(entry.body.get("client", "")), {})
                client[entry.body["name"]] = entry.body["value"]

    # -- measuring -------------------------------------------------------------------------------

    def measure(
        self, job: Job, check: Check, place: Place, text: str, by: str, system: str, sure: bool = False
    ) -> Outcome:
        """Record one reading: read the text, ask about an unlikely one, append, judge.

        Args:
            job: the job.
            check: the check.
            place: where.
            text: as typed.
            by: initials.
            system: "metric" or "inch", the unit of a bare number.
            sure: the person has confirmed an unlikely reading.
        Raises:
            NotSaved: when the disk refused; nothing was recorded.
        """
        nominal = nominal_of(check, job)
        try:
            quantity = quantities.read(text, kind=check.kind, system=system, nominal=nominal)
        except Refusal as refusal:
            return Outcome(job, remark=str(refusal))
        if not sure and (question := self._doubt(job, check, place, quantity.value, nominal, system)):
            return Outcome(job, doubt=question)
        gauge = self._gauge_for(check)
        bodies: list[tuple[str, Mapping[str, Any]]] = []
        if job.gauges.get(gauge.id) != gauge:
            bodies.append(("gauge", gauge_body(gauge)))
        if check.id not in job.places:
            bodies.append(("places", places_body(check, places_of(check, job))))
        body = {
            "check": check.id,
            "station": place.station,
            "clock": place.clock,
            "typed": text.strip() if not _bare(text) else f"{text.strip()} {quantity.typed_unit}",
            "value": quantities.exact(quantity.value),
            "step": quantities.exact(quantity.step),
            "gauge": gauge.id,
        }
        job = self.record(job.id, by, *bodies, ("reading", body))
        reading = job.readings[check.id][place]
        return Outcome(job, judgement=judge_reading(check, reading, job, self.tables_of(job)))

    def _gauge_for(self, check: Check) -> Gauge:
        own = self._own_gauges.get(check.gauge)
        if own:
            return own
        default = self.tables.gauges[check.gauge]
        return Gauge(
            f"default {check.gauge}",
            check.gauge,
            check.gauge,
            default.errors,
            default.share,
            default.step,
            "",
        )

    def _doubt(
        self, job: Job, check: Check, place: Place, value: Decimal, nominal: Decimal | None, system: str
    ) -> Doubt | None:
        readings: Mapping[Place, Reading] = job.readings.get(check.id, {})
        neighbours = [r.value for p, r in readings.items() if p != place][-NEIGHBOURS:]
        return doubt(
            value,
            nominal=nominal,
            tolerance_span_mm=None,
            neighbours=neighbours,
            kind=check.kind,
            system=system,
        )

    def skip(self, job: Job, check: Check, place: Place, reason: str, by: str) -> Outcome:
        """Leave a place, or with an empty place the whole check, unmeasured for a reason."""
        if not reason.strip():
            return Outcome(job, remark="Say why it is not measured; the report prints the reason.")
        bodies: list[tuple[str, Mapping[str, Any]]] = []
        if place != Place("", "") and check.id not in job.places:
            bodies.append(("places", places_body(check, places_of(check, job))))
        body = {"check": check.id, "station": place.station, "clock": place.clock, "reason": reason.strip()}
        return Outcome(self.record(job.id, by, *bodies, ("skip", body)))

    def lay_out(
        self, job: Job, check: Check, stations: Sequence[str], clocks: Sequence[str], by: str
    ) -> Outcome:
        """Record where a check is measured; readings already taken elsewhere stay."""
        for clock in clocks:
            if clock and not (_is_number(clock) and 0 < Decimal(clock) <= 12):
                return Outcome(job, remark=f"{clock!r} is not a clock position; write 12, 3, 4.5 and so on.")
        for station in stations:
            if _is_number(station) and not 0 <= Decimal(station) < LARGEST:
                return Outcome(
                    job, remark=f"{station!r} is not a station; write mm from the gland end, or a word."
                )
        body = {"check": check.id, "stations": list(stations), "clocks": list(clocks)}
        return Outcome(self.record(job.id, by, ("places", body)))

    def set_nominal(self, job: Job, check: Check, text: str, by: str, system: str) -> Outcome:
        """Record the nominal size a check asks for."""
        try:
            quantity = quantities.read(text, kind=check.kind, system=system)
        except Refusal as refusal:
            return Outcome(job, remark=str(refusal))
        body = {"check": check.id, "typed": text.strip(), "value": quantities.exact(quantity.value)}
        return Outcome(self.record(job.id, by, ("nominal", body)))

    def set_limit(
        self, job: Job, check: Check, characteristic: str, typed: tuple[str, str], source: str, by: str,
        system: str,
    ) -> Outcome:  # fmt: skip
        """Record a limit off the maker's drawing: lower and upper as typed, "" for none, and which drawing."""
        numbers = []
        for text in typed:
            try:
                value = quantities.read(text, kind=check.kind, system=system).value if text.strip() else None
            except Refusal as refusal:
                return Outcome(job, remark=str(refusal))
            numbers.append(quantities.exact(value) if value is not None else "")
        lower, upper = numbers
        if not (lower or upper):
            return Outcome(job, remark="Type a lower limit, an upper limit or both.")
        if lower and upper and Decimal(lower) > Decimal(upper):
            return Outcome(job, remark=f"The lower limit {typed[0]} is above the upper limit {typed[1]}.")
        if not source.strip():
            return Outcome(job, remark="Say which drawing the limit is from; the report prints it.")
        if characteristic not in check.characteristics:
            allowed = ", ".join(check.characteristics)
            return Outcome(
                job, remark=f"{characteristic!r} is not made of this check; allowed are {allowed}."
            )
        body = {
            "check": check.id,
            "characteristic": characteristic,
            "lower": lower,
            "upper": upper,
            "source": source.strip(),
        }
        return Outcome(self.record(job.id, by, ("limit", body)))

    # -- defects, photographs, decisions -----------------------------------------------------------

    def note_defect(
        self, job: Job, check: Check, defect: str, place: Place, zone: str, typed: Mapping[str, str],
        note: str, by: str, system: str,
    ) -> Outcome:  # fmt: skip
        """Record a defect: kind, place, size as typed ("" where it was not measured)."""
        place = Place(_station(place.station, system), place.clock)
        measures = {}
        for name, text in typed.items():
            if not text.strip():
                continue
            try:
                quantity = quantities.read(text, kind="deviation", system=system)
            except Refusal as refusal:
                return Outcome(job, remark=f"{name.capitalize()}: {refusal}")
            shown = text.strip() if not _bare(text) else f"{text.strip()} {quantity.typed_unit}"
            measures[name] = {"typed": shown, "value": quantities.exact(quantity.value)}
        body = {
            "check": check.id,
            "defect": defect,
            "station": place.station,
            "clock": place.clock,
            "zone": zone,
            "measures": measures,
            "note": note.strip(),
        }
        return Outcome(self.record(job.id, by, ("defect", body)))

    def take_photo(self, job: Job, of: str, data: bytes, caption: str, by: str) -> Outcome:
        """Take a photograph in: file first, then the entry that names it.

        Raises:
            NotSaved: when the disk refused.
        """
        try:
            photo = take_in(data, folder=self.photos)
        except Refusal as refusal:
            return Outcome(job, remark=str(refusal))
        body = {
            "sha256": photo.sha256,
            "original_sha256": photo.original_sha256,
            "width": photo.width,
            "height": photo.height,
            "taken_at": photo.taken_at,
            "of": of,
            "caption": caption.strip(),
        }
        return Outcome(self.record(job.id, by, ("photo", body)))

    def decide(self, job: Job, part: str, disposition: str, reason: str, by: str) -> Outcome:
        """Record what a person decides for a part with open eyes."""
        if not reason.strip():
            return Outcome(
                job, remark="Say why; the report prints the reason beside the computed disposition."
            )
        body = {"part": part, "disposition": disposition, "reason": reason.strip()}
        return Outcome(self.record(job.id, by, ("decision", body)))

    def outdated(self, job: Job) -> bool:
        """Whether the shop's limits changed since the job was opened."""
        return self.tables_of(job) is not self.tables

    def issue_report(self, job: Job, by: str, system: str, page_size: str = "A4") -> Issued:
        """Make the report of a job, keep the file, and record that it was issued.

        The same entries, tables and units give the same bytes; nothing is recorded a second time then.

        Raises:
            NotSaved: when the disk refused.
        """
        head = self._head(job)
        made = self.report(job, system, page_size)
        sha256 = keep_report(made, self.folder / "reports")
        if job.issued is None or job.issued.sha256 != sha256:
            body = {"sha256": sha256, "entries": head.entries, "head": head.hash}
            job = self.record(job.id, by, ("report", body))
        assert job.issued is not None
        return job.issued

    def report(self, job: Job, system: str, page_size: str = "A4") -> bytes:
        """The report of a job as PDF, without recording anything."""
        from inspect_app.report.content import content
        from inspect_app.report.pdf import pdf

        tables = self.tables_of(job)
        said = content(
            job, self.assess(job), tables, tables.cylinders[job.cylinder], system, head=self._head(job)
        )
        return pdf(said, lambda sha256: photo_path(sha256, self.photos), page_size=page_size)

    def report_file(self, sha256: str) -> Path | None:
        """The file of a report that was issued, None if it is not here."""
        file = self.folder / "reports" / f"{sha256}.pdf"
        return file if file.is_file() else None

    def _head(self, job: Job) -> Head:
        """How far the log reached when its latest report was made, or reaches now if it went on since."""
        if job.issued:
            return Head(job.issued.entries, job.issued.head)
        return self.logbook.head(job.id)

    def verify(self, pdf: bytes | None = None, fingerprint: str = "") -> list[str]:
        """Everything wrong with the log, the photographs and, where given, a report's claim on them.

        Args:
            pdf: a report's file: it must be one that the log says was issued.
            fingerprint: as printed on a report: some job's log must have stood so.
        Returns: sentences; none when all is in order.
        """
        wrong = [b.sentence for b in self.logbook.verify()]
        jobs = [self.job(job_id) for job_id in self.logbook.jobs()]
        wrong += verify_photos(self.photos, [p.sha256 for job in jobs for p in job.photos])
        issued = [e for job in jobs for e in self.logbook.entries(job.id) if e.kind == "report"]
        if pdf is not None and hashlib.sha256(pdf).hexdigest() not in [e.body["sha256"] for e in issued]:
            wrong.append("This PDF is not one that this logbook says was issued, or it was changed since.")
        if fingerprint and not self._stood_so(fingerprint, issued):
            wrong.append(
                f"No job in this logbook has, or ever issued a report with, the fingerprint {fingerprint}."
            )
        return wrong

    def _stood_so(self, fingerprint: str, issued: Sequence[Entry]) -> bool:
        """Whether a job's log stood at this fingerprint when a report was issued, recomputed from its entries."""
        wanted = "".join(fingerprint.split()).lower()
        heads = [self.logbook.head(job_id) for job_id in self.logbook.jobs()]
        heads += [self.logbook.head(e.job, e.body["entries"]) for e in issued]
        return any(head.hash.startswith(wanted) for head in heads)

    def verified(self) -> list[str]:
        """What was looked at when nothing was wrong."""
        jobs = self.logbook.jobs()
        entries = sum(len(self.logbook.entries(job_id)) for job_id in jobs)
        photos = sum(len(self.job(job_id).photos) for job_id in jobs)
        return [
            f"{self.folder}: in order. {len(jobs)} jobs, {entries} entries, {photos} photographs; "
            "every chain unbroken, every photograph as it was stored."
        ]

    def undo(self, job: Job, by: str) -> tuple[Job, Entry | None]:
        """Take back this device's last entry that can be taken back; None when there is none left."""
        entries = self.logbook.entries(job.id)
        taken_back = {e.body.get("of") for e in entries if e.kind == "undo"}
        for entry in reversed(entries):
            mine = entry.device == self.logbook.device and entry.id not in taken_back
            if mine and entry.kind in UNDOABLE:
                return self.record(job.id, by, ("undo", {"of": entry.id})), entry
        return job, None


LARGEST = Decimal(100_000)
"""A gauge entered by the shop has one error for all readings: up to this one."""

NEIGHBOURS = 12
"""How many earlier readings of a check an unlikely one is compared with."""

DECISIONS = ("reuse", "rework", "replace")

UNDOABLE = (
    "reading", "skip", "defect", "looked", "photo", "decision", "nominal", "limit", "caution", "nameplate",
)  # fmt: skip
"""Kinds that one tap of undo takes back; layouts, gauges and reports stay."""


def gauge_body(gauge: Gauge) -> dict[str, Any]:
    """The body of the entry that says which gauge this is."""
    return {
        "gauge": gauge.id,
        "kind": gauge.kind,
        "name": gauge.name,
        "fixed": [[str(up_to), str(error)] for up_to, error in gauge.errors],
        "share": str(gauge.share),
        "step": str(gauge.step),
        "calibrated_until": gauge.calibrated_until,
    }


def places_body(check: Check, places: Sequence[Place]) -> dict[str, Any]:
    """The body of the entry that fixes where a check is measured."""
    return {
        "check": check.id,
        "stations": list(dict.fromkeys(p.station for p in places)),
        "clocks": list(dict.fromkeys(p.clock for p in places)),
    }


def keep_report(made: bytes, folder: Path) -> str:
    """Store a PDF under its SHA-256; it is on the disk when this returns."""
    sha256 = hashlib.sha256(made).hexdigest()
    folder.mkdir(parents=True, exist_ok=True)
    write_file(folder / f"{sha256}.pdf", made)
    return sha256


def _time_text(ms: int) -> str:
    moment = datetime.fromtimestamp(ms / 1000, UTC)
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _time_ms(text: str) -> int:
    return round(datetime.fromisoformat(text).timestamp() * 1000) if text else 0


def _station(text: str, system: str) -> str:
    """A station as typed, in mm as text; words stay words."""
    try:
        return quantities.exact(quantities.read(text, kind="length", system=system).value)
    except Refusal:
        return text.strip()


def _is_number(text: str) -> bool:
    try:
        return Decimal(text).is_finite()
    except ArithmeticError:
        return False


def _bare(text: str) -> bool:
    """Whether a typed number came without a unit."""
    return not any(c.isalpha() or c in "\"'°µ" for c in text)


def _short(*hashes: str) -> str:
    return "-".join(h[:12] for h in hashes)
