"""What is said of the data on a phone alone: whether it is safe there, and that it is gone."""

from __future__ import annotations

import pytest

from inspect_app.alone.told import Mark, Told, handed_words, kept_words, lost_words, mark_of, ready_words


def test_a_mark_comes_back_as_it_was_and_a_damaged_one_is_none() -> None:
    mark = Mark("A", 3, "2026-03-02T08:00:00.000Z", "")
    assert mark_of(mark.text()) == mark
    for damaged in ("", "{", "[]", '{"device": "A"}', mark.text().replace("3", '"three"')):
        assert mark_of(damaged) is None


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (Told(), "0 %. Stay in the network"),
        (Told(fetched=0.619), "61 %"),
        (Told(ready="yes", fetched=1), "Ready without network."),
        (Told(ready="no"), "starts only with a network"),
    ],
)
def test_ready_is_said_when_all_of_it_is_here_and_not_before(told: Told, words: str) -> None:
    assert words in ready_words(told)
    assert ("Ready without network." in ready_words(told)) is (told.ready == "yes")


def test_a_browser_that_promised_nothing_may_delete() -> None:
    assert "may delete" in kept_words(Told(kept=False))
    assert "may delete" not in kept_words(Told(kept=True))
    assert kept_words(Told(kept=None)) == ""  # it has not answered yet


def test_what_came_after_the_handing_over_is_nowhere_else() -> None:
    early, late = "2026-03-02T08:00:00.000Z", "2026-03-02T09:00:00.000Z"
    assert handed_words(Mark("A", 0, "", ""), "") == ""
    assert "nowhere else" in handed_words(Mark("A", 1, early, ""), "")
    assert "nowhere else" in handed_words(Mark("A", 1, late, early), "8:00")
    assert handed_words(Mark("A", 1, early, late), "9:00") == "Handed over last on 9:00."


def test_what_is_gone_is_counted() -> None:
    assert "It held 1 job, entered last on 8:00, never handed over" in lost_words(
        Mark("A", 1, "x", ""), "8:00", ""
    )
    assert "It held 2 jobs, entered last on 8:00, handed over last on 7:00" in lost_words(
        Mark("A", 2, "x", "y"), "8:00", "7:00"
    )
