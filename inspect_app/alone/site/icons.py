"""The app's sign on a home screen: a rod coming out of a cylinder, drawn here."""

from __future__ import annotations

from io import BytesIO

GROUND, LINE, LIT = "#1B1F23", "#F7F4EC", "#E8A33D"
SIZES = (32, 180, 192, 512)
"""Of a tab, of an iPhone's home screen, and of the others."""
FINE = 4
"""Drawn so many times larger, then made smaller: edges come out smooth."""


def icons() -> dict[str, bytes]:
    """Every icon by its path on the site; `maskable` ones may be cut round and have more ground about them."""
    found = {f"icons/icon-{size}.png": icon(size, 0.14) for size in SIZES}
    return found | {f"icons/maskable-{size}.png": icon(size, 0.24) for size in SIZES[2:]}


def icon(size: int, margin: float) -> bytes:
    """One icon as PNG.

    Args:
        size: its side, pixels.
        margin: the ground about the drawing, share of the side.
    """
    from PIL import Image, ImageDraw

    side = size * FINE
    picture = Image.new("RGB", (side, side), GROUND)
    pen = ImageDraw.Draw(picture)
    scale = side * (1 - 2 * margin) / 100

    def box(left: float, top: float, right: float, bottom: float, fill: str) -> None:
        at = [side * margin + x * scale for x in (left, top, right, bottom)]
        pen.rectangle(at, fill=fill)

    box(0, 24, 62, 76, LINE)  # the barrel, and its bore
    box(6, 32, 62, 68, GROUND)
    box(34, 32, 44, 68, LINE)  # the piston
    box(44, 44, 100, 56, LINE)  # the rod, through the gland
    box(58, 24, 70, 44, LINE)
    box(58, 56, 70, 76, LINE)
    box(80, 44, 84, 56, LIT)  # the place that is lit
    file = BytesIO()
    picture.resize((size, size), Image.Resampling.LANCZOS).save(file, "PNG", optimize=True)
    return file.getvalue()
