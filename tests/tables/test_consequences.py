"""What a customer is told: a word for everything that can be found, none that only a mechanic knows, slips refused."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from inspect_app.tables import load, shipped_folder
from inspect_app.tables.consequences import FILE, Consequences, found_by, load_consequences
from inspect_app.tables.faults import TableError

TABLES = load()
JARGON = re.compile(
    r"\b(Ra|Rz|Rt|TIR|IT\d*|H\d+|f\d+|HRC|NBR|FKM|PTFE|MPa|ovality|oval|runout|run-out|taper|gland|land|clock)\b"
)
"""What a customer does not know: roughness and dial grades, classes of fit, the trade's names."""


def told(folder: Path | None = None) -> Consequences:
    return load_consequences(folder or shipped_folder(), TABLES.cylinders.values(), TABLES.operations)


def texts(words: Consequences) -> list[str]:
    """Every sentence of the file."""
    of = {c.id: c for c in words.of.values()}.values()
    said = [text for c in of for text in (c.title, c.saw, c.does, c.if_not)]
    tables = (words.says, words.called, words.where, words.work, words.other)
    return [*said, *(text for table in tables for text in table.values())]


def test_everything_that_can_be_found_is_told_once() -> None:
    pairs = set(found_by(TABLES.cylinders.values()))
    looks = {(c.id, d) for x in TABLES.cylinders.values() for c in x.checks for d in c.look}
    assert looks <= pairs
    assert set(told().of) == pairs
    assert len(pairs) > 150


def test_no_word_that_only_a_mechanic_knows_reaches_a_customer() -> None:
    said = texts(told())
    assert len(said) > 200
    assert [text for text in said if JARGON.search(text)] == []
    # the pattern does see them
    assert all(JARGON.search(text) for text in ("Ra 0.4 µm", "a TIR of 1", "round to IT8", "the ovality"))


def test_each_sentence_ends_and_each_title_does_not() -> None:
    every = {c.id: c for c in told().of.values()}.values()
    for c in every:
        assert all(text.endswith(".") and text[0].isupper() for text in (c.saw, c.does, c.if_not)), c.id
        assert not c.title.endswith("."), c.id


def test_what_a_customer_is_told_judges_nothing(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    (folder / FILE).write_text("[says]\n", encoding="utf-8")
    assert load(folder).limits_hash == TABLES.limits_hash


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('finds = ["thread-damage", "stretched", "stripped"]\nsaw = "The thread of the rod',
         'finds = ["thread-damage", "stretched"]\nsaw = "The thread of the rod',
         "rod-thread-fit, stripped: is told nowhere; add it to a consequence."),
        ('id = "rod-marks"', 'id = "rod-scratch"', "consequence rod-scratch: stands twice; rename one."),
        ('finds = ["pit", "dent"]', 'finds = ["pit", "dent", "rust"]',
         "rust of rod-surface stands at rod-marks too; keep one."),
        ('checks = ["rod-chrome"]', 'checks = ["rod-chrome", "rod-shine"]',
         "consequence rod-thin-layer.checks: found 'rod-shine', at which none of its finds can be; mend it."),
        ('finds = ["roughness"]', 'finds = ["roughness", "crack"]', ".finds: found 'crack', which none of its checks"),
        ('hone = "Barrel: grind', 'home = "Barrel: grind', "work.home: found 'home'; allowed are "),
        ('hone = "Barrel: grind', 'home = "Barrel: grind', "work.hone: is missing; say what is proposed"),
        ('depth = "depth"\n', "", "called.depth: is missing; say what this size is called."),
        ('saw = "We looked', 'seen = "We looked', "other.saw: is missing; say it in plain words."),
        ('groove = "in a seal', 'grove = "in a seal', "where.grove: found 'grove'; allowed are "),
        ('length = "{value} long"', "length = 3", "says: found {"),
        ('length = "{value} long"', 'length = "{size} long"',
         "says.length: found '{size} long' with braces; only {value} may stand there."),
    ],
)  # fmt: skip
def test_a_slip_is_named_with_the_place_and_what_would_be_right(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    text = (folder / FILE).read_text(encoding="utf-8")
    assert old in text
    (folder / FILE).write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError) as fault:
        told(folder)
    assert says in str(fault.value)
