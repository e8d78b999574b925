"""What the browser's tests share: Chromium for each file of tests."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from phone import CHROMIUM, GET_CHROMIUM, start
from playwright.sync_api import Browser, sync_playwright


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, for a file of tests; where there is none they are left out, or fail where one is required.

    Not for the whole run: as long as it lives, its event loop keeps every other test from having one.
    """
    if not CHROMIUM.exists():
        if os.environ.get("INSPECT_REQUIRE_BROWSER") == "1":
            pytest.fail(GET_CHROMIUM)
        pytest.skip(GET_CHROMIUM)
    with sync_playwright() as playwright:
        chromium = start(playwright)
        yield chromium
        chromium.close()
