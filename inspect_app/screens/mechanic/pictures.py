"""The photographs of one session on their way: of what, and how each stands; knows no host and no log."""

from __future__ import annotations

from dataclasses import dataclass, field

from inspect_app.screens.host import Picked


@dataclass
class Picture:
    """One photograph picked: of what in which job, which of those asked for, and how it stands in words."""

    job: str
    of: str
    what: str
    picked: Picked
    view: str = ""
    state: str = "waiting"

    @property
    def failed(self) -> bool:
        """Whether it will not be saved any more."""
        return self.state.startswith("not saved")


@dataclass
class Pictures:
    """Those not saved yet, in the order they were picked; `moving` while one after another is brought here."""

    all: list[Picture] = field(default_factory=list)
    moving: bool = False

    def add(self, more: list[Picture]) -> None:
        """More were picked: what failed before has been seen."""
        self.all = [p for p in self.all if not p.failed] + more

    def saved(self, picture: Picture) -> None:
        """One is saved: what was picked is let go of, which on a phone alone is the camera's whole file."""
        self.all = [p for p in self.all if p is not picture]

    def of(self, of: str) -> list[Picture]:
        """Those of one thing that are on their way or did not arrive."""
        return [p for p in self.all if p.of == of]

    def next(self) -> Picture | None:
        """The first that nobody has begun with."""
        return next((p for p in self.all if p.state == "waiting"), None)
