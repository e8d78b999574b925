"""Two phones on one cylinder, photographs by the handful, places chosen by touch: what one does, the other sees."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from host import Host
from phone import Phone
from PIL import Image
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate

CHECK = "bore-diameter"


JOBS: list[str] = []
"""Jobs with a nameplate, opened before the program serves them: one for each test."""


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    folder = tmp_path_factory.mktemp("together") / "shop"
    bench = Bench(folder)
    for _ in range(5):
        job = bench.open_job("T-5 two phones", "JB")
        job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "JB", "metric").job
        JOBS.append(job.id)
    bench.close()
    with Host(folder) as host:
        yield host


@pytest.fixture
def job(host: Host) -> str:
    return JOBS.pop()


def phone_of(browser: Browser, host: Host, initials: str) -> Iterator[Phone]:
    """One phone for every test here: a tab that loads the client anew costs more than a test."""
    phone = Phone(browser, host.url, route="/settings")
    phone.type("Your initials", initials)
    yield phone
    phone.close()


@pytest.fixture(scope="module")
def one(browser: Browser, host: Host) -> Iterator[Phone]:
    yield from phone_of(browser, host, "KM")


@pytest.fixture(scope="module")
def other(browser: Browser, host: Host) -> Iterator[Phone]:
    yield from phone_of(browser, host, "LB")


def sent(phone: Phone, route: str, units: str = "Metric") -> Phone:
    """The phone, in these units and at this route."""
    phone.go("/settings")
    phone.tap(units)
    phone.go(route)
    return phone


def entries(host: Host, kind: str, job: str) -> list[sqlite3.Row]:
    """The entries of a kind in one job, in order: others' are in the same log."""
    with sqlite3.connect(f"file:{host.folder / 'logbook.db'}?mode=ro", uri=True) as log:
        log.row_factory = sqlite3.Row
        asked = "SELECT * FROM entries WHERE kind = ? AND job = ? ORDER BY seq"
        return log.execute(asked, (kind, job)).fetchall()


def test_two_phones_see_each_other_and_take_back_only_their_own(
    one: Phone, other: Phone, host: Host, job: str
) -> None:
    for phone in (one, other):
        sent(phone, f"/job/{job}/measure/{CHECK}")
        phone.wait_for("0 of 15")
        phone.until(lambda phone=phone: phone.lit() != "", "a place")
    assert one.lit() != other.lit()  # never the same place while another is free

    here = one.lit()
    one.key("100.012⏎")
    one.wait_for("1 of 15")
    other.wait_for("1 of 15")

    # the other goes to the same place by hand and types, the one enters there meanwhile
    place = one.lit()
    other.tap(f"Place: {other.lit()}")
    other.tap(place)
    other.until(lambda: other.lit() == place, "the place chosen")
    other.key("100.03")
    one.key("100.021⏎")
    one.wait_for("2 of 15")
    other.key("⏎")
    other.wait_for("KM just measured this: 100.021 mm. You typed 100.03 and it is not entered yet.")
    assert len(entries(host, "reading", job)) == 2
    other.tap("Leave 100.021 mm standing")
    other.until(lambda: other.lit() not in ("", place), "the next place")
    second = other.lit()
    other.key("100.035⏎")
    other.wait_for("3 of 15")

    one.wait_for("3 of 15")
    one.tap("Undo")
    one.wait_for(f"Undone: reading 100.021 mm, Bore diameter (barrel), {place}.")
    other.wait_for("2 of 15")
    one.tap("Undo")
    one.wait_for(f"Undone: reading 100.012 mm, Bore diameter (barrel), {here}.")
    one.tap("Undo")
    one.wait_for("Nothing entered with this phone is left to take back in this job.")
    other.go(f"/job/{job}")
    other.wait_for("Go on: Receiving")
    other.tap("Undo")
    other.wait_for(f"not on this screen: reading 100.035 mm, Bore diameter (barrel), {second}. Take it back?")
    other.tap("Leave it")
    other.tap("Undo")
    other.tap("Take it back")
    other.wait_for("Undone: reading 100.035 mm")
    one.wait_for("0 of 15")


def test_a_place_is_chosen_by_its_dot_and_a_station_added_where_it_is_scored(
    one: Phone, host: Host, job: str
) -> None:
    phone = sent(one, f"/job/{job}/measure/{CHECK}", "Inch")
    phone.wait_for("Place: 0.98 in, 12 o'clock")
    phone.settle()
    drawing = next(n for n in phone.nodes() if n.name.startswith("Barrel with 15 places"))
    # the end view is a circle at the drawing's right: 4 o'clock lies right of and below its middle
    middle = drawing.right - drawing.height / 2
    for right, down in ((0.25, 0.14), (0.22, 0.12), (0.28, 0.16)):
        phone.page.touchscreen.tap(middle + drawing.height * right, drawing.middle + drawing.height * down)
        phone.page.wait_for_timeout(2000)
        if phone.lit() == "0.98 in, 4 o'clock":
            break
    assert phone.lit() == "0.98 in, 4 o'clock"
    phone.key("3.9372⏎")
    phone.wait_for("1 of 15")

    phone.tap(f"Place: {phone.lit()}")
    phone.wait_for("A station more")
    phone.type("From the gland end, in", "10")
    phone.tap("Measure there")
    phone.wait_for("Place: 10 in, 12 o'clock")
    phone.key("3.9401⏎")
    phone.wait_for_match(r"2 of \d+")
    phone.tap(f"Place: {phone.lit()}")
    phone.tap("10 in, 12 o'clock")  # and back to it, to correct it
    phone.wait_for_match(r"stands here now: .*3\.9401 in")
    phone.wait_for("Cancel")
    phone.key("3.9400⏎")
    phone.until(lambda: len(entries(host, "reading", job)) >= 3, "the correction")
    bodies = [e["body"] for e in entries(host, "reading", job)][-2:]
    assert all('"station":"254' in b for b in bodies)
    assert '"typed":"3.9400 in"' in bodies[-1]
    phone.tap("Undo")
    phone.wait_for("Undone: reading 3.9400 in")


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Five photographs of 3.5 MiB and one that is none."""
    folder = tmp_path_factory.mktemp("pictures")
    comment = b"\xff\xfe\xff\xff" + bytes(0xFFFD)  # JPEG's own: 64 KiB that cost nothing to decode
    files = []
    for n in range(5):
        made = BytesIO()
        Image.new("RGB", (640, 480), (90 + n, 60, 30)).save(made, "JPEG")
        file = folder / f"score {n}.jpg"
        file.write_bytes(made.getvalue()[:2] + 56 * comment + made.getvalue()[2:])
        files.append(file)
    broken = folder / "broken.jpg"
    broken.write_bytes(b"not a photograph")
    return [*files, broken]


def test_photographs_by_the_handful_are_saved_one_by_one_and_each_says_so(
    one: Phone, host: Host, job: str, pictures: list[Path]
) -> None:
    assert (
        sum(p.stat().st_size for p in pictures) > 16 << 20
    )  # more than one frame of the connection may hold
    phone = sent(one, f"/job/{job}/look/rod-surface")
    phone.tap("Score, lengthwise")
    phone.tap("seal travel")
    phone.tap("Save defect")
    phone.wait_for("Another photograph. Score, lengthwise")
    before = len(entries(host, "photo", job))
    phone.photograph("Another photograph. Score, lengthwise", *pictures)
    phone.wait_for("5 saved")
    phone.wait_for("broken.jpg: not saved:")
    assert len(entries(host, "photo", job)) == before + 5
    assert list((host.folder / "uploads").iterdir()) == []
    phone.go(f"/job/{job}")  # the tab lives
    phone.wait_for("Go on: ")
    assert "failed" not in host.told()


def test_a_logger_file_is_picked_on_the_phone_shown_asked_about_and_taken(
    one: Phone, host: Host, job: str, tmp_path: Path
) -> None:
    file = tmp_path / "hold.csv"
    file.write_text("t [min];pressure;oil temp [°C]\n0;210,5;40,0\n5;210,3;40,0\n10;210,1;40,1\n", "utf-8")
    phone = sent(one, f"/job/{job}/test/hold")
    phone.tap("Go on without them")
    phone.photograph("Choose a file", file)
    phone.wait_for("Unit of pressure?")
    phone.tap("bar")
    phone.tap("Take this log")
    phone.wait_for("hold.csv: 3 readings, taken by KM.")
    (entry,) = entries(host, "test-log", job)
    kept = host.folder / "logs" / f"{json.loads(entry['body'])['sha256']}.csv"
    assert kept.read_bytes() == file.read_bytes()
