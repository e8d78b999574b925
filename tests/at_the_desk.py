"""A desk in a test's hand: the real screens without server, browser or client, tapped by what a screen reader says.

What is shown is read out of the controls, and a tap calls what they call. What needs the client itself (its
picture, its own back button) is not seen here.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator, Sequence
from dataclasses import dataclass, field

import flet as ft
import msgpack
from flet.messaging.connection import Connection
from flet.messaging.protocol import (
    Message,
    MessageAction,
    RegisterClientResponseBody,
    configure_encode_object_for_msgpack,
)
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub

from inspect_app.bench.bench import Bench
from inspect_app.screens.app import App
from inspect_app.screens.desk import Desk
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import Access, Note, Picked, Shop, Touch


class Nobody(Connection):
    """A client that is told everything and answers nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.pubsubhub = PubSubHub()
        self.loop = asyncio.get_running_loop()

    def send_message(self, message: Message) -> None:
        """Packs it as for a client, which is when Flet notes what the client has."""
        msgpack.packb(
            [message.action, message.body], default=configure_encode_object_for_msgpack(ft.BaseControl)
        )


@dataclass
class ByHand:
    """A host without a server: what is opened is put down here, what is picked was laid ready."""

    opened: list[tuple[str, bytes]] = field(default_factory=list)
    ready: list[Picked] = field(default_factory=list)
    came_in: Access | None = None
    in_reach: Shop | None = None

    def opening(self, name: str, made: bytes) -> Touch:
        """Opens a document here."""

        async def then(_: object) -> None:
            self.opened.append((name, made))

        return Touch(then=then)

    def notes(self) -> Sequence[Note]:
        """Nothing to say."""
        return ()

    def lower_edge(self) -> float:
        """The whole screen is ours."""
        return 0.0

    def handing_over(self, name: str, made: bytes) -> None:
        """Nobody to give anything to."""

    def shop(self) -> Shop | None:
        """None, or what the test says."""
        return self.in_reach

    def address(self) -> str:
        """No other phone can come in."""
        return ""

    def access(self) -> Access | None:
        """This machine itself, or what the test says."""
        return self.came_in

    def customers_way(self, job_id: str, sha256: str) -> None:
        """No other phone can come in."""

    def picking(self, any_file: bool = False) -> None:
        """No client that would have to do something."""

    async def pick(self, any_file: bool = False) -> Sequence[Picked]:
        """What was laid ready, once."""
        picked, self.ready = self.ready, []
        return picked


class AtTheDesk:
    """One session at a bench, its screens drawn; made and used inside one running event loop.

    Args:
        bench: the bench.
        host: what hosts it.
        route: the first screen.
        floor: the other desks it hears of; none of them if None.
        width: how wide the client is, dp.
    """

    def __init__(
        self, bench: Bench, host: ByHand, route: str, floor: Floor | None = None, width: float = 390
    ) -> None:
        self._begun: set[asyncio.Task[None]] = set()
        client = Nobody()
        session = self._session = Session(client)  # a page alone does not hold its session
        session.attach_connection(client)
        first = RegisterClientResponseBody(session.id, session.get_page_patch(), "")
        client.send_message(Message(MessageAction.REGISTER_CLIENT, first))
        self.page = session.page
        self.page.route = route
        self.page.navigate = self._arrive  # the client goes where it is sent
        self.desk = Desk(bench, self.page, "at the desk", floor or Floor(), host)
        self.desk.floor.join(self.desk)
        self.desk.setting("initials", "KM")
        self.page.width, self.page.height = width, 844
        self.page.render(App, self.desk)

    async def go(self, route: str) -> None:
        """Another screen, as when the client is there."""
        await asyncio.sleep(0.01)  # the one before is drawn and listens
        self._arrive(route)

    def _arrive(self, route: str) -> None:
        self.page.route = route
        self.desk.arrived(route)

    def _controls(self, inside: object) -> Iterator[ft.BaseControl]:
        """Every control drawn, what stands around others first."""
        if isinstance(inside, list | tuple):
            for each in inside:
                yield from self._controls(each)
        elif isinstance(inside, ft.BaseControl):
            yield inside
            drawn = [inside._b] if hasattr(inside, "_b") else []
            own = (getattr(inside, name, None) for name in ("controls", "content", "views"))
            yield from self._controls([*drawn, *own])

    def says(self) -> str:
        """All that is written or said, a line each."""
        said = []
        for control in self._controls(list(self.page.views)):
            said.append(getattr(control, "value", None) or getattr(control, "label", None))
        return "\n".join(words for words in said if isinstance(words, str))

    async def tap(self, name: str) -> None:
        """Tap what is called so, as a finger does that waits for what it sees."""
        await self.wait_for(name)
        await self.until(lambda: self._called(name) is not None, name)
        self._begin(self._called(name), "tap", None)

    async def type(self, label: str, text: str) -> None:
        """Type into a field in place of what stands in it, which hides its label."""
        await self.until(lambda: self._called(label) is not None, label)
        field = self._called(label)
        assert field is not None
        self.page.session.apply_patch(field._i, {"value": text})
        await self.page.session.dispatch_event(field._i, "change", text)

    async def fill(self, label: str, text: str) -> None:
        """Type into a field and leave it, which keeps what was typed."""
        await self.type(label, text)
        field = self._called(label)
        assert field is not None
        self._begin(field, "blur", None)

    async def key(self, text: str) -> None:
        """Tap the keys of the app's own keypad, one after another."""
        names = {".": "point", "±": "plus or minus", " ": "space", "/": "slash", "⌫": "delete", "⏎": "enter"}
        for character in text:
            await self.tap(names.get(character, character))

    async def draw(self, name: str, *points: tuple[float, float]) -> None:
        """Draw a stroke with a finger in the box of this name, dp from its upper left."""
        await self.wait_for(name)
        box = next(c for c in self._controls(self._called(name)) if isinstance(c, ft.GestureDetector))
        told = [("pan_down", points[0]), ("pan_start", points[0]), *(("pan_update", p) for p in points[1:])]
        for event, (x, y) in [*told, ("pan_end", points[-1])]:
            at = {"x": x, "y": y}
            if getattr(box, f"on_{event}"):
                self._begin(box, event, {"l": at, "g": at, "k": "touch", "v": {"x": 0, "y": 0}})
            await asyncio.sleep(0.01)

    def _called(self, name: str) -> ft.BaseControl | None:
        """The control of this name; a row is called by its title, with how it stands after a full stop."""
        labels = [(c, getattr(c, "label", None)) for c in self._controls(list(self.page.views))]
        named = [(c, words) for c, words in labels if isinstance(words, str) and getattr(c, "visible", True)]
        return next((c for c, words in named if words == name or words.startswith(f"{name}. ")), None)

    def named(self, name: str) -> ft.BaseControl:
        """The control of this name, to see how it looks."""
        control = self._called(name)
        assert control is not None, f"there is no {name}; the screen says\n{self.says()}"
        return control

    def _begin(self, control: ft.BaseControl | None, event: str, data: object) -> None:
        assert control is not None
        task = asyncio.create_task(self.page.session.dispatch_event(control._i, event, data))
        self._begun.add(task)
        task.add_done_callback(self._begun.discard)

    async def wait_for(self, words: str) -> str:
        """Wait until these words are said; all that is said then."""
        await self.until(lambda: words in self.says(), words)
        return self.says()

    async def until(self, holds: Callable[[], bool], what: str) -> None:
        """Wait until something holds."""
        for _ in range(3000):  # nobody is timed by this
            await asyncio.sleep(0.01)  # first of all: what was tapped before is drawn
            if holds():
                return
        raise AssertionError(f"waited for {what}; the screen says\n{self.says()}")


def day_at_the_desk(
    bench: Bench, route: str, day: Callable[[AtTheDesk], Awaitable[None]]
) -> list[tuple[str, bytes]]:
    """A day at the desk that begins at a route; the documents that were opened, name and bytes."""
    host = ByHand()

    async def whole() -> None:
        await day(AtTheDesk(bench, host, route))

    asyncio.run(whole())
    return host.opened
