"""An entry judges anew the checks that hang on it, and what comes of the cylinder is as if nothing had been kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.entries.job import AS_FOUND, AS_LEFT, WHOLE_CHECK, Job, Place
from inspect_app.entries.looking import Found, LookedOver
from inspect_app.entries.measuring import LeftOut, NominalSize, OffDrawing
from inspect_app.entries.opening import AnswerGiven, Nameplate
from inspect_app.entries.typed import Typed
from inspect_app.job import checks
from inspect_app.job.assess import Assessment, assess
from inspect_app.job.checks import assess_check
from inspect_app.job.findings import CheckResult
from inspect_app.job.left_state import state_of
from inspect_app.job.places import places_of
from inspect_app.tables import shipped_folder
from inspect_app.tables.cylinders import Check


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> tuple[Bench, Job]:
    """The demo's finished cylinder: everything read, looked at and answered."""
    bench = Bench(tmp_path_factory.mktemp("measured"), throw_away=True)
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    return bench, job


def again(bench: Bench, job: Job) -> Job:
    """A job of its own with the same entries."""
    new = bench.open_job("again", "KM").id
    said = (e for e in bench.logbook.entries(job.id) if e.kind not in ("job", "undo"))
    return bench.record(new, "KM", *((e.kind, e.body) for e in said))


def anew(bench: Bench, job: Job, state: str) -> Assessment:
    """One state judged with nothing kept, every check with all of the survey before it."""
    return assess(
        state_of(job, state, bench.tables, lambda j: assess(j.as_found, bench.tables)), bench.tables
    )


class Hand:
    """Somebody who enters this and that; `number` chooses what."""

    def __init__(self, bench: Bench, job: Job, state: str) -> None:
        self.bench, self.job, self.state = bench, job, state
        self.cylinder = bench.tables.cylinders[job.cylinder]

    def enter(self, typed: Typed) -> None:
        self.job = self.bench.enter(self.job, typed, "KM", "metric", self.state).job

    def check(self, number: int, fits: Callable[[Check], object]) -> Check:
        fitting = [c for c in self.cylinder.checks if fits(c)]
        return fitting[number % len(fitting)]

    def place(self, check: Check, number: int) -> Place:
        places = places_of(check, self.job.survey(self.state))
        return places[number // 7 % len(places)]

    def read(self, number: int) -> None:
        check = self.check(number, lambda c: c.gauge)
        place, now = self.place(check, number), self.job.as_found.readings.get(check.id, {})
        near = float(now[place].value) if place in now else 5.0
        text = str(round(near + (number % 5 - 2) / 100, 3))
        self.job = self.bench.measure(
            self.job, check, place, text, "KM", "metric", sure=True, survey=self.state
        ).job

    def leave_out(self, number: int) -> None:
        check = self.check(number, lambda c: not c.between)
        self.enter(LeftOut(check, WHOLE_CHECK if number % 2 else self.place(check, number), "no access"))

    def nominal(self, number: int) -> None:
        self.enter(NominalSize(self.check(number, lambda c: c.nominal == "ask"), f"{20 + number % 90}"))

    def drawing(self, number: int) -> None:
        check = self.check(number, lambda c: c.gauge)
        self.enter(OffDrawing(check, check.characteristics[0], "", f"{number % 300}.{number % 2}0", "D-1"))

    def plate(self, number: int) -> None:
        fields = [
            {"part_temperature": f"{number % 40}"},
            {"bore": f"{60 + number % 200}"},
            {"support_span": ""},
        ]
        self.enter(Nameplate(fields[number % 3]))

    def answer(self, number: int) -> None:
        question = self.cylinder.questions[number % len(self.cylinder.questions)]
        self.enter(AnswerGiven(question.id, list(question.answers)[number // 11 % len(question.answers)]))

    def look(self, number: int) -> None:
        check = self.check(number, lambda c: c.look)
        mark = Found(check, check.look[number % len(check.look)], Place("300", "6"), sizes={"depth": "0.02"})
        self.enter(LookedOver(check) if number % 3 else replace(mark, felt="felt" if number % 2 else ""))

    def undo(self, number: int) -> None:
        self.job, _ = self.bench.undo(self.job, "KM")


ACTS = (
    Hand.read,
    Hand.read,
    Hand.leave_out,
    Hand.nominal,
    Hand.drawing,
    Hand.plate,
    Hand.answer,
    Hand.look,
    Hand.undo,
)


@given(
    acts=st.lists(st.tuples(st.sampled_from(ACTS), st.integers(0, 10_000)), min_size=1, max_size=4),
    state=st.sampled_from([AS_FOUND, AS_LEFT]),
)
def test_whatever_is_entered_nothing_kept_is_out_of_date(
    measured: tuple[Bench, Job], acts: list[tuple[Callable[[Hand, int], None], int]], state: str
) -> None:
    bench, job = measured
    hand = Hand(bench, again(bench, job), state)
    bench.assess(hand.job, state)
    for act, number in acts:
        act(hand, number)
        bench.assess(hand.job, state)
    assert bench.assess(hand.job, state) == anew(bench, hand.job, state)


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The checks that were judged, by their ids."""
    ids: list[str] = []

    def watched(check: Check, *args: object) -> CheckResult:
        ids.append(check.id)
        return assess_check(check, *args)  # type: ignore[arg-type]

    monkeypatch.setattr(checks, "assess_check", watched)
    return ids


def test_a_reading_judges_its_check_and_what_hangs_on_it(
    measured: tuple[Bench, Job], judged: list[str]
) -> None:
    bench, job = measured
    hand = Hand(bench, again(bench, job), AS_FOUND)
    bench.assess(hand.job)
    every = len(judged)
    judged.clear()
    hand.job = bench.measure(
        hand.job,
        hand.check(0, lambda c: c.id == "rod-hardness"),
        Place("300", "6"),
        "55",
        "KM",
        "metric",
        sure=True,
    ).job
    bench.assess(hand.job)
    bench.result(hand.job, AS_FOUND, hand.check(0, lambda c: c.id == "rod-hardness"))
    assert every > 50
    assert judged == ["rod-hardness"]
    judged.clear()
    # a rod's size: the clearance in its gland, and how deep its marks may be
    rod = hand.check(0, lambda c: c.id == "rod-diameter")
    hand.job = bench.measure(hand.job, rod, hand.place(rod, 0), "99.95", "KM", "metric", sure=True).job
    bench.assess(hand.job)
    assert set(judged) == {"rod-diameter", "rod-surface", "gland-clearance"}


def test_a_limit_retyped_with_another_number_of_digits_is_judged_anew(
    measured: tuple[Bench, Job], judged: list[str]
) -> None:
    bench, job = measured
    hand = Hand(bench, again(bench, job), AS_FOUND)
    hardness = hand.check(0, lambda c: c.id == "rod-hardness")
    bench.assess(hand.job)
    judged.clear()
    for upper in ("60.0", "60.00"):
        hand.enter(OffDrawing(hardness, "hardness", "", upper, "D-1"))
        bench.assess(hand.job)
        assert judged == ["rod-hardness"]
        judged.clear()
