"""The limits a job was opened with are kept whole, looked at before they judge, and missed by the job's name."""

from __future__ import annotations

import os
import random
import shutil
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, day_at_the_desk
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.planning import propose
from inspect_app.bench.proving import verify
from inspect_app.bench.readings_file import record_file
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.logbook.store import NotSaved
from inspect_app.report.seal_lines import seal_lines
from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.trade.measuring.refusal import Refusal


@pytest.fixture
def checklists(tmp_path: Path) -> Path:
    """A copy of the shipped checklists to edit."""
    return shutil.copytree(shipped_folder(), tmp_path / "checklists")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "shop"


@pytest.fixture
def old(folder: Path, checklists: Path) -> Job:
    """A job opened with limits that have changed since."""
    bench = Bench(folder, checklists=checklists)
    job = bench.open_job("J-1", "AB")
    bench.close()
    tighten(checklists)
    return job


def tighten(checklists: Path) -> None:
    """Let rods be reused down to f7 only."""
    file = checklists / "limits" / "rod.toml"
    before = file.read_text(encoding="utf-8")
    after = before.replace('rule = { fit = "f8", upper = 0.02 }', 'rule = { fit = "f7", upper = 0.02 }')
    assert after != before
    file.write_text(after, encoding="utf-8")


def kept(folder: Path) -> Path:
    """The one copy kept in a data folder."""
    (file,) = (folder / "tables").iterdir()
    return file


def judging(folder: Path, checklists: Path, job: Job) -> Tables:
    """The tables that judge a job in a program started anew."""
    bench = Bench(folder, checklists=checklists)
    try:
        return bench.tables_of(job)
    finally:
        bench.close()


def test_a_set_of_limits_is_kept_as_one_file_once(folder: Path) -> None:
    bench = Bench(folder)
    bench.open_job("J-1", "AB")
    first = kept(folder).stat()
    bench.open_job("J-2", "AB")
    assert kept(folder).stat() == first
    with zipfile.ZipFile(kept(folder)) as copy:
        assert copy.testzip() is None
        rod = copy.read("checklists/limits/rod.toml")
    assert rod == (shipped_folder() / "limits" / "rod.toml").read_bytes()


def test_the_same_limits_are_kept_as_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        Bench(tmp_path / name).open_job("J-1", "AB")
    one, two = kept(tmp_path / "one"), kept(tmp_path / "two")
    assert (one.name, one.read_bytes()) == (two.name, two.read_bytes())


def test_a_kept_copy_judges_as_the_files_it_was_made_of(folder: Path, checklists: Path, old: Job) -> None:
    assert judging(folder, checklists, old) == load(shipped_folder(), folder / "limits")


def test_the_shops_own_limits_are_kept_with_the_others(folder: Path, checklists: Path) -> None:
    (folder / "limits").mkdir(parents=True)
    own = folder / "limits" / "own.toml"
    own.write_text(
        '[[limit]]\nid = "own-rod"\ncheck = "rod-diameter"\ncharacteristic = "size"\nlevel = "reuse"\n'
        'rule = { fit = "f7", side = "lower" }\nsource = "rod-wear"\nbeyond = "replace"\n',
        encoding="utf-8",
    )
    bench = Bench(folder, checklists=checklists)
    job, before = bench.open_job("J-1", "AB"), bench.tables
    own.unlink()
    assert judging(folder, checklists, job) == before


def test_a_copy_has_its_name_only_when_all_of_it_is_on_the_disk(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    synced, renamed = os.fsync, os.replace

    def sync(handle: int) -> None:
        done.append("folder" if os.path.isdir(f"/proc/self/fd/{handle}") else "file")
        synced(handle)

    def rename(part: str, file: Path) -> None:
        assert Path(part).stat().st_size == sum(1 for _ in Path(part).read_bytes())
        done.append("name")
        renamed(part, file)

    bench = Bench(folder)
    monkeypatch.setattr(os, "fsync", sync)
    monkeypatch.setattr(os, "replace", rename)
    bench.open_job("J-1", "AB")
    # the folder tables/ is new: its own name comes first; what is committed then is marked in its own way
    assert done[:4] == ["folder", "file", "name", "folder"]


def test_no_damage_to_a_kept_copy_changes_what_judges(folder: Path, checklists: Path, old: Job) -> None:
    """Every one of many damages is told by the job's name, or is one to what no table is read from."""
    file = kept(folder)
    whole, sound = file.read_bytes(), judging(folder, checklists, old)
    chance = random.Random(13)
    damaged = [b"", whole[:1], whole[: len(whole) // 2], whole[:-1], whole + whole, bytes(len(whole)), b"[]"]
    for _ in range(16):
        content = bytearray(whole)
        content[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
        damaged.append(bytes(content))
    told = []
    for content in damaged:
        file.write_bytes(content)
        try:
            assert judging(folder, checklists, old) == sound
        except Refusal as refusal:
            told.append(str(refusal))
    assert len(told) >= 15
    damage = f"The limits kept for job J-1 are damaged and judge nothing; restore {file} from a backup."
    assert set(told) == {damage}


def swapped(file: Path, name: str, content: bytes | None) -> None:
    """A sound zip in which one file says something else, or is left out."""
    with zipfile.ZipFile(file) as copy:
        files = {n: copy.read(n) for n in copy.namelist()}
    if content is None:
        del files[name]
    else:
        files[name] = content
    with zipfile.ZipFile(file, "w") as copy:
        for n, c in files.items():
            copy.writestr(n, c)


@pytest.mark.parametrize("content", [None, b"", "other"])
@pytest.mark.parametrize("name", ["limits/rod.toml", "cylinders/double_acting.toml", "gauges.toml"])
def test_a_sound_zip_of_other_limits_judges_nothing(
    folder: Path, checklists: Path, old: Job, name: str, content: bytes | str | None
) -> None:
    other = (shipped_folder() / name).read_bytes() + b"\n" if content == "other" else content
    assert not isinstance(other, str)
    swapped(kept(folder), f"checklists/{name}", other)
    with pytest.raises(Refusal, match="job J-1 are damaged and judge nothing"):
        judging(folder, checklists, old)


def test_a_missing_copy_is_missed_by_the_jobs_name(folder: Path, checklists: Path, old: Job) -> None:
    file = kept(folder)
    file.unlink()
    with pytest.raises(Refusal, match=rf"job J-1 are missing; bring {file.name} into"):
        judging(folder, checklists, old)


def test_verify_finds_a_damaged_and_a_missing_copy_and_names_every_job(folder: Path) -> None:
    bench = Bench(folder)
    for name in ("J-1", "J-2"):
        bench.open_job(name, "AB")
    assert verify(bench) == []
    file = kept(folder)
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 1
    file.write_bytes(content)
    (sentence,) = verify(bench)
    assert "job J-2, job J-1 are damaged" in sentence
    file.unlink()
    (sentence,) = verify(bench)
    assert "are missing" in sentence


def test_a_damaged_copy_is_made_anew_with_the_next_job_of_the_same_limits(folder: Path) -> None:
    bench = Bench(folder)
    bench.open_job("J-1", "AB")
    whole = kept(folder).read_bytes()
    kept(folder).write_bytes(whole[:-100])
    bench.close()
    bench = Bench(folder)
    bench.open_job("J-2", "AB")
    assert kept(folder).read_bytes() == whole
    assert verify(bench) == []


def test_limits_changed_while_the_program_runs_are_not_kept_under_the_name_of_the_others(
    folder: Path, checklists: Path
) -> None:
    bench = Bench(folder, checklists=checklists)
    tighten(checklists)
    with pytest.raises(Refusal, match="changed while the program runs"):
        bench.open_job("J-1", "AB")
    assert bench.jobs() == []
    assert not (folder / "tables").exists()


def test_a_job_whose_limits_are_damaged_stands_in_the_list_beside_the_others(
    folder: Path, checklists: Path, old: Job
) -> None:
    kept(folder).write_bytes(b"")
    bench = Bench(folder, checklists=checklists)
    bench.open_job("J-2", "AB")

    async def day(at: AtTheDesk) -> None:
        said = await at.wait_for("J-1. The limits kept for job J-1 are damaged")
        assert "J-2. not decided" in said

    day_at_the_desk(bench, "/", day)
    bench.close()


def test_a_copy_of_a_version_that_reads_other_keys_is_told_from_a_damaged_one(
    folder: Path, checklists: Path, monkeypatch: pytest.MonkeyPatch, old: Job
) -> None:
    from inspect_app.bench import kept_tables
    from inspect_app.tables.faults import Fault, TableError

    bench = Bench(folder, checklists=checklists)

    def refuse(*_: Path) -> Tables:
        raise TableError([Fault("limits/rod.toml", "rule", "is not known")])

    monkeypatch.setattr(kept_tables.checklists, "load", refuse)
    with pytest.raises(Refusal, match=r"job J-1 are whole, but this version.*limits/rod\.toml"):
        bench.assess(old)


# ---- the folder goes away


def test_nothing_is_made_again_in_a_data_folder_that_is_gone(folder: Path) -> None:
    bench = Bench(folder)
    job = bench.open_job("J-1", "AB")
    shutil.rmtree(folder)
    photograph = BytesIO()
    Image.new("RGB", (64, 48), "grey").save(photograph, "JPEG")
    for attempt in (
        lambda: bench.open_job("J-2", "AB"),
        lambda: bench.take_photo(job, job.id, photograph.getvalue(), "whole", "AB"),
        lambda: bench.enter(job, Nameplate({"bore": "100"}), "AB", "metric"),
        lambda: bench.set_setting("phone", "look", "dark", "AB"),
    ):
        with pytest.raises(NotSaved, match="removed or exchanged while the program runs"):
            attempt()
    assert not folder.exists()
    assert [j.name for j in bench.jobs()] == ["J-1"]


def test_seals_and_paths_are_looked_up_in_the_tables_that_judge_the_job(
    folder: Path, checklists: Path
) -> None:
    change(
        checklists / "housings" / "iso7425_1_piston.csv", "ISO 7425-1 piston 125 x", "Our own piston 125 x"
    )
    # at this cylinder's 21 MPa the table has 0.20 mm for a section of 5.33; in the copy kept 0.11
    gap = ",20,40,5.23,5.43,radial,"
    change(checklists / "housings" / "extrusion_gap.csv", f"{gap}0.20,", f"{gap}0.11,")
    bench = Bench(folder, checklists=checklists)
    # without what the seals' own sheets say, which comes before any table
    demo = shipped_folder("demo_data") / "linkspan_repair.toml"
    bare = folder / "linkspan.toml"
    bare.write_text(demo.read_text(encoding="utf-8").partition("[[seals.")[0], encoding="utf-8")
    shutil.copytree(demo.parent / "photos", folder / "photos", dirs_exist_ok=True)
    job, _ = record_file(bare, bench)
    for shipped in (checklists, shipped_folder()):
        bench.close()
        bench = Bench(folder, checklists=shipped)
        told = "\n".join(seal_lines(job.name, bench.seal_list(job), "metric"))
        assert "Our own piston 125 x 109.5 x 6.3" in told
        assert "ISO 7425-1 piston 125" not in told
        paths = propose(bench, job, None).paths
        assert {p.plan.found.cylinder.seal_gap_mm for p in paths.every} == {0.11}


def change(file: Path, was: str, now: str) -> None:
    before = file.read_text(encoding="utf-8")
    assert was in before
    file.write_text(before.replace(was, now), encoding="utf-8")
