"""A copy of a data folder goes on as another device, and both come together again without one word lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.bench import installed
from inspect_app.bench.backing_up import back_up, restore
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.entries.deciding import Decision
from inspect_app.entries.entry import SHOP


def opened(folder: Path, computer: Path) -> Bench:
    return Bench(folder, installs=computer)


def decide(bench: Bench, why: str) -> None:
    bench.enter(bench.jobs()[0], Decision("rod", "reuse", why), "AB", "metric")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder that was worked in and closed."""
    bench = opened(tmp_path / "shop", tmp_path / "computer")
    bench.open_job("J-1", "AB")
    decide(bench, "seen")
    bench.close()
    return tmp_path / "shop"


def test_a_folder_that_stays_where_it_is_keeps_its_device(shop: Path, tmp_path: Path) -> None:
    for _ in range(3):
        bench = opened(shop, tmp_path / "computer")
        devices = {e.device for e in bench.logbook.entries(bench.jobs()[0].id)}
        assert devices == {bench.logbook.device}
        assert bench.logbook.entries(SHOP) == ()
        bench.close()


@pytest.mark.parametrize("computer", ["computer", "another computer"])
def test_a_copy_says_which_device_it_continues_and_both_come_together_again(
    computer: str, shop: Path, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(shop, tmp_path / "copy"))
    one, two = opened(shop, tmp_path / "computer"), opened(copy, tmp_path / computer)
    job = one.jobs()[0].id
    assert one.logbook.device != two.logbook.device
    (word,) = two.logbook.entries(SHOP)
    last = one.logbook.rows(job)[-1]
    assert (word.kind, word.device) == ("device", two.logbook.device)
    assert word.body == {"continues": one.logbook.device, "entries": 2, "link": last.hash}
    decide(one, "in the shop")
    decide(two, "on the road")
    for here, there in ((one, two), (two, one)):
        assert here.logbook.take_over(there.logbook.rows(job)).refused == ()
    assert one.logbook.head(job) == two.logbook.head(job)
    said = [e.body["reason"] for e in one.logbook.entries(job) if e.kind == "decision"]
    assert sorted(said) == ["in the shop", "on the road", "seen"]
    assert verify(one) == verify(two) == []
    one.close()
    two.close()
    again = opened(copy, tmp_path / computer)  # and it stays that device
    assert len(again.logbook.entries(SHOP)) == 1
    again.close()


def test_a_backup_put_back_goes_on_as_another_device(shop: Path, tmp_path: Path) -> None:
    bench = opened(shop, tmp_path / "computer")
    back_up(bench, tmp_path / "backup.zip")
    decide(bench, "after the backup")
    lost, old = bench.logbook.rows(bench.jobs()[0].id), bench.logbook.device
    bench.close()
    list(restore(tmp_path / "backup.zip", shop))
    bench = opened(shop, tmp_path / "computer")
    assert bench.logbook.device != old
    decide(bench, "entered again")
    assert bench.logbook.take_over(lost).refused == ()  # what was entered after the backup comes back
    said = [e.body["reason"] for e in bench.logbook.entries(bench.jobs()[0].id) if e.kind == "decision"]
    assert sorted(said) == ["after the backup", "entered again", "seen"]
    bench.close()


def test_a_folder_put_back_by_hand_goes_on_as_another_device(shop: Path, tmp_path: Path) -> None:
    shutil.copytree(shop, tmp_path / "kept")
    bench = opened(shop, tmp_path / "computer")
    old = bench.logbook.device
    decide(bench, "after the copy")
    bench.close()
    shutil.rmtree(shop)
    shutil.copytree(tmp_path / "kept", shop)
    bench = opened(shop, tmp_path / "computer")
    assert bench.logbook.device != old
    bench.close()


def test_where_no_word_can_be_left_nothing_changes(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    assert not installed.is_copy(tmp_path / "file", tmp_path / "never opened", "phone")
    installed.leave_word(tmp_path / "file", shop, "phone", b"chance")
    assert installed.is_copy(tmp_path / "nowhere", shop, "phone")
