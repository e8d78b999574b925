"""The shop's served program, from a phone alone: where it is, being let in, a job there and back. The page asks."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from inspect_app.alone.page import Page, told_by
from inspect_app.trade.measuring.refusal import Refusal

NO_ADDRESS = "Type the address that the shop's program shows, such as https://192.168.1.7:8710."
BY_HTTP = (
    "{} is served by http. This app came by https, and a browser lets it send nothing there. Have the shop's program "
    "started with a certificate (--certificate) and type its https address, or take the job there as a file."
)
NOT_REACHED = (
    "The shop's program was not reached at {}. Is this phone in the shop's Wi-Fi? Does {} open in this browser without "
    "a warning about its certificate? Was the program started with --phones-from and the address of this app? Nothing "
    "was sent; what you entered is saved here."
)


@dataclass(frozen=True, slots=True)
class ShopInReach:
    """What `screens.host.Shop` asks for.

    Args:
        page: the browser's.
    """

    page: Page

    def address(self) -> str:
        """As the page keeps it."""
        return told_by(self.page).shop

    async def pair(self, address: str, code: str) -> None:
        """By the code that the host shows."""
        where = address_of(address)
        _refused(await self.page.pair(where, code), where)

    async def send(self, packed: bytes) -> tuple[list[str], bytes]:
        """The page knows what lets it in."""
        answer = await self.page.send(packed)
        _refused(answer, self.address())
        said = json.loads(str(answer.said))
        return [str(words) for words in said], bytes(answer.bytes.to_bytes())


def address_of(typed: str) -> str:
    """The shop's address as a browser asks for it: no path, and https where nothing was typed.

    Args:
        typed: as typed.
    Raises:
        Refusal: it is none, or one that no page that came by https can reach.

    >>> address_of(" 192.168.1.7:8710/pair ")
    'https://192.168.1.7:8710'
    """
    text = typed.strip()
    try:
        asked = urlsplit(text if "://" in text else f"https://{text}")
    except ValueError as e:
        raise Refusal(NO_ADDRESS) from e
    if asked.scheme == "http":
        raise Refusal(BY_HTTP.format(text))
    if asked.scheme != "https" or not asked.hostname or "@" in asked.netloc or " " in asked.netloc:
        raise Refusal(NO_ADDRESS)
    return f"https://{asked.netloc.lower()}"


def _refused(answer: Any, where: str) -> None:
    """Refuse where the shop did, in its own words, or was not reached."""
    if not answer.status:
        raise Refusal(NOT_REACHED.format(where, where))
    if answer.status != 200:
        raise Refusal(bytes(answer.bytes.to_bytes()).decode("utf-8", "replace")[:400])
