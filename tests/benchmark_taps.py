"""How many touches a whole cylinder takes: `python tests/benchmark_taps.py` measures an 8 x 5 x 96 in one.

Printed by check, and of them all: the readings, and the touches of the keypad they take where leading digits stand,
the nominal sizes asked for and what is confirmed among them. No screen is drawn: digits come from where it has them.
"""

from __future__ import annotations

import random
import tempfile
from collections import Counter
from decimal import Decimal
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Place
from inspect_app.entries.measuring import NominalSize
from inspect_app.entries.opening import AnswerGiven, Nameplate
from inspect_app.job.leading import leading_for
from inspect_app.job.places import next_place
from inspect_app.screens.pieces.keypad import Line
from inspect_app.tables.cylinders import Check

PLATE = {"bore": "8", "rod": "5", "stroke": "96", "support_span": "100", "pin": "4"}
ANSWERS = {
    "sizes": "inch", "rod-hardened": "induction-hardened", "rod-end": "eye-with-bush", "cap-end": "eye-with-bush",
    "hung-loose": "no", "piston-fixing": "on-a-spigot", "piston-guide": "wear-rings", "piston-material": "steel",
    "gland-held": "bolts", "gland-guide": "wear-rings", "gland-material": "steel", "buffer-seal": "no",
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
    """Measures the cylinder place by place and counts the touches."""

    def __init__(self, bench: Bench, job_id: str) -> None:
        self.bench, self.job_id = bench, job_id
        self.chance = random.Random(8)
        self.readings: Counter[str] = Counter()
        self.touches: Counter[str] = Counter()

    def measure(self, check: Check) -> None:
        """Every place of a check, its nominal size first where it is asked for."""
        job = self.bench.job(self.job_id)
        if check.id in NOMINALS:
            self.bench.enter(job, NominalSize(check, NOMINALS[check.id]), "JB", "inch")
            self.touches[check.id] += len(NOMINALS[check.id]) + 1
        while place := next_place(check, self.bench.job(self.job_id).as_found, None):
            self.take(check, place)

    def take(self, check: Check, place: Place) -> None:
        """One reading: its digits behind those that stand, Enter, and the answer if it is asked about."""
        job = self.bench.job(self.job_id)
        middle, spread = READS[check.id]
        step = Decimal(1).scaleb(Decimal(middle).as_tuple().exponent)
        text = str(Decimal(middle) + step * self.chance.randint(-spread, spread)).removeprefix("0")
        stands = leading_for(job.as_found, check, place, self.bench.tables_of(job), "inch")
        left = text.removeprefix(stands.digits.removeprefix("0")) if stands else text
        typed = left if stands and len(left) == stands.left else text
        asked = bool(Line(stands, typed, whole="." in typed).behind)
        outcome = self.bench.measure(job, check, place, text, "JB", "inch")
        if outcome.doubt:
            asked = True
            outcome = self.bench.measure(job, check, place, text, "JB", "inch", sure=True)
        assert not outcome.remark, f"{check.id}: {outcome.remark}"
        self.readings[check.id] += 1
        self.touches[check.id] += len(typed) + 1 + asked


def main() -> None:
    """Measure it and print what it took."""
    with tempfile.TemporaryDirectory() as throw_away:
        folder = Path(throw_away) / "shop"
        job_id = shop(folder)
        bench = Bench(folder)
        thumb = Thumb(bench, job_id)
        cylinder = bench.tables_of(bench.job(job_id)).cylinders["double-acting"]
        for check in (cylinder.check(name) for name in READS):
            assert check is not None
            thumb.measure(check)
            readings, touches = thumb.readings[check.id], thumb.touches[check.id]
            if readings:
                print(f"{check.id}: {readings} readings, {touches} touches, {touches / readings:.2f} each")
    readings, touches = thumb.readings.total(), thumb.touches.total()
    print(f"{readings} readings, {touches} touches, {touches / readings:.2f} each")


if __name__ == "__main__":
    main()
