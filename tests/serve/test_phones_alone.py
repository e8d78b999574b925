"""A phone alone at the shop's door: from an address the host allowed, once paired, with a job there and back."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.people import enter_person
from inspect_app.bench.proving import verify
from inspect_app.bench.sessions import Sessions
from inspect_app.entries.deciding import Decision
from inspect_app.serve import phones_alone
from inspect_app.serve.door import LOOPBACK, Door, Gate
from inspect_app.serve.pairing import MOST_GUESSES, Offer, Pairing
from inspect_app.serve.phones_alone import SAID, PhonesAlone, allowed
from inspect_app.trade.measuring.refusal import Refusal
from tests.serve.test_serving import HERE, PHONE, SHOP_PC, Answer, ask, inside

APP, OTHER = "https://tools.example", "https://evil.example"


@dataclass
class Shop:
    """The shop's program as --lan --phones-from serves it, its codes, and what it told its screens."""

    bench: Bench
    gate: Gate
    shown: list[Offer]
    told: list[str]
    door: Door

    def ask(self, what: str, body: str | bytes = "", *, origin: str = APP, **how: Any) -> Answer:
        given = {"client": PHONE, "host": SHOP_PC, "method": "POST", **how}
        more = {"origin": origin} if origin else {}
        return ask(self.door, f"/phone-alone/{what}", body=body, **given, **more)

    def paired(self, person: str = "") -> str:
        offer = self.gate.pairing.offer_to(person)
        answer = self.ask("pair", json.dumps({"code": offer.code}))
        assert answer.status == 200, answer.body
        return f"Bearer {json.loads(answer.body)['token']}"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    async def beside(work: Callable[[], Any]) -> Any:
        return work()

    async def nap(seconds: float) -> None:
        """Nobody waits for it here."""

    monkeypatch.setattr(phones_alone, "asyncio", SimpleNamespace(sleep=nap))
    bench, shown, told = Bench(tmp_path / "shop", device="S"), [], []
    gate = Gate(Pairing(shown.append), Sessions(tmp_path / "shop", bench.now))
    alone = PhonesAlone(bench, gate, frozenset({APP}), told.append, beside)
    return Shop(bench, gate, shown, told, Door(inside, gate, LOOPBACK, alone=alone))


@pytest.fixture
def phone(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "phone", device="A")


def test_a_browser_that_asks_beforehand_is_told_yes_for_an_allowed_address_alone(shop: Shop) -> None:
    yes = shop.ask("job", method="OPTIONS")
    assert (yes.status, yes.headers["access-control-allow-origin"]) == (204, APP)
    assert yes.headers["access-control-allow-methods"] == "POST"
    assert "authorization" in yes.headers["access-control-allow-headers"]
    assert yes.headers["vary"] == "origin"
    for origin in (OTHER, f"{APP}.evil.example", "http://tools.example", f"{APP}:8443", "null", ""):
        for what in ("job", "pair", "here"):
            no = shop.ask(what, origin=origin, method="OPTIONS")
            assert no.status in (401, 421), origin
            assert not [name for name in no.headers if name.startswith("access-control")]


def test_the_allowed_address_opens_no_other_path_and_no_other_name(shop: Shop) -> None:
    for path in ("/", "/phone-alone", "/enter", "/document/00.pdf"):
        assert ask(shop.door, path, client=PHONE, host=SHOP_PC, origin=APP).status == 421
        assert "access-control-allow-origin" not in ask(shop.door, path, host=SHOP_PC, origin=APP).headers
    assert shop.ask("here", host="evil.example").status == 421
    assert shop.ask("here", kind="websocket").status == 1008
    assert shop.ask("here", method="GET").status == 404


def test_a_stranger_gets_nothing_and_neither_does_a_page_in_the_hosts_own_browser(shop: Shop) -> None:
    job = shop.bench.open_job("J-1", "AB").id
    packed = pack_job(shop.bench, job)
    shop.paired()
    cookie = "inspect_app_session=made.up"
    for said in ({}, {"authorization": "Bearer made.up"}, {"cookie": cookie}, {"authorization": "Bearer "}):
        for client in (PHONE, HERE):
            for what in ("here", "job", "anything"):
                answer = shop.ask(what, packed, client=client, **said)
                assert (answer.status, "not paired" in answer.body) == (401, True)
    assert shop.told == []


def test_a_session_that_the_host_ends_is_over(shop: Shop) -> None:
    token = shop.paired()
    assert shop.ask("here", authorization=token).status == 204
    (known,) = shop.gate.sessions.every()
    assert known.device.endswith("the app alone")
    shop.gate.sessions.end(known.id)
    assert shop.ask("here", authorization=token).status == 401


def test_wrong_codes_count_as_at_the_door_and_the_right_one_counts_once(shop: Shop) -> None:
    code = shop.gate.pairing.offer_to("").code
    wrong = f"{(int(code) + 1) % 1_000_000:06d}"
    assert shop.ask("pair", json.dumps({"code": code})).status == 200
    assert shop.ask("pair", json.dumps({"code": code})).status == 401
    for body in ("", "[]", "{", '{"code": 7}', "x" * 2_000, "[" * 900):
        assert shop.ask("pair", body).status == 401
    for _ in range(MOST_GUESSES):
        said = shop.ask("pair", json.dumps({"code": wrong}))
    assert said.status == 429
    assert "Too many wrong codes" in said.body
    right = shop.gate.pairing.offer_to("").code
    assert shop.ask("pair", json.dumps({"code": right})).status == 429


def test_a_job_goes_in_and_comes_back_with_what_the_shop_entered_and_twice_is_once(
    shop: Shop, phone: Bench
) -> None:
    job, token = phone.open_job("J-1", "JB").id, shop.paired()
    first = shop.ask("job", pack_job(phone, job), authorization=token)
    assert (first.status, first.headers["access-control-allow-origin"]) == (200, APP)
    assert SAID in first.headers["access-control-expose-headers"]
    assert json.loads(first.headers[SAID]) == ["J-1: 1 entry is new, 0 stood here already or are kept aside."]
    shop.bench.enter(shop.bench.job(job), Decision("rod", "replace", "seen at the shop"), "AB", "metric")
    phone.enter(phone.job(job), Decision("rod", "reuse", "seen in the yard"), "JB", "metric")
    for _ in range(2):
        back = shop.ask("job", pack_job(phone, job), authorization=token)
        take_in_job(phone, read_job(BytesIO(back.body.encode("latin-1")), "the job"))
    assert phone.logbook.head(job) == shop.bench.logbook.head(job)
    reasons = sorted(e.body["reason"] for e in phone.logbook.entries(job) if e.kind == "decision")
    assert reasons == ["seen at the shop", "seen in the yard"]
    assert shop.told == [job] * 3
    assert verify(shop.bench) == verify(phone) == []


def test_what_the_phone_sent_is_not_sent_back(shop: Shop, phone: Bench) -> None:
    job, token = phone.open_job("J-1", "JB").id, shop.paired()
    packed = pack_job(phone, job)
    sent = read_job(BytesIO(packed), "").files
    assert any(name.startswith("tables/") for name in sent)
    back = shop.ask("job", packed, authorization=token).body.encode("latin-1")
    assert read_job(BytesIO(back), "").files == {}
    assert [*read_job(BytesIO(back), "").rows] == [*phone.logbook.rows(job)]


@pytest.mark.parametrize("body", [b"", b"no zip", b"PK\3\4"])
def test_what_is_no_job_is_refused_in_words(shop: Shop, body: bytes) -> None:
    answer = shop.ask("job", body, authorization=shop.paired())
    assert (answer.status, "Nothing was taken in." in answer.body) == (422, True)
    assert answer.headers["access-control-allow-origin"] == APP  # else the phone could not read why
    assert shop.bench.jobs() == []


def test_too_much_is_refused_before_it_is_all_here(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phones_alone, "MOST_BYTES", 10)
    assert shop.ask("job", b"12345678901", authorization=shop.paired()).status == 413


def test_a_full_disk_at_the_shop_is_not_taken_in(
    shop: Shop, phone: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full() -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(phones_alone, "TemporaryFile", full)
    packed = pack_job(phone, phone.open_job("J-1", "JB").id)
    answer = shop.ask("job", packed, authorization=shop.paired())
    assert (answer.status, "NOT saved" in answer.body) == (503, True)


def test_a_phone_does_what_its_holders_role_may(shop: Shop, phone: Bench) -> None:
    kim, jo = (
        enter_person(shop.bench, {"name": name, "initials": initials, "role": role}, "AB").id
        for name, initials, role in (("Kim", "KM", "clerk"), ("Jo", "JB", "mechanic"))
    )
    packed = pack_job(phone, phone.open_job("J-1", "JB").id)
    for of, status, says in ((kim, 422, "a mechanic's to do"), ("", 401, "for one of them")):
        answer = shop.ask("job", packed, authorization=shop.paired(of))
        assert (answer.status, says in answer.body) == (status, True)
        assert shop.bench.jobs() == []
    assert shop.ask("job", packed, authorization=shop.paired(jo)).status == 200


def test_an_address_is_an_https_one_and_nothing_comes_in_without_certificate() -> None:
    assert allowed(["https://Tools.example:443/a/", "https://b.example:8443"], True) == {
        APP,
        "https://b.example:8443",
    }
    for typed in (
        "http://tools.example",
        "tools.example",
        "https://",
        "https://a@b",
        "https://a:x",
        "https://[1",
        "",
    ):
        with pytest.raises(Refusal, match="no address of an app"):
            allowed([typed], True)
    with pytest.raises(Refusal, match="--phones-from needs --lan and --certificate"):
        allowed([APP], False)
    assert allowed([], False) == frozenset()


def test_without_an_allowed_address_nobody_answers_there(shop: Shop) -> None:
    door = Door(inside, shop.gate, LOOPBACK)
    answer = ask(door, "/phone-alone/here", client=PHONE, host=SHOP_PC, method="POST", origin=APP)
    assert answer.status == 421
