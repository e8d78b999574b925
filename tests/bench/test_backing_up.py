"""A backup is whole though the folder is in use, and replaces nothing before it is proven; older forms go on."""

from __future__ import annotations

import shutil
import sqlite3
import struct
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from click.testing import CliRunner
from PIL import Image

from inspect_app.bench.backing_up import MANIFEST, back_up, restore
from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import issue_drawn
from inspect_app.bench.proving import verify
from inspect_app.commands.cli import main
from inspect_app.entries.deciding import Decision
from inspect_app.logbook.chains import Row
from inspect_app.logbook.schema import STEPS
from inspect_app.trade.measuring.refusal import Refusal

RELEASED = sorted((Path(__file__).parent.parent / "logbook" / "released").glob("schema_*.sql"))


@pytest.fixture
def shop(tmp_path: Path) -> Bench:
    """A folder in use, with a photograph and a report."""
    bench, picture = Bench(tmp_path / "shop"), BytesIO()
    Image.new("L", (64, 48), 90).save(picture, "JPEG")
    job = bench.open_job("J-1", "AB")
    job = bench.take_photo(job, job.id, picture.getvalue(), "seen", "AB").job
    issue_drawn(bench, job, "AB", bench.logbook.head(job.id), b"%PDF drawn")
    (tmp_path / "shop" / "rates.toml").write_text("# our own\n", encoding="utf-8")
    return bench


def rows(folder: Path) -> tuple[Row, ...]:
    bench = Bench(folder, reading=True)
    found = tuple(row for job in bench.logbook.jobs() for row in bench.logbook.rows(job))
    assert verify(bench) == []
    bench.close()
    return found


def test_what_was_backed_up_in_use_comes_back_whole_and_what_stood_there_is_kept(
    shop: Bench, tmp_path: Path
) -> None:
    file, folder = tmp_path / "disk" / "monday.zip", shop.folder
    file.parent.mkdir()
    then = rows(folder)
    assert back_up(shop, file).endswith("the logbook up to entry 3.")
    job = shop.enter(shop.jobs()[0], Decision("rod", "reuse", "later"), "AB", "metric").job
    assert job.entries == 4
    with pytest.raises(Refusal, match="is there already"):
        back_up(shop, file)
    with pytest.raises(Refusal, match="lies in the folder"):
        back_up(shop, folder / "here.zip")
    shop.close()
    later = rows(folder)
    done = CliRunner().invoke(main, ["restore", str(file), "--data", str(folder)])
    assert done.exit_code == 0, done.output
    assert rows(folder) == then
    assert (folder / "rates.toml").read_text(encoding="utf-8") == "# our own\n"
    assert rows(tmp_path / "shop.before-1") == later
    assert f"kept in {tmp_path / 'shop.before-1'}." in done.stdout
    assert [*restore(file, tmp_path / "new" / "place")] == [f"{tmp_path / 'new' / 'place'}: restored."]
    assert rows(tmp_path / "new" / "place") == then
    bench = Bench(folder)  # and it goes on
    bench.enter(bench.jobs()[0], Decision("rod", "replace", "after all"), "AB", "metric")
    assert verify(bench) == []
    bench.close()


def names(folder: Path) -> list[str]:
    """What is in a folder, but for what SQLite makes to read beside its file."""
    return sorted(p.name for p in folder.rglob("*") if not p.name.startswith("logbook.db-"))


def spoiled(file: Path, name: str, content: bytes, squeezed: int = 0) -> None:
    """The same backup with one file in it another one."""
    with ZipFile(file) as packed:
        files = {n: packed.read(n) for n in packed.namelist()}
    with ZipFile(file, "w", squeezed) as packed:
        for n, was in files.items():
            packed.writestr(n, content if n == name else was)
        if name not in files:
            packed.writestr(name, content)


def middles(file: Path) -> list[int]:
    """Where in a backup the middle of each file lies that has one."""
    whole = file.read_bytes()
    with ZipFile(file) as packed:
        entries = [e for e in packed.infolist() if e.file_size]
    heads = [(e, *struct.unpack_from("<HH", whole, e.header_offset + 26)) for e in entries]
    return [e.header_offset + 30 + name + extra + e.file_size // 2 for e, name, extra in heads]


def test_a_backup_that_is_not_whole_replaces_nothing(shop: Bench, tmp_path: Path) -> None:
    file = tmp_path / "monday.zip"
    back_up(shop, file)
    shop.close()
    stands = names(shop.folder)
    before, whole = rows(shop.folder), file.read_bytes()

    def tried(match: str) -> None:
        with pytest.raises(Refusal, match=match):
            list(restore(file, shop.folder))
        assert rows(shop.folder) == before
        assert names(shop.folder) == stands
        assert not list(tmp_path.glob("*.restoring"))
        file.write_bytes(whole)

    # a bit of what is packed: one in a header's clock would say nothing of the data
    for at in middles(file):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 16]) + whole[at + 1 :])
        tried("no whole backup|is damaged at|was not restored")
    for end in (0, 100, len(whole) // 2, len(whole) - 5):
        file.write_bytes(whole[:end])
        tried("no whole backup")
    spoiled(file, "../outside", b"x")
    tried("no whole backup")
    with ZipFile(file) as packed:
        manifest = packed.read(MANIFEST)
    spoiled(file, MANIFEST, manifest.replace(b'"rates.toml"', b'"../rates.toml"'))
    tried("no whole backup")
    spoiled(file, MANIFEST, b"[]")
    tried("no whole backup")
    spoiled(file, "rates.toml", bytes(10_000_000), ZIP_DEFLATED)
    tried("no whole backup")
    shutil.copy(shop.folder / "logbook.mark", file)
    tried("no whole backup")
    # every hash right, and not what a log says of itself
    with sqlite3.connect(shop.folder / "logbook.db") as db:
        db.execute("DROP TRIGGER entries_stay_as_written")
        db.execute("UPDATE entries SET by = 'XY' WHERE seq = 2")
    db.close()
    bench = Bench(shop.folder, reading=True)
    back_up(bench, tmp_path / "changed.zip")
    bench.close()
    with ZipFile(tmp_path / "changed.zip") as packed:
        manifest = packed.read(MANIFEST)
    spoiled(tmp_path / "changed.zip", MANIFEST, manifest[: manifest.index(b'"told"')] + b'"told": []}')
    with pytest.raises(Refusal, match=r"was not restored, and nothing replaced.*was changed after"):
        list(restore(tmp_path / "changed.zip", tmp_path / "elsewhere"))
    assert not (tmp_path / "elsewhere").exists()


# ---- older forms


def older(form: Path, folder: Path) -> Path:
    folder.mkdir()
    with sqlite3.connect(folder / "logbook.db") as db:
        db.executescript(form.read_text(encoding="utf-8"))
    db.close()
    if (mark := form.with_suffix(".mark")).is_file():
        shutil.copyfile(mark, folder / "logbook.mark")
    return folder


@pytest.mark.parametrize("form", RELEASED, ids=lambda form: form.stem)
def test_a_log_of_every_form_that_was_released_is_brought_on_and_kept_as_it_was(
    form: Path, tmp_path: Path
) -> None:
    folder = older(form, tmp_path / "shop")
    with sqlite3.connect(folder / "logbook.db") as db:
        before = list(db.iterdump())
    db.close()
    reading = Bench(folder, reading=True)  # as it stands, too
    assert [job.name for job in reading.jobs()] == ["J-1"]
    reading.close()
    bench = Bench(folder)
    job = bench.jobs()[0]
    assert (job.name, job.entries, bench.logbook.device) == ("J-1", 3, "phone")
    assert job.as_found.decided["rod"].reason == "looks well"
    assert [
        s for s in verify(bench) if "limits kept" not in s
    ] == []  # what lies beside a log is no part of it
    bench.close()
    number = int(form.stem.removeprefix("schema_"))
    with sqlite3.connect(folder / f"logbook-schema-{number}.db") as db:
        assert list(db.iterdump()) == before
    db.close()


def test_a_form_has_its_fixture_before_it_is_changed() -> None:
    assert [form.stem for form in RELEASED] == [f"schema_{n}" for n in range(1, len(STEPS))]
