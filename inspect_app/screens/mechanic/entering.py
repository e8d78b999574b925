"""One reading on its way from the thumb to the log: what is typed, at which place, and what is asked about it.

It belongs to the session, never to what was drawn: touches come when the network lets them, and the screen
they were made on may be older than the job. So every Enter key stands for the place that was lit when it was
drawn, and one that comes late is asked about, never guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from inspect_app.entries.job import Job, Place, Reading, Survey
from inspect_app.job.judge import nominal_of
from inspect_app.job.places import next_place, places_of, whole_skip
from inspect_app.job.words import place_words
from inspect_app.screens.pieces.keypad import pressed
from inspect_app.tables.blocks import Named
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.quantities import show_text

NOMINAL = Place("", "nominal")
"""Stands for the nominal size where a check asks for it before its first place."""

At = tuple[str, str, str]
"""The job, the state of the cylinder and the check that are measured, by their ids."""

KEPT_KEYS = 6
"""So many Enter keys of places lit before are still listened to."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One way out of a question: enter `text` at `place`, with `gauge` if one is named; without a place nothing."""

    label: str
    key: str
    text: str = ""
    place: Place | None = None
    sure: bool = False
    gauge: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a reading is recorded: the number it is about, the sentence, the ways out."""

    text: str
    sentence: str
    answers: tuple[Answer, ...]


@dataclass
class Entering:
    """What one phone is about to enter.

    `at` is job, state of the cylinder and check; `place` the place lit and `stood` the id of the reading that
    stood there when it was lit; `chosen` says a person chose the place; `keys` are the places of the Enter keys
    drawn last, by number.
    `gauges` are those chosen on this phone, by kind; `wanted` the places the short look takes here, before others.
    """

    at: At = ("", "", "")
    typed: str = ""
    place: Place | None = None
    stood: str = ""
    chosen: bool = False
    without_nominal: bool = False
    question: Question | None = None
    keys: tuple[tuple[int, Place | None], ...] = ()
    gauges: dict[str, str] = field(default_factory=dict)
    wanted: tuple[Place, ...] = ()
    _echo: Callable[[str], None] = field(default=lambda typed: None, repr=False)

    def echoed_by(self, echo: Callable[[str], None]) -> None:
        """Show what is typed through this, key by key."""
        self._echo = echo

    def press(self, key: str) -> None:
        """One key more; while a question stands, keys touched before it was seen are not taken."""
        if self.question is None and self.place is not None:
            self.say(pressed(self.typed, key))

    def say(self, typed: str) -> None:
        """Have this stand as typed."""
        self.typed = typed
        self._echo(typed)

    def clear(self) -> None:
        """Nothing typed, nothing asked, no place chosen."""
        self.question = None
        self.chosen = False
        self.say("")

    @staticmethod
    def of(job: Job, survey: Survey, check: Check) -> At:
        """What `at` is while this is measured."""
        return (job.id, survey.name, check.id)

    def lead(self, job: Job, survey: Survey, check: Check, places: tuple[Place, ...]) -> None:
        """Measure these places of a check first: the ones the short look takes."""
        self.clear()
        self.at, self.place, self.keys, self.without_nominal = self.of(job, survey, check), None, (), False
        self.wanted = places

    def still_wanted(self, survey: Survey, check: Check) -> tuple[Place, ...]:
        """Of the places the short look takes, those that are still open."""
        return tuple(p for p in self.wanted if self._is_free(survey, check, p))

    def choose(self, place: Place | None) -> None:
        """Go to a place by hand, to measure it now or again."""
        self.clear()
        self.place, self.chosen = place, place is not None

    def settle(self, job: Job, survey: Survey, check: Check, elsewhere: frozenset[Place]) -> None:
        """See that a place is lit: the one in hand as long as it is being worked on, else the next free one.

        Args:
            job: the job.
            survey: its state that is measured, as it stands.
            check: the check on the screen.
            elsewhere: places lit on other phones.
        """
        if self.at != self.of(job, survey, check):
            self.clear()
            self.at, self.place, self.keys, self.without_nominal = (
                self.of(job, survey, check),
                None,
                (),
                False,
            )
            self.wanted = ()
        place = self._place(survey, check, elsewhere)
        reading = reading_at(survey, check, place)
        standing = reading.id if reading else ""
        idle = not self.typed and self.question is None
        if not self.keys or place != self.keys[-1][1] or (idle and standing != self.stood):
            number = self.keys[-1][0] + 1 if self.keys else 0
            self.keys = (*self.keys[1 - KEPT_KEYS :], (number, place))
            self.place, self.stood = place, standing

    def _place(self, survey: Survey, check: Check, elsewhere: frozenset[Place]) -> Place | None:
        if self.asks_nominal(survey, check):
            return NOMINAL
        in_hand = self.chosen or bool(self.typed) or self.question is not None
        if self.place in (None, NOMINAL):
            in_hand = False
        free = self.place in places_of(check, survey) and self._is_free(survey, check, self.place)
        if in_hand or (free and whole_skip(check, survey) is None):
            return self.place
        if whole_skip(check, survey) is not None:
            return None
        led = next((p for p in self.still_wanted(survey, check) if p not in elsewhere), None)
        return led or next_place(check, survey, self.place or last_place(survey, check), elsewhere)

    def _is_free(self, survey: Survey, check: Check, place: Place | None) -> bool:
        return (
            place is not None
            and not reading_at(survey, check, place)
            and (check.id, place) not in survey.skips
        )

    def asks_nominal(self, survey: Survey, check: Check) -> bool:
        """Whether the nominal size is asked for before the first place."""
        unknown = check.nominal == "ask" and nominal_of(check, survey) is None
        return unknown and not self.without_nominal and not self.chosen and whole_skip(check, survey) is None

    def key_place(self, number: int) -> Place | None:
        """The place an Enter key was drawn for."""
        return dict(self.keys).get(number)


def latest_reading(survey: Survey, check: Check) -> Reading | None:
    """The reading of a check entered last."""
    return max(survey.readings.get(check.id, {}).values(), key=lambda r: (r.at, r.id), default=None)


def last_place(survey: Survey, check: Check) -> Place | None:
    """Where a check was measured last."""
    last = latest_reading(survey, check)
    return last.place if last else None


def reading_at(survey: Survey, check: Check, place: Place | None) -> Reading | None:
    """The reading that stands at a place."""
    return survey.readings.get(check.id, {}).get(place) if place is not None else None


def late(text: str, drawn_for: Place, now: Place, called: Named, system: str) -> Question:
    """Asks where a number was measured whose Enter was touched on a screen that had not moved on yet."""
    was, lit = place_words(drawn_for, called, system), place_words(now, called, system)
    return Question(
        text,
        f"Enter was touched while the screen still showed {was or 'the place before'}. "
        f"Where was {text} measured?",
        (
            Answer(f"At {lit}" if lit else "At the place lit now", "At the new place", text, now),
            Answer(f"Again at {was}" if was else "At the place before", "Again", text, drawn_for),
            Answer("Nowhere: type it again", "Type it again"),
        ),
    )


def filled(text: str, there: Reading, check: Check, free: Place | None, system: str) -> Question:
    """Asks what counts at a place that another phone has filled while this number was typed."""
    stands = show_text(there.value, kind=check.kind, system=system)
    answers = [Answer(f"Leave {stands} standing", "Leave theirs")]
    if free is not None:
        words = place_words(free, check.stations.names, system)
        answers.append(Answer(f"{text} is from {words}", "It is from the next place", text, free))
    answers.append(Answer(f"{text} counts: it reads the place again", "Mine counts", text, there.place))
    sentence = f"{there.by} just measured this: {stands}. You typed {text} and it is not entered yet."
    return Question(text, sentence, tuple(answers))


def which_gauge(text: str, sentence: str, gauges: Mapping[str, str], place: Place) -> Question:
    """Asks which of the gauges (names by id) took a reading; naming one also says that the number is as read."""
    answers = [Answer(f"With {name}", f"With {name}", text, place, True, of) for of, name in gauges.items()]
    return Question(text, sentence, (*answers, Answer("Type it again", "Type it again")))


def unlikely(text: str, sentence: str, meant: str, place: Place) -> Question:
    """Asks about an unlikely reading; what may have been meant is offered, and never the main way out."""
    answers = [
        Answer("Type it again", "Type it again"),
        Answer(f"It is {text}", "It is as typed", text, place, True),
    ]
    if meant:
        answers.insert(1, Answer(f"I meant {meant}", "I meant", meant, place, True))
    return Question(text, sentence, tuple(answers))
