"""A customer's own phone: its link opens one scope and nothing else, and what it answers stands in the log."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from io import BytesIO
from typing import Any
from urllib.parse import urlencode

import pymupdf
import pytest
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.customers_phone import MOST_ANSWERS, links_key
from inspect_app.bench.sessions import Sessions
from inspect_app.entries.agreed import CustomerAnswer, Version
from inspect_app.entries.agreeing import ScopeShown
from inspect_app.entries.job import Job
from inspect_app.job.scope.shown import Picture, to_data
from inspect_app.screens.floor import Floor
from inspect_app.serve.customer import MOST_BODY, CustomerPages
from inspect_app.serve.customer_links import CustomerLinks
from inspect_app.serve.door import LOOPBACK, Door, Gate
from inspect_app.serve.pairing import Pairing
from inspect_app.serve.web import web_app
from tests.scopes import SCOPE
from tests.serve.test_serving import HERE, PHONE, SHOP_PC, Answer, ask, inside

OFFER = replace(SCOPE, valid_until="2026-12-11")
"""Before tax 410.00 + 214.00 = 624.00, with the guard 742.00; a fifth of it tax, 124.80 and 148.40. Together 748.80
and 890.40."""

DRAWN = json.dumps([[40, 200, 60, 180, 90, 210], [120, 90]])


def show(bench: Bench, job: Job, **changes: Any) -> Version:
    """Freeze a version of OFFER with these changes, and give it."""
    shown = replace(OFFER, job=job.name, job_id=job.id, **changes)
    outcome = bench.enter(job, ScopeShown(to_data(shown)), "KM", "metric")
    assert not outcome.remark, outcome.remark
    return outcome.job.agreeing.versions[-1]


@dataclass
class Clock:
    """A clock that a test sets."""

    now: datetime = datetime(2026, 11, 27, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Shop:
    """A shop in --lan with one scope shown, asked by a phone that never had the code."""

    bench: Bench
    clock: Clock
    job: Job
    app: object
    links: CustomerLinks
    version: Version
    told: list[str] = field(default_factory=list)
    drawn_beside: list[bytes] = field(default_factory=list)

    @property
    def link(self) -> str:
        return self.links.path(self.job.id, self.version.sha256)

    def ask(self, path: str, method: str = "GET", body: str = "", **headers: str) -> Answer:
        return ask(self.app, path, client=PHONE, host=SHOP_PC, method=method, body=body, **headers)

    def send(self, answer: str, option: str = "", **fields: str) -> Answer:
        """Send the form as it stands on the page, with these fields filled in."""
        given = {"name": "H. Aalto", "total": "748.80", **fields, "answer": answer}
        return self.ask(self.link, "POST", urlencode(given | ({"option": option} if option else {})))

    def answers(self) -> tuple[CustomerAnswer, ...]:
        return self.bench.job(self.job.id).agreeing.answers


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bench, Clock]]:
    clock = Clock()
    bench = Bench(tmp_path_factory.mktemp("customer") / "shop", now=clock, zone=UTC)
    yield bench, clock
    bench.close()


def gate_of(bench: Bench) -> Gate:
    """A gate that shows its codes to nobody."""
    return Gate(Pairing(lambda _: None), Sessions(bench.folder, bench.now))


@pytest.fixture
def shop(opened: tuple[Bench, Clock]) -> Shop:
    """A job of its own for each test."""
    bench, clock = opened
    clock.now = Clock.now
    job = bench.open_job("S-14", "KM")
    version = show(bench, job)
    key = links_key(bench, bytes(range(32)))
    links = CustomerLinks(lambda: key)
    told: list[str] = []
    beside: list[bytes] = []

    async def drawn_beside(work: Callable[[], bytes]) -> bytes:
        beside.append(await Floor().beside(work))
        return beside[-1]

    pages = CustomerPages(bench, links, told.append, drawn_beside)
    door = Door(inside, gate_of(bench), LOOPBACK, pages.app)
    return Shop(bench, clock, bench.job(job.id), door, links, version, told, beside)


def words(answer: Answer) -> str:
    """What a page says, without its marks."""
    body = re.sub(r"<(style|script)>.*?</\1>", " ", answer.body.encode("latin-1").decode(), flags=re.S)
    return " ".join(html.unescape(re.sub(r"<(?!/span)[^>]*>", " ", body).replace("</span>", "")).split())


def test_the_link_shows_what_was_frozen_and_its_total(shop: Shop) -> None:
    page = shop.ask(shop.link)
    assert page.status == 200
    said = words(page)
    for expected in (
        "Log turner, left Example Bench, Kiln Lane 4 for Example Sawmill · S-14 · version 1",
        "We found: A scratch. 39 mm long. It carries oil out.",
        "If not: It leaks.",
        "Rod: plate it new (for 1) XTS 410.00",
        "A new pin (for 2) The play grows. XTS 86.00",
        "Left out: Barrel: smooth it (it can wait). It wears on.",
        "Before tax XTS 624.00 Tax XTS 124.80 Together XTS 748.80",
        "Fixed price. Good until 11 December 2026.",
        "Not included: painting",
        "It does not prove who signed.",
    ):
        assert expected in said
    assert 'value="own-1">' in page.body  # nothing is ticked beforehand


def test_a_customers_link_leads_nowhere_else(shop: Shop) -> None:
    shop.app = web_app(shop.bench, gate_of(shop.bench))  # all there is
    assert shop.ask(shop.link).status == 200
    for path in (
        "/", "/ws", f"/job/{shop.job.id}", "/document/0.pdf", "/version.json", "/upload", "/scope",
    ):  # fmt: skip
        answer = shop.ask(path)
        assert answer.status == 401, path
        assert 'name="code"' in answer.body
    beside = (
        "/scope/", f"{shop.link}/", f"{shop.link}/photo/", f"{shop.link}/photo/../../../x", f"{shop.link}/job",
        f"/scope/../job/{shop.job.id}", "/scope//job", "/scope/version.json", f"/scope/{shop.job.id}",
    )  # fmt: skip
    for path in beside:
        answer = shop.ask(path)
        assert answer.status in (404, 307), path  # a slash too many is sent back to the link
        assert "Log turner" not in answer.body
    assert shop.ask(shop.link, "DELETE").status == 404
    assert ask(shop.app, shop.link, client=PHONE, host=SHOP_PC, kind="websocket").status == 1008
    assert ask(shop.app, shop.link, client=PHONE, host="evil.example").status == 421
    assert shop.ask(shop.link, "POST", "answer=no", origin="http://evil.example").status == 421


def test_no_other_signature_job_or_version_opens(shop: Shop) -> None:
    job, version, by = shop.link.removeprefix("/scope/").split("/")
    wrong = by[:-1] + ("0" if by[-1] != "0" else "1")
    other = shop.bench.open_job("another", "KM")
    unshown = show(shop.bench, other)
    for path in (
        f"/scope/{job}/{version}/{wrong}", f"/scope/{job}/{version}/", f"/scope/{job}/{version}/%C3%A9",
        f"/scope/{job}/{version}/é", f"/scope/{other.id}/{unshown.sha256[:16]}/{by}", f"/scope/none/{version}/{by}",
        f"/scope/{job}/{version[:8]}/{by}", f"/scope/{job}/{version}{version}/{by}",
        CustomerLinks(lambda: bytes(32)).path(job, shop.version.sha256),
    ):  # fmt: skip
        assert shop.ask(path).status == 404, path
        assert shop.ask(path, "POST", "answer=no&name=x").status == 404
    assert shop.answers() == ()


def test_a_link_is_good_after_a_restart(shop: Shop) -> None:
    again = links_key(shop.bench, bytes(32))
    assert CustomerLinks(lambda: again).path(shop.job.id, shop.version.sha256) == shop.link


def test_the_last_day_still_counts_and_the_next_does_not(shop: Shop) -> None:
    shop.clock.now = datetime(2026, 12, 11, 23, 59, tzinfo=UTC)
    assert shop.ask(shop.link).status == 200
    shop.clock.now = datetime(2026, 12, 12, 0, 0, tzinfo=UTC)
    over = shop.ask(shop.link)
    assert over.status == 410
    assert "This offer was good until 11 December 2026. Please ask us for a new one." in words(over)
    assert "748.80" not in over.body
    assert shop.send("yes").status == 410
    assert shop.answers() == ()


def test_a_newer_version_shuts_the_older_ones_link_and_says_so(shop: Shop) -> None:
    old = shop.link
    shop.version = show(shop.bench, shop.job, headline="We can repair it in 9 working days.")
    assert "A newer version of this offer was made." in words(shop.ask(old))
    assert shop.ask(old, "POST", "answer=yes&name=x&total=748.80").status == 410
    assert "9 working days" in shop.ask(shop.link).body
    assert shop.answers() == ()


def test_the_total_is_worked_out_for_what_is_chosen_and_nothing_is_kept_of_it(shop: Shop) -> None:
    page = shop.send("total", option="own-1")
    assert page.status == 200
    assert "Together XTS 890.40" in words(page)
    assert 'value="own-1" checked>' in page.body
    assert 'name="total" value="890.40"' in page.body
    assert shop.answers() == ()


def test_a_yes_is_kept_as_it_was_given(shop: Shop) -> None:
    sent = shop.send("yes", option="own-1", total="890.40", role="foreman", signature=DRAWN)
    assert (sent.status, sent.headers["location"]) == (303, shop.link)
    (kept,) = shop.answers()
    assert kept.version == shop.version.sha256
    assert (kept.answer, kept.options, kept.name, kept.role) == (
        "yes",
        {"new-pin": False, "own-1": True},
        "H. Aalto",
        "foreman",
    )
    assert (kept.net, kept.tax, kept.total, kept.currency) == ("742.00", "148.40", "890.40", "XTS")
    assert (kept.sentence, kept.valid_until) == (SCOPE.sentence, "2026-12-11")
    assert (kept.how, kept.by, kept.zone) == ("signed-own-phone", "", "+00:00")
    # a finger that only touched leaves a point, kept as a stroke from it to itself
    assert kept.signature == ((40, 200, 60, 180, 90, 210), (120, 90, 120, 90))
    assert shop.told == [shop.job.id]  # every open screen of the job is drawn anew
    thanks = "Thank you. Kept: yes, XTS 890.40, H. Aalto, 2026-11-27 12:00 +00:00."
    assert thanks in words(shop.ask(shop.link))


def test_a_yes_to_another_total_than_the_one_shown_is_asked_again(shop: Shop) -> None:
    page = shop.send("yes", option="own-1", signature=DRAWN)
    assert page.status == 422
    assert "With what you chose it comes to XTS 890.40." in words(page)
    assert html.escape(DRAWN) in page.body  # nobody has to sign twice
    assert shop.answers() == ()


def test_a_name_alone_will_do_and_none_will_not(shop: Shop) -> None:
    page = shop.send("yes", name=" ")
    assert page.status == 422
    assert "Type the name of who answers." in words(page)
    assert shop.send("yes").status == 303
    assert shop.answers()[-1].how == "typed-name"
    # a no after a yes is one more answer
    assert shop.send("no", words="too dear").status == 303
    assert [a.answer for a in shop.answers()] == ["yes", "no"]


def test_a_question_and_a_call_come_with_what_was_typed(shop: Shop) -> None:
    assert "Type the question." in words(shop.send("question"))
    assert shop.send("question", words="Can it wait a week?").status == 303
    assert shop.send("call", to="0100 555 000").status == 303
    asked, call = shop.answers()
    assert (asked.answer, asked.words) == ("question", "Can it wait a week?")
    assert (call.answer, call.to) == ("call", "0100 555 000")


@pytest.mark.parametrize(
    "signature",
    [
        "[[1,2,3]]",
        "{}",
        "[1]",
        "[[]]",
        '[["1","2","3","4"]]',
        "[[9999,2,3,4]]",
        "[" * 50_000,
        "[[1.5,2,3,4]]",
        "x",
    ],
)
def test_what_is_no_signature_is_never_kept(shop: Shop, signature: str) -> None:
    assert shop.send("yes", signature=signature).status == 422
    assert shop.answers() == ()


def test_more_than_a_form_is_refused_and_a_link_cannot_fill_the_log(shop: Shop) -> None:
    assert shop.send("question", words="x" * MOST_BODY).status == 413
    assert shop.send("question", words="x" * 2001).status == 422
    assert shop.ask(shop.link, "POST", "&".join(f"f{n}=1" for n in range(5000))).status == 413
    assert shop.ask(shop.link, "POST", "\x00ÿ&&=").status == 422
    for _ in range(MOST_ANSWERS):
        assert shop.send("question", words="?").status == 303
    assert "answered often enough" in words(shop.send("question", words="?"))
    assert len(shop.answers()) == MOST_ANSWERS


def test_hostile_words_are_words_and_the_policy_lets_no_script_of_theirs_run(shop: Shop) -> None:
    hostile = '<script>alert(1)</script>"\' onerror="x'
    shop.version = show(
        shop.bench, shop.job, cylinder=hostile, customer=hostile, excluded=hostile, headline=hostile
    )
    page = shop.send("total", name=hostile, words=hostile)
    assert page.status == 200
    assert page.body.count("<script>") == 1  # our own
    assert 'onerror="x' not in page.body
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in page.body.replace("<!doctype html>", "")  # nothing is fetched from anywhere


def test_only_the_photographs_of_the_scope_are_given_out(shop: Shop) -> None:
    file = BytesIO()
    Image.new("RGB", (64, 48), "red").save(file, "JPEG")
    for colour, of in (("red", "x"), ("blue", "y")):
        file = BytesIO()
        Image.new("RGB", (64, 48), colour).save(file, "JPEG")
        assert not shop.bench.take_photo(shop.job, of, file.getvalue(), colour, "KM").remark
    shown, other = (p.sha256 for p in shop.bench.job(shop.job.id).photos)
    shop.version = show(shop.bench, shop.job, pictures=(Picture(shown, "the rod"),))
    assert f'src="{shop.link}/photo/{shown}"' in shop.ask(shop.link).body
    got = shop.ask(f"{shop.link}/photo/{shown}")
    assert (got.status, got.headers["content-type"]) == (200, "image/jpeg")
    assert shop.ask(f"{shop.link}/photo/{other}").status == 404
    assert shop.ask(f"{shop.link[:-1]}z/photo/{shown}").status == 404
    shop.clock.now = datetime(2026, 12, 12, tzinfo=UTC)
    assert shop.ask(f"{shop.link}/photo/{shown}").status == 404


def test_the_copy_on_paper_comes_by_the_link_alone(shop: Shop) -> None:
    assert shop.send("yes", signature=DRAWN).status == 303
    copy = shop.ask(f"{shop.link}/copy.pdf")
    assert (copy.status, copy.headers["content-type"]) == (200, "application/pdf")
    # no other phone waited for it
    assert copy.body.encode("latin-1") in shop.drawn_beside
    with pymupdf.open(stream=copy.body.encode("latin-1"), filetype="pdf") as document:
        paper = " ".join(" ".join(page.get_text() for page in document).split())
    assert "H. Aalto" in paper
    assert "nobody: the customer alone" in paper
    assert shop.ask(f"{shop.link[:-1]}z/copy.pdf").status == 404


def test_where_nothing_is_offered_there_is_no_yes(shop: Shop) -> None:
    shop.version = show(shop.bench, shop.job, lines=(), dropped=(), headline="We advise a new cylinder.")
    page = shop.ask(shop.link)
    assert "We advise a new cylinder." in page.body
    assert 'value="yes"' not in page.body
    assert 'value="no"' not in page.body
    assert "Together" not in page.body
    assert shop.send("yes", total="0.00").status == 422
    assert shop.answers() == ()


def test_the_shops_own_machine_opens_it_too(shop: Shop) -> None:
    assert ask(shop.app, shop.link, client=HERE).status == 200
