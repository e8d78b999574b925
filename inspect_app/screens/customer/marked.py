"""Marks over a photograph as SVG, for the page of a customer's own phone; knows no page."""

from __future__ import annotations

from html import escape

from inspect_app.figures.on_photo import mark_shapes, marks_shown
from inspect_app.figures.shapes import Circle, Label, Line, Polygon, Shape
from inspect_app.job.scope.shown import MarkedPhoto

COLOURS = {"fill": "#FFFDF7", "accent": "#123A86", "ink": "#1B1F23"}
ACROSS, LETTERS = 400.0, 16.0
"""The width of the drawing, about that of a phone, and its letters there."""


def svg_over(marked: MarkedPhoto) -> str:
    """The marks, to be laid over the photograph in a box of the same size.

    Args:
        marked: the photograph with its marks.
    """
    high = ACROSS * marked.high / marked.wide
    shapes = mark_shapes(marks_shown(marked), ACROSS, high, LETTERS)
    drawn = "".join(map(_element, shapes))
    box = f'viewBox="0 0 {ACROSS:.0f} {high:.1f}"'
    return f'<svg {box} aria-hidden="true" stroke-linecap="round" stroke-linejoin="round">{drawn}</svg>'


def _element(shape: Shape) -> str:
    colour = COLOURS[shape.role]
    if isinstance(shape, Label):
        where = f'x="{shape.x:.1f}" y="{shape.y:.1f}" font-size="{shape.size:.0f}" font-weight="700"'
        how = f'fill="{colour}" text-anchor="{shape.anchor}" dominant-baseline="central"'
        return f"<text {where} {how}>{escape(shape.text)}</text>"
    filled = not isinstance(shape, Line) and shape.filled
    looks = (
        f'fill="{colour}"' if filled else f'fill="none" stroke="{colour}" stroke-width="{shape.weight:.2f}"'
    )
    if isinstance(shape, Line):
        return (
            f'<line x1="{shape.x1:.1f}" y1="{shape.y1:.1f}" x2="{shape.x2:.1f}" y2="{shape.y2:.1f}" {looks}/>'
        )
    if isinstance(shape, Circle):
        return f'<circle cx="{shape.x:.1f}" cy="{shape.y:.1f}" r="{shape.radius:.1f}" {looks}/>'
    assert isinstance(shape, Polygon)
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in shape.points)
    return f'<polygon points="{points}" {looks}/>'
