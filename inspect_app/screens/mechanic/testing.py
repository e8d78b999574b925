"""The pressure test: what it stores, its pressures, the curve, each trial as it stands, and what all of them prove."""

from __future__ import annotations

import flet as ft

from inspect_app.bench.stepping import facts_of
from inspect_app.entries.job import Job
from inspect_app.figures.pressure_curve import pressure_curve, settled_curve
from inspect_app.job.leaking import TrialStands
from inspect_app.job.presets import step_presets
from inspect_app.job.steps import unconfirmed
from inspect_app.job.testing import Energy, Pressures, WholeTest, friction_words, trials_of, whole_test
from inspect_app.report.tested import SIGNS
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.confirming import cautions_first
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.routes import job_route, step_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.look import GAP, Look
from inspect_app.tables.pressure_test import STEP, Trial
from inspect_app.tables.steps import Step
from inspect_app.trade.leakage.slope import Result
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.wording import counted

_CURVE = 210


def trial_named(desk: Desk, job: Job, name: str) -> Trial | None:
    """A trial of this cylinder by its id, None where it has none of it.

    Args:
        desk: the session.
        job: the job.
        name: the id.
    """
    return next((t for t in trials_of(job, desk.bench.tables_of(job)) if t.id == name), None)


@ft.component
def PressureTest(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look, system, tables = desk.standing.look, desk.standing.system, desk.bench.tables_of(job)
    passed_over, set_passed_over = ft.use_state(False)
    test, step = whole_test(job, tables), tables.steps[STEP]
    body: list[ft.Control] = [*before_it(desk, job, test)]
    first = [] if passed_over else cautions_first(desk, job, step, lambda _: set_passed_over(True))
    if first:
        return _framed(desk, job, [*body, *first], [])
    body += passed_over_notice(desk, job, step)
    if test.begun:
        body.append(results(look, test.result))
        body += [controls.text(look, s.words(system), 17) for s in test.why]
    if len(test.curve) > 1:
        body.append(curve_of(desk, test))
    body += [controls.small(look, s.words(system)) for s in friction_words(job, desk.bench.tables_of(job))]
    body.append(controls.heading(look, "One after another"))
    body += [_row(desk, job, stands, test.pressures) for stands in test.trials]
    to_do = next((t.trial for t in test.trials if not t.done and not t.trial.optional), None)
    foot: list[ft.Control] = []
    if to_do:
        route = f"{job_route(job)}/test/{to_do.id}"
        foot.append(controls.button(look, f"Go on: {to_do.title}", lambda _: desk.go(route), strong=True))
    foot.append(controls.button(look, "Set-up and closing", lambda _: desk.go(step_route(job, STEP))))
    return _framed(desk, job, body, foot)


def _framed(desk: Desk, job: Job, body: list[ft.Control], foot: list[ft.Control]) -> ft.Control:
    look = desk.standing.look
    return frame(
        desk,
        "Pressure test: trials",
        body,
        under=job.name,
        back=step_route(job, STEP),
        tools=(
            units_tool(desk),
            controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),
        ),
        foot=foot,
    )


def before_it(desk: Desk, job: Job, test: WholeTest) -> list[ft.Control]:
    """What is said before pressure is raised: the pressures, what the stand is set to, the energy.

    Args:
        desk: the session.
        job: the job.
        test: the test.
    """
    look, system = desk.standing.look, desk.standing.system
    words = pressure_words(test.pressures)
    said: list[ft.Control] = [controls.text(look, s.words(system), 18) for s in words]
    presets = step_presets(STEP, facts_of(desk.bench, job), desk.bench.shop.means())
    said += [controls.notice(look, s.words(system), "accent") for s in presets]
    return [*said, *stored(desk, test)]


def stored(desk: Desk, test: WholeTest) -> list[ft.Control]:
    """The energy a test stores; nothing while it is not known.

    Args:
        desk: the session.
        test: the test.
    """
    if not test.energy:
        return []
    words = energy_words(test.energy).words(desk.standing.system)
    return [controls.notice(desk.standing.look, words, "unclear")]


def passed_over_notice(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    """That somebody goes on without the cautions; nothing once they are confirmed.

    Args:
        desk: the session.
        job: the job.
        step: the step.
    """
    still = unconfirmed(step, job)
    if not still:
        return []
    words = f"{counted(len(still), 'caution', 'cautions')} not confirmed."
    return [controls.notice(desk.standing.look, words, "beyond")]


def pressure_words(pressures: Pressures) -> list[Sentence]:
    """Rated and proof pressure, and where the relief valve is set.

    Args:
        pressures: of the test.
    """
    if pressures.rated is None or pressures.proof is None or pressures.relief is None:
        return [Sentence("The rated pressure is missing: type it in the set-up, then proof is proposed.")]
    proposed = ", as proposed" if pressures.proposed else ""
    return [
        Sentence(
            f"Rated {{rated}}, proof {{proof}}{proposed}. Relief valve at most {{relief}}. Oil only, never air.",
            {
                "rated": Amount(pressures.rated, "pressure"),
                "proof": Amount(pressures.proof, "pressure"),
                "relief": Amount(pressures.relief, "pressure"),
            },
        )
    ]


def energy_words(energy: Energy) -> Sentence:
    """What a test stores at proof pressure.

    Args:
        energy: by oil, and by air left in.
    """
    return Sentence(
        "At proof pressure {oil} of oil store {oil_j}; a tenth of it left as air would add {air_j}. Stand clear."
        if energy.air_percent == 10
        else "At proof pressure {oil} of oil store {oil_j}; air left in would add {air_j}. Stand clear.",
        {
            "oil": Amount(energy.oil_l * 1000, "volume", -1),
            "oil_j": Amount(energy.oil_j, "energy"),
            "air_j": Amount(energy.air_j, "energy"),
        },
    )


def results(look: Look, result: Result) -> ft.Control:
    """Pass, not proven, fail: always all three, one of them lit.

    Args:
        look: how it looks.
        result: the one.
    """
    boxes: list[ft.Control] = []
    for each in (Result.PASS, Result.NOT_PROVEN, Result.FAIL):
        lit = each is result
        sign = SIGNS[each]
        colour = marks.verdict_colour(look, sign) if lit else look.soft
        inner: list[ft.Control] = [marks.mark(look, sign, 22)] if lit else []
        inner.append(controls.text(look, each.value, 18, bold=lit, color=colour))
        boxes.append(
            ft.Container(
                ft.Row(inner, spacing=6, tight=True, alignment=ft.MainAxisAlignment.CENTER),
                border=ft.Border.all((3 if lit else 1) * look.weight, colour),
                bgcolor=look.raised,
                border_radius=6,
                padding=ft.Padding(6, 12, 6, 12),
                alignment=ft.Alignment.CENTER,
                expand=None if look.scale > 1 else 5 if each is Result.NOT_PROVEN else 3,
            )
        )
    stretched = ft.CrossAxisAlignment.STRETCH
    large = ft.Column(boxes, spacing=GAP, tight=True, horizontal_alignment=stretched)
    return ft.Semantics(
        label=f"Result: {result.value}",
        container=True,
        exclude_semantics=True,
        content=large if look.scale > 1 else ft.Row(boxes, spacing=GAP),
    )


def curve_of(desk: Desk, test: WholeTest) -> ft.Control:
    """The curve of all that was read, and under it the settled hold on a scale of its own.

    Args:
        desk: the session.
        test: the test.
    """
    drawn = pressure_curve(
        test.curve, test.hold, named_pressures(test.pressures), system=desk.standing.system,
        width=column_width(desk) - 32, height=_CURVE,
    )  # fmt: skip
    shown = [marks.drawing(desk.standing.look, drawn)]
    if len(test.settled) > 1:
        hold = settled_curve(
            test.settled, begun_minutes=test.hold[0].minutes, system=desk.standing.system,
            width=column_width(desk) - 32, height=_CURVE,
        )  # fmt: skip
        shown.append(marks.drawing(desk.standing.look, hold))
    return ft.Column(shown, spacing=GAP, tight=True)


def named_pressures(pressures: Pressures) -> dict[str, float]:
    """The pressures a curve is held against, MPa.

    Args:
        pressures: of the test.
    """
    named = {"rated": pressures.rated, "proof": pressures.proof}
    return {name: float(mpa) for name, mpa in named.items() if mpa}


def _row(desk: Desk, job: Job, stands: TrialStands, pressures: Pressures) -> ft.Control:
    look, system, trial = desk.standing.look, desk.standing.system, stands.trial
    mpa = pressures.of(trial.pressure)
    under = Amount(mpa, "pressure").words(system) if mpa else ""
    if stands.says:
        under = stands.says[0].words(system)
    said = stands.result.value if stands.result else "if it can be done" if trial.optional else ""
    leading = marks.mark(look, SIGNS[stands.result]) if stands.result else None
    route = f"{job_route(job)}/test/{trial.id}"
    return controls.row(
        look, trial.title, under, leading=leading, trailing=said, on_click=lambda _: desk.go(route),
        key=f"trial {trial.id}",
    )  # fmt: skip
