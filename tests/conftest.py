"""What tests share: how examples are chosen, and Chromium for each file of tests that needs one."""

from __future__ import annotations

import functools
import gc
import os
import pickle
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from io import BytesIO
from pathlib import Path
from typing import Any, BinaryIO, TypeVar

import pytest
from click.testing import CliRunner
from hypothesis import settings
from phone import start
from playwright.sync_api import Browser, sync_playwright

from inspect_app import tables
from inspect_app.commands.cli import main
from inspect_app.tables.standards import handbook

Read = TypeVar("Read")

# the tests start the program dozens of times: it is compiled once, whatever the machine's habit
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

FAILED = "The demo was not made. "
NO_BROWSER = "No browser to test with"
HOW_TO_GET_ONE = "apt-get install chromium libatomic1, or name one in the environment variable CHROMIUM"

# what is imported and collected stays until the end: looking it through for rubbish finds none
gc.disable()

# what lands is proven by the same examples each time; at the desk every run tries new ones. Never by the clock:
# how long an example takes says more of the machine than of the program
EXAMPLES = int(os.environ.get("INSPECT_EXAMPLES", "20"))
"""So many examples of each property; INSPECT_EXAMPLES=1000 looks deeper."""
SAME_EACH_TIME = "CI" in os.environ or "MUTANT_UNDER_TEST" in os.environ
settings.register_profile("examples", deadline=None, max_examples=EXAMPLES, derandomize=SAME_EACH_TIME)
settings.load_profile("examples")


def read_once(read: Callable[..., Read]) -> Callable[..., Read]:
    """What is read from the same files is the same: hundreds of tests open a folder, and reading takes longest."""
    known: dict[tuple[tuple[str, bytes], ...], Read] = {}

    @functools.wraps(read)
    def once(folder: Path | None = None, *shop: Path | None, **shops: Path | None) -> Read:
        own = [*shop, *shops.values(), None][0]
        files = tuple(tables.contents(folder or tables.shipped_folder(), own).items())
        if files not in known:
            known[files] = read(folder, *shop, **shops)
        return known[files]

    return once


def parsed_once(parse: Callable[[BinaryIO], dict[str, Any]]) -> Callable[[BinaryIO], dict[str, Any]]:
    """A folder with one slip in it is the shipped one but for a file; its other files are not parsed again."""
    known: dict[bytes, bytes] = {}

    @functools.wraps(parse)
    def once(file: BinaryIO) -> dict[str, Any]:
        written = file.read()
        if written not in known:
            known[written] = pickle.dumps(parse(BytesIO(written)))
        return dict(pickle.loads(known[written]))

    return once


# before any module has taken them by name
tomllib.load = parsed_once(tomllib.load)
tables.load = read_once(tables.load)
handbook.read_handbook = read_once(handbook.read_handbook)


@pytest.fixture(autouse=True, scope="session")
def _nobodys_own_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Whoever runs the tests may be a shop: its limits, gauges and jobs have no part in them."""
    with pytest.MonkeyPatch.context() as patch:
        own = str(tmp_path_factory.mktemp("own"))
        for variable in ("XDG_DATA_HOME", "LOCALAPPDATA", "APPDATA"):
            patch.setenv(variable, own)
        yield


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory, _nobodys_own_folder: None) -> tuple[Path, str]:
    """The folder `inspect-app demo` makes, made once and only looked at or copied, and what was said.

    One of the processes that run the tests makes it, for all of them.
    """
    of_all = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        of_all = of_all.parent
    folder, said = of_all / "made" / "demo", of_all / "made" / "said.txt"
    try:
        folder.parent.mkdir()
    except FileExistsError:
        while not said.is_file():
            time.sleep(0.1)
    else:
        made = CliRunner().invoke(main, ["demo", "--no-serve", "--data", str(folder)])
        written = said.with_suffix(".new")
        written.write_text(made.stdout if made.exit_code == 0 else f"{FAILED}{made.output}", encoding="utf-8")
        written.rename(said)
    told = said.read_text(encoding="utf-8")
    assert not told.startswith(FAILED), told
    return folder, told


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, for a file of tests; where there is none they are left out, or fail where one is required.

    Not for the whole run: as long as it lives, its event loop keeps every other test from having one.
    """
    with ExitStack() as open_until_done:
        try:
            started = start(open_until_done.enter_context(sync_playwright()))
        except Exception as trouble:  # of many kinds: no Chromium, no driver, a library either of them lacks
            why = f"{NO_BROWSER}: {HOW_TO_GET_ONE} ({str(trouble).strip().splitlines()[0]})."
            if os.environ.get("INSPECT_REQUIRE_BROWSER") == "1":
                pytest.fail(why)
            pytest.skip(why)
        yield started
        started.close()


def pytest_xdist_auto_num_workers() -> int:
    """Twice as many as there are cores: the tests of the screens mostly wait."""
    return 2 * (os.cpu_count() or 1)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes minutes more is left out unless asked for; files that need a browser come first.

    They take longest, and the others fill up the cores beside them.
    """
    if "INSPECT_THOROUGH" not in os.environ:
        left_out = pytest.mark.skip(reason="INSPECT_THOROUGH=1 runs it")
        for item in items:
            if item.get_closest_marker("thorough"):
                item.add_marker(left_out)
    slow = {item.path for item in items if "browser" in getattr(item, "fixturenames", ())}
    items.sort(key=lambda item: item.path not in slow)


def pytest_collection_finish() -> None:
    """From here on there is rubbish; what was collected is never looked through again."""
    gc.freeze()
    gc.enable()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say once at the end what was left out for want of a browser."""
    skipped = [str(report.longrepr) for report in terminalreporter.stats.get("skipped", [])]
    left_out = [why for why in skipped if NO_BROWSER in why]
    if left_out:
        sentence = NO_BROWSER + left_out[0].partition(NO_BROWSER)[2].removesuffix("')")
        terminalreporter.write_line(f"{len(left_out)} tests left out. {sentence}")
