"""What somebody does to a data folder is found, each thing by its sentence; what nobody can find is listed as such."""

from __future__ import annotations

import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import textwrap
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from io import BytesIO
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import issue_report, report_file
from inspect_app.bench.proving import proven, verify
from inspect_app.entries.deciding import Decision
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate
from inspect_app.logbook.chains import Head, Row, link_of
from inspect_app.logbook.lines import JUDGED, LINE
from inspect_app.logbook.mark import Mark, Reach
from inspect_app.logbook.photos import path as photo_path
from inspect_app.logbook.photos import thumb
from inspect_app.logbook.schema import COLUMNS
from inspect_app.logbook.store import NotSaved
from inspect_app.trade.measuring.refusal import Refusal

Deed = Callable[[Path], object]


def clock() -> Callable[[], datetime]:
    seconds = count()
    start = datetime(2026, 3, 2, 8, tzinfo=UTC)
    return lambda: start + timedelta(seconds=next(seconds))


def jpeg(shade: int) -> bytes:
    file = BytesIO()
    Image.linear_gradient("L").point(lambda grey: (grey + shade) % 256).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Path]]:
    """A folder with two reports and entries after them; as it was before the last reading; as a kill leaves it."""
    root = tmp_path_factory.mktemp("folders")
    now, folder = clock(), root / "shop"
    bench = Bench(folder, now=now, device="phone")
    job = bench.open_job("J-1", "AB")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70"}), "AB", "metric").job
    rod = bench.tables.cylinders[job.cylinder].check("rod-diameter")
    assert rod
    job = bench.measure(job, rod, Place("50", "12"), "69.95", "AB", "metric", sure=True).job
    for shade in (0, 90):
        job = bench.take_photo(job, job.id, jpeg(shade), "seen", "AB").job
    issue_report(bench, job, "AB", "metric")
    issue_report(bench, bench.job(job.id), "AB", "inch")
    bench.close()
    shutil.copytree(folder, root / "earlier")
    bench = Bench(folder, now=now)
    job = bench.enter(bench.job(job.id), Decision("rod", "reuse", "looks well"), "AB", "metric").job
    issue_report(bench, job, "AB", "metric")
    for station in ("100", "150"):
        job = bench.measure(
            bench.job(job.id), rod, Place(station, "12"), "69.94", "AB", "metric", sure=True
        ).job
    shutil.copytree(folder, root / "killed")
    bench.close()
    return {name: root / name for name in ("shop", "earlier", "killed")}


def raw(folder: Path, deed: Callable[[sqlite3.Connection], object]) -> None:
    """What somebody does with a database tool, who takes the guards away and puts them back."""
    with sqlite3.connect(folder / "logbook.db") as db:
        guards = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            db.execute(f"DROP TRIGGER {name}")
        deed(db)
        for _, sql in guards:
            db.execute(sql)
    db.close()


def sql(*statements: str) -> Deed:
    return lambda folder: raw(folder, lambda db: [db.execute(s) for s in statements])


def rows_of(db: sqlite3.Connection) -> list[Row]:
    return [Row(*r) for r in db.execute(f"SELECT {', '.join(COLUMNS)} FROM entries ORDER BY seq")]


def chained_anew(*statements: str) -> Deed:
    """The statements, and every chain made right again, reports as they were."""

    def deed(db: sqlite3.Connection) -> None:
        for statement in statements:
            db.execute(statement)
        ends: dict[tuple[str, str], str] = {}
        for row in rows_of(db):
            chain = (row.job, row.device)
            linked = row._replace(previous=ends.get(chain, ""))
            linked = linked._replace(hash=link_of(linked))
            ends[chain] = linked.hash
            db.execute("UPDATE entries SET previous = ?, hash = ? WHERE id = ?", (*linked[-2:], row.id))

    return lambda folder: raw(folder, deed)


def covering_anew(*statements: str) -> Deed:
    """The statements, every chain made right, and every report made to name the new ends and their fingerprint."""

    def deed(db: sqlite3.Connection) -> None:
        for statement in statements:
            db.execute(statement)
        ends: dict[str, str] = {}
        known: dict[str, dict[str, str]] = {}
        for number, row in enumerate(rows_of(db)):
            body = json.loads(row.body)
            if row.kind == "report":
                covered = known.setdefault(str(body["ends"]), dict(ends) if number else {})
                body |= {"ends": covered, "head": Head(covered, 0).hash}
            text = json.dumps(body, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
            linked = row._replace(body=text, previous=ends.get(row.device, ""))
            linked = linked._replace(hash=link_of(linked))
            ends[row.device] = linked.hash
            db.execute(
                "UPDATE entries SET body = ?, previous = ?, hash = ? WHERE id = ?", (*linked[-3:], row.id)
            )

    return lambda folder: raw(folder, deed)


def marked_anew(folder: Path) -> None:
    with sqlite3.connect(folder / "logbook.db") as db:
        links = db.execute("SELECT seq, hash FROM entries ORDER BY seq").fetchall()
    db.close()
    Mark(folder / "logbook.mark").begin(Reach().on(links))


def both(*deeds: Deed) -> Deed:
    return lambda folder: [deed(folder) for deed in deeds]


def flip(files: str, at: float = 0.5) -> Deed:
    """One bit of the first file that fits, so far into it."""

    def deed(folder: Path) -> None:
        file = sorted(f for f in folder.glob(files) if ".thumb" in files or ".thumb" not in f.name)[0]
        content = bytearray(file.read_bytes())
        content[int(len(content) * at)] ^= 4
        file.write_bytes(content)

    return deed


def without(files: str) -> Deed:
    return lambda folder: sorted(folder.glob(files))[0].unlink()


def exchanged_photographs(folder: Path) -> None:
    one, other = sorted(f for f in folder.glob("photos/*/*.jpg") if ".thumb" not in f.name)
    one.write_bytes(other.read_bytes())


def exchanged_thumbnails(folder: Path) -> None:
    one, other = sorted(folder.glob("photos/*/*.thumb.jpg"))
    one.write_bytes(other.read_bytes())


def exchanged_reports(folder: Path) -> None:
    one, other, *_ = sorted(folder.glob("reports/*.pdf"))
    one.write_bytes(other.read_bytes())


def emptied(folder: Path) -> None:
    """The logbook thrown away, and the program started: it makes a new one."""
    for file in folder.glob("logbook.*"):
        file.unlink()
    Bench(folder).close()


def log_thrown_away(folder: Path) -> None:
    folder.joinpath("logbook.db").unlink()
    Bench(folder).close()


def listed_anew(folder: Path) -> None:
    """The list of jobs made out of the entries, as the program does."""
    sql(f"DROP TABLE {LINE}", f"DROP TABLE {JUDGED}")(folder)


EDIT = "UPDATE entries SET body = replace(body, '69.95', '69.99') WHERE kind = 'reading'"
REDATE = "UPDATE entries SET at = replace(at, '2026-03-02', '2026-02-27')"
CUT = "DELETE FROM entries WHERE seq = (SELECT max(seq) FROM entries)"
LATE = "UPDATE entries SET body = replace(body, '69.94', '69.96') WHERE seq > 11"

FOUND: dict[str, tuple[Deed, str]] = {
    "a reading edited": (sql(EDIT), "the reading of .* was changed after it was written"),
    "initials edited": (sql("UPDATE entries SET by = 'XY' WHERE seq = 3"), "was changed after"),
    "a reading edited, its chain recomputed": (chained_anew(EDIT), "covers entries of device phone that"),
    "the same, and what the reports cover": (covering_anew(EDIT), "not those that were called saved"),
    "the same, and the mark": (both(covering_anew(EDIT), marked_anew), "than is printed on it"),
    "entries re-dated": (sql(REDATE), "was changed after"),
    "entries re-dated, their chain recomputed": (chained_anew(REDATE), "covers entries of device phone"),
    "the same, what the reports cover, and the mark": (
        both(covering_anew(REDATE), marked_anew), "than is printed on it"),
    "the last entry cut": (sql(CUT), r"ends at entry 12, and entry 13 was called saved"),
    "the last entry cut, the mark thrown away": (both(sql(CUT), without("logbook.mark")), "mark .* is missing"),
    "the last entry cut, the mark thrown away, the program started": (
        both(sql(CUT), without("logbook.mark"), lambda f: Bench(f).close()), "mark .* is missing"),
    "the last entry cut, the program started": (
        both(sql(CUT), lambda f: Bench(f).close()), "ends at entry 12, and entry 13 was called saved"),
    "an entry in the middle cut": (sql("DELETE FROM entries WHERE seq = 4"), "has lost the entry before it"),
    "the same, its chain recomputed": (chained_anew("DELETE FROM entries WHERE seq = 4"), "covers entries"),
    "a late reading edited, its chain recomputed": (chained_anew(LATE), "not those that were called saved"),
    "entries put in another order": (sql("UPDATE entries SET seq = 40 WHERE seq = 4"), "out of order"),
    "a guard taken away": (
        lambda f: sqlite3.connect(f / "logbook.db").execute("DROP TRIGGER entries_stay"), "guard entries_stay"),
    "a bit of a time flipped": (sql("UPDATE entries SET at = 'r' || substr(at, 2) WHERE seq = 3"), "was changed"),
    "the first time of all flipped": (sql("UPDATE entries SET at = 'r' || substr(at, 2) WHERE seq = 1"), "changed"),
    "a report changed": (flip("reports/*.pdf"), "damaged or was exchanged"),
    "a report deleted": (without("reports/*.pdf"), "is not here as a file"),
    "a report exchanged for another": (exchanged_reports, "damaged or was exchanged"),
    "a report's entry cut": (chained_anew("DELETE FROM entries WHERE kind = 'report'"), "Reports that no entry"),
    "a photograph changed": (flip("photos/*/*.jpg"), "Photograph .* is damaged"),
    "a photograph deleted": (without("photos/*/*[!b].jpg"), "Photograph .* is missing|small copy .* is missing"),
    "a photograph exchanged for another": (exchanged_photographs, "Photograph .* is damaged"),
    "a thumbnail changed": (flip("photos/*/*.thumb.jpg"), "small copy .* is damaged"),
    "a thumbnail deleted": (without("photos/*/*.thumb.jpg"), "small copy .* is missing"),
    "a thumbnail exchanged for another": (exchanged_thumbnails, "small copy .* is damaged"),
    "kept limits changed": (flip("tables/*.zip"), "limits kept for job J-1 are damaged"),
    "kept limits deleted": (without("tables/*.zip"), "limits kept for job J-1 are missing"),
    "an empty log beside photographs": (emptied, "logbook is empty, and photographs lie beside it"),
    "the log thrown away, the program started": (log_thrown_away, "ends at entry 0, and entry 13"),
    "a line of the list of jobs edited": (sql(f"UPDATE {LINE} SET name = 'J-2'"), "list of jobs says something else"),
    "a line of the list of jobs cut": (sql(f"DELETE FROM {LINE}"), "list of jobs says something else"),
    "the mark changed": (both(flip("logbook.mark", 0.1), flip("logbook.mark", 0.6)), "mark .* is missing or damaged"),
    "the mark deleted": (without("logbook.mark"), "mark .* is missing or damaged"),
}  # fmt: skip

NOT_TO_BE_FOUND: dict[str, Deed] = {
    # whoever may write into the folder may do what the program does; a report in the customer's hands tells
    "an entry after the last report edited, its chain and the mark recomputed": both(
        chained_anew(LATE), marked_anew, listed_anew),
    "the last entries cut after the last report, and the mark recomputed": both(
        sql(CUT), marked_anew, listed_anew),
    "all thrown away": both(emptied, lambda f: shutil.rmtree(f / "photos"), lambda f: shutil.rmtree(f / "reports")),
}  # fmt: skip


def looked_at(folder: Path, pdf: bytes | None = None, fingerprint: str = "") -> list[str]:
    """What verify says, or the one sentence that keeps it from looking."""
    try:
        bench = Bench(folder, reading=True)
    except NotSaved as told:
        return [str(told)]
    try:
        return verify(bench, pdf, fingerprint)
    finally:
        bench.close()


def copied(folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(folder, tmp_path / "copy"))


def test_the_folder_is_in_order_before_anybody_touches_it(made: dict[str, Path]) -> None:
    for folder in made.values():
        assert looked_at(folder) == []


@pytest.mark.parametrize("what", FOUND)
def test_a_manipulation_is_found_by_its_sentence(what: str, made: dict[str, Path], tmp_path: Path) -> None:
    deed, sentence = FOUND[what]
    folder = copied(made["shop"], tmp_path)
    deed(folder)
    told = looked_at(folder)
    assert any(re.search(sentence, said) for said in told), told
    assert all(said.endswith(".") for said in told)


@pytest.mark.parametrize("what", NOT_TO_BE_FOUND)
def test_what_cannot_be_found_is_found_by_a_report_in_other_hands_or_not_at_all(
    what: str, made: dict[str, Path], tmp_path: Path
) -> None:
    folder = copied(made["shop"], tmp_path)
    NOT_TO_BE_FOUND[what](folder)
    assert looked_at(folder) == []
    if what == "all thrown away":
        (customers, *_) = sorted(made["shop"].glob("reports/*.pdf"))
        assert looked_at(folder, customers.read_bytes()) != []


def test_a_folder_of_yesterday_in_place_of_todays_is_told_by_the_report_of_today(
    made: dict[str, Path],
) -> None:
    bench = Bench(made["shop"], reading=True)
    newest = report_file(bench, bench.jobs()[0].reports[-1].sha256)
    bench.close()
    assert newest
    assert looked_at(made["earlier"]) == []  # as such it is a sound folder
    assert "not one that this logbook says was issued" in looked_at(made["earlier"], newest.read_bytes())[0]


def test_a_log_of_yesterday_under_the_mark_of_today_is_told(made: dict[str, Path], tmp_path: Path) -> None:
    folder = copied(made["shop"], tmp_path)
    shutil.copy(made["earlier"] / "logbook.db", folder / "logbook.db")
    assert any("ends at entry 9" in said for said in looked_at(folder))


@pytest.mark.parametrize("tenths", range(1, 10))
def test_a_torn_frame_of_the_log_of_commits_is_told(
    tenths: int, made: dict[str, Path], tmp_path: Path
) -> None:
    folder = copied(made["killed"], tmp_path)
    commits = folder / "logbook.db-wal"
    content = bytearray(commits.read_bytes())
    last = content.rfind(b"looks well")  # frames after the last commit's are of no account
    assert last > 0
    content[last * tenths // 10] ^= 1
    commits.write_bytes(content)
    assert any("was called saved" in said for said in looked_at(folder)), looked_at(folder)


def test_a_lost_log_of_commits_is_told_before_and_after_the_program_starts(
    made: dict[str, Path], tmp_path: Path
) -> None:
    folder = copied(made["killed"], tmp_path)
    folder.joinpath("logbook.db-wal").unlink()
    before = looked_at(folder)
    assert any("and entry 13 was called saved" in said for said in before)
    bench = Bench(folder)
    assert any("and entry 13 was called saved" in said for said in bench.logbook.told())
    bench.open_job("J-2", "AB")
    bench.close()
    assert any("and entry 13 was called saved" in said for said in looked_at(folder))


# ---- the answer


def test_a_report_is_told_by_its_job_its_number_its_outcome_and_what_came_after(
    made: dict[str, Path],
) -> None:
    bench = Bench(made["shop"], reading=True)
    first, inch, last = (report_file(bench, r.sha256) for r in bench.jobs()[0].reports)
    assert first
    assert inch
    assert last
    of_first = proven(bench, first.read_bytes()).found
    assert of_first[0].startswith("This PDF: job J-1, report 1 of 3. Report of 2026-03-02")
    assert "issued before 3 entries that came later" in of_first[0]
    assert of_first[1].startswith("J-1: ")
    assert of_first[2].startswith("A later report was issued. Report of 2026-03-02")
    assert proven(bench, inch.read_bytes()).found[0].startswith("This PDF: job J-1, report 2 of 3.")
    assert proven(bench, last.read_bytes()).found[-1] == "No later report was issued."
    head = bench.jobs()[0].reports[0].head
    by_digits = proven(bench, fingerprint=head[:16]).found
    assert [said.partition(": ")[2][:12] for said in by_digits[:1]] == ["job J-1, rep"]
    bench.close()


@pytest.mark.parametrize("digits", ["2", "0123456789abcde", "g" * 16, "0" * 65])
def test_a_fingerprint_that_means_nothing_is_refused(digits: str, made: dict[str, Path]) -> None:
    bench = Bench(made["shop"], reading=True)
    with pytest.raises(Refusal, match="is no fingerprint; give the 16 digits"):
        verify(bench, fingerprint=digits)
    bench.close()


def test_a_clock_at_the_year_9999_is_told_and_nothing_is_entered(tmp_path: Path) -> None:
    times = [datetime(2026, 3, 2, 8, tzinfo=UTC)]
    bench = Bench(tmp_path / "shop", now=lambda: times[-1])
    job = bench.open_job("J-1", "AB")
    times.append(datetime.max.replace(tzinfo=UTC))
    with pytest.raises(NotSaved, match="clock of this computer stands at the year 9999"):
        bench.open_job("J-2", "AB")
    with pytest.raises(NotSaved, match="clock of this computer stands at the year 9999"):
        bench.enter(job, Decision("rod", "reuse", "seen"), "AB", "metric")
    assert verify(bench) == []
    bench.close()


@pytest.mark.parametrize(
    "at", ["r026-03-02T08:00:00.000Z", "9999-12-31T23:59:59.999Z", "", "2026-13-02T08:00:00.000Z"]
)
def test_a_damaged_time_keeps_nobody_from_opening_the_folder_and_going_on(
    at: str, made: dict[str, Path], tmp_path: Path
) -> None:
    folder = copied(made["shop"], tmp_path)
    raw(folder, lambda db: db.execute("UPDATE entries SET at = ? WHERE seq > 11", (at,)))
    bench = Bench(folder, now=clock())
    job = bench.jobs()[0]
    assert (job.name, job.unknown) == ("J-1", 2)  # what they say is set aside and counted
    job = bench.enter(job, Decision("rod", "replace", "again"), "AB", "metric").job
    assert job.as_found.decided["rod"].disposition == "replace"
    assert bench.logbook.last_at("phone") > "2026-03-02"
    bench.close()


def test_hashes_of_thumbnails_of_older_entries_are_not_asked_for(
    made: dict[str, Path], tmp_path: Path
) -> None:
    folder = copied(made["shop"], tmp_path)
    bench = Bench(folder, reading=True)
    sha256 = bench.jobs()[0].photos[0].sha256
    bench.close()
    covering_anew("UPDATE entries SET body = json_remove(body, '$.thumbnail') WHERE kind = 'photo'")(folder)
    small = thumb(sha256, folder / "photos")
    assert not any("small copy" in said for said in looked_at(folder))
    small.write_bytes(small.read_bytes()[:200])
    assert any("small copy" in said for said in looked_at(folder))
    assert photo_path(sha256, folder / "photos").is_file()


READ_ONLY = """
    import os, sys
    from pathlib import Path
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.proving import verify
    warm = Bench(Path(sys.argv[2]), reading=True)
    verify(warm)  # all of the program is read while it may be
    warm.close()
    for file in (top := Path(sys.argv[1])).rglob("*"):
        file.chmod(0o555 if file.is_dir() else 0o444)
    top.chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(65534)
    bench = Bench(top, reading=True)
    print(len(bench.logbook.entries(bench.jobs()[0].id)), verify(bench))
    bench.close()
    os.seteuid(os.getuid())
    print(sorted(f.name for f in top.iterdir()))
    for file in (top, *top.rglob("*")):
        file.chmod(0o755)
"""


@pytest.mark.parametrize("how", ["shop", "killed"])
def test_a_medium_that_cannot_be_written_to_is_verified_and_left_as_it_is(
    how: str, made: dict[str, Path]
) -> None:
    with TemporaryDirectory() as top:  # the folders of the tests are closed to others
        os.chmod(top, 0o755)
        folder = Path(shutil.copytree(made[how], Path(top) / "medium"))
        folder.joinpath("logbook.db-shm").unlink(missing_ok=True)
        before = sorted(f.name for f in folder.iterdir())
        command = [sys.executable, "-c", textwrap.dedent(READ_ONLY), str(folder), str(made["shop"])]
        here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
        done = subprocess.run(command, capture_output=True, text=True, env=here, check=False)
    assert done.stdout.splitlines() == ["13 []", str(before)], done.stderr
