"""Photographs keep their numbers whatever is taken back or comes in from elsewhere; marks are data beside them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.entries.pictured import Mark

D = Decimal
PHOTO = {
    "sha256": "s", "original_sha256": "o", "width": 2048, "height": 1536, "taken_at": "", "of": "J", "caption": "",
}  # fmt: skip
MARK = {
    "photo": "s", "shape": "arrow", "points": [["0.1", "0.2"], ["0.3", "0.4"]], "text": "", "typed": "", "value": "",
    "within": "0.006",
}  # fmt: skip


def folded(*written: tuple[str, dict[str, Any]]) -> Job:
    return fold(
        "J",
        [
            Entry(f"e{n}", "J", "D", f"2026-03-02T08:00:{n:02}.000Z", "AB", kind, body)
            for n, (kind, body) in enumerate(written)
        ],
    )


def numbers(*written: tuple[str, dict[str, Any]]) -> list[str]:
    return [p.number for p in folded(*written).photos]


def test_photographs_of_an_older_log_are_numbered_as_they_came() -> None:
    assert numbers(("photo", PHOTO), ("photo", PHOTO), ("photo", PHOTO)) == ["1", "2", "3"]


def test_one_taken_back_leaves_its_number_to_no_other() -> None:
    told = [("photo", {**PHOTO, "number": "1"}), ("photo", {**PHOTO, "number": "2"}), ("undo", {"of": "e1"})]
    job = folded(*told)
    assert (numbers(*told), job.photographed) == (["1"], 2)
    assert numbers(("photo", PHOTO), ("undo", {"of": "e0"}), ("photo", PHOTO)) == ["2"]


def test_of_two_phones_that_took_the_same_number_the_later_has_a_letter() -> None:
    three = [("photo", {**PHOTO, "number": n}) for n in ("4", "4", "4", "5")]
    assert numbers(*three) == ["4", "4b", "4c", "5"]


@pytest.mark.parametrize("number", ["", "x", "-3", "9" * 5000, None, ["1"]])
def test_a_number_that_is_none_never_stops_a_job_from_being_read(number: object) -> None:
    job = folded(("photo", {**PHOTO, "number": number}), ("undo", {"of": "e0"}), ("photo", PHOTO))
    assert [p.number for p in job.photos] == ["2"]


def test_a_photograph_says_who_took_it_in_and_when() -> None:
    (photo,) = folded(("photo", PHOTO)).photos
    assert (photo.by, photo.at) == ("AB", "2026-03-02T08:00:00.000Z")


def test_marks_stand_on_their_photograph_until_they_are_taken_back_whichever_came_first() -> None:
    known = {**MARK, "shape": "scale", "typed": "2 in", "value": "50.8"}
    job = folded(("photo-mark", MARK), ("photo", PHOTO), ("photo-mark", known))
    points = ((D("0.1"), D("0.2")), (D("0.3"), D("0.4")))
    assert job.pictured.on("s") == (
        Mark("e0", "arrow", points, "", "", None, D("0.006"), "AB"),
        Mark("e2", "scale", points, "", "2 in", D("50.8"), D("0.006"), "AB"),
    )
    assert job.pictured.on("other") == ()
    left = folded(("photo", PHOTO), ("photo-mark", MARK), ("photo-mark", known), ("undo", {"of": "e1"}))
    assert [m.shape for m in left.pictured.on("s")] == ["scale"]


def test_a_mark_of_a_newer_version_is_counted_and_left_alone() -> None:
    job = folded(
        ("photo", PHOTO), ("photo-mark", {**MARK, "shape": "spiral"}), ("photo-mark", {**MARK, "points": []})
    )
    assert (job.unknown, job.pictured.on("s")) == (2, ())
