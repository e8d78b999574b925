"""Calculator of the shelf life of a seal by the cure date on its bag."""

from __future__ import annotations

from datetime import date

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing import shelf_life as shelf

TOPIC = "Gaps, housings and seal materials"


def _shelf_life(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    try:
        on = date.fromisoformat(given.text("on"))
    except ValueError:
        raise Refusal(f"{given.text('on')!r} is no day; write it like 2026-03-02.") from None
    names = given.text("material").replace("+", " ").split()
    for name in names:
        if name not in handbook.seal_materials.materials:
            listed = ", ".join(handbook.seal_materials.materials)
            raise Refusal(f"{name!r} is not a listed material; there are {listed}.")
    life = shelf.shelf_life(
        materials=names,
        cured=given.text("cured") if given.has("cured") else None,
        on=on,
        inspected=given.yes("inspected"),
        groups=handbook.shelf_groups,
    )
    source = next((g.source for g in handbook.shelf_groups if g.material in names), "")
    return (
        Result("verdict", "It is", life.verdict, source=source),
        *((Result("until", "Until", life.until.isoformat()),) if life.until else ()),
        Result("finding", "", life.sentence),
    )


CALCULATORS = (
    Calculator(
        "shelf-life",
        TOPIC,
        "Whether a stored seal may still be fitted, by the cure date on its bag",
        (
            Key("material", "text", "Material, several with + between", note="NBR, or PTFE+NBR"),
            Key(
                "cured",
                "text",
                "Cure date on the bag",
                optional=True,
                note="quarter and year: 3/24 or 3Q2024",
            ),
            Key("on", "text", "The day it is to be fitted", note="2026-03-02"),
            Key("inspected", "choice", "Inspected after its first years", "no", options=("yes", "no")),
        ),
        _shelf_life,
        (shelf.shelf_life, shelf.cure_quarter),
        "years of the group from the first day of the quarter; once more by the extension after an inspection",
        {"material": "NBR", "cured": "3/19", "on": "2026-03-02"},
    ),
)
