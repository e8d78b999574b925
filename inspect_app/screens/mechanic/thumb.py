"""What a touch of a key does: hands what is being entered to the bench, or asks; every handler is short and whole."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from time import monotonic

import flet as ft

from inspect_app.entries.job import Job, Place, Survey
from inspect_app.entries.measuring import NominalSize
from inspect_app.job.choosing import WHICH_GAUGE
from inspect_app.job.findings import check_verdict
from inspect_app.job.leading import leading_for
from inspect_app.job.places import STATIONS_FIRST, next_place
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.entering import (
    NOMINAL,
    TYPE_AGAIN,
    Answer,
    At,
    behind,
    changed,
    filled,
    late,
    reading_at,
    unlikely,
    which_gauge,
)
from inspect_app.screens.mechanic.parts import next_check, parts_to_do, progress_words
from inspect_app.screens.mechanic.routes import home_of, route_of
from inspect_app.screens.mechanic.standing import word_of_check
from inspect_app.screens.pieces.tones import Tone, beeps
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.leading import Leading
from inspect_app.trade.measuring.plausible import as_keyed

LEADING, STAY = "leading", "stay"
"""The setting of a phone, and its value where leading digits stand before a reading is typed."""

TOUCH, FELT = "touch", "on"
"""The setting of a phone, and its value where a verdict is felt."""

KNOCKS = {Verdict.WITHIN: (1, "light"), Verdict.UNCLEAR: (2, "medium"), Verdict.BEYOND: (3, "heavy")}
"""How a verdict is felt in the hand: so many knocks, and how hard; told apart by their number through a glove."""

BETWEEN_KNOCKS_S = 0.14

SOUND, HEARD = "sound", "on"
"""The setting of a phone, and its value where a verdict is heard."""

PITCH_HZ = {Verdict.WITHIN: 1050, Verdict.UNCLEAR: 700, Verdict.BEYOND: 440}
"""How high a verdict is heard, as many times as it is felt: the worse the lower."""

BOUNCE_S = 0.8
"""So long after an entry a touch on the last reading is the same finger: to reach the next place takes longer."""

NEXT, BY_ITSELF = "next", "by itself"
"""The setting of a phone, and its value where the next check opens when the last place of one is filled."""

ORDER = "order"
"""The setting of a phone that says in which order places are measured."""


class Thumb:
    """The handlers of one phone's keys; the same objects while the screen stands: its keys are left alone."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.press = desk.guard(self._press)
        self.enter = desk.guard(self._enter)
        self.answer = desk.guard(self._answer)
        self.confirm = desk.guard(self._confirm)
        self.same = desk.guard(self._same)
        self._recorded_s = -BOUNCE_S
        self._haptic = ft.HapticFeedback()
        heard = PITCH_HZ if self._setting(SOUND, "off") == HEARD else {}
        self._tones = {verdict: Tone(src=beeps(KNOCKS[verdict][0], hz)) for verdict, hz in heard.items()}

    def _press(self, key: str) -> None:
        if self.desk.standing.notice:
            self.desk.say("")
        entering = self.desk.entering
        entering.press(key)
        if not entering.typed and entering.system != self.desk.standing.system:
            self.desk.redraw()  # an emptied line is in the units of the screen again

    def physical(self, key: str) -> None:
        """A key of a keyboard was pressed: it does what our own key of that name would."""
        if key == "⏎" and self.desk.entering.keys:
            self.enter(self.desk.entering.keys[-1][0])
        elif key != "⏎":
            self.press(key)

    def settle(self, job: Job, survey: Survey, check: Check) -> None:
        """See that a place is lit on this phone, and with which leading digits."""
        desk, entering = self.desk, self.desk.entering
        system, tables = desk.standing.system, desk.bench.tables_of(job)
        stay = self._setting(LEADING, STAY) == STAY

        def offer(place: Place) -> Leading | None:
            return leading_for(survey, check, place, tables, system) if stay else None

        elsewhere = desk.floor.lit_elsewhere(desk, entering.of(job, survey, check))
        entering.settle(job, survey, check, elsewhere, system, offer, self._setting(ORDER, STATIONS_FIRST))

    def _setting(self, name: str, usual: str) -> str:
        """A setting of this phone."""
        return self.desk.bench.shop.settings(self.desk.client).get(name, usual)

    def _at(self) -> tuple[Job, Survey, Check]:
        job_id, survey, check_id = self.desk.entering.at
        job = self.desk.bench.job(job_id)
        check = self.desk.bench.tables_of(job).cylinders[job.cylinder].check(check_id)
        assert check is not None
        return job, job.survey(survey), check

    def _enter(self, number: int) -> None:
        """Enter what is typed at the place its key was drawn for, unless that place is no longer the one in hand."""
        desk, entering = self.desk, self.desk.entering
        drawn, text = entering.drawn(number), entering.line.text.strip()
        place = drawn.place
        if entering.question or place is None or entering.place is None or not text:
            return
        job, survey, check = self._at()
        there = reading_at(survey, check, place)
        system = desk.standing.system
        if place != entering.place:
            entering.question = late(text, place, entering.place, check.stations.names, system)
        elif there is not None and there.id != drawn.stood:
            elsewhere = desk.floor.lit_elsewhere(desk, entering.at)
            free = next_place(check, survey, place, elsewhere, self._setting(ORDER, STATIONS_FIRST))
            entering.question = filled(text, there, check, free, system)
        elif drawn[2:] != entering.lit[2:]:
            entering.question = changed(text, place)
        elif entering.line.behind:
            entering.question = behind(entering.line, place)
        else:
            self._record(job, survey, check, text, place, sure=False)
            return
        desk.redraw()

    def _confirm(self, at: At, size: str) -> None:
        """A nominal size proposed for a check was touched; not taken where that is no longer asked for."""
        if self.desk.entering.at == at and self.desk.entering.place == NOMINAL:
            self._record(*self._at(), size, NOMINAL, sure=False)

    def _same(self, number: int, text: str) -> None:
        """The reading last entered was touched to stand at the place lit too.

        Nothing is typed that would keep a finger's bounce from entering it again, at the next place: so it is not
        taken so soon after an entry, nor on a screen drawn for another place.
        """
        entering = self.desk.entering
        place, soon = entering.lit.place, monotonic() - self._recorded_s < BOUNCE_S
        if soon or entering.question or entering.typed or place is None or number != entering.keys[-1][0]:
            return
        self._record(*self._at(), text, place, sure=False)

    def _answer(self, answer: Answer) -> None:
        """Follow what was answered to a question about a reading."""
        entering = self.desk.entering
        if entering.question is None:
            return
        entering.question = None
        if answer.place is None:
            entering.type_again() if answer.key == TYPE_AGAIN.key else entering.clear()
            self.desk.redraw()
            return
        job, survey, check = self._at()
        if answer.gauge:
            entering.gauges[check.gauge] = answer.gauge
        self._record(job, survey, check, answer.text, answer.place, answer.sure)

    def _let_feel(self, verdict: Verdict) -> None:
        """Knock in the hand what the reading came to; a phone that cannot, or a browser, does nothing."""
        times, strength = KNOCKS.get(verdict, (0, ""))
        knock = {
            "light": self._haptic.light_impact,
            "medium": self._haptic.medium_impact,
            "heavy": self._haptic.heavy_impact,
        }.get(strength)

        async def knocks() -> None:
            with suppress(RuntimeError, TimeoutError):
                for _ in range(times):
                    await knock()
                    await asyncio.sleep(BETWEEN_KNOCKS_S)

        if knock and self._setting(TOUCH, FELT) == FELT:
            self.desk.page.run_task(knocks)

    def _let_hear(self, verdict: Verdict) -> None:
        """Sound what the reading came to; a client that cannot does nothing."""
        tone = self._tones.get(verdict)

        async def sounds() -> None:
            with suppress(RuntimeError, TimeoutError):
                if tone:
                    await tone.play()

        if tone:
            self.desk.page.run_task(sounds)

    def _record(self, job: Job, survey: Survey, check: Check, text: str, place: Place, sure: bool) -> None:
        desk, entering = self.desk, self.desk.entering
        was_open = place != NOMINAL and reading_at(survey, check, place) is None
        by, system = desk.standing.initials, entering.system
        if place == NOMINAL:
            outcome = desk.bench.enter(job, NominalSize(check, text), by, system, survey.name)
        else:
            gauge = entering.gauges.get(check.gauge, "")
            outcome = desk.bench.measure(job, check, place, text, by, system, sure, gauge, survey.name)
        if outcome.doubt:
            doubt = outcome.doubt
            meant = as_keyed(doubt.meant, check.kind, system) if doubt.meant is not None else ""
            entering.question = unlikely(text, doubt.sentence, meant, place)
            if doubt.why == WHICH_GAUGE:
                shop = desk.bench.shop
                gauges = {g.id: shop.name_of(g) for g in shop.gauges_for(check, desk.bench.tables_of(job))}
                entering.question = which_gauge(text, doubt.sentence, gauges, place)
            desk.redraw()
            return
        if outcome.judgement:
            self._let_feel(outcome.judgement.verdict)
            self._let_hear(outcome.judgement.verdict)
        if not outcome.remark:
            self._recorded_s = monotonic()
            entering.place = place
            entering.clear()
            # at once, so that an Enter on its way from the same screen is known to be late
            survey = outcome.job.survey(survey.name)
            self.settle(outcome.job, survey, check)
        if not desk.outcome(outcome):
            return
        if entering.wanted and not entering.still_wanted(survey, check):
            entering.wanted = ()
            desk.go(f"{home_of(job, survey)}/short-look")
        elif entering.place is None and was_open and self._setting(NEXT, BY_ITSELF) == BY_ITSELF:
            self._go_on(outcome.job, survey, check)

    def _go_on(self, job: Job, survey: Survey, check: Check) -> None:
        """Open the next check, where nothing of this one asks for a second look: what stands outside, or too close."""
        desk = self.desk
        result = desk.bench.result(job, survey.name, check)
        verdict, word = word_of_check(result)
        if verdict is Verdict.NOT_MEASURED:  # it was, but its limit is not known
            word = "no verdict yet"
        following = next_check(parts_to_do(desk, job, survey), check.id)
        if following and check_verdict(result) not in (Verdict.BEYOND, Verdict.UNCLEAR):
            desk.go_on(route_of(job, survey, following), f"{check.title}: {progress_words(result)}, {word}.")
