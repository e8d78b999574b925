"""What the screens ask of whoever hosts them: to open a document, have photographs picked and brought here, let a
customer's own phone in.

A shop's server has links and an upload route; Python in a phone's own browser has neither. So no screen knows
how either is done: it gives bytes and a name, and is given bytes and a name.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import flet as ft

from inspect_app.bench.sessions import Paired
from inspect_app.entries.people import Holder
from inspect_app.logbook.photos import MOST_BYTES, Developed

LARGEST = MOST_BYTES
"""The largest photograph that is taken in, bytes."""


@dataclass(frozen=True, slots=True)
class Touch:
    """What a touch of a button does: in the client and within the touch itself, and here a moment later."""

    action: ft.ClientAction | None = None
    then: Callable[[object], Awaitable[None]] | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """A photograph that the phone's own decoder made already, and the hash of the file it was made of."""

    developed: Developed
    original_sha256: str


class Picked(Protocol):
    """A photograph or another file that was picked and is not here yet."""

    @property
    def name(self) -> str:
        """Its file's name on the phone."""

    async def bring(self, moved: Callable[[float], None]) -> bytes | Made:
        """Have it here, as it came from the camera or made already.

        Args:
            moved: told how much of it is here, 0 to 1.
        Raises:
            Refusal: it did not come; says why.
        """


@dataclass(frozen=True, slots=True)
class CustomersWay:
    """How a customer's own phone opens one scope: the address, and its QR code row by row, True where dark."""

    address: str
    squares: tuple[tuple[bool, ...], ...]


@dataclass(frozen=True, slots=True)
class WayIn:
    """How one device is paired: the address with its QR code row by row, True where dark, and the digits instead."""

    address: str
    squares: tuple[tuple[bool, ...], ...]
    code: str


class Devices(Protocol):
    """The shop's paired phones, in the hand of the host."""

    def every(self) -> Sequence[Paired]:
        """All of them, the one seen last first."""

    def end(self, name: str) -> None:
        """End a device's session; its screens close at once.

        Args:
            name: the session's id.
        """

    def way_in(self, person: str) -> WayIn | None:
        """A new way in for one device; None where this machine is in no network.

        Args:
            person: id of whose it will be, "" for whoever comes.
        """


class Access(Protocol):
    """How the session came in that a screen belongs to."""

    def holder(self) -> Holder:
        """Whose hand it is in, asked anew each time: the host may have changed that."""

    def hold(self, name: str) -> None:
        """Another person holds it from now on.

        Args:
            name: the person's id.
        Raises:
            Refusal: it would open more than it was paired for.
            NotSaved: the disk refused.
        """

    def came_back(self) -> None:
        """The same screen is connected anew, maybe in another session."""

    def devices(self) -> Devices | None:
        """The paired phones; None for whoever is not the host, and where no phone can come in."""


@dataclass(frozen=True, slots=True)
class Note:
    """What a host says of itself on the list of jobs, in the role of a colour; with what can be done about it."""

    words: str
    role: str = "unclear"
    does: str = ""
    then: Callable[[], Awaitable[None]] | None = None


class Shop(Protocol):
    """The shop's served program, as a phone alone reaches it."""

    def address(self) -> str:
        """Where the one is that this phone was paired with, "" for none."""

    async def pair(self, address: str, code: str) -> None:
        """Be let in there from now on.

        Args:
            address: as typed.
            code: as typed, off the host's screen.
        Raises:
            Refusal: it cannot be reached so, or does not let this phone in.
        """

    async def send(self, packed: bytes) -> tuple[list[str], bytes]:
        """Hand a job's file in: what the shop says of it, and its own file of the job.

        Args:
            packed: the file.
        Raises:
            Refusal: it was not reached, or took nothing in.
        """


class Host(Protocol):
    """Where one session runs."""

    def notes(self) -> Sequence[Note]:
        """What there is to say of the place the data is kept at; nothing where it is the shop's own machine."""

    def lower_edge(self) -> float:
        """How much of the screen's lower edge the phone keeps for itself without telling the toolkit, dp."""

    def handing_over(self, name: str, made: bytes) -> Touch | None:
        """The touch that gives a document to another app or person; None where opening it does that already.

        Args:
            name: its file name.
            made: what is in it.
        """

    def access(self) -> Access | None:
        """How this session came in; None where there is no other way than this machine itself."""

    def shop(self) -> Shop | None:
        """The shop's program, where this is a phone alone that could hand a job to it."""

    def address(self) -> str:
        """Where a phone of the shop reaches the program, such as http://192.168.1.7:8710; "" where none can come in."""

    def customers_way(self, job_id: str, sha256: str) -> CustomersWay | None:
        """The way to one version of a job's scope and to nothing else; None where no other phone can come in.

        Args:
            job_id: the job.
            sha256: the version's hash.
        """

    def opening(self, name: str, made: bytes) -> Touch:
        """The touch that opens a document.

        Args:
            name: its file name.
            made: what is in it.
        """

    def picking(self, any_file: bool = False) -> ft.ClientAction | None:
        """What the client does within the touch itself, since a browser lets only a touch ask for files.

        Args:
            any_file: one file of any kind instead of photographs.
        """

    async def pick(self, any_file: bool = False) -> Sequence[Picked]:
        """What was picked after such a touch; nothing if the person thought better of it.

        Args:
            any_file: as the touch was told.
        """
