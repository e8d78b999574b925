"""Threads read out of text as the trade writes them; knows no area, no strength and no file."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from inspect_app.trade.joints.threads import MM_PER_INCH, System, Thread, ThreadTables, require_proportion
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_positive

_METRIC = re.compile(
    r"M\s*(?P<size>\d+(?:[.,]\d+)?)"
    r"(?:\s*[x×*-]\s*(?P<pitch>\d+(?:[.,]\d+)?)(?![\d.,]*[a-z]))?"
    r"(?:\s*-\s*\d[a-h](?:\d[a-h])?)?(?:\s*-?\s*LH)?",
    re.IGNORECASE,
)
_UNIFIED = re.compile(
    r"(?P<size>(?:\d+(?:\s+|\s*-\s*))?\d+/\d+|\d*\.?\d+)\s*(?:\"|″|in)?"
    r"(?:\s*-\s*(?P<per_inch>\d+(?:\.\d+)?))?(?:\s*-?\s*(?P<series>UNC|UNF|UNEF|UNS|UN))?"
    r"(?:\s*-\s*[123][AB])?(?:\s*-?\s*LH)?",
    re.IGNORECASE,
)


def read_thread(text: str, *, tables: ThreadTables) -> Thread:
    """A thread out of text such as ``M42x3``, ``M30``, ``1-8 UNC``, ``3/4-16`` or ``1 1/4-12 UNF``.

    A metric thread without pitch is the coarse one. A unified one without threads per inch takes those of
    its series. A tolerance class or LH may follow and is left aside.

    Args:
        text: as typed or read off the drawing; a comma is a decimal comma.
        tables: the listed threads, for coarse pitches and for UNC and UNF.
    Raises:
        Refusal: when the text is no such thread, the pitch is not known or does not go with the series.
    Source: iso-965-1, asme-b1-1

    >>> none = ThreadTables((), (), ())
    >>> read_thread("m42 × 3-6g", tables=none)
    Thread(designation='M42x3', system=<System.METRIC: 'metric'>, d_mm=42.0, pitch_mm=3.0)
    >>> read_thread("1-1/4-12 UNF", tables=none).designation
    '1 1/4-12 UNF'
    """
    typed = text.strip()
    if found := _METRIC.fullmatch(typed):
        d_mm = float(found["size"].replace(",", "."))
        pitch = found["pitch"]
        pitch_mm = float(pitch.replace(",", ".")) if pitch else _coarse_pitch_mm(d_mm, tables)
        require_proportion(typed, d_mm=d_mm, pitch_mm=pitch_mm)
        return Thread(f"M{d_mm:g}x{pitch_mm:g}", System.METRIC, d_mm, pitch_mm)
    if (found := _UNIFIED.fullmatch(typed)) and (found["per_inch"] or found["series"]):
        size = _inches(found["size"])
        series = (found["series"] or "").upper()
        per_inch = _threads_per_inch(typed, size, found["per_inch"], series, tables)
        d_mm, pitch_mm = float(size * Fraction("25.4")), MM_PER_INCH / per_inch
        require_proportion(typed, d_mm=d_mm, pitch_mm=pitch_mm)
        designation = f"{_fraction(size)}-{per_inch:g} {series}".strip()
        return Thread(designation, System.UNIFIED, d_mm, pitch_mm)
    raise Refusal(
        f"{text!r} is not a thread read here; write it like M42x3, M30, 1-8 UNC, 3/4-16 or 1 1/4-12 UNF."
    )


def _coarse_pitch_mm(d_mm: float, tables: ThreadTables) -> float:
    for row in tables.threads:
        if row.system is System.METRIC and row.series == "coarse" and math.isclose(row.d_mm, d_mm):
            return row.pitch_mm
    raise Refusal(
        f"M{d_mm:g} has no coarse pitch in the table; measure the pitch and write it, like M{d_mm:g}x3."
    )


def _threads_per_inch(
    typed: str, size: Fraction, per_inch: str | None, series: str, tables: ThreadTables
) -> float:
    of_series = [
        MM_PER_INCH / row.pitch_mm
        for row in tables.threads
        if row.series == series
        and series in ("UNC", "UNF")
        and math.isclose(row.d_mm, float(size) * MM_PER_INCH)
    ]
    if per_inch is None and not of_series:
        raise Refusal(f"{typed!r} does not say its threads per inch; write it like 1 1/4-12 UNF.")
    given = float(per_inch) if per_inch else of_series[0]
    require_positive(threads_per_inch=given)
    if of_series and not math.isclose(given, of_series[0]):
        raise Refusal(
            f"{typed!r}: {series} of that size has {of_series[0]:g} threads per inch; check the thread."
        )
    return given


def _inches(text: str) -> Fraction:
    parts = re.split(r"[\s-]+", text)
    try:
        size = sum((Fraction(part) for part in parts), Fraction(0))
    except ZeroDivisionError:
        raise Refusal(f"{text!r} divides by zero; write the size like 1 1/4.") from None
    if "/" in parts[-1] and Fraction(parts[-1]) >= 1:
        raise Refusal(
            f"{text!r} can be read two ways; leave a space between inches and fraction, like 1 1/4."
        )
    return size


def _fraction(size: Fraction) -> str:
    if size.denominator > 64:
        return f"{float(size):g}"
    whole, rest = divmod(size, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"
