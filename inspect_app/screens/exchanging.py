"""One job as one file, from a screen: given to another phone or computer, and one from there taken in."""

from __future__ import annotations

from io import BytesIO

import flet as ft

from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.entries.job import Job
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Made
from inspect_app.screens.pieces import controls
from inspect_app.trade.measuring.refusal import Refusal


@ft.component
def GiveJob(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    """Packed at a touch and given away at the next, since a browser lets only a touch do that."""
    look = desk.standing.look
    packed, set_packed = ft.use_state((0, b""))

    def pack(_: object) -> None:
        set_packed((job.entries, pack_job(desk.bench, job.id)))

    if not packed[1] or packed[0] != job.entries:
        return controls.button(look, "Pack this job as a file", desk.guard(pack), icon=ft.Icons.INVENTORY_2)
    name, made = f"job-{job.id[:8]}.zip", packed[1]
    touch = desk.hand_over(name, made) or desk.open_document(name, made)
    return controls.button(
        look, "Hand the file over", touch.then, icon=ft.Icons.IOS_SHARE, action=touch.action
    )


@ft.component
def TakeJob(desk: Desk) -> ft.Control:  # noqa: N802
    """Takes in a job's file that was picked; one that came before changes nothing."""

    async def pick(_: object) -> None:
        picked = await desk.pick(any_file=True)
        if not picked:
            return
        file = picked[0]
        try:
            raw = await file.bring(lambda _: None)
            if isinstance(raw, Made):
                raise Refusal("this is a photograph.")
            said = take_in_job(desk.bench, read_job(BytesIO(raw), file.name))
        except Refusal as refusal:
            desk.say(f"{file.name}: {refusal}" if file.name not in str(refusal) else str(refusal))
            return
        desk.refresh()
        desk.say(" ".join(said), "within" if len(said) == 1 else "unclear")

    return controls.button(
        desk.standing.look,
        "Take in a job's file",
        desk.guard(pick),
        icon=ft.Icons.UPLOAD_FILE,
        action=desk.host.picking(any_file=True),
    )
