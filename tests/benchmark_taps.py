"""How many touches a whole cylinder takes: `python tests/benchmark_taps.py` measures an 8 x 5 x 96 in one by thumb.

Printed: by check, and of them all, its readings and the touches of the keypad; and what else was touched. The thumb
types what is left behind leading digits, and confirms what is asked about it.
"""

from __future__ import annotations

import random
import re
import tempfile
from collections import Counter
from decimal import Decimal
from pathlib import Path

from host import Host
from phone import Phone, start
from playwright.sync_api import sync_playwright

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import AnswerGiven, Nameplate

PLATE = {"bore": "8", "rod": "5", "stroke": "96", "support_span": "100", "pin": "4"}
ANSWERS = {
    "sizes": "inch", "rod-hardened": "induction hardened", "rod-end": "eye with bush", "cap-end": "eye with bush",
    "hung-loose": "no", "piston-fixing": "on a spigot", "piston-guide": "wear rings", "piston-material": "steel",
    "gland-held": "bolts", "gland-guide": "wear rings", "gland-material": "steel", "buffer-seal": "no",
    "cushions": "none",
}  # fmt: skip
READS = {
    # a used cylinder of this size, made up: what its gauges show in inches, and by how many of the last digit two
    # places differ; coating in thou, roughness in µin
    "rod-kink": (".001", 0), "rod-runout": (".012", 4), "rod-end-runout": (".001", 0), "rod-diameter": ("4.9972", 5),
    "rod-spigot-diameter": ("3.9993", 2), "rod-chrome": ("1.10", 6), "rod-roughness": ("8", 1),
    "rod-hardness": ("55", 1), "bore-diameter": ("8.0022", 9), "bore-beside": ("8.0018", 4),
    "barrel-mouth-bore": ("8.5012", 3), "barrel-wall": (".625", 4), "bore-roughness": ("8", 1),
    "barrel-outside-diameter": ("9.250", 2), "piston-old-ring": (".0965", 3), "piston-diameter": ("7.9520", 4),
    "piston-bore": ("4.0008", 2), "piston-new-ring": (".0984", 1), "gland-old-ring": (".0965", 3),
    "gland-bore": ("5.0220", 4), "gland-spigot-diameter": ("8.4985", 3), "gland-new-ring": (".0984", 1),
    "rod-seal-groove-diameter": ("5.625", 1), "rod-seal-groove-width": (".502", 1),
    "wiper-groove-diameter": ("5.500", 1), "wiper-groove-width": (".251", 1),
    "gland-wear-ring-groove-diameter": ("5.197", 1), "gland-wear-ring-groove-width": (".501", 1),
    "piston-wear-ring-groove-diameter": ("7.803", 1), "piston-wear-ring-groove-width": (".501", 1),
    "piston-seal-groove-diameter": ("7.250", 1), "piston-seal-groove-width": (".502", 1),
    "static-groove-diameter": ("8.061", 1), "static-groove-width": (".281", 1),
    "piston-static-groove-diameter": ("4.439", 1), "piston-static-groove-width": (".281", 1),
    "rod-eye-bore": ("4.0035", 5), "rod-eye-pin": ("3.9988", 4), "cap-eye-bore": ("4.0035", 5),
    "cap-eye-pin": ("3.9988", 4),
}  # fmt: skip
NOMINALS = {
    "piston-new-ring": ".0984", "gland-new-ring": ".0984", "rod-seal-groove-diameter": "5.625",
    "rod-seal-groove-width": ".5", "wiper-groove-diameter": "5.5", "wiper-groove-width": ".25",
    "gland-wear-ring-groove-diameter": "5.197", "gland-wear-ring-groove-width": ".5",
    "piston-wear-ring-groove-diameter": "7.803", "piston-wear-ring-groove-width": ".5",
    "piston-seal-groove-diameter": "7.25", "piston-seal-groove-width": ".5", "static-groove-diameter": "8.061",
    "static-groove-width": ".281", "piston-static-groove-diameter": "4.439", "piston-static-groove-width": ".281",
}  # fmt: skip
NOMINAL, STANDS = "The nominal size, not a reading", re.compile(r"^(\S+) stands, (\d+) to type")


def shop(folder: Path) -> str:
    """A folder with the cylinder in it, its nameplate and what is there; the job's id."""
    bench = Bench(folder)
    job = bench.open_job("T-8 by thumb", "JB", units="inch")
    job = bench.enter(job, Nameplate(PLATE), "JB", "inch").job
    for question, answer in ANSWERS.items():
        job = bench.enter(job, AnswerGiven(question, answer), "JB", "inch").job
    bench.close()
    return job.id


class Thumb:
    """Measures what the phone shows, and counts its touches."""

    def __init__(self, phone: Phone, job: str) -> None:
        self.phone = phone
        self.measuring = f"/job/{job}/measure/"
        self.chance = random.Random(8)
        self.at: dict[str, tuple[float, float]] = {}
        self.check = ""
        self.readings: Counter[str] = Counter()
        self.keys: Counter[str] = Counter()
        self.others: Counter[str] = Counter()

    def touch(self, name: str) -> None:
        """Touch what is not the keypad, and wait until the screen has changed."""
        self.others[name.partition(":")[0]] += 1
        here = self.title()
        self.phone.tap(name)
        self.phone.until(
            lambda: self.title() not in ("", here) or self.phone.finds(name) is None, f"what {name} does"
        )
        self.phone.settle()

    def title(self) -> str:
        """What the screen is about."""
        return next((node.name for node in self.phone.nodes() if node.role == "heading"), "")

    def key(self, text: str) -> None:
        """Touch keys where they lie: at the foot, the same on every screen."""
        for key in text:
            if key not in self.at:
                node = self.phone.finds({".": "point", "⏎": "enter"}.get(key, key))
                assert node is not None
                self.at[key] = (node.left + node.width / 2, node.middle)
            self.phone.page.touchscreen.tap(*self.at[key])
            self.phone.page.wait_for_timeout(40)

    def step(self) -> bool:
        """What is to be done on the screen shown; whether there was something."""
        said = self.phone.says()
        names = said.split("\n")
        route = self.phone.route()
        if "Type it again" in names:
            asked = next(line for line in names if line.startswith(("It is ", "With ")))
            print("  asked:", next(line for line in names if "?" in line or "far" in line), "/", asked)
            self.touch(asked)
        elif route.startswith(self.measuring) and "enter" in names:
            self.enter(route.removeprefix(self.measuring), names)
        else:
            way_on = ("Next: ", "Looked: nothing found", "Go on: ", "Nothing more to find")
            here = [line for line in names if line.startswith(way_on)]
            if not here:
                return False
            self.touch(here[0])
            if self.phone.finds("Who looked for cracks"):
                for label in ("Who looked for cracks", "Qualified how", "By which method"):
                    self.phone.type(label, "N. Holm")
                self.touch("Looked for cracks")
        return True

    def told(self) -> None:
        """Print what the check took."""
        if self.check:
            readings, keys = self.readings[self.check], self.keys[self.check]
            print(
                f"{self.check}: {readings} readings, {keys} touches, {keys / readings:.2f} each", flush=True
            )

    def enter(self, check: str, names: list[str]) -> None:
        """Type one number with the keypad, and Enter."""
        if check != self.check:
            self.told()
            self.check = check
        here = self.phone.lit()
        if NOMINAL in names:
            text = NOMINALS[check]
        else:
            middle, spread = READS[check]
            step = Decimal(1).scaleb(Decimal(middle).as_tuple().exponent)
            text = str(Decimal(middle) + step * self.chance.randint(-spread, spread)).removeprefix("0")
            stands = next((m for line in names if (m := STANDS.match(line))), None)
            left = text.removeprefix(stands[1]) if stands else text
            text = left if stands and len(left) == int(stands[2]) else text
            self.readings[check] += 1
        self.keys[check] += len(text) + 1
        self.key(f"{text}⏎")
        moved = ("Type it again", "Readings: tap one to take it again")
        self.phone.until(
            lambda: self.phone.lit() not in ("", here) or any(map(self.phone.finds, moved)),
            f"{text} at {check}",
        )
        self.phone.settle()


def main() -> None:
    """Play it and print what it took."""
    with tempfile.TemporaryDirectory() as throw_away:
        folder = Path(throw_away) / "shop"
        job = shop(folder)
        with Host(folder) as host, sync_playwright() as playwright:
            browser = start(playwright)
            phone = Phone(browser, host.url, route="/settings")
            phone.type("Your initials", "JB")
            phone.go(f"/job/{job}/parts")
            phone.wait_for("Go on: ")
            phone.settle()
            thumb = Thumb(phone, job)
            while thumb.step():
                pass
            thumb.told()
            ended = thumb.title()
            browser.close()
    readings, keys = thumb.readings.total(), thumb.keys.total()
    print(f"{readings} readings, {keys} touches of the keypad, {keys / readings:.2f} each")
    print("else touched:", ", ".join(f"{name} {n}" for name, n in thumb.others.most_common()))
    print("it ended at:", ended)


if __name__ == "__main__":
    main()
