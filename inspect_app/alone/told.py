"""What the browser told of itself, and what is said of that on the list of jobs; knows no browser and no screen."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True)
class Told:
    """How the app and its data stand in this browser.

    ready: whether the app starts without network: "yes", "coming", or "no" where it cannot be kept here; fetched:
    how much of it is here, 0 to 1; renewal: a newer version is here whole and waits; kept: whether the browser
    promised not to delete the data by itself, None while it has not said; lower_edge: as `Host.lower_edge`; shop: the
    address of the shop's program that this phone was paired with, "" for none.
    """

    ready: str = "coming"
    fetched: float = 0.0
    renewal: bool = False
    kept: bool | None = None
    lower_edge: float = 0.0
    shop: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """What is remembered outside the data, by which the next start knows that the data is gone.

    device: the id of the log; jobs: how many; last: the time of the last entry; handed: when all was handed over
    last, "" for never.
    """

    device: str
    jobs: int
    last: str
    handed: str

    def text(self) -> str:
        """As it is kept."""
        return json.dumps(asdict(self))


def mark_of(text: str) -> Mark | None:
    """The mark that was kept, None for none or a damaged one."""
    try:
        told = json.loads(text)
        return Mark(str(told["device"]), int(told["jobs"]), str(told["last"]), str(told["handed"]))
    except (ValueError, KeyError, TypeError):
        return None


def ready_words(told: Told) -> str:
    """Whether the app starts without network."""
    if told.ready == "yes":
        return "Ready without network."
    if told.ready == "no":
        return "This browser does not keep the app: it starts only with a network."
    return f"Being made ready for use without network: {int(told.fetched * 100)} %. Stay in the network until then."


def kept_words(told: Told) -> str:
    """Whether the browser may delete the data."""
    if told.kept is None:
        return ""
    if told.kept:
        return "The browser keeps the data until you delete it."
    return "The browser may delete the data when it runs out of room: put the app on the home screen."


def handed_words(mark: Mark, shown: str) -> str:
    """When everything was handed over last, and whether something came since.

    Args:
        mark: how the data stands.
        shown: the time of that as it is shown.
    """
    if not mark.jobs:
        return ""
    if not mark.handed:
        return "Not handed over yet: what is on this phone is nowhere else."
    since = " What was entered since is nowhere else." if mark.last > mark.handed else ""
    return f"Handed over last on {shown}.{since}"


def lost_words(mark: Mark, last: str, handed: str) -> str:
    """That the browser deleted the data, and what it was.

    Args:
        mark: how the data stood.
        last: the time of its last entry as it is shown.
        handed: when it was handed over last as it is shown.
    """
    jobs = "1 job" if mark.jobs == 1 else f"{mark.jobs} jobs"
    over = f"handed over last on {handed}" if mark.handed else "never handed over"
    return (
        f"The data of this app was deleted from this browser, by the browser itself or by hand. It held {jobs}, "
        f"entered last on {last}, {over}."
    )
