"""The phone alone in Chromium, and shortly in Firefox, its web space stopped.

A mechanic's short day, the battery gone in mid-write, two tabs, data that the browser deleted, and a
newer version. They take minutes.
"""

from __future__ import annotations

import json
import os
import random
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from firefox import FirefoxAlone, firefox
from host import Host
from phone import chromium
from phone_alone import PhoneAlone, WebSpace, self_signed
from playwright.sync_api import Playwright, sync_playwright

from inspect_app.alone.site import building
from inspect_app.alone.site.compiling import node
from inspect_app.bench.backing_up import restore
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.tables import shipped_folder

pytestmark = pytest.mark.thorough

PHOTO = shipped_folder("demo_data") / "photos" / "rod_score.jpg"
BASE = "/tools/inspect/"
KILLS = 14


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("site") / "one"
    building.build(out, BASE, lambda _: None)
    return out


@pytest.fixture(scope="module")
def newer(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same site built once more, with one line more in one file."""
    folder = tmp_path_factory.mktemp("newer")
    shutil.copytree(building.WEB, folder / "web")
    style = folder / "web" / "page.css"
    style.write_text(style.read_text() + "/* newer */\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(building, "WEB", folder / "web")
        building.build(folder / "site", BASE, lambda _: None)
    return folder / "site"


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as driver:
        if chromium(driver) is None:
            pytest.skip("No browser to test with")
        yield driver


@pytest.fixture
def web(site: Path) -> Iterator[WebSpace]:
    with WebSpace(site, BASE) as web:
        yield web


@pytest.fixture
def phone(driver: Playwright, web: WebSpace, tmp_path: Path) -> Iterator[PhoneAlone]:
    """The app once opened and made ready; from here on nobody serves it any more."""
    phone = PhoneAlone(driver, tmp_path / "profile", web.url)
    phone.open()
    phone.ready()
    web.stop()
    yield phone
    phone.context.close()


def begin(phone: PhoneAlone, name: str) -> str:
    """A new job with its three sizes, at its first place; its route."""
    phone.tap("New job")
    phone.wait_for("Job number or tag")
    phone.type("Job number or tag", name)
    phone.type("Your initials", "JB")
    phone.tap("Begin")
    phone.wait_for("A bare number is in the unit beside its box")
    for field, typed in (("Bore, mm", "100"), ("Rod diameter, mm", "70"), ("Stroke, mm", "600")):
        phone.type(field, typed)
    phone.tap("To the parts")
    phone.wait_for_route(r"/job/[^/]+(/parts)?")
    job = re.sub("/parts$", "", phone.route())
    phone.go(f"{job}/measure/rod-diameter")
    phone.wait_for("Place: 25 mm, 12 o'clock")
    return job


def read(phone: PhoneAlone, typed: str) -> None:
    """A reading typed and its verdict seen."""
    phone.key(f"{typed}⏎")
    phone.wait_for_match(rf"last: within limit. {re.escape(typed)}0 mm")


def handed_over(phone: PhoneAlone, to: Path) -> Bench:
    """Everything handed over, restored as a data folder elsewhere, and proven there."""
    phone.go("/")
    phone.wait_for("Hand everything over")
    with phone.page.expect_download(timeout=150_000) as download:
        phone.tap("Hand everything over")
    assert list(restore(Path(download.value.path()), to)) == [f"{to}: restored."]
    bench = Bench(to)
    assert verify(bench) == []
    return bench


def start_again(phone: PhoneAlone, driver: Playwright) -> PhoneAlone:
    """The same phone switched on again."""
    again = PhoneAlone(driver, phone.profile, phone.url)
    again.open()
    return again


def test_python_kept_begun_has_each_phones_own_time_and_chance(site: Path) -> None:
    """Without a browser: what was imported and read at the build is neither again, and no two phones are one."""
    script = Path(__file__).with_name("thaw_in_node.mjs")
    phones = []
    for zone in ("Asia/Kolkata", "America/Phoenix"):  # neither ever changes its clocks: UTC+5:30 and UTC-7
        command = [node(), str(script), str(site)]
        done = subprocess.run(command, capture_output=True, text=True, env={**os.environ, "TZ": zone})
        assert done.returncode == 0, done.stderr[-2000:]
        phones.append(json.loads(done.stdout))
    assert [phone["off"] for phone in phones] == [5.5 * 3600, -7 * 3600]
    assert [(p["imported"], p["read"], p["jobs"]) for p in phones] == [(0, 0, ["J-1"])] * 2
    assert all(phone["kept"] > 100 for phone in phones)
    assert phones[0]["device"] != phones[1]["device"]


def test_a_short_day_without_any_server(phone: PhoneAlone, tmp_path: Path) -> None:
    phone.open()
    phone.wait_for("No job yet")
    job = begin(phone, "J-77 excavator boom")
    phone.photograph("Photograph this place", PHOTO)
    phone.wait_for("Photograph this place, 1 saved")
    for typed in ("69.95", "69.94", "69.96"):
        read(phone, typed)
    here = phone.route()
    phone.reload()
    phone.wait_for_match(r"3 of \d+")
    assert phone.route() == here
    phone.go(f"{job}/findings")
    phone.wait_for("Rod: ")
    phone.go(f"{job}/report")
    phone.tap("Make the report")
    phone.wait_for("covers all entries.")
    with phone.context.expect_page(timeout=60_000) as opened:
        phone.tap("Open the PDF")
    link = opened.value.url
    assert link.startswith(f"{phone.url}/document/")
    fetch = (
        "link => fetch(link).then(answer => answer.arrayBuffer()).then(bytes => [...new Uint8Array(bytes)])"
    )
    pdf = bytes(phone.page.evaluate(fetch, link))
    opened.value.close()
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        said = " ".join(" ".join(page.get_text() for page in document).split())
    told = ("J-77 excavator boom", "69.95", "69.94", "69.96", "within limit")
    assert [words for words in told if words not in said] == []
    with phone.page.expect_download(timeout=60_000) as download:
        phone.tap("Hand it over")
    assert download.value.suggested_filename.startswith("inspection-")
    assert Path(download.value.path()).read_bytes() == pdf

    bench = handed_over(phone, tmp_path / "at the shop")
    phone.wait_for("Handed over last on")
    assert verify(bench, pdf) == []
    (there,) = bench.jobs()
    assert [r.typed for r in there.as_found.readings["rod-diameter"].values()] == [
        "69.95 mm",
        "69.94 mm",
        "69.96 mm",
    ]
    assert len(there.photos) == 1
    assert phone.faults == []
    assert not [u for u in phone.asked if "//127.0.0.1" not in u and u not in phone.withheld and "://" in u]


def test_what_was_called_saved_outlives_a_battery_that_falls_out_in_mid_write(
    phone: PhoneAlone, driver: Playwright, tmp_path: Path
) -> None:
    begin(phone, "J-78 press")
    for typed in ("69.95", "69.94"):
        read(phone, typed)
    phone.kill()
    phone = start_again(phone, driver)
    phone.wait_for_match(r"2 of \d+")
    read(phone, "69.96")
    phone.key("69.97")  # one more on its way, which nobody called saved
    phone.page.touchscreen.tap(*_middle_of(phone, "enter"))
    phone.kill()
    phone = start_again(phone, driver)
    count = int(phone.wait_for_match(r"(\d+) of \d+")[1])
    bench = handed_over(phone, tmp_path / "at the shop")
    readings = [r.typed for r in bench.jobs()[0].as_found.readings["rod-diameter"].values()]
    assert readings in (
        ["69.95 mm", "69.94 mm", "69.96 mm"],
        ["69.95 mm", "69.94 mm", "69.96 mm", "69.97 mm"],
    )
    assert count == len(readings)
    phone.context.close()


def _middle_of(phone: PhoneAlone, name: str) -> tuple[float, float]:
    node = phone.finds(name)
    assert node
    return node.left + node.width / 2, node.middle


def test_in_a_storm_of_writing_no_kill_takes_what_was_called_saved(
    site: Path, driver: Playwright, tmp_path: Path
) -> None:
    """On the data folder itself, without the screens: entries and photographs, ended at no chosen moment."""
    own, worker = tmp_path / "site", tmp_path / "site" / "alone" / "worker.js"
    shutil.copytree(site, own)
    script, begins = worker.read_text(), "'from inspect_app.alone.start import start\\nstart()'"
    assert script.count(begins) == 1
    worker.write_text(script.replace(begins, json.dumps(Path(__file__).with_name("storm.py").read_text())))
    saved, chance = 0, random.Random()
    with WebSpace(own, BASE) as web:
        for _ in range(KILLS):
            phone = PhoneAlone(driver, tmp_path / "profile", web.url)
            phone.page.goto(f"{phone.url}/", wait_until="commit")
            phone.until(lambda p=phone: any("SAVED" in said for said in p.said), "the storm", 120)
            (found,) = (json.loads(said.partition("FOUND ")[2]) for said in phone.said if "FOUND " in said)
            assert found["last"] >= saved
            assert found["whole"]
            assert [w for w in found["wrong"] if "no entry speaks of" not in w and ".part" not in w] == []
            phone.page.wait_for_timeout(chance.randint(50, 2500))
            phone.kill()
            saved = max(int(said.partition("SAVED ")[2]) for said in phone.said if "SAVED " in said)
    assert saved > KILLS


def test_of_two_tabs_one_writes_and_the_other_says_so_and_follows(phone: PhoneAlone) -> None:
    begin(phone, "J-79")
    tab = phone.another_tab()
    tab.until(lambda: "open in another tab" in tab.sheet(), "its sentence", 120)
    read(phone, "69.95")
    phone.page.close()
    tab.page.wait_for_function("() => !document.getElementById('trouble')", timeout=120_000)
    tab.wake()
    tab.wait_for_match(r"1 of \d+")
    read(tab, "69.94")


def test_a_job_goes_to_the_shop_by_one_touch_and_comes_back_merged(
    site: Path, driver: Playwright, tmp_path: Path
) -> None:
    """Both by https, as on a phone; the shop's own program in a process of its own, and the web space stopped."""
    papers = self_signed(tmp_path / "papers")
    shown = ("--certificate", str(papers / "cert.pem"), "--key", str(papers / "key.pem"))
    with WebSpace(site, BASE, papers) as web:
        phone = PhoneAlone(driver, tmp_path / "profile", web.url)
        phone.open()
        phone.ready()
        web.stop()
    with Host(tmp_path / "shop", "--lan", *shown, "--phones-from", phone.url) as shop:
        job = begin(phone, "J-83")
        read(phone, "69.95")
        phone.go(job)
        phone.tap("Send this job to the shop")
        phone.wait_for("Not paired yet.")
        phone.type("The shop's address", f"127.0.0.1:{shop.port}")
        phone.type("Code", re.findall(r"ten minutes: (\d{3} \d{3})", shop.told())[-1])
        phone.tap("Pair with the shop")
        phone.wait_for(f"Paired with https://127.0.0.1:{shop.port}.")
        for new in (r"([1-9]\d*) entries are new", r"0 entries are new"):
            phone.reload()  # and is asked no more
            phone.go(job)
            phone.tap("Send this job to the shop")
            phone.wait_for_match(rf"At the shop: J-83: {new}")
    phone.tap("Send this job to the shop")
    phone.wait_for("The shop's program was not reached")
    bench = Bench(tmp_path / "shop")
    assert [r.typed for r in bench.jobs()[0].as_found.readings["rod-diameter"].values()] == ["69.95 mm"]
    assert verify(bench) == []
    assert phone.faults == []
    phone.context.close()


def test_in_firefox_the_app_starts_alone_and_keeps_what_it_called_saved(site: Path, tmp_path: Path) -> None:
    if not firefox():
        pytest.skip("No Firefox to test with")
    with WebSpace(site, BASE) as web:
        phone = FirefoxAlone(tmp_path / "profile", web.url)
        try:
            phone.open()
            phone.ready()
            web.stop()
            phone.open()
            begin(phone, "J-84")
            for typed in ("69.95", "69.94"):
                read(phone, typed)
            phone.kill()
            phone = FirefoxAlone(tmp_path / "profile", web.url)
            phone.open()
            phone.wait_for_match(r"2 of \d+")
            read(phone, "69.96")
            assert phone.sheet() == ""
        finally:
            phone.kill()


def test_what_the_browser_deleted_is_said(phone: PhoneAlone, driver: Playwright) -> None:
    begin(phone, "J-81")
    read(phone, "69.95")
    phone.go("/")
    phone.wait_for("Hand everything over")
    phone.page.wait_for_timeout(3000)  # the mark outside the data is written a moment later
    phone.page.goto("about:blank")
    phone.context.close()
    for folder in phone.profile.rglob("File System"):
        shutil.rmtree(folder)
    phone = start_again(phone, driver)
    said = phone.wait_for("was deleted from this browser")
    assert "It held 1 job" in said
    assert "never handed over" in said
    phone.tap("I have read it")
    phone.wait_until_gone("was deleted from this browser")
    phone.context.close()


def test_what_is_built_twice_is_the_same_to_the_byte(site: Path, newer: Path) -> None:
    """Python's kept memory too: else every build would have each phone fetch all of it anew."""
    first, second = (
        {f.relative_to(of).as_posix(): f.read_bytes() for f in of.rglob("*") if f.is_file()}
        for of in (site, newer)
    )
    assert "frozen.pack" in first
    assert first.keys() == second.keys()
    assert {name for name in first if first[name] != second[name]} == {"alone/page.css", "sw.js"}


def test_a_newer_version_takes_over_whole_and_only_when_asked(
    phone: PhoneAlone, web: WebSpace, newer: Path, tmp_path: Path
) -> None:
    begin(phone, "J-82")
    read(phone, "69.95")
    broken = tmp_path / "broken"
    shutil.copytree(newer, broken)
    (broken / "alone" / "page.css").write_text("/* newer, and half of it was sent")
    style = "fetch('alone/page.css').then(answer => answer.text())"

    web.folder = broken
    web.start()
    phone.open()
    phone.wait_for_match(r"1 of \d+")
    phone.page.wait_for_timeout(15_000)
    assert "newer" not in phone.page.evaluate(style)
    phone.go("/")
    assert "A new version is here" not in phone.wait_for("Hand everything over")

    # while the broken one is still being tried, a browser does not look for another
    at_rest = "() => navigator.serviceWorker.getRegistration().then(here => !here.installing)"
    phone.page.wait_for_function(at_rest, timeout=120_000)
    web.folder = newer
    phone.open()
    phone.wait_for("A new version is here", 120)
    assert "newer" not in phone.page.evaluate(style)
    web.stop()
    phone.tap("Start the new version")
    phone.page.wait_for_timeout(3000)
    phone.wake()
    phone.wait_for("J-82")
    assert "newer" in phone.page.evaluate(style)
    assert phone.faults == []
