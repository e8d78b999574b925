"""Real sockets: how many, how slow and how large they may be; TLS; and the end of the program."""

from __future__ import annotations

import contextlib
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from host import ROOT, Host, free_port
from websockets.sync.client import connect

from inspect_app.bench.bench import Bench
from inspect_app.serve import doorstep, network, web
from inspect_app.serve.crowd import MOST_OF_ONE, Crowd
from inspect_app.serve.door import LOOPBACK, Door
from inspect_app.trade.measuring.refusal import Refusal
from tests.serve.test_serving import inside

PATIENCE_S = 60.0
HERE, STRANGER = "127.0.0.1", "127.0.0.2"


@dataclass
class Served:
    """A door served on a port of this machine as the program serves it."""

    port: int

    def connect(self, source: str = HERE) -> socket.socket:
        return socket.create_connection((HERE, self.port), PATIENCE_S, source_address=(source, 0))

    def ask(
        self,
        sent: bytes = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n",
        source: str = HERE,
    ) -> bytes:
        """What comes back until the connection is closed."""
        with self.connect(source) as line:
            line.sendall(sent)
            return everything(line)


def everything(line: socket.socket) -> bytes:
    """All that comes until the other side closes."""
    came = b""
    with contextlib.suppress(ConnectionResetError):
        while part := line.recv(65_536):
            came += part
    return came


@contextlib.contextmanager
def serving(shown: ssl.SSLContext | None = None) -> Iterator[Served]:
    """A door as the program serves it, in a thread."""
    port = free_port()
    settings = web._settings(Door(inside, None, LOOPBACK), shown)
    server = uvicorn.Server(uvicorn.Config(host=HERE, port=port, lifespan="off", **settings))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        assert thread.is_alive()
        time.sleep(0.01)
    try:
        yield Served(port)
    finally:
        server.should_exit = True
        thread.join()


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    with serving() as there:
        yield there


def needs_a_second_address(port: int) -> None:
    try:
        socket.create_connection((HERE, port), PATIENCE_S, source_address=(STRANGER, 0)).close()
    except OSError:
        pytest.skip("this system has no second loopback address to try")


# ---- how many


def test_300_half_open_connections_keep_no_page_out(served: Served) -> None:
    needs_a_second_address(served.port)
    with contextlib.ExitStack() as held:
        lines = [held.enter_context(served.connect(STRANGER)) for _ in range(300)]
        for line in lines:
            with contextlib.suppress(ConnectionError):
                line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-")
        assert b"the jobs" in served.ask()  # another address
        assert b"the jobs" in served.ask(source=STRANGER)  # and behind the same one
        for line in lines:
            line.settimeout(0.5)
        cut = sum(closed(line) for line in lines[: 300 - MOST_OF_ONE])
        assert cut == 300 - MOST_OF_ONE  # the ones that waited longest gave way


def closed(line: socket.socket) -> bool:
    """Whether the other side has closed it."""
    try:
        return line.recv(1) == b""
    except ConnectionError:
        return True
    except TimeoutError:
        return False


class Line:
    """A connection of no network."""

    def __init__(self, waits: bool = True) -> None:
        self.waits = waits
        self.cuts = 0

    def cut(self) -> None:
        self.cuts += 1


def test_a_connection_that_is_being_answered_gives_way_to_none() -> None:
    crowd, busy = Crowd(most_of_one=3, most_of_all=10), [Line(waits=False) for _ in range(3)]
    assert all(crowd.join("a", line) for line in busy)
    assert not crowd.join("a", Line())
    assert crowd.join("b", Line())
    assert [line.cuts for line in busy] == [0, 0, 0]
    crowd.leave("a", busy[0])
    assert crowd.join("a", waiting := Line())
    assert crowd.join("a", Line())
    assert waiting.cuts == 1


def test_of_all_addresses_the_one_with_most_gives_way() -> None:
    crowd = Crowd(most_of_one=4, most_of_all=6)
    lines = {name: [Line() for _ in range(n)] for name, n in (("a", 4), ("b", 2))}
    assert all(crowd.join(name, line) for name, those in lines.items() for line in those)
    assert crowd.join("c", Line())
    assert [line.cuts for line in lines["a"]] == [1, 0, 0, 0]
    assert [line.cuts for line in lines["b"]] == [0, 0]
    assert len(crowd) == 6


# ---- how slow, how large


@pytest.mark.parametrize(
    "sent", [b"", b"GET / HT", b"POST /x HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 9\r\n\r\n1"]
)
def test_who_sends_nothing_more_is_given_up(
    served: Served, monkeypatch: pytest.MonkeyPatch, sent: bytes
) -> None:
    monkeypatch.setattr(doorstep, "HEAD_S", 0.2)
    monkeypatch.setattr(doorstep, "STALLED_S", 0.2)
    with served.connect() as line:
        line.sendall(sent)
        everything(line)  # comes to an end


def sent_on_and_on(line: socket.socket, part: bytes, every_s: float = 0.0) -> None:
    """Send without end, for as long as the other side takes it."""
    for _ in range(10_000):
        line.sendall(part)
        time.sleep(every_s)


def test_a_head_that_drips_is_given_up_all_the_same(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doorstep, "HEAD_S", 0.3)
    with served.connect() as line, pytest.raises(ConnectionError):
        sent_on_and_on(line, b"G", 0.05)


def test_a_second_request_on_a_line_may_be_half_open_no_longer_than_the_first(
    served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(doorstep, "HEAD_S", 0.2)
    with served.connect() as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\nGET / HT")
        assert everything(line).count(b"the jobs") == 1


def test_a_head_without_end_is_read_no_further(served: Served) -> None:
    with served.connect() as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n")
        with pytest.raises(ConnectionError):
            sent_on_and_on(line, b"X-Long: " + b"a" * 10_000)


@pytest.mark.parametrize(
    "sent",
    [
        b"\r\n\r\n",
        b"\x16\x03\x01",
        b"GET / HTTP/9.9\r\n\r\n",
        b"\x00" * 500,
        b"GET  HTTP/1.1\r\nHost:\r\n\r\n",
    ],
)
def test_what_is_no_request_is_told_so_and_the_next_one_is_answered(served: Served, sent: bytes) -> None:
    with served.connect() as line:
        line.sendall(sent)
        line.shutdown(socket.SHUT_WR)
        answer = everything(line)
    assert b" 500 " not in answer
    assert b"the jobs" in served.ask()


# ---- TLS


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a certificate of the shop's own for this machine, and its key."""
    folder = tmp_path_factory.mktemp("tls")
    command = (
        "openssl req -x509 -newkey rsa:2048 -nodes -keyout key.pem -out cert.pem -days 2 -subj /CN=bench"
    )
    try:
        subprocess.run(
            [*command.split(), "-addext", "subjectAltName=IP:127.0.0.1"],
            cwd=folder,
            check=True,
            capture_output=True,
        )
    except FileNotFoundError:
        pytest.skip("this machine has no openssl to make a certificate with")
    return folder


@pytest.fixture(scope="module")
def shown(papers: Path) -> Iterator[Served]:
    with serving(network.certificate(papers / "cert.pem", papers / "key.pem")) as there:
        yield there


def trusting(papers: Path) -> ssl.SSLContext:
    return ssl.create_default_context(cafile=str(papers / "cert.pem"))


def test_with_a_certificate_the_page_comes_by_tls(shown: Served, papers: Path) -> None:
    request = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
    for version in (ssl.TLSVersion.TLSv1_2, ssl.TLSVersion.TLSv1_3):
        trusts = trusting(papers)
        trusts.minimum_version = trusts.maximum_version = version
        for _ in range(5):  # what is asked may come with the handshake's last flight, or after it
            with shown.connect() as bare, trusts.wrap_socket(bare, server_hostname=HERE) as line:
                line.sendall(request)
                assert b"the jobs" in everything(line)


def test_a_screens_connection_comes_by_tls_too(shown: Served, papers: Path) -> None:
    with connect(f"wss://{HERE}:{shown.port}/ws", ssl=trusting(papers)):
        pass


def test_plain_http_is_told_where_to_go(shown: Served) -> None:
    answer = shown.ask(f"GET /job/1 HTTP/1.1\r\nHost: {HERE}:{shown.port}\r\n\r\n".encode())
    assert answer.startswith(b"HTTP/1.1 307")
    assert f"location: https://{HERE}:{shown.port}/\r\n".encode() in answer
    assert answer.endswith(f"This is served by https alone. Open https://{HERE}:{shown.port}/\n".encode())
    odd = shown.ask(b'GET / HTTP/1.1\r\nHost: a"><b>\r\n\r\n')
    assert b"<b>" not in odd
    assert f"https://{HERE}:{shown.port}/".encode() in odd


def test_what_is_neither_tls_nor_http_ends_and_leaves_the_others(
    shown: Served, papers: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(doorstep, "HEAD_S", 0.2)
    for sent in (b"", b"\x16", b"\x16\x03\x01" + b"\xff" * 300, b"\x16\x03\x01\x00\x05hello"):
        with shown.connect() as line:
            line.sendall(sent)
            everything(line)
    test_with_a_certificate_the_page_comes_by_tls(shown, papers)


@pytest.mark.parametrize(
    ("certificate", "key", "said"),
    [
        ("cert.pem", None, "belong together"),
        (None, "key.pem", "belong together"),
        ("no.pem", "key.pem", "There is no file "),
        ("key.pem", "cert.pem", "cannot be used"),
        ("cert.pem", "other.pem", "cannot be used"),
        ("cert.pem", "noise.pem", "cannot be used"),
        ("cert.pem", "locked.pem", "passphrase"),
    ],
)
def test_a_certificate_that_cannot_be_used_is_said_in_a_sentence(
    papers: Path, certificate: str | None, key: str | None, said: str
) -> None:
    def openssl(command: str) -> None:
        subprocess.run(f"openssl {command}".split(), cwd=papers, check=True, capture_output=True)

    (papers / "noise.pem").write_bytes(b"\xff\x00noise")
    if key == "other.pem":
        openssl("genrsa -out other.pem 2048")
    if key == "locked.pem":
        openssl("rsa -in key.pem -aes128 -passout pass:secret -out locked.pem")
    with pytest.raises(Refusal) as refused:
        network.certificate(certificate and papers / certificate, key and papers / key)
    assert said in str(refused.value)


# ---- the end


def test_asked_to_end_it_ends_while_screens_are_open_and_what_was_saved_stands(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    bench = Bench(folder)
    job = bench.open_job("S-14", "KM")
    bench.close()
    with Host(folder) as host, contextlib.ExitStack() as held:
        for _ in range(3):  # none of them says who it is, for which the framework would wait
            held.enter_context(connect(f"ws://{HERE}:{host.port}/ws"))
        half_open = held.enter_context(socket.create_connection((HERE, host.port)))
        half_open.sendall(b"GET / HT")
        host._process.send_signal(signal.SIGTERM)
        host._process.wait(PATIENCE_S)  # without an end to its patience it would wait for the screens
        assert "Traceback" not in host.told()
    again = Bench(folder)
    assert [found.id for found in again.jobs()] == [job.id]
    again.close()


@pytest.mark.parametrize("port", ["99999", "-1", "65536", "eight", "8710.5"])
def test_a_port_that_is_none_is_said_in_a_sentence(tmp_path: Path, port: str) -> None:
    command = [
        sys.executable,
        "-m",
        "inspect_app",
        "--data",
        str(tmp_path / "x"),
        "--port",
        port,
        "--no-browser",
    ]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE_S, check=False)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "--port" in done.stderr
    assert port in done.stderr
    assert not (tmp_path / "x").exists()
