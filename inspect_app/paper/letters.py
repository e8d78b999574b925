"""The report's letters: which signs the font has, how wide they are, and what stands for those it lacks."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

PLAIN, BOLD = "Vera", "VeraBd"
"""Shipped with reportlab and put into the file, so that it looks the same everywhere; one width for all digits."""

INSTEAD = "\N{LOZENGE}"
"""What stands for a sign the font has nothing like."""

ALIKE = {
    "\N{GREEK SMALL LETTER MU}": "µ",
    "\N{DIAMETER SIGN}": "Ø",
    "\N{RIGHTWARDS ARROW}": ">",
    "\N{LEFTWARDS ARROW}": "<",
    "\N{PRIME}": "'",
    "\N{DOUBLE PRIME}": '"',
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{HYPHEN}": "-",
}


def register() -> None:
    """Make the two fonts known to reportlab, once."""
    if PLAIN not in pdfmetrics.getRegisteredFontNames():
        for name in (PLAIN, BOLD):
            pdfmetrics.registerFont(TTFont(name, f"{name}.ttf"))


def font_name(bold: bool) -> str:
    """The font's name."""
    return BOLD if bold else PLAIN


def printable(text: str) -> str:
    """A text with every sign the font lacks replaced so that it shows: by its letter without accent, else a lozenge."""
    return text.translate(_SIGNS)


def width_of(text: str, size: float, bold: bool) -> float:
    """How wide a text comes out, points."""
    return _width_at_1(text, bold) * size


@lru_cache(maxsize=10_000)
def _width_at_1(text: str, bold: bool) -> float:
    widths = _WIDTHS[bold]
    return sum([widths[sign] for sign in text])


class _Signs(dict[int, str]):
    """From any sign to one that the font has, found out once for each."""

    def __missing__(self, code: int) -> str:
        known = pdfmetrics.getFont(PLAIN).face.charToGlyph
        sign = chr(code)
        base = unicodedata.normalize("NFKD", sign)[:1]
        if code in known and code >= ord(" ") and not unicodedata.category(sign).startswith("C"):
            shown = sign
        elif unicodedata.category(sign) in ("Zs", "Cc"):
            shown = " "
        else:
            shown = ALIKE.get(sign) or (base if ord(base) in known else INSTEAD)
        self[code] = shown
        return shown


class _Widths(dict[str, float]):
    """From any sign to its width at size 1."""

    def __init__(self, bold: bool) -> None:
        self.bold = bold

    def __missing__(self, sign: str) -> float:
        face = pdfmetrics.getFont(font_name(self.bold)).face
        wide = float(face.charWidths[ord(_SIGNS[ord(sign)])]) / 1000
        self[sign] = wide
        return wide


_SIGNS = _Signs()
_WIDTHS = {bold: _Widths(bold) for bold in (False, True)}
