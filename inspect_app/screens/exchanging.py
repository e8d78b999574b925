"""One job as one file, from a screen: given to another phone or computer, sent to the shop, and one taken in."""

from __future__ import annotations

from io import BytesIO

import flet as ft

from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.entries.job import Job
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Made, Shop
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.trade.measuring.refusal import Refusal

SHOP_ROUTE = "/shop"


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
def SendJob(desk: Desk, job: Job, shop: Shop) -> ft.Control:  # noqa: N802
    """Handed to the shop's program at one touch; what was entered there comes back and is taken in."""

    async def send(_: object) -> None:
        if not shop.address():
            desk.go(SHOP_ROUTE)
            return
        desk.say("The job is on its way to the shop.", "accent")
        there, back = await shop.send(pack_job(desk.bench, job.id))
        here = take_in_job(desk.bench, read_job(BytesIO(back), "What came back"))
        desk.refresh()
        whole = len(there) == len(here) == 1
        desk.say(
            f"At the shop: {' '.join(there)} On this phone: {' '.join(here)}",
            "within" if whole else "unclear",
        )

    return controls.button(
        desk.standing.look, "Send this job to the shop", desk.guard(send), icon=ft.Icons.SEND_TO_MOBILE
    )


@ft.component
def ShopForm(desk: Desk, shop: Shop) -> ft.Control:  # noqa: N802
    """Where the shop's program is, and the code by which it lets this phone in: asked once, or anew here."""
    look = desk.standing.look
    texts, _ = use_texts(lambda: Texts(address=shop.address()))

    async def pair(_: object) -> None:
        await shop.pair(texts["address"], texts["code"])
        desk.redraw()
        desk.say(f"Paired with {shop.address()}. Each job has its button now.", "within")

    stands = f"Paired with {shop.address()}." if shop.address() else "Not paired yet."
    body = [
        controls.text(look, stands, 18, bold=True),
        texts.field(look, "address", "The shop's address", hint="https://192.168.1.7:8710"),
        texts.field(look, "code", "Code", hint="six digits"),
        controls.small(
            look,
            "The host's screen shows both: Settings, Phones, Pair a phone. It must be an https address: a page that "
            "came by https, as this one, can send nothing to an http one.",
        ),
    ]
    return frame(
        desk,
        "The shop",
        body,
        back="/settings",
        foot=(controls.button(look, "Pair with the shop", desk.guard(pair), strong=True),),
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
