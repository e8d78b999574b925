"""The cylinder of a seal list in section on the phone, each line numbered on it."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job
from inspect_app.figures.assembled import assembled, drawn_by
from inspect_app.figures.section import sizes_of
from inspect_app.job.seals.seal_list import SealList
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width

WIDEST, TALL, LETTERS = 440.0, 200.0, 14.0
"""Size of the section, dp; a wider screen may have something beside the list."""


def section_of(desk: Desk, job: Job, listing: SealList) -> list[ft.Control]:
    """The section and what of it is not to scale, or nothing of a list without a line."""
    look, width = desk.standing.look, min(column_width(desk) - 32, WIDEST)
    sizes = sizes_of(job.as_found)
    figure = assembled(listing, sizes, system=desk.standing.system, width=width, height=TALL, text=LETTERS)
    if not figure:
        return []
    drawing = ft.Container(marks.drawing(look, figure), alignment=ft.Alignment.CENTER)
    return [drawing, *([controls.small(look, said)] if (said := drawn_by(listing, sizes)) else [])]
