"""Chains travel: entries of other devices come in with their own links, late, in any order, or are refused."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.logbook.chains import Head, Row, beyond, improper, is_time
from inspect_app.logbook.store import Logbook, NotSaved, TakenOver
from inspect_app.trade.measuring.refusal import Refusal

PHONE, TABLET, THIRD = "phone", "tablet", "third"


def looked(n: int, *, job: str = "job-1", device: str = PHONE, check: str = "rod") -> Entry:
    """The n-th entry of a device, n milliseconds after eight."""
    at = f"2026-03-02T08:{n // 60_000:02}:{n // 1000 % 60:02}.{n % 1000:03}Z"
    return Entry(f"{device}-{job}-{n:06}", job, device, at, "AB", "looked", {"check": check})


def linked(previous: str, entry: Entry, body: str, kind: str = "looked") -> Row:
    """A row made without our own code: the link is spelled out here."""
    fields = (entry.id, entry.job, entry.device, entry.at, entry.by, kind, body)
    link = hashlib.sha256("\x1f".join((previous, *fields)).encode()).hexdigest()
    return Row(*fields, previous, link)


@pytest.fixture
def open_log(tmp_path: Path) -> Iterator[Callable[[str], Logbook]]:
    """Opens a log for a device, in a folder of its own."""
    opened: list[Logbook] = []

    def opening(device: str) -> Logbook:
        opened.append(Logbook(tmp_path / f"{len(opened)}" / "log.db", device, throw_away=True))
        return opened[-1]

    yield opening
    for log in opened:
        log.close()


@pytest.fixture
def phone(open_log: Callable[[str], Logbook]) -> Logbook:
    """Three entries of a phone."""
    log = open_log(PHONE)
    log.append_all(looked(n) for n in (1, 4, 7))
    return log


@pytest.fixture
def tablet(open_log: Callable[[str], Logbook]) -> Logbook:
    """Two entries of a tablet, made between those of the phone."""
    log = open_log(TABLET)
    log.append_all(looked(n, device=TABLET) for n in (2, 3))
    return log


# ---- taken over as they are


def test_two_logs_that_hold_the_same_entries_have_the_same_head(phone: Logbook, tablet: Logbook) -> None:
    assert phone.head("job-1") != tablet.head("job-1")
    assert phone.take_over(tablet.rows("job-1")) == TakenOver(2, ())
    assert tablet.take_over(phone.rows("job-1")) == TakenOver(3, ())
    assert phone.head("job-1") == tablet.head("job-1")
    assert phone.head("job-1").ends.keys() == {PHONE, TABLET}
    assert phone.head("job-1").entries == 5
    assert phone.entries("job-1") == tablet.entries("job-1")
    assert [entry.at[-4:-1] for entry in phone.entries("job-1")] == ["001", "002", "003", "004", "007"]
    assert phone.verify() == tablet.verify() == []


def test_the_fingerprint_is_the_sha_256_of_the_sorted_ends() -> None:
    lines = "phone\x1fb2\ntablet\x1fa1\n"
    assert Head({"tablet": "a1", "phone": "b2"}, 9).hash == hashlib.sha256(lines.encode()).hexdigest()
    assert Head({}, 0).hash == ""


def test_foreign_entries_keep_their_own_links(phone: Logbook, tablet: Logbook) -> None:
    before = tablet.rows("job-1")
    phone.take_over(before)
    assert [row for row in phone.rows("job-1") if row.device == TABLET] == list(before)


def test_what_comes_again_is_left(phone: Logbook, tablet: Logbook) -> None:
    rows = tablet.rows("job-1")
    assert phone.take_over([*rows, *rows]).new == 2
    assert phone.take_over(rows) == phone.take_over(phone.rows("job-1")) == TakenOver(0, ())
    assert phone.take_over([]) == TakenOver(0, ())
    assert len(phone.entries("job-1")) == 5


@pytest.mark.parametrize("seed", range(6))
def test_entries_of_a_chain_may_come_in_any_order(
    open_log: Callable[[str], Logbook], phone: Logbook, seed: int
) -> None:
    rows = list(phone.rows("job-1"))
    Random(seed).shuffle(rows)
    other = open_log(TABLET)
    assert other.take_over(rows) == TakenOver(3, ())
    assert other.rows("job-1") == phone.rows("job-1")


def test_an_own_entry_after_a_later_foreign_one_goes_on_from_the_own_one_before(
    phone: Logbook, tablet: Logbook
) -> None:
    (last,) = (row for row in phone.rows("job-1") if row.id == looked(7).id)
    tablet.append(looked(5000, device=TABLET))
    phone.take_over(tablet.rows("job-1"))
    phone.append(looked(8))
    assert phone.rows("job-1")[-1].previous == last.hash
    assert phone.verify() == []


def test_an_own_chain_that_comes_back_is_gone_on_from(
    open_log: Callable[[str], Logbook], phone: Logbook
) -> None:
    restored = open_log(PHONE)
    restored.append(looked(1))
    assert restored.take_over(phone.rows("job-1")) == TakenOver(2, ())
    with pytest.raises(Refusal, match="before its device's previous one"):
        restored.append(looked(6))
    restored.append(looked(8))
    assert restored.verify() == []


def test_a_kind_of_a_newer_version_is_taken_over_as_it_stands(
    phone: Logbook, open_log: Callable[[str], Logbook]
) -> None:
    first = linked("", looked(2, device=THIRD), '{"camera":{"of":"2031"}}', "thermogram")
    second = linked(first.hash, looked(3, device=THIRD), '{"check":"rod","newer":[1]}')
    assert phone.take_over([second, first]) == TakenOver(2, ())
    assert [e.kind for e in phone.entries("job-1")] == ["looked", "thermogram", "looked", "looked", "looked"]
    assert fold("job-1", phone.entries("job-1")).unknown == 1
    assert phone.verify() == []
    further = open_log(TABLET)
    further.take_over(phone.rows("job-1"))
    assert set(further.rows("job-1")) == set(phone.rows("job-1"))


# ---- refused


@pytest.mark.parametrize("field", [f for f in Row._fields if f not in ("job", "device")])
def test_a_row_changed_in_any_field_is_kept_aside_with_what_follows_it_until_it_comes_whole(
    phone: Logbook, tablet: Logbook, open_log: Callable[[str], Logbook], field: str
) -> None:
    tablet.append(looked(9, device=TABLET))
    whole = tablet.rows("job-1")
    rows = list(whole)
    other = {"body": '{"check":"bore"}', "at": looked(2).at, "previous": rows[0].hash[::-1], "hash": "0" * 64}
    rows[1] = rows[1]._replace(**{field: other.get(field, "else")})
    fresh = open_log(THIRD)
    took = fresh.take_over([*rows, *phone.rows("job-1")])
    assert took.new == 4  # what came before it stands, and the chain of the phone does not suffer for it
    (sentence,) = took.refused
    assert "was changed after it was written" in sentence
    assert "2 entries of device tablet are kept aside until it comes as it was written" in sentence
    assert [row for row in fresh.rows("job-1") if row.device == TABLET] == list(whole[:1])
    assert fresh.remarks("job-1") == [b.sentence for b in fresh.verify()] == [sentence]
    # it alone is enough: what waited for it comes in with it
    assert fresh.take_over(whole[1:2]) == TakenOver(2, ())
    assert [row for row in fresh.rows("job-1") if row.device == TABLET] == list(whole)
    assert fresh.remarks("job-1") == fresh.verify() == []


@pytest.mark.parametrize("field", ["job", "device"])
def test_a_row_moved_to_another_chain_is_refused(phone: Logbook, tablet: Logbook, field: str) -> None:
    moved = tablet.rows("job-1")[0]._replace(**{field: "another"})
    took = phone.take_over([moved])
    assert took.new == 0
    assert "was changed after it was written" in took.refused[0]
    assert looked(2, device=TABLET).id in took.refused[0]


def test_what_stands_here_is_not_changed_by_one_that_says_something_else(phone: Logbook) -> None:
    before = phone.rows("job-1")
    forged = linked(before[0].hash, looked(4), '{"check":"bore"}')
    took = phone.take_over([before[0], forged])
    assert "stands here already and says something else" in took.refused[0]
    assert phone.rows("job-1") == before


def test_a_chain_with_a_gap_waits_for_the_whole(phone: Logbook, open_log: Callable[[str], Logbook]) -> None:
    rows = phone.rows("job-1")
    other = open_log(TABLET)
    took = other.take_over([rows[0], rows[2]])
    assert took.new == 1
    assert f"entry {rows[2].id}" in took.refused[0]
    assert "follows an entry that is not here" in took.refused[0]
    assert "1 entry of device phone is kept aside" in other.remarks("job-1")[0]
    assert other.take_over(rows[1:2]) == TakenOver(2, ())
    assert other.rows("job-1") == rows
    assert other.remarks("job-1") == other.verify() == []


def test_an_id_that_another_entry_has_is_refused_and_the_others_come_in(
    phone: Logbook, tablet: Logbook
) -> None:
    entry = looked(1, device=THIRD)._replace(id=looked(1).id)
    first = linked("", looked(0, device=THIRD), '{"check":"rod"}')
    took = phone.take_over([first, linked(first.hash, entry, '{"check":"rod"}'), *tablet.rows("job-1")])
    assert took.new == 3
    assert "has the id of another entry" in took.refused[0]
    assert {row.device for row in phone.rows("job-1")} == {PHONE, TABLET, THIRD}
    assert [b.sentence for b in phone.verify()] == list(took.refused)
    phone.append(looked(8))


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"at": "2026-03-02T08:00:00.000Z"}, "before that of the entry it follows"),
        ({"at": "9999-99-99T99:99:99.999Z"}, "time is UTC"),
        ({"at": "2026-03-02T08:00:00Z"}, "time is UTC"),
        ({"id": ""}, "needs an id"),
        ({"by": "A\x1fB"}, "one line of text"),
        ({"id": "\ud83d"}, "half a character"),
    ],
)
def test_an_improper_entry_is_refused_even_when_its_link_is_right(
    phone: Logbook, changed: dict[str, str], reason: str
) -> None:
    entry = looked(8)._replace(**changed)
    last = phone.rows("job-1")[-1].hash
    whole = not any("\ud83d" in text for text in changed.values())
    row = linked(last, entry, "{}") if whole else linked(last, looked(8), "{}")._replace(**changed)
    took = phone.take_over([row])
    assert took.new == 0
    assert reason in took.refused[0]


@given(st.datetimes(), st.integers(0, 22), st.sampled_from("0123456789-TZ٣"))
def test_a_time_is_one_that_the_calendar_has(moment: datetime, at: int, digit: str) -> None:
    text = moment.isoformat(timespec="milliseconds") + "Z"
    assert is_time(text) == (moment.year < 9999)
    spoiled = text[:at] + digit + text[at + 1 :]
    try:
        read = datetime.strptime(spoiled, "%Y-%m-%dT%H:%M:%S.%fZ")
    except ValueError:
        assert not is_time(spoiled)
    else:
        strict = read.isoformat(timespec="milliseconds") + "Z" == spoiled
        assert is_time(spoiled) == (strict and read.year < 9999)


@pytest.mark.parametrize(
    "at", ["2026-02-29T08:00:00.000Z", "2026-03-02T24:00:00.000Z", "2026-03-02T23:59:60.000Z"]
)
def test_a_day_or_hour_that_is_not_there_is_no_time(at: str) -> None:
    assert not is_time(at)
    assert is_time("2024-02-29T23:59:59.999Z")


def test_two_entries_that_say_different_things_never_share_a_link() -> None:
    # without the rule these two, of different initials and kinds, would be hashed over the same text
    one = linked("", looked(1)._replace(by="A\x1fB"), "{}", "C")
    other = linked("", looked(1)._replace(by="A"), "{}", "B\x1fC")
    assert one.hash == other.hash
    assert improper(one)
    assert improper(other)


def test_nothing_of_a_transfer_stays_when_the_disk_refuses(phone: Logbook, tablet: Logbook) -> None:
    shutil.rmtree(phone.path.parent)
    with pytest.raises(NotSaved):
        phone.take_over(tablet.rows("job-1"))
    assert {row.device for row in phone.rows("job-1")} == {PHONE}


# ---- forked


@pytest.fixture
def copied(open_log: Callable[[str], Logbook], phone: Logbook) -> Logbook:
    """A copy of the phone's folder after its first entry, that was written to as well."""
    log = open_log(PHONE)
    log.take_over(phone.rows("job-1")[:1])
    log.append_all([looked(5, check="bore"), looked(6, check="bore")])
    return log


def test_both_branches_of_a_forked_chain_stand_and_are_told(
    open_log: Callable[[str], Logbook], phone: Logbook, copied: Logbook
) -> None:
    here, there = phone.rows("job-1"), copied.rows("job-1")
    assert phone.take_over(there) == TakenOver(2, ())
    assert copied.take_over(here) == TakenOver(2, ())
    assert set(phone.rows("job-1")) == set(copied.rows("job-1")) == {*here, *there}
    assert phone.entries("job-1") == copied.entries("job-1")
    assert phone.head("job-1") == copied.head("job-1")
    # by the standard library alone: the fingerprint is over both ends
    ends = sorted(f"phone\x1f{rows[-1].hash}\n" for rows in (here, there))
    assert phone.head("job-1").hash == hashlib.sha256("".join(ends).encode()).hexdigest()
    assert phone.head("job-1").entries == 5
    assert phone.verify() == copied.verify() == []
    (remark,) = phone.remarks("job-1")
    assert "device phone were both written to" in remark
    assert phone.look_through().forks == (("job-1", PHONE),)
    third = open_log(TABLET)
    assert third.take_over(reversed(phone.rows("job-1"))) == TakenOver(5, ())
    assert third.head("job-1") == phone.head("job-1")


def test_a_chain_forked_at_its_very_beginning_stands(phone: Logbook) -> None:
    assert phone.take_over([linked("", looked(6), '{"check":"rod"}')]) == TakenOver(1, ())
    assert phone.verify() == []
    assert len(phone.remarks("job-1")) == 1


def test_a_forked_device_goes_on_from_one_of_its_branches(phone: Logbook, copied: Logbook) -> None:
    last = phone.rows("job-1")[-1]
    phone.take_over(copied.rows("job-1"))
    phone.append(looked(8))
    assert phone.rows("job-1")[-1].previous == last.hash
    assert phone.verify() == []
    assert copied.take_over(phone.rows("job-1")).refused == ()
    assert phone.head("job-1") == copied.head("job-1")


def test_what_a_document_covers_of_one_branch_is_proven_after_the_other_came(
    phone: Logbook, copied: Logbook
) -> None:
    before, only_here = phone.head("job-1"), phone.rows("job-1")
    phone.take_over(copied.rows("job-1"))
    both = phone.head("job-1")
    assert phone.unproven("job-1", before) == phone.unproven("job-1", both) == ()
    later = {row.id for row in beyond(before, phone.rows("job-1"))}
    assert later == {row.id for row in phone.rows("job-1")} - {row.id for row in only_here}
    assert list(beyond(both, phone.rows("job-1"))) == []
    (sentence,) = copied.unproven("job-1", both)
    assert "device phone that are not here" in sentence
    (sentence,) = phone.unproven("job-1", replace(both, entries=4))
    assert "covers 4 entries, but 5 lead up" in sentence


@settings(max_examples=15, deadline=None)
@given(
    steps=st.lists(
        st.tuples(st.just("write"), st.integers(0, 2)) | st.tuples(st.integers(0, 2), st.integers(0, 2)),
        max_size=25,
    )
)
def test_copies_of_one_folder_that_go_on_apart_end_in_the_same_job(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str | int, int]]
) -> None:
    folder = tmp_path_factory.mktemp("copies")
    logs = [Logbook(folder / f"{n}" / "log.db", PHONE, throw_away=True) for n in range(3)]
    written = 0
    for n, (what, at) in enumerate(steps):
        if what == "write":
            entry = looked(n)
            written += 1
            logs[at].append(entry)
        else:
            assert logs[at].take_over(logs[int(what)].rows("job-1")).refused == ()
    for a, b in [(0, 1), (1, 2), (2, 1), (1, 0)]:
        assert logs[b].take_over(logs[a].rows("job-1")).refused == ()
    heads = [log.head("job-1") for log in logs]
    assert heads[0] == heads[1] == heads[2]
    assert heads[0].entries == written
    for log in logs:
        assert log.entries("job-1") == logs[0].entries("job-1")
        assert log.verify() == []
        assert log.unproven("job-1", heads[0]) == ()
    for log in logs:
        log.close()
    shutil.rmtree(folder)


# ---- any split, any order, any number of times

DEVICES = (PHONE, TABLET, THIRD)
writing = st.tuples(st.just("write"), st.sampled_from(DEVICES), st.integers(0, 3))
sending = st.tuples(
    st.just("send"), st.sampled_from(DEVICES), st.sampled_from(DEVICES), st.integers(0, 2**16)
)  # fmt: skip
CLOCK_AHEAD_MS = {PHONE: 0, TABLET: 40_000, THIRD: 900}
KINDS = (
    ("looked", '{"check":"rod-surface"}'),
    ("caution", '{"caution":"pressure"}'),
    ("nominal", '{"check":"rod","typed":"70","value":"70"}'),
    ("thermogram", '{"hottest":"81.5"}'),
)
"""What is written: the last is of a kind this version does not know."""


def write(log: Logbook, device: str, n: int, what: int) -> None:
    """One more entry of a device, by its own clock."""
    own = [row for row in log.rows("job-1") if row.device == device]
    kind, body = KINDS[what]
    entry = looked(n + CLOCK_AHEAD_MS[device], device=device)
    assert log.take_over([linked(own[-1].hash if own else "", entry, body, kind)]) == TakenOver(1, ())


def send_some(to: Logbook, rows: tuple[Row, ...], seed: int) -> None:
    """Some of the rows, shuffled, some of them twice; what has a gap is refused and comes another time."""
    chance = Random(seed)
    some = [row for row in rows if chance.random() < 0.7]
    some += chance.choices(rows, k=2) if rows else []
    chance.shuffle(some)
    for sentence in to.take_over(some).refused:
        assert "follows an entry that is not here" in sentence


@settings(max_examples=40, deadline=None)
@given(steps=st.lists(writing | sending, min_size=1, max_size=40), last=st.permutations(DEVICES))
def test_any_split_of_a_log_exchanged_in_any_order_ends_in_the_same_job(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str, int]], last: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("split")
    logs = {d: Logbook(folder / d / "log.db", d, throw_away=True) for d in DEVICES}
    written = 0
    for n, (what, device, *more) in enumerate(steps):
        if what == "write":
            write(logs[device], device, n, int(more[0]))
            written += 1
        else:
            send_some(logs[str(more[0])], logs[device].rows("job-1"), int(more[1]))
    for a, b in [*pairwise(last), *pairwise(reversed(last))]:
        logs[b].take_over(logs[a].rows("job-1"))
    heads = [logs[d].head("job-1") for d in DEVICES]
    jobs = [fold("job-1", logs[d].entries("job-1")) for d in DEVICES]
    assert heads[0] == heads[1] == heads[2]
    assert len({head.hash for head in heads}) == 1
    assert heads[0].entries == written == jobs[0].entries
    assert jobs[0] == jobs[1] == jobs[2]
    for log in logs.values():
        assert log.verify() == []
        assert log.unproven("job-1", heads[0]) == ()
        log.close()
    shutil.rmtree(folder)


# ---- what a document names


def test_a_head_is_proven_whatever_came_since(phone: Logbook, tablet: Logbook) -> None:
    named = phone.head("job-1")
    phone.take_over(tablet.rows("job-1"))
    phone.append(looked(8))
    tablet.take_over(phone.rows("job-1"))
    assert phone.unproven("job-1", named) == tablet.unproven("job-1", named) == ()


def test_a_head_is_not_proven_where_its_entries_are_missing_or_others(
    phone: Logbook, tablet: Logbook
) -> None:
    phone.take_over(tablet.rows("job-1"))
    named = phone.head("job-1")
    (sentence,) = tablet.unproven("job-1", named)
    assert "device phone that are not here" in sentence
    (sentence,) = phone.unproven("job-1", replace(named, entries=4))
    assert "covers 4 entries, but 5" in sentence
    (sentence,) = phone.unproven("job-1", replace(named, ends={**named.ends, PHONE: ""}))
    assert "covers 5 entries, but 2" in sentence


def test_a_head_is_not_proven_over_an_entry_that_was_changed(phone: Logbook, tablet: Logbook) -> None:
    phone.take_over(tablet.rows("job-1"))
    named = phone.head("job-1")
    phone._conn.execute("DROP TRIGGER entries_stay_as_written")
    phone._conn.execute("UPDATE entries SET by = 'XY' WHERE id = ?", (looked(4).id,))
    (sentence,) = phone.unproven("job-1", named)
    assert "device phone that were changed or lost since" in sentence
    first = phone.rows("job-1")[0]
    assert phone.unproven("job-1", Head({PHONE: first.hash}, 1)) == ()  # what came before it stands


# ---- the folder goes away


@pytest.mark.parametrize("gone", ["folder", "file", "log of commits"])
def test_nothing_is_called_saved_in_a_folder_that_is_gone(tmp_path: Path, gone: str) -> None:
    log = Logbook(tmp_path / "shop" / "log.db", PHONE)
    log.append(looked(1))
    if gone == "folder":
        shutil.rmtree(tmp_path / "shop")
    else:
        (tmp_path / "shop" / ("log.db" if gone == "file" else "log.db-wal")).unlink()
    for attempt in (lambda: log.append(looked(2)), lambda: log.set_bookmark("client", "/")):
        with pytest.raises(NotSaved, match="removed or exchanged while the program runs"):
            attempt()
    assert log.entries("job-1") == (looked(1),)
    assert not (tmp_path / "shop").exists() or gone != "folder"
    log.close()


def test_nothing_is_called_saved_when_a_backup_was_put_back_meanwhile(tmp_path: Path) -> None:
    shop, backup = tmp_path / "shop", tmp_path / "backup"
    log = Logbook(shop / "log.db", PHONE)
    log.append(looked(1))
    shutil.copytree(shop, backup)
    log.append(looked(2))
    shutil.rmtree(shop)
    shutil.copytree(backup, shop)
    with pytest.raises(NotSaved, match="removed or exchanged"):
        log.append(looked(3))
    log.close()
    reopened = Logbook(shop / "log.db")
    assert reopened.entries("job-1") == (looked(1),)
    reopened.append(looked(3))
    assert reopened.verify() == []


# ---- where there are no threads

WITHOUT_THREADS = """
    import builtins, sys
    from pathlib import Path
    real = builtins.__import__
    def there(name, globals=None, *more):
        if name == "threading" and str((globals or {}).get("__name__")).startswith("inspect_app"):
            raise ImportError("there are no threads here")
        return real(name, globals, *more)
    builtins.__import__ = there
    from inspect_app.entries.entry import Entry
    from inspect_app.logbook.store import Logbook
    log = Logbook(Path(sys.argv[1]), "phone")
    log.append(Entry("1", "job-1", "phone", "2026-03-02T08:00:00.000Z", "AB", "looked", {"check": "rod"}))
    print(len(log.entries("job-1")), log.verify())
"""


def test_a_log_needs_no_threads(tmp_path: Path) -> None:
    command = [sys.executable, "-c", textwrap.dedent(WITHOUT_THREADS), str(tmp_path / "log.db")]
    told = subprocess.run(command, capture_output=True, text=True, cwd=Path(__file__).parents[2], check=True)
    assert told.stdout.split() == ["1", "[]"]
