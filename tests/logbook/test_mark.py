"""The mark of a log is whole whenever its writing stops, and never tells less than was told before."""

from __future__ import annotations

from pathlib import Path

import pytest

from inspect_app.logbook.mark import PLACE_BYTES, Mark, Reach

STEPS = [Reach().on([(n, f"link {n}") for n in range(1, last + 1)]) for last in (1, 2, 12, 13, 400)]


@pytest.mark.parametrize("torn", [1, 7, 60, 100, 180, PLACE_BYTES - 1])
def test_a_mark_torn_while_it_is_written_is_the_one_before(torn: int, tmp_path: Path) -> None:
    mark = Mark(tmp_path / "logbook.mark")
    mark.begin(Reach(), "Something was told.")
    before = Reach()
    for reach in STEPS:
        stood = mark.file.read_bytes()
        mark.write(reach)
        now = mark.file.read_bytes()
        (place,) = (n for n in (0, PLACE_BYTES) if now[n : n + PLACE_BYTES] != stood[n : n + PLACE_BYTES])
        mark.file.write_bytes(now[: place + torn] + stood[place + torn :])
        assert Mark(mark.file).read() in (before, reach)
        assert Mark(mark.file).told() == ["Something was told."]
        mark.file.write_bytes(now)
        assert Mark(mark.file).read() == reach
        before = reach


def test_a_log_with_other_links_or_another_order_has_another_digest() -> None:
    links = [(1, "a"), (2, "b"), (3, "c")]
    whole = Reach().on(links)
    assert whole == Reach().on(links[:1]).on(links[1:])
    others = [
        links[:2],
        [(1, "b"), (2, "a"), (3, "c")],
        [(1, "a"), (3, "b"), (4, "c")],
        [(1, "x"), *links[1:]],
    ]
    assert len({whole.digest, *(Reach().on(other).digest for other in others)}) == 5


def test_a_place_that_was_never_written_or_is_no_mark_tells_nothing(tmp_path: Path) -> None:
    assert Mark(tmp_path / "none").read() is None
    assert Mark(tmp_path / "none").told() == []
    for content in (b"", bytes(2 * PLACE_BYTES), b"x" * 3 * PLACE_BYTES, b"\xff" * PLACE_BYTES):
        (tmp_path / "mark").write_bytes(content)
        assert Mark(tmp_path / "mark").read() is None
