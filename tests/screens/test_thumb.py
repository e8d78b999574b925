"""What the thumb entered is what stands, however slow, bunched or late the network hands its touches on."""

from __future__ import annotations

import os
import random
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser
from slow_net import SlowNet

from inspect_app.bench.bench import Bench
from inspect_app.entries.measuring import Layout
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.typed import Station
from inspect_app.job.words import station_words

READINGS = int(os.environ.get("INSPECT_READINGS", "6"))
"""So many readings on each network, INSPECT_READINGS=60 types hundreds."""

STATIONS, HOURS = READINGS + 2, {"12": "12 o'clock", "1.5": "1:30", "3": "3 o'clock", "4.5": "4:30"}
PLACES = STATIONS * len(HOURS)
KEY_MS = 60
"""A quick thumb: 16 keys a second, faster than the worst network here answers one."""


@dataclass(frozen=True, slots=True)
class Shop:
    """A program, the bad network before it, and a bore of PLACES places laid out."""

    host: Host
    net: SlowNet
    job: str


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    folder = tmp_path_factory.mktemp("thumb") / "shop"
    bench = Bench(folder)
    job = bench.open_job("T-4 slow net", "JB")
    sizes = {"bore": "8 in", "rod": "5 in", "stroke": "15 in"}
    job = bench.enter(job, Nameplate(sizes), "JB", "inch").job
    check = bench.tables_of(job).cylinders[job.cylinder].check("bore-diameter")
    assert check is not None
    stations = [
        Station("", str(25 + 331 * n // (STATIONS - 1))) for n in range(STATIONS)
    ]  # all that the checklist asks
    assert not bench.enter(job, Layout(check, stations, list(HOURS)), "JB", "metric").remark
    bench.close()
    with Host(folder) as host, SlowNet(host.port) as net:
        yield Shop(host, net, job.id)


@pytest.fixture(scope="module")
def phone(browser: Browser, shop: Shop) -> Iterator[Phone]:
    phone = Phone(browser, shop.net.url, route="/settings")
    phone.type("Your initials", "JB")
    phone.tap("Inch")
    phone.go(f"/job/{shop.job}/measure/bore-diameter")
    phone.wait_for("Place: ")
    phone.settle()
    yield phone
    phone.close()


class Keys:
    """The keypad's keys where they lie, touched without looking at what the screen answers."""

    def __init__(self, phone: Phone) -> None:
        self.phone = phone
        self.at = {}
        for key in "0123456789.⏎⌫":
            node = phone.finds({".": "point", "⏎": "enter", "⌫": "delete"}.get(key, key))
            assert node is not None
            self.at[key] = (node.left + node.width / 2, node.middle)

    def touch(self, text: str, pause_ms: int = KEY_MS) -> None:
        for key in text:
            self.phone.page.touchscreen.tap(*self.at[key])
            self.phone.page.wait_for_timeout(pause_ms)


def recorded(host: Host) -> list[tuple[str, str]]:
    """Place, in the screen's words, and text of every reading in the log, in order."""
    with sqlite3.connect(f"file:{host.folder / 'logbook.db'}?mode=ro", uri=True) as log:
        rows = log.execute(
            "SELECT body ->> 'station', body ->> 'clock', body ->> 'typed' FROM entries "
            "WHERE kind = 'reading' ORDER BY seq"
        ).fetchall()
    return [(f"{station_words(s, {}, 'inch')}, {HOURS[c]}", t.removesuffix(" in")) for s, c, t in rows]


@pytest.mark.parametrize(
    ("bunch_s", "delay_s"),
    [
        pytest.param(0.0, 0.0, id="quick", marks=pytest.mark.thorough),
        pytest.param(0.5, 0.0, id="bunched", marks=pytest.mark.thorough),
        pytest.param(0.0, 0.25, id="delayed", marks=pytest.mark.thorough),
        pytest.param(0.3, 0.2, id="bunched and delayed"),
    ],
)
def test_every_reading_stands_whole_and_at_the_place_that_was_lit(
    phone: Phone, shop: Shop, bunch_s: float, delay_s: float
) -> None:
    keys, chance, wanted, behind = Keys(phone), random.Random(7), [], 0
    before = len(recorded(shop.host))
    shop.net.bunch_s, shop.net.delay_s = bunch_s, delay_s
    for n in range(READINGS):
        here = phone.lit()
        text = f"8.00{chance.randrange(20, 50)}"
        # in full, or the last digits behind those that stand on the screen already
        stands = phone.finds("8.00 stands, 2 to type") if n % 3 else None
        behind += stands is not None
        keys.touch((text.removeprefix("8.00") if stands else text) + "⏎")
        wanted.append((here, text))
        if n < READINGS - 1:
            phone.until(lambda here=here: phone.lit() not in ("", here), "the next place")
    shop.net.bunch_s = shop.net.delay_s = 0
    phone.wait_for(f"{before + READINGS} of {PLACES}")
    assert recorded(shop.host)[before:] == wanted
    assert behind >= READINGS // 3


def test_a_number_entered_on_a_screen_that_had_not_moved_on_is_asked_about(phone: Phone, shop: Shop) -> None:
    keys, here, before = Keys(phone), phone.lit(), recorded(shop.host)
    shop.net.bunch_s = 3.0  # the program does not answer while both numbers are typed
    keys.touch("8.0042⏎8.0031⏎", 20)
    shop.net.bunch_s = 0
    phone.wait_for(f"Enter was touched while the screen still showed {here}")
    assert recorded(shop.host) == [*before, (here, "8.0042")]
    following = phone.wait_for_match(r"At (\d.*)")[1]
    phone.tap(f"At {following}")
    phone.wait_for(f"{len(before) + 2} of {PLACES}")
    assert recorded(shop.host) == [*before, (here, "8.0042"), (following, "8.0031")]


def test_enter_touched_twice_enters_once(phone: Phone, shop: Shop) -> None:
    keys, here, before = Keys(phone), phone.lit(), recorded(shop.host)
    keys.touch("8.0042⏎⏎⏎", 20)
    phone.wait_for(f"{len(before) + 1} of {PLACES}")
    phone.until(lambda: phone.lit() not in ("", here), "the next place")
    assert recorded(shop.host) == [*before, (here, "8.0042")]


def test_a_notice_that_goes_takes_no_touch_with_it(phone: Phone, shop: Shop) -> None:
    phone.tap("Undo")
    phone.wait_for("Undone: reading 8.0042 in")
    here = phone.lit()
    phone.settle()
    keys, before = Keys(phone), recorded(shop.host)
    shop.net.bunch_s = 0.5  # the first key takes the notice away while the others are on their way
    keys.touch("8.0037⏎", 220)
    shop.net.bunch_s = 0
    phone.until(lambda: phone.lit() not in ("", here), "the next place")
    assert recorded(shop.host) == [*before, (here, "8.0037")]
