"""What tests share: how examples are chosen, and Chromium for each file of tests that needs one."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings
from phone import GET_CHROMIUM, chromium, start
from playwright.sync_api import Browser, sync_playwright

# what lands is proven by the same examples each time; at the desk every run tries new ones. Never by the clock:
# how long an example takes says more of the machine than of the program
settings.register_profile("new examples", deadline=None)
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable" if os.environ.get("CI") else "new examples")


@pytest.fixture(autouse=True, scope="session")
def _nobodys_own_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Whoever runs the tests may be a shop: its limits, gauges and jobs have no part in them."""
    with pytest.MonkeyPatch.context() as patch:
        own = str(tmp_path_factory.mktemp("own"))
        for variable in ("XDG_DATA_HOME", "LOCALAPPDATA", "APPDATA"):
            patch.setenv(variable, own)
        yield


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, for a file of tests; where there is none they are left out, or fail where one is required.

    Not for the whole run: as long as it lives, its event loop keeps every other test from having one.
    """
    with sync_playwright() as playwright:
        if chromium(playwright) is None:
            if os.environ.get("INSPECT_REQUIRE_BROWSER") == "1":
                pytest.fail(GET_CHROMIUM)
            pytest.skip(GET_CHROMIUM)
        started = start(playwright)
        yield started
        started.close()
