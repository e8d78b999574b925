"""How a served session came in, and what the host does with the sessions of others."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.bench.bench import Bench
from inspect_app.bench.people import THE_HOST, holder_named, may_hold
from inspect_app.bench.sessions import Paired
from inspect_app.entries.people import HOST, Holder
from inspect_app.screens.host import WayIn
from inspect_app.serve.door import SESSION, THIS_MACHINE, Gate
from inspect_app.serve.network import qr_squares


class CameIn:
    """What `screens.host.Access` asks for; made while the session's own request is answered.

    Args:
        bench: the open data folder.
        gate: lets other devices in; None when only this machine is served.
        where: where phones reach the program, "" where none can.
    """

    def __init__(self, bench: Bench, gate: Gate | None, where: str) -> None:
        self._bench = bench
        self._gate = gate
        self._ways = PairedBy(gate, where) if gate else None
        self._session = SESSION.get()

    def came_back(self) -> None:
        """The session of the request that brought the screen back counts from now on."""
        self._session = SESSION.get()

    def holder(self) -> Holder:
        """The host at this machine itself; of a phone, the person its session has now."""
        if self._session == THIS_MACHINE:
            return THE_HOST
        known = self._known()
        return holder_named(self._bench, known.person) if known else Holder()

    def hold(self, name: str) -> None:
        """As `Access.hold`; at this machine itself there is nothing to be held."""
        if self._gate and (known := self._known()):
            person = may_hold(self._bench, known.person, name)
            self._gate.sessions.hold(known.id, person.id)

    def devices(self) -> PairedBy | None:
        """Of the host alone, at this machine or on a phone."""
        return self._ways if self.holder().role == HOST else None

    def _known(self) -> Paired | None:
        return self._gate.sessions.named(self._session) if self._gate else None


class PairedBy:
    """What `screens.host.Devices` asks for.

    Args:
        gate: lets other devices in.
        where: the address they reach the program by, such as https://192.168.1.7:8710.
    """

    def __init__(self, gate: Gate, where: str) -> None:
        self._gate = gate
        self._where = where

    def every(self) -> Sequence[Paired]:
        """All sessions."""
        return self._gate.sessions.every()

    def end(self, name: str) -> None:
        """End one; the door closes its screens."""
        self._gate.sessions.end(name)

    def way_in(self, person: str) -> WayIn | None:
        """A code for one device; that of the terminal is another one."""
        if not self._where:
            return None
        offer = self._gate.pairing.offer_to(person)
        address = f"{self._where}{offer.path}"
        return WayIn(address, qr_squares(address), offer.code)
