"""What a gauge may be wrong by moves the verdict on everything that is made of its readings, by the factor of the GUM.

Each case lies within its limit by a margin. A gauge whose doubt, carried to the value, stays a little below
the margin proves it; one a little above leaves it too close to call. The factors follow from the formula of each
characteristic by GUM 5.1.2 for what readings have each for themselves, and 5.2.2 (note 1) for what they share.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import pytest
from log import SHIPPED, Log

from inspect_app.job.findings import Finding
from inspect_app.trade.measuring.decision import Verdict

WITHIN, UNCLEAR = Verdict.WITHIN, Verdict.UNCLEAR
A_LITTLE_BELOW, A_LITTLE_ABOVE = 0.95, 1.03
"""Times the margin. U is rounded up to two digits, at most 2 % for margins that begin with 5 or more."""

BORE = ("25", "312", "600", "888", "1175")
"""Where a bore of 1200 stroke is read, each at three clocks."""


@dataclass(frozen=True)
class Case:
    """A value within its limit by `margin`, and how far it follows what its readings may be wrong by.

    `each`: factor of what each reading has for itself; `alike`: of what all readings of one setting share.
    `readings` are (check, place, value); `drawn` a limit off the drawing for what has none of its own.
    """

    check: str
    characteristic: str
    margin: float
    each: float
    alike: float
    readings: tuple[tuple[str, str, str], ...]
    drawn: tuple[str, str] = ("", "")

    def finding(self, *, u2: float = 0, scatter: float = 0) -> Finding:
        log = Log(bore="100", rod="63", stroke="1200", pin="50", support_span="1200")
        if any(self.drawn):
            log.drawing(self.check, self.characteristic, *self.drawn)
        for check, place, value in self.readings:
            log.read(check, place, value, u2=f"{u2:.9f}", scatter=f"{scatter:.9f}")
        return log.finding(self.check, self.characteristic)


def sections(*means: str) -> tuple[tuple[str, str, str], ...]:
    """A bore round everywhere, with these diameters from the gland end on."""
    return tuple(
        ("bore-diameter", f"{station} {clock}", mm)
        for station, mm in zip(BORE, means, strict=True)
        for clock in ("12", "2", "4")
    )


def dials(*tirs: str) -> tuple[tuple[str, str, str], ...]:
    """A rod read at 300, 600 and 900 mm, supported at 0 and 1200."""
    return tuple(("rod-runout", f"{mm} ", tir) for mm, tir in zip(("300", "600", "900"), tirs, strict=True))


CASES = [
    # 100 H9 ends at 100.087 (ISO 286-2)
    Case("bore-diameter", "size", 0.007, 1, 1, (("bore-diameter", "600 12", "100.080"),)),
    # at least 16 um of chrome
    Case("rod-chrome", "least", 6, 1, 1, (("rod-chrome", "25 12", "22"),)),
    # 0.5 mm per metre of 1.2 m
    Case("rod-runout", "tir", 0.05, 1, 1, dials("0.30", "0.55", "0.30")),
    Case("rod-roughness", "roughness", 0.05, 1, 1, (("rod-roughness", "25 ", "0.35"),)),
    Case("rod-hardness", "hardness", 5, 1, 1, (("rod-hardness", "", "55"),), ("50", "")),
    Case("rod-kink", "gap", 0.06, 1, 1, (("rod-kink", "", "0.04"),)),
    # greatest less least: 1 and -1
    Case(
        "bore-diameter", "ovality", 0.005, sqrt(2), 0,
        tuple(("bore-diameter", f"600 {c}", mm) for c, mm in (("12", "100.045"), ("2", "100.020"), ("4", "100"))),
    ),
    # mean of three less mean of three: 6 times (1/3)²
    Case(
        "bore-diameter", "taper", 0.007, sqrt(2 / 3), 0,
        sections("100.050", "100.030", "100.030", "100.030", "100.007"),
    ),
    # mean of three less half of each end: (1 + 1/4 + 1/4) / 3
    Case(
        "bore-diameter", "ballooning", 0.006, sqrt(1 / 2), 0,
        sections("100.000", "100.020", "100.094", "100.020", "100.000"),
    ),
    # mean of three less the mean of three such: (1 + 3 / 9) / 3
    Case(
        "bore-diameter", "bell_mouth", 0.006, sqrt(4 / 9), 0,
        sections("100.064", "100.020", "100.020", "100.020", "100.020"),
    ),
    # TIR less half of each neighbour's, over the 0.6 m between those: 0.27 / 0.6 = 0.45 against 0.5
    Case("rod-runout", "worst_per_metre", 0.05, sqrt(1.5) / 0.6, 0, dials("0.30", "0.57", "0.30")),
    # beside a support, where the centre is known: 0.40 less half of 0.26, over 0.6 m; 1 / 0.6 and -1/2 / 0.6
    Case("rod-runout", "worst_per_metre", 0.05, sqrt(1.25) / 0.6, 0.5 / 0.6, dials("0.40", "0.26", "0.00")),
    # half of one reading
    Case("rod-runout", "bow", 0.05, 0.5, 0.5, dials("0.30", "0.50", "0.30"), ("", "0.30")),
    # greatest less least section, each one reading; 1 % of a 50 pin
    Case(
        "rod-eye-pin", "wear", 0.06, sqrt(2), 0,
        tuple(
            ("rod-eye-pin", f"{station} ", mm)
            for station, mm in (("left-half", "49.50"), ("right-half", "49.80"), ("unworn-end", "49.94"))
        ),
    ),
    # mean of four: what they share stays, what each has for itself is halved
    Case(
        "rod-chrome", "mean", 6, 0.5, 1,
        tuple(("rod-chrome", place, "26") for place in ("25 12", "25 6", "1175 12", "1175 6")), ("20", ""),
    ),
    # hole less shaft, two gauges set for themselves
    Case(
        "piston-clearance", "clearance", 0.05, sqrt(2), sqrt(2),
        (("bore-diameter", "600 12", "100.05"), ("piston-diameter", "gland side land 12", "99.10")),
    ),
]  # fmt: skip
NAMES = [f"{case.characteristic}{n}" for n, case in enumerate(CASES)]


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_scatter_of_single_readings_moves_the_verdict(case: Case) -> None:
    assert case.finding().verdict is WITHIN
    scatter = case.margin / case.each / 2  # a standard deviation; U has k = 2
    assert case.finding(scatter=A_LITTLE_BELOW * scatter).verdict is WITHIN
    assert case.finding(scatter=A_LITTLE_ABOVE * scatter).verdict is UNCLEAR


@pytest.mark.parametrize("case", [c for c in CASES if c.alike], ids=lambda c: c.characteristic)
def test_what_all_readings_of_a_gauge_are_wrong_by_alike_moves_the_verdict(case: Case) -> None:
    u2 = case.margin / case.alike
    assert case.finding(u2=A_LITTLE_BELOW * u2).verdict is WITHIN
    assert case.finding(u2=A_LITTLE_ABOVE * u2).verdict is UNCLEAR


@pytest.mark.parametrize("case", [c for c in CASES if not c.alike], ids=lambda c: c.characteristic)
def test_what_readings_share_cancels_in_a_difference(case: Case) -> None:
    assert case.finding(u2=20 * case.margin).verdict is WITHIN
    assert case.finding(u2=20 * case.margin).u < 1e-9


def test_every_characteristic_of_the_checklist_has_its_case() -> None:
    asked = {name for check in SHIPPED.cylinders["double-acting"].checks for name in check.characteristics}
    assert asked == {case.characteristic for case in CASES}


@pytest.mark.parametrize(
    ("check", "defect", "zone", "felt", "measure", "value", "margin"),
    [
        # at most 0.025 mm deep, 12.7 mm long where felt; common practice for the other two
        ("rod-surface", "score-along", "seal-travel", "", "depth", "0.020", 0.005),
        ("rod-surface", "score-along", "seal-travel", "felt", "length", "12.1", 0.6),
        ("pins-look", "oval-hole", "", "", "difference", "0.10", 0.05),
        ("port-thread-seat", "face-scratch", "", "", "width", "0.08", 0.05),
    ],
)
def test_the_gauge_a_defect_is_measured_with_moves_the_verdict(
    check: str, defect: str, zone: str, felt: str, measure: str, value: str, margin: float
) -> None:
    def verdict(u2: float = 0, scatter: float = 0) -> Verdict:
        log = Log(bore="100", rod="63", stroke="1200", pin="50")
        doubt = {"u2": f"{u2:.9f}", "scatter": f"{scatter:.9f}"}
        log.defect(check, defect, zone, felt=felt, **doubt, **{measure: value})
        return log.verdict(check, measure)

    assert verdict() is WITHIN
    assert verdict(u2=A_LITTLE_BELOW * margin) is WITHIN
    assert verdict(u2=A_LITTLE_ABOVE * margin) is UNCLEAR
    assert verdict(scatter=A_LITTLE_BELOW * margin / 2) is WITHIN
    assert verdict(scatter=A_LITTLE_ABOVE * margin / 2) is UNCLEAR
