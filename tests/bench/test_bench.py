"""What the bench promises: what is entered is on disk or said not to be, and judged by the job's own limits."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pymupdf
import pytest
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import (
    covers_all,
    entered_since,
    issue_report,
    report_file,
    report_pdf,
    reports_listed,
)
from inspect_app.bench.people import of_phone
from inspect_app.bench.proving import verify
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.entries.deciding import Decision
from inspect_app.entries.job import WHOLE_CHECK, Job, Place
from inspect_app.entries.looking import Found
from inspect_app.entries.measuring import Layout, LeftOut, OffDrawing
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.typed import station_of
from inspect_app.job.assess import PartResult
from inspect_app.job.findings import CheckResult, Disposition
from inspect_app.logbook import store
from inspect_app.logbook.photos import path as photo_path
from inspect_app.logbook.store import NotSaved
from inspect_app.tables import shipped_folder
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal

FIRST, SECOND = Place("25", "12"), Place("25", "2")


@dataclass
class Clock:
    """A clock that a test sets."""

    at: datetime = field(default_factory=lambda: datetime(2026, 3, 2, 8, tzinfo=UTC))

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "shop"


@pytest.fixture
def bench(folder: Path, clock: Clock) -> Iterator[Bench]:
    bench = Bench(folder, now=clock)
    yield bench
    bench.close()


def rod_job(bench: Bench, rod: str = "70") -> Job:
    """A job of bore 100, rod 70, stroke 600, at 20 °C."""
    job = bench.open_job("J-1", "AB")
    plate = {"bore": "100", "rod": rod, "stroke": "600", "part_temperature": "20", "gauge_temperature": "20"}
    return bench.enter(job, Nameplate(plate), "AB", "metric").job


def check(bench: Bench, check_id: str = "rod-diameter") -> Check:
    """A check of the shipped checklist."""
    found = bench.tables.cylinders["double-acting"].check(check_id)
    assert found
    return found


def layout(check: Check, stations: list[str], clocks: list[str]) -> Layout:
    """Where a check is measured, stations in mm."""
    return Layout(check, [station_of(s, "metric", check.stations.names) for s in stations], clocks)


def measured(bench: Bench, job: Job, text: str, place: Place = FIRST, system: str = "metric") -> Job:
    """The job after one reading of the rod that gives rise to no question."""
    outcome = bench.measure(job, check(bench), place, text, "AB", system)
    assert (str(outcome.remark), outcome.doubt) == ("", None)
    return outcome.job


def part(bench: Bench, job: Job, part_id: str) -> PartResult:
    """What is made of one part."""
    return next(p for p in bench.assess(job).parts if p.part.id == part_id)


def result(bench: Bench, job: Job, check_id: str = "rod-diameter") -> CheckResult:
    """What is made of one check."""
    return next(c for p in bench.assess(job).parts for c in p.checks if c.check.id == check_id)


def kinds(bench: Bench, job: Job) -> list[str]:
    """The kinds of a job's entries in order."""
    return [e.kind for e in bench.logbook.entries(job.id)]


def jpeg(red: int = 90) -> bytes:
    """A small photograph."""
    file = BytesIO()
    Image.new("RGB", (640, 480), (red, 80, 70)).save(file, "JPEG")
    return file.getvalue()


# ---- a reading


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        # 70 f8 is 70 -0.030 -0.076 (ISO 286-2:2010, table 5): worn down to 69.924. The micrometer by hand, µm:
        # 5 / √3, scatter 2, step 1 / √12, twice 70 × 11.5e-3 × 1 K / √3 for temperature: u 3.58, U 7.2
        ("69.932", Verdict.WITHIN),
        ("69.926", Verdict.UNCLEAR),
        ("69.922", Verdict.UNCLEAR),
        ("69.916", Verdict.BEYOND),
        ("2.7535 in", Verdict.WITHIN),
    ],
)
def test_a_reading_is_judged_the_moment_it_stands(bench: Bench, text: str, verdict: Verdict) -> None:
    outcome = bench.measure(rod_job(bench), check(bench), FIRST, text, "AB", "metric")
    assert outcome.judgement
    assert outcome.judgement.verdict is verdict
    assert outcome.job.as_found.readings["rod-diameter"][FIRST].by == "AB"


def test_what_was_typed_stands_beside_what_was_understood(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "2.7535", system="inch")
    reading = job.as_found.readings["rod-diameter"][FIRST]
    assert reading.typed == "2.7535 in"
    assert reading.value == Decimal("2.7535") * Decimal("25.4")
    (entry,) = (e for e in bench.logbook.entries(job.id) if e.kind == "reading")
    assert (entry.body["typed"], Decimal(entry.body["value"])) == (reading.typed, reading.value)


def test_the_first_reading_fixes_the_places_and_names_its_gauge(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    assert kinds(bench, job)[-3:] == ["places", "gauge", "reading"]
    job = measured(bench, job, "69.95", SECOND)
    assert kinds(bench, job)[-2:] == ["reading", "reading"]
    longer = bench.enter(job, Nameplate({"stroke": "1800"}), "AB", "metric").job
    assert longer.as_found.places["rod-diameter"] == job.as_found.places["rod-diameter"]


def test_an_unlikely_reading_is_asked_about_and_recorded_only_when_sure(bench: Bench) -> None:
    job = rod_job(bench)
    before = kinds(bench, job)
    outcome = bench.measure(job, check(bench), FIRST, "6995", "AB", "metric")
    assert outcome.doubt
    assert outcome.doubt.meant == Decimal("69.95")
    assert kinds(bench, job) == before
    sure = bench.measure(job, check(bench), FIRST, "6995", "AB", "metric", sure=True).job
    assert sure.as_found.readings["rod-diameter"][FIRST].value == 6995


@pytest.mark.parametrize(
    ("check_id", "readings"),
    [
        ("rod-runout", ["0.02", "0.35", "0.72", "0.40", "0.03", "1.9"]),  # bent in the middle and at an end
        ("rod-roughness", ["0.2", "0.25", "3.2"]),
        ("barrel-wall", ["12.5", "12.4", "6.1"]),  # rusted from outside
        ("rod-chrome", ["25", "24", "3"]),
    ],
)
def test_what_wear_rust_or_a_bend_makes_different_raises_no_question(
    bench: Bench, check_id: str, readings: list[str]
) -> None:
    job = rod_job(bench)
    for at, text in enumerate(readings):
        outcome = bench.measure(job, check(bench, check_id), Place(str(100 * at), ""), text, "AB", "metric")
        assert (str(outcome.remark), outcome.doubt) == ("", None), text
        job = outcome.job


def test_a_reading_names_the_gauge_it_was_read_with_and_leaves_the_shops_alone(bench: Bench) -> None:
    shops = bench.shop.gauges_of("outside-micrometer")[-1]
    other = replace(shops, id="g-9", name="M-09")
    outcome = bench.measure(rod_job(bench), check(bench), FIRST, "69.95", "AB", "metric", gauge=other)
    assert outcome.job.as_found.gauges["g-9"].name == "M-09"
    assert outcome.job.as_found.readings["rod-diameter"][FIRST].gauge == "g-9"
    assert bench.shop.gauges_of("outside-micrometer") == (shops,)


@pytest.mark.parametrize("text", ["", "abc", "6..9", "nan", "-", "69.95 kg", "1e999", "٣٣.٥x"])
def test_what_cannot_be_read_is_refused_in_a_sentence_and_nothing_is_recorded(
    bench: Bench, text: str
) -> None:
    job = rod_job(bench)
    before = kinds(bench, job)
    outcome = bench.measure(job, check(bench), FIRST, text, "AB", "metric")
    assert str(outcome.remark).endswith(".")
    assert outcome.job is job
    assert kinds(bench, job) == before


def test_a_reading_taken_again_replaces_the_one_before_and_undo_brings_that_back(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    job = measured(bench, job, "69.91")
    assert job.as_found.readings["rod-diameter"][FIRST].value == Decimal("69.91")
    assert [r.value for r in job.as_found.replaced] == [Decimal("69.95")]
    job, undone = bench.undo(job, "AB")
    assert undone is not None
    assert undone.body["typed"] == "69.91 mm"
    assert job.as_found.readings["rod-diameter"][FIRST].value == Decimal("69.95")


def test_undo_takes_back_one_thing_after_another_and_keeps_all_of_them_in_the_log(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    job = bench.enter(job, LeftOut(check(bench), SECOND, "cannot be reached"), "AB", "metric").job
    job = bench.enter(job, Decision("rod", "replace", "bent in the press"), "AB", "metric").job
    length = len(kinds(bench, job))
    taken_back = []
    while (step := bench.undo(job, "AB"))[1] is not None:
        job, undone = step
        assert undone is not None
        taken_back.append(undone.kind)
    assert taken_back == ["decision", "skip", "reading", "nameplate"]
    assert (job.as_found.skips, job.as_found.decided, job.as_found.nameplate) == ({}, {}, {})
    assert not any(job.as_found.readings.values())
    assert len(kinds(bench, job)) == length + 4
    assert Bench(bench.folder).job(job.id) == job


def test_undo_leaves_what_another_device_entered(bench: Bench, tmp_path: Path) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    other = Bench(tmp_path / "other")
    foreign = bench.logbook.entries(job.id)
    bench.close()
    other.logbook.append_all(foreign)
    job, undone = other.undo(other.job(job.id), "CD")
    assert undone is None
    assert job.as_found.readings["rod-diameter"][FIRST].value == Decimal("69.95")


def test_a_skip_needs_a_reason_and_a_reading_lifts_it(bench: Bench) -> None:
    job = rod_job(bench)
    outcome = bench.enter(job, LeftOut(check(bench), WHOLE_CHECK, "  "), "AB", "metric")
    assert "why" in str(outcome.remark)
    job = bench.enter(job, LeftOut(check(bench), WHOLE_CHECK, "rod is at the grinder"), "AB", "metric").job
    assert result(bench, job).skipped == "rod is at the grinder"
    job = measured(bench, job, "69.95")
    assert result(bench, job).skipped == ""


def test_places_laid_out_anew_keep_the_readings_already_taken(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    job = bench.enter(job, layout(check(bench), ["100", "eye end"], ["12"]), "AB", "metric").job
    assert job.as_found.places["rod-diameter"] == (Place("100", "12"), Place("eye end", "12"))
    assert FIRST in job.as_found.readings["rod-diameter"]


@pytest.mark.parametrize(
    ("stations", "clocks", "named"),
    [(["25"], ["13"], "13"), (["25"], ["0"], "0"), (["25"], ["noon"], "noon"), (["-5"], ["12"], "-5")],
)
def test_a_place_that_cannot_be_is_refused_by_name(
    bench: Bench, stations: list[str], clocks: list[str], named: str
) -> None:
    job = rod_job(bench)
    outcome = bench.enter(job, layout(check(bench), stations, clocks), "AB", "metric")
    assert repr(named) in str(outcome.remark)
    assert outcome.job is job


# ---- gauges, limits, decisions


def describe(bench: Bench, error: str = "0.02", until: str = "2027-03-31", **other: str) -> None:
    """Take an outside micrometer into use."""
    certificate = {"name": "M-07", "error": error, "share": "", "step": "0.001", "until": until, **other}
    bench.enter_gauge("outside-micrometer", certificate, "AB", "metric")


def test_a_coarser_gauge_makes_the_same_reading_too_close_to_call_from_then_on(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.935")
    describe(bench)
    job = measured(bench, job, "69.935", SECOND)
    verdicts = {p.place: p.verdict for p in result(bench, job).places if p.reading}
    assert verdicts == {FIRST: Verdict.WITHIN, SECOND: Verdict.UNCLEAR}
    again = Bench(bench.folder)
    assert again.shop.gauges_of("outside-micrometer")[-1].name == "M-07"


def test_a_gauge_is_overdue_the_day_after_its_date_and_never_without_one(bench: Bench, clock: Clock) -> None:
    describe(bench, until="2026-03-02")
    gauge = bench.shop.gauges_of("outside-micrometer")[-1]
    clock.at = datetime(2026, 3, 2, 12, tzinfo=UTC)
    assert not bench.overdue(gauge)
    clock.at = datetime(2026, 3, 3, 12, tzinfo=UTC)
    assert bench.overdue(gauge)
    describe(bench, until="")
    assert not bench.overdue(bench.shop.gauges_of("outside-micrometer")[-1])


@pytest.mark.parametrize(
    "certificate",
    [{"error": ""}, {"error": "-0.01"}, {"step": "fine"}, {"until": "31.3.2027"}, {"share": "120"}],
)
def test_a_certificate_that_cannot_be_is_refused_and_the_gauge_before_stays(
    bench: Bench, certificate: dict[str, str]
) -> None:
    before = bench.shop.gauges_of("outside-micrometer")[-1]
    with pytest.raises(Refusal):
        describe(bench, **certificate)
    assert bench.shop.gauges_of("outside-micrometer")[-1] == before


def test_a_limit_off_the_drawing_beats_the_shipped_one(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.935")
    assert result(bench, job).places[0].verdict is Verdict.WITHIN
    outcome = bench.enter(
        job, OffDrawing(check(bench), "size", *("69.96", ""), "drawing 4711 b"), "AB", "metric"
    )
    assert result(bench, outcome.job).places[0].verdict is Verdict.BEYOND


@pytest.mark.parametrize(
    ("characteristic", "typed", "drawing"),
    [
        ("size", ("", ""), "4711"),
        ("size", ("70", "69"), "4711"),
        ("size", ("69", "70"), " "),
        ("bow", ("69", "70"), "4711"),
        ("size", ("sixty", ""), "4711"),
    ],
)
def test_a_limit_that_cannot_be_is_refused(
    bench: Bench, characteristic: str, typed: tuple[str, str], drawing: str
) -> None:
    job = rod_job(bench)
    outcome = bench.enter(job, OffDrawing(check(bench), characteristic, *typed, drawing), "AB", "metric")
    assert str(outcome.remark).endswith(".")
    assert outcome.job.as_found.limits == ()


def test_a_person_decides_otherwise_and_what_was_computed_stays_beside_it(bench: Bench) -> None:
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    assert part(bench, job, "rod").disposition is Disposition.REWORK
    assert "why" in str(bench.enter(job, Decision("rod", "replace", ""), "AB", "metric").remark)
    assert "allowed are" in str(
        bench.enter(job, Decision("rod", "weld it", "because"), "AB", "metric").remark
    )
    job = bench.enter(job, Decision("rod", "replace", "a new rod is cheaper"), "AB", "metric").job
    rod = part(bench, job, "rod")
    assert (rod.disposition, rod.computed) == (Disposition.REPLACE, Disposition.REWORK)
    assert rod.decided
    assert (rod.decided.reason, rod.decided.by) == ("a new rod is cheaper", "AB")


def test_the_nameplate_keeps_what_was_typed_and_lets_it_be_taken_back(bench: Bench) -> None:
    job = bench.open_job("", "AB")
    job = bench.enter(job, Nameplate({"bore": '2 1/2"', "maker": " Own "}), "AB", "metric").job
    assert (job.as_found.text("bore"), job.as_found.length("bore"), job.as_found.text("maker")) == (
        '2 1/2"',
        Decimal("63.5"),
        "Own",
    )
    assert "greater than 0" in str(bench.enter(job, Nameplate({"rod": "0 mm"}), "AB", "metric").remark)
    assert bench.enter(job, Nameplate({"rod": "about 70"}), "AB", "metric").job is job
    job = bench.enter(job, Nameplate({"bore": ""}), "AB", "metric").job
    assert (job.as_found.text("bore"), job.as_found.length("bore")) == ("", None)


def test_settings_belong_to_the_phone_that_made_them(bench: Bench) -> None:
    bench.set_setting("phone-1", "look", "dark", "AB")
    bench.set_setting("phone-1", "look", "sun", "AB")
    assert bench.shop.settings("phone-1") == {"look": "sun"}
    assert bench.shop.settings("phone-2") == {}
    assert Bench(bench.folder).shop.settings("phone-1") == {"look": "sun"}


def test_the_job_worked_on_last_stands_first(bench: Bench, clock: Clock) -> None:
    first = rod_job(bench)
    second = rod_job(bench)
    assert [j.id for j in bench.jobs()] == [second.id, first.id]
    clock.at += timedelta(minutes=1)
    measured(bench, first, "69.95")
    assert [j.id for j in bench.jobs()] == [first.id, second.id]
    with pytest.raises(Refusal, match="no job"):
        bench.job("none")


def test_an_id_carries_the_time_it_was_made(bench: Bench, clock: Clock) -> None:
    job = bench.open_job("J-1", "AB")
    milliseconds = int(job.id.replace("-", "")[:12], 16)  # RFC 9562, 5.7: the first 48 bits
    assert milliseconds == clock.at.timestamp() * 1000


# ---- the tables a job was opened with


@pytest.fixture
def checklists(tmp_path: Path) -> Path:
    """A copy of the shipped checklists to edit."""
    return shutil.copytree(shipped_folder(), tmp_path / "checklists")


def tighten(checklists: Path) -> None:
    """Let rods be reused down to f7 only: 70 f7 is 70 -0.030 -0.060 (ISO 286-2:2010, table 5)."""
    file = checklists / "limits" / "rod.toml"
    before = file.read_text(encoding="utf-8")
    after = before.replace('rule = { fit = "f8", upper = 0.02 }', 'rule = { fit = "f7", upper = 0.02 }')
    assert after != before
    file.write_text(after, encoding="utf-8")


def test_an_old_job_is_judged_by_the_limits_it_was_opened_with_until_others_are_adopted(
    folder: Path, checklists: Path
) -> None:
    bench = Bench(folder, checklists=checklists)
    old = measured(bench, rod_job(bench), "69.932")
    bench.close()
    tighten(checklists)

    bench = Bench(folder, checklists=checklists)
    old = bench.job(old.id)
    assert bench.outdated(old)
    assert result(bench, old).places[0].verdict is Verdict.WITHIN
    new = measured(bench, rod_job(bench), "69.932")
    assert not bench.outdated(new)
    assert result(bench, new).places[0].verdict is Verdict.BEYOND

    old = bench.adopt_tables(old, "AB")
    assert kinds(bench, old)[-1] == "tables"
    assert not bench.outdated(old)
    assert result(bench, old).places[0].verdict is Verdict.BEYOND


def test_the_shops_own_limit_counts_from_the_next_job_on(folder: Path) -> None:
    bench = Bench(folder)
    old = measured(bench, rod_job(bench), "69.932")
    bench.close()
    shop = folder / "limits"
    shop.mkdir()
    shop.joinpath("own.toml").write_text(
        '[[limit]]\nid = "own-rod"\ncheck = "rod-diameter"\ncharacteristic = "size"\nlevel = "reuse"\n'
        'rule = { fit = "f7", side = "lower" }\nsource = "rod-wear"\nbeyond = "replace"\n',
        encoding="utf-8",
    )
    bench = Bench(folder)
    assert result(bench, bench.job(old.id)).places[0].verdict is Verdict.WITHIN
    assert result(bench, measured(bench, rod_job(bench), "69.932")).places[0].verdict is Verdict.BEYOND
    shutil.rmtree(shop)
    assert Bench(folder).outdated(bench.jobs()[0])


# ---- the report


def test_two_reports_of_the_same_job_are_the_same_to_the_byte(bench: Bench) -> None:
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    first = issue_report(bench, job, "AB", "metric")
    entries = len(kinds(bench, job))
    second = issue_report(bench, bench.job(job.id), "AB", "metric")
    assert (second.sha256, len(kinds(bench, job))) == (first.sha256, entries)
    reopened = Bench(bench.folder)
    file = report_file(reopened, first.sha256)
    assert file
    assert report_pdf(reopened, reopened.job(job.id), "metric") == file.read_bytes()
    assert issue_report(reopened, reopened.job(job.id), "AB", "inch").sha256 != first.sha256


def test_the_same_readings_file_gives_the_same_report_on_two_machines(tmp_path: Path) -> None:
    file = shipped_folder("demo_data") / "shear_replace.toml"
    made = []
    for machine in ("one", "two"):
        bench = bench_for(file, tmp_path / machine)
        made.append(report_pdf(bench, record_file(file, bench)[0], "metric"))
    assert made[0] == made[1]


def test_a_report_is_issued_by_the_shop_its_settings_name_and_a_draft_says_that_it_is_one(
    tmp_path: Path,
) -> None:
    bench = Bench(tmp_path / "shop")
    bench.set_setting("", "name", "Example Cylinder Works", "AB")

    def said() -> str:
        made = report_pdf(bench, bench.job(job.id), "metric")
        return " ".join("".join(page.get_text() for page in pymupdf.open(stream=made)).split())

    job = measured(bench, rod_job(bench), "69.95")
    assert "Example Cylinder Works" in said()
    assert "draft: not issued out of a logbook" in said()
    issue_report(bench, bench.job(job.id), "AB", "metric")
    assert f"issue 1 issued {bench.today()}" in said()
    measured(bench, bench.job(job.id), "69.96")
    issue_report(bench, bench.job(job.id), "AB", "metric")
    assert "issue 2" in said()
    assert f"replaces issue 1 of {bench.today()}, which is void" in said()
    bench.close()


def test_times_are_shown_where_the_job_was_opened_and_the_same_bytes_come_out_anywhere(
    tmp_path: Path,
) -> None:
    # 23:30 UTC is half past one the next day, two hours east of it
    east, west = timezone(timedelta(hours=2)), timezone(-timedelta(hours=3, minutes=30))
    at = datetime(2026, 7, 1, 23, 30, tzinfo=UTC)
    bench = Bench(tmp_path / "shop", now=lambda: at, device="phone", zone=east)
    job = measured(bench, rod_job(bench), "69.95")
    (opened, *_) = bench.logbook.entries(job.id)
    assert (opened.at, opened.body["offset"]) == ("2026-07-01T23:30:00.000Z", "+02:00")
    made = report_pdf(bench, job, "metric")
    said = " ".join("".join(page.get_text() for page in pymupdf.open(stream=made)).split())
    assert "2026-07-02 01:30 +02:00, AB" in said
    assert "2026-07-02 to 2026-07-02" in said
    bench.close()
    elsewhere = Bench(tmp_path / "shop", now=lambda: at, zone=west)
    assert report_pdf(elsewhere, elsewhere.job(job.id), "metric") == made
    issue_report(elsewhere, elsewhere.job(job.id), "CD", "metric")
    ((_, sentence),) = reports_listed(elsewhere, elsewhere.job(job.id))
    assert sentence == "Report of 2026-07-01 20:00 -03:30 by CD: covers all entries."
    assert elsewhere.today() == "2026-07-01"
    elsewhere.close()


def test_a_report_is_out_of_date_as_soon_as_anything_is_entered_after_it(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    issue_report(bench, job, "AB", "metric")
    assert covers_all(bench, bench.job(job.id))
    job = measured(bench, bench.job(job.id), "69.94", SECOND)
    assert covers_all(bench, job) is None
    issue_report(bench, job, "AB", "metric")
    assert kinds(bench, job).count("report") == 2


@pytest.mark.parametrize("name", ["", "../other", "0" * 64, "."])
def test_only_a_report_that_was_issued_is_found(bench: Bench, name: str) -> None:
    issue_report(bench, rod_job(bench), "AB", "metric")
    bench.folder.joinpath("other.pdf").write_bytes(b"%PDF- of somebody else")
    assert report_file(bench, name) is None


# ---- states of the cylinder


def test_a_later_state_is_entered_beside_the_first_and_leaves_it_alone(bench: Bench) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    job = bench.enter(job, Nameplate({"rod": "69.5"}), "AB", "metric", "as-left").job
    outcome = bench.measure(job, check(bench), FIRST, "69.48", "AB", "metric", survey="as-left")
    assert not outcome.remark
    assert outcome.doubt is None
    left, found = outcome.job.survey("as-left"), outcome.job.as_found
    assert (left.length("rod"), found.length("rod")) == (Decimal("69.5"), Decimal(70))
    assert left.readings["rod-diameter"][FIRST].value == Decimal("69.48")
    assert found.readings["rod-diameter"][FIRST].value == Decimal("69.95")
    assert found == job.as_found
    # the gauge is the one the job knows already, so the log holds it once
    assert [e.kind for e in bench.logbook.entries(job.id)].count("gauge") == 1
    assert Bench(bench.folder).job(job.id) == outcome.job


def test_a_decision_for_the_cylinder_as_found_passes_no_later_state(bench: Bench) -> None:
    job = bench.enter(rod_job(bench), Decision("rod", "reuse", "seen"), "AB", "metric").job
    by_state = [
        next(p for p in bench.assess(job, s).parts if p.part.id == "rod") for s in ("as-found", "as-left")
    ]
    assert [bool(p.decided) for p in by_state] == [True, False]


# ---- verifying


@pytest.fixture
def issued(bench: Bench) -> tuple[Job, bytes]:
    """A job with a defect, its photograph and a report."""
    job = measured(bench, rod_job(bench), "69.95")
    look = check(bench, "rod-surface")
    dent = Found(look, "dent", Place("310", "6"), "seal-travel", sizes={"depth": "0.2"})
    job = bench.enter(job, dent, "AB", "metric").job
    job = bench.take_photo(job, job.as_found.defects[0].id, jpeg(), "dent", "AB").job
    report = report_file(bench, issue_report(bench, job, "AB", "metric").sha256)
    assert report
    return bench.job(job.id), report.read_bytes()


def test_a_folder_as_it_was_written_has_nothing_wrong(bench: Bench, issued: tuple[Job, bytes]) -> None:
    job, pdf = issued
    assert verify(bench, pdf, job.reports[-1].head[:16]) == []


def test_a_job_says_how_many_entries_its_last_report_does_not_cover(
    bench: Bench, issued: tuple[Job, bytes]
) -> None:
    job = bench.job(issued[0].id)
    assert entered_since(bench, job) == (0,)
    job = bench.enter(job, Nameplate({"customer": "K"}), "AB", "metric").job
    job, _ = bench.undo(job, "AB")
    assert entered_since(bench, job) == (2,)  # what was taken back is an entry, and so is taking it back
    issue_report(bench, job, "AB", "metric")
    assert entered_since(bench, bench.job(job.id))[-1] == 0


def test_how_a_job_stands_is_remembered_until_something_is_entered(bench: Bench) -> None:
    job = rod_job(bench)
    first = bench.progress(job)
    assert bench.assess(job) is bench.assess(job)
    job = measured(bench, job, "69.95")
    assert of_phone(bench, "another").progress(job).done == first.done + 1


def test_a_damaged_photograph_is_found_by_its_name(bench: Bench, issued: tuple[Job, bytes]) -> None:
    job, _ = issued
    file = photo_path(job.photos[0].sha256, bench.photos)
    stored = bytearray(file.read_bytes())
    stored[len(stored) // 2] ^= 1
    file.write_bytes(stored)
    (sentence,) = verify(bench)
    assert job.photos[0].sha256[:8] in sentence
    file.unlink()
    (sentence,) = verify(bench)
    assert job.photos[0].sha256[:8] in sentence


def test_an_entry_edited_by_hand_is_found_and_named(bench: Bench, issued: tuple[Job, bytes]) -> None:
    job, _ = issued
    reading = next(e for e in bench.logbook.entries(job.id) if e.kind == "reading")
    raw = sqlite3.connect(bench.folder / "logbook.db")
    (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'entries_stay_as_written'").fetchone()
    raw.execute("DROP TRIGGER entries_stay_as_written")
    raw.execute("UPDATE entries SET body = replace(body, '69.95', '69.99') WHERE id = ?", (reading.id,))
    raw.execute(guard)
    raw.commit()
    raw.close()
    changed, report = verify(bench)
    assert reading.id in changed
    assert "was changed" in changed
    assert "the report of" in report  # what it covers is no longer what was there


def test_a_changed_report_and_a_made_up_fingerprint_are_not_ours(
    bench: Bench, issued: tuple[Job, bytes]
) -> None:
    job, pdf = issued
    assert len(verify(bench, pdf + b" ")) == 2  # and that the entries inside it are as they stand
    head = job.reports[-1].head
    assert len(verify(bench, None, ("0" if head[0] != "0" else "1") + head[1:16])) == 1
    bench.enter(job, Decision("rod", "reuse", "later thought"), "AB", "metric")
    assert verify(bench, pdf, head[:16]) == []


# ---- trouble


def test_a_clock_set_back_does_not_put_an_entry_before_the_one_it_follows(bench: Bench, clock: Clock) -> None:
    job = measured(bench, rod_job(bench), "69.95")
    clock.at -= timedelta(days=400)
    job = measured(bench, job, "69.94")
    again = Bench(bench.folder, now=clock)
    job = measured(again, again.job(job.id), "69.93")
    entries = again.logbook.entries(job.id)
    assert [e.at for e in entries] == sorted({e.at for e in entries})
    assert job.as_found.readings["rod-diameter"][FIRST].value == Decimal("69.93")
    assert verify(again) == []


def test_a_disk_that_refuses_is_said_and_the_job_stays_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "BUSY_SECONDS", 0.05)
    bench = Bench(folder)
    job = measured(bench, rod_job(bench), "69.95")
    other = sqlite3.connect(folder / "logbook.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(NotSaved, match="another program holds the logbook"):
        measured(bench, job, "69.94", SECOND)
    with pytest.raises(NotSaved):
        bench.take_photo(job, job.id, jpeg(), "", "AB")
    assert bench.job(job.id) == job
    other.execute("ROLLBACK")
    job = measured(bench, job, "69.94", SECOND)
    assert Bench(folder).job(job.id) == job


def test_a_file_that_is_no_photograph_is_refused_and_nothing_is_kept(bench: Bench) -> None:
    job = rod_job(bench)
    outcome = bench.take_photo(job, job.id, b"%PDF-1.7 not a picture", "", "AB")
    assert str(outcome.remark).endswith(".")
    assert outcome.job.photos == ()
    assert not list(bench.photos.rglob("*.jpg"))


def test_the_job_kept_in_memory_is_always_the_one_the_log_tells(bench: Bench) -> None:
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    job = bench.enter(job, Decision("rod", "replace", "cheaper"), "AB", "metric").job
    job, _ = bench.undo(job, "AB")
    issue_report(bench, job, "AB", "inch")
    assert Bench(bench.folder).job(job.id) == bench.job(job.id)


def test_turns_of_a_thread_are_counted_and_not_measured_in_millimetres(bench: Bench) -> None:
    job = bench.open_job("threads", "KM")
    look = bench.tables.cylinders[job.cylinder].check("rod-thread-fit")
    assert look is not None
    found = Found(look, "stripped", Place("", ""), sizes={"turns": "3"})
    job = bench.enter(job, found, "KM", "inch").job
    size = job.as_found.defects[-1].sizes["turns"]
    assert (size.value, size.typed) == (Decimal(3), "3")
