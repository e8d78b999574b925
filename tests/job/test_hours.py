"""Hours worked beside hours estimated: a line by its steps, no hour twice, what no step names in the rework."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from log import SHIPPED

from inspect_app.entries.steps import STARTED, STOPPED, Stepped, Steps
from inspect_app.job.hours import hours_beside
from inspect_app.job.pricing import PriceLine
from inspect_app.job.steps import steps_of
from inspect_app.report.phrases import beside_words

D = Decimal


def worked(*rows: tuple[str, str, str]) -> Steps:
    """Steps, each worked from one time of a day to another by one person."""
    done = []
    for n, (step, begun, ended) in enumerate(rows):
        for did, at in ((STARTED, begun), (STOPPED, ended)):
            done.append(Stepped(f"{n}{did}", step, did, "", "KM", f"2026-03-02T{at}:00.000Z"))
    return Steps(tuple(done))


def line(work: str, hours: str) -> PriceLine:
    return PriceLine(work, work, D(100), hours=D(hours) if hours else None)


def test_lines_done_in_the_same_steps_stand_together_and_no_hour_counts_twice() -> None:
    steps = worked(
        ("teardown", "08:00", "10:15"),
        ("rework", "10:30", "11:00"),
        ("reassembly", "12:00", "14:00"),
        ("pressure-test", "14:00", "15:30"),
    )
    lines = [
        line("strip", "2.5"),
        line("fit", "2.7"),
        line("reseal", "0.5"),
        line("polish-rod", "0.8"),
        line("x", ""),
    ]
    told = {beside.lines: beside for beside in hours_beside(lines, steps_of(steps, SHIPPED.steps))}
    assert set(told) == {("strip",), ("fit", "reseal"), ("polish-rod",)}
    strip, fit, polish = told["strip",], told["fit", "reseal"], told["polish-rod",]
    assert (strip.estimated_h, strip.spent) == (D("2.5"), timedelta(hours=2, minutes=15))
    # 2.7 + 0.5 estimated; reassembly 2 h and test 1.5 h
    assert (fit.estimated_h, fit.spent) == (D("3.2"), timedelta(hours=3, minutes=30))
    assert (polish.steps, polish.spent) == (("Rework",), timedelta(minutes=30))
    assert beside_words(fit) == (
        "Reassembly, Pressure test: 3 h 30 min worked, 3 h 12 min estimated (fit, reseal)."
    )
