"""What comes in by any door, spoiled: taken or refused in words, never a traceback."""

from __future__ import annotations

import re

import pytest
from conftest import EXAMPLES
from hostile import DOORS, spoiled
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

ANY = st.integers(0, 1_000_000)
COST = {"readings-file": 5, "checklists": 5, "limits": 2, "prices": 1}
"""How many times fewer examples of what takes longer to read."""


@pytest.mark.parametrize("door", DOORS)
def test_what_is_sound_is_taken(door: str) -> None:
    for sample in DOORS[door].samples():
        assert not DOORS[door].answer(sample)


@pytest.mark.parametrize("door", DOORS)
def test_what_is_spoiled_is_taken_or_refused_in_words(door: str) -> None:
    samples = DOORS[door].samples()

    @settings(max_examples=max(4, EXAMPLES // COST.get(door, 1)), suppress_health_check=list(HealthCheck))
    @given(which=ANY, edits=st.lists(st.tuples(ANY, ANY, ANY), min_size=1, max_size=3))
    def spoil(which: int, edits: list[tuple[int, int, int]]) -> None:
        refused = DOORS[door].answer(spoiled(samples[which % len(samples)], edits))
        assert not refused or (refused.strip() and DOORS[door].names in refused)

    spoil()


@pytest.mark.parametrize(
    ("file", "key"),
    [("limits/rod.toml", key) for key in ("source", "cure", "level", "beyond", "check")]
    + [("gauges.toml", key) for key in ("measures", "states", "source")],
)
def test_a_list_where_a_word_belongs_is_named(file: str, key: str) -> None:
    sample = next(s for s in DOORS["checklists"].samples() if s.startswith(b"# " + file.encode()))
    listed = re.sub(rf"^{key} = .*$".encode(), f"{key} = [[]]".encode(), sample, count=1, flags=re.MULTILINE)
    assert listed != sample
    assert f".{key}: found" in DOORS["checklists"].answer(listed)
