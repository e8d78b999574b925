"""A photograph as large as the screen allows: zoomed and moved under a finger, and marks set on it, point by point."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import hypot

import flet as ft
import flet.canvas as cv

from inspect_app.entries.pictured import POINTS
from inspect_app.figures.on_photo import OnPhoto, mark_shapes
from inspect_app.figures.shapes import Circle, Line, Shape
from inspect_app.figures.strokes import moved
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces.controls import printable
from inspect_app.screens.pieces.look import LIGHT, TOUCH
from inspect_app.screens.pieces.marks import shape_on_canvas

ZOOMS = (1.0, 2.0, 4.0)
OFTEN_MS = 30
LETTERS = 15.0
FINGER = 2.0
"""So far from where a finger meant, dp, a point may lie after it was dragged into place."""

Point = tuple[float, float]


@dataclass
class Window:
    """What part of a picture is seen: the picture's size on the screen unzoomed, the zoom, and what was moved out of
    sight at the left and above, dp."""

    width: float
    height: float
    zoom: float = 1.0
    left: float = 0.0
    top: float = 0.0

    def share(self, x: float, y: float) -> Point:
        """A touched point as fractions of the picture, inside of it."""
        across = (x + self.left) / (self.width * self.zoom)
        down = (y + self.top) / (self.height * self.zoom)
        return min(max(across, 0.0), 1.0), min(max(down, 0.0), 1.0)

    def at(self, point: Point) -> Point:
        """Where a point of the picture lies in the window, dp."""
        x, y = point
        return x * self.width * self.zoom - self.left, y * self.height * self.zoom - self.top

    def shift(self, dx: float, dy: float) -> None:
        """Move the picture under the window, no further than its edges."""
        self.left = min(max(self.left - dx, 0.0), self.width * (self.zoom - 1))
        self.top = min(max(self.top - dy, 0.0), self.height * (self.zoom - 1))

    def zoom_to(self, zoom: float) -> None:
        """Zoom about what lies in the middle of the window."""
        x, y = self.share(self.width / 2, self.height / 2)
        self.zoom = zoom
        self.left, self.top = x * self.width * zoom - self.width / 2, y * self.height * zoom - self.height / 2
        self.shift(0, 0)

    def show_as(self, other: Window) -> None:
        """Show the same part of this picture as another window does of its own."""
        self.left, self.top = other.left * self.width / other.width, other.top * self.height / other.height
        self.shift(0, 0)

    @property
    def within(self) -> float:
        """How far a point may be off where a finger set it, as a fraction of the picture's width."""
        return FINGER / (self.width * self.zoom)


def next_zoom(zoom: float, step: int) -> float:
    """The zoom one step nearer or farther, as far as there is one."""
    return ZOOMS[min(max(ZOOMS.index(zoom) + step, 0), len(ZOOMS) - 1)]


@dataclass
class Pen:
    """The mark being set: its shape, "" while the picture is only looked at, and the points touched so far.

    `held` is the point a finger moves, `finger` where that was last, and `beside` how far from the point it began.
    """

    shape: str = ""
    points: list[Point] = field(default_factory=list)
    held: int | None = None
    finger: Point = (0.0, 0.0)
    beside: Point = (0.0, 0.0)

    @property
    def whole(self) -> bool:
        """Whether all its points were touched."""
        return bool(self.shape) and len(self.points) == POINTS[self.shape]

    def take(self, shape: str) -> None:
        """Begin a mark of a shape, or with "" none."""
        self.shape, self.points, self.held = shape, [], None

    def tapped(self, window: Window, x: float, y: float) -> None:
        """A finger touched the window: the next point, or where all are there the nearest one goes there."""
        point = window.share(x, y)
        if not self.shape:
            return
        if self.whole:
            self.points[self._nearest(window, x, y)[0]] = point
        else:
            self.points.append(point)

    def began(self, window: Window, x: float, y: float) -> None:
        """A finger began to move: it holds the point it is near, or draws from here."""
        self.finger, self.beside = (x, y), (0.0, 0.0)
        if not self.shape:
            return
        near, far = self._nearest(window, x, y) if self.points else (0, TOUCH)
        if far < TOUCH / 2 or self.whole:
            at = window.at(self.points[near])
            self.held, self.beside = near, (at[0] - x, at[1] - y)
            return
        self.points.append(window.share(x, y))
        if not self.whole:
            self.points.append(window.share(x, y))
        self.held = len(self.points) - 1

    def went(self, window: Window, x: float, y: float) -> None:
        """The finger moved on: by as much moves what it holds, so that it need not hide it, or the picture."""
        if self.held is not None:
            self.points[self.held] = window.share(x + self.beside[0], y + self.beside[1])
        elif not self.shape:
            window.shift(x - self.finger[0], y - self.finger[1])
        self.finger = x, y

    def ended(self) -> None:
        """The finger left."""
        self.held = None

    def _nearest(self, window: Window, x: float, y: float) -> tuple[int, float]:
        """Which point lies nearest to a finger, and how far from it, dp."""
        far = [hypot(x - a, y - b) for a, b in map(window.at, self.points)]
        return far.index(min(far)), min(far)


@ft.component
def Picture(  # noqa: N802
    desk: Desk,
    photo: bytes,
    window: Window,
    pen: Pen,
    marks: Sequence[OnPhoto],
    says: str,
    changed: Callable[[], None],
    version: int,
) -> ft.Control:
    """The photograph with its marks; while a finger moves only this is drawn anew.

    Args:
        desk: the session.
        photo: its JPEG.
        window: what part is seen.
        pen: the mark being set.
        marks: those that stand.
        says: its words for those who cannot see it.
        changed: told when a point was set, moved or let go.
        version: drawn anew when it changes.
    """
    _, drawn = ft.use_state(0)
    landed = ft.use_ref((0.0, 0.0))

    def tapped(event: ft.TapEvent) -> None:
        pen.tapped(window, event.local_position.x, event.local_position.y)
        changed()

    def down(event: ft.DragDownEvent[ft.GestureDetector]) -> None:
        landed.current = (event.local_position.x, event.local_position.y)

    def began(_: object) -> None:
        # a drag is told only once the finger has moved some way; it began where the finger came down
        pen.began(window, *landed.current)

    def went(event: ft.DragUpdateEvent[ft.GestureDetector]) -> None:
        pen.went(window, event.local_position.x, event.local_position.y)
        drawn(lambda n: n + 1)

    def ended(event: ft.DragEndEvent[ft.GestureDetector]) -> None:
        # not every movement is told; where the finger left is
        pen.went(window, event.local_position.x, event.local_position.y)
        pen.ended()
        changed()

    width, height = window.width * window.zoom, window.height * window.zoom
    image = ft.Image(
        src=photo, width=width, height=height, left=-window.left, top=-window.top, fit=ft.BoxFit.FILL,
        gapless_playback=True, exclude_from_semantics=True, key="image",
    )  # fmt: skip
    over = cv.Canvas(
        [shape_on_canvas(LIGHT, s) for s in _over(window, pen, marks)],
        width=window.width,
        height=window.height,
    )
    box = ft.Container(
        ft.Stack([image, over], width=window.width, height=window.height),
        width=window.width,
        height=window.height,
        clip_behavior=ft.ClipBehavior.HARD_EDGE,
    )
    touched = ft.GestureDetector(
        content=box, on_tap_up=desk.guard(tapped), on_pan_down=desk.guard(down),
        on_pan_start=desk.guard(began),
        on_pan_update=desk.guard(went), on_pan_end=desk.guard(ended),
        drag_interval=OFTEN_MS, exclude_from_semantics=True,
    )  # fmt: skip
    named = ft.Semantics(
        label=printable(says), container=True, identifier="picture", image=True, content=touched
    )
    return ft.Row([named], alignment=ft.MainAxisAlignment.CENTER)


def _over(window: Window, pen: Pen, marks: Sequence[OnPhoto]) -> list[Shape]:
    """All marks where they lie in the window, the one being set with its points to hold."""
    size = (window.width * window.zoom, window.height * window.zoom)
    drawing = [OnPhoto(pen.shape, tuple(pen.points))] if pen.whole else []
    shapes = [moved(s, -window.left, -window.top) for s in mark_shapes([*marks, *drawing], *size, LETTERS)]
    for x, y in map(window.at, pen.points):
        for role, weight in (("fill", 6.0), ("accent", 2.5)):
            shapes.append(Circle(x, y, 13, role, weight))
            shapes += [Line(x - 5, y, x + 5, y, role, weight / 2), Line(x, y - 5, x, y + 5, role, weight / 2)]
    return shapes
