"""Makes pictures of the screens from the demo jobs: `python tests/screenshots.py OUT_DIR [--all] [--look dark] …`.

Without --all the pictures are those of the README, in their own look and units.
"""

from __future__ import annotations

import argparse
import sqlite3
import tempfile
from pathlib import Path

import pymupdf
from host import Host
from phone import Phone, start
from playwright.sync_api import sync_playwright

SIZES = {"390x844": (390, 844), "360x740": (360, 740), "820x1180": (820, 1180), "1280x800": (1280, 800)}
LOOKS = {"light": "Light", "dark": "Dark", "sun": "Bright sun"}
SHARPNESS = 2


def jobs(folder: Path) -> tuple[str, str, str]:
    """The routes of the half-done job, the one to replace and the one to repair."""
    with sqlite3.connect(f"file:{folder / 'logbook.db'}?mode=ro", uri=True) as log:
        ids = [job for (job,) in log.execute("SELECT job FROM entries WHERE kind = 'job' ORDER BY seq")]
    *_, half, scrap, good = (f"/job/{job}" for job in ids)
    return half, scrap, good


def first_photo(folder: Path, job: str) -> str:
    """The first photograph of a job by its route, by the name it goes by in routes."""
    with sqlite3.connect(f"file:{folder / 'logbook.db'}?mode=ro", uri=True) as log:
        asked = "SELECT id FROM entries WHERE kind = 'photo' AND job = ? ORDER BY seq LIMIT 1"
        (name,) = log.execute(asked, (job.rsplit("/", 1)[-1],)).fetchone()
    return str(name)


def every_screen(folder: Path) -> dict[str, tuple[str, str]]:
    """A route and words to wait for, by the picture's name."""
    half, scrap, good = jobs(folder)
    return {
        "jobs": ("/", "Cylinders on the bench"),
        "new": ("/new", "Job number or tag"),
        "nameplate": (f"{good}/nameplate", "For measuring"),
        "job": (half, "Go on: "),
        "receiving": (f"{half}/step/receiving", "Brought by"),
        "make-safe": (f"{half}/step/make-safe", "Open to the air"),
        "teardown": (f"{half}/step/teardown", "How the gland is held"),
        "release": (f"{half}/step/release", "Taken by"),
        "parts": (f"{half}/parts", "Go on: "),
        "cautions": (f"{half}/cautions", "Before opening"),
        "present": (f"{half}/present", "left to answer"),
        "short-look": (f"{half}/short-look", "Short look first"),
        "measure": (f"{half}/measure/bore-diameter", "0 of 15"),
        "measured": (f"{good}/measure/rod-diameter", "Readings: tap one"),
        "nominal": (f"{half}/measure/rod-seal-groove-diameter", "Before measuring: which nominal size"),
        "look": (f"{half}/look/rod-surface", "Looked: nothing found"),
        "defect": (f"{good}/look/rod-surface", "Photograph of Score, lengthwise"),
        "scored": (f"{scrap}/look/bore-surface", "three lines side by side"),
        "photos": (f"{good}/photos", "Photograph the cylinder"),
        "photo": (f"{good}/photo/{first_photo(folder, good)}", "Larger"),
        "compare": (f"{good}/compare/{first_photo(folder, good)}", "Compare number 1 with"),
        "findings": (f"{good}/findings", "Rod: rework"),
        "replace": (f"{scrap}/findings", "Replace the cylinder"),
        "seals": (f"{good}/seals", "7 lines, "),
        "seal-place": (f"{good}/seals/rod-seal/gland", "Ask the mechanic"),
        "orders": ("/orders", "Held back"),
        "paths": (f"{good}/paths", "Way 1, offered"),
        "paths-refused": (f"{scrap}/paths", "Refused 1 of 2"),
        "scope": (f"{good}/scope", "Show to the customer"),
        "scope-line": (f"{good}/scope/line/reseal", "Keep the line"),
        "scope-terms": (f"{good}/scope/terms", "Keep the terms"),
        "report-screen": (f"{good}/report", "covers all entries"),
        "settings": ("/settings", "Text size"),
        "people": ("/people", "Add a person"),
        "person": ("/person", "Is a"),
        "devices": ("/devices", "start the program with --lan"),
        "gauge": ("/gauge/bore-gauge", "Uncertainty ±"),
        "calculators": ("/calc", "Calculators"),
        "calculator": ("/calc/fit", "Fit"),
    }


def choose(phone: Phone, *names: str) -> None:
    """Set the phone as its settings offer."""
    phone.go("/settings")
    phone.wait_for("Text size")
    for name in names:
        phone.tap(name)
    phone.settle()


def shoot(phone: Phone, route: str, words: str, file: Path) -> None:
    """One screen, once it stands still."""
    phone.go(route)
    phone.wait_for(words)
    phone.settle()
    phone.shoot(file)


def first_page(folder: Path, file: Path) -> None:
    """The first page of the report made last."""
    pdf = max((folder / "reports").glob("*.pdf"), key=lambda f: f.stat().st_mtime)
    with pymupdf.open(pdf) as document:
        document[0].get_pixmap(dpi=72).save(file)


def for_readme(phone: Phone, folder: Path, out: Path) -> None:
    """The pictures the README shows, measured ones after a reading so that a verdict is in them."""
    screens = every_screen(folder)
    choose(phone, "Light", "Metric")
    for name, screen in (("jobs", "jobs"), ("defect", "scored"), ("findings", "findings")):
        shoot(phone, *screens[screen], out / f"{name}.png")
    route, words = screens["measure"]
    phone.go(route)
    phone.wait_for(words)
    for reading in ("101.63⏎", "101.66⏎", "101.6"):
        phone.key(reading)
    phone.wait_for("2 of 15")
    phone.shoot(out / "measure.png")
    choose(phone, "Dark", "Inch")
    phone.go(route)
    phone.wait_for("2 of 15")
    phone.key("⌫⌫⌫⌫⌫4.0000")
    phone.shoot(out / "dark_inch.png")
    first_page(folder, out / "report.png")


def main() -> None:
    """Serve the demo in a throw-away folder and shoot it."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("out", type=Path)
    asked.add_argument("--all", action="store_true", help="every screen instead of the README's")
    asked.add_argument("--look", choices=LOOKS, default="light")
    asked.add_argument("--units", choices=["metric", "inch"], default="metric")
    asked.add_argument("--size", choices=SIZES, default="390x844")
    given = asked.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as throw_away,
        Host(Path(throw_away) / "demo", "demo") as host,
        sync_playwright() as playwright,
    ):
        browser = start(playwright)
        sharpness = SHARPNESS if given.all else 1
        phone = Phone(browser, host.url, SIZES[given.size], "/settings", sharpness)
        phone.type("Your initials", "KM")
        if given.all:
            choose(phone, LOOKS[given.look], given.units.capitalize())
            for name, (route, words) in every_screen(host.folder).items():
                shoot(phone, route, words, given.out / f"{name}.png")
        else:
            for_readme(phone, host.folder, given.out)
        browser.close()


if __name__ == "__main__":
    main()
