"""How fast the phone alone is, its web space stopped: the start, a verdict, a report, memory with many photographs.

Run: python tests/benchmark_alone.py [SITE] [PHOTOGRAPHS]. Without a site one is built first. What the browser's
processes computed stands beside the time that passed, and how many processes wanted a core (load): on a busy machine
only what was computed says something.
"""

from __future__ import annotations

import os
import re
import statistics
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path

from phone_alone import PhoneAlone, WebSpace
from PIL import Image
from playwright.sync_api import sync_playwright

from inspect_app.alone.site.building import build

STARTS, READINGS = 3, ("69.95", "69.94", "69.96", "69.95", "69.94", "69.96")
PHOTOGRAPHS, AT_ONCE, SIDES = 200, 20, (4000, 3000)
MB = 1_000_000

WATCH = """([words, most]) => new Promise((done, failed) => {
  const from = performance.now();
  const look = () => {
    const host = document.querySelector('flt-semantics-host');
    const said = [...host.querySelectorAll('*')].map(e => e.getAttribute('aria-label') ?? e.textContent).join('\\n');
    if (new RegExp(words).test(said)) done(performance.now() - from);
    else if (performance.now() - from > most) failed(new Error(`waited for ${words}; the screen says ${said}`));
    else setTimeout(look, 4);
  };
  look();
})"""
"""How long until the screen says this, ms."""


def main(site: Path, folder: Path, photographs: int) -> None:
    """Measure and print."""
    with sync_playwright() as driver, WebSpace(site) as web:
        phone = PhoneAlone(driver, folder / "profile", web.url)
        phone.open()
        phone.ready()
        web.stop()
        for _ in range(STARTS):
            started(phone)
        job = opened(phone)
        verdicts = [verdict(phone, place, typed) for place, typed in enumerate(READINGS, 1)]
        say(f"enter to verdict: {statistics.median(verdicts):.0f} ms, at most {max(verdicts):.0f} ms")
        report(phone, job, "report")
        say(f"memory: {memory(phone)}")
        photographed(phone, job, folder, photographs)
        say(f"memory with {photographs} photographs: {memory(phone)}")
        report(phone, job, f"report with {photographs} photographs")
        say(f"memory after it: {memory(phone)}")
        phone.context.close()


def say(words: str) -> None:
    """At once, with how busy the machine is."""
    print(f"{words}  [load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores]", flush=True)


def started(phone: PhoneAlone) -> None:
    """One start without network, broken down."""
    phone.page.goto("about:blank")
    begun, computed, by = time.perf_counter(), phone.computed(), by_thread(phone)
    phone.open()
    phone.wait_for("New job")
    passed, computed, now = time.perf_counter() - begun, phone.computed() - computed, by_thread(phone)
    threads = ", ".join(f"{name} {now[name] - by[name]:.1f}" for name in now if now[name] - by[name] >= 0.2)
    say(
        f"start without network: {passed:.1f} s passed, {computed:.1f} s computed ({threads}); {steps(phone)}"
    )


def by_thread(phone: PhoneAlone) -> dict[str, float]:
    """What each kind of thread has computed, s: Python's is DedicatedWorker, the screens' that of the process."""
    found: dict[str, float] = defaultdict(float)
    for stat in (s for p in phone.processes() for s in Path(f"/proc/{p}/task").glob("*/stat")):
        try:
            name, rest = stat.read_text().partition("(")[2].rsplit(")", 1)
        except OSError:
            continue
        told = rest.split()
        found[name] += (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")
    return found


def memory(phone: PhoneAlone) -> str:
    """What all processes of the browser have for themselves, and the largest of them alone."""
    kept = []
    for process in phone.processes():
        try:
            told = Path(f"/proc/{process}/smaps_rollup").read_text()
        except OSError:
            continue
        kept.append(sum(int(kb) for kb in re.findall(r"^Private_\w+: +(\d+)", told, re.MULTILINE)) * 1024)
    return f"{sum(kept) / MB:.0f} MB, the largest process {max(kept) / MB:.0f} MB"


def photographed(phone: PhoneAlone, job: str, folder: Path, many: int) -> None:
    """So many photographs of a camera's size at one place."""
    phone.go(f"{job}/measure/rod-diameter")
    begun, taken, button = time.perf_counter(), 0, "Photograph this place"
    while taken < many:
        files = []
        for n in range(taken, min(many, taken + AT_ONCE)):
            files.append(folder / f"{n}.jpg")
            noise = Image.effect_noise((SIDES[0] // 8, SIDES[1] // 8), 40).resize(SIDES).convert("RGB")
            noise.save(files[-1], quality=85)
        phone.wait_for(button)
        phone.photograph(button, *files)
        taken += len(files)
        button = f"Photograph this place, {taken} saved"
        phone.wait_for(button, 900)
        say(f"{taken} of them, memory: {memory(phone)}")
    say(
        f"{many} photographs of {SIDES[0]} by {SIDES[1]}: {(time.perf_counter() - begun) / max(many, 1):.2f} s each"
    )


def report(phone: PhoneAlone, job: str, called: str) -> None:
    """How long a report takes."""
    phone.go(f"{job}/report")
    phone.wait_for("Make the report")
    begun, computed = time.perf_counter(), phone.computed()
    phone.tap("Make the report")
    phone.wait_for("covers all entries.", 600)
    say(f"{called}: {time.perf_counter() - begun:.1f} s passed, {phone.computed() - computed:.1f} s computed")


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


def verdict(phone: PhoneAlone, place: int, typed: str) -> float:
    """How long from the touch of Enter until the verdict stands, ms."""
    phone.key(typed)
    phone.settle()
    enter = phone.finds("enter")
    assert enter
    phone.page.touchscreen.tap(enter.left + enter.width / 2, enter.middle)
    last, count = rf"last: .*{re.escape(typed)}0 mm", rf"\b{place} of \d+"
    words = rf"{last}[\s\S]*{count}|{count}[\s\S]*{last}"
    return float(phone.page.evaluate(WATCH, [words, 60_000]))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        given = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(made, "site")
        if len(sys.argv) < 2:
            print(build(given, "/", print))
        main(given, Path(made), int(sys.argv[2]) if len(sys.argv) > 2 else PHOTOGRAPHS)
