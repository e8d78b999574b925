"""This machine's own: its addresses, a port, a QR code on its terminal, its browser, and who serves a folder.

Knows nothing of the web app behind the port. Nothing here sends anything.
"""

from __future__ import annotations

import os
import socket
import ssl
import sys
import webbrowser
from collections.abc import Iterator
from contextlib import suppress
from ipaddress import IPv4Address
from pathlib import Path

from inspect_app.trade.measuring.refusal import Refusal

NOT_THE_WIFI = (
    "tun",
    "tap",
    "wg",
    "ppp",
    "utun",
    "ipsec",
    "tailscale",
    "zt",
    "docker",
    "br-",
    "veth",
    "virbr",
    "vmnet",
)
"""How interfaces are named that lead into a tunnel or to machines inside this one; a phone is on none of them."""

TEXT_BROWSERS = ("www-browser", "lynx", "links", "links2", "elinks", "w3m")

SIOCGIFADDR = 0xC0206921 if sys.platform == "darwin" else 0x8915
"""The system's question for an interface's address."""


def lan_addresses() -> list[str]:
    """This machine's addresses in networks, the likeliest to be the shop's first; none if it is in no network."""
    by_interface = dict(_interfaces())
    with suppress(OSError):  # Windows names every adapter so; elsewhere it is one more chance
        for address in socket.gethostbyname_ex(socket.gethostname())[2]:
            by_interface.setdefault(address, "")
    if routed := _routed():
        by_interface.setdefault(routed, "")
    found = [a for a in by_interface if not IPv4Address(a).is_loopback]

    def unlikely(address: str) -> tuple[bool, bool, bool, str]:
        tunnel = by_interface[address].startswith(NOT_THE_WIFI)
        ip = IPv4Address(address)
        return tunnel, ip.is_link_local or not ip.is_private, address != routed, address

    return sorted(found, key=unlikely)


def _interfaces() -> Iterator[tuple[str, str]]:
    """Address and name of each interface that has one, where the system can be asked so."""
    try:
        import fcntl
    except ImportError:
        return
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                answer = fcntl.ioctl(probe.fileno(), SIOCGIFADDR, name.encode()[:15].ljust(256, b"\0"))
                yield socket.inet_ntoa(answer[20:24]), name


def _routed() -> str:
    """The address that the way out of this network starts from, "" where there is none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # a documentation address: only the route is looked up
        return str(probe.getsockname()[0])
    return ""


def free_port(wanted: int, host: str) -> int:
    """The wanted port if it is free, else one that is."""
    for port in (wanted, 0):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, port))
                return int(probe.getsockname()[1])
            except OSError:
                continue
    return wanted


def qr_squares(text: str) -> tuple[tuple[bool, ...], ...]:
    """A QR code row by row, True where it is dark, without the quiet margin around it.

    Args:
        text: what it carries.
    """
    from reportlab.graphics.barcode.qr import QrCodeWidget

    code = QrCodeWidget(text, barLevel="M").qr
    code.make()
    n = code.getModuleCount()
    return tuple(tuple(bool(code.isDark(r, c)) for c in range(n)) for r in range(n))


def qr_lines(text: str) -> list[str]:
    """A QR code for a terminal, two rows of squares to a line, black on white whatever its own colours are.

    Args:
        text: what it carries.
    """
    squares = qr_squares(text)
    n = len(squares)
    dark = [[0 <= r < n and 0 <= c < n and squares[r][c] for c in range(-2, n + 2)] for r in range(-2, n + 3)]
    faces = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}
    # white is asked for twice: a terminal of eight colours knows only the first, which is its light grey
    black_on_white, as_before = "\x1b[30;47;107m", "\x1b[0m"
    return [
        black_on_white
        + "".join(faces[upper, lower] for upper, lower in zip(dark[r], dark[r + 1], strict=True))
        + as_before
        for r in range(0, len(dark) - 1, 2)
    ]


def browser() -> webbrowser.BaseBrowser | None:
    """This machine's browser; None where it has only one of text, which would take the terminal, or none."""
    windows = os.name == "nt" or sys.platform == "darwin"
    if not windows and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return None
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return None
    return None if Path(str(getattr(found, "name", ""))).name in TEXT_BROWSERS else found


def certificate(file: Path | None, key: Path | None) -> ssl.SSLContext | None:
    """What is shown to prove that it is this machine; None where neither file was given.

    Args:
        file: the certificate, PEM, with those between it and the shop's own authority.
        key: its private key, PEM, without a passphrase.
    Raises:
        Refusal: one of them is missing or cannot be used.
    """
    if file is None and key is None:
        return None
    if file is None or key is None:
        raise Refusal("A certificate and its key belong together: give --certificate FILE and --key FILE.")
    for one in (file, key):
        if not one.is_file():
            raise Refusal(f"There is no file {one}.")
    shown = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)

    def locked() -> str:
        raise Refusal(f"{key} is locked with a passphrase; give one that is not, readable by you alone.")

    try:
        shown.load_cert_chain(file, key, password=locked)
    except (OSError, ValueError) as error:
        raise Refusal(
            f"{file} and {key} cannot be used ({getattr(error, 'reason', '') or error}). Both must be PEM files, "
            "and the key that of the certificate."
        ) from error
    return shown
