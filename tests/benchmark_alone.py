"""How fast the phone alone is, its web space stopped: the start, a verdict, a report. Prints seconds.

Run: python tests/benchmark_alone.py [SITE]. Without a site one is built first. What the browser's processes computed
stands beside the time that passed: on a busy machine only that says something.
"""

from __future__ import annotations

import re
import statistics
import sys
import tempfile
import time
from pathlib import Path

from phone_alone import PhoneAlone, WebSpace
from playwright.sync_api import sync_playwright

from inspect_app.alone.site.building import build

STARTS, READINGS = 3, ("69.95", "69.94", "69.96", "69.97", "69.93", "69.95")

WATCH = """words => new Promise(done => {
  const from = performance.now();
  const look = () => {
    const host = document.querySelector('flt-semantics-host');
    const said = [...host.querySelectorAll('*')].map(e => e.getAttribute('aria-label') ?? e.textContent).join('\\n');
    if (new RegExp(words).test(said)) done(performance.now() - from);
    else requestAnimationFrame(look);
  };
  look();
})"""
"""How long until the screen says this, ms, looked at with every picture."""


def main(site: Path, profile: Path) -> None:
    """Measure and print."""
    with sync_playwright() as driver, WebSpace(site) as web:
        phone = PhoneAlone(driver, profile, web.url)
        phone.open()
        phone.ready()
        web.stop()
        for _ in range(STARTS):
            begun, computed = time.perf_counter(), phone.computed()
            phone.open()
            phone.wait_for("New job")
            passed, computed = time.perf_counter() - begun, phone.computed() - computed
            print(f"start without network: {passed:.1f} s passed, {computed:.1f} s computed; {steps(phone)}")
        job = opened(phone)
        verdicts = [verdict(phone, typed) for typed in READINGS]
        print(f"enter to verdict: {statistics.median(verdicts):.0f} ms, at most {max(verdicts):.0f} ms")
        phone.go(f"{job}/report")
        phone.wait_for("Make the report")
        begun = time.perf_counter()
        phone.tap("Make the report")
        phone.wait_for("covers all entries.")
        print(f"report: {time.perf_counter() - begun:.1f} s")
        phone.context.close()


def steps(phone: PhoneAlone) -> str:
    """What Python did until when, as the worker noted."""
    marks = "performance.getEntriesByType('mark').map(m => `${m.name} ${(m.startTime / 1000).toFixed(1)}`).join(', ')"
    return str(phone.page.workers[-1].evaluate(marks))


def opened(phone: PhoneAlone) -> str:
    """A job at its first place; its route."""
    phone.tap("New job")
    phone.wait_for("Job number or tag")
    phone.type("Job number or tag", "B-1")
    phone.type("Your initials", "JB")
    phone.tap("Begin")
    phone.wait_for("A bare number is in the unit beside its box")
    for field, typed in (("Bore, mm", "100"), ("Rod diameter, mm", "70"), ("Stroke, mm", "600")):
        phone.type(field, typed)
    phone.tap("To the parts")
    phone.wait_for_route(r"/job/[^/]+(/parts)?")
    job = re.sub("/parts$", "", phone.route())
    phone.go(f"{job}/measure/rod-diameter")
    phone.wait_for("Place: 25 mm, 12 o'clock")
    return job


def verdict(phone: PhoneAlone, typed: str) -> float:
    """How long from the touch of Enter until the verdict stands, ms."""
    phone.key(typed)
    phone.settle()
    enter = phone.finds("enter")
    assert enter
    phone.page.touchscreen.tap(enter.left + enter.width / 2, enter.middle)
    return float(phone.page.evaluate(WATCH, f"last: within limit. {re.escape(typed)}0 mm"))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        given = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(folder, "site")
        if len(sys.argv) < 2:
            print(build(given, "/", print))
        main(given, Path(folder, "profile"))
