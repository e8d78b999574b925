"""How much of an operation there is on one cylinder: the dimension its cost grows with; knows no price."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from inspect_app.job.planned import Cylinder, Plan
from inspect_app.tables.operations import Operation
from inspect_app.tables.rates import Shop
from inspect_app.trade.form.clean_up import chrome_built_um
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money.bases import chromed_area_dm2, honed_stock_steps
from inspect_app.trade.strength.mass import handled_mass_kg, steel_mass_kg

CHROME_UM = 50
"""Chrome is priced by the area at this thickness, µm."""


def units_of(operation: Operation, plan: Plan, shop: Shop) -> float:
    """How many units of its basis an operation has on this cylinder.

    Args:
        operation: the operation.
        plan: the cylinder as planned, of a stage or side its own.
        shop: what the shop takes where nobody said.
    Raises:
        Refusal: a sentence of what is not known.
    """
    return BASIS[operation.basis](plan, shop)


def _known(value: float | None, what: str) -> float:
    if value is None:
        raise Refusal(f"{what} is not known")
    return value


def _chromed(plan: Plan, shop: Shop) -> float:
    cylinder, sizes = plan.found.cylinder, plan.sizes
    rod, stroke = _known(cylinder.rod_mm, "the rod diameter"), _known(cylinder.stroke_mm, "the stroke")
    if sizes.base is None or sizes.rod is None:
        raise Refusal("how much chrome is to be built up is not known")
    built = max(0.0, chrome_built_um(finished_mm=sizes.rod.value, ground_mm=sizes.base.value))
    return chromed_area_dm2(diameter_mm=rod, length_mm=stroke) * built / CHROME_UM


def _honed(plan: Plan, shop: Shop) -> float:
    stroke = _known(plan.found.cylinder.stroke_mm, "the stroke")
    if plan.sizes.bore is None or plan.found.sizes.bore_smallest is None:
        raise Refusal("how much is to be honed out is not known")
    stock = max(0.0, plan.sizes.bore.value - plan.found.sizes.bore_smallest.value)
    return honed_stock_steps(stock_mm=stock, length_mm=stroke)


def rod_kg(cylinder: Cylinder) -> float:
    """Mass of the rod as a bar as long as the closed cylinder, kg.

    Args:
        cylinder: nominal sizes.
    Raises:
        Refusal: what is not known.
    """
    return steel_mass_kg(
        outside_mm=_known(cylinder.rod_mm, "the rod diameter"),
        length_mm=_known(cylinder.closed_mm, "the closed length"),
    )


def barrel_kg(cylinder: Cylinder) -> float:
    """Mass of the barrel as a tube as long as the closed cylinder, kg.

    Args:
        cylinder: nominal sizes.
    Raises:
        Refusal: what is not known.
    """
    return steel_mass_kg(
        outside_mm=_known(cylinder.outside_mm, "the barrel's outside diameter"),
        inside_mm=_known(cylinder.bore_mm, "the bore"),
        length_mm=_known(cylinder.closed_mm, "the closed length"),
    )


def whole_kg(cylinder: Cylinder, shop: Shop) -> float:
    """Mass to be handled: off the nameplate, or rod and barrel and a share more, kg.

    Args:
        cylinder: nominal sizes.
        shop: the share for what nobody weighed.
    Raises:
        Refusal: what is not known.
    """
    if cylinder.mass_kg is not None:
        return cylinder.mass_kg
    return handled_mass_kg(rod_kg(cylinder), barrel_kg(cylinder), share_more=float(shop.share_more))


def _blank(plan: Plan, shop: Shop) -> float:
    cylinder = plan.found.cylinder
    bore = _known(cylinder.blank_mm or cylinder.bore_mm, "the bore")
    return steel_mass_kg(outside_mm=bore, length_mm=bore * float(shop.blank_share))


BASIS: Mapping[str, Callable[[Plan, Shop], float]] = {
    "each": lambda plan, shop: 1.0,
    "chromed area": _chromed,
    "honed stock": _honed,
    "bar mass": lambda plan, shop: rod_kg(plan.found.cylinder),
    "blank mass": _blank,
    "tube mass": lambda plan, shop: barrel_kg(plan.found.cylinder),
    "weld length": lambda plan, shop: float(shop.weld_cm),
    "handled mass": lambda plan, shop: whole_kg(plan.found.cylinder, shop),
}
"""How much there is, by the operation's basis."""
