"""The report's letters: which signs the font has, how wide they are, and what stands for those it lacks.

A name or a serial is never spelled another way: a sign that cannot be printed is a lozenge, and the paper says so.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

from font_source_sans_pro import font_directory  # type: ignore[import-untyped]
from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

PLAIN, BOLD = "SourceSansPro-Regular", "SourceSansPro-Bold"
"""Latin, Greek and Cyrillic with their accents, one width for all digits; the signs used go into the file."""

INSTEAD = "\N{LOZENGE}"
"""What stands for a sign the font has not."""

ALIKE = {
    "\N{DIAMETER SIGN}": "Ø",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{HYPHEN}": "-",
}
"""Signs that mean the same and look the same."""


def register() -> None:
    """Make the two fonts known to reportlab, once."""
    if PLAIN not in pdfmetrics.getRegisteredFontNames():
        for name in (PLAIN, BOLD):
            pdfmetrics.registerFont(TTFont(name, str(Path(font_directory) / f"{name}.ttf")))


def font_name(bold: bool) -> str:
    """The font's name."""
    return BOLD if bold else PLAIN


def printable(text: str) -> str:
    """A text with its accents on their letters, and a lozenge for every sign the font has not."""
    return _composed(text).translate(_SIGNS)


def not_printable(text: str) -> set[str]:
    """The signs of a text that are printed as a lozenge."""
    if text.isascii():  # as nearly all are
        return set()
    return {sign for sign in _composed(text) if _SIGNS[ord(sign)] == INSTEAD != sign}


def _composed(text: str) -> str:
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def width_of(text: str, size: float, bold: bool) -> float:
    """How wide a text comes out, points."""
    return _width_at_1(text, bold) * size


@lru_cache(maxsize=10_000)
def _width_at_1(text: str, bold: bool) -> float:
    widths = _WIDTHS[bold]
    return sum([widths[sign] for sign in _composed(text)])


class _Signs(dict[int, str]):
    """From any sign to one that the font has, found out once for each."""

    def __missing__(self, code: int) -> str:
        known = pdfmetrics.getFont(PLAIN).face.charToGlyph
        sign = chr(code)
        if code in known and code >= ord(" ") and not unicodedata.category(sign).startswith("C"):
            shown = sign
        elif unicodedata.category(sign) in ("Zs", "Cc"):
            shown = " "
        elif unicodedata.category(sign) == "Cf":  # says how to write, and shows nothing
            shown = ""
        else:
            shown = ALIKE.get(sign, INSTEAD)
        self[code] = shown
        return shown


class _Widths(dict[str, float]):
    """From any sign to its width at size 1."""

    def __init__(self, bold: bool) -> None:
        self.bold = bold

    def __missing__(self, sign: str) -> float:
        face, shown = pdfmetrics.getFont(font_name(self.bold)).face, _SIGNS[ord(sign)]
        wide = float(face.charWidths[ord(shown)]) / 1000 if shown else 0.0
        self[sign] = wide
        return wide


_SIGNS = _Signs()
_WIDTHS = {bold: _Widths(bold) for bold in (False, True)}
