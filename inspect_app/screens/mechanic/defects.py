"""Looking at a surface: what to look for, each defect with kind, place, size and photographs."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import WHOLE_CHECK, Defect, Job, Place, Survey
from inspect_app.entries.looking import Found, LookedOver
from inspect_app.entries.measuring import LeftOut
from inspect_app.job.checks import assess_check
from inspect_app.job.findings import CheckResult
from inspect_app.job.words import clock_words, finding_sentence, place_words, what_follows
from inspect_app.logbook.photos import thumb
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.parts import next_check, parts_to_do
from inspect_app.screens.mechanic.photographing import photograph
from inspect_app.screens.mechanic.placing import length_unit
from inspect_app.screens.mechanic.routes import home_of, route_of
from inspect_app.screens.mechanic.sizes import size_doubt, size_label, size_typed
from inspect_app.screens.mechanic.skipping import REASONS
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP, Look
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.measuring.refusal import Refusal

CLOCKS = tuple(str(h) for h in (12, *range(1, 12)))


@ft.component
def LookAt(desk: Desk, job: Job, survey: Survey, check: Check) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    tables = desk.bench.tables_of(job)
    cylinder = tables.cylinders[survey.cylinder]
    result = assess_check(check, cylinder, survey, tables)
    adding, set_adding = ft.use_state("")
    skipping, set_skipping = ft.use_state(False)

    def looked() -> None:
        if not desk.enter(job, survey, LookedOver(check)):
            return
        following = next_check(parts_to_do(desk, desk.bench.job(job.id), survey), check.id)
        desk.go(route_of(job, survey, following) if following else home_of(job, survey))

    def leave_out(reason: str) -> None:
        if desk.enter(job, survey, LeftOut(check, WHOLE_CHECK, reason)):
            set_skipping(False)

    if adding:
        body: list[ft.Control] = [
            DefectForm(
                desk=desk, job=job, survey=survey, check=check, kind=adding, close=lambda: set_adding("")
            )
        ]
        foot: list[ft.Control] = []
    elif skipping:
        body = [controls.text(look, "Not looked at, because", 20, bold=True)]
        body += [
            controls.button(look, r, desk.guard(lambda _, r=r: leave_out(r)), key=f"check {r}")
            for r in REASONS
        ]
        foot = [controls.button(look, "Back to looking", lambda _: set_skipping(False))]
    else:
        body = _overview(desk, job, check, cylinder, result, set_adding)
        done = "Nothing more to find" if result.defects else "Looked: nothing found"
        foot = [
            controls.button(look, done, desk.guard(lambda _: looked()), strong=True, key="Looked"),
            controls.button(look, "Skip", lambda _: set_skipping(True)),
        ]
    return frame(
        desk,
        check.title,
        body,
        under="looked at" if result.complete else "eye, nail, light along the surface",
        back=home_of(job, survey),
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        foot=foot,
    )


def _overview(
    desk: Desk,
    job: Job,
    check: Check,
    cylinder: Cylinder,
    result: CheckResult,
    add: Callable[[str], None],
) -> list[ft.Control]:
    look = desk.standing.look
    body: list[ft.Control] = [controls.text(look, check.why, 17), controls.small(look, check.how)]
    if result.skipped:
        body.append(controls.notice(look, f"Left out: {result.skipped}.", "unmeasured"))
    for defect in result.defects:
        body.append(_found(desk, job, cylinder, result, defect))
    body.append(controls.heading(look, "Found something? Tap what it is"))
    for kind_id in check.look:
        kind = cylinder.defect(kind_id)
        if kind:
            body.append(
                controls.row(
                    look,
                    kind.title,
                    kind.plain,
                    on_click=lambda _, i=kind_id: add(i),
                    key=f"defect {kind_id}",
                )
            )
    return body


def _found(desk: Desk, job: Job, cylinder: Cylinder, result: CheckResult, defect: Defect) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    kind = cylinder.defect(defect.kind)
    title = kind.title if kind else defect.kind
    where = ", ".join(w for w in (place_words(defect.place, system), defect.zone) if w)
    sizes = ", ".join(
        [f"{name} {size.typed}" for name, size in defect.sizes.items()] + [defect.felt] * bool(defect.felt)
    )
    parts: list[ft.Control] = [
        controls.text(look, title, 19, bold=True),
        controls.text(look, " · ".join(w for w in (where, sizes, defect.note) if w), 17),
    ]
    for finding in result.findings:
        if finding.defect == defect.id:
            if finding.verdict is not None:
                parts.append(marks.verdict_line(look, finding.verdict, what_follows(finding)))
            parts.append(controls.small(look, finding_sentence(finding, system)))
    parts.append(Photos(desk=desk, job=job, of=defect.id, what=title, version=desk.standing.version))
    return ft.Container(
        ft.Column(parts, spacing=8, tight=True),
        bgcolor=look.raised,
        border=ft.Border.all(look.weight, look.rule),
        border_radius=6,
        padding=14,
        key=f"found {defect.id}",
    )


@ft.component
def Photos(desk: Desk, job: Job, of: str, what: str, version: int) -> ft.Control:  # noqa: N802
    """The photographs of one thing, and the button that takes another."""
    look = desk.standing.look

    async def take_photographs(_: object) -> None:
        await photograph(desk, job.id, of, what)

    images: list[ft.Control] = []
    for photo in job.photos_of(of):
        path = thumb(photo.sha256, desk.bench.photos)
        said = f"Photograph of {what}"
        if path.exists():
            images.append(
                ft.Image(
                    src=path.read_bytes(),
                    width=110,
                    height=110,
                    fit=ft.BoxFit.COVER,
                    semantics_label=said,
                    key=photo.id,
                )
            )
        else:
            images.append(controls.small(look, f"{said} is missing on this device"))
    take = controls.button(
        look,
        "Photograph",
        desk.guard(take_photographs),
        icon=ft.Icons.PHOTO_CAMERA_OUTLINED,
        key=f"photo {of}",
        action=desk.host.picking(),
    )
    on_the_way = [
        controls.text(look, f"{p.picked.name}: {p.state}", 17, bold=p.failed) for p in desk.pictures.of(of)
    ]
    saved = f"{len(images)} saved" if images else ""
    shown: list[ft.Control] = (
        [ft.Row(images, wrap=True, spacing=8), controls.small(look, saved)] if images else []
    )
    return ft.Column([*shown, *on_the_way, take], spacing=8, tight=True)


@ft.component
def DefectForm(  # noqa: N802
    desk: Desk, job: Job, survey: Survey, check: Check, kind: str, close: Callable[[], None]
) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    cylinder = desk.bench.tables_of(job).cylinders[survey.cylinder]
    defect = cylinder.defect(kind)
    texts, write = use_texts()
    if defect is None:
        raise Refusal(f"There is no defect {kind!r} in this checklist.")
    measures = [m for name in defect.measures if (m := cylinder.measure(name))]

    def keep() -> None:
        place = Place(texts["station"].strip(), texts["clock"])
        sizes = {m.id: size_typed(m, texts[m.id], system) for m in measures}
        doubts = [d for m in measures if (d := size_doubt(m, sizes[m.id], survey, system))]
        if doubts and texts["sure"] != " ".join(doubts):
            write("sure", " ".join(doubts))
            return
        if desk.enter(
            job, survey, Found(check, kind, place, texts["zone"], texts["felt"], texts["note"], sizes)
        ):
            close()

    zones = [(z, z) for z in cylinder.zones_of(check)]
    return controls.form(
        [
            controls.text(look, defect.title, 22, bold=True),
            controls.text(look, defect.plain, 17),
            controls.heading(look, "Where"),
            controls.choices(look, zones, texts["zone"], lambda z: write("zone", z), columns=1),
            texts.field(look, "station", f"From the gland end, {length_unit(system)}", hint="or words"),
            controls.small(look, "Clock position seen from the gland end, 12 up"),
            *_clock_face(look, texts["clock"], lambda c: write("clock", c)),
            controls.heading(look, "How large, as far as it was measured"),
            *(_fingernail(look, texts["felt"], lambda f: write("felt", f)) if defect.mark else ()),
            *(texts.field(look, m.id, size_label(m, system), key=m.id) for m in measures),
            texts.field(look, "note", "Note", lines=2),
            *(
                [controls.notice(look, f"{texts['sure']} Mend it, or keep it as it is.")]
                if texts["sure"]
                else ()
            ),
            controls.button(look, "Keep this defect", desk.guard(lambda _: keep()), strong=True),
            controls.button(look, "Not this one", lambda _: close()),
        ]
    )


def _fingernail(look: Look, felt: str, set_felt: Callable[[str], None]) -> list[ft.Control]:
    """What a fingernail says of a mark; its depth is a gauge's to say."""
    return [
        controls.text(look, "Draw a fingernail across it", 17),
        controls.choices(look, (("not felt", "Not felt"), ("felt", "Felt")), felt, set_felt, columns=2),
    ]


def _clock_face(look: Look, chosen: str, choose: Callable[[str], None]) -> list[ft.Control]:
    """The clock positions, three to a row; a second tap on the chosen one takes it back."""

    def hour(h: str) -> ft.Control:
        return controls.choice(
            look,
            h,
            h == chosen,
            lambda _: choose("" if h == chosen else h),
            key=clock_words(h),
            expand=True,
        )

    rows = [CLOCKS[n : n + 3] for n in range(0, 12, 3)]
    return [ft.Row([hour(h) for h in hours], spacing=GAP) for hours in rows]
