"""Slips are asked about and honest readings are not: worked slips, and a seeded thumb that keeps slipping."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.plausible import Doubt, doubt
from inspect_app.trade.measuring.quantities import KINDS, read, show
from inspect_app.trade.measuring.refusal import Refusal


def asked(
    reading: str, nominal: str | None = "63", *, span: str | None = None, beside: Sequence[str] = ()
) -> Doubt | None:
    return doubt(
        Decimal(reading),
        nominal=None if nominal is None else Decimal(nominal),
        tolerance_span_mm=None if span is None else Decimal(span),
        neighbours=[Decimal(one) for one in beside],
    )


# --- one slip at a time; what was meant is 63.47 mm unless said ------------------------------------------


@pytest.mark.parametrize(
    ("keyed", "meant", "why"),
    [
        ("634.7", "63.47", "decimal point"),
        ("6.347", "63.47", "decimal point"),
        ("6347", "63.47", "decimal point"),
        ("0.6347", "63.47", "decimal point"),
        ("63470", "63.47", "decimal point"),
        ("0.06347", "63.47", "decimal point"),
        ("2.4988", "63.46952", "in keyed as mm"),  # 2.4988 x 25.4 by hand
        ("1612.138", "63.47", "mm keyed as in"),  # 63.47 x 25.4 by hand
        ("2499", "63.4746", "thou keyed as mm"),  # 2499 x 0.0254 by hand
        ("64.37", "63.47", "digits swapped"),
        ("36.47", "63.47", "digits swapped"),
        ("663.47", "63.47", "a digit too many"),
        ("3.47", "63.47", "leading digits left out"),
        ("0.47", "63.47", "sign of a deviation left out"),
        ("0.03", "63.03", "sign of a deviation left out"),
    ],
)
def test_a_slip_is_asked_about_with_what_was_meant(keyed: str, meant: str, why: str) -> None:
    question = asked(keyed)
    assert question is not None
    assert (question.meant, question.why) == (Decimal(meant), why)


def test_a_wrong_digit_is_asked_about_without_a_guess() -> None:
    question = asked("93.47")
    assert question is not None
    assert question.meant is None
    assert "63" in question.sentence


@pytest.mark.parametrize("reading", ["62.97", "63", "63.1", "63.47", "63.75"])
def test_a_worn_or_honed_sixty_three_is_taken_without_a_question(reading: str) -> None:
    assert asked(reading) is None  # 0.75 mm oversize is the largest usual hone


def test_the_callers_span_decides_when_given() -> None:
    assert asked("63.3", span="0.2") is not None
    assert asked("63.3", span="0.4") is None


def test_neighbours_stand_in_for_an_unknown_nominal() -> None:
    question = asked("634.6", None, beside=["63.47", "63.48"])
    assert question is not None
    assert question.meant == Decimal("63.46")


def test_two_neighbours_that_agree_excuse_a_reading_far_from_nominal() -> None:
    assert asked("60.21", beside=["60.20", "60.22"]) is None
    assert asked("60.21", beside=["60.20"]) is not None  # one may be the same slip again


def test_without_anything_to_compare_with_nothing_is_asked() -> None:
    assert asked("6347", None) is None


def test_exchanged_decimals_are_seen_against_neighbours_that_agree() -> None:
    question = asked("63.74", beside=["63.47", "63.46", "63.48"])
    assert question is not None
    assert question.meant == Decimal("63.47")


def test_a_deviation_out_by_ten_is_seen_against_neighbours_that_agree() -> None:
    question = asked("63.40", beside=["63.04", "63.03", "63.04"])  # +0.40 keyed for +0.04
    assert question is not None
    assert question.meant == Decimal("63.04")


def test_a_shallow_worn_place_beside_good_neighbours_is_not_asked_about() -> None:
    assert asked("63.19", beside=["63.03", "63.04", "63.05"]) is None


def test_a_reading_far_from_neighbours_that_agree_is_asked_about_without_a_guess() -> None:
    question = asked("63.57", beside=["63.27", "63.27", "63.28"])
    assert question is not None
    assert (question.meant, question.why) == (None, "far from its neighbours")


def test_a_wear_step_is_asked_about_once_and_never_told_to_be_keyed_again() -> None:
    # a bore of 100 with two worn zones of 0.35 mm, read station by station
    sizes = ["100.02", "100.03", "100.02", "100.37", "100.36", "100.03", "100.35"]
    asked_at = [at for at, size in enumerate(sizes) if asked(size, "100", beside=sizes[:at])]
    assert asked_at == [3]
    question = asked(sizes[3], "100", beside=sizes[:3])
    assert question is not None
    assert question.meant is None
    assert "A worn place, or a slip?" in question.sentence
    assert "again" not in question.sentence


def test_chrome_worn_thin_or_through_is_taken_without_a_question() -> None:
    def chrome(reading: str) -> Doubt | None:
        beside = [Decimal(one) for one in ("25", "24", "26")]
        return doubt(
            Decimal(reading), nominal=None, tolerance_span_mm=None, neighbours=beside, kind="thickness"
        )

    assert [chrome(worn) for worn in ("12", "5", "2", "0")] == [None] * 4
    assert chrome("250") is not None  # nothing wears thicker


def test_neighbours_that_scatter_themselves_raise_no_question() -> None:
    assert asked("63.57", beside=["63.27", "63.11", "63.38"]) is None


@pytest.mark.parametrize(
    ("kind", "reading", "expected", "meant"),
    [
        ("roughness", "16", "0.4", "0.4064"),  # 16 µin = 0.4064 µm
        ("roughness", "4", "0.4", "0.4"),
        ("thickness", "300", "30", "30"),
        ("temperature", "68", "20", "20"),  # 68 °F = 20 °C
        ("hardness", "600", "60", "60"),
    ],
)
def test_other_kinds_are_asked_about_too(kind: str, reading: str, expected: str, meant: str) -> None:
    question = doubt(Decimal(reading), nominal=Decimal(expected), tolerance_span_mm=None, kind=kind)
    assert question is not None
    assert question.meant == Decimal(meant)


def test_the_sentence_speaks_the_screens_system() -> None:
    question = doubt(Decimal("635"), nominal=Decimal("63.5"), tolerance_span_mm=None, system="inch")
    assert question is not None
    assert "25.0 in" in question.sentence or "25 in" in question.sentence
    assert "2.5" in question.sentence
    assert "mm" not in question.sentence


def test_nonsense_is_refused_not_compared() -> None:
    with pytest.raises(Refusal, match="finite"):
        asked("NaN")
    with pytest.raises(Refusal, match="greater than 0"):
        asked("63", span="-1")
    with pytest.raises(Refusal, match="kind"):
        doubt(Decimal(1), nominal=None, tolerance_span_mm=None, kind="colour")


# --- a thumb that slips -----------------------------------------------------------------------------------

KEYPAD = {"1": "24", "2": "135", "3": "26", "4": "157", "5": "2468", "6": "359", "7": "48", "8": "5790"}
KEYPAD |= {"9": "68", "0": "8.", ".": "07"}


def omitted(text: str, chance: Random) -> str:
    at = chance.randrange(len(text))
    return text[:at] + text[at + 1 :]


def doubled(text: str, chance: Random) -> str:
    at = chance.randrange(len(text))
    return text[: at + 1] + text[at:]


def exchanged(text: str, chance: Random) -> str:
    at = chance.randrange(len(text) - 1)
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def without_point(text: str, _: Random) -> str:
    return text.replace(".", "")


def with_a_zero(text: str, chance: Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + "0" + text[at:]


def next_key(text: str, chance: Random) -> str:
    at = chance.randrange(len(text))
    return text[:at] + chance.choice(KEYPAD.get(text[at], text[at])) + text[at + 1 :]


SLIPS = (omitted, doubled, exchanged, without_point, with_a_zero, next_key)
OTHER = {"metric": "inch", "inch": "metric"}


def an_honest_place(chance: Random) -> tuple[Decimal, Decimal, list[Decimal]]:
    """Nominal, true size and neighbours: some tenths of wear, a spread of some hundredths."""
    nominal = Decimal(chance.randrange(20, 501))
    usual = Decimal(str(round(chance.uniform(-0.2, 0.3), 3)))
    sizes = [nominal + usual + Decimal(str(round(chance.gauss(0, 0.015), 3))) for _ in range(5)]
    return nominal, sizes[0], sizes[1 : chance.choice((1, 3, 5))]


def out_by_ten(read_as: Decimal, meant: Decimal) -> bool:
    """Five times too large or small already counts."""
    return read_as >= 5 * meant or 5 * read_as <= meant


def slipping_thumb(thumbs: int, seed: int) -> Counter[str]:
    chance, seen = Random(seed), Counter[str]()
    for _ in range(thumbs):
        nominal, size, beside = an_honest_place(chance)
        system = chance.choice(("metric", "inch"))
        text = show(size, kind="length", system=system, decimals=chance.choice((2, 3)) + (system == "inch"))[
            0
        ]
        meant = read(text, kind="length", system=system).value
        slip = chance.choice((*SLIPS, None))
        keyed = text if slip is None else slip(text, chance)
        if keyed == text and slip is not None:
            continue
        on_screen = OTHER[system] if slip is None else system
        try:
            value = read(keyed, kind="length", system=on_screen, nominal=nominal).value
        except Refusal:
            seen["refused at once"] += 1
            continue
        sort = "out by ten" if out_by_ten(value, meant) else "other slips"
        question = doubt(value, nominal=nominal, tolerance_span_mm=None, neighbours=beside)
        seen[sort] += 1
        seen[f"{sort}, unasked"] += question is None
        seen[f"{sort}, guessed right"] += question is not None and question.meant == meant
        if sort == "other slips" and abs(value - meant) > Decimal("0.2"):
            where = "beside neighbours" if len(beside) > 1 else "alone"
            seen[f"other slips beyond 0.2 mm {where}"] += 1
            seen[f"other slips beyond 0.2 mm {where}, unasked"] += question is None
    return seen


def test_no_slip_out_by_ten_goes_unasked_between_20_and_500_mm() -> None:
    seen = slipping_thumb(12_000, seed=20)
    print("\n" + "\n".join(f"{name}: {count}" for name, count in sorted(seen.items())))
    assert seen["out by ten"] > 3_000
    assert seen["out by ten, unasked"] == 0
    assert seen["out by ten, guessed right"] > 0.75 * seen["out by ten"]
    assert seen["other slips beyond 0.2 mm beside neighbours"] > 500
    unasked = seen["other slips beyond 0.2 mm beside neighbours, unasked"]
    assert unasked < 0.05 * seen["other slips beyond 0.2 mm beside neighbours"]


def test_deviations_out_by_ten_are_seen_where_neighbours_agree() -> None:
    chance, slips, unasked, alone = Random(7), 0, 0, 0
    for _ in range(3_000):
        nominal, _, _ = an_honest_place(chance)
        usual = chance.choice((-1, 1)) * chance.randrange(2, 40)
        beside = [nominal + Decimal(usual + chance.randint(-1, 1)).scaleb(-2) for _ in range(4)]
        value = read(f"{usual / 10:+.1f}", kind="length", nominal=nominal).value
        slips += 1
        unasked += doubt(value, nominal=nominal, tolerance_span_mm=None, neighbours=beside) is None
        alone += doubt(value, nominal=nominal, tolerance_span_mm=None) is None
    print(f"\ndeviations out by ten: {slips}, unasked {unasked} beside neighbours, {alone} without")
    assert unasked == 0


@pytest.mark.parametrize(
    ("value", "beside", "is_asked"),
    [
        # nothing explains it: asked beyond 10 times the spread, which counts as 0.02 at least
        ("70.170", "69.970", False),
        ("70.171", "69.970", True),
        # two digits exchanged explain it: asked beyond 3 times 0.02
        ("69.916", "69.961", False),  # 0.045 away
        ("69.907", "69.970", True),  # 0.063 away
    ],
)
def test_a_size_is_asked_about_beyond_ten_spreads_or_three_where_a_slip_explains_it(
    value: str, beside: str, is_asked: bool
) -> None:
    found = doubt(Decimal(value), nominal=None, tolerance_span_mm=None, neighbours=[Decimal(beside)] * 3)
    assert (found is not None) is is_asked


@pytest.mark.parametrize(
    ("kind", "expected", "value", "is_asked"),
    [
        # a size within 1 % and 0.5 mm, a deviation within four times and 0.5 mm, a temperature within 25 K
        ("length", "100", "101.50", False),
        ("length", "100", "101.51", True),
        ("deviation", "0.10", "1.00", False),
        ("deviation", "0.10", "1.01", True),
        ("temperature", "20", "45", False),
        ("temperature", "20", "45.1", True),
        ("temperature", "20", "-5", False),
        ("temperature", "20", "-5.1", True),
    ],
)
def test_a_reading_is_ordinary_within_its_kinds_own_band(
    kind: str, expected: str, value: str, is_asked: bool
) -> None:
    found = doubt(Decimal(value), nominal=Decimal(expected), tolerance_span_mm=None, kind=kind)
    assert (found is not None) is is_asked


@pytest.mark.parametrize(
    ("value", "is_asked"), [("0.80", False), ("0.81", True), ("0.050", False), ("0.049", True)]
)
def test_a_roughness_is_ordinary_from_a_quarter_to_four_times_its_neighbours(
    value: str, is_asked: bool
) -> None:
    found = doubt(
        Decimal(value),
        nominal=None,
        tolerance_span_mm=None,
        neighbours=[Decimal("0.2")] * 2,
        kind="roughness",
    )
    assert (found is not None) is is_asked


def test_honest_readings_are_asked_about_at_most_once_in_200() -> None:
    chance, places, questions = Random(3), 5_000, 0
    for _ in range(places):
        nominal, size, beside = an_honest_place(chance)
        questions += doubt(size, nominal=nominal, tolerance_span_mm=None, neighbours=beside) is not None
    print(f"\nhonest readings asked about: {questions} of {places}")
    assert questions <= places / 200


DECIMALS = st.decimals("-1e6", "1e6", allow_nan=False, allow_infinity=False, places=4)


@given(DECIMALS, st.none() | DECIMALS, st.lists(DECIMALS, max_size=4), st.sampled_from(sorted(KINDS)))
def test_any_reading_of_any_kind_is_asked_about_or_not_and_nothing_else(
    value: Decimal, nominal: Decimal | None, beside: list[Decimal], kind: str
) -> None:
    question = doubt(value, nominal=nominal, tolerance_span_mm=None, neighbours=beside, kind=kind)
    assert question is None or question.sentence.endswith((".", "?"))


def test_the_question_offers_what_was_likely_meant() -> None:
    found = doubt(Decimal("6347"), nominal=Decimal(63), tolerance_span_mm=None)
    assert found is not None
    assert found.sentence == "6347 mm is far from 63 mm. Was 63.47 mm meant (decimal point)?"
    nothing = doubt(Decimal("41"), nominal=Decimal(63), tolerance_span_mm=None)
    assert nothing is not None
    assert nothing.sentence == "41 mm is far from 63 mm. Does the gauge say so?"
