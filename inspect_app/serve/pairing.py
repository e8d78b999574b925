"""The short-lived codes that let a device in, each once, and who has typed wrong ones. Knows no server.

Wrong codes count against the address they come from alone, so that no stranger keeps the shop's phones out. When too
many come from all addresses together, digits are not taken for a while, but the link behind the QR code is: nobody
guesses that.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

CODE_SECONDS = 600
MOST_GUESSES = 10
"""Wrong codes of one address before it waits for WAIT_SECONDS."""
WAIT_SECONDS = 600
MOST_WRONG = 100
"""Wrong codes of all addresses within WAIT_SECONDS before digits are not taken: 1 chance in 10 000 by then."""
MOST_OFFERS = 5
MOST_STRANGERS = 4096
"""So many addresses are remembered; a longer list would be a stranger's to fill."""
PREFIX = "/pair/"

WAIT = "Too many wrong codes came from here. Wait ten minutes, or scan the QR code that the host shows."
ONLY_QR = "Too many wrong codes came in. Scan the QR code that the host shows; it opens as before."
WRONG = "That code is wrong, was used, or has run out. Type the one the host shows now."


@dataclass(frozen=True, slots=True)
class Offer:
    """What lets one device in once: six digits, the token of its link, for whom ("" for whoever comes), until when."""

    code: str
    token: str
    person: str
    until: float

    @property
    def path(self) -> str:
        """The path of the page that lets a device in."""
        return f"{PREFIX}{self.token}"


@dataclass(slots=True)
class Stranger:
    """How often an address was wrong, and when last."""

    wrong: int
    last: float


class Pairing:
    """The codes that stand, and who was wrong.

    Args:
        show: told of each code that the host's terminal is to show.
        warn: told, in a sentence, of who tries codes.
        now: a clock that never goes back, s.
    """

    def __init__(
        self,
        show: Callable[[Offer], None],
        warn: Callable[[str], None] = lambda _: None,
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        self._show = show
        self._warn = warn
        self._now = now
        self._offers: list[Offer] = []
        self._strangers: dict[str, Stranger] = {}
        self._wrong: deque[float] = deque(maxlen=MOST_WRONG)

    def offer(self) -> None:
        """Make sure that a code for whoever comes is shown on the host."""
        if not any(offer.person == "" for offer in self._standing()):
            self._show(self.offer_to(""))

    def offer_to(self, person: str) -> Offer:
        """A new code for one person's device, in place of the one before.

        Args:
            person: the person's id, "" for whoever comes.
        """
        code, token = f"{secrets.randbelow(1_000_000):06d}", secrets.token_urlsafe(16)
        others = [offer for offer in self._standing() if offer.person != person]
        made = Offer(code, token, person, self._now() + CODE_SECONDS)
        self._offers = [*others[1 - MOST_OFFERS :], made]
        return made

    def _standing(self) -> list[Offer]:
        return [offer for offer in self._offers if offer.until > self._now()]

    def linked(self, token: str) -> Offer | None:
        """The code that a link stands for, None of a link that was used or has run out.

        Args:
            token: as the link has it.
        """
        matches = (o for o in self._standing() if hmac.compare_digest(o.token.encode(), token.encode()))
        return next(matches, None)

    def use_link(self, token: str) -> Offer | None:
        """As `linked`, and the code is used up."""
        found = self.linked(token)
        self._use(found)
        return found

    def _use(self, offer: Offer | None) -> None:
        self._offers = [o for o in self._standing() if o is not offer]

    def refuses(self, address: str) -> str:
        """Why digits from an address are not even looked at just now, in a sentence; "" when they are.

        Args:
            address: where they come from.
        """
        stranger = self._strangers.get(address)
        if stranger and self._now() - stranger.last >= WAIT_SECONDS:
            del self._strangers[address]
        elif stranger and stranger.wrong >= MOST_GUESSES:
            return WAIT
        return ONLY_QR if self._besieged() else ""

    def _besieged(self) -> bool:
        return len(self._wrong) == MOST_WRONG and self._now() - self._wrong[0] < WAIT_SECONDS

    def try_digits(self, address: str, typed: str) -> tuple[Offer | None, float]:
        """What the digits let in, or None; and how long the answer is to be held back, s.

        It counts before it is held back: whoever asks a hundred times at once is slowed as by asking in a row.

        Args:
            address: where they come from.
            typed: as typed.
        """
        if self.refuses(address):
            return None, 0.0  # not counted: else one address alone could use up what all have together
        digits = "".join(c for c in typed if c in "0123456789")
        if found := next((o for o in self._standing() if hmac.compare_digest(o.code, digits)), None):
            self._use(found)
            self._strangers.pop(address, None)
            return found, 0.0
        wrong = self._count(address)
        return None, min(8.0, 0.25 * 2 ** (wrong - 1))

    def _count(self, address: str) -> int:
        now, was_besieged = self._now(), self._besieged()
        self._wrong.append(now)
        stranger = self._strangers.pop(address, Stranger(0, now))
        stranger.wrong, stranger.last = stranger.wrong + 1, now
        self._strangers[address] = stranger
        if len(self._strangers) > MOST_STRANGERS:
            del self._strangers[next(iter(self._strangers))]  # whoever was wrong longest ago
        if stranger.wrong == MOST_GUESSES:
            self._warn(
                f"{address} typed {MOST_GUESSES} wrong codes and must wait ten minutes. The others are let in."
            )
        if self._besieged() and not was_besieged:
            self._warn(
                f"{MOST_WRONG} wrong codes came in within ten minutes: until they stop, only QR codes let in."
            )
        return stranger.wrong
