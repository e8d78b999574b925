"""One phone's session: who holds it, how it looks, where it is; hands what was entered to the bench.

Nothing lives only here: settings, place and every entry are on disk, so that a new session stands
where the old one stood.
"""

from __future__ import annotations

import asyncio
import inspect
import logging
import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from inspect_app.bench.bench import Bench
from inspect_app.bench.listing import units_of
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.people import at_the_host, of_phone
from inspect_app.entries.job import Job, Survey
from inspect_app.entries.people import Holder, Person, may_make
from inspect_app.entries.typed import Typed
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import Host, Picked, Touch
from inspect_app.screens.mechanic.entering import Entering
from inspect_app.screens.mechanic.pictures import Pictures
from inspect_app.screens.mechanic.routes import leads, of_check, of_photo, split
from inspect_app.screens.pieces.keypad import key_of
from inspect_app.screens.pieces.look import LOOKS, SCALES, Look
from inspect_app.tables.faults import TableError
from inspect_app.trade.measuring.refusal import Refusal

log = logging.getLogger("inspect_app")
CLIENT_KEY = "inspect_app.client"

NOT_SAVED = "not saved"
"""What stands in place of the time when the disk refused the last entry."""
HANDED = "handed"
"""The setting that says what a customer has this phone in hand for, job and hash of the version; "" for nothing. It
is one, so that neither the browser's own back button nor a restart leads out of it."""
SYSTEM_OF = "system of"
"""The setting that says in which units this phone shows a job; the job's id stands behind it."""


@dataclass(frozen=True, slots=True)
class Standing:
    """What the screens of one session are drawn from, besides the jobs: compared by value, so that a
    screen is drawn anew when and only when something changed. `saved` is the time of the last entry on disk,
    NOT_SAVED when the disk refused it, "" while this session has entered nothing. `handed` is as HANDED says."""

    route: str
    look: Look
    system: str
    initials: str
    notice: str = ""
    notice_role: str = "unclear"
    asked: str = ""
    saved: str = ""
    version: int = 0
    handed: str = ""
    width: float = 390.0
    height: float = 844.0


class Desk:
    """One session at one bench."""

    def __init__(self, bench: Bench, page: ft.Page, client: str, floor: Floor, host: Host) -> None:
        self.access = host.access()
        self.bench = of_phone(bench, client, self.holder)
        self.page = page
        self.client = client
        self.floor = floor
        self.entering = Entering()
        self._led_from: dict[str, str] = {}
        self._following = False
        self.host = host
        self.pictures = Pictures()
        self.on_key: Callable[[str], None] | None = None
        self._sight: Callable[[], object] | None = None
        self._seen: object = None
        self._changed: Callable[[Standing], None] = lambda standing: None
        self.standing = self._from_settings(page.route or "/")

    def holder(self) -> Holder:
        """Whose hand this phone is in: the host's where nobody has to say."""
        return self.access.holder() if self.access else at_the_host()

    def may(self, kind: str) -> bool:
        """Whether the holder may make an entry of a kind: what they may not is not offered to them."""
        return may_make(self.holder().role, self.bench.shop.people(), kind)

    def hold(self, person: Person) -> None:
        """This phone is in somebody's hand from now on."""
        if self.access:
            self.access.hold(person.id)
        self.setting("initials", person.initials)

    def _from_settings(self, route: str) -> Standing:
        settings = self.bench.shop.settings(self.client)
        look = LOOKS.get(settings.get("look", ""), LOOKS["light"])
        scale = SCALES.get(settings.get("text", ""), 1.0)
        return Standing(
            route,
            replace(look, scale=scale),
            self._system_at(route),
            self.holder().initials or settings.get("initials", ""),
            handed=settings.get(HANDED, ""),
            width=self.page.width or 390.0,
            height=self.page.height or 844.0,
        )

    def _system_at(self, route: str) -> str:
        """The units of a screen: those switched to there, those this phone always has, those of the job."""
        settings, job_id = self.bench.shop.settings(self.client), split(route)[0]
        chosen = settings.get(f"{SYSTEM_OF} {job_id}") or settings.get("system")
        if chosen or not job_id:
            return chosen or "metric"
        return units_of(self.bench, job_id) or "metric"

    def switch_units(self, system: str, job_id: str) -> None:
        """Show one job, or with "" what belongs to none, in these units on this phone."""
        self.setting(f"{SYSTEM_OF} {job_id}", system)

    def listen(self, changed: Callable[[Standing], None]) -> None:
        """Call back whenever the standing changes."""
        self._changed = changed

    def _set(self, **changes: Any) -> None:
        self.standing = replace(self.standing, **changes)
        self._changed(self.standing)

    # -- where -----------------------------------------------------------------------------------

    def go(self, route: str) -> None:
        """Show another screen; the phone is found there again after a restart."""
        self.page.navigate(route)

    def go_on(self, route: str, said: str) -> None:
        """Show another screen with a sentence at its top, at once: no thumb meets one that is about to go."""
        self.arrived(route)
        self.say(said, "accent")
        self.page.navigate(route)

    def arrived(self, route: str) -> None:
        """The client is at a route, by our doing or by its own back button."""
        if route != self.standing.route:
            self.on_key = None
            self.in_sight(None)
            if of_photo(route) or (leads(self.standing.route) and not of_check(route)):
                self._led_from[route] = self.standing.route
            self._set(route=route, system=self._system_at(route), notice="", asked="")
            self.guard(lambda: self.bench.logbook.set_bookmark(self.client, route))()

    def way_back(self, usual: str) -> str:
        """Where the way back leads: to the job, step or parts that led here, else where it usually does."""
        return usual if leads(self.standing.route) else self._led_from.get(self.standing.route, usual)

    def key_pressed(self, event: ft.KeyboardEvent) -> None:
        """A key of a keyboard was pressed: it enters what our own key of that name would."""
        key = key_of(event.key)
        if key and self.on_key and not (event.ctrl or event.alt or event.meta):
            self.on_key(key)

    def resized(self) -> None:
        """The window or the way the phone is held changed; a keyboard that slides in changes only the height."""
        if self.page.width and self.page.width != self.standing.width:
            self._set(width=self.page.width, height=self.page.height or self.standing.height)

    # -- what ------------------------------------------------------------------------------------

    def say(self, sentence: str, role: str = "unclear") -> None:
        """Show a sentence at the top of the screen until something else is done."""
        self._set(notice=sentence, notice_role=role, asked="")

    def ask(self, sentence: str, entry_id: str) -> None:
        """Ask at the top of the screen whether an entry is to be taken back."""
        self._set(notice=sentence, notice_role="unclear", asked=entry_id)

    def redraw(self) -> None:
        """Draw the same anew: what is being entered has changed."""
        self._set(version=self.standing.version + 1)

    def refresh(self) -> None:
        """Something on disk changed: draw anew, here at once and soon on every other screen of the job."""
        saved = self.bench.now().astimezone().strftime("%H:%M:%S")
        self._set(notice="", asked="", saved=saved, version=self.standing.version + 1)
        self.floor.entered(self, self.job_id())

    def job_id(self) -> str:
        """The job this screen is about, "" for none."""
        return split(self.standing.route)[0]

    def shows(self, job_id: str) -> bool:
        """Whether what is entered in a job is to be seen on this screen."""
        return self.standing.route in ("/", "", "/orders") or self.job_id() == job_id

    def in_sight(self, sight: Callable[[], object] | None) -> None:
        """Tell what of the job this screen shows: what others enter beside it is no reason to draw it anew.

        Args:
            sight: gives it as it stands now; None where anything may be seen.
        """
        self._sight, self._seen = sight, sight() if sight else None

    def _has_changed(self) -> bool:
        try:
            return self._sight is None or self._sight() != self._seen
        except (Refusal, TableError):  # the screen says so
            return True

    def follow_soon(self, seconds: float) -> None:
        """Draw anew what others entered, once for all that comes within this time."""

        async def follow() -> None:
            await asyncio.sleep(seconds)
            self._following = False
            if self._has_changed():
                self.redraw()

        if not self._following and self.page.session.connection is not None:
            self._following = True
            self.page.run_task(follow)

    def enter(self, job: Job, survey: Survey, typed: Typed) -> bool:
        """Record what was typed on this phone of one state of the cylinder; whether it was."""
        by, system = self.standing.initials, self.standing.system
        return self.outcome(self.bench.enter(job, typed, by, system, survey.name))

    def outcome(self, outcome: Outcome) -> bool:
        """Show what came of an entry; whether it was recorded."""
        if outcome.remark:
            self.say(outcome.remark.words(self.standing.system))
            return False
        self.refresh()
        if not self.job_id():  # an order for several jobs: the screens of each show it
            self.floor.entered(self, outcome.job.id)
        return True

    def open_document(self, name: str, made: bytes) -> Touch:
        """What the touch of a button must do to open a document: every document opens so.

        Args:
            name: its file name.
            made: what is in it.
        """
        return self._guarded(self.host.opening(name, made))

    def hand_over(self, name: str, made: bytes) -> Touch | None:
        """What the touch of a button must do to give a document away; None where opening it is enough.

        Args:
            name: its file name.
            made: what is in it.
        """
        touch = self.host.handing_over(name, made)
        return self._guarded(touch) if touch else None

    def _guarded(self, touch: Touch) -> Touch:
        return replace(touch, then=self.guard(touch.then)) if touch.then else touch

    async def pick(self, any_file: bool = False) -> Sequence[Picked]:
        """What is picked on a button that has `host.picking(any_file)` for its action."""
        return await self.host.pick(any_file)

    def setting(self, name: str, value: str) -> None:
        """Record a setting of this phone and follow it."""
        self.bench.set_setting(self.client, name, value, self.standing.initials)
        fresh = self._from_settings(self.standing.route)
        told = {
            "look": fresh.look,
            "system": fresh.system,
            "initials": fresh.initials,
            "handed": fresh.handed,
        }
        self._set(**told, notice="", version=self.standing.version + 1)

    def guard(self, handler: Callable[..., Any]) -> Callable[..., Any]:
        """A handler that never lets an exception out: a refusal becomes its sentence, a fault is logged and said.

        One exception let out would cover the whole screen of the client.
        """

        def said(error: Exception) -> None:
            if isinstance(error, Refusal | NotSaved | TableError):
                says = error.words(self.standing.system) if isinstance(error, Refusal) else str(error)
                self.say(says, "beyond" if isinstance(error, NotSaved) else "unclear")
                if isinstance(error, NotSaved):
                    self._set(saved=NOT_SAVED)
                return
            log.error("a screen's handler failed", exc_info=error)
            self.say(
                f"Something went wrong in the program ({error}). What was entered before is saved.", "beyond"
            )

        if inspect.iscoroutinefunction(handler):

            async def awaited(*args: Any) -> None:
                try:
                    await handler(*args)
                except Exception as error:
                    said(error)

            return awaited

        def called(*args: Any) -> None:
            try:
                handler(*args)
            except Exception as error:
                said(error)

        return called


async def client_of(page: ft.Page) -> str:
    """The name this phone or browser goes by, kept in the browser's own storage; made up on the first visit."""
    # it is with the page as soon as it is made; added to the page's services as well, it would not answer a
    # tab that finds its way back after a restart
    preferences = ft.SharedPreferences()
    fresh = secrets.token_hex(8)
    try:
        client = await preferences.get(CLIENT_KEY)
        if isinstance(client, str) and client:
            return client
        await preferences.set(CLIENT_KEY, fresh)
    except (RuntimeError, TimeoutError) as error:
        log.warning("this browser keeps nothing; its settings last as long as its tab (%s)", error)
    return fresh
