"""Every computation of the trade under a name and keys, without a job: the list, and how one is run.

A calculator is a row: what it asks for, the trade functions it rests on, and a short function that binds
the two. Formulas stay in trade/, tables in checklists/; sources and validity come from the docstrings.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping

from inspect_app.calculators.answer import Answer, compute
from inspect_app.calculators.shape import Calculator
from inspect_app.calculators.topics.form import sections, straightness, surfaces
from inspect_app.calculators.topics.joints import preloaded, tightening
from inspect_app.calculators.topics.leakage import leaking
from inspect_app.calculators.topics.measuring import readings, sizes, units, verdicts
from inspect_app.calculators.topics.money import repair_or_new
from inspect_app.calculators.topics.sealing import housings, orings, storing
from inspect_app.calculators.topics.strength import barrels, columns, hydraulics, kinds, lifting
from inspect_app.tables.standards.handbook import Handbook, shipped_handbook
from inspect_app.trade.measuring.refusal import Refusal

CALCULATORS: tuple[Calculator, ...] = (
    *sizes.CALCULATORS,
    *sections.CALCULATORS,
    *straightness.CALCULATORS,
    *readings.CALCULATORS,
    *verdicts.CALCULATORS,
    *surfaces.CALCULATORS,
    *hydraulics.CALCULATORS,
    *barrels.CALCULATORS,
    *columns.CALCULATORS,
    *kinds.CALCULATORS,
    *lifting.CALCULATORS,
    *preloaded.CALCULATORS,
    *tightening.CALCULATORS,
    *orings.CALCULATORS,
    *housings.CALCULATORS,
    *storing.CALCULATORS,
    *leaking.CALCULATORS,
    *repair_or_new.CALCULATORS,
    *units.CALCULATORS,
)
"""All of them, by topic in the order of the work."""


def named(name: str) -> Calculator:
    """The calculator of this name.

    Args:
        name: as in the list.
    Raises:
        Refusal: names the most alike.

    >>> named("fit").keys[0].title
    'Tolerance class'
    """
    for calculator in CALCULATORS:
        if calculator.name == name:
            return calculator
    alike = difflib.get_close_matches(name, [c.name for c in CALCULATORS], n=3, cutoff=0.5)
    meant = f" Did you mean {' or '.join(alike)}?" if alike else ""
    raise Refusal(f"There is no calculator {name!r}.{meant} `inspect-app calc` lists them all.")


def run(
    name: str, typed: Mapping[str, str], *, system: str = "metric", handbook: Handbook | None = None
) -> Answer:
    """What a calculator answers to what was typed for its keys.

    Args:
        name: which calculator.
        typed: what was typed, by key.
        system: "metric" or "inch": how numbers without a unit are read.
        handbook: the tables; the shipped ones if None.
    Raises:
        Refusal: no such calculator, a key unknown or missing, or a value that cannot be used.

    >>> run("fit", {"class": "f7", "size": "63mm"}).results[0].value   # ISO 286-2: 63 f7 is -30/-60 µm
    Decimal('62.940')
    """
    return compute(named(name), typed, systems={"": system}, handbook=handbook or shipped_handbook())
