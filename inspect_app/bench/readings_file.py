"""Readings written down on paper and typed off into a TOML file: judged by themselves, or taken into the logbook.

The form is shown in demo_data/sheet.toml, that of [seals], [scope], [[step]], [[torque]] and [test] at the heads of
their files too. Judged by itself, a file always gives the same job over the same shop's limits and gauges: its date is
the time of every entry, and ids are made from its own content. Taken into the logbook, its entries are made now and by
this device, as they are; the job says which file of which date it is.
"""

from __future__ import annotations

import hashlib
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from inspect_app.bench.assembling import record_torques
from inspect_app.bench.bench import Bench
from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.scope_file import answered, record_scope
from inspect_app.bench.seals_file import record_seals
from inspect_app.bench.shop import HOUSE
from inspect_app.bench.stepping import record_steps
from inspect_app.bench.testing import record_test
from inspect_app.entries import deciding, looking, measuring, opening
from inspect_app.entries.job import AS_FOUND, LATER, WHOLE_CHECK, Gauge, Job, Place
from inspect_app.entries.typed import Typed, one_of, station_of
from inspect_app.job.measured import is_default
from inspect_app.report.phrases import day_of
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

OF_A_STATE = ("nameplate", "answers", "gauge", "check", "defect", "looked", "examined", "limit", "decision")
"""What is said of one state of the cylinder; as found at the top of the file, a later one in a table of its name."""
CLOSING = ("torque", "test")
HEADER = (
    "job",
    "cylinder",
    "units",
    "by",
    "date",
    *OF_A_STATE,
    "cautions",
    "seals",
    "scope",
    "step",
    *CLOSING,
    *LATER,
)
TABLES, LISTS = (
    ("nameplate", "answers", "gauge", "seals", "scope", "test", *LATER),
    ("check", "defect", "limit", "decision", "looked", "examined", "cautions", "step", "torque"),
)
CHECK_KEYS = ("id", "nominal", "stations", "clocks", "readings", "skip")
CHECK_LISTS = ("stations", "clocks", "readings")
DEFECT_KEYS = ("check", "kind", "station", "clock", "zone", "felt", "note", "photos")
"""Beside the measures the checklist has."""
DECISION_KEYS = ("part", "disposition", "reason", "examined_by", "examined_how")
EXAMINED_KEYS = ("who", "qualified", "method")
NOT_MEASURED = ("", "-")


def read_file(path: Path) -> tuple[dict[str, Any], str]:
    """The content of a readings file and the SHA-256 of its bytes.

    Raises:
        Refusal: the file is not there, not TOML, or has keys that are not known.
    """
    try:
        raw = path.read_bytes()
        content = tomllib.loads(raw.decode("utf-8"))
    except FileNotFoundError:
        raise Refusal(f"{path} is not there; give the path of a readings file.") from None
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as e:
        raise Refusal(f"{path} is not valid TOML ({e}); mend that line.") from None
    require_keys(str(path), content, HEADER, tables=TABLES, lists=LISTS)
    for state in LATER:
        require_keys(f"{path}: {state}", content.get(state, {}), OF_A_STATE, tables=TABLES, lists=LISTS)
    return content, hashlib.sha256(raw).hexdigest()


def units_of(path: Path) -> str:
    """The units a readings file is written in, "metric" or "inch".

    Raises:
        Refusal: neither of the two.
    """
    units = str(read_file(path)[0].get("units", "metric"))
    if units not in ("metric", "inch"):
        raise Refusal(f"{path}: units: found {units!r}; allowed are metric, inch.")
    return units


def bench_for(path: Path, folder: Path, shop: Path | None = None) -> Bench:
    """A bench in a folder of its own whose times and ids come from the file alone.

    Args:
        path: the readings file.
        folder: an empty folder.
        shop: the data folder whose limits and gauges judge; None takes those that come with the program.
    """
    (_, sha256), at = read_file(path), noon_of(path)
    if shop and (shop / "limits").is_dir():
        shutil.copytree(shop / "limits", folder / "limits")
    device = f"readings file {sha256[:12]}"
    bench = Bench(folder, now=lambda: at, random=_random_of(sha256), device=device, throw_away=True, zone=UTC)
    if shop and (shop / "logbook.db").is_file():
        gauges, settings = _own_of(shop)
        for gauge in gauges:
            bench.use_gauge(gauge, "")
        for name, value in settings.items():
            bench.set_setting(HOUSE, name, value, "")
    return bench


def noon_of(path: Path) -> datetime:
    """Noon of the day a readings file is of, UTC.

    Args:
        path: the file.
    Raises:
        Refusal: as `read_file`, and where its date is none.
    """
    return datetime(*_day(path, read_file(path)[0]).timetuple()[:3], 12, tzinfo=UTC)


def _own_of(shop: Path) -> tuple[list[Gauge], dict[str, str]]:
    """The gauges a shop entered itself, and who it is."""
    bench = Bench(shop, reading=True)
    own = [gauge for gauge in bench.shop.gauges() if not is_default(gauge)]
    settings = dict(bench.shop.settings(HOUSE))
    bench.close()
    return own, settings


def _day(path: Path, content: Mapping[str, Any]) -> date:
    day = content.get("date", date(1970, 1, 1))
    if not isinstance(day, date):
        raise Refusal(f"{path}: date: found {day!r}; write it like 2026-03-02, without quotes.")
    return day


def take_file(path: Path, bench: Bench, again: bool = False) -> tuple[Job, list[str]]:
    """Record a readings file in the logbook, all of it or nothing.

    Args:
        path: the file.
        bench: the open data folder.
        again: take it although the logbook has it already.
    Returns: as `record_file`.
    Raises:
        Refusal: as `record_file`, and where the same file was taken before.
    """
    _, sha256 = read_file(path)
    off = ((e.job, e.body.get("typed_off")) for e in bench.logbook.of_kind("job"))
    taken = (bench.job(job) for job, said in off if isinstance(said, dict) and said.get("sha256") == sha256)
    before = sorted(taken, key=lambda job: job.last_at, reverse=True)
    if before and not again:
        since = day_of(before[-1].opened_at, bench.zone_at(before[-1].opened_at))
        raise Refusal(
            f"{path} is in the logbook already, as {before[-1].name} since {since}. "
            "Give --again to take it once more, as another job."
        )
    with tempfile.TemporaryDirectory() as throw_away:
        trial = bench_for(path, Path(throw_away), bench.folder)
        record_file(path, trial)  # what is wrong in the file shows here, before anything stands in the log
        trial.close()
    return record_file(path, bench)


def _random_of(seed: str) -> Callable[[int], bytes]:
    """Bytes that look random and follow from the file; each id is greater than the one before."""
    count = 0

    def take(n: int) -> bytes:
        nonlocal count
        count += 1
        return count.to_bytes(4, "big") + hashlib.sha256(f"{seed} {count}".encode()).digest()[: n - 4]

    return take


def record_file(path: Path, bench: Bench) -> tuple[Job, list[str]]:
    """Record a readings file as a new job.

    Args:
        path: the file.
        bench: where to.
    Returns: the job, and a sentence for every unlikely reading, which is recorded all the same.
    Raises:
        Refusal: what cannot be used: file, key, what was found, what is allowed.
    """
    content, sha256 = read_file(path)
    by, units = str(content.get("by", "")), units_of(path)
    cylinder_id = str(content.get("cylinder", "double-acting"))
    if cylinder_id not in bench.tables.cylinders:
        known = ", ".join(bench.tables.cylinders)
        raise Refusal(f"{path}: cylinder: found {cylinder_id!r}; allowed are {known}.")
    day = _day(path, content).isoformat() if "date" in content else ""
    typed_off = {"file": path.name, "sha256": sha256, "date": day, "units": units}
    job = bench.open_job(str(content.get("job", path.stem)), by, cylinder_id, typed_off, units)
    recorder = _Recorder(path, bench, job, bench.tables.cylinders[cylinder_id], by, units)
    recorder.record(content)
    return recorder.job, recorder.doubts


class _Recorder:
    """Goes through a file and keeps the job as it grows."""

    def __init__(self, path: Path, bench: Bench, job: Job, cylinder: Cylinder, by: str, units: str) -> None:
        self.path, self.bench, self.job, self.cylinder = path, bench, job, cylinder
        self.by, self.units = by, units
        self.state = AS_FOUND
        self.gauges: dict[str, Gauge] = {}
        self.doubts: list[str] = []

    def record(self, content: Mapping[str, Any]) -> None:
        """Record everything in the file, in the order the job needs it."""
        self._state(content)
        for self.state in LATER:
            self._state(content.get(self.state, {}))
        self.state = AS_FOUND
        record_seals(str(self.path), content.get("seals", {}), self)
        record_scope(str(self.path), scope := content.get("scope", {}), self)
        if said := scope.get("answer"):
            self._keep("scope.answer", answered(str(self.path), said, self.bench, self.job, self.by))
        if torques := content.get("torque", ()):
            record_torques(str(self.path), torques, self, self.bench.handbook_of(self.job), self.units)
        record_test(self.path, content.get("test", {}), self, self.bench.folder)
        record_steps(str(self.path), content.get("step", ()), self)

    def _state(self, content: Mapping[str, Any]) -> None:
        """Record what is said of one state of the cylinder."""
        self._nameplate(content.get("nameplate", {}))
        for question, text in content.get("answers", {}).items():
            self.enter("answers", opening.AnswerGiven(question, str(text)))
        for kind, block in content.get("gauge", {}).items():
            self._gauge(kind, block)
        for block in content.get("limit", ()):
            self._limit(block)
        for block in content.get("check", ()):
            self._check(block)
        for block in content.get("defect", ()):
            self._defect(block)
        for check_id in content.get("looked", ()):
            check = self._check_named("looked", check_id)
            self._one_of("looked", check.id, [c.id for c in self.cylinder.checks if c.look])
            self.enter("looked", looking.LookedOver(check))
        for block in content.get("examined", ()):
            require_keys(f"{self.path}: examined", block, ("check", *EXAMINED_KEYS))
            check = self._check_named("examined", block.get("check"))
            said = (str(block.get(key, "")) for key in EXAMINED_KEYS)
            self.enter("examined", looking.LookedOver(check, *said))
        for caution in content.get("cautions", ()):
            self.enter("cautions", deciding.CautionConfirmed(caution))
        for block in content.get("decision", ()):
            require_keys(f"{self.path}: decision", block, DECISION_KEYS)
            self.enter("decision", deciding.Decision(*(str(block.get(k, "")) for k in DECISION_KEYS)))

    def enter(self, where: str, typed: Typed) -> Job:
        """Record what was typed; the job as it then stands."""
        self._keep(where, self.bench.enter(self.job, typed, self.by, self.units, self.state))
        return self.job

    def photograph(self, where: str, of: str, name: str) -> None:
        """Take in a photograph that lies beside the file."""
        file = self.path.parent / name
        try:
            photo = file.read_bytes()
        except OSError:
            raise Refusal(f"{self.path}: {where}: the photograph {file} cannot be read.") from None
        self._keep(f"{where}, {name}", self.bench.take_photo(self.job, of, photo, "", self.by))

    def _keep(self, where: str, outcome: Outcome) -> None:
        if outcome.remark:
            raise Refusal(f"{self.path}: {where}: {outcome.remark.words(self.units)}")
        self.job = outcome.job

    def _one_of(self, where: str, found: object, allowed: Sequence[str]) -> None:
        if found not in allowed:
            raise Refusal(f"{self.path}: {where}: found {found!r}; allowed are {', '.join(allowed)}.")

    def _check_named(self, where: str, check_id: object) -> Check:
        self._one_of(where, check_id, [c.id for c in self.cylinder.checks])
        return next(c for c in self.cylinder.checks if c.id == check_id)

    def _nameplate(self, block: Mapping[str, Any]) -> None:
        require_keys(f"{self.path}: nameplate", block, tuple(self.cylinder.fields))
        typed = {name: str(value) for name, value in block.items()}
        self.enter("nameplate", opening.Nameplate(typed))

    def _gauge(self, kind: str, block: Mapping[str, Any]) -> None:
        where = f"{self.path}: gauge {kind!r}"
        known = {name: g.title for name, g in self.bench.tables.gauges.items()}
        try:
            kind = one_of(kind, known, "a kind of gauge")
        except Refusal as refusal:
            raise Refusal(f"{where}: {refusal}") from None
        require_keys(where, block, ("name", "uncertainty", "per_cent", "step", "calibrated_until"))
        certificate = {
            "name": str(block.get("name", "")),
            "error": str(block.get("uncertainty", "")),
            "share": str(block.get("per_cent", "0")),
            "step": str(block.get("step", "0")),
            "until": str(block.get("calibrated_until", "")),
        }
        try:
            self.gauges[kind] = self.bench.gauge_of(kind, certificate, self.units)
        except Refusal as refusal:
            raise Refusal(f"{where}: {refusal.words(self.units)}") from None

    def _limit(self, block: Mapping[str, Any]) -> None:
        require_keys(f"{self.path}: limit", block, ("check", "characteristic", "lower", "upper", "drawing"))
        check = self._check_named("limit", block.get("check"))
        typed = (str(block.get(k, "")) for k in ("characteristic", "lower", "upper", "drawing"))
        self.enter(f"limit {check.id}", measuring.OffDrawing(check, *typed))

    def _check(self, block: Mapping[str, Any]) -> None:
        require_keys(f"{self.path}: check", block, CHECK_KEYS, lists=CHECK_LISTS)
        check = self._check_named("check", block.get("id"))
        where = f"check {check.id}"
        if "nominal" in block:
            self.enter(where, measuring.NominalSize(check, str(block["nominal"])))
        rows = block.get("readings", [])
        if rows:
            self._one_of("check with readings", check.id, [c.id for c in self.cylinder.checks if c.gauge])
            typed = [
                station_of(str(s), self.units, check.stations.names) for s in block.get("stations", [""])
            ]
            stations, clocks = [s.at for s in typed], [str(c) for c in block.get("clocks", [""])]
            self.enter(where, measuring.Layout(check, typed, clocks))
            self._readings(check, where, rows, stations, clocks)
        if "skip" in block:
            reason = str(block["skip"])
            if not rows:
                self.enter(where, measuring.LeftOut(check, WHOLE_CHECK, reason))
            else:
                self._skip_missing(check, where, reason, stations, clocks)

    def _readings(
        self, check: Check, where: str, rows: list[Any], stations: list[str], clocks: list[str]
    ) -> None:
        if len(rows) != len(stations):
            raise Refusal(
                f"{self.path}: {where}: {counted(len(rows), 'row', 'rows')} of readings for "
                f"{counted(len(stations), 'station', 'stations')}."
            )
        for station, row in zip(stations, rows, strict=True):
            cells = row if isinstance(row, list) else [row]
            if len(cells) != len(clocks):
                raise Refusal(
                    f"{self.path}: {where}, station {station}: {counted(len(cells), 'reading', 'readings')} for "
                    f"{counted(len(clocks), 'clock', 'clocks')}."
                )
            for clock, cell in zip(clocks, cells, strict=True):
                if str(cell).strip() not in NOT_MEASURED:
                    self._reading(check, where, Place(station, clock), str(cell))

    def _reading(self, check: Check, where: str, place: Place, text: str) -> None:
        at = f"{where}, station {place.station or 'none'}, clock {place.clock or 'none'}"
        gauge = self.gauges.get(check.gauge, "")
        taken = (self.job, check, place, text, self.by, self.units)
        outcome = self.bench.measure(*taken, gauge=gauge, survey=self.state)
        if outcome.doubt:
            self.doubts.append(f"{at}: {outcome.doubt.sentence}")
            outcome = self.bench.measure(*taken, sure=True, gauge=gauge, survey=self.state)
        self._keep(at, outcome)

    def _skip_missing(
        self, check: Check, where: str, reason: str, stations: list[str], clocks: list[str]
    ) -> None:
        for place in (Place(s, c) for s in stations for c in clocks):
            if place not in self.job.survey(self.state).readings.get(check.id, {}):
                self.enter(where, measuring.LeftOut(check, place, reason))

    def _defect(self, block: Mapping[str, Any]) -> None:
        measures = tuple(m.id for m in self.cylinder.measures)
        require_keys(f"{self.path}: defect", block, (*DEFECT_KEYS, *measures), lists=("photos",))
        check = self._check_named("defect", block.get("check"))
        kind = str(block.get("kind", ""))
        where = f"defect {kind} of {check.id}"
        place = Place(str(block.get("station", "")), str(block.get("clock", "")))
        zone, felt, note = (str(block.get(k, "")) for k in ("zone", "felt", "note"))
        sizes = {m: str(block[m]) for m in measures if m in block}
        self.enter(where, looking.Found(check, kind, place, zone, felt, note, sizes))
        for name in block.get("photos", ()):
            self.photograph(where, self.job.survey(self.state).defects[-1].id, str(name))
