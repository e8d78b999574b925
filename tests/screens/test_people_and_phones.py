"""Who holds the phone, the shop's list and its phones, on the screens of the host and of those that were paired."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.bench.people import enter_person
from inspect_app.bench.sessions import Sessions
from inspect_app.serve.access import CameIn
from inspect_app.serve.door import SESSION, THIS_MACHINE, Gate
from inspect_app.serve.pairing import Pairing

KAISA = {"name": "Kaisa Mäki", "initials": "KAM", "role": "mechanic"}
ANNA = {"name": "Anna Berg", "initials": "AB", "role": "clerk"}
HANS = {"name": "Hans Ode", "initials": "HO", "role": "host"}
WHERE = "http://192.0.2.10:8710"


class Shop:
    """A data folder served to a network, asked by the host and by phones."""

    def __init__(self, folder: Path) -> None:
        self.bench = Bench(folder)
        self.gate = Gate(Pairing(lambda _: None), Sessions(folder, self.bench.now))
        self.job = self.bench.open_job("S-14", "ZZ")

    def pair(self, person: str = "") -> str:
        """A phone that was paired, by its session's id."""
        return self.gate.sessions.begin(person, "Android", "192.0.2.40").partition(".")[0]

    def day(self, session: str, route: str, day: Callable[[AtTheDesk], Awaitable[None]]) -> None:
        """A day on the screens of one session that begins at a route."""

        async def whole() -> None:
            SESSION.set(session)
            host = ByHand(came_in=CameIn(self.bench, self.gate, WHERE))
            await day(AtTheDesk(self.bench, host, route))

        asyncio.run(whole())


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path / "shop")


def listed(shop: Shop) -> Shop:
    for typed in (KAISA, ANNA, HANS):
        enter_person(shop.bench, typed, "")
    return shop


def test_the_host_lists_a_person_and_pairs_their_phone(shop: Shop) -> None:
    async def day(desk: AtTheDesk) -> None:
        await desk.wait_for("Nobody is listed")
        await desk.tap("People")
        await desk.tap("Add a person")
        await desk.fill("Name", "Kaisa Mäki")
        await desk.tap("Keep")
        await desk.wait_for("Give initials")
        await desk.fill("Initials", "KAM")
        await desk.tap("Mechanic")
        await desk.tap("Keep")
        await desk.tap("Kaisa Mäki")
        await desk.tap("Pair a phone")
        said = await desk.wait_for("For Kaisa Mäki.")
        offer = shop.gate.pairing._offers[-1]
        assert f"{offer.code[:3]} {offer.code[3:]}" in said
        assert f"QR code of {WHERE}/pair/{offer.token}" in said
        await desk.tap("Another code")
        await desk.until(lambda: shop.gate.pairing._offers[-1] != offer, "another code")
        assert len(shop.gate.pairing._offers) == 1

    shop.day(THIS_MACHINE, "/settings", day)
    assert shop.gate.pairing.use_link(shop.gate.pairing._offers[-1].token).person == "kam"


def test_the_host_sees_the_phones_and_ends_one(shop: Shop) -> None:
    kept, ended = listed(shop).pair("ab"), shop.pair("kam")

    async def day(desk: AtTheDesk) -> None:
        said = await desk.wait_for("Kaisa Mäki · Android")
        assert "Anna Berg · Android" in said
        assert "192.0.2.40, paired 20" in said
        await desk.tap("End the session of Kaisa Mäki")
        await desk.until(lambda: "Kaisa Mäki" not in desk.says(), "it is gone")

    shop.day(THIS_MACHINE, "/devices", day)
    assert [known.id for known in shop.gate.sessions.every()] == [kept]
    assert not shop.gate.sessions.stands(ended)


def test_who_leaves_the_list_leaves_the_phone(shop: Shop) -> None:
    phone = listed(shop).pair("kam")

    async def day(desk: AtTheDesk) -> None:
        await desk.tap("Take out of the list")
        await desk.until(lambda: "Kaisa" not in desk.says(), "she is gone")

    shop.day(THIS_MACHINE, "/person/kam", day)
    assert not shop.gate.sessions.stands(phone)


def test_a_phone_of_nobody_yet_asks_first_and_never_becomes_the_hosts(shop: Shop) -> None:
    phone = listed(shop).pair()

    async def day(desk: AtTheDesk) -> None:
        said = await desk.wait_for("Who holds this phone?")
        assert "S-14" not in said
        assert "Hans Ode" not in said
        await desk.tap("Anna Berg")
        await desk.wait_for("S-14")
        assert desk.desk.standing.initials == "AB"

    shop.day(phone, "/", day)
    known = shop.gate.sessions.named(phone)
    assert known is not None
    assert known.person == "ab"


@pytest.mark.parametrize(
    ("person", "route", "said"),
    [
        ("ab", "/job/{job}/measure/rod-diameter", "This screen is a mechanic's. Yours are the seals"),
        ("ab", "/job/{job}/as-left/findings", "This screen is a mechanic's."),
        ("ab", "/new", "This screen is a mechanic's."),
        ("ab", "/job/{job}/scope", "This screen is a mechanic's."),
        ("ab", "/gauge/micrometer", "This screen is a mechanic's."),
        ("kam", "/orders", "This screen is the parts clerk's."),
        ("kam", "/people", "This screen is the host's"),
        ("kam", "/person", "This screen is the host's"),
        ("kam", "/devices", "This screen is the host's"),
        ("ab", "/pair/ho", "This screen is the host's"),
        ("", "/devices", "Who holds this phone?"),
    ],
)
def test_a_screen_that_is_somebody_elses_says_so(shop: Shop, person: str, route: str, said: str) -> None:
    phone = listed(shop).pair(person)

    async def day(desk: AtTheDesk) -> None:
        await desk.wait_for(said)

    shop.day(phone, route.format(job=shop.job.id), day)


def test_a_clerk_is_not_offered_what_a_clerk_does_not_do(shop: Shop) -> None:
    phone = listed(shop).pair("ab")

    async def day(desk: AtTheDesk) -> None:
        said = await desk.wait_for("S-14")
        assert "New job" not in said
        assert "To order today" in said
        await desk.go("/settings")
        said = await desk.wait_for("In the hand of Anna Berg")
        for foreign in ("Your initials", "Gauges", "The shop, on its reports", "People", "Phones"):
            assert foreign not in said
        await desk.go(f"/job/{shop.job.id}/seals")
        await desk.wait_for("Seal list")

    shop.day(phone, "/", day)


def test_a_shop_without_a_list_types_initials_as_ever(shop: Shop) -> None:
    phone = shop.pair()

    async def day(desk: AtTheDesk) -> None:
        said = await desk.wait_for("Units")
        assert desk._called("Your initials") is not None
        assert "People" not in said
        assert "Phones" not in said
        await desk.go("/new")
        await desk.until(lambda: desk._called("Your initials") is not None, "the field")
        await desk.go("/people")
        await desk.wait_for("This screen is the host's")

    shop.day(phone, "/settings", day)


def test_a_screen_that_comes_back_in_another_session_is_that_persons(shop: Shop) -> None:
    mechanics, clerks = listed(shop).pair("kam"), shop.pair("ab")

    async def trial() -> None:
        SESSION.set(mechanics)
        came = CameIn(shop.bench, shop.gate, WHERE)
        assert came.holder().initials == "KAM"
        shop.gate.sessions.end(mechanics)
        assert came.holder().role == ""
        SESSION.set(clerks)
        came.came_back()
        assert came.holder().initials == "AB"
        assert came.devices() is None

    asyncio.run(trial())


def test_what_came_in_by_no_door_is_nobody(shop: Shop) -> None:
    came = CameIn(listed(shop).bench, shop.gate, WHERE)
    assert came.holder().role == ""
    assert came.devices() is None
