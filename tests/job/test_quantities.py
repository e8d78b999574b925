"""How much of an operation there is, basis by basis; the arithmetic by hand, steel at 7.85 kg a litre."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from log import STILL

from inspect_app.job.planned import Cylinder, Found, Plan, Sizes
from inspect_app.job.quantities import BASIS, units_of
from inspect_app.tables.rates import Shop
from inspect_app.trade.measuring.carried import Carried
from inspect_app.trade.measuring.refusal import Refusal

RULES = STILL.operations
SHOP = Shop(
    hour=Decimal(80), tax=Decimal(0), valid_days=30, weld_cm=Decimal(12), blank_share=Decimal("0.7"),
    share_more=Decimal("0.10"),
)  # fmt: skip
CYLINDER = Cylinder(bore_mm=100, rod_mm=56, stroke_mm=1000, closed_mm=1500, outside_mm=120)
FOUND = Sizes(bore=Carried(100.10), bore_smallest=Carried(100.00))
PLANNED = Sizes(bore=Carried(100.25), rod=Carried(55.95), base=Carried(55.85))


def units(basis: str, *, found: Sizes = FOUND, sizes: Sizes = PLANNED, **changed: float | None) -> float:
    operation = replace(next(iter(RULES.by_id.values())), basis=basis)
    return units_of(operation, Plan((), Found(replace(CYLINDER, **changed), found), sizes, RULES), SHOP)


@pytest.mark.parametrize(
    ("basis", "amount"),
    [
        ("each", 1),
        # pi 56 x 1000 / 10⁴ = 17.593 dm², (55.95 - 55.85) / 2 = 50 µm: once the thickness it is priced at
        ("chromed area", 17.593),
        ("honed stock", 250),  # from the smallest: 0.25 / 0.01 x 1000 / 100
        ("bar mass", 29.002),  # pi/4 56² x 1500 = 3.69451 l
        ("tube mass", 40.691),  # pi/4 (120² - 100²) x 1500 = 5.18363 l
        ("blank mass", 4.3158),  # pi/4 100² x 70 = 0.549779 l
        ("weld length", 12),
        ("handled mass", 76.662),  # 1.1 x (29.002 + 40.691)
    ],
)
def test_how_much_there_is_on_each_basis(basis: str, amount: float) -> None:
    assert units(basis) == pytest.approx(amount, rel=1e-4)


def test_every_basis_is_worked_out_here() -> None:
    assert len(BASIS) == 8


def test_a_mass_on_the_nameplate_is_handled_as_it_stands() -> None:
    assert units("handled mass", mass_kg=80) == 80


def test_chrome_that_is_there_and_stock_that_is_not_there_cost_nothing() -> None:
    assert units("chromed area", sizes=replace(PLANNED, base=Carried(55.91))) == pytest.approx(
        17.593 * 20 / 50, rel=1e-4
    )
    assert units("chromed area", sizes=replace(PLANNED, base=Carried(56.00))) == 0
    assert units("honed stock", sizes=replace(PLANNED, bore=Carried(99.99))) == 0


@pytest.mark.parametrize(
    ("basis", "lacks", "says"),
    [
        ("chromed area", "rod_mm", "the rod diameter is not known"),
        ("chromed area", "stroke_mm", "the stroke is not known"),
        ("honed stock", "stroke_mm", "the stroke is not known"),
        ("bar mass", "rod_mm", "the rod diameter is not known"),
        ("bar mass", "closed_mm", "the closed length is not known"),
        ("tube mass", "outside_mm", "the barrel's outside diameter is not known"),
        ("tube mass", "bore_mm", "the bore is not known"),
        ("tube mass", "closed_mm", "the closed length is not known"),
        ("blank mass", "bore_mm", "the bore is not known"),
        ("handled mass", "closed_mm", "the closed length is not known"),
    ],
)
def test_what_is_not_known_is_named(basis: str, lacks: str, says: str) -> None:
    with pytest.raises(Refusal) as refused:
        units(basis, **{lacks: None})
    assert str(refused.value) == says


@pytest.mark.parametrize(
    ("basis", "found", "sizes", "says"),
    [
        (
            "chromed area",
            FOUND,
            replace(PLANNED, base=None),
            "how much chrome is to be built up is not known",
        ),
        ("chromed area", FOUND, replace(PLANNED, rod=None), "how much chrome is to be built up is not known"),
        ("honed stock", FOUND, replace(PLANNED, bore=None), "how much is to be honed out is not known"),
        (
            "honed stock",
            replace(FOUND, bore_smallest=None),
            PLANNED,
            "how much is to be honed out is not known",
        ),
    ],
)
def test_a_size_nobody_measured_is_named(basis: str, found: Sizes, sizes: Sizes, says: str) -> None:
    with pytest.raises(Refusal) as refused:
        units(basis, found=found, sizes=sizes)
    assert str(refused.value) == says
