"""Limits of size of holes and shafts by ISO 286; knows no file, no gauge and no verdict."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal

_MM_PER_UM = Decimal("0.001")
_CLASS = re.compile(r"\s*([A-Za-z]{1,2})\s*(\d{1,2})\s*")
_SIZE_AND_CLASS = re.compile(r"\s*[Øø⌀]?\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*([A-Za-z]{1,2}\s*\d{1,2})\s*")


@dataclass(frozen=True, slots=True)
class SizeBand:
    """One row of ISO 286: sizes over `over_mm`, up to and including `upto_mm`.

    `grades_um` holds the tolerance by grade number, `deviations_um` the fundamental deviation of the
    letters d, e, f, g as a magnitude.
    """

    over_mm: Decimal
    upto_mm: Decimal
    grades_um: Mapping[int, Decimal]
    deviations_um: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class Iso286:
    """The bands of the standard in rising order, each beginning where the one before it ends."""

    bands: tuple[SizeBand, ...]


@dataclass(frozen=True, slots=True)
class SizeLimits:
    """The least and greatest size a class allows, with the deviations they come from."""

    nominal_mm: Decimal
    lower_mm: Decimal
    upper_mm: Decimal
    lower_deviation_um: Decimal
    upper_deviation_um: Decimal
    fit_class: str


@dataclass(frozen=True, slots=True)
class Clearance:
    """Diametral clearance of a hole on a shaft; negative is interference."""

    least_um: Decimal
    greatest_um: Decimal


def tolerance_grade_um(*, nominal_mm: Decimal, grade: int, tables: Iso286) -> Decimal:
    """The width of a standard tolerance grade at a nominal size, µm.

    Args:
        nominal_mm: nominal size, mm; 50 belongs to the band 30 to 50, 50.01 to the next.
        grade: the number of the grade, 7 for IT7.
        tables: the standard's bands.
    Raises:
        Refusal: when the size or the grade is not in the tables.
    Valid: as the tables reach; ours hold 1 to 1250 mm, IT5 to IT12.
    Source: iso-286-2

    >>> fifty = SizeBand(Decimal(30), Decimal(50), {7: Decimal(25)}, {"f": Decimal(25)})
    >>> tolerance_grade_um(nominal_mm=Decimal(50), grade=7, tables=Iso286((fifty,)))   # ISO 286-2, table 1
    Decimal('25')
    """
    grades_um = _band(nominal_mm, tables).grades_um
    if grade not in grades_um:
        raise Refusal(f"Grade IT{grade} is not covered; give IT{min(grades_um)} to IT{max(grades_um)}.")
    return grades_um[grade]


def limits_of_size(*, nominal_mm: Decimal, fit_class: str, tables: Iso286) -> SizeLimits:
    """The limits of size of a tolerance class such as f7 or H8.

    Shafts d to g: es = −deviation, ei = es − IT; h: es = 0. Holes D to G: EI = +deviation, ES = EI + IT;
    H: EI = 0. js and JS: ± IT/2, half the grade exactly, also where the standard lets an odd IT7 to IT11
    be rounded down to whole micrometres.

    Args:
        nominal_mm: nominal size, mm.
        fit_class: letter and grade, small for a shaft, capital for a hole; spaces do not matter.
        tables: the standard's bands.
    Raises:
        Refusal: when the size, the letter or the grade is not covered.
    Valid: d e f g h js and D E F G H JS, as far as the tables reach; every letter with every grade, also
        pairs the standard does not tabulate.
    Source: iso-286-2

    >>> fifty = SizeBand(Decimal(30), Decimal(50), {7: Decimal(25)}, {"f": Decimal(25)})
    >>> rod = limits_of_size(nominal_mm=Decimal(50), fit_class="f7", tables=Iso286((fifty,)))   # −25/−50
    >>> print(rod.lower_mm, rod.upper_mm)
    49.950 49.975
    """
    letter, grade = _letter_and_grade(fit_class)
    width_um = tolerance_grade_um(nominal_mm=nominal_mm, grade=grade, tables=tables)
    from_nominal_um = _nearer_deviation_um(letter.lower(), width_um, _band(nominal_mm, tables))
    lower_um, upper_um = from_nominal_um, from_nominal_um + width_um
    if letter.islower():
        lower_um, upper_um = -upper_um, -lower_um
    return SizeLimits(
        nominal_mm=nominal_mm,
        lower_mm=nominal_mm + lower_um * _MM_PER_UM,
        upper_mm=nominal_mm + upper_um * _MM_PER_UM,
        lower_deviation_um=lower_um,
        upper_deviation_um=upper_um,
        fit_class=f"{letter}{grade}",
    )


def read_fit(text: str) -> tuple[Decimal, str]:
    """Size and class from text such as ``63 f7``, ``Ø100 H8`` or ``63,5 mm js 9``.

    Args:
        text: as typed; a comma is a decimal comma.
    Returns: nominal size in mm, class.
    Raises:
        Refusal: when the text has no size and class, or its comma may stand for thousands.

    >>> read_fit("63 f7")
    (Decimal('63'), 'f7')
    """
    found = _SIZE_AND_CLASS.fullmatch(text)
    if not found:
        raise Refusal(f"{text!r} is not a size with a class; write it like 63 f7 or 100 H8.")
    size, fit_class = found.groups()
    whole, _, after_comma = size.partition(",")
    if len(after_comma) == 3:
        raise Refusal(f"{size} can be read two ways; write {whole}.{after_comma} or {whole}{after_comma}.")
    letter, grade = _letter_and_grade(fit_class)
    return Decimal(size.replace(",", ".")), f"{letter}{grade}"


def clearance_um(*, hole: SizeLimits, shaft: SizeLimits) -> Clearance:
    """The least and greatest diametral clearance two tolerances leave, µm.

    least = smallest hole − largest shaft; greatest = largest hole − smallest shaft

    Args:
        hole: limits of the hole, class in capitals.
        shaft: limits of the shaft, class in small letters.
    Raises:
        Refusal: when hole and shaft are exchanged.
    Source: iso-286-2

    >>> bore = SizeLimits(Decimal(100), Decimal(100), Decimal("100.054"), Decimal(0), Decimal(54), "H8")
    >>> rod = SizeLimits(Decimal(100), Decimal("99.929"), Decimal("99.964"), Decimal(-71), Decimal(-36), "f7")
    >>> clearance_um(hole=bore, shaft=rod).least_um   # 100 H8/f7: 36 to 125
    Decimal('36')
    """
    if not (hole.fit_class.isupper() and shaft.fit_class.islower()):
        raise Refusal(
            f"Clearance needs a hole (capital) and a shaft (small letter); "
            f"given {hole.fit_class} and {shaft.fit_class}."
        )
    return Clearance(
        least_um=(hole.lower_mm - shaft.upper_mm) / _MM_PER_UM,
        greatest_um=(hole.upper_mm - shaft.lower_mm) / _MM_PER_UM,
    )


def _band(nominal_mm: Decimal, tables: Iso286) -> SizeBand:
    least_mm, greatest_mm = tables.bands[0].over_mm, tables.bands[-1].upto_mm
    if not (nominal_mm.is_finite() and least_mm <= nominal_mm <= greatest_mm):
        raise Refusal(
            "Size {size} is not covered; the fits table holds {least} to {greatest}.",
            size=Amount(nominal_mm, "length"),
            least=Amount(least_mm, "length"),
            greatest=Amount(greatest_mm, "length"),
        )
    return next(band for band in tables.bands if nominal_mm <= band.upto_mm)


def _letter_and_grade(fit_class: str) -> tuple[str, int]:
    found = _CLASS.fullmatch(fit_class)
    if not found:
        raise Refusal(
            f"{fit_class!r} is not a tolerance class; write it like f7 for a shaft or H8 for a hole."
        )
    letter, grade = found.groups()
    if not (letter.islower() or letter.isupper()):
        raise Refusal(f"{fit_class!r} mixes cases; write js for a shaft or JS for a hole.")
    return letter, int(grade)


def _nearer_deviation_um(letter: str, width_um: Decimal, band: SizeBand) -> Decimal:
    """The deviation nearer to the nominal size, positive into the hole's side."""
    if letter == "h":
        return Decimal(0)
    if letter == "js":
        return -width_um / 2
    if letter not in band.deviations_um:
        covered = " ".join([*sorted(band.deviations_um), "h js"])
        raise Refusal(
            f"Letter {letter!r} is not covered; give {covered} for a shaft, {covered.upper()} for a hole."
        )
    return band.deviations_um[letter]
