"""One reading on its way from the thumb to the log: what is typed, at which place, and what is asked about it.

It belongs to the session, never to what was drawn: touches come when the network lets them, and the screen
they were made on may be older than the job. So every Enter key stands for the place that was lit when it was
drawn, and one that comes late is asked about, never guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from inspect_app.entries.job import Job, Place, Reading, Survey
from inspect_app.job.judge import nominal_of
from inspect_app.job.places import STATIONS_FIRST, next_place, places_of, whole_skip
from inspect_app.job.words import place_words
from inspect_app.screens.pieces.keypad import Line
from inspect_app.tables.blocks import Named
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.leading import Leading
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


TYPE_AGAIN = Answer("Type it again", "Type it again")


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a reading is recorded: the number it is about, the sentence, the ways out."""

    text: str
    sentence: str
    answers: tuple[Answer, ...]


class Lit(NamedTuple):
    """What an Enter key was drawn with: the place lit, the id of the reading that stood there, the units, and
    the leading digits that stood on the number line."""

    place: Place | None
    stood: str = ""
    system: str = ""
    leading: Leading | None = None


@dataclass
class Entering:
    """What one phone is about to enter.

    `at` is job, state of the cylinder and check; `line` what is typed at the `place` lit; `chosen` says a person
    chose the place; `keys` are the Enter keys drawn last, by number, the last one for what is lit now.
    `gauges` are those chosen on this phone, by kind; `wanted` the places the short look takes here, before others.
    """

    at: At = ("", "", "")
    line: Line = field(default_factory=Line)
    place: Place | None = None
    chosen: bool = False
    without_nominal: bool = False
    question: Question | None = None
    keys: tuple[tuple[int, Lit], ...] = ()
    gauges: dict[str, str] = field(default_factory=dict)
    wanted: tuple[Place, ...] = ()
    _echo: Callable[[Line], None] = field(default=lambda line: None, repr=False)

    @property
    def typed(self) -> str:
        """What was typed with the keys since the line was empty."""
        return self.line.typed

    @property
    def system(self) -> str:
        """The units of what is typed or asked about: those of the screen it was begun on."""
        return self.lit.system

    def echoed_by(self, echo: Callable[[Line], None]) -> None:
        """Show what is typed through this, key by key."""
        self._echo = echo

    def press(self, key: str) -> None:
        """One key more; while a question stands, keys touched before it was seen are not taken."""
        if self.question is None and self.place is not None:
            self._say(self.line.press(key))

    def _say(self, line: Line) -> None:
        self.line = line
        self._echo(line)

    def clear(self) -> None:
        """Nothing typed, nothing asked, no place chosen."""
        self.type_again()
        self.chosen = False

    def type_again(self) -> None:
        """Nothing typed and nothing asked; the place in hand stays."""
        self.question = None
        self._say(Line(self.line.leading))

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

    def settle(
        self,
        job: Job,
        survey: Survey,
        check: Check,
        elsewhere: frozenset[Place],
        system: str,
        offer: Callable[[Place], Leading | None],
        order: str = STATIONS_FIRST,
    ) -> None:
        """See that a place is lit: the one in hand as long as it is being worked on, else the next free one.

        Args:
            job: the job.
            survey: its state that is measured, as it stands.
            check: the check on the screen.
            elsewhere: places lit on other phones.
            system: "metric" or "inch", of the screen.
            offer: the leading digits to stand at a place when it is lit.
            order: in which places are measured, as `places.walked`.
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
        place = self._place(survey, check, elsewhere, order)
        reading = reading_at(survey, check, place)
        standing = reading.id if reading else ""
        idle = not self.typed and self.question is None
        lit = self.lit
        if not self.keys or place != lit.place or (idle and (standing, system) != lit[1:3]):
            leading = offer(place) if place is not None and place != NOMINAL else None
            number = self.keys[-1][0] + 1 if self.keys else 0
            # the leading digits change only together with the Enter key
            self.keys = (*self.keys[1 - KEPT_KEYS :], (number, Lit(place, standing, system, leading)))
            self.place = place
            # keys touched before this was drawn stay: their Enter is another one and is asked about
            self.line = Line(leading, self.typed, self.line.whole and bool(self.typed))

    def _place(self, survey: Survey, check: Check, elsewhere: frozenset[Place], order: str) -> Place | None:
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
        return led or next_place(check, survey, self.place or last_place(survey, check), elsewhere, order)

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

    @property
    def lit(self) -> Lit:
        """What is lit now."""
        return self.keys[-1][1] if self.keys else Lit(None)

    def drawn(self, number: int) -> Lit:
        """What an Enter key was drawn with."""
        return dict(self.keys).get(number, Lit(None))


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
    return Question(text, sentence, (*answers, TYPE_AGAIN))


def behind(line: Line, place: Place) -> Question:
    """Asks about digits that do not fit behind the leading ones, or not yet: which number does the gauge show."""
    assert line.leading is not None
    missing = line.leading.left - len(line.typed)
    digits = "one digit is" if missing == 1 else f"{missing} digits are"
    why = f"{line.typed} is not likely behind it" if not missing else f"{digits} missing behind it"
    if missing < 0:
        why = f"{line.typed} has more digits than the readings before"
    answers = [TYPE_AGAIN]
    if missing <= 0:
        answers.append(Answer(f"It is {line.behind}", "It is with them", line.behind, place))
    answers.append(Answer(f"It is {line.typed} and no more", "It is no more", line.typed, place))
    sentence = f"{line.leading.digits} stands there already, and {why}. What does the gauge show?"
    return Question(line.text, sentence, tuple(answers))


def changed(text: str, place: Place) -> Question:
    """Asks about a number whose Enter was touched on a screen with other units or leading digits."""
    return Question(
        text,
        f"The screen changed while this was typed. Does the gauge show {text}?",
        (
            TYPE_AGAIN,
            Answer(f"It is {text}", "It is as it stands", text, place),
        ),
    )


def unlikely(text: str, sentence: str, meant: str, place: Place) -> Question:
    """Asks about an unlikely reading; what may have been meant is offered, and never the main way out."""
    answers = [
        TYPE_AGAIN,
        Answer(f"It is {text}", "It is as typed", text, place, True),
    ]
    if meant:
        answers.insert(1, Answer(f"I meant {meant}", "I meant", meant, place, True))
    return Question(text, sentence, tuple(answers))
