"""What a data folder remembers of its hubs, in a file beside the log; without it everything is only read once more."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from inspect_app.logbook.durable import write_file

FILE = "hubs.json"


@dataclass(frozen=True, slots=True)
class Remembered:
    """One hub as it was last met: its epoch, the number of the last entry it acknowledged of this log while it was one
    device's, of each device the number and link of the last entry that was read off it, and the files it did not have,
    with their site."""

    epoch: str = ""
    device: str = ""
    acknowledged: int = 0
    read: Mapping[str, tuple[int, str]] = field(default_factory=dict)
    lacking: Mapping[str, str] = field(default_factory=dict)

    def at(self, epoch: str) -> Remembered:
        """The same hub in an epoch: what was read in another one holds no longer."""
        return self if epoch == self.epoch else replace(self, epoch=epoch, read={})


def remembered(folder: Path, epoch: str) -> Remembered:
    """What is remembered of a hub, in whatever epoch it was met.

    Args:
        folder: the data folder.
        epoch: the hub's, of today.
    """
    return _all(folder).get(_hub(epoch), Remembered())


def remember(folder: Path, met: Remembered) -> None:
    """Remember a hub; where the disk refuses, the next time reads more than it must.

    Args:
        folder: the data folder.
        met: the hub as it is now.
    """
    known = _all(folder)
    if known.get(_hub(met.epoch)) != met:
        every = {hub: asdict(of) for hub, of in (known | {_hub(met.epoch): met}).items()}
        with suppress(OSError):
            write_file(folder / FILE, json.dumps(every, indent=1).encode())


def acknowledged(folder: Path, device: str) -> int:
    """The number of the last entry that a folder's hub acknowledged; 0 where it has none yet, or several.

    Args:
        folder: the data folder.
        device: whose it is now.
    """
    known = [*_all(folder).values()]
    return known[0].acknowledged if len(known) == 1 and known[0].device == device else 0


def _hub(epoch: str) -> str:
    return epoch.partition("/")[0]


def _all(folder: Path) -> dict[str, Remembered]:
    try:
        said = json.loads((folder / FILE).read_bytes())
        return {
            str(hub): Remembered(
                str(of["epoch"]),
                str(of["device"]),
                int(of["acknowledged"]),
                {str(device): (int(number), str(link)) for device, (number, link) in of["read"].items()},
                {str(name): str(site) for name, site in of["lacking"].items()},
            )
            for hub, of in said.items()
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}
