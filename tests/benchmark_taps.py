"""How many touches a whole cylinder takes: `python tests/benchmark_taps.py` measures an 8 x 5 x 96 in one.

Printed by check, then by what is touched: the readings with the nominal sizes asked for and what is confirmed among
them, and the rest of the way from the nameplate to the last check. No screen is drawn: digits come from where it has
them. Nothing is found by eye, nothing is skipped and no place is laid out by hand, so those take no touch here.
"""

from __future__ import annotations

import random
import tempfile
from collections import Counter
from decimal import Decimal
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import AS_FOUND, Place
from inspect_app.entries.looking import LookedOver
from inspect_app.entries.measuring import NominalSize
from inspect_app.entries.opening import AnswerGiven, Nameplate
from inspect_app.job.findings import check_verdict
from inspect_app.job.leading import leading_for
from inspect_app.job.places import next_place
from inspect_app.job.proposing import nominals_proposed
from inspect_app.screens.mechanic.entering import latest_reading
from inspect_app.screens.mechanic.parts import next_check
from inspect_app.screens.pieces.keypad import Line
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict

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


BY_WHOM = ("A. Nyberg", "magnetic particles, level 2", "yoke")
"""Who looked for cracks, how qualified, by which method."""

WHERE = ("digits of readings", "Enter", "the same as the last", "nominal sizes", "questions asked back")
"""What is touched to enter readings."""

ON_THE_WAY = ("nameplate", "what is there", "looked: nothing found", "on to the next check")
"""What is touched beside that."""


class Thumb:
    """Measures the cylinder check by check and counts the touches, by check and by what is touched."""

    def __init__(self, bench: Bench, job_id: str) -> None:
        self.bench, self.job_id = bench, job_id
        self.chance = random.Random(8)
        self.readings: Counter[str] = Counter()
        self.touches: Counter[tuple[str, str]] = Counter()

    def touch(self, check: str, what: str, times: int = 1) -> None:
        """So many touches of one thing."""
        self.touches[check, what] += times

    def of(self, *what: str, check: str = "") -> int:
        """How many touches of these things, of one check or of all."""
        return sum(n for (at, w), n in self.touches.items() if w in what and check in ("", at))

    def begin(self) -> None:
        """The nameplate, each field touched and typed, and what is there, an answer each."""
        self.touch("", "nameplate", sum(1 + len(typed) for typed in PLATE.values()))
        self.touch("", "what is there", len(ANSWERS))

    def go_on(self) -> Check | None:
        """The next check that has something to do, touched for as the screen asks it to be."""
        job = self.bench.job(self.job_id)
        return next_check(self.bench.assess(job, AS_FOUND).parts)

    def look(self, check: Check) -> None:
        """A look at which nothing is found; the next check opens by itself."""
        typed = LookedOver(check, *BY_WHOM) if check.qualified else LookedOver(check)
        outcome = self.bench.enter(self.bench.job(self.job_id), typed, "JB", "inch")
        assert not outcome.remark, f"{check.id}: {outcome.remark}"
        # who looked for cracks is asked then: its three lines are touched, their words typed on the phone's own keys
        self.touch(check.id, "looked: nothing found", 2 + len(BY_WHOM) if check.qualified else 1)

    def measure(self, check: Check) -> None:
        """Every place of a check, its nominal size first where it is asked for."""
        job = self.bench.job(self.job_id)
        if check.id in NOMINALS:
            size, tables = Decimal(NOMINALS[check.id]), self.bench.tables_of(job)
            proposed = (s for p in nominals_proposed(check, job.as_found, tables, "inch") for s in p.sizes)
            touched = size in (Decimal(text.removesuffix(" in")) for text in proposed if text.endswith(" in"))
            self.bench.enter(job, NominalSize(check, NOMINALS[check.id]), "JB", "inch")
            self.touch(check.id, "nominal sizes", 1 if touched else len(NOMINALS[check.id]) + 1)
        while place := next_place(check, self.bench.job(self.job_id).as_found, None):
            self.take(check, place)
        verdict = check_verdict(self.bench.result(self.bench.job(self.job_id), AS_FOUND, check))
        if verdict in (Verdict.BEYOND, Verdict.UNCLEAR):  # else it opens by itself
            self.touch(check.id, "on to the next check")

    def take(self, check: Check, place: Place) -> None:
        """One reading: its digits behind those that stand, Enter, and the answer if it is asked about."""
        job = self.bench.job(self.job_id)
        middle, spread = READS[check.id]
        step = Decimal(1).scaleb(Decimal(middle).as_tuple().exponent)
        text = str(Decimal(middle) + step * self.chance.randint(-spread, spread)).removeprefix("0")
        self.readings[check.id] += 1
        last = latest_reading(job.as_found, check)
        stands = leading_for(job.as_found, check, place, self.bench.tables_of(job), "inch")
        left = text.removeprefix(stands.digits.removeprefix("0")) if stands else text
        typed = left if stands and len(left) == stands.left else text
        asked = bool(Line(stands, typed, whole="." in typed).behind)
        outcome = self.bench.measure(job, check, place, text, "JB", "inch")
        if outcome.doubt:
            asked = True
            outcome = self.bench.measure(job, check, place, text, "JB", "inch", sure=True)
        assert not outcome.remark, f"{check.id}: {outcome.remark}"
        if last and last.typed.split()[0] == text:
            self.touch(check.id, "the same as the last")
            return
        self.touch(check.id, "digits of readings", len(typed))
        self.touch(check.id, "Enter")
        self.touch(check.id, "questions asked back", asked)


def shown(thumb: Thumb) -> None:
    """The tables of what it took."""
    every = thumb.readings.total()
    for check, readings in thumb.readings.items():
        touches = thumb.of(*WHERE, check=check)
        print(f"{check}: {readings} readings, {touches} touches, {touches / readings:.2f} each")
    for what in (*WHERE, *ON_THE_WAY):
        print(f"{what}: {thumb.of(what)} touches, {thumb.of(what) / every:.2f} a reading")
    for name, kinds in (("entering readings", WHERE), ("the whole way", WHERE + ON_THE_WAY)):
        touches = thumb.of(*kinds)
        print(f"{name}: {every} readings, {touches} touches, {touches / every:.2f} each")


def main() -> None:
    """Measure it and print what it took."""
    with tempfile.TemporaryDirectory() as throw_away:
        folder = Path(throw_away) / "shop"
        job_id = shop(folder)
        bench = Bench(folder)
        thumb = Thumb(bench, job_id)
        thumb.begin()
        while check := thumb.go_on():
            thumb.look(check) if check.look else thumb.measure(check)
        shown(thumb)


if __name__ == "__main__":
    main()
