"""How long a browser that was never here waits for the list of jobs.

`python tests/benchmark_first_screen.py` prints it beside the aim.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from host import Host
from phone import Phone, start
from playwright.sync_api import sync_playwright

TURNS = 5
AIM_S = 3.0


def main() -> None:
    """Each turn with an empty cache, over one server that is up already."""
    with (
        tempfile.TemporaryDirectory() as folder,
        Host(Path(folder) / "demo", "demo") as host,
        sync_playwright() as playwright,
    ):
        browser = start(playwright)
        for _ in range(TURNS):
            started = time.perf_counter()
            phone = Phone(browser, host.url)
            phone.wait_for("D-01 linkspan, port side")
            print(f"first screen after {time.perf_counter() - started:.1f} s; aim {AIM_S:g} s")
            phone.close()
        browser.close()


if __name__ == "__main__":
    main()
