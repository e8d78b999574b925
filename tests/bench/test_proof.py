"""A report is proven by the ends of the chains it names, whatever came into the log since and in whatever order."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pymupdf
import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import covers_all, issue_report, report_file, report_pdf, reports_listed
from inspect_app.bench.proving import outdated, verify
from inspect_app.bench.shop import HOUSE
from inspect_app.entries.deciding import Decision
from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.logbook.chains import Head
from inspect_app.logbook.store import TakenOver


def clock(start: str) -> Iterator[datetime]:
    """A clock that goes on a second each time it is looked at."""
    return (datetime.fromisoformat(start).replace(tzinfo=UTC) + timedelta(seconds=n) for n in count())


def bench_of(folder: Path, device: str, start: str) -> Bench:
    """The bench of one device whose clock begins at `start`."""
    times = clock(start)
    return Bench(folder, now=lambda: next(times), device=device)


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Bench]:
    bench = bench_of(tmp_path / "phone", "phone", "2026-03-02T08:00:00")
    yield bench
    bench.close()


@pytest.fixture
def tablet(tmp_path: Path) -> Iterator[Bench]:
    """A device whose clock is behind: all it enters is older than what the phone has."""
    bench = bench_of(tmp_path / "tablet", "tablet", "2026-03-02T07:00:00")
    yield bench
    bench.close()


@pytest.fixture
def job(phone: Bench) -> Job:
    """A job with a nameplate, opened on the phone."""
    opened = phone.open_job("J-1", "AB")
    return phone.enter(opened, Nameplate({"bore": "100", "rod": "70"}), "AB", "metric").job


def send(job_id: str, source: Bench, to: Bench) -> None:
    """All entries of a job from one device to another."""
    assert to.logbook.take_over(source.logbook.rows(job_id)).refused == ()


def report_entry(bench: Bench, job_id: str) -> Entry:
    """The last report of a job."""
    return next(e for e in reversed(bench.logbook.entries(job_id)) if e.kind == "report")


def test_a_report_names_the_end_of_each_devices_chain(phone: Bench, tablet: Bench, job: Job) -> None:
    send(job.id, phone, tablet)
    tablet.enter(tablet.job(job.id), Decision("rod", "reuse", "looks well"), "CD", "metric")
    send(job.id, tablet, phone)
    ends = {row.device: row.hash for row in phone.logbook.rows(job.id)}
    issue_report(phone, fold(job.id, phone.logbook.entries(job.id)), "AB", "metric")
    assert report_entry(phone, job.id).body["ends"] == ends
    assert ends.keys() == {"phone", "tablet"}
    assert Head.named_in(report_entry(phone, job.id).body) == Head(ends, 3)


def test_a_report_is_proven_after_late_entries_came_in(phone: Bench, tablet: Bench, job: Job) -> None:
    send(job.id, phone, tablet)
    issued = issue_report(phone, phone.job(job.id), "AB", "metric")
    file = report_file(phone, issued.sha256)
    assert file
    for note in ("seen", "seen again"):
        tablet.enter(tablet.job(job.id), Decision("rod", "reuse", note), "CD", "metric")
    send(job.id, tablet, phone)
    assert phone.logbook.entries(job.id)[0].device == "tablet"  # older than all the phone has
    assert verify(phone, file.read_bytes(), issued.head[:16]) == []
    send(job.id, phone, tablet)
    # entries were sent, and nothing beside them
    limits, report = verify(tablet, file.read_bytes(), issued.head[:16])
    assert "limits kept for job J-1 are missing" in limits
    assert "is not here as a file" in report
    assert phone.logbook.head(job.id) == tablet.logbook.head(job.id)


def test_a_report_does_not_cover_what_came_in_late_however_old_it_is(
    phone: Bench, tablet: Bench, job: Job
) -> None:
    send(job.id, phone, tablet)
    issued = issue_report(phone, phone.job(job.id), "AB", "metric")
    assert covers_all(phone, phone.job(job.id)) == issued
    assert list(outdated(phone)) == []
    tablet.enter(tablet.job(job.id), Decision("rod", "reuse", "seen"), "CD", "metric")
    send(job.id, tablet, phone)
    phone._jobs.clear()
    now = phone.job(job.id)
    entries = phone.logbook.entries(job.id)
    assert [e.kind for e in entries][-1] == "report"  # by its time the late entry stands before it
    assert covers_all(phone, now) is None
    ((made, sentence),) = reports_listed(phone, now)
    assert made == issued
    assert sentence.endswith("by AB: issued before 1 entry that came later.")
    assert list(outdated(phone)) == [f"J-1: {sentence}"]
    again = issue_report(phone, now, "AB", "metric")
    assert covers_all(phone, phone.job(job.id)) == again != issued
    assert [s.partition(": ")[2] for _, s in reports_listed(phone, phone.job(job.id))] == [
        "issued before 1 entry that came later.",
        "covers all entries.",
    ]


def test_a_report_made_after_late_entries_covers_them(phone: Bench, tablet: Bench, job: Job) -> None:
    send(job.id, phone, tablet)
    first = issue_report(phone, phone.job(job.id), "AB", "metric")
    tablet.enter(tablet.job(job.id), Decision("rod", "reuse", "seen"), "CD", "metric")
    send(job.id, tablet, phone)
    phone._jobs.clear()
    second = issue_report(phone, phone.job(job.id), "AB", "metric")
    assert second.sha256 != first.sha256
    assert report_entry(phone, job.id).body["ends"].keys() == {"phone", "tablet"}
    assert report_entry(phone, job.id).body["entries"] == 4  # with the report before
    assert verify(phone) == []


def test_a_report_in_other_units_is_of_the_same_entries(phone: Bench, job: Job) -> None:
    metric = issue_report(phone, job, "AB", "metric")
    inch = issue_report(phone, phone.job(job.id), "AB", "inch")
    assert (inch.head, inch.entries) == (metric.head, metric.entries)
    assert verify(phone, fingerprint=metric.head) == []


def by_hand(bench: Bench, *statements: str) -> None:
    """What somebody with a database tool and no guard does."""
    raw = sqlite3.connect(bench.folder / "logbook.db")
    guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        raw.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        raw.execute(statement)
    for _, sql in guards:
        raw.execute(sql)
    raw.commit()
    raw.close()


@pytest.mark.parametrize(
    ("damage", "reason"),
    [
        # cut so that no chain is broken: the report's own entry stays, in another device's chain
        ("DELETE FROM entries WHERE device = 'tablet'", "entries of device tablet that are not here"),
        (
            "UPDATE entries SET by = 'XY' WHERE device = 'tablet'",
            "of device tablet that were changed or lost",
        ),
        ("DELETE FROM entries WHERE kind = 'nameplate'", "of device phone that were changed or lost"),
    ],
)
def test_a_report_over_entries_that_are_gone_or_changed_is_told(
    phone: Bench, tablet: Bench, job: Job, damage: str, reason: str
) -> None:
    send(job.id, phone, tablet)
    tablet.enter(tablet.job(job.id), Decision("rod", "reuse", "seen"), "CD", "metric")
    send(job.id, tablet, phone)
    phone._jobs.clear()
    issue_report(phone, phone.job(job.id), "AB", "metric")
    assert verify(phone) == []
    by_hand(phone, damage)
    phone._jobs.clear()
    assert any(reason in s and "the report of" in s for s in verify(phone))


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        ({"sha256": "00", "entries": 2, "head": "00"}, "does not name what it covers"),
        ({"sha256": "00", "entries": "2", "head": "00", "ends": {}}, "does not name what it covers"),
        ({"sha256": "00", "entries": 2, "head": "00", "ends": []}, "does not name what it covers"),
        ({"sha256": "00", "entries": 0, "head": "00", "ends": {}}, "another fingerprint"),
        ({"sha256": "00", "entries": 2, "head": "00", "ends": {"phone": "ff"}}, "that are not here"),
        ({"sha256": "00", "entries": 2, "head": "00", "ends": {"unheard of": ""}}, "that are not here"),
    ],
)
def test_a_report_that_names_what_is_not_so_is_told(
    phone: Bench, job: Job, body: dict[str, object], reason: str
) -> None:
    phone.record(job.id, "AB", ("report", body))
    assert any(reason in sentence for sentence in verify(phone))


def test_an_entry_made_after_one_of_a_later_time_stands_where_a_fresh_start_puts_it(
    phone: Bench, tmp_path: Path, job: Job
) -> None:
    ahead = bench_of(tmp_path / "ahead", "ahead", "2026-03-02T17:00:00")
    send(job.id, phone, ahead)
    ahead.enter(ahead.job(job.id), Nameplate({"bore": "125"}), "CD", "metric")
    rows = ahead.logbook.rows(job.id)
    assert phone.logbook.take_over(rows) == TakenOver(1, ())
    phone._jobs.clear()
    phone.job(job.id)
    now = phone.enter(phone.job(job.id), Nameplate({"bore": "100"}), "AB", "metric").job
    assert now == fold(job.id, phone.logbook.entries(job.id))
    assert now.as_found.text("bore") == "125 mm"  # by the clocks of the two it was entered later
    ahead.close()


def test_flush_follows_what_a_bench_records(tmp_path: Path) -> None:
    flushed: list[int] = []
    bench = Bench(tmp_path / "shop", flush=lambda: flushed.append(1))
    before = len(flushed)
    bench.open_job("J-1", "AB")
    assert len(flushed) == before + 1
    bench.close()


def test_a_report_made_again_keeps_the_shops_name_and_its_number_of_the_day_it_was_issued(
    phone: Bench, job: Job
) -> None:
    phone.set_setting(HOUSE, "name", "First Name Ltd", "AB")
    first = issue_report(phone, phone.job(job.id), "AB", "metric")
    file = report_file(phone, first.sha256)
    assert file
    phone.set_setting(HOUSE, "name", "Second Name Ltd", "AB")
    again = issue_report(phone, phone.job(job.id), "AB", "metric")
    assert again == first
    inch = text_of(report_pdf(phone, phone.job(job.id), "inch"))
    assert "First Name Ltd" in inch
    assert "issue 1" in inch
    phone.enter(phone.job(job.id), Decision("rod", "reuse", "seen"), "AB", "metric")
    second = issue_report(phone, phone.job(job.id), "AB", "metric")
    said = text_of((phone.folder / "reports" / f"{second.sha256}.pdf").read_bytes())
    assert "Second Name Ltd" in said
    assert "issue 2" in said


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.get_text().split()) for page in pymupdf.open(stream=pdf))
