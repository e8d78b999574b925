"""The browser's page as Python has it: the one module that names it. `alone/web/worker.js` is the other end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, cast

from inspect_app.alone.told import Told
from inspect_app.logbook.store import NotSaved


class Folder(Protocol):
    """The data folder on the browser's own disk, as `alone/web/shelf.js` made it."""

    def flush(self) -> None:
        """Brings all that was written to the disk."""


class Page(Protocol):
    """What `worker.js` offers; each answer is JavaScript's."""

    told: Any
    folder: Folder

    def mark(self, name: str) -> None:
        """Note the time of a step of the start."""

    def listen(self, heard: Callable[[], None]) -> None:
        """Have a function called whenever the page told something."""

    async def ask(self, what: str, given: Any = None) -> Any:
        """Have the page do something, and wait for what came of it."""

    async def share(self, name: str, kind: str, content: bytes) -> str:
        """Have the page hand a file over: "shared", "downloaded", or "left" where the person thought better of it."""

    async def publish(self, path: str, name: str, content: bytes) -> None:
        """Lay a PDF into the browser's store, to be opened at a path below the app's own."""

    async def pair(self, address: str, code: str) -> Any:
        """Have the page be let in by the shop, and keep that: the answer's status, 0 for none, and its bytes."""

    async def send(self, packed: bytes) -> Any:
        """Hand a job to the shop the page was let in by: status and bytes as above, and what is said of it, JSON."""

    async def develop(self, content: bytes, longest: int, small: int, quality: float) -> Any:
        """Have the browser's decoder make a photograph small."""


def page() -> Page:
    """The page this runs in; only in a browser is there one."""
    import browser_page

    return cast(Page, browser_page)


def told_by(page: Page) -> Told:
    """What the page told until now."""
    said = page.told
    kept = getattr(said, "kept", None)
    return Told(
        ready=str(getattr(said, "ready", "coming")),
        fetched=float(getattr(said, "fetched", 0.0)),
        renewal=bool(getattr(said, "renewal", False)),
        kept=None if kept is None else bool(kept),
        shop=str(getattr(said, "shop", "")),
        lower_edge=float(getattr(said, "lowerEdge", 0.0)),
    )


def carried_to_disk(page: Page) -> Callable[[], None]:
    """What must follow every commit here: nothing is on the disk before.

    Returns: a function that raises NotSaved when the browser refused.
    """

    def flush() -> None:
        try:
            page.folder.flush()
        except Exception as e:  # JavaScript's, of any kind
            raise NotSaved(
                f"NOT saved: the browser could not bring it to the disk ({e}). Free some space, then do it again."
            ) from e

    return flush
