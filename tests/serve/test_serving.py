"""Who gets in: this machine alone by default, the shop's phones by a code, a document only by a signed link."""

from __future__ import annotations

import asyncio
import gc
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from base64 import b64encode
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from host import ROOT, Host, answers, free_port

from inspect_app.bench.bench import Bench
from inspect_app.serve import network, web
from inspect_app.serve.door import LOOPBACK, Door
from inspect_app.serve.links import LINK_SECONDS, Lent, Links
from inspect_app.serve.pairing import Offer

HERE, PHONE = "127.0.0.1", "192.0.2.40"
SHOP_PC = "192.0.2.10"
PATIENCE_S = 120.0
"""Nobody is timed here: a busy machine may take this long."""


@dataclass
class Clock:
    """A clock that stands until it is told to go on."""

    seconds: float = 1_000.0

    def __call__(self) -> float:
        return self.seconds


@dataclass
class Answer:
    """What came back: a websocket is let in (status 101) or closed (its code)."""

    status: int
    headers: dict[str, str] = field(default_factory=dict)
    body: str = ""


def ask(
    door: Any,
    path: str = "/",
    *,
    client: str = HERE,
    method: str = "GET",
    query: str = "",
    body: str | bytes = "",
    kind: str = "http",
    server: str = "",
    **headers: str,
) -> Answer:
    """Ask the web app for a path as a browser at `client` would."""
    sent: list[dict[str, Any]] = []
    whole = body if isinstance(body, bytes) else body.encode(errors="replace")
    coming = [whole]
    scope = {
        "type": kind,
        "method": method,
        "path": path,
        "raw_path": path.encode(errors="replace"),
        "query_string": query.encode("latin-1", "replace"),
        "http_version": "1.1",
        "scheme": kind,
        "headers": [
            (k.encode(), v.encode("latin-1")) for k, v in {"host": "127.0.0.1:8710", **headers}.items()
        ],
        "client": (client, 40_000),
        "server": (server or (headers.get("host") if headers.get("host") == SHOP_PC else HERE), 8710),
    }

    async def receive() -> dict[str, Any]:
        if not coming:
            await asyncio.Event().wait()  # the browser waits for its answer
        coming.pop()
        return {"type": "http.request", "body": whole, "more_body": False}

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    asyncio.run(door(scope, receive, send))
    if sent[0]["type"] == "websocket.close":
        return Answer(sent[0]["code"])
    if sent[0]["type"] == "websocket.accept":
        return Answer(101)
    back = {k.decode().lower(): v.decode() for k, v in sent[0]["headers"]}
    return Answer(sent[0]["status"], back, b"".join(m.get("body", b"") for m in sent[1:]).decode("latin-1"))


async def inside(scope: Any, receive: Any, send: Any) -> None:
    """The app behind the door."""
    if scope["type"] == "websocket":
        await send({"type": "websocket.accept"})
        return
    headers = [(b"content-type", b"text/html; charset=utf-8")]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": b"the jobs"})


# ---- this machine alone


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    with Host(tmp_path_factory.mktemp("serving") / "shop") as host:
        yield host


def test_only_this_machines_own_address_is_listened_to(host: Host) -> None:
    # 127.0.0.2 is this machine too; whoever listened to every address would answer there
    with socket.create_server(("0.0.0.0", 0)) as everywhere:
        if not answers("127.0.0.2", everywhere.getsockname()[1]):
            pytest.skip("this system has no second loopback address to try")
    assert answers("127.0.0.1", host.port)
    assert not answers("127.0.0.2", host.port)
    assert f"http://127.0.0.1:{host.port}" in host.told()


def test_its_own_network_address_is_refused_too(host: Host) -> None:
    addresses = network.lan_addresses()
    if not addresses:
        pytest.skip("this machine is in no network")
    for address in addresses:
        assert not answers(address, host.port)


def test_the_first_page_tells_the_browser_to_fetch_from_nowhere_else_and_run_its_own_scripts(
    host: Host,
) -> None:
    with urllib.request.urlopen(host.url) as answer:
        policy, page = answer.headers["content-security-policy"], answer.read()
        again = urllib.request.Request(host.url, headers={"If-None-Match": answer.headers["etag"]})
    rules = {rule.split()[0]: set(rule.split()[1:]) for rule in policy.split(";")}
    scripts = re.findall(rb"<script>(.*?)</script>", page, re.DOTALL)
    assert any(b"No connection" in script for script in scripts)
    hashed = {f"'sha256-{b64encode(sha256(script).digest()).decode()}'" for script in scripts}
    assert rules["script-src"] == {"'self'", "'wasm-unsafe-eval'", *hashed}
    assert rules["default-src"] == {"'self'"}
    elsewhere = set().union(*rules.values()) - hashed
    assert elsewhere == {"'self'", "'none'", "'unsafe-inline'", "'wasm-unsafe-eval'", "data:", "blob:"}
    with pytest.raises(urllib.error.HTTPError) as unchanged:
        urllib.request.urlopen(again)
    assert unchanged.value.code == 304
    assert unchanged.value.headers["content-security-policy"] is None


def test_every_answer_may_stand_in_no_frame_and_is_taken_for_nothing_else(host: Host) -> None:
    for path in ("/", "/version.json", "/nowhere.js", "/docs", "/document/0.pdf"):
        try:
            with urllib.request.urlopen(f"{host.url}{path}") as answer:
                said = answer.headers
        except urllib.error.HTTPError as refused:
            said = refused.headers
        assert "frame-ancestors 'none'" in said["content-security-policy"], path
        assert said["x-frame-options"] == "DENY", path
        assert said["x-content-type-options"] == "nosniff", path
        assert said["referrer-policy"] == "same-origin", path
        assert said["server"] is None, path
        assert said["access-control-allow-origin"] is None, path


@pytest.mark.parametrize(
    "path", ["/docs", "/redoc", "/openapi.json", "/docs/oauth2-redirect", "/oauth_callback"]
)
def test_the_program_describes_itself_to_nobody(host: Host, path: str) -> None:
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(f"{host.url}{path}")
    assert refused.value.code == 404


def test_a_name_of_another_site_gets_no_page_even_if_it_leads_here(host: Host) -> None:
    request = urllib.request.Request(host.url, headers={"Host": "rebound.example"})
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request)
    assert refused.value.code == 421


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize(
    ("headers", "let_in"),
    [
        ({"host": "127.0.0.1:8710"}, True),
        ({"host": "localhost:8710"}, True),
        ({"host": "LOCALHOST:8710"}, True),
        ({"host": "[::1]:8710"}, True),
        ({"host": "127.0.0.1:8710", "origin": "http://127.0.0.1:8710"}, True),
        ({"host": "evil.example:8710"}, False),
        ({"host": "127.0.0.1.evil.example"}, False),
        ({"host": ""}, False),
        ({"host": "127.0.0.1:8710", "origin": "http://evil.example"}, False),
        ({"host": "127.0.0.1:8710", "origin": "http://127.0.0.1:3000"}, False),
        ({"host": "127.0.0.1:8710", "origin": "null"}, False),
    ],
)
def test_host_and_origin_must_both_be_ours(kind: str, headers: dict[str, str], let_in: bool) -> None:
    answer = ask(Door(inside, None, LOOPBACK), kind=kind, **headers)
    refused = 421 if kind == "http" else 1008
    assert answer.status == ((200 if kind == "http" else 101) if let_in else refused)


def test_a_second_start_over_a_folder_says_where_the_first_one_is(host: Host) -> None:
    second = started_over(host.folder)
    assert second.returncode == 2
    assert f"already running over {host.folder}: open {host.url} " in second.stderr
    assert second.stderr.count("\n") == 1
    with urllib.request.urlopen(host.url) as answer:
        assert answer.status == 200


@pytest.mark.thorough
def test_a_program_that_was_killed_holds_its_folder_no_longer(tmp_path: Path) -> None:
    with Host(tmp_path / "shop") as first:
        first.kill()
        first.start()
        assert started_over(first.folder).returncode == 2


def started_over(folder: Path) -> subprocess.CompletedProcess[str]:
    """The program started over a folder where it is expected to refuse."""
    command = [sys.executable, "-m", "inspect_app", "--data", str(folder), "--port", "0", "--no-browser"]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE_S, check=False)


@pytest.mark.thorough
@pytest.mark.parametrize("end", ["SIGINT", "SIGTERM"])
def test_a_demo_for_a_look_leaves_no_folder_behind(tmp_path: Path, end: str) -> None:
    command = [sys.executable, "-m", "inspect_app", "demo", "--no-browser", "--port", str(free_port())]
    environment = {**os.environ, "TMPDIR": str(tmp_path), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True) as demo:
        assert demo.stdout is not None
        for line in demo.stdout:
            if "On this machine" in line:
                break
        left = list(tmp_path.glob("inspect-demo-*"))
        assert [(folder / "logbook.db").is_file() for folder in left] == [True]
        assert answered(int(command[-1]))
        demo.send_signal(getattr(signal, end))
        demo.wait(PATIENCE_S)
    assert list(tmp_path.glob("inspect-demo-*")) == []


def answered(port: int) -> bool:
    """Whether somebody listens there before patience ends."""
    for _ in range(int(PATIENCE_S * 20)):
        if answers(HERE, port):
            return True
        time.sleep(0.05)
    return False


# ---- this machine's networks, browser and terminal


def interfaces(monkeypatch: pytest.MonkeyPatch, found: dict[str, str], routed: str = "") -> None:
    """Put this machine into other networks."""
    monkeypatch.setattr(network, "_interfaces", lambda: iter(found.items()))
    monkeypatch.setattr(network, "_routed", lambda: routed)
    monkeypatch.setattr(network.socket, "gethostbyname_ex", lambda _: ("pc", [], ["127.0.1.1"]))


@pytest.mark.parametrize(
    ("found", "routed", "said"),
    [
        ({"127.0.0.1": "lo"}, "", []),
        ({"127.0.0.1": "lo", "192.168.1.5": "wlan0"}, "", ["192.168.1.5"]),  # no way out of the shop
        # a tunnel takes the way out, and no phone is in it
        ({"10.8.0.2": "tun0", "192.168.1.5": "wlan0"}, "10.8.0.2", ["192.168.1.5", "10.8.0.2"]),
        ({"172.17.0.1": "docker0", "10.0.0.7": "eth0"}, "10.0.0.7", ["10.0.0.7", "172.17.0.1"]),
        ({"169.254.3.4": "usb0", "192.168.1.5": "wlan0"}, "", ["192.168.1.5", "169.254.3.4"]),
        ({"192.168.1.5": "eth0", "192.168.7.9": "wlan0"}, "192.168.7.9", ["192.168.7.9", "192.168.1.5"]),
        ({}, "203.0.113.8", ["203.0.113.8"]),  # a system that cannot be asked for its interfaces
    ],
)
def test_every_network_of_this_machine_is_found_the_likeliest_first(
    monkeypatch: pytest.MonkeyPatch, found: dict[str, str], routed: str, said: list[str]
) -> None:
    interfaces(monkeypatch, found, routed)
    assert network.lan_addresses() == said


def test_every_way_in_is_printed_the_likeliest_first(monkeypatch: pytest.MonkeyPatch) -> None:
    interfaces(monkeypatch, {"10.8.0.2": "tun0", "192.168.1.5": "wlan0"}, "10.8.0.2")
    first, other = web._ways_in("http", 8710)
    assert "http://192.168.1.5:8710 " in first
    assert "plain http" in first
    assert other.endswith("http://10.8.0.2:8710")
    assert next(web._ways_in("https", 8710)).endswith("https://192.168.1.5:8710")
    interfaces(monkeypatch, {})
    (alone,) = web._ways_in("http", 8710)
    assert "in no network" in alone


def test_a_code_is_printed_in_digits_and_as_a_picture_that_lets_in_without_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    offer = Offer("012345", "Zm9vYmFy", "", 0.0)
    interfaces(monkeypatch, {"192.168.1.5": "wlan0"})
    *picture, digits = web._code_lines(offer, "http", 8710)
    assert picture == network.qr_lines("http://192.168.1.5:8710/pair/Zm9vYmFy")
    assert digits.endswith("012 345")
    interfaces(monkeypatch, {})
    assert list(web._code_lines(offer, "http", 8710)) == [digits]


def test_the_code_on_the_terminal_is_black_on_white_and_whole() -> None:
    lines = network.qr_lines("http://192.168.1.5:8710")
    assert all(line.startswith("\x1b[30;47;107m") and line.endswith("\x1b[0m") for line in lines)
    halves = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
    rows: list[list[int]] = []
    for line in lines:
        faces = [halves[sign] for sign in re.sub(r"\x1b\[[\d;]*m", "", line)]
        rows += [[upper for upper, _ in faces], [lower for _, lower in faces]]
    size = len(rows[0]) - 4
    assert (size - 21) % 4 == 0  # ISO/IEC 18004: 21 modules, and 4 more a version
    eye = [[int(max(abs(r - 3), abs(c - 3)) != 2) for c in range(7)] for r in range(7)]  # 1:1:3:1:1
    for top, left in ((0, 0), (0, size - 7), (size - 7, 0)):
        assert [row[left + 2 : left + 9] for row in rows[top + 2 : top + 9]] == eye
    assert not any(rows[0] + rows[1] + [row[0] for row in rows] + [row[-1] for row in rows])  # quiet around


class _Browser(webbrowser.BaseBrowser):
    def open(self, url: str, new: int = 0, autoraise: bool = True) -> bool:
        return True


@pytest.mark.parametrize(
    ("name", "display", "opened"),
    [("firefox", ":0", True), ("/usr/bin/w3m", ":0", False), ("lynx", ":0", False), ("firefox", "", False)],
)
def test_a_text_browser_is_never_opened(
    monkeypatch: pytest.MonkeyPatch, name: str, display: str, opened: bool
) -> None:
    monkeypatch.setattr(network.sys, "platform", "linux")
    monkeypatch.setattr(network.webbrowser, "get", lambda: _Browser(name))
    monkeypatch.setenv("DISPLAY", display)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert (network.browser() is not None) is opened


# ---- documents


def parts(link: str) -> tuple[str, int, str]:
    """The document's hash, the end of a link's time, and its signature."""
    found = re.fullmatch(r"/document/([0-9a-f]{64})\.pdf\?until=(\d+)&by=([0-9a-f]{64})", link)
    assert found
    return found[1], int(found[2]), found[3]


def test_a_link_is_good_for_ten_minutes_for_one_document_and_from_one_run_only() -> None:
    clock = Clock()
    links = Links(now=clock)
    sha256, until, by = parts(links.lend("one.pdf", b"one"))
    other, _, _ = parts(links.lend("other.pdf", b"other"))
    lent = links.fetch(sha256, until, by)
    assert lent is not None
    assert (lent.name, lent.made) == ("one.pdf", b"one")
    assert links.fetch(other, until, by) is None
    assert links.fetch(sha256, until + 1, by) is None
    assert links.fetch(sha256, until, by[:-1] + ("0" if by[-1] != "0" else "1")) is None
    assert links.fetch(sha256, until, "") is None
    assert links.fetch(sha256, until, "é") is None
    assert Links(now=clock).fetch(sha256, until, by) is None
    clock.seconds += LINK_SECONDS + 1
    assert links.fetch(sha256, until, by) is None


def test_a_document_is_let_go_with_its_last_link() -> None:
    clock = Clock()
    links = Links(now=clock)
    links.lend("one.pdf", b"one")
    clock.seconds += LINK_SECONDS / 2
    again = parts(links.lend("one.pdf", b"one"))
    clock.seconds += LINK_SECONDS / 2 + 1
    links.lend("other.pdf", b"other")  # the first link of one.pdf has run out, the second has not
    assert links.fetch(*again)
    clock.seconds += LINK_SECONDS / 2
    links.lend("third.pdf", b"third")
    gc.collect()
    assert "one.pdf" not in [o.name for o in gc.get_objects() if isinstance(o, Lent)]


def test_the_screen_of_a_phone_that_is_away_is_kept_for_a_break_and_not_for_a_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made, told = web.flet_fastapi.app, dict[str, Any]()
    monkeypatch.setattr(web.flet_fastapi, "app", lambda *a, **k: told.update(k) or made(*a, **k))
    web.web_app(Bench(tmp_path))
    assert 30 * 60 <= told["session_timeout_seconds"] <= 2 * 3600


def test_a_document_comes_by_its_link_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    links: list[Links] = []

    class Watched(Links):
        def __init__(self) -> None:
            super().__init__()
            links.append(self)

    monkeypatch.setattr(web, "Links", Watched)
    app = web.web_app(Bench(tmp_path))
    good = links[0].lend("inspection-1.pdf", b"%PDF-1.4 of a job")

    def fetch(link: str) -> Answer:
        path, _, query = link.partition("?")
        return ask(app, path, query=query)

    assert fetch(good).status == 200
    assert fetch(good).body == "%PDF-1.4 of a job"
    assert fetch(good).headers["content-disposition"] == 'inline; filename="inspection-1.pdf"'
    assert fetch(good.partition("?")[0]).status == 403
    assert fetch(good[:-1] + ("0" if good[-1] != "0" else "1")).status == 403
    assert fetch(Links().lend("inspection-1.pdf", b"%PDF-1.4 of a job")).status == 403  # of another run
