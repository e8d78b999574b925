"""What a terminal, or the file it is sent to, cannot show is spelled in letters it has; never a traceback."""

from __future__ import annotations

import codecs
import sys
from contextlib import suppress

SPELLED = {
    "µ": "u", "Ø": "dia. ", "×": "x", "·": ".", "°": " deg ", "±": "+-", "≤": "<=", "≥": ">=", "–": "-", "−": "-",
    "√": "sqrt", "²": "2", "³": "3", "¼": "1/4", "½": "1/2", "¾": "3/4", "…": "...", "█": "#", "▀": "#", "▄": "#",
}  # fmt: skip
"""By sign. Of a length in µm the ? that others put there would leave no unit at all."""


def spelled(error: UnicodeError) -> tuple[str, int]:
    """The letters for the signs that a console's encoding lacks, and where it goes on.

    >>> "12.5 µm ≤ Ø".encode("ascii", "spelled")
    b'12.5 um <= dia. '
    """
    assert isinstance(error, UnicodeEncodeError)
    lacking = error.object[error.start : error.end]
    letters = "".join(SPELLED.get(sign, "?") for sign in lacking)
    return letters, error.end


codecs.register_error("spelled", spelled)


def spell_what_it_lacks() -> None:
    """From here on whatever is said to this terminal can be."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(AttributeError):  # a stream that was put in their place may not know how
            stream.reconfigure(errors="spelled")  # type: ignore[union-attr]


def shows_everything() -> bool:
    """Whether every sign comes through as it is."""
    return "utf" in (sys.stdout.encoding or "").lower()
