"""The shop's paired phones, in the hand of the host: whose each is, its end, and the way in for another one."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.sessions import Paired
from inspect_app.job.progress import ago_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Devices, WayIn
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame

NONE = "No phone can come in: start the program with --lan, in the shop's Wi-Fi."


def _devices(desk: Desk) -> Devices | None:
    return desk.access.devices() if desk.access else None


@ft.component
def PairedDevices(desk: Desk, version: int) -> ft.Control:  # noqa: N802
    """Every phone, and a button that ends its session."""
    look, devices = desk.standing.look, _devices(desk)
    if devices is None:
        return frame(desk, "Phones", [controls.notice(look, NONE)], back="/settings")

    def end(known: Paired) -> None:
        devices.end(known.id)
        desk.redraw()

    body: list[ft.Control] = []
    for known in devices.every():
        whose = _whose(desk, known.person)
        seen = ago_words(known.seen.isoformat(), desk.bench.now())
        body += [
            controls.text(look, f"{whose} · {known.device}", 18, bold=True),
            controls.small(look, f"{known.address}, paired {known.since.date().isoformat()}, seen {seen}"),
            controls.button(
                look,
                f"End the session of {whose}",
                desk.guard(lambda _, k=known: end(k)),
                key=f"end {known.id}",
            ),
        ]
    if body:
        body.append(controls.small(look, "Its screens close at once. What they called saved is saved."))
    else:
        body = [controls.notice(look, "No phone is paired. A code lets one in, once.", "accent")]
    pair = controls.button(look, "Pair a phone", lambda _: desk.go("/pair"), strong=True)
    return frame(desk, "Phones", body, back="/settings", foot=(pair,))


def _whose(desk: Desk, person: str) -> str:
    return next((p.name for p in desk.bench.shop.people() if p.id == person), "nobody yet")


@ft.component
def PairOne(desk: Desk, named: str) -> ft.Control:  # noqa: N802
    """The way in for one phone: of a person by their id, or with "" of whoever comes."""
    look, devices = desk.standing.look, _devices(desk)
    way, set_way = ft.use_state(lambda: devices.way_in(named) if devices else None)
    if devices is None or way is None:
        return frame(desk, "Pair a phone", [controls.notice(look, NONE)], back="/settings")
    whose = _whose(desk, named) if named else ""
    again = desk.guard(lambda _: set_way(devices.way_in(named)))
    body = [
        controls.text(look, f"For {whose}." if whose else "For whoever comes; the phone asks who it is.", 18),
        *_shown(desk, way),
        controls.small(look, "Good for one phone and ten minutes."),
        controls.button(look, "Another code", again),
    ]
    return frame(desk, "Pair a phone", body, back="/devices")


def _shown(desk: Desk, way: WayIn) -> list[ft.Control]:
    look, size = desk.standing.look, min(column_width(desk) - 64, 300)
    return [
        controls.text(look, "In the shop's Wi-Fi, scan this with the phone's camera.", 17),
        marks.squares(way.squares, size, f"QR code of {way.address}"),
        controls.text(look, "Or open this address there, and type the code:", 17),
        controls.text(look, way.address.partition("/pair/")[0], 17),
        controls.text(look, f"{way.code[:3]} {way.code[3:]}", 28, bold=True),
    ]
