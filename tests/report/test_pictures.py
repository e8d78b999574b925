"""The sheet of all photographs of a job, and those asked for of a defect that were not taken."""

from __future__ import annotations

from log import SHIPPED, Log

from inspect_app.job.pictured import beside, not_taken, open_views, shown_on
from inspect_app.paper.blocks import Cards, Words
from inspect_app.report.pictures import contact_sheet, photos_of
from inspect_app.trade.measuring.refusal import in_words

CYLINDER = SHIPPED.cylinders["double-acting"]
BODY = {
    "sha256": "ab" * 32,
    "original_sha256": "o",
    "width": 2048,
    "height": 1536,
    "taken_at": "2026-03-02T09:15:00",
}


def told() -> tuple[Log, str]:
    """A score at 300 mm, 6 o'clock; its overview and close-up, and the cylinder as it came."""
    log = Log(rod="50", stroke="600")
    score = log.defect("rod-surface", "score-along", zone="seal travel", length="40")
    log.write("photo", **BODY, of=score, caption="Score, lengthwise", number="1", view="overview")
    log.write("photo", **{**BODY, "taken_at": ""}, of="J", caption="as it came", number="2")
    log.write("photo", **BODY, of=score, caption="Score, lengthwise", number="3", view="close-up")
    return log, score


def test_every_photograph_stands_on_the_sheet_with_number_place_photographer_and_time() -> None:
    log, _ = told()
    section = contact_sheet(log.job(), CYLINDER, "inch")
    assert section is not None
    assert section.title == "3 photographs, all that were taken"
    cards = section.blocks[0]
    assert isinstance(cards, Cards)
    said = [(c.number, c.title, c.paragraphs[0][1]) for c in cards.cards]
    # 300 mm are 11.81 in; the camera of the second told no time, so the log's
    assert said[0][:2] == ("1", "Score, lengthwise")
    assert said[0][2].startswith("Overview, 11.81 in, 6 o'clock, seal travel. AB, 2026-03-02 09:15")
    assert said[1][:2] == ("2", "as it came")
    assert said[1][2].startswith("AB, 2026-03-02 08:")
    assert said[2][2].startswith("Close-up, ")
    assert all(c.photo for c in cards.cards)


def test_a_job_without_photographs_has_no_sheet() -> None:
    assert contact_sheet(Log().job(), CYLINDER, "metric") is None


def test_what_was_asked_for_and_not_taken_is_said_with_who_declined() -> None:
    log, score = told()
    assert open_views(log.job(), score) == {"middle": ""}
    assert str(*not_taken(log.job(), CYLINDER)) == "Score, lengthwise, 300 mm, 6 o'clock: no middle."
    no = log.write("photo-declined", of=score, view="middle")
    assert open_views(log.job(), score) == {"middle": "AB"}
    section = contact_sheet(log.job(), CYLINDER, "metric")
    assert section is not None
    words = section.blocks[-2]
    assert isinstance(words, Words)
    assert words.text.endswith("Score, lengthwise, 300 mm, 6 o'clock: no middle (declined, AB).")
    log.undo(no)
    assert open_views(log.job(), score) == {"middle": ""}


def test_of_a_defect_nobody_was_asked_about_nothing_is_missing() -> None:
    log = Log()
    pit = log.defect("rod-surface", "pit")
    log.write("photo", **BODY, of=pit, caption="")
    assert not_taken(log.job(), CYLINDER) == []


def test_marks_come_with_the_photograph_and_words_that_hold_braces_stay_as_they_are() -> None:
    log, score = told()
    points = [["0.1", "0.1"]]
    log.write(
        "photo-mark",
        photo="ab" * 32,
        shape="text",
        points=points,
        text="{x} ends",
        typed="",
        value="",
        within="0",
    )
    first, _ = photos_of(log.job(), score, "metric")
    assert [m.says for m in first.marks] == ["{x} ends"]
    assert first.caption == "Photograph 1, Score, lengthwise, AB, 2026-03-02 09:15, file abababab."
    title, where = shown_on(log.job(), CYLINDER, log.job().photos[0])
    assert (title, in_words(where, "metric")) == (
        "Score, lengthwise",
        "Overview, 300 mm, 6 o'clock, seal travel",
    )


def test_a_photograph_is_compared_first_with_the_same_check_in_another_state() -> None:
    log, score = told()
    left = log.write(
        "defect", check="rod-surface", defect="score-along", station="300", clock="6", zone="", measures={}, note="",
        survey="as-left",
    )  # fmt: skip
    log.write("photo", **BODY, of=left, caption="", number="4")
    by_number = {p.number: p for p in log.job().photos}
    assert [p.number for p in beside(log.job(), by_number["1"])] == ["4", "3", "2"]
    assert [p.number for p in beside(log.job(), by_number["4"])] == ["1", "3", "2"]
    assert score != left
    _, where = shown_on(log.job(), CYLINDER, by_number["4"])
    assert in_words(where, "metric").endswith("as left")
