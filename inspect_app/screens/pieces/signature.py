"""A box to sign in with a finger: what was drawn stands as strokes in a frame of its own, not as a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft
import flet.canvas as cv

from inspect_app.screens.pieces.look import Look

ACROSS, DOWN = 1000, 280
"""The frame that strokes are kept in, however wide the box on the screen was."""

OFTEN_MS = 20
"""A finger that moves is followed so often."""

WIDEST = 480
"""The widest a box to sign in is, dp: a hand is no larger before a larger screen."""

MARGIN, LINE = 0.05, 0.76
"""The line to sign on: from how far in, and how far down, of the frame's width and height."""


class Strokes:
    """What a finger drew: each stroke its points one after another, x0 y0 x1 y1 and so on."""

    def __init__(self) -> None:
        self.all: list[list[int]] = []

    def begin(self, x: float, y: float) -> None:
        """The finger comes down; both as fractions of the frame's width and height."""
        self.all.append(_in_frame(x, y))

    def go_on(self, x: float, y: float) -> None:
        """The finger moved; a movement whose beginning was lost begins here."""
        point = _in_frame(x, y)
        if not self.all:
            self.all.append(point)
        elif self.all[-1][-2:] != point:
            self.all[-1] += point

    def kept(self) -> tuple[tuple[int, ...], ...]:
        """What was drawn, a point alone as a stroke from it to itself."""
        return tuple(tuple(stroke * 2 if len(stroke) == 2 else stroke) for stroke in self.all)

    def clear(self) -> None:
        """Begin anew."""
        self.all = []


def _in_frame(x: float, y: float) -> list[int]:
    return [round(ACROSS * min(max(x, 0.0), 1.0)), round(DOWN * min(max(y, 0.0), 1.0))]


@ft.component
def SignatureBox(look: Look, width: float, strokes: Strokes, said: Callable[[], None]) -> ft.Control:  # noqa: N802
    """The box; drawn anew by itself while a finger moves in it, so that nothing else on the screen has to be.

    Args:
        look: the look.
        width: the most it may take, dp.
        strokes: where they are put down.
        said: told when a stroke began, for whoever shows that there is one.
    """
    _, drawn = ft.use_state(0)
    width = min(width, WIDEST)
    height = width * DOWN / ACROSS

    def anew() -> None:
        drawn(lambda n: n + 1)

    def down(event: ft.DragDownEvent[ft.GestureDetector]) -> None:
        strokes.begin(event.local_position.x / width, event.local_position.y / height)
        anew()
        said()

    def moved(event: ft.DragUpdateEvent[ft.GestureDetector]) -> None:
        strokes.go_on(event.local_position.x / width, event.local_position.y / height)
        anew()

    box = ft.GestureDetector(
        on_pan_down=down,
        on_pan_update=moved,
        drag_interval=OFTEN_MS,
        exclude_from_semantics=True,
        content=ft.Container(
            cv.Canvas(_ink(look, strokes.all, width / ACROSS), width=width, height=height),
            width=width,
            height=height,
            bgcolor=look.raised,
            border=ft.Border.all(2 * look.weight, look.ink),
            border_radius=6,
        ),
    )
    signed = "Signed. " if strokes.all else ""
    label = f"{signed}Sign here with your finger"
    named = ft.Semantics(label=label, container=True, identifier="signature", key="signature", content=box)
    return ft.Row([named], alignment=ft.MainAxisAlignment.CENTER)


def signed(look: Look, strokes: Sequence[Sequence[int]], width: float) -> ft.Control:
    """A signature that was given.

    Args:
        look: the look.
        strokes: as they were kept.
        width: how wide it is drawn, dp.
    """
    width = min(width, WIDEST)
    ink = cv.Canvas(_ink(look, strokes, width / ACROSS), width=width, height=width * DOWN / ACROSS)
    return ft.Semantics(label="Signature", image=True, container=True, content=ink)


def _ink(look: Look, strokes: Sequence[Sequence[int]], k: float) -> list[cv.Shape]:
    """The line to sign on, and what was drawn."""
    line = ft.Paint(color=look.rule, stroke_width=1.5 * look.weight)
    ink = ft.Paint(
        color=look.accent,
        stroke_width=3 * look.weight,
        stroke_cap=ft.StrokeCap.ROUND,
        style=ft.PaintingStyle.STROKE,
    )
    y = DOWN * LINE * k
    shapes: list[cv.Shape] = [cv.Line(ACROSS * MARGIN * k, y, ACROSS * (1 - MARGIN) * k, y, paint=line)]
    if not strokes:
        said = ft.TextStyle(size=look.size(16), color=look.soft)
        shapes.append(cv.Text(ACROSS * MARGIN * k, y - look.size(24), "Sign here", style=said))
    for stroke in strokes:
        at = [(x * k, y * k) for x, y in zip(stroke[::2], stroke[1::2], strict=True)]
        # a finger that only touched leaves a dot
        mode = cv.PointMode.POLYGON if len(at) > 1 else cv.PointMode.POINTS
        shapes.append(cv.Points(at, mode, paint=ink))
    return shapes
