"""One job as one file: it arrives whole, in any order and as often as it likes, or is refused and leaves nothing.

INSPECT_EXAMPLES=10000 plays as many schedules of devices that exchange one.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from io import BytesIO
from itertools import count
from pathlib import Path
from random import Random
from zipfile import ZIP_DEFLATED, ZipFile

import pymupdf
import pytest
from click.testing import CliRunner
from conftest import EXAMPLES
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.demo import FILES, KINDS
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.issuing import issue_drawn, issue_report
from inspect_app.bench.listing import listed
from inspect_app.bench.proving import verify
from inspect_app.bench.testing import keep_log, look_into, taken
from inspect_app.commands.cli import main
from inspect_app.entries.deciding import Decision
from inspect_app.entries.entry import SHOP, Entry, body_text, chained
from inspect_app.entries.folding import fold
from inspect_app.entries.typed import MOST_NAME
from inspect_app.logbook.chains import Row
from inspect_app.logbook.store import Logbook
from inspect_app.trade.measuring.refusal import Refusal


def bench_at(folder: Path, hour: int) -> Bench:
    seconds = count()
    return Bench(
        folder, now=lambda: datetime(2026, 3, 2, hour, tzinfo=UTC) + timedelta(seconds=next(seconds))
    )


def jpeg(shade: int) -> bytes:
    file = BytesIO()
    Image.new("L", (640, 480), shade).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A job with a photograph and a report, as one computer exported it."""
    bench = bench_at(tmp_path_factory.mktemp("shop") / "shop", 6)
    job = bench.open_job("J-1", "AB")
    job = bench.take_photo(job, job.id, jpeg(90), "seen", "AB").job
    issue_drawn(bench, job, "AB", bench.logbook.head(job.id), b"%PDF drawn")
    made = pack_job(bench, job.id)
    bench.close()
    return made


@pytest.fixture
def shop(packed: bytes, tmp_path: Path) -> Iterator[Bench]:
    """Where that job was taken in."""
    bench = bench_at(tmp_path / "shop", 8)
    took(bench, packed)
    yield bench
    bench.close()


@pytest.fixture
def road(tmp_path: Path) -> Iterator[Bench]:
    """Another computer, whose clock is behind."""
    bench = bench_at(tmp_path / "road", 7)
    yield bench
    bench.close()


def took(bench: Bench, packed: bytes) -> list[str]:
    return take_in_job(bench, read_job(BytesIO(packed), "J-1.zip"))


def everything(bench: Bench) -> dict[str, bytes]:
    """What lies in a folder beside the log."""
    return {
        p.relative_to(bench.folder).as_posix(): p.read_bytes()
        for p in sorted(bench.folder.rglob("*"))
        if p.is_file() and p.parent != bench.folder
    }


def test_a_job_arrives_with_all_that_belongs_to_it_and_comes_back_with_more(shop: Bench, road: Bench) -> None:
    job = shop.jobs()[0].id
    packed = pack_job(shop, job)
    assert packed == pack_job(shop, job)
    assert took(road, packed) == ["J-1: 3 entries are new, 0 stood here already or are kept aside."]
    assert took(road, packed) == ["J-1: 0 entries are new, 3 stood here already or are kept aside."]
    assert everything(road) == everything(shop)
    assert verify(road) == []
    road.enter(road.job(job), Decision("rod", "reuse", "on the road"), "CD", "metric")
    road.take_photo(road.job(job), job, jpeg(10), "there", "CD")
    shop.enter(shop.job(job), Decision("rod", "replace", "in the shop"), "AB", "metric")
    there, here = pack_job(road, job), pack_job(shop, job)
    took(shop, there)
    took(road, here)
    assert shop.logbook.head(job) == road.logbook.head(job)
    assert shop.job(job) == road.job(job)
    decided = {e.body["reason"] for e in shop.logbook.entries(job) if e.kind == "decision"}
    assert decided == {"on the road", "in the shop"}
    assert len(shop.job(job).photos) == 2
    assert verify(shop) == verify(road) == []


def test_the_prompt_carries_a_job_from_one_folder_to_another(shop: Bench, tmp_path: Path) -> None:
    file, to = tmp_path / "J-1.zip", tmp_path / "there"
    out = CliRunner().invoke(main, ["export", "J-1", str(file), "--data", str(shop.folder)])
    assert out.exit_code == 0, out.output
    came = CliRunner().invoke(main, ["import", str(file), "--data", str(to)])
    assert came.exit_code == 0, came.output
    assert came.stdout.startswith("J-1: ")
    bad = tmp_path / "bad.zip"
    bad.write_bytes(b"no zip")
    refused = CliRunner().invoke(main, ["import", str(bad), "--data", str(tmp_path / "nobody")])
    assert refused.exit_code == 2
    assert "bad.zip is no job of this program" in refused.stderr
    assert not (tmp_path / "nobody").exists()


LOGGED = b"t [min];pressure [bar];oil temp [C]\n0;210.5;40.0\n5;210.3;40.0\n10;210.1;40.1\n"


def test_a_loggers_file_travels_with_its_job_and_mends_a_damaged_one(shop: Bench, road: Bench) -> None:
    job = shop.jobs()[0]
    shown = look_into("hold.csv", LOGGED, {})
    keep_log(shop.folder, LOGGED)
    shop.enter(job, taken(shown, "", ""), "AB", "metric")
    took(road, pack_job(shop, job.id))
    kept = road.folder / "logs" / f"{hashlib.sha256(LOGGED).hexdigest()}.csv"
    assert kept.read_bytes() == LOGGED
    assert everything(road) == everything(shop)
    assert verify(road) == []
    kept.write_bytes(b"0;999")
    assert any("hold.csv in the folder logs was changed" in told for told in verify(road))
    took(road, pack_job(shop, job.id))
    assert verify(road) == []


def test_each_demo_job_goes_through_the_prompt_into_an_empty_folder_whole(
    demo_made: tuple[Path, str], tmp_path: Path
) -> None:
    shop = shutil.copytree(demo_made[0], tmp_path / "shop")
    there = tmp_path / "there"
    bench = bench_at(shop, 8)
    names = [job.name for job in bench.jobs()]
    bench.close()
    assert len(names) == len(KINDS) + len(FILES)
    for n, name in enumerate(names):
        file = str(tmp_path / f"{n}.zip")
        for words in (("export", name, file, "--data", str(shop)), ("import", file, "--data", str(there))):
            ran = CliRunner().invoke(main, words)
            assert ran.exit_code == 0, ran.output
    proven = CliRunner().invoke(main, ["verify", "--data", str(there)])
    assert proven.exit_code == 0, proven.output
    sent, came = bench_at(shop, 9), bench_at(there, 9)
    for job in sent.jobs():
        assert came.job(job.id) == job
        assert came.logbook.head(job.id) == sent.logbook.head(job.id)
    sent.close()
    came.close()
    kept = [{p.name for p in (folder / "reports").rglob("*.pdf")} for folder in (shop, there)]
    assert kept[0] == kept[1] != set()


# ---- hostile files

Spoil = Callable[[dict[str, bytes]], object]


def rewritten(change: Callable[[list[dict[str, str]]], object], again: bool = True) -> Spoil:
    """The entries changed, and every link and hash made right again, or left."""

    def spoil(files: dict[str, bytes]) -> None:
        said = [json.loads(line) for line in files["entries.jsonl"].decode().splitlines()]
        change(said)
        if again:
            ends: dict[str, str] = {}
            for row in said:
                row["previous"] = ends.get(row["device"], "")
                row["hash"] = chained(
                    row["previous"], Entry(*[row[k] for k in Row._fields[:6]], {}), row["body"]
                )
                ends[row["device"]] = row["hash"]
        files["entries.jsonl"] = "".join(json.dumps(row) + "\n" for row in said).encode()

    return spoil


def named(name: str, content: bytes = b"x") -> Spoil:
    return lambda files: files.update({name: content})


def photograph_of(content: bytes) -> Spoil:
    sha256 = hashlib.sha256(content).hexdigest()
    return named(f"photos/{sha256[:2]}/{sha256}.jpg", content)


def swelling(squeezed: bool) -> bytes:
    file = BytesIO()
    with ZipFile(file, "w", ZIP_DEFLATED if squeezed else 0) as packed:
        packed.writestr("checklists/cylinders/a.toml", bytes(1_000_000))
    return file.getvalue()


KEPT = f"tables/{'a' * 12}-{'a' * 12}.zip"
HOSTILE: dict[str, tuple[Spoil, str]] = {
    "a path upward": (named("../outside.jpg"), "belongs to no job"),
    "a path from the root": (named("/etc/passwd"), "belongs to no job"),
    "a path upward in photos": (named("photos/../../x.jpg"), "belongs to no job"),
    "a path of another system": (named("photos\\..\\x.jpg"), "belongs to no job"),
    "a logbook": (named("logbook.db"), "belongs to no job"),
    "limits of the shop": (named("limits/ours.toml"), "belongs to no job"),
    "a photograph that is none": (photograph_of(b"not a picture"), "no photograph known here"),
    "a photograph under another's name": (named("photos/aa/" + "a" * 64 + ".jpg", jpeg(1)), "arrived changed"),
    "a report under another's name": (named("reports/" + "a" * 64 + ".pdf"), "arrived changed"),
    "a log under another's name": (named("logs/" + "a" * 64 + ".csv"), "arrived changed"),
    "a log beside its folder": (named("logs/hold.csv"), "belongs to no job"),
    "kept limits that swell": (named(KEPT, swelling(True)), "arrived changed"),
    "kept limits that are none": (named(KEPT), "no job of this program"),
    "no entries": (lambda files: files.pop("entries.jsonl"), "no job of this program"),
    "entries that are none": (named("entries.jsonl", b"[1, 2]\n"), "no job of this program"),
    "entries of numbers": (named("entries.jsonl", b'{"id": 1}\n'), "no job of this program"),
    "entries deep as a well": (named("entries.jsonl", b"[" * 100_000), "no job of this program"),
    "an endless count of entries": (named("entries.jsonl", b"{}\n" * 200_001), "more entries than a job can have"),
    "entries of another job": (rewritten(lambda rows: rows[0].update(job="other")), "of another job"),
    "entries of the shop's settings": (rewritten(lambda rows: [r.update(job=SHOP) for r in rows]), "of another job"),
    "a changed entry": (rewritten(lambda rows: rows[0].update(by="XY"), again=False), "was changed after it was"),
    "a lost first entry": (rewritten(lambda rows: rows.pop(0), again=False), "that is not here"),
    "a time that is none": (rewritten(lambda rows: [r.update(at="yesterday") for r in rows]), "time is UTC"),
    "a time nobody has": (rewritten(lambda rows: [r.update(at="9999-12-31T23:59:59.999Z") for r in rows]), "UTC"),
    "an endless device": (rewritten(lambda rows: [r.update(device="d" * 101) for r in rows]), "at most 100 char"),
    "half a character": (rewritten(lambda rows: rows[0].update(by="\ud83d"), again=False), "changed|half a char"),
}  # fmt: skip


def spoiled(packed: bytes, spoil: Spoil) -> bytes:
    """The job's file with something other in it, its manifest made right again."""
    with ZipFile(BytesIO(packed)) as reading:
        files = {name: reading.read(name) for name in reading.namelist()}
    manifest = json.loads(files.pop("manifest.json"))
    spoil(files)
    manifest["files"] = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    file = BytesIO()
    with ZipFile(file, "w") as writing:
        for name, content in {"manifest.json": json.dumps(manifest).encode(), **files}.items():
            writing.writestr(name, content)
    return file.getvalue()


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_file_is_refused_in_words_and_nothing_is_taken_in(
    what: str, packed: bytes, road: Bench
) -> None:
    spoil, sentence = HOSTILE[what]
    hostile = spoiled(packed, spoil)
    with pytest.raises(Refusal, match=sentence) as told:
        took(road, hostile)
    assert str(told.value).endswith(".")
    assert road.jobs() == []
    assert everything(road) == {}


def test_what_follows_a_lost_entry_is_kept_aside_until_that_comes(packed: bytes, road: Bench) -> None:
    cut = spoiled(packed, rewritten(lambda rows: rows.pop(1), again=False))
    came, aside = took(road, cut)
    assert came == "J-1: 1 entry is new, 1 stood here already or are kept aside."
    assert "1 entry of device" in aside
    assert "follows an entry that is not here" in aside
    assert road.logbook.remarks(road.jobs()[0].id) == [aside]
    assert aside in verify(road)
    assert took(road, packed) == ["J-1: 2 entries are new, 1 stood here already or are kept aside."]
    assert verify(road) == []


def test_a_file_that_was_cut_changed_or_squeezed_is_refused(packed: bytes, shop: Bench, road: Bench) -> None:
    cut = [packed[:end] for end in range(0, len(packed), len(packed) // 12)]
    flipped = [
        packed[:n] + bytes([packed[n] ^ 1]) + packed[n + 1 :]
        for n in range(9, len(packed), len(packed) // 30)
    ]
    squeezed = BytesIO()
    with ZipFile(BytesIO(packed)) as reading, ZipFile(squeezed, "w", ZIP_DEFLATED) as writing:
        for name in reading.namelist():
            writing.writestr(name, reading.read(name))
    newer = BytesIO()
    with ZipFile(newer, "w") as writing:
        writing.writestr("manifest.json", '{"form": "inspect job 2"}')
    for other in (*cut, squeezed.getvalue(), newer.getvalue(), *flipped):
        try:
            took(road, other)
        except Refusal:
            assert road.jobs() == []
            assert everything(road) == {}
        else:  # a bit of the zip's own bookkeeping, such as a date: all that belongs to the job is as it was
            assert other in flipped
            assert road.logbook.rows(shop.jobs()[0].id) == shop.logbook.rows(shop.jobs()[0].id)
            break


def test_a_kind_of_a_newer_version_is_kept_and_counted(shop: Bench, road: Bench) -> None:
    job = shop.jobs()[0].id
    rows = shop.logbook.rows(job)
    entry = Entry("n1", job, "newer", "2026-03-02T12:00:00.000Z", "AB", "thermogram", {"of": "rod"})
    body = body_text(entry.body)
    newer = Row(
        *rows[0]._replace(id="n1", device="newer", at=entry.at, by="AB", kind="thermogram", body=body)
    )
    newer = newer._replace(previous="", hash=chained("", entry, body))
    add = lambda files: files.update(  # noqa: E731
        {"entries.jsonl": files["entries.jsonl"] + (json.dumps(newer._asdict()) + "\n").encode()}
    )
    took(road, spoiled(pack_job(shop, job), add))
    assert road.job(job).unknown == 1
    assert newer in road.logbook.rows(job)


def test_a_text_longer_than_anybody_types_is_shown_cut_and_kept_whole(packed: bytes, road: Bench) -> None:
    long = "Quarry " * 15_000

    def lengthened(rows: list[dict[str, str]]) -> None:
        body = json.loads(rows[0]["body"])
        rows[0].update(
            body=body_text(body | {"name": long, "typed_off": {long: long, "date": "today"}}), by=long
        )

    took(road, spoiled(packed, rewritten(lengthened)))
    (job,) = road.jobs()
    assert job.name == long[: MOST_NAME - 1] + "…"
    assert job.opened_by == long[:MOST_NAME]
    assert job.typed_off == {"file": "", "sha256": "", "date": "", "units": ""}
    assert [row.line.name for row in listed(road, "", 9).rows] == [job.name]
    assert long in road.logbook.rows(job.id)[0].body
    assert road.logbook.verify() == []
    sha256 = issue_report(road, job, "AB", "metric").sha256
    assert pymupdf.open(road.folder / "reports" / f"{sha256}.pdf").page_count < 8
    shop = bench_at(road.folder.parent / "back", 9)
    took(shop, pack_job(road, job.id))
    assert shop.logbook.rows(job.id) == road.logbook.rows(job.id)
    shop.close()


# ---- many devices


@dataclass
class Device:
    """One of several that work on a job: its log, its clock, and what is under way to it."""

    name: str
    log: Logbook
    ms: int = 0
    coming: list[list[Row]] = field(default_factory=list)


class Schedule:
    """Devices that enter, send, lose, copy and restore as chance has it.

    Args:
        seed: of the chance.
        folder: where their logs lie.
    """

    def __init__(self, seed: int, folder: Path) -> None:
        self.chance, self.folder, self.names = Random(seed), folder, count()
        self.entered: set[str] = set()
        self.lost: set[str] = set()
        self.devices = [self.device() for _ in range(3)]

    def device(self, rows: tuple[Row, ...] = ()) -> Device:
        name = f"d{next(self.names)}"
        device = Device(name, Logbook(self.folder / f"{name}.db", name, throw_away=True))
        device.log.take_over(rows)
        return device

    def enter(self, at: Device) -> None:
        at.ms = max(
            at.ms + 1, self.chance.choice((at.ms, self.chance.randrange(10**9)))
        )  # its clock may jump
        moment = datetime.fromtimestamp(1_772_000_000 + at.ms / 1000, UTC).isoformat(timespec="milliseconds")
        known = at.log.entries("J")
        kind, body = "decision", {"part": "rod", "disposition": "reuse", "reason": f"{at.name} {at.ms}"}
        if known and self.chance.random() < 0.2:
            kind, body = "undo", {"of": self.chance.choice(known).id}
        entry = Entry(f"{at.name}-{at.ms:010}", "J", at.name, moment.replace("+00:00", "Z"), "AB", kind, body)
        at.log.append(entry)
        self.entered.add(entry.id)

    def send(self, at: Device) -> None:
        rows = list(at.log.rows("J"))
        how = self.chance.random()
        if how < 0.3:
            self.chance.shuffle(rows)  # reordered
        elif how < 0.5:
            rows = rows[: self.chance.randrange(len(rows) + 1)]  # half sent
        elif how < 0.6:
            rows = [row for row in rows if self.chance.random() < 0.5]  # with holes
        for other in self.devices:
            for _ in range(self.chance.choice((0, 1, 1, 2))):  # dropped, sent, sent twice
                other.coming.insert(self.chance.randrange(len(other.coming) + 1), rows)

    def arrive(self, at: Device) -> None:
        if at.coming:
            at.log.take_over(at.coming.pop())

    def copy(self, at: Device) -> None:
        if len(self.devices) < 5:
            self.devices.append(self.device(at.log.rows("J")))  # a copied folder goes on as another device

    def restore(self, at: Device) -> None:
        rows = at.log.rows("J")
        kept = rows[: self.chance.randrange(len(rows) + 1)]
        elsewhere = {row.id for other in self.devices if other is not at for row in other.log.rows("J")}
        # what is still under way may arrive, or want an entry before it that nobody has any more
        self.lost |= {row.id for row in rows[len(kept) :]} - elsewhere
        at.log.close()
        self.devices[self.devices.index(at)] = self.device(kept)  # and so does a restored one
        self.devices[-1].coming += at.coming

    def play(self, steps: int) -> None:
        deeds = (
            self.enter,
            self.enter,
            self.enter,
            self.send,
            self.send,
            self.arrive,
            self.arrive,
            self.arrive,
        )
        for _ in range(steps):
            deed = self.chance.choice(
                (*deeds, self.copy, self.restore) if self.chance.random() < 0.3 else deeds
            )
            deed(self.chance.choice(self.devices))
        for _ in range(2):  # in the end everybody hears of everything
            for one in self.devices:
                for other in self.devices:
                    while other.coming:
                        self.arrive(other)
                    other.log.take_over(one.log.rows("J"))

    def waiting_in_vain(self, at: Device) -> list[Row]:
        """What a device keeps aside: a restore lost the entry before it, and no log holds that any more."""
        aside = [Row(*json.loads(text)) for (text,) in at.log._rows("SELECT row FROM aside")]
        here = {row.hash for row in at.log.rows("J")}  # all logs hold the same in the end
        for row in aside:
            assert row.previous not in here, row
            assert row.id in self.lost, row
        return aside

    def states(self) -> set[str]:
        """What each device holds and makes of it, as a hash."""
        return {
            hashlib.sha256(repr((d.log.head("J").hash, fold("J", d.log.entries("J")))).encode()).hexdigest()
            for d in self.devices
        }


def test_devices_that_exchange_a_job_in_any_way_come_to_the_same_and_lose_nothing() -> None:
    chance = Random()
    seeds = range(6) if EXAMPLES <= 20 else [chance.randrange(10**9) for _ in range(EXAMPLES)]
    where = "/dev/shm" if Path("/dev/shm").is_dir() else None
    for seed in seeds:
        with tempfile.TemporaryDirectory(dir=where) as folder:
            schedule = Schedule(seed, Path(folder))
            schedule.play(40)
            found = {e.id for e in schedule.devices[0].log.entries("J")}
            assert len(schedule.states()) == 1, f"seed {seed}"
            assert schedule.entered - schedule.lost <= found <= schedule.entered, f"seed {seed}"
            for device in schedule.devices:
                chains = {row.device for row in schedule.waiting_in_vain(device)}
                told = device.log.verify()
                assert all("follows an entry that is not here" in b.sentence for b in told), f"seed {seed}"
                assert len(told) == len(chains), f"seed {seed}"
                device.log.close()
