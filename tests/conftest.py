"""What the browser's tests share: one Chromium, and a served folder for each file of tests."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from phone import CHROMIUM, GET_CHROMIUM, start
from playwright.sync_api import Browser, sync_playwright


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, for the whole run; where there is none the test is left out, or fails where one is required."""
    if not CHROMIUM.exists():
        if os.environ.get("INSPECT_REQUIRE_BROWSER") == "1":
            pytest.fail(GET_CHROMIUM)
        pytest.skip(GET_CHROMIUM)
    with sync_playwright() as playwright:
        chromium = start(playwright)
        yield chromium
        chromium.close()
