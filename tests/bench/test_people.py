"""Each person does only what is theirs, refused where entries are recorded; and nobody types a book into a field."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.people import enter_person, holder_named, may_hold, of_phone, retire_person
from inspect_app.bench.shop import HOUSE
from inspect_app.entries.job import Job, Place
from inspect_app.entries.kinds import KINDS
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.people import (
    CUSTOMER,
    MECHANIC,
    OF_CLERKS,
    OF_CUSTOMERS,
    OF_HOSTS,
    Holder,
    Person,
    may_make,
)
from inspect_app.entries.typed import MOST_NAME, MOST_TEXT
from inspect_app.logbook.photos import Photo
from inspect_app.trade.measuring.refusal import Refusal

KAISA = {"name": "Kaisa Mäki", "initials": "KM", "role": "mechanic"}
ANNA = {"name": "Anna Berg", "initials": "AB", "role": "clerk"}
HANS = {"name": "Hans Ode", "initials": "HO", "role": "host"}


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "shop")


@pytest.fixture
def job(bench: Bench) -> Job:
    """A job that was there before anybody was listed, by initials nobody has."""
    job = bench.open_job("S-14", "ZZ")
    return bench.enter(job, Nameplate({"rod": "70"}), "ZZ", "metric").job


@pytest.fixture
def shop(bench: Bench, job: Job) -> Bench:
    for typed in (KAISA, ANNA, HANS):
        enter_person(bench, typed, "")
    return bench


def phone(bench: Bench, initials: str) -> Bench:
    """The phone of one of them."""
    return of_phone(bench, f"phone of {initials}", lambda: holder_named(bench, initials.casefold()))


def measure(on: Bench, job: Job, by: str) -> None:
    check = on.tables.cylinders["double-acting"].check("rod-diameter")
    assert check
    outcome = on.measure(on.job(job.id), check, Place("25", "12"), "69.95", by, "metric")
    if outcome.remark:
        raise Refusal(str(outcome.remark))


def order(on: Bench, job: Job, by: str) -> None:
    body = {"position": "wiper", "place": "gland", "what": "", "quantity": 1, "supplier": "", "reference": ""}
    on.record(job.id, by, ("seal-order", {**body, "price": "", "promised": ""}))


def test_each_role_does_its_own_and_is_told_whose_the_rest_is(shop: Bench, job: Job) -> None:
    measure(phone(shop, "KM"), job, "KM")
    order(phone(shop, "AB"), job, "AB")
    before = shop.job(job.id).entries
    with pytest.raises(Refusal, match=r"^This is the parts clerk's to do\. Ask Anna Berg\.$"):
        order(phone(shop, "KM"), job, "KM")
    with pytest.raises(Refusal, match=r"^This is a mechanic's to do\. Ask Kaisa Mäki\.$"):
        measure(phone(shop, "AB"), job, "AB")
    with pytest.raises(Refusal, match="mechanic's to do"):
        phone(shop, "AB").open_job("S-15", "AB")
    assert shop.job(job.id).entries == before
    measure(phone(shop, "HO"), job, "HO")
    order(phone(shop, "HO"), job, "HO")


@pytest.mark.parametrize("who", ["KM", "AB"])
def test_only_the_host_lists_people_and_says_who_the_shop_is(shop: Bench, who: str) -> None:
    with pytest.raises(Refusal, match=r"the host's to do\. Ask Hans Ode"):
        enter_person(phone(shop, who), {**KAISA, "role": "host"}, who)
    with pytest.raises(Refusal, match="the host's to do"):
        phone(shop, who).set_setting(HOUSE, "name", "Another shop", who)
    phone(shop, who).set_setting(f"phone of {who}", "look", "dark", who)
    enter_person(phone(shop, "HO"), {**KAISA, "name": "Kaisa M."}, "HO")
    assert [p.name for p in shop.shop.people()] == ["Anna Berg", "Hans Ode", "Kaisa M."]


def test_a_phone_signs_with_its_holders_initials_alone(shop: Bench, job: Job) -> None:
    with pytest.raises(Refusal, match="in the hand of KM; entries of HO come from another one"):
        measure(phone(shop, "KM"), job, "HO")
    measure(shop, job, "whoever sits at the shop's machine")


def test_what_is_taken_back_is_as_much_somebodys_as_what_was_entered(shop: Bench, job: Job) -> None:
    measure(phone(shop, "KM"), job, "KM")
    reading = shop.logbook.entries(job.id)[-1]
    clerk = of_phone(
        shop, "phone of KM", lambda: holder_named(shop, "ab")
    )  # it says it is the mechanic's phone
    with pytest.raises(Refusal, match="mechanic's to do"):
        clerk.take_back(shop.job(job.id), reading, "AB")
    phone(shop, "KM").take_back(shop.job(job.id), reading, "KM")


def test_a_phone_that_nobody_holds_enters_nothing_and_one_taken_off_the_list_no_more(
    shop: Bench, job: Job
) -> None:
    kaisa = phone(shop, "KM")
    nobody = of_phone(shop, "another", Holder)
    with pytest.raises(Refusal, match="Say first who holds this phone"):
        measure(nobody, job, "KM")
    retire_person(shop, next(p for p in shop.shop.people() if p.initials == "KM"), "")
    with pytest.raises(Refusal, match="Say first who holds this phone"):
        measure(kaisa, job, "KM")


def test_a_shop_without_a_list_keeps_nobody_apart_but_the_host(bench: Bench, job: Job) -> None:
    paired = of_phone(bench, "another", Holder)
    measure(paired, job, "KM")
    order(paired, job, "whoever")
    with pytest.raises(Refusal, match="the host's to do"):
        enter_person(paired, HANS, "KM")


def test_where_nobody_has_a_role_its_work_is_the_others(bench: Bench, job: Job) -> None:
    enter_person(bench, KAISA, "")
    order(phone(bench, "KM"), job, "KM")
    enter_person(bench, ANNA, "")
    with pytest.raises(Refusal, match="parts clerk's"):
        order(phone(bench, "KM"), job, "KM")


def test_every_kind_of_entry_is_somebodys() -> None:
    everybody = [Person("KM", "K", MECHANIC), Person("AB", "A", "clerk"), Person("HO", "H", "host")]
    roles = ("mechanic", "clerk", "host", CUSTOMER, "")
    theirs = {role: {k for k in KINDS if may_make(role, everybody, k)} for role in roles}
    assert theirs["host"] == set(KINDS)
    assert theirs["mechanic"] == set(KINDS) - OF_CLERKS - OF_HOSTS
    assert theirs["clerk"] == OF_CLERKS | {
        "seal-received", "reassembly", "seal-sheet", "seal-doubt", "seal-answer", "setting", "undo",
    }  # fmt: skip
    assert theirs[CUSTOMER] == OF_CUSTOMERS == {"customer-answer"}
    assert theirs[""] == {"setting"}


def test_a_job_of_another_device_is_taken_in_by_whoever_may_open_one(
    shop: Bench, job: Job, tmp_path: Path
) -> None:
    other = Bench(tmp_path / "other")
    carried = read_job(BytesIO(pack_job(other, other.open_job("S-20", "ZZ").id)), "S-20")
    with pytest.raises(Refusal, match="mechanic's to do"):
        take_in_job(phone(shop, "AB"), carried)
    assert take_in_job(phone(shop, "KM"), carried)


def test_a_phone_changes_hands_within_a_role_and_never_into_the_hosts(shop: Bench) -> None:
    enter_person(shop, {"name": "Ilse", "initials": "IL", "role": "mechanic"}, "")
    assert may_hold(shop, "", "km").name == "Kaisa Mäki"
    assert may_hold(shop, "km", "il").name == "Ilse"
    for now, name in (("km", "ab"), ("", "ho"), ("km", "ho"), ("km", "nobody"), ("", "")):
        with pytest.raises(Refusal):
            may_hold(shop, now, name)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({**KAISA, "name": " "}, "name"),
        ({**KAISA, "initials": ""}, "initials"),
        ({**KAISA, "initials": "KMKMKMKMK"}, "at most 8"),
        ({**KAISA, "initials": "K\nM"}, "initials"),
        ({**KAISA, "role": "customer"}, "Mechanic, Parts clerk, Host"),
        ({**KAISA, "role": ""}, "Say what Kaisa Mäki is"),
    ],
)
def test_a_person_that_cannot_be_listed_is_said(bench: Bench, typed: dict[str, str], said: str) -> None:
    with pytest.raises(Refusal, match=said):
        enter_person(bench, typed, "")
    assert bench.shop.people() == ()


def test_the_list_stands_after_a_restart(shop: Bench) -> None:
    retire_person(shop, shop.shop.people()[0], "")
    shop.close()
    assert [p.initials for p in Bench(shop.folder).shop.people()] == ["AB", "HO"]


# ---- what may be typed


def test_a_text_longer_than_anybody_types_is_refused_in_a_sentence(bench: Bench, job: Job) -> None:
    book = "x" * 100_000
    said = f"That is 100000 characters long; at most {MOST_NAME} can be kept here. Say it shorter."
    with pytest.raises(Refusal) as refused:
        bench.open_job(book, "KM")
    assert str(refused.value) == said
    outcome = bench.enter(job, Nameplate({"customer": book}), "KM", "metric")
    assert outcome.remark
    assert f"at most {MOST_TEXT} " in str(outcome.remark)
    with pytest.raises(Refusal):
        bench.set_setting("a phone", "initials", book, "KM")
    with pytest.raises(Refusal):
        bench.set_setting("a phone", book, "dark", "KM")
    assert bench.enter(job, Nameplate({"customer": "Oy"}), book, "metric").remark
    picture = Photo("0" * 64, "0" * 64, 4, 3, 5, "")
    with pytest.raises(Refusal, match="Say it shorter"):
        bench.name_photo(job, "part:rod", picture, book, "KM")
    assert bench.jobs() == [bench.job(job.id)]
    longest = bench.open_job("x" * MOST_NAME, "KM")
    assert not bench.enter(longest, Nameplate({"customer": "x" * MOST_TEXT}), "KM", "metric").remark
