"""What was typed comes out exactly: against the package pint, NIST SP 811's factors and exact fractions."""

from __future__ import annotations

import os
import subprocess
import sys
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from functools import cache
from types import FrameType

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inspect_app.trade.measuring.quantities import KINDS, exact, read, show, show_text
from inspect_app.trade.measuring.refusal import Refusal


@cache
def oracles() -> pint.UnitRegistry[Decimal]:
    """A unit library's own registry, made by whoever asks first: every process collects these tests, one runs them."""
    return pint.UnitRegistry(non_int_type=Decimal)


# Signs the phone's bundled font was seen to have beside plain ASCII and Latin-1.
FONT = {chr(c) for c in (*range(0x20, 0x7F), *range(0xA1, 0x100))} | set("≤≥Δ")


def length(text: str, **more: object) -> Decimal:
    return read(text, kind="length", **more).value  # type: ignore[arg-type]


def refusal(text: str, *, kind: str = "length", **more: object) -> str:
    with pytest.raises(Refusal) as refused:
        read(text, kind=kind, **more)  # type: ignore[arg-type]
    return str(refused.value)


# --- conversions -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "typed", "oracle", "canonical"),
    [
        ("length", "in", "inch", "mm"),
        ("length", "thou", "thou", "mm"),
        ("length", "mil", "mil_length", "mm"),
        ("length", "µm", "micrometer", "mm"),
        ("length", "µin", "microinch", "mm"),
        ("length", "cm", "centimeter", "mm"),
        ("length", "m", "meter", "mm"),
        ("length", "ft", "foot", "mm"),
        ("deviation", "thou", "thou", "mm"),
        ("roughness", "µin", "microinch", "micrometer"),
        ("roughness", "mm", "mm", "micrometer"),
        ("thickness", "thou", "thou", "micrometer"),
        ("pressure", "bar", "bar", "megapascal"),
        ("pressure", "kPa", "kilopascal", "megapascal"),
        ("pressure", "Pa", "pascal", "megapascal"),
        ("pressure", "mbar", "millibar", "megapascal"),
        ("pressure", "kgf/cm2", "kilogram_force/centimeter**2", "megapascal"),
        ("modulus", "GPa", "gigapascal", "megapascal"),
        ("torque", "lbf ft", "pound_force*foot", "newton*meter"),
        ("torque", "ft-lb", "foot_pound", "newton*meter"),
        ("torque", "lbf in", "pound_force*inch", "newton*meter"),
        ("torque", "kgf m", "kilogram_force*meter", "newton*meter"),
        ("torque", "kNm", "kilonewton*meter", "newton*meter"),
        ("torque", "daNm", "decanewton*meter", "newton*meter"),
        ("force", "kN", "kilonewton", "newton"),
        ("force", "lbf", "pound_force", "newton"),
        ("force", "kgf", "kilogram_force", "newton"),
        ("force", "daN", "decanewton", "newton"),
        ("mass", "lb", "pound", "kilogram"),
        ("mass", "g", "gram", "kilogram"),
        ("mass", "t", "metric_ton", "kilogram"),
        ("volume", "in³", "inch**3", "milliliter"),
        ("volume", "l", "liter", "milliliter"),
        ("volume", "cc", "centimeter**3", "milliliter"),
        ("volume", "m3", "meter**3", "milliliter"),
        ("volume", "mm3", "mm**3", "milliliter"),
        ("volume", "US gal", "US_liquid_gallon", "milliliter"),
        ("volume", "gal (US)", "US_liquid_gallon", "milliliter"),
        ("volume", "UK gallons", "imperial_gallon", "milliliter"),
        ("volume", "US qt", "US_liquid_quart", "milliliter"),
        ("volume", "US fl oz", "US_fluid_ounce", "milliliter"),
        ("flow", "US gpm", "US_liquid_gallon/minute", "milliliter/minute"),
        ("flow", "gpm (US)", "US_liquid_gallon/minute", "milliliter/minute"),
        ("flow", "UK gal/min", "imperial_gallon/minute", "milliliter/minute"),
        ("flow", "L/min", "liter/minute", "milliliter/minute"),
        ("flow", "in³/min", "inch**3/minute", "milliliter/minute"),
        ("flow", "l/min", "liter/minute", "milliliter/minute"),
        ("flow", "ml/s", "milliliter/second", "milliliter/minute"),
        ("speed", "in/min", "inch/minute", "mm/minute"),
        ("speed", "in/s", "inch/second", "mm/minute"),
        ("speed", "mm/s", "mm/second", "mm/minute"),
        ("speed", "m/s", "meter/second", "mm/minute"),
        ("speed", "m/min", "meter/minute", "mm/minute"),
        ("speed", "ft/min", "foot/minute", "mm/minute"),
        ("area", "in2", "inch**2", "mm**2"),
        ("area", "cm2", "centimeter**2", "mm**2"),
        ("area", "m2", "meter**2", "mm**2"),
        ("energy", "kJ", "kilojoule", "joule"),
        ("energy", "ft lbf", "foot*pound_force", "joule"),
        ("time", "min", "minute", "second"),
        ("time", "h", "hour", "second"),
    ],
)
def test_a_unit_whose_factor_ends_is_exactly_what_pint_says(
    kind: str, typed: str, oracle: str, canonical: str
) -> None:
    # pint 0.25 with decimals; `ft*lb` would be mass x length there, foot_pound is its torque
    expected = oracles().Quantity(Decimal("12.3456"), oracle).to(canonical).magnitude
    # pint works with 28 digits and leaves a 1 in the last one for square inches
    assert read(f"12.3456 {typed}", kind=kind).value == Context(prec=26).plus(expected)


@pytest.mark.parametrize(
    ("kind", "typed", "oracle", "canonical"),
    [
        ("pressure", "psi", "psi", "megapascal"),
        ("stress", "ksi", "ksi", "megapascal"),
        ("flow", "l/h", "liter/hour", "milliliter/minute"),
        ("flow", "ml/h", "milliliter/hour", "milliliter/minute"),
        ("temperature", "F", "degF", "degC"),
        ("temperature", "K", "kelvin", "degC"),
    ],
)
def test_a_unit_whose_factor_never_ends_agrees_with_pint_to_25_digits(
    kind: str, typed: str, oracle: str, canonical: str
) -> None:
    expected = oracles().Quantity(Decimal("3021.5"), oracle).to(canonical).magnitude
    assert float(abs(read(f"3021.5 {typed}", kind=kind).value / expected - 1)) < 1e-25


@pytest.mark.parametrize(
    ("kind", "typed", "canonical", "half_last_digit"),
    [  # NIST SP 811 appendix B.8, seven figures (from transcriptions, the page not at hand)
        ("pressure", "1 psi", "0.006894757", "0.0000000005"),
        ("force", "1 lbf", "4.448222", "0.0000005"),
        ("torque", "1 lbf·ft", "1.355818", "0.0000005"),
        ("torque", "1 lbf·in", "0.1129848", "0.00000005"),
        ("mass", "1 lb", "0.4535924", "0.00000005"),
        ("volume", "1 in³", "16.38706", "0.000005"),
        ("volume", "1 US gal", "3785.412", "0.0005"),
        ("volume", "1 UK gal", "4546.09", "0.005"),
        ("flow", "1 US gpm", "3785.412", "0.0005"),
        ("pressure", "1 kgf/cm²", "0.0980665", "0"),
        ("length", "1 ft", "304.8", "0"),
        ("area", "1 in²", "645.16", "0"),
    ],
)
def test_factors_round_to_the_printed_ones(
    kind: str, typed: str, canonical: str, half_last_digit: str
) -> None:
    assert abs(read(typed, kind=kind).value - Decimal(canonical)) <= Decimal(half_last_digit)


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [  # the defining points of the two scales: 32 and 212 °F; -40 where both agree; 68 °F = 20 °C (ISO 1)
        ("32 °F", "0"),
        ("212 F", "100"),
        ("-40 degF", "-40"),
        ("68 °f", "20"),
        ("0 K", "-273.15"),
        ("-5", "-5"),
        ("20 °C", "20"),
    ],
)
def test_temperatures_are_absolute_and_may_be_below_zero(typed: str, celsius: str) -> None:
    assert read(typed, kind="temperature").value == Decimal(celsius)


def test_a_rare_unit_is_asked_of_pint() -> None:
    assert length("5 yd") == 4572  # yard = 0.9144 m by definition (SP 811)
    assert read("1 atm", kind="pressure").value == Decimal("0.101325")  # by definition (SP 811)


# --- what a thumb types ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "inches"),
    [  # a rule's fractions, converted below by exact fractions x 25.4
        ('1/2"', Fraction(1, 2)),
        ("3/8 in", Fraction(3, 8)),
        ("5/64 in.", Fraction(5, 64)),
        ("1 15/16 in", Fraction(31, 16)),
        ("2 1/2 in", Fraction(5, 2)),
        ('2-1/2"', Fraction(5, 2)),
        ("2½ inch", Fraction(5, 2)),
        ("2 ½ in", Fraction(5, 2)),
        ("¾''", Fraction(3, 4)),
        ("⅞″", Fraction(7, 8)),
        ("3 1⁄4 in", Fraction(13, 4)),
        ("5/4 in", Fraction(5, 4)),
        ("2.4995”", Fraction(24995, 10000)),
        ("3 thou", Fraction(3, 1000)),
        ("3 mil", Fraction(3, 1000)),
    ],
)
def test_inches_as_they_are_typed(typed: str, inches: Fraction) -> None:
    assert Fraction(length(typed)) == inches * Fraction(254, 10)


@pytest.mark.parametrize(
    "typed", ["63.47", "63,47", "63.47mm", "63.47 mm", " 63.47\u2009mm", "63.47\u00a0MM", "6.347 cm"]
)
def test_sixty_three_forty_seven_in_every_spelling(typed: str) -> None:
    assert length(typed) == Decimal("63.47")


def test_both_mu_signs_and_none_are_one_micrometre() -> None:
    assert length("3 \u00b5m") == length("3 \u03bcm") == length("3 um") == Decimal("0.003")


def test_a_bare_number_is_in_the_unit_the_screen_shows() -> None:
    assert length("2.5", system="inch") == Decimal("63.5")
    assert length("2 1/2", system="inch") == Decimal("63.5")
    assert read("250", kind="pressure").value == Decimal("25")
    assert read("16", kind="roughness", system="inch").value == Decimal("0.4064")
    assert read("5", kind="force").value == 5000


def test_step_is_the_last_place_typed() -> None:
    assert read("63.47", kind="length").step == Decimal("0.01")
    assert read("63.470", kind="length").step == Decimal("0.001")
    assert read("2.4995 in", kind="length").step == Decimal("0.00254")
    assert read("1 15/16 in", kind="length").step == Decimal("1.5875")  # 25.4 / 16
    assert read("68 °F", kind="temperature").step.quantize(Decimal("0.0001")) == Decimal("0.5556")  # 5/9 K


def test_what_was_typed_stays_beside_what_was_understood() -> None:
    reading = read(" 2 1/2 in", kind="length")
    assert (reading.typed, reading.typed_unit, reading.kind) == (" 2 1/2 in", "in", "length")
    assert read("3", kind="length", system="inch").typed_unit == "in"


@pytest.mark.parametrize(
    ("typed", "size"),
    [
        ("+0.03", "63.03"),
        ("-0.02", "62.98"),
        ("\u22120,02", "62.98"),
        ("+3 thou", "63.0762"),
        ("+ 1/2 in", "75.7"),
    ],
)
def test_a_signed_length_is_counted_from_the_nominal(typed: str, size: str) -> None:
    assert length(typed, nominal=Decimal(63)) == Decimal(size)


def test_a_signed_length_without_a_nominal_is_refused() -> None:
    assert "nominal" in refusal("+0.03")


def test_a_sign_is_the_numbers_own_for_other_kinds() -> None:
    assert read("-0.02", kind="deviation", nominal=Decimal(63)).value == Decimal("-0.02")


# --- refusals --------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["1,234.5", "1.234,5"])
def test_two_decimal_marks_are_refused_with_both_readings(typed: str) -> None:
    sentence = refusal(typed)
    assert "1234.5" in sentence
    assert "1.2345" in sentence


def test_the_same_decimal_mark_twice_is_refused_with_both_readings() -> None:
    # marks of thousands, or a slip of the finger behind the first one
    assert refusal("1.234.5").endswith("could mean 12345 or 1.2345; type one decimal mark only.")


def test_a_lost_blank_before_a_fraction_is_asked_back() -> None:
    sentence = refusal("21/2 in")
    assert "10.5" in sentence
    assert "2 1/2" in sentence
    assert "1 15/16" in refusal('115/16"')


def test_a_bare_fraction_on_a_metric_screen_is_asked_back() -> None:
    assert "1/2 in" in refusal("1/2")


@pytest.mark.parametrize(
    "typed",
    [
        "", "   ", "abc", "nan", "inf", "-inf", "1e400", "1e3", "1E-3", "63.", "63,47,", "63..47", "--5",
        "+-5", "1/0 in", "1/3 in", "0/0 in", "2 3/2 in", "2 4/4 in", "1/2/3 in", "2.5 1/2 in", "63 470", "63.4 7",
        "±0.02", "5 m*m", "5' 3\"", "63.47x", "5 mm mm", "٣", "²", "½½ in", "½4 in", "1_000", "0x10",
        "5**2", "5 mm**99999999", "5 mm^9^9^9", "1" * 41, "5 ()", "5 __import__", "🔧", "5 🔧", "\x00",
        "5\n6",
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused(typed: str) -> None:
    sentence = refusal(typed)
    assert sentence.endswith(".")
    assert set(sentence) <= FONT


@pytest.mark.parametrize(
    ("typed", "kind", "named"),
    [
        ("5 kg", "length", "mass"),
        ("5 J", "torque", "energy"),
        ("5 Nm", "energy", "torque"),
        ("5 bar", "length", "pressure"),
        ("5 °C", "pressure", "temperature"),
        ("5 mm", "count", "length"),
        ("5 mil", "angle", "length"),  # pint alone would take an angular mil
        ("5 ftlb", "mass", "torque"),  # pint alone would take a femto troy pound
    ],
)
def test_a_unit_of_another_kind_is_refused_by_name(typed: str, kind: str, named: str) -> None:
    sentence = refusal(typed, kind=kind)
    assert named in sentence
    assert kind in sentence


def test_refusals_offer_units_that_are_allowed() -> None:
    sentence = refusal("5 kg")
    assert "mm" in sentence
    assert "thou" in sentence


@pytest.mark.parametrize("typed", ["5 ton", "3 gal"])
def test_units_with_several_meanings_are_not_guessed(typed: str) -> None:
    assert "more than one" in refusal(typed, kind="mass" if "ton" in typed else "volume")


@pytest.mark.parametrize(
    ("typed", "kind", "which"),
    [
        ("3 gal", "volume", "write US gal or UK gal."),
        ("10 gpm", "flow", "write US gpm or UK gpm."),
        ("10 gal/min", "flow", "write US gal/min"),
        ("2 quarts/min", "flow", "means more than one thing"),
    ],
)
def test_a_gallon_is_asked_which(typed: str, kind: str, which: str) -> None:
    assert which.replace("gal/min", "gpm") in refusal(typed, kind=kind)


@pytest.mark.parametrize(
    "kind", ["length", "roughness", "thickness", "mass", "volume", "time", "count", "hardness"]
)
def test_kinds_that_are_never_below_zero_refuse_it(kind: str) -> None:
    assert "below 0" in refusal("-70", kind=kind, nominal=Decimal(63))


def test_a_count_is_whole() -> None:
    assert read("3", kind="count").value == 3
    assert "whole" in refusal("3.5", kind="count")


def test_an_unknown_kind_or_system_is_refused() -> None:
    assert "colour" in refusal("5", kind="colour")
    assert "imperial" in refusal("5", system="imperial")


# --- showing ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "value", "metric", "inch"),
    [
        ("length", "63.5", "63.500 mm", "2.5000 in"),
        ("deviation", "-0.0254", "-0.025 mm", "-0.0010 in"),
        ("deviation", "-0.0001", "0.000 mm", "0.0000 in"),
        ("roughness", "0.4064", "0.41 µm", "16 µin"),
        ("thickness", "25.4", "25.4 µm", "1.00 thou"),
        ("temperature", "20", "20.0 °C", "68.0 °F"),
        ("force", "4448.2216152605", "4.4 kN", "1000 lbf"),
        ("angle", "45", "45.0°", "45.0°"),
        ("money", "1234.5", "1234.50", "1234.50"),
        ("count", "3", "3", "3"),
        ("percent", "12.5", "12.5 %", "12.5 %"),
    ],
)  # by the exact definitions (1 in = 25.4 mm, the lbf, 32 °F) and the decimals this project chose
def test_numbers_are_shown_with_their_unit(kind: str, value: str, metric: str, inch: str) -> None:
    assert show_text(Decimal(value), kind=kind, system="metric") == metric
    assert show_text(Decimal(value), kind=kind, system="inch") == inch


def test_halves_go_to_the_even_digit() -> None:
    # IEEE 754 roundTiesToEven by hand: 0.0005 -> 0.000, 0.0015 -> 0.002, 0.0025 -> 0.002
    shown = [
        show(Decimal(text), kind="length", system="metric")[0] for text in ("0.0005", "0.0015", "0.0025")
    ]
    assert shown == ["0.000", "0.002", "0.002"]


def test_units_are_spelled_with_glyphs_the_phone_has() -> None:
    for kind in KINDS.values():
        for unit in kind.units.values():
            assert set(unit.name) <= FONT


@pytest.mark.parametrize("text", ["NaN", "Infinity", "-Infinity"])
def test_what_is_not_finite_is_never_shown_or_kept(text: str) -> None:
    with pytest.raises(Refusal):
        show(Decimal(text), kind="length", system="metric")
    with pytest.raises(Refusal):
        exact(Decimal(text))


def test_the_log_keeps_every_digit_and_no_exponent() -> None:
    assert exact(Decimal("63.470")) == "63.470"
    assert exact(Decimal("1E+3")) == "1000"
    assert exact(Decimal("1E-7")) == "0.0000001"


# --- properties ------------------------------------------------------------------------------------

MICROMETRES = st.integers(0, 20_000_000)
TEN_THOUSANDTHS = st.integers(0, 8_000_000)


@given(MICROMETRES)
def test_a_metric_length_shown_and_read_back_is_the_same(micrometres: int) -> None:
    value = Decimal(micrometres).scaleb(-3)
    assert length(show_text(value, kind="length", system="metric")) == value
    assert length(show(value, kind="length", system="metric")[0]) == value


@given(TEN_THOUSANDTHS)
def test_an_inch_length_shown_and_read_back_is_the_same(ten_thousandths: int) -> None:
    value = Decimal(ten_thousandths).scaleb(-4) * Decimal("25.4")
    assert length(show_text(value, kind="length", system="inch")) == value
    assert length(show(value, kind="length", system="inch")[0], system="inch") == value


@given(st.sampled_from(sorted(KINDS)), st.sampled_from(["metric", "inch"]), st.integers(0, 10**7))
def test_reading_and_showing_settle_in_every_kind(kind: str, system: str, last_places: int) -> None:
    row = KINDS[kind]
    places = row.metric_decimals if system == "metric" else row.inch_decimals
    typed = f"{Decimal(last_places).scaleb(-places):f}"
    value = read(typed, kind=kind, system=system).value
    assert Decimal(show(value, kind=kind, system=system)[0]) == Decimal(typed)


@given(
    st.from_regex(r"[0-9]{1,17}[.][0-9]{1,17}", fullmatch=True), st.sampled_from(["mm", "in", "thou", "ft"])
)
def test_no_typed_digit_is_lost_whatever_the_callers_precision(digits: str, unit: str) -> None:
    factor = {
        "mm": Fraction(1),
        "in": Fraction(254, 10),
        "thou": Fraction(254, 10**4),
        "ft": Fraction(3048, 10),
    }
    with localcontext(Context(prec=5)):
        value = length(f"{digits} {unit}")
        kept = exact(value)
    assert Fraction(value) == Fraction(digits) * factor[unit]
    assert Decimal(kept) == value


@given(st.integers(0, 99), st.integers(0, 7), st.data())
def test_every_rule_fraction_is_exact(whole: int, power: int, draw: st.DataObject) -> None:
    under = 2 ** max(power, 1)
    over = draw.draw(st.integers(0, under - 1))
    expected = (whole + Fraction(over, under)) * Fraction(254, 10)
    assert Fraction(length(f"{whole} {over}/{under} in")) == expected


@given(
    st.text(alphabet="0123456789.,+-/ '\"inmµthou½kgNbarpsi°CF·^*²eE", max_size=45),
    st.sampled_from(sorted(KINDS)),
)
@example("5 nan", "length")
@example("5 n^3", "volume")
def test_any_text_is_read_or_refused_and_nothing_else(text: str, kind: str) -> None:
    try:
        reading = read(text, kind=kind, nominal=Decimal(63))
    except Refusal as refused:
        unreadable = set(str(refused)) - FONT
    else:
        unreadable = set()
        assert reading.value.is_finite()
        assert reading.step > 0
    assert not unreadable


@given(st.text(max_size=45))
def test_any_unicode_is_read_or_refused_and_nothing_else(text: str) -> None:
    unreadable = set()
    try:
        read(text, kind="length")
    except Refusal as refused:
        unreadable = set(str(refused)) - FONT
    assert not unreadable


# --- cost ------------------------------------------------------------------------------------------


@pytest.mark.skipif(
    "MUTANT_UNDER_TEST" in os.environ, reason="the tool that changes the code adds steps of its own"
)
def test_a_reading_is_understood_in_few_steps() -> None:
    # counted, not timed; how long they take, benchmark_job prints
    steps = 0

    def count(frame: FrameType, event: str, _: object) -> None:
        nonlocal steps
        steps += event in ("call", "c_call")

    sys.setprofile(count)
    try:
        read("63.47", kind="length")
    finally:
        sys.setprofile(None)
    assert 10 < steps <= 60


def test_everyday_units_never_wake_the_unit_library() -> None:
    program = (
        "import sys; from inspect_app.trade.measuring.quantities import read, show\n"
        "read('2 1/2 in', kind='length'); read('3000 psi', kind='pressure')\n"
        "read('10 ft-lb', kind='torque')\n"
        "try: read('5 kg', kind='length')\nexcept ValueError: pass\n"
        "print('pint' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
