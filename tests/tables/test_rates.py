"""What work costs: the shipped example says that it is one, the shop's file takes its place, slips are refused."""

from __future__ import annotations

import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.operations import Operations
from inspect_app.tables.rates import FILE, Rates, load_rates


@pytest.fixture(scope="module")
def operations() -> Operations:
    return load().operations


def of(operations: Operations, shop: Path | None = None) -> Rates:
    return load_rates(shipped_folder(), shop, operations)


def test_the_shipped_rates_are_an_invented_example_and_say_so(operations: Operations) -> None:
    rates = of(operations)
    assert rates.invented
    assert "invented example" in rates.notice


def test_the_shops_own_rates_take_their_place_and_nothing_has_to_be_said(
    operations: Operations, tmp_path: Path
) -> None:
    text = (shipped_folder() / FILE).read_text(encoding="utf-8")
    ours = text.replace("\ninvented_example = true", "\ninvented_example = false").replace(
        "hour = 71.00", "hour = 64.50"
    )
    (tmp_path / FILE).write_text(ours, encoding="utf-8")
    rates = of(operations, tmp_path)
    assert (rates.notice, rates.shop.hour) == ("", Decimal("64.5"))


def test_every_operation_that_may_be_offered_has_a_price(operations: Operations) -> None:
    assert operations.never_done == {"straighten-flame"}
    assert set(of(operations).work) == set(operations.by_id) - operations.never_done


def test_a_price_changes_no_limit(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    before = load(folder).limits_hash
    (folder / FILE).write_text("invented_example = true\n", encoding="utf-8")
    assert load(folder).limits_hash == before


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("hour = 71.00", 'hour = "71,00"', "shop.hour", "above 0"),
        ("hour = 71.00", "hour = 71.00\nhourly = 1", "shop", "hourly"),
        ("tax = 0.19\n", "", "shop", "lacks tax"),
        ("margin = 0.10", "margin = 1.5", "shop.margin", "below 1"),
        ("repair_upto = 0.5", "repair_upto = 0.9", "compare.repair_upto", "smaller"),
        ('operation = "hone"', 'operation = "horn"', "work horn", "'horn'"),
        ('operation = "hone"', 'operation = "reseal"', "work reseal", "stands twice"),
        ('operation = "hone"', 'operation = "reseal"', "work hone", "is missing"),
        ("invented_example = true", 'invented_example = "no"', "invented_example", "true"),
        ("[coin]", "[coins]", "coin", "[coin]"),
    ],
)
def test_a_slip_is_refused_by_key(
    operations: Operations, tmp_path: Path, old: str, new: str, key: str, words: str
) -> None:
    text = (shipped_folder() / FILE).read_text(encoding="utf-8")
    body = text[text.index("\ninvented_example") :]
    assert old in body
    (tmp_path / FILE).write_text(body.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError) as refused:
        of(operations, tmp_path)
    found = [f for f in refused.value.faults if (f.file, f.key) == (FILE, key)]
    assert any(words in f.sentence for f in found), refused.value
