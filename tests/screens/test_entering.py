"""What an Enter key stands for: the place, the units and the leading digits it was drawn with."""

from __future__ import annotations

from decimal import Decimal

from log import Log

from inspect_app.entries.job import Place
from inspect_app.screens.mechanic.entering import Entering, behind
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.leading import Leading, leading_digits

INCH = leading_digits(Decimal("7.9992"), Decimal("8.0079"), [Decimal("8.0042")], 4)
METRIC = leading_digits(Decimal("203.18"), Decimal("203.40"), [Decimal("203.31")], 3)


class Bore:
    """A bore on the screen of one phone."""

    def __init__(self) -> None:
        self.log = Log(bore="203.2", stroke="600")
        self.entering = Entering()

    def check(self) -> Check:
        check = self.log.tables.cylinders["double-acting"].check("bore-diameter")
        assert check is not None
        return check

    def drawn(self, system: str, leading: Leading | None) -> int:
        """The number of the Enter key on the screen after it is drawn once more."""
        job = self.log.job()
        self.entering.settle(job, job.as_found, self.check(), frozenset(), system, lambda place: leading)
        return self.entering.keys[-1][0]

    def keys(self, keys: str) -> str:
        for key in keys:
            self.entering.press(key)
        return self.entering.line.text


def test_the_leading_digits_change_only_together_with_the_enter_key() -> None:
    bore = Bore()
    first = bore.drawn("inch", None)
    # another phone's reading would let digits stand here: not before another place is lit
    assert bore.drawn("inch", INCH) == first
    assert bore.keys("42") == "42"
    bore.entering.clear()
    other_units = bore.drawn("metric", METRIC)
    assert other_units != first
    assert bore.entering.drawn(first).leading is None
    assert bore.entering.drawn(other_units).leading == METRIC
    assert bore.keys("310") == "203.310"


def test_what_is_being_typed_is_left_alone_when_the_screen_is_drawn_anew() -> None:
    bore = Bore()
    first = bore.drawn("inch", INCH)
    assert bore.keys("4") == "8.004"
    assert bore.drawn("metric", METRIC) == first
    assert bore.keys("2") == "8.0042"


def test_keys_touched_between_a_place_chosen_and_its_screen_are_not_lost() -> None:
    bore = Bore()
    first = bore.drawn("inch", INCH)
    bore.entering.choose(Place("300", "12"))
    bore.keys("4")
    assert bore.drawn("inch", INCH) != first
    assert bore.keys("2") == "8.0042"
    assert bore.entering.drawn(first).place != bore.entering.lit.place == Place("300", "12")


def test_type_it_again_clears_the_line_down_to_the_digits_that_stand() -> None:
    bore = Bore()
    bore.drawn("inch", INCH)
    assert bore.keys("⌫8.0942") == "8.0942"
    bore.entering.clear()
    assert (bore.entering.line.text, bore.entering.line.stands) == ("", "8.00")


def test_too_few_digits_and_unlikely_ones_are_asked_about_with_every_meaning_they_can_have() -> None:
    bore, place = Bore(), Place("25", "12")
    bore.drawn("inch", INCH)
    bore.keys("4")
    question = behind(bore.entering.line, place)
    assert question.sentence == (
        "8.00 stands there already, and one digit is missing behind it. What does the gauge show?"
    )
    assert [(a.label, a.text) for a in question.answers] == [
        ("Type it again", ""),
        ("It is 4 and no more", "4"),
    ]
    bore.entering.clear()
    bore.keys("95")
    question = behind(bore.entering.line, place)
    assert question.sentence == (
        "8.00 stands there already, and 95 is not likely behind it. What does the gauge show?"
    )
    assert [(a.label, a.text) for a in question.answers] == [
        ("Type it again", ""),
        ("It is 8.0095", "8.0095"),
        ("It is 95 and no more", "95"),
    ]
    assert not any(answer.sure for answer in question.answers)  # what it is may be asked about once more
