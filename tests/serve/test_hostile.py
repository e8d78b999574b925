"""Whatever a stranger sends, an answer comes back that says no: nothing of it ends in a fault, nothing of it opens."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.bench.bench import Bench
from inspect_app.bench.customers_phone import links_key
from inspect_app.bench.sessions import Sessions
from inspect_app.serve.customer_links import CustomerLinks
from inspect_app.serve.door import COOKIE, Gate
from inspect_app.serve.pairing import Pairing
from inspect_app.serve.web import web_app
from tests.serve.test_customer import show
from tests.serve.test_serving import HERE, PHONE, SHOP_PC, Answer, ask

LATIN = st.text(st.characters(max_codepoint=255, exclude_characters="\r\n\0"), max_size=60)
WORDS = st.sampled_from(
    ["", "/", "..", "%2e%2e", "scope", "pair", "enter", "upload", "document", "ws", "job", "é", "\\"]
)
PATHS = st.lists(st.one_of(WORDS, LATIN), max_size=5).map(lambda parts: "/" + "/".join(parts))
NAMES = (
    "cookie", "origin", "referer", "content-type", "content-length", "range", "user-agent", "if-none-match",
    "if-modified-since", "accept-encoding", "upgrade", "connection", "transfer-encoding", "x-forwarded-for",
)  # fmt: skip
HEADERS = st.dictionaries(st.sampled_from(NAMES), LATIN, max_size=4)
FIELDS = ("name", "role", "words", "to", "answer", "total", "option", "signature", "code", "token")
TYPED = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        ["yes", "no", "question", "call", "total", "own-1", "748.80", "NaN", "1e999", "-0", "\x00", "\ud7ff"]
    ),
    st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=3), inner, max_size=2)
        ),
        max_leaves=12,
    ).map(json.dumps),
)
PAIRS = st.lists(st.tuples(st.sampled_from(FIELDS), TYPED), max_size=12)
FORMS = st.one_of(PAIRS.map(lambda pairs: urlencode(pairs, errors="replace")), LATIN)
SIGNED = st.dictionaries(st.sampled_from(["until", "by", "x"]), TYPED)
METHODS = st.sampled_from(["GET", "POST", "PUT", "HEAD", "OPTIONS", "DELETE", "TRACE", "get", "BREW"])


@dataclass
class Shop:
    """All there is, as --lan serves it, with one scope that was shown."""

    app: Any
    link: str
    bench: Bench
    gate: Gate


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    bench = Bench(tmp_path_factory.mktemp("hostile"), throw_away=True)
    version = show(bench, bench.open_job("S-14", "KM"))
    key = links_key(bench, bytes(32))
    link = CustomerLinks(lambda: key).path(bench.jobs()[0].id, version.sha256)
    gate = Gate(Pairing(lambda _: None), Sessions(bench.folder, bench.now))
    return Shop(web_app(bench, gate), link, bench, gate)


@pytest.fixture(autouse=True)
def no_naps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for a wrong code here."""
    monkeypatch.setattr(Pairing, "try_digits", lambda *_: (None, 0.0))


def turned_away(answer: Answer, *also: int) -> None:
    """It was told no, in a page that may stand in no frame."""
    assert answer.status in (401, 404, 405, 413, 421, 422, 429, *also), answer
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]


@given(method=METHODS, path=PATHS, query=LATIN, headers=HEADERS, body=FORMS)
def test_a_stranger_gets_nothing_by_any_path_header_or_form(
    shop: Shop, method: str, path: str, query: str, headers: dict[str, str], body: str
) -> None:
    asked = {**headers, "host": SHOP_PC}
    turned_away(ask_bytes(shop.app, path, PHONE, method=method, query=query, body=body, **asked))


@given(path=PATHS, headers=HEADERS)
def test_no_screen_opens_for_a_stranger(shop: Shop, path: str, headers: dict[str, str]) -> None:
    assert ask_bytes(shop.app, path, PHONE, kind="websocket", **{**headers, "host": SHOP_PC}).status == 1008


@given(host=LATIN, origin=LATIN)
def test_no_other_name_leads_here(shop: Shop, host: str, origin: str) -> None:
    assert ask_bytes(shop.app, "/", HERE, host=f"{host}.example", origin=origin).status == 421


@given(
    cookie=st.one_of(LATIN, LATIN.map(lambda text: f"{COOKIE}={text}"), st.just(f"{COOKIE}=../../logbook.x"))
)
def test_no_cookie_that_was_made_up_opens_a_session(shop: Shop, cookie: str) -> None:
    turned_away(ask_bytes(shop.app, "/", PHONE, host=SHOP_PC, cookie=cookie))


@given(method=METHODS, body=FORMS, headers=HEADERS)
def test_a_customers_form_filled_with_anything_is_taken_or_refused_in_words(
    shop: Shop, method: str, body: str, headers: dict[str, str]
) -> None:
    answer = ask_bytes(
        shop.app,
        shop.link,
        PHONE,
        method=method,
        body=body,
        **{**headers, "host": SHOP_PC, "origin": f"http://{SHOP_PC}"},
    )
    assert answer.status in (200, 303, 404, 405, 413, 422), answer


@given(
    tail=PATHS, at=st.integers(0, 120), letter=st.characters(max_codepoint=255, exclude_characters="\r\n\0?#")
)
def test_a_link_with_one_letter_changed_or_more_behind_it_shows_nothing(
    shop: Shop, tail: str, at: int, letter: str
) -> None:
    at %= len(shop.link)
    changed = shop.link[:at] + letter + shop.link[at + 1 :]
    if changed != shop.link:
        assert ask_bytes(shop.app, changed, PHONE, host=SHOP_PC).status in (401, 404, 405)
    if tail != "/":
        assert ask_bytes(shop.app, shop.link + tail, PHONE, host=SHOP_PC).status in (307, 401, 404, 405)


@given(query=st.one_of(LATIN, st.dictionaries(st.sampled_from("fes"), LATIN).map(urlencode)), body=LATIN)
def test_an_upload_that_nobody_asked_for_lays_nothing_down(shop: Shop, query: str, body: str) -> None:
    answer = ask_bytes(shop.app, "/upload", HERE, method="PUT", query=query, body=body)
    assert answer.status in (400, 403, 410)
    assert not list((shop.bench.folder / "uploads").iterdir())


@given(sha256=LATIN, query=SIGNED.map(lambda signed: urlencode(signed, errors="replace")))
def test_a_document_without_its_link_is_refused(shop: Shop, sha256: str, query: str) -> None:
    answer = ask_bytes(shop.app, f"/document/{sha256}.pdf", HERE, query=query)
    assert answer.status in (200, 403, 404, 422)  # the client's own page, for what is no document
    assert not answer.body.startswith("%PDF")


def ask_bytes(app: Any, path: str, client: str, **asked: Any) -> Answer:
    """Ask with a path as the server gives it: decoded, whatever that comes to."""
    asked.setdefault("host", "127.0.0.1:8710")
    return ask(app, path, client=client, **asked)
