"""Starts the screens in the browser: what the server is to a shop, without one."""

from __future__ import annotations

import gc
import random
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory

import flet as ft

from inspect_app.alone.page import Page, carried_to_disk, page, told_by
from inspect_app.alone.phone import PhoneAlone
from inspect_app.bench.bench import Bench
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.app import session
from inspect_app.screens.floor import Floor
from inspect_app.tables.faults import TableError

FOLDER = Path("/data")
"""Where `worker.js` put the browser's own disk."""

LATE = ("flet.app", "flet.controls.page")
"""What the toolkit imports only when it begins."""


def freeze() -> None:
    """Do beforehand what every start would do again; called by `site/freeze.mjs`, which keeps what then stands."""
    for name in LATE:
        import_module(name)
    with TemporaryDirectory() as folder:
        Bench(Path(folder), throw_away=True).close()
    gc.collect()
    gc.freeze()


def start() -> None:
    """Open the data folder and offer the screens; called once by the worker."""
    random.seed()  # Python may have begun elsewhere, and what it had for chance then is everybody's
    browser = page()
    hosts: list[PhoneAlone] = []
    carry = carried_to_disk(browser)

    def flush() -> None:
        carry()
        for host in hosts[-1:]:
            host.remember_soon()

    try:
        bench = Bench(FOLDER, flush=flush)
    except (NotSaved, TableError) as trouble:
        ft.run(lambda view, said=str(trouble): view.add(ft.SafeArea(ft.Text(said, size=20))))
        return
    browser.mark("bench")

    async def shown(view: ft.Page) -> None:
        host = PhoneAlone(view, browser, bench)
        host.compare()
        hosts.append(host)
        await _session(view, browser, bench, host)

    ft.run(shown)


async def _session(view: ft.Page, browser: Page, bench: Bench, host: PhoneAlone) -> None:
    floor, ready = Floor(), told_by(browser).ready

    async def name_of(_: ft.Page) -> str:
        return bench.logbook.device  # nobody else comes in

    def heard() -> None:
        nonlocal ready
        before, ready = ready, told_by(browser).ready
        if ready == before:
            floor.told("")  # what the page says stands on the list of jobs
        else:
            floor.changed()  # documents open in another way from now on

    browser.listen(heard)
    await session(bench, lambda _: host, floor, name_of)(view)
    browser.mark("screen")
