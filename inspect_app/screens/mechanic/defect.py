"""One defect: its place, touched on the drawing of the part or typed beside it, its sizes, what a fingernail says."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft

from inspect_app.entries.job import Defect, Job, Place, Survey
from inspect_app.entries.looking import FELT, Found
from inspect_app.entries.typed import station_of
from inspect_app.figures.of_check import defects_drawing
from inspect_app.figures.pointing import ALONG, pointing
from inspect_app.job.findings import CheckResult
from inspect_app.job.words import clock_words, place_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.placing import length_unit
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.mechanic.sizes import size_doubt, size_label, size_typed, typed_before
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame, on_its_side
from inspect_app.screens.pieces.look import GAP, Look
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.tables.cylinders import Cylinder, DefectKind, Measure
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import capital

SHARE_OF_WIDTH, SHARE_OF_HEIGHT = 0.45, 0.34
"""How high the drawing grows: on a tablet it takes the room there is, on a phone it leaves the form in sight."""

OFTEN_MS = 40
CLOCKS = tuple(str(h) for h in (12, *range(1, 12)))


def drawing_size(desk: Desk) -> tuple[float, float]:
    """How large the drawing of a part with its defects is, dp."""
    width = column_width(desk) - 32
    return width, min(width * SHARE_OF_WIDTH, (desk.page.height or 800) * SHARE_OF_HEIGHT)


@ft.component
def Where(  # noqa: N802
    desk: Desk,
    result: CheckResult,
    survey: Survey,
    figure: str,
    place: Place,
    say: Callable[[str, str], None],
) -> ft.Control:
    """The part with the defect's place lit: a touch says it, a drag corrects it.

    Args:
        desk: the session.
        result: the look, for the defects found before.
        survey: the state of the cylinder.
        figure: which part is drawn.
        place: where it is said to be.
        say: told "station" or "clock", and what was touched, as somebody would type it.
    """
    look, system = desk.standing.look, desk.standing.system
    moving, set_moving = ft.use_state(("", ""))
    held = ft.use_ref("")
    width, height = drawing_size(desk)
    lit = _moved(place, moving, system)
    places = [d.place for d in result.defects if d.place != Place("", "")]
    measures = pointing(figure, [*places, lit], survey, width, height)

    def read(x: float, y: float) -> tuple[str, str]:
        if held.current == ALONG:
            return "station", measures.station(x, system)
        return ("clock", measures.clock(x, y)) if held.current else ("", "")

    def tapped(event: ft.TapEvent) -> None:
        at = event.local_position
        held.current = measures.view(at.x, at.y)
        name, text = read(at.x, at.y)
        if name:
            say(name, text)

    def down(event: ft.DragDownEvent[ft.GestureDetector]) -> None:
        # a drag is told only once the finger has moved some way; what it moves is where the finger came down
        held.current = measures.view(event.local_position.x, event.local_position.y)

    def went(event: ft.DragUpdateEvent[ft.GestureDetector]) -> None:
        set_moving(read(event.local_position.x, event.local_position.y))

    def ended(event: ft.DragEndEvent[ft.GestureDetector]) -> None:
        name, text = read(event.local_position.x, event.local_position.y)
        set_moving(("", ""))
        if name:
            say(name, text)

    drawn = defects_drawing(result, figure, survey, system, width, height, lit, round_view=True)
    touched = ft.GestureDetector(
        content=marks.canvas(look=look, figure=drawn, k=1.0, key="canvas"), on_tap_up=desk.guard(tapped),
        on_pan_down=desk.guard(down), on_pan_update=desk.guard(went), on_pan_end=desk.guard(ended),
        drag_interval=OFTEN_MS, exclude_from_semantics=True,
    )  # fmt: skip
    named = ft.Semantics(label=controls.printable(drawn.says), image=True, container=True, content=touched)
    words = place_words(lit, {}, system)
    hint = "drag to move" if words else "touch the part: how far along, and the clock"
    return ft.Column(
        [
            ft.Container(named, alignment=ft.Alignment.CENTER),
            ft.Row(
                [
                    *([controls.text(look, words, 20, bold=True, color=look.accent)] if words else []),
                    ft.Container(
                        controls.text(
                            look,
                            hint if measures.span_mm else "touch the clock; type how far along",
                            16,
                            color=look.soft,
                            align=ft.TextAlign.RIGHT if words else ft.TextAlign.LEFT,
                        ),
                        expand=True,
                    ),
                ],
                spacing=GAP,
            ),
        ],
        spacing=2,
        tight=True,
    )


def _moved(place: Place, moving: tuple[str, str], system: str) -> Place:
    """The place while a finger moves it."""
    name, text = moving
    if name == "station":
        return place._replace(station=station_of(text, system, {}).at)
    return place._replace(clock=text) if name else place


@ft.component
def DefectForm(  # noqa: N802
    desk: Desk,
    job: Job,
    survey: Survey,
    result: CheckResult,
    kind: str,
    instead_of: Defect | None,
    close: Callable[[], None],
) -> ft.Control:
    """A defect's kind, place and sizes; one that is mended opens as it was typed."""
    look, system, check = desk.standing.look, desk.standing.system, result.check
    cylinder = desk.bench.tables_of(job).cylinders[survey.cylinder]
    defect = cylinder.defect(kind)
    before = typed_before(instead_of) if instead_of else {}
    texts, write = use_texts(lambda: Texts(**before))
    if defect is None:
        raise Refusal(f"There is no defect {kind!r} in this checklist.")
    measures = [m for name in defect.measures if (m := cylinder.measure(name))]

    def keep() -> None:
        place = Place(texts["station"].strip(), texts["clock"])
        sizes = {m.id: size_typed(m, texts[m.id], system) for m in measures}
        new = [m for m in measures if sizes[m.id] != before.get(m.id)]
        doubts = [d for m in new if (d := size_doubt(m, sizes[m.id], survey, system))]
        if doubts and texts["sure"] != " ".join(doubts):
            write("sure", " ".join(doubts))
            return
        found = Found(
            check, kind, place, texts["zone"], texts["felt"], texts["note"], sizes, instead_of=instead_of
        )
        if desk.enter(job, survey, found):
            close()

    lit = Place(station_of(texts["station"], system, {}).at, texts["clock"])
    figure = next(p for p in cylinder.parts if p.id == check.part).figure
    where = Where(
        desk=desk,
        result=result,
        survey=survey,
        figure=figure,
        place=lit,
        say=write,
        key=f"where {survey.name}",
    )
    pinned = not on_its_side(desk)
    return frame(
        desk,
        defect.title,
        [
            controls.text(look, defect.plain, 17),
            *([] if pinned else [where]),
            controls.form(_place_fields(desk, cylinder, result, texts, write)),
            controls.form(_size_fields(desk, defect, measures, texts, write)),
            controls.button(look, "Save defect", desk.guard(lambda _: keep()), strong=True),
            controls.button(look, "Cancel", lambda _: close()),
        ],
        under=check.title,
        back=parts_of(job, survey),
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
        panel=f"form {kind}",
        above=[where] if pinned else (),
    )


def _place_fields(
    desk: Desk, cylinder: Cylinder, result: CheckResult, texts: Texts, write: Callable[[str, str], None]
) -> list[ft.Control]:
    """Where it is, in numbers and words; what was touched on the drawing stands in them."""
    look, unit = desk.standing.look, length_unit(desk.standing.system)
    station = controls.field(
        look, f"From the gland end, {unit}", texts["station"], lambda t: write("station", t), hint="or words",
        on_change=lambda t: texts.write("station", t), key="station",
    )  # fmt: skip
    zones = tuple(cylinder.zones_of(result.check).items())
    return [
        controls.heading(look, "Where"),
        station,
        controls.choices(look, zones, texts["zone"], lambda z: write("zone", z), columns=1),
        controls.small(look, "Clock position seen from the gland end, 12 up"),
        *_clock_face(look, texts["clock"], lambda c: write("clock", c)),
    ]


def _size_fields(
    desk: Desk,
    defect: DefectKind,
    measures: Sequence[Measure],
    texts: Texts,
    write: Callable[[str, str], None],
) -> list[ft.Control]:
    """How large it is, as far as it was measured, a note, and a size that is hard to believe."""
    look = desk.standing.look
    doubt = f"{texts['sure']} Correct it, or save it as it is."
    return [
        controls.heading(look, "How large, as far as it was measured"),
        *(_fingernail(look, texts["felt"], lambda f: write("felt", f)) if defect.mark else ()),
        *(texts.field(look, m.id, size_label(m, desk.standing.system), key=m.id) for m in measures),
        texts.field(look, "note", "Note", lines=2),
        *([controls.notice(look, doubt)] if texts["sure"] else ()),
    ]


def _fingernail(look: Look, felt: str, set_felt: Callable[[str], None]) -> list[ft.Control]:
    """What a fingernail says of a mark; its depth is a gauge's to say."""
    return [
        controls.text(look, "Draw a fingernail across it", 17),
        controls.choices(
            look, tuple((f, capital(FELT[f])) for f in ("not-felt", "felt")), felt, set_felt, columns=2
        ),
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
