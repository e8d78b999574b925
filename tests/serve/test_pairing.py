"""The shop's phones: paired by a code that lets one in once, then in a session that the host can end."""

from __future__ import annotations

import asyncio
import json
import os
import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from inspect_app.bench.sessions import NOTED_EVERY, UNUSED, Sessions
from inspect_app.logbook.store import NotSaved
from inspect_app.serve import door, open_screen
from inspect_app.serve.door import COOKIE, LOOPBACK, Door, Gate
from inspect_app.serve.pairing import (
    CODE_SECONDS,
    MOST_GUESSES,
    MOST_STRANGERS,
    MOST_WRONG,
    WAIT_SECONDS,
    Offer,
    Pairing,
)
from tests.serve.test_serving import PHONE, SHOP_PC, Answer, Clock, ask, inside

OTHER = "192.0.2.41"


@dataclass
class Days:
    """A clock of days and hours that stands until it is set."""

    now: datetime = datetime(2026, 11, 27, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Shop:
    """A door with a gate, as --lan opens it, the codes its host's screen showed, and what it was told."""

    clock: Clock
    days: Days
    shown: list[Offer]
    told: list[str]
    gate: Gate
    door: Door

    def enter(self, code: str, client: str = PHONE, **headers: str) -> Answer:
        return ask(
            self.door, "/enter", client=client, method="POST", body=f"code={code}", host=SHOP_PC, **headers
        )

    def ask(self, path: str = "/", client: str = PHONE, **said: Any) -> Answer:
        return ask(self.door, path, client=client, host=SHOP_PC, **said)

    def wrong(self) -> str:
        """A code that is not the one shown."""
        return f"{(int(self.shown[-1].code) + 1) % 1_000_000:06d}"

    def paired(self, **headers: str) -> str:
        """The cookie of a phone that was let in just now."""
        self.gate.pairing.offer()
        return cookie(self.enter(self.shown[-1].code, **headers))


def cookie(answer: Answer) -> str:
    """What the phone sends from then on."""
    assert answer.status == 303, answer.body
    return answer.headers["set-cookie"].split(";")[0]


@pytest.fixture
def naps(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """How long each answer was held back; nobody waits for it here."""
    taken: list[float] = []

    async def nap(seconds: float) -> None:
        taken.append(seconds)

    monkeypatch.setattr(door.asyncio, "sleep", nap)
    return taken


@pytest.fixture
def shop(naps: list[float], tmp_path: Path) -> Shop:
    clock, days, shown, told = Clock(), Days(), [], []
    gate = Gate(Pairing(shown.append, told.append, clock), Sessions(tmp_path, days), told.append)
    gate.pairing.offer()
    return Shop(clock, days, shown, told, gate, Door(inside, gate, LOOPBACK))


# ---- coming in


def test_a_phone_may_come_in_at_every_address_of_this_machine_but_under_no_other_name(shop: Shop) -> None:
    for address in (SHOP_PC, "10.8.0.2", "169.254.3.4"):
        assert ask(shop.door, client=PHONE, host=f"{address}:8710", server=address).status == 401
        assert ask(shop.door, host=f"{address}:8710", server=address).status == 200
        assert ask(shop.door, client=PHONE, host=f"{address}:8710").status == 421  # it came in at another
        assert ask(shop.door, client=PHONE, host="evil.example", server=address).status == 421
        alone = Door(inside, None, LOOPBACK)
        assert ask(alone, client=PHONE, host=f"{address}:8710", server=address).status == 421


def test_the_host_itself_needs_no_code(shop: Shop) -> None:
    assert ask(shop.door).body == "the jobs"


def test_a_phone_without_a_session_sees_the_question_for_the_code_and_nothing_else(shop: Shop) -> None:
    answer = shop.ask("/job/1")
    assert answer.status == 401
    assert 'name="code"' in answer.body
    assert "the jobs" not in answer.body
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    assert shop.ask("/ws", kind="websocket").status == 1008


def test_the_right_code_gives_a_session_that_scripts_and_other_sites_cannot_use(shop: Shop) -> None:
    answer = shop.enter(shop.shown[-1].code)
    assert (answer.status, answer.headers["location"]) == (303, "/")
    assert {"HttpOnly", "SameSite=strict"} <= set(answer.headers["set-cookie"].split("; "))
    given = cookie(answer)
    for cookies in (given, f"odd/name=1; {given}"):
        assert shop.ask(cookie=cookies).body == "the jobs"
    assert shop.ask(cookie=given, kind="websocket").status == 101
    for made_up in (
        "made-up",
        given.partition("=")[2][:-1],
        f"{given.partition('=')[2].partition('.')[0]}.",
        "../x.y",
    ):
        assert shop.ask(cookie=f"{COOKIE}={made_up}").status == 401
    assert shop.told == [f"Paired: A device at {PHONE}."]


def test_a_code_lets_one_device_in_once_and_the_next_caller_has_a_new_one_shown(shop: Shop) -> None:
    code = shop.shown[-1].code
    assert shop.enter(code).status == 303
    assert shop.enter(code, OTHER).status == 401
    assert len(shop.shown) == 2
    assert shop.enter(shop.shown[-1].code, OTHER).status == 303


def test_the_code_is_six_digits_and_may_be_typed_with_a_gap(shop: Shop) -> None:
    code = shop.shown[-1].code
    assert re.fullmatch(r"\d{6}", code)
    assert shop.enter(f"{code[:3]}+{code[3:]}").status == 303


def test_the_qr_code_lets_in_without_digits_but_not_by_being_looked_at(shop: Shop) -> None:
    offer = shop.shown[-1]
    for _ in range(2):
        answer = shop.ask(offer.path)
        assert answer.status == 200
        assert f'value="{offer.token}"' in answer.body
    answer = ask(shop.door, "/enter", client=PHONE, method="POST", body=f"token={offer.token}", host=SHOP_PC)
    given = cookie(answer)
    assert shop.ask(cookie=given).body == "the jobs"
    assert shop.ask(offer.path).status == 401
    assert shop.enter(offer.code).status == 401  # the digits went with it
    assert shop.ask("/pair/" + "A" * 22).status == 401


def test_a_phone_that_pairs_again_holds_one_session(shop: Shop) -> None:
    first = shop.paired()
    second = shop.paired(cookie=first)
    assert shop.ask(cookie=first).status == 401
    assert shop.ask(cookie=second).status == 200
    assert len(shop.gate.sessions.every()) == 1


@pytest.mark.parametrize(
    "typed", ["", "12", "%D9%A3%D9%A3%D9%A3%D9%A3%D9%A3%D9%A3", "%FF", "abcdef", "²²²²²²"]
)
def test_nonsense_in_place_of_a_code_is_a_wrong_code(shop: Shop, typed: str) -> None:
    assert shop.enter(typed).status == 401


def test_a_form_longer_than_any_code_is_read_no_further(shop: Shop) -> None:
    assert shop.enter("1" * 1_000_000).status == 413


def test_a_code_runs_out_after_ten_minutes_and_the_next_caller_has_a_new_one_shown(shop: Shop) -> None:
    old = shop.shown[-1]
    shop.clock.seconds += CODE_SECONDS - 1
    shop.ask()
    assert shop.shown == [old]
    shop.clock.seconds += 1
    assert shop.ask(old.path).status == 401
    assert len(shop.shown) == 2
    assert shop.enter(old.code).status == 401


def test_a_code_for_one_person_is_that_persons(shop: Shop) -> None:
    offer = shop.gate.pairing.offer_to("p-1")
    assert shop.shown[-1] != offer  # the host's screen shows it, not the terminal
    shop.enter(offer.code)
    assert [known.person for known in shop.gate.sessions.every()] == ["p-1"]
    again = shop.gate.pairing.offer_to("p-1")
    shop.gate.pairing.offer_to("p-1")
    assert shop.enter(again.code).status == 401  # one code a person


def test_codes_differ_from_start_to_start() -> None:
    shown: list[Offer] = []
    for _ in range(20):
        Pairing(shown.append).offer()
    assert (
        len({offer.code for offer in shown}) > 15
    )  # 20 draws of a million: a repeat is a chance of 1 in 5 000
    assert len({offer.token for offer in shown}) == 20


# ---- guessing


def test_every_wrong_code_makes_the_next_answer_slower(shop: Shop, naps: list[float]) -> None:
    for _ in range(MOST_GUESSES):
        assert shop.enter(shop.wrong()).status == 401
    assert naps[0] == 0.25
    assert all(later == min(8.0, 2 * sooner) for sooner, later in pairwise(naps))
    assert naps[-1] == 8.0


def test_one_stranger_is_stopped_the_host_is_told_and_the_shops_phones_come_in(shop: Shop) -> None:
    for _ in range(MOST_GUESSES):
        shop.enter(shop.wrong(), OTHER)
    for _ in range(2 * MOST_WRONG):
        answer = shop.enter(shop.wrong(), OTHER)
    assert answer.status == 429
    assert shop.enter(shop.shown[-1].code, OTHER).status == 429
    assert shop.told == [f"{OTHER} typed 10 wrong codes and must wait ten minutes. The others are let in."]
    assert shop.enter(shop.shown[-1].code, PHONE).status == 303
    shop.clock.seconds += WAIT_SECONDS
    shop.gate.pairing.offer()
    assert shop.enter(shop.shown[-1].code, OTHER).status == 303


def test_guesses_sent_all_at_once_are_counted_before_they_are_held_back(shop: Shop) -> None:
    tries = [shop.gate.pairing.try_digits(OTHER, shop.wrong()) for _ in range(50)]
    assert sum(delay > 0 for _, delay in tries) == MOST_GUESSES
    assert all(offer is None for offer, _ in tries)


def test_when_all_addresses_guess_digits_are_not_taken_and_the_qr_code_is(shop: Shop) -> None:
    for n in range(MOST_WRONG):
        shop.enter(shop.wrong(), f"192.0.2.{n % 50}")
    assert shop.told == ["100 wrong codes came in within ten minutes: until they stop, only QR codes let in."]
    answer = shop.enter(shop.shown[-1].code)
    assert answer.status == 429
    assert "QR" in answer.body
    assert shop.ask(shop.shown[-1].path).status == 200
    shop.clock.seconds += WAIT_SECONDS
    shop.gate.pairing.offer()
    assert shop.enter(shop.shown[-1].code).status == 303


def test_strangers_are_remembered_up_to_a_number() -> None:
    pairing = Pairing(lambda _: None, now=Clock())
    for n in range(MOST_STRANGERS + 10):
        pairing._count(str(n))
    assert len(pairing._strangers) == MOST_STRANGERS


# ---- sessions


def test_a_session_lasts_while_it_is_used_and_a_restart_leaves_it(shop: Shop, tmp_path: Path) -> None:
    given = shop.paired()
    for _ in range(3):
        shop.days.now += UNUSED - timedelta(hours=1)
        assert shop.ask(cookie=given).status == 200
    again = Door(inside, Gate(Pairing(shop.shown.append), Sessions(tmp_path, shop.days)), LOOPBACK)
    assert ask(again, client=PHONE, host=SHOP_PC, cookie=given).status == 200
    shop.days.now += UNUSED + NOTED_EVERY
    assert shop.ask(cookie=given).status == 401


def test_what_lies_in_the_folder_opens_nothing(shop: Shop, tmp_path: Path) -> None:
    secret = shop.paired().partition("=")[2].partition(".")[2]
    (file,) = (tmp_path / "access").glob("*.json")
    kept = file.read_text(encoding="utf-8")
    assert secret not in kept
    hashed = json.loads(kept)["hashed"]
    assert shop.ask(cookie=f"{COOKIE}={file.stem}.{hashed}").status == 401


@pytest.mark.parametrize(
    "torn", [b"", b"{", b"[]", b'{"since": 4}', b"\xff", b'{"since": "2026-11-27T12:00:00"}']
)
def test_a_session_torn_by_a_power_cut_opens_nothing(shop: Shop, tmp_path: Path, torn: bytes) -> None:
    given = shop.paired()
    (file,) = (tmp_path / "access").glob("*.json")
    file.write_bytes(torn)
    os.utime(file, (shop.days.now.timestamp(),) * 2)
    assert shop.ask(cookie=given).status == 401
    assert shop.gate.sessions.every() == []


def test_a_session_that_could_not_be_kept_lets_nobody_in(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> str:
        raise NotSaved("The disk is full.")

    monkeypatch.setattr(shop.gate.sessions, "begin", refuse)
    answer = shop.enter(shop.shown[-1].code)
    assert (answer.status, answer.headers.get("set-cookie")) == (503, None)
    assert "disk is full" in answer.body


@dataclass
class Screen:
    """An open screen: what it sends comes when it is put there, what it is sent is kept."""

    shop: Shop
    given: str
    got: list[dict[str, Any]] = field(default_factory=list)
    heard: list[dict[str, Any]] = field(default_factory=list)

    async def run(self) -> None:
        """As the framework runs it, with an app that listens until it is closed and then still says something."""

        async def app(scope: Any, receive: Any, send: Any) -> None:
            await send({"type": "websocket.accept"})
            while (message := await receive())["type"] != "websocket.disconnect":
                self.heard.append(message)
            await send({"type": "websocket.send", "text": "too late"})

        self.shop.door.app = app
        headers = [(b"host", SHOP_PC.encode()), (b"cookie", self.given.encode())]
        scope = {
            "type": "websocket", "path": "/ws", "headers": headers, "client": (PHONE, 4), "server": (SHOP_PC, 8710),
            "scheme": "ws", "query_string": b"",
        }  # fmt: skip
        self.coming: asyncio.Queue[dict[str, Any]] = asyncio.Queue()

        async def send(message: dict[str, Any]) -> None:
            self.got.append(message)

        await self.shop.door(scope, self.coming.get, send)


@pytest.mark.parametrize("by_another_program", [False, True])
def test_when_a_session_is_ended_its_open_screens_are_closed(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, by_another_program: bool
) -> None:
    monkeypatch.undo()  # of naps: here time passes
    monkeypatch.setattr(open_screen, "LOOK_EVERY_S", 0.01)
    token = shop.gate.sessions.begin("", "Android", PHONE)
    held = Sessions(tmp_path, shop.days) if by_another_program else shop.gate.sessions
    other = shop.gate.sessions.begin("", "Android", OTHER)

    async def trial() -> tuple[Screen, Screen]:
        screen, beside = Screen(shop, f"{COOKIE}={token}"), Screen(shop, f"{COOKIE}={other}")
        running, still = asyncio.ensure_future(screen.run()), asyncio.ensure_future(beside.run())
        await asyncio.sleep(0.05)
        await screen.coming.put({"type": "websocket.receive", "bytes": b"1"})
        await asyncio.sleep(0.05)
        assert held.end(token.partition(".")[0])
        await screen.coming.put({"type": "websocket.receive", "bytes": b"2"})
        await asyncio.wait_for(running, 30)
        assert not still.done()
        await beside.coming.put({"type": "websocket.disconnect", "code": 1000})
        await asyncio.wait_for(still, 30)
        return screen, beside

    screen, beside = asyncio.run(trial())
    assert [m["bytes"] for m in screen.heard] == [b"1"]
    assert [m["type"] for m in screen.got] == ["websocket.accept", "websocket.close"]
    assert screen.got[-1]["code"] == 1008
    assert [m["type"] for m in beside.got][:1] == ["websocket.accept"]
    assert not held.end("0" * 16)
    assert not held.end("../../logbook")
