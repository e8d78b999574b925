"""What tests share: how examples are chosen, and Chromium for each file of tests that needs one."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from phone import GET_CHROMIUM, chromium, start
from playwright.sync_api import Browser, sync_playwright


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, for the whole run; where there is none the test is left out, or fails where one is required."""
    with sync_playwright() as playwright:
        if chromium(playwright) is None:
            if os.environ.get("INSPECT_REQUIRE_BROWSER") == "1":
                pytest.fail(GET_CHROMIUM)
            pytest.skip(GET_CHROMIUM)
        started = start(playwright)
        yield started
        started.close()
