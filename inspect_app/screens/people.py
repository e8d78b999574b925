"""The people of the shop: who holds this phone, chosen from the list; and the list itself, in the hand of the host."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.people import enter_person, retire_person
from inspect_app.entries.people import HOST, ROLES, Person
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.texts import Texts, use_texts


def who_rows(desk: Desk) -> list[ft.Control]:
    """Who holds this phone, for the settings; and of the host the way to people and phones."""
    look, people = desk.standing.look, desk.bench.shop.people()
    rows: list[ft.Control] = []
    if people:
        held = next((p.name for p in people if p.initials == desk.standing.initials), desk.standing.initials)
        words = f"In the hand of {held}" if held else "Who holds this phone?"
        under = "Touch it when somebody else takes the phone."
        rows.append(controls.row(look, words, under, on_click=lambda _: desk.go("/who"), key="who"))
    else:
        kept = desk.guard(lambda t: desk.setting("initials", t.strip()))
        rows.append(controls.field(look, "Your initials", desk.standing.initials, kept))
    if desk.holder().role == HOST:
        under = (
            ", ".join(p.name for p in people)
            or "Nobody is listed: everybody types initials and does everything."
        )
        rows.append(controls.row(look, "People", under, on_click=lambda _: desk.go("/people"), key="people"))
    if desk.access and (devices := desk.access.devices()):
        under = f"{len(devices.every()) or 'none'} paired"
        rows.append(
            controls.row(look, "Phones", under, on_click=lambda _: desk.go("/devices"), key="devices")
        )
    return rows


@ft.component
def Who(desk: Desk) -> ft.Control:  # noqa: N802
    """Asks who holds this phone, before anything is entered with it: by the list where the shop has one."""
    look, people = desk.standing.look, desk.bench.shop.people()
    texts, _ = use_texts()

    def keep() -> None:
        if texts["initials"].strip():
            desk.setting("initials", texts["initials"].strip())
        else:
            desk.say("Type your initials: every entry says who made it.")

    def choose(person: Person) -> None:
        desk.hold(person)
        if desk.standing.route == "/who":
            desk.go("/settings")

    role = desk.holder().role
    if people:
        here = [p for p in people if role == HOST or (p.role != HOST and role in ("", p.role))]
        body: list[ft.Control] = [
            controls.row(
                look, p.name, ROLES[p.role], on_click=desk.guard(lambda _, p=p: choose(p)), key=f"who {p.id}"
            )
            for p in here
        ]
        other = "Not listed? The host adds people in the settings of the shop's machine."
        body.append(controls.small(look, other))
        return frame(desk, "Who holds this phone?", body, back="/" if role else None)
    return frame(
        desk,
        "Who holds this phone?",
        [texts.field(look, "initials", "Your initials")],
        back="/",
        foot=(controls.button(look, "Go on", desk.guard(lambda _: keep()), strong=True),),
    )


@ft.component
def People(desk: Desk) -> ft.Control:  # noqa: N802
    """Everybody in the list."""
    look = desk.standing.look
    body: list[ft.Control] = [
        controls.small(
            look,
            "Each phone is somebody's, and does what that person's role does. Until somebody is listed everybody "
            "types initials. Where no parts clerk is listed, mechanics order the seals.",
        )
    ]
    for person in desk.bench.shop.people():
        to = f"/person/{person.id}"
        words = f"{person.initials} · {ROLES[person.role]}"
        body.append(controls.row(look, person.name, words, on_click=lambda _, to=to: desk.go(to), key=to))
    add = controls.button(look, "Add a person", lambda _: desk.go("/person"), strong=True)
    return frame(desk, "People", body, back="/settings", foot=(add,))


@ft.component
def PersonForm(desk: Desk, named: str) -> ft.Control:  # noqa: N802
    """One person; `named` is their id, "" for a new one."""
    look, bench = desk.standing.look, desk.bench
    known = next((p for p in bench.shop.people() if p.id == named), None)
    first = Texts(name=known.name, initials=known.initials, role=known.role) if known else Texts()
    texts, write = use_texts(lambda: first)

    def keep() -> None:
        typed = {name: texts[name] for name in ("name", "initials", "role")}
        person = enter_person(bench, typed, desk.standing.initials)
        if known and known.id != person.id:
            retire_person(bench, known, desk.standing.initials)
        back()

    def retire(person: Person) -> None:
        retire_person(bench, person, desk.standing.initials)
        if desk.access and (devices := desk.access.devices()):
            for device in devices.every():
                if device.person == person.id:
                    devices.end(device.id)
        back()

    def back() -> None:
        desk.refresh()
        desk.go("/people")

    body: list[ft.Control] = [
        texts.field(look, "name", "Name"),
        texts.field(look, "initials", "Initials"),
        controls.heading(look, "Is a"),
        controls.choices(look, tuple(ROLES.items()), texts["role"], lambda r: write("role", r), columns=1),
        controls.small(
            look,
            "A mechanic measures, decides and prepares the scope. The parts clerk sees the seals and orders them. "
            "The host does everything, and lists people and phones.",
        ),
    ]
    if known:
        pair = f"/pair/{known.id}"
        if desk.access and desk.access.devices():
            body.append(controls.button(look, "Pair a phone", lambda _: desk.go(pair)))
        out = desk.guard(lambda _: retire(known))
        body.append(controls.button(look, "Take out of the list", out))
    keeping = controls.button(look, "Keep", desk.guard(lambda _: keep()), strong=True)
    return frame(desk, known.name if known else "A person", body, back="/people", foot=(keeping,))
