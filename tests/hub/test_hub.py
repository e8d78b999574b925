"""A hub on a real PostgreSQL: what arrives is whole, comes once, stays, and is refused in words where it is false."""

from __future__ import annotations

import asyncio
import shutil
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from io import BytesIO
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image
from postgres import Cluster, cluster

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.issuing import issue_drawn
from inspect_app.bench.proving import verify
from inspect_app.commands.cli import main
from inspect_app.entries.deciding import Decision
from inspect_app.entries.entry import Entry, chained
from inspect_app.hub.connecting import connected, make
from inspect_app.hub.entering import Files, Mark, take_in
from inspect_app.hub.pulling import pull
from inspect_app.hub.pushing import push
from inspect_app.hub.relaying import relay
from inspect_app.hub.standing import forks, put_back, standing, waiting
from inspect_app.logbook.chains import Row, link_of
from inspect_app.serve.catching_up import CatchingUp
from inspect_app.trade.measuring.refusal import Refusal

UNREAD = "{} entries at the hub are not in this folder."


@pytest.fixture(scope="module")
def server() -> Iterator[Cluster]:
    with cluster() as server:
        yield server


@pytest.fixture(scope="module")
def made(server: Cluster) -> str:
    """A hub with three sites, to be copied; the name of its database."""
    name = server.database()
    with connected(server.url(name)) as to:
        make(to)
        for login in ("north", "south", "east", "fleet", "relay"):
            to.execute(f"CREATE ROLE {login} LOGIN".encode())
        to.execute("GRANT hub_fleet TO fleet; GRANT hub_relay TO relay")
        for site in ("north", "south", "east"):
            to.execute("SELECT hub.let_in(%s, %s, %s)", (site, site, f"Workshop {site}"))
    return name


def emptied(server: Cluster, name: str) -> str:
    """A hub as it was made, emptied as only who runs the server can: to make another takes longer."""
    with connected(server.url(name)) as to:
        to.execute("SET session_replication_role = replica")
        to.execute("TRUNCATE hub.device, hub.entry, hub.mark, hub.file, hub.lacking")
    return name


@pytest.fixture
def hub(server: Cluster, made: str) -> str:
    """A hub with three sites and nothing else; the name of its database."""
    return emptied(server, made)


def bench_at(folder: Path, hour: int = 6, device: str | None = None) -> Bench:
    seconds = count()
    return Bench(
        folder,
        now=lambda: datetime(2026, 3, 2, hour, tzinfo=UTC) + timedelta(seconds=next(seconds)),
        device=device,
        throw_away=True,
    )


def jpeg(shade: int) -> bytes:
    file = BytesIO()
    Image.new("L", (64, 48), shade).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture
def shop(tmp_path: Path) -> Bench:
    """A folder with a job, a photograph and a report."""
    return furnished(tmp_path / "shop", 6)


def furnished(folder: Path, hour: int) -> Bench:
    bench = bench_at(folder, hour)
    job = bench.open_job(f"J-{hour}", "AB")
    job = bench.take_photo(job, job.id, jpeg(hour), "seen", "AB").job
    issue_drawn(bench, job, "AB", bench.logbook.head(job.id), b"%PDF drawn")
    decide(bench, "worn")
    return bench


def decide(bench: Bench, reason: str) -> None:
    bench.enter(bench.jobs()[0], Decision("rod", "reuse", reason), "CD", "metric")


def beside(bench: Bench) -> dict[str, bytes]:
    """What lies in a folder beside the log."""
    files = (p for p in sorted(bench.folder.rglob("*")) if p.is_file() and p.parent != bench.folder)
    files = (p for p in files if p.suffix != ".original")  # the camera's own file stays where it was taken
    return {p.relative_to(bench.folder).as_posix(): p.read_bytes() for p in files}


def rows_of(bench: Bench) -> list[Row]:
    return [row for _, row in bench.logbook.since(0, 10_000)]


def test_what_was_pushed_is_pulled_elsewhere_whole_and_once(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    van = furnished(tmp_path / "van", 7)
    with connected(server.url(hub, "north")) as at:
        assert waiting(shop, at) == "4 entries not yet at the hub."
        came = push(shop, at)
        assert (came.new, came.files, came.lacking, came.others) == (4, 4, 0, 0)
        assert waiting(shop, at) == "All entries are at the hub."
        assert push(shop, at).new == 0
        assert push(van, at).new == 4
        decide(shop, "later")
        assert push(shop, at).new == 1
        came_here = pull(van, at)
        assert (came_here.new, came_here.files, came_here.lacking, came_here.refused) == (5, 2, 0, ())
        assert (pull(van, at).new, pull(shop, at).new, pull(shop, at).new) == (0, 4, 0)
        assert set(rows_of(van)) == set(rows_of(shop))
        assert beside(van) == beside(shop)
        assert verify(van) == verify(shop) == []
        assert {job.name for job in van.jobs()} == {"J-6", "J-7"}
        decide(van, "in the van")  # its own entries are not read off the hub again
        push(van, at)
        assert (pull(van, at).new, pull(shop, at).new) == (0, 1)


def test_gauges_and_settings_of_another_shop_stay_there(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    shop.set_setting("phone", "units", "inch", "AB")
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        van = bench_at(tmp_path / "van")
        assert pull(van, at).new == 4
        assert {row.job for row in rows_of(van)} == {shop.jobs()[0].id}
        assert at.execute("SELECT count(*) FROM hub.entry WHERE job = 'shop'").fetchone() == (1,)


def test_a_log_that_lost_its_end_gets_it_back(server: Cluster, hub: str, shop: Bench, tmp_path: Path) -> None:
    before = shutil.copytree(shop.folder, tmp_path / "backup")
    decide(shop, "lost soon")
    shop.set_setting("phone", "units", "inch", "AB")
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        back = bench_at(before)
        assert pull(back, at).new == 2
        assert rows_of(back) == rows_of(shop)
        assert push(back, at).new == 0


# ---- what is false

Spoil = Callable[[list[Row]], list[Row]]


def made_right(rows: list[Row]) -> list[Row]:
    """Every link made anew over what the rows say now."""
    made: list[Row] = []
    for row in rows:
        row = row._replace(previous=made[-1].hash if made else "")
        made.append(row._replace(hash=link_of(row)))
    return made


def changed(nth: int, **fields: str) -> Spoil:
    return lambda rows: [row._replace(**fields) if n == nth else row for n, row in enumerate(rows)]


FALSE: dict[str, tuple[Spoil, str]] = {
    "a changed body": (changed(1, body="{}"), "was changed after it was written"),
    "other initials": (changed(2, by="XY"), "was changed after it was written"),
    "a link made up": (changed(3, hash="a" * 64), "was changed after it was written"),
    "an entry left out": (lambda rows: [*rows[:1], *rows[2:]], "has lost the entry before it"),
    "a beginning left out": (lambda rows: rows[1:], "has lost the entry before it"),
    "another order": (lambda rows: [rows[1], rows[0], *rows[2:]], "has lost the entry before it"),
    "an entry twice": (lambda rows: [*rows, rows[-1]], "duplicate key"),
    "a time before": (lambda rows: made_right(changed(2, at="2026-03-01T00:00:00.000Z")(rows)), "has a time before"),
    "a thirteenth month": (lambda rows: made_right(changed(3, at="2026-13-02T00:00:00.000Z")(rows)), "out of range"),
    "a year that is none": (lambda rows: made_right(changed(3, at="9999-12-31T00:00:00.000Z")(rows)), "a time is UTC"),
    "a sign between fields": (lambda rows: made_right(changed(1, by="A\x1fB")(rows)), "all but the body is one line"),
    "no kind": (lambda rows: made_right(changed(1, kind="")(rows)), "an entry has an id"),
    "a device nobody knows": (lambda rows: [row._replace(device="?") for row in rows], "does not allow"),
}  # fmt: skip


@pytest.fixture(scope="module")
def true_rows(tmp_path_factory: pytest.TempPathFactory) -> list[Row]:
    return rows_of(furnished(tmp_path_factory.mktemp("true") / "shop", 6))


@pytest.fixture(scope="module")
def forged_at(server: Cluster, made: str, true_rows: list[Row]) -> str:
    """A hub that knows the device, and nothing of it: nothing false ever comes in."""
    name = emptied(server, server.copy(made))
    with connected(server.url(name)) as to:
        to.execute("INSERT INTO hub.device VALUES (%s, 'north')", (true_rows[0].device,))
    return name


@pytest.mark.parametrize("what", FALSE)
def test_a_false_entry_is_refused_in_words_with_all_that_came_with_it(
    what: str, server: Cluster, forged_at: str, true_rows: list[Row]
) -> None:
    spoil, words = FALSE[what]
    device = true_rows[0].device
    with pytest.raises(Refusal, match=words) as told, connected(server.url(forged_at, "north")) as at:
        take_in(at, spoil(true_rows), Mark(device, device, 4, ""))
    assert str(told.value).endswith("Nothing that came with it was taken.") or "allow" in str(told.value)
    with connected(server.url(forged_at)) as at:
        assert at.execute("SELECT count(*) FROM hub.entry").fetchone() == (0,)
        assert at.execute("SELECT count(*) FROM hub.mark").fetchone() == (0,)


def test_a_client_that_asks_nobody_gets_no_further(server: Cluster, hub: str, shop: Bench) -> None:
    sql = "INSERT INTO hub.entry VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"
    with connected(server.url(hub)) as at:
        at.execute("INSERT INTO hub.device VALUES (%s, 'north')", (shop.logbook.device,))

    def by_hand(row: Row, number: int, aside: bool = False) -> None:
        with connected(server.url(hub, "north")) as at:
            at.execute(sql, (row.id, row.device, number, row.job, *row[3:], aside))

    first, second = rows_of(shop)[:2]
    with pytest.raises(Refusal, match="gap at or after number 2"):
        by_hand(first, 2)
    with pytest.raises(Refusal, match="gap at or after number 0"):
        by_hand(first, 0)
    with pytest.raises(Refusal, match="has lost the entry before it"):
        by_hand(first, 1, aside=True)  # hidden, and yet the only one
    by_hand(first, 1)
    with pytest.raises(Refusal, match="gap at or after number 3"):
        by_hand(second, 3)
    with pytest.raises(Refusal, match="duplicate key"):
        by_hand(second, 1)
    by_hand(second, 2)


@pytest.mark.parametrize("login", ["postgres", "north", "relay"])
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE hub.entry SET by = 'XY'",
        "DELETE FROM hub.entry",
        "TRUNCATE hub.entry",
        "UPDATE hub.file SET content = ''",
        "DELETE FROM hub.file",
    ],
)
def test_what_stands_is_changed_by_nobody(sql: str, login: str, server: Cluster, kept_at: str) -> None:
    with (
        pytest.raises(Refusal, match=r"never changed or removed|does not allow"),
        connected(server.url(kept_at, login)) as at,
    ):
        at.execute(sql.encode())


@pytest.fixture(scope="module")
def kept_at(server: Cluster, made: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    name = emptied(server, server.copy(made))
    with connected(server.url(name, "north")) as at:
        push(furnished(tmp_path_factory.mktemp("kept") / "shop", 6), at)
    return name


def test_an_entry_that_says_something_else_under_a_known_id_is_refused(server: Cluster, kept_at: str) -> None:
    with connected(server.url(kept_at)) as at:
        row = Row(
            *at.execute(
                f"SELECT {', '.join(Row._fields)} FROM hub.entry ORDER BY pos DESC LIMIT 1"
            ).fetchone()
        )
        other = row._replace(by="XY")
        other = other._replace(hash=link_of(other))
        with (
            pytest.raises(Refusal, match="stands in the hub already and says something else"),
            connected(server.url(kept_at, "north")) as north,
        ):
            take_in(north, [other], Mark(row.device, row.device, 1, ""))


def test_a_kind_nobody_knows_and_a_body_no_jsonb_takes_are_kept_as_they_are(
    server: Cluster, hub: str, shop: Bench
) -> None:
    device, body = shop.logbook.device, '{"of":"\\u0000rod","b":1,"a":2}'
    entry = Entry("n1", "other", device, "2026-03-02T12:00:00.000Z", "AB", "thermogram", {})
    newer = Row(*(getattr(entry, name) for name in Row._fields[:6]), body, "", chained("", entry, body))
    shop.logbook.take_over([newer])
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        assert at.execute("SELECT body FROM hub.entry WHERE id = 'n1'").fetchone() == (body,)


# ---- files


def test_a_photograph_that_is_not_here_is_named_and_comes_when_somebody_has_it(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    photo = next(p for p in sorted(shop.photos.rglob("*.jpg")) if ".thumb" not in p.name)
    away = photo.rename(tmp_path / "away.jpg")
    with connected(server.url(hub, "north")) as at:
        assert push(shop, at).lacking == 1
        van = bench_at(tmp_path / "van")
        assert pull(van, at).lacking == 1
        photo.write_bytes(jpeg(200))  # damaged: it does not come either
        assert push(shop, at).lacking == 1
        away.rename(photo)
        came = push(shop, at)
        assert (came.new, came.files, came.lacking) == (0, 1, 0)
        came_here = pull(van, at)
        assert (came_here.files, came_here.lacking) == (1, 0)
        assert beside(van) == beside(shop)


def test_a_file_is_what_its_name_says(server: Cluster, hub: str) -> None:
    with connected(server.url(hub, "north")) as at:
        files = Files(at, "north")
        for name in (f"photos/aa/{'a' * 64}.jpg", f"reports/{'a' * 64}.pdf", "photos/../x.jpg", "logbook.db"):
            assert not files.put(name, b"x")
        kept = f"tables/{'a' * 12}-{'b' * 12}.zip"
        assert files.put(kept, b"one")
        assert files.put(kept, b"two")
        assert files.get(kept) == b"one"
        assert files.known([kept, "x"]) == {kept}


# ---- copies, backups


def test_both_branches_of_a_copied_folder_arrive_and_the_later_one_is_named(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    job = shop.jobs()[0].id
    copied = bench_at(shutil.copytree(shop.folder, tmp_path / "copy"), 7)
    for n in range(3):
        decide(shop, f"here {n}")
        decide(copied, f"there {n}")
    with connected(server.url(hub, "north")) as at:
        assert push(shop, at).aside == 0
        came = push(copied, at)
        assert (came.new, came.aside) == (3, 3)
        (told,) = forks(at)
        assert f"Device {shop.logbook.device} of site north, job {job}: 3 entries from 2026-03-02T07" in told
        decide(shop, "on")
        decide(copied, "on as well")
        assert (push(shop, at).aside, push(copied, at).aside) == (0, 1)
        assert push(shop, at).new == push(copied, at).new == 0
        assert {row.id for row in (*rows_of(shop), *rows_of(copied))} == {
            entry for (entry,) in at.execute("SELECT id FROM hub.entry")
        }


def test_a_hub_put_back_is_noticed_and_fed_again(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    van = furnished(tmp_path / "van", 7)
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        pull(van, at)
    older = server.copy(hub)
    decide(shop, "after the backup")
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        pull(van, at)
    with connected(server.url(older, "north")) as at:
        (told,) = put_back(shop, at)
        assert "0 entries at the hub are not in this folder." in standing(shop, at)
        assert told.startswith(
            "The hub was put back, or moved, since it was met last: it lacks 1 entry that it had"
        )
        assert push(shop, at).new == 1
        assert list(put_back(shop, at)) == []
        push(van, at)
        assert pull(van, at).refused == ()
        assert pull(shop, at).new == 4
        assert set(rows_of(van)) == set(rows_of(shop))


def test_a_folder_put_back_does_not_pass_for_a_hub_put_back(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    before = shutil.copytree(shop.folder, tmp_path / "backup")
    decide(shop, "after the backup")
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
        shutil.copy(shop.folder / "hubs.json", before)
        back = bench_at(before)
        assert list(put_back(back, at)) == []
        assert waiting(back, at) == "All entries are at the hub."
        assert push(back, at).new == 0
        entry = Entry("d1", "shop", "another", "2026-03-02T12:00:00.000Z", "", "device", {"continues": "it"})
        back.logbook.become("another", entry)
        assert list(put_back(back, at)) == []
        assert push(back, at).new == 1


# ---- who may what


def test_a_site_sees_and_adds_its_own_and_the_fleet_sees_all(
    server: Cluster, hub: str, tmp_path: Path
) -> None:
    sites = {
        name: furnished(tmp_path / name, hour) for hour, name in enumerate(("north", "south", "east"), 6)
    }
    for name, bench in sites.items():
        with connected(server.url(hub, name)) as at:
            assert push(bench, at).new == 4
    for name, bench in sites.items():
        with connected(server.url(hub, name)) as at:
            for table in ("entry", "device", "mark"):
                column = "id" if table == "device" else "device"
                seen = at.execute(f"SELECT DISTINCT {column} FROM hub.{table}".encode()).fetchall()
                assert seen == [(bench.logbook.device,)]
            assert at.execute("SELECT DISTINCT site FROM hub.file").fetchall() == [(name,)]
            assert pull(bench, at).new == 0
            other = sites["south" if name == "north" else "north"]
            with pytest.raises(Refusal, match="belongs to another site"):
                push(other, at)
            mark = Mark(other.logbook.device, other.logbook.device, 99, "")
            with pytest.raises(Refusal, match="row-level security"), connected(server.url(hub, name)) as own:
                take_in(own, [], mark)  # or that site would never send again
            with pytest.raises(Refusal, match="row-level security"), connected(server.url(hub, name)) as own:
                Files(own, "south" if name == "north" else "north").put(
                    f"tables/{'a' * 12}-{'b' * 12}.zip", b"x"
                )
    fleet = bench_at(tmp_path / "fleet")
    with connected(server.url(hub, "fleet")) as at:
        assert pull(fleet, at).new == 12
        with pytest.raises(Refusal, match="belongs to no site"):
            push(fleet, at)
    with pytest.raises(Refusal, match="does not allow"), connected(server.url(hub, "fleet")) as at:
        at.execute("INSERT INTO hub.site VALUES ('west', 'West')")


def test_a_job_that_travelled_by_file_comes_from_its_own_site(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    """And from a phone alone by whoever took it in."""
    phone, van = furnished(tmp_path / "phone", 5), bench_at(tmp_path / "van")
    for bench in (shop, phone):
        packed = pack_job(bench, bench.jobs()[0].id)
        take_in_job(van, read_job(BytesIO(packed), "job.zip"))
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
    with connected(server.url(hub, "south")) as at:
        assert UNREAD.format(0) in standing(van, at)
        came = push(van, at)
        assert (came.new, came.others) == (4, 4)
        # what it brought for the phone it has, though it never read it off the hub; what the phone adds, it lacks
        assert UNREAD.format(0) in standing(van, at)
        decide(phone, "later")
        packed = pack_job(phone, phone.jobs()[0].id)
        beside = bench_at(tmp_path / "beside")
        take_in_job(beside, read_job(BytesIO(packed), "job.zip"))
        push(beside, at)
        assert UNREAD.format(1).replace("entries at the hub are", "entry at the hub is") in standing(van, at)
        pull(van, at)
        assert UNREAD.format(0) in standing(van, at)
        decide(van, "one more")
        assert "1 entry not yet at the hub." in standing(van, at)


# ---- two hubs


def test_two_hubs_come_to_hold_the_same(
    server: Cluster, made: str, hub: str, shop: Bench, tmp_path: Path
) -> None:
    other = emptied(server, server.copy(made))
    van = furnished(tmp_path / "van", 7)
    with connected(server.url(hub, "north")) as at:
        push(shop, at)
    with connected(server.url(other, "south")) as at:
        push(van, at)
    everything = "SELECT {} FROM hub.{} ORDER BY 1, 2"
    with connected(server.url(hub, "relay")) as a, connected(server.url(other, "relay")) as b:
        assert (relay(a, b).new, relay(b, a).new, relay(a, b).new) == (4, 4, 0)
        for table, columns in (
            ("entry", "id, device, pos, body, hash, aside"),
            ("file", "*"),
            ("device", "*"),
        ):
            both = [hub.execute(everything.format(columns, table).encode()).fetchall() for hub in (a, b)]
            assert both[0] == both[1]
            assert both[0]
    decide(shop, "later")
    with connected(server.url(other, "north")) as at:
        assert push(shop, at).new == 1  # a site may turn to the other hub
    with connected(server.url(hub, "relay")) as a, connected(server.url(other, "relay")) as b:
        assert relay(b, a).new == 1
    said = run("hub", "push", server.url(other, "relay"), "--from", server.url(hub, "relay"))
    assert said.stdout == "0 entries and 0 files are new at the hub.\n"


# ---- at the prompt


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def test_the_prompt_makes_feeds_reads_and_asks_a_hub(server: Cluster, shop: Bench, tmp_path: Path) -> None:
    owner, name = "postgres", server.database()
    made = run("hub", "init", server.url(name, owner))
    assert made.stdout == f"The hub is made in the database {name}.\n"
    again = run("hub", "init", server.url(name, owner))
    assert "there already" in again.stdout
    stranger = run("hub", "push", server.url(name, owner), "--data", shop.folder)
    assert stranger.exit_code == 2
    assert "SELECT hub.let_in('postgres', 'north', 'Workshop north');" in stranger.stderr
    with connected(server.url(name, owner)) as at:
        at.execute("SELECT hub.let_in('north', 'north', 'Workshop north')")
    north = server.url(name, "north")
    assert (
        run("hub", "push", north, "--data", shop.folder).stdout
        == "4 entries and 4 files are new at the hub.\n"
    )
    pulled = run("hub", "pull", north, "--data", tmp_path / "van")
    assert pulled.stdout == "4 entries and 4 files are new here.\n"
    told = run("hub", "status", north, "--data", tmp_path / "van").stdout.splitlines()
    assert told == [
        f"Hub {name}: 4 entries of 1 device at 1 site.",
        "All entries are at the hub.",
        "0 entries at the hub are not in this folder.",
    ]
    away = run("hub", "status", f"postgresql://north@/{name}?host={tmp_path}", "--data", shop.folder)
    assert (away.exit_code, away.stderr.startswith("The hub cannot be reached: ")) == (2, True)
    empty = run("hub", "status", server.url(server.database()), "--data", shop.folder)
    assert "There is no hub in this database; make one with `inspect-app hub init`." in empty.stderr


def test_a_hub_of_a_newer_version_is_left_alone(server: Cluster, hub: str, shop: Bench) -> None:
    with connected(server.url(hub)) as at:
        at.execute("UPDATE hub.this SET form = form + 98")
    with pytest.raises(Refusal, match="its form is 99"), connected(server.url(hub, "north")) as at:
        push(shop, at)
    with connected(server.url(hub)) as at:
        at.execute("UPDATE hub.this SET form = form - 98")


# ---- a served folder


def said(catching_up: CatchingUp) -> tuple[str, str]:
    (note,) = catching_up.notes()
    return note.words, note.role


def test_what_waits_is_told_and_why_until_the_hub_is_in_reach(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    away = CatchingUp(shop, f"postgresql://north@/none?host={tmp_path}")
    assert said(away) == ("4 entries not yet at the hub.", "accent")
    away.meet()
    words, role = said(away)
    assert words.startswith("4 entries not yet at the hub. The hub is out of reach now; ")
    assert role == "accent"
    near = CatchingUp(shop, server.url(hub, "north"))
    near.meet()
    assert said(near) == ("All entries are at the hub.", "within")
    decide(shop, "again")
    assert (
        said(near)[0] == said(CatchingUp(shop, ""))[0] == "1 entry not yet at the hub."
    )  # after a new start too
    with connected(server.url(hub)) as at:
        assert at.execute("SELECT count(*) FROM hub.entry").fetchone() == (4,)


def test_a_served_folder_and_a_hub_come_level_while_entries_come_in(
    server: Cluster, hub: str, shop: Bench, tmp_path: Path
) -> None:
    van = furnished(tmp_path / "van", 7)
    with connected(server.url(hub, "north")) as at:
        push(van, at)
    theirs = van.jobs()[0].id
    near = CatchingUp(shop, server.url(hub, "north"), again_s=0.05)
    told: list[tuple[str, int]] = []

    async def served() -> None:
        near.start(asyncio.get_running_loop(), lambda job: told.append((job, threading.get_ident())))
        for n in range(20):
            decide(shop, f"{n}")
            await asyncio.sleep(0.01)
        for _ in range(600):
            if said(near)[1] == "within" and theirs in {job for job, _ in told}:
                break
            await asyncio.sleep(0.1)
        near.end()

    asyncio.run(served())
    assert said(near) == ("All entries are at the hub.", "within")
    assert {job.name for job in shop.jobs()} == {"J-6", "J-7"}
    assert theirs in {job for job, _ in told}
    assert {thread for _, thread in told} == {
        threading.get_ident()
    }  # where screens are drawn, never beside it
    assert rows_of(van)[0] in rows_of(shop)
