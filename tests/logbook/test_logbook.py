"""What the logbook promises: saved means on the disk, nothing is changed, and a change by hand shows."""

from __future__ import annotations

import hashlib
import os
import random
import signal
import sqlite3
import subprocess
import sys
import textwrap
import time
import tracemalloc
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.entries.entry import Entry
from inspect_app.logbook import copying
from inspect_app.logbook.chains import Head
from inspect_app.logbook.store import BUSY_SECONDS, Logbook, NotSaved
from inspect_app.trade.measuring.refusal import Refusal

PHONE, TABLET = "phone", "tablet"


def looked(n: int, *, job: str = "job-1", device: str = PHONE, check: str = "rod") -> Entry:
    """The n-th entry of a device, n milliseconds after eight."""
    at = f"2026-03-02T08:{n // 60_000:02}:{n // 1000 % 60:02}.{n % 1000:03}Z"
    return Entry(f"{device}-{job}-{n:06}", job, device, at, "AB", "looked", {"check": check})


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "shop" / "log.db"


@pytest.fixture
def log(file: Path) -> Iterator[Logbook]:
    log = Logbook(file, PHONE)
    yield log
    log.close()


def by_hand(file: Path, *statements: str, unguarded: bool = False) -> None:
    """What someone with a database tool could do to the file."""
    raw = sqlite3.connect(file)
    if unguarded:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            raw.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        raw.execute(statement)
    raw.commit()
    raw.close()


def in_another_process(source: str, *arguments: object) -> subprocess.Popen[str]:
    """A Python of its own running `source` with the arguments in sys.argv[1:]."""
    command = [sys.executable, "-c", textwrap.dedent(source), *map(str, arguments)]
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=here)


# ---- saved means saved

APPEND_FOR_EVER = """
    import sys, time
    from pathlib import Path
    from inspect_app.entries.entry import Entry
    from inspect_app.logbook.store import Logbook
    log = Logbook(Path(sys.argv[1]), "phone")
    while True:
        ns = time.time_ns()
        at = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(ns // 10**9)) + f".{ns // 10**6 % 1000:03}Z"
        entry = Entry(str(ns), "job-1", "phone", max(at, log.last_at("phone")), "AB", "undo", {"of": "0"})
        print(entry.id, log.append(entry), flush=True)
"""


KILLS = 10 if "INSPECT_THOROUGH" in os.environ else 5


def test_every_entry_acknowledged_before_a_kill_is_there_after_it(file: Path) -> None:
    chance = random.Random(2026)
    acknowledged: dict[str, str] = {}
    for _ in range(KILLS):
        process = in_another_process(APPEND_FOR_EVER, file)
        assert process.stdout is not None
        first = process.stdout.readline()
        time.sleep(chance.uniform(0.0, 0.12))
        process.send_signal(signal.SIGKILL)
        told = first + process.stdout.read()
        process.wait()
        process.stdout.close()
        acknowledged |= dict(line.split() for line in told.splitlines(keepends=True) if line.endswith("\n"))
    log = Logbook(file)
    found = dict(sqlite3.connect(file).execute("SELECT id, hash FROM entries").fetchall())
    assert len(acknowledged) > KILLS
    assert acknowledged.items() <= found.items()
    assert len(found) <= len(acknowledged) + KILLS  # at most the one under way at each kill
    assert log.verify() == []


APPEND_UNTIL_FULL = """
    import resource, sys
    from pathlib import Path
    from inspect_app.entries.entry import Entry
    from inspect_app.logbook.store import Logbook, NotSaved
    log = Logbook(Path(sys.argv[1]), "phone")
    def append(n):
        at = f"2026-03-02T08:00:00.{n:03}Z"
        log.append(Entry(f"e{n:03}", "job-1", "phone", at, "AB", "looked", {"check": "rod"}))
        print("saved", f"e{n:03}")
    log.append_all([])
    whole = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, whole[1]))
    try:
        for n in range(900):
            append(n)
    except NotSaved as e:
        print("refused", e)
    resource.setrlimit(resource.RLIMIT_FSIZE, whole)
    append(999)
"""


def test_a_full_disk_is_told_and_costs_no_saved_entry(file: Path) -> None:
    told, _ = in_another_process(APPEND_UNTIL_FULL, file).communicate(timeout=300)
    saved = [line.split()[1] for line in told.splitlines() if line.startswith("saved")]
    (refused,) = [line for line in told.splitlines() if line.startswith("refused")]
    assert "NOT saved" in refused
    assert "Free some space" in refused
    assert len(saved) > 5
    assert saved[-1] == "e999"  # and it goes on when there is room again
    log = Logbook(file)
    assert [entry.id for entry in log.entries("job-1")] == saved
    assert log.verify() == []


def test_a_commit_waits_for_the_disk(log: Logbook, file: Path) -> None:
    # SQLite documentation, pragma synchronous: 2 is FULL, the least at which WAL survives a power cut
    assert log._conn.execute("PRAGMA synchronous").fetchone() == (2,)
    assert sqlite3.connect(file).execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_flush_follows_every_commit_and_finds_the_entry_in_the_file(file: Path) -> None:
    counts: list[int] = []

    def count() -> None:
        counts.append(sqlite3.connect(file).execute("SELECT count(*) FROM entries").fetchone()[0])

    log = Logbook(file, PHONE, flush=count)
    counts.clear()  # the tables made at the first opening were flushed too
    log.append(looked(1))
    log.append_all([looked(2), looked(3)])
    log.set_bookmark("client", "/job-1")
    with pytest.raises(Refusal):
        log.append(looked(3))
    assert counts == [1, 3, 3]


# ---- nothing is changed


@pytest.mark.parametrize(
    "attempt",
    [
        "UPDATE entries SET body = '{}'",
        "UPDATE OR REPLACE entries SET id = 'x'",
        "DELETE FROM entries",
        "INSERT OR REPLACE INTO entries SELECT * FROM entries",
        "INSERT OR REPLACE INTO entries SELECT 99, id, job, device, at, by, kind, '{}', '', '' FROM entries",
        "INSERT OR REPLACE INTO entries SELECT seq, '', job, device, at, by, kind, '{}', '', '' FROM entries",
        "INSERT OR IGNORE INTO entries SELECT * FROM entries",
    ],
)
def test_the_file_itself_refuses_to_change_an_entry(log: Logbook, file: Path, attempt: str) -> None:
    log.append(looked(1))
    raw = sqlite3.connect(file)  # a fresh connection: recursive_triggers is off, as with any other tool
    with pytest.raises(sqlite3.IntegrityError, match=r"An entry of the log|in the log already"):
        raw.execute(attempt)
    raw.close()
    assert log.entries("job-1") == (looked(1),)


def test_a_known_id_is_refused_and_the_entry_stays(log: Logbook) -> None:
    log.append(looked(1))
    with pytest.raises(Refusal, match="in the log already"):
        log.append(looked(1, check="another"))
    assert log.entries("job-1") == (looked(1),)
    log.append(looked(2))
    assert log.verify() == []


def test_several_entries_go_in_together_or_not_at_all(log: Logbook) -> None:
    log.append(looked(5))
    with pytest.raises(Refusal, match="before its device's previous one"):
        log.append_all([looked(6), looked(7), looked(4)])
    assert log.entries("job-1") == (looked(5),)
    assert log.append_all([]) == ()
    log.append_all([looked(6), looked(7)])
    assert log.verify() == []


@pytest.mark.parametrize(
    ("entry", "reason"),
    [
        (Entry("1", "j", PHONE, "2026-03-02T08:00:00.000Z", "AB", "looked", {}), "lacks check"),
        (Entry("1", "j", PHONE, "2026-03-02T08:00:00.000Z", "AB", "guess", {}), "not known here"),
        (Entry("", "j", PHONE, "2026-03-02T08:00:00.000Z", "AB", "undo", {"of": "0"}), "needs an id"),
        (Entry("1", "j", PHONE, "2026-03-02T08:00:00Z", "AB", "undo", {"of": "0"}), "milliseconds"),
        (
            Entry("1", "j", PHONE, "2026-03-02T08:00:00.000Z", "AB", "undo", {"of": "\ud83d"}),
            "half a character",
        ),
    ],
)
def test_an_improper_entry_is_refused_before_it_is_written(log: Logbook, entry: Entry, reason: str) -> None:
    with pytest.raises(Refusal, match=reason):
        log.append(entry)
    assert log.entries("j") == ()
    assert log.head("j") == Head({}, 0)


# ---- a change by hand shows


def test_the_first_link_is_the_sha_256_of_what_the_entry_says(log: Logbook) -> None:
    # spelled out here: the link before (none), the fields and the body as sorted JSON, parted by 0x1F
    text = '|phone-job-1-000001|job-1|phone|2026-03-02T08:00:00.001Z|AB|looked|{"check":"rod"}'
    text = text.replace("|", "\x1f")
    assert log.append(looked(1)) == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("edit", "entry", "sentence"),
    [
        ('UPDATE entries SET body = \'{"check":"bore"}\' WHERE seq = 3', 3, "was changed after"),
        ("UPDATE entries SET at = '2026-03-02T08:00:00.001Z' WHERE seq = 3", 3, "was changed after"),
        ("UPDATE entries SET by = 'XY' WHERE seq = 3", 3, "was changed after"),
        ("UPDATE entries SET body = x'ff00' WHERE seq = 3", 3, "was changed after"),
        ("DELETE FROM entries WHERE seq = 3", 4, "has lost the entry before it"),
        ("DELETE FROM entries WHERE seq = 1", 2, "has lost the entry before it"),
        ("UPDATE entries SET seq = 30 WHERE seq = 3", 3, "stands out of order"),
    ],
)
def test_what_was_done_by_hand_is_found_and_named(
    log: Logbook, file: Path, edit: str, entry: int, sentence: str
) -> None:
    log.append_all(looked(n) for n in range(1, 6))
    by_hand(file, edit, unguarded=True)
    breaks = [b for b in log.verify() if b.entry]
    named = [b for b in breaks if b.entry == looked(entry).id]
    assert named
    assert all(b.job == "job-1" and looked(entry).id in b.sentence for b in named)
    assert any(sentence in b.sentence for b in named)
    if "body" in edit:
        assert len(breaks) == 1  # one edit is one break, not one for every entry after it


def test_missing_guards_are_told(log: Logbook, file: Path) -> None:
    by_hand(file, unguarded=True)
    assert len(log.verify()) == 3
    assert all("guard" in b.sentence for b in log.verify())


def test_a_cut_tail_shows_in_the_head(log: Logbook, file: Path) -> None:
    log.append_all(looked(n) for n in range(1, 6))
    printed = log.head("job-1")
    by_hand(file, "DELETE FROM entries WHERE seq = 5", unguarded=True)
    assert printed.entries == 5
    assert log.head("job-1") != printed


def test_a_damaged_body_does_not_hide_the_other_entries(log: Logbook, file: Path) -> None:
    log.append_all(looked(n) for n in range(1, 4))
    by_hand(
        file,
        "UPDATE entries SET body = CAST(x'7b2263223a22ff227d' AS TEXT) WHERE seq = 1",
        "UPDATE entries SET body = '[]' WHERE seq = 2",
        unguarded=True,
    )
    assert [entry.kind for entry in log.entries("job-1")] == ["unreadable", "unreadable", "looked"]
    assert [entry.body["kind"] for entry in log.entries("job-1")[:2]] == ["looked", "looked"]
    assert sum("was changed after" in b.sentence for b in log.verify()) == 2


def test_a_body_somebody_else_wrote_is_read_as_far_as_json_goes(log: Logbook, file: Path) -> None:
    log.append_all(looked(n) for n in range(1, 5))
    bodies = ("[" * 100_000, ' {"check": "bore"}\n', '{"check":"rod"} or not', "")
    by_hand(
        file,
        *(f"UPDATE entries SET body = '{text}' WHERE seq = {n}" for n, text in enumerate(bodies, 1)),
        unguarded=True,
    )
    kinds = [entry.kind for entry in log.entries("job-1")]
    assert kinds == ["unreadable", "looked", "unreadable", "unreadable"]
    assert log.entries("job-1")[1].body == {"check": "bore"}
    assert log.entries("job-1")[0].body["text"].startswith("[" * 1000)


def test_a_log_is_kept_before_a_step_without_being_read_into_memory(tmp_path: Path) -> None:
    file = tmp_path / "logbook.db"
    large = sqlite3.connect(file)
    with large:
        large.execute("CREATE TABLE entries (seq INTEGER PRIMARY KEY, hash TEXT, body BLOB)")
        large.execute("INSERT INTO entries VALUES (1, 'a', zeroblob(8000000))")
    small = 4_000_000
    tracemalloc.start()
    copying.keep_before_steps(large, file, 1)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    large.close()
    kept = tmp_path / "logbook-schema-1.db"
    assert kept.stat().st_size > 2 * small
    assert most < small


def test_a_damaged_file_is_told_and_never_read_as_sound(file: Path) -> None:
    log = Logbook(file, PHONE)
    log.append_all(looked(n) for n in range(1, 900))
    log.close()
    content = bytearray(file.read_bytes())
    for page in range(20, len(content) // 4096):  # the tables' own pages come first and stay sound
        content[page * 4096 : page * 4096 + 64] = os.urandom(64)
    file.write_bytes(content)
    log = Logbook(file)
    assert any(b.entry == "" for b in log.verify())
    with pytest.raises(NotSaved, match="damaged"):
        log.entries("job-1")
    log.close()


def test_damage_beside_the_entries_is_found_too(log: Logbook, file: Path) -> None:
    log.append_all(looked(n) for n in range(1, 900))
    log.close()
    raw = sqlite3.connect(file)
    (page,) = raw.execute(
        "SELECT rootpage FROM sqlite_master WHERE type = 'index' AND sql LIKE '%UNIQUE%'"
    ).fetchone()
    raw.close()
    with file.open("r+b") as f:
        f.seek((page - 1) * 4096)
        f.write(b"\x02" + bytes(4095))  # an index page that says it is empty
    log = Logbook(file)
    assert len(log.entries("job-1")) == 899
    assert any("SQLite finds the file damaged" in b.sentence for b in log.verify())
    log.close()


# ---- the file refuses


def test_a_file_that_is_no_logbook_is_left_alone(file: Path) -> None:
    file.parent.mkdir()
    file.write_bytes(b"Dear diary, " * 500)
    with pytest.raises(NotSaved, match="not a logbook"):
        Logbook(file)
    assert file.read_bytes() == b"Dear diary, " * 500


def test_a_log_of_a_newer_version_is_left_alone(log: Logbook, file: Path) -> None:
    by_hand(file, "PRAGMA user_version = 99")
    with pytest.raises(NotSaved, match="newer version"):
        Logbook(file)


def test_a_folder_in_place_of_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotSaved, match="cannot be opened"):
        Logbook(tmp_path)


def test_a_held_file_is_waited_for_shortly_and_then_told(log: Logbook, file: Path) -> None:
    log.append(looked(1))
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert log._conn.execute("PRAGMA busy_timeout").fetchone() == (1000 * BUSY_SECONDS,)
    assert BUSY_SECONDS <= 2  # a thumb waits no longer
    with pytest.raises(NotSaved, match=r"NOT saved.*another program"):
        log.append(looked(2))
    other.execute("ROLLBACK")
    log.append(looked(2))
    assert log.verify() == []


OPEN_AS_NOBODY = """
    import os, sys, tempfile
    from pathlib import Path
    from inspect_app.logbook.store import Logbook, NotSaved
    import sqlite_utils
    with tempfile.TemporaryDirectory() as folder:
        Logbook(Path(folder, "log.db")).close()
        os.chmod(Path(folder, "log.db"), 0o444)
        os.chmod(folder, 0o555)
        if os.geteuid() == 0:
            os.seteuid(65534)
        try:
            Logbook(Path(folder, "log.db")).set_bookmark("client", "/")
        except NotSaved as e:
            print(e)
        if os.getuid() == 0:
            os.seteuid(0)
        os.chmod(folder, 0o755)
"""


def test_a_folder_that_may_not_be_written_to_is_told() -> None:
    told, _ = in_another_process(OPEN_AS_NOBODY).communicate(timeout=300)
    assert "write" in told
    assert "log.db" in told


# ---- what is read


def test_reopened_it_is_as_it_was(file: Path) -> None:
    log = Logbook(file)
    assert uuid.UUID(log.device).version == 7  # the standard library's reading of RFC 9562
    log.append(looked(1))
    log.set_bookmark("client", "/job-1/rod")
    log.set_bookmark("client", "/job-1/bore")
    before = (log.device, log.entries("job-1"), log.head("job-1"))
    log.close()
    log = Logbook(file)
    assert (log.device, log.entries("job-1"), log.head("job-1")) == before
    assert log.bookmark("client") == "/job-1/bore"
    assert log.bookmark("another") is None
    log.append(looked(2))
    assert log.verify() == []
    with pytest.raises(Refusal, match="belongs to device"):
        Logbook(file, "another device")


def test_jobs_come_newest_first_and_without_the_shop(log: Logbook) -> None:
    log.append(looked(3, job="old"))
    log.append(looked(1, job="oldest"))
    log.append(looked(9, job="new"))
    log.append(looked(10, job="shop"))
    assert log.jobs() == ("new", "old", "oldest")
    assert log.last_at(PHONE) == looked(10).at
    assert log.last_at(TABLET) == ""


def test_entries_of_two_devices_are_sorted_by_time_and_chained_apart(log: Logbook, file: Path) -> None:
    log.append(looked(1))
    log.append(looked(5))
    log.append_all([looked(2, device=TABLET), looked(4, device=TABLET)])
    log.append(looked(6))
    assert [(e.device, e.at[-4:]) for e in log.entries("job-1")] == [
        (PHONE, "001Z"), (TABLET, "002Z"), (TABLET, "004Z"), (PHONE, "005Z"), (PHONE, "006Z"),
    ]  # fmt: skip
    firsts = sqlite3.connect(file).execute("SELECT id FROM entries WHERE previous = ''").fetchall()
    assert firsts == [(looked(1).id,), (looked(2, device=TABLET).id,)]
    assert log.verify() == []


def test_a_kind_of_a_newer_version_and_keys_of_its_own_are_read_as_they_stand(
    log: Logbook, file: Path
) -> None:
    log.append(looked(1))
    (previous,) = sqlite3.connect(file).execute("SELECT hash FROM entries").fetchone()
    fields = ("n2", "job-1", PHONE, looked(2).at, "AB", "thermogram", '{"camera":{"of":"2031"}}')
    link = hashlib.sha256("\x1f".join((previous, *fields)).encode()).hexdigest()
    by_hand(
        file,
        "INSERT INTO entries (id, job, device, at, by, kind, body, previous, hash) VALUES "
        + str((*fields, previous, link)),
    )
    log.append(Entry("n3", "job-1", PHONE, looked(3).at, "AB", "looked", {"check": "rod", "newer": ["x", 1]}))
    assert [e.kind for e in log.entries("job-1")] == ["looked", "thermogram", "looked"]
    assert log.entries("job-1")[1].body == {"camera": {"of": "2031"}}
    assert log.entries("job-1")[2].body["newer"] == ["x", 1]
    (of_the_list,) = log.verify()  # whoever wrote past the log wrote no line
    assert "make it anew with inspect-app verify --relist" in of_the_list.sentence
    log.lines.make_anew()
    assert log.verify() == []


def test_two_programs_in_one_folder_do_not_fork_a_chain(log: Logbook, file: Path) -> None:
    other = Logbook(file)
    for n in range(1, 21):
        (log if n % 2 else other).append(looked(n))
    assert len(other.entries("job-1")) == 20
    assert log.verify() == []
    other.close()


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(more=st.dictionaries(st.text(), json_values, max_size=5))
def test_any_body_comes_back_as_it_was_given(log: Logbook, more: dict[str, object]) -> None:
    body = {**more, "of": "0"}
    entry_id = str(uuid.uuid4())
    log.append(Entry(entry_id, entry_id, PHONE, looked(1).at, "AB", "undo", body))
    assert log.entries(entry_id)[0].body == body


@settings(max_examples=40)
@given(order=st.lists(st.sampled_from((PHONE, TABLET, "third")), min_size=1, max_size=30))
def test_the_order_in_which_devices_arrive_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, order: list[str]
) -> None:
    made = [looked(n, device=device) for n, device in enumerate(order, 1)]
    by_time = Logbook(tmp_path_factory.mktemp("a") / "log.db")
    by_device = Logbook(tmp_path_factory.mktemp("b") / "log.db")
    by_time.append_all(made)
    for entry in sorted(made, key=lambda e: e.device, reverse=True):
        by_device.append(entry)
    assert by_time.head("job-1") == by_device.head("job-1")
    assert by_time.entries("job-1") == by_device.entries("job-1") == tuple(made)
    assert by_time.verify() == by_device.verify() == []
    by_time.close()
    by_device.close()
