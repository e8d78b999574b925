"""A text as a QR code, as a plain drawing; reportlab knows the code, nothing here knows a job."""

from __future__ import annotations

from reportlab.graphics.barcode.qr import QrCodeWidget  # type: ignore[import-untyped]

from inspect_app.figures.shapes import Drawing, Shape
from inspect_app.figures.strokes import solid

MASK = 3
"""Which of the eight masks lies over the code: it stands in the code itself, so that any can be read. The standard's
search for the one with the fewest awkward patterns takes longer than the rest of a page; over digits of a hash, which
are as good as random, all of them are alike."""

QUIET = 4
"""Empty modules around the code."""


def tag_drawing(text: str, size: float) -> Drawing:
    """The QR code of a text, error correction M, with its quiet zone.

    Args:
        text: what a phone reads.
        size: width and height.
    """
    code = QrCodeWidget(text, barLevel="M").qr
    code.version = code.calculate_version()
    code.makeImpl(False, MASK)
    count = code.getModuleCount()
    each = size / (count + 2 * QUIET)
    shapes: list[Shape] = []
    for row in range(count):
        column = 0
        while column < count:
            end = column
            while end < count and code.isDark(row, end):
                end += 1
            if end > column:
                left, top = (column + QUIET) * each, (row + QUIET) * each
                shapes.append(solid(left, top, (end + QUIET) * each, top + each, "ink"))
            column = end + 1
    return Drawing(size, size, tuple(shapes), f"QR code: {text}")
