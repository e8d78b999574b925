"""How a line stands with its orders, and what is summed over jobs; counts and dates by hand, ISO 2230 for the shelf."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_app.entries.seals import Offer, Order, Ordering, Question, Receipt
from inspect_app.job.seals.across import to_order_today
from inspect_app.job.seals.inputs import Closing, CylinderState, Duty
from inspect_app.job.seals.line import Dimension, Doubt, Made, SealLine
from inspect_app.job.seals.standing import Standing, State, standing_of
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.sealing.pairings import Objection

HANDBOOK = shipped_handbook()
WHERE = ("gland-static-ring", "gland")
RING = SealLine(
    *WHERE, title="Static ring", state="as it is", need="must", seal="O-ring", ring=Sentence("AS568-343"),
    made=(Made("ring", "NBR", "70 Shore A"),), quantity=3,
)  # fmt: skip
DOUBT = Doubt(Objection("memory", Sentence("Quoted from memory."), Sentence("confirm it")))
WHAT = "O-ring AS568-343; NBR 70 Shore A"
TODAY = "2026-11-27"
CYLINDER = CylinderState("double-acting")


def order(id_: str = "o1", quantity: int = 3, promised: str = "", what: str = WHAT) -> Order:
    return Order(
        id_, WHERE, what, quantity, "Example Seals", "", None, promised, "MT", f"{TODAY}T08:00:00.000Z"
    )


def came(quantity: int, cured: str = "3/25", wrong: str = "", of: str = "o1") -> Receipt:
    return Receipt("r", of, quantity, cured, "B-1", wrong, "MT", f"{TODAY}T09:00:00.000Z")


def offer(accepted: bool | None = None, offers: str = "NBR 80", promised: str = "") -> Offer:
    words = "" if accepted is None else "seen"
    return Offer("f1", "o1", offers, None, promised, "MT", "", accepted, words, "KM")


def stands(
    *things: Order | Offer | Receipt, line: SealLine = RING, reassembly: str = "", state: CylinderState = CYLINDER
) -> Standing:  # fmt: skip
    ordering = Ordering(
        orders={t.id: t for t in things if isinstance(t, Order)},
        offers={t.id: t for t in things if isinstance(t, Offer)},
        receipts=tuple(t for t in things if isinstance(t, Receipt)),
        reassembly=reassembly,
    )
    return standing_of(line, WHAT, ordering, state, HANDBOOK, TODAY)


@pytest.mark.parametrize(
    ("things", "state", "missing", "here", "to_come"),
    [
        ((), State.READY, 3, 0, 0),
        ((order(),), State.ORDERED, 0, 0, 3),
        ((order(quantity=2),), State.READY, 1, 0, 2),  # one more is to be ordered
        ((order(), came(2)), State.PART, 0, 2, 1),
        ((order(), came(2), came(1)), State.RECEIVED, 0, 3, 0),
        ((order(), came(2), came(1, wrong="the wrong section")), State.WRONG, 1, 2, 0),
        ((order(), came(3, wrong="all too hard"), order("o2")), State.ORDERED, 0, 0, 3),
        ((order(), offer()), State.OFFERED, 0, 0, 3),
        ((order(), offer(accepted=True)), State.ORDERED, 0, 0, 3),
        ((order(), offer(accepted=False)), State.READY, 3, 0, 0),  # the order is off
    ],
)
def test_a_line_stands_by_what_is_here_and_to_come(
    things: tuple[Order, ...], state: State, missing: int, here: int, to_come: int
) -> None:
    found = stands(*things)
    assert (found.state, found.missing, found.here, found.to_come) == (state, missing, here, to_come)


def test_a_line_in_doubt_or_without_a_count_cannot_be_ordered() -> None:
    assert stands(line=replace(RING, doubts=(DOUBT,))).state is State.DOUBT
    assert stands(line=replace(RING, quantity=None)).missing is None
    assert stands(line=replace(RING, quantity=None)).state is State.DOUBT
    # what was ordered goes its way; the doubt that came up since stands beside it
    later = stands(order(), line=replace(RING, doubts=(DOUBT,)))
    assert (later.state, later.open_doubts) == (State.ORDERED, (DOUBT,))


def test_what_was_ordered_and_is_no_longer_what_the_list_says_is_a_doubt() -> None:
    other = stands(order(what="O-ring AS568-342; NBR 70 Shore A"))
    (doubt,) = other.open_doubts
    assert doubt.objection.rule == "ordered-other"
    assert "Ordered was: O-ring AS568-342" in str(doubt.objection.sentence)
    assert not stands(order(what="O-ring AS568-342"), offer(accepted=False)).doubts


# ISO 2230, group B, NBR: 7 years, 3 more once inspected; from the first day of the quarter on the bag
@pytest.mark.parametrize(
    ("cured", "rule", "stop"),
    [
        ("1/20", "", False),  # to 1 January 2027
        ("4/19", "shelf-life", False),  # 7 years ended on 1 October 2026: inspect
        ("4/16", "shelf-life", True),  # 10 years ended on 1 October 2026
        ("", "shelf-life", False),  # no date is a doubt, not a pass
        ("1/27", "shelf-life", False),  # after today: read the bag again
    ],
)
def test_what_came_is_held_against_its_shelf_life_on_that_day(cured: str, rule: str, stop: bool) -> None:
    found = stands(order(), came(3, cured))
    assert [(d.objection.rule, d.objection.stop) for d in found.doubts] == ([(rule, stop)] if rule else [])
    assert found.state is State.RECEIVED
    assert found.fit_to_go_in is not bool(rule)


def test_somebody_inspects_an_old_one_and_says_so_but_nobody_passes_one_that_is_past() -> None:
    (old,) = stands(order(), came(3, "4/19")).doubts
    inspected = {(*WHERE, "shelf-life", str(old.objection.sentence)): Closing("KM", "inspected, supple")}
    assert stands(order(), came(3, "4/19"), state=replace(CYLINDER, closed=inspected)).fit_to_go_in
    (past,) = stands(order(), came(3, "4/16")).doubts
    passed = {(*WHERE, "shelf-life", str(past.objection.sentence)): Closing("KM", "looks fine")}
    assert not stands(order(), came(3, "4/16"), state=replace(CYLINDER, closed=passed)).fit_to_go_in


def test_a_rubber_that_was_accepted_instead_ages_by_its_own_group() -> None:
    # FKM, group C: 10 years from 1 October 2016 ended; group A, EU: 5 years
    assert stands(order(), offer(accepted=True, offers="FKM 75"), came(3, "1/17")).fit_to_go_in
    assert not stands(order(), offer(accepted=True, offers="two of EU 93"), came(3, "1/20")).fit_to_go_in


IN_OIL = replace(CYLINDER, duty=Duty("HM", coldest_c=-10, hottest_c=60))


def test_what_is_offered_is_held_against_the_fluid_and_no_word_passes_what_it_forbids() -> None:
    # seal-fluid-table: mineral oil swells EPDM, at any heat; FKM stands it. Water-glycol: NBR fits, warm AU does not
    for accepted in (None, True):
        (doubt,) = stands(order(), offer(accepted, "EPDM 70"), state=IN_OIL).open_doubts
        assert (doubt.objection.rule, doubt.objection.stop) == ("other-material", True)
        assert str(doubt.objection.sentence).startswith("Offered is EPDM 70: EPDM is not for HM")
        closed = {(*WHERE, "other-material"): Closing("KM", "I know better")}
        passed = stands(order(), offer(accepted, "EPDM 70"), came(3), state=replace(IN_OIL, closed=closed))
        assert not passed.fit_to_go_in
    assert stands(order(), offer(True, "FKM 75"), came(3), state=IN_OIL).fit_to_go_in
    warm = replace(CYLINDER, duty=Duty("HFC", coldest_c=0, hottest_c=50))
    assert stands(order(), offer(True, "AU 93"), state=warm).open_doubts[0].objection.stop
    # refused, the order is off; while nobody knows the fluid nothing is said of it
    assert not stands(order(), offer(False, "EPDM 70"), state=IN_OIL).doubts
    assert not stands(order(), offer(True, "EPDM 70")).doubts


def test_what_was_ordered_before_the_fluid_was_known_is_held_against_it_too() -> None:
    rules = {d.objection.rule for d in stands(order(what="O-ring; EPDM 70"), state=IN_OIL).open_doubts}
    assert rules == {"ordered-other", "other-material"}


def test_what_is_here_does_not_go_in_while_its_line_is_stopped() -> None:
    stop = Doubt(Objection("squeeze", Sentence("Nothing is left."), Sentence("rework the groove"), stop=True))
    assert stands(order(), came(3)).fit_to_go_in
    assert not stands(order(), came(3), line=replace(RING, doubts=(stop,))).fit_to_go_in
    assert stands(order(), came(3), line=replace(RING, doubts=(DOUBT,))).fit_to_go_in


@pytest.mark.parametrize(
    ("things", "reassembly", "late"),
    [
        ((order(promised="2026-11-26"),), "", "promised 2026-11-26, not here"),
        ((order(promised="2026-11-27"),), "", ""),  # today is not late yet
        ((order(promised="2026-12-05"),), "2026-12-04", "promised 2026-12-05, after the reassembly on 2026-12-04"),
        ((order(promised="2026-12-04"),), "2026-12-04", ""),
        ((order(promised="2026-11-26"), came(3)), "", ""),
        ((order(promised="2026-11-26"), came(2)), "", "promised 2026-11-26, not here"),
        ((order(promised="2026-11-26"), offer(True, promised="2026-11-30")), "", ""),
        ((), "2026-11-27", "not ordered, reassembly 2026-11-27"),
        ((order(),), "2026-11-27", "not here, reassembly 2026-11-27"),
        ((), "2026-11-28", ""),
    ],
)  # fmt: skip
def test_a_line_is_late_by_its_promise_or_the_day_of_the_reassembly(
    things: tuple[Order, ...], reassembly: str, late: str
) -> None:
    assert str(stands(*things, reassembly=reassembly).late) == late


def test_questions_stand_at_their_line_until_they_are_answered() -> None:
    asked = Question("q1", WHERE, "How wide?", "MT", "")
    others = Question("q2", ("wiper", "gland"), "Lip?", "MT", "")
    ordering = Ordering(questions={"q1": asked, "q2": others})
    found = standing_of(RING, WHAT, ordering, CYLINDER, HANDBOOK, TODAY)
    assert (found.questions, found.asked) == ((asked,), (asked,))
    answered = Ordering(questions={"q1": replace(asked, answer="12.6", answered_by="KM")})
    assert standing_of(RING, WHAT, answered, CYLINDER, HANDBOOK, TODAY).asked == ()


# --- over several jobs


def some(quantity: int, **other: object) -> Standing:
    return stands(line=replace(RING, quantity=quantity, **other))  # type: ignore[arg-type]


def test_the_same_ring_of_three_jobs_is_four_with_for_whom() -> None:
    (ring,) = to_order_today([("A", "S-14", [some(2)]), ("B", "R-31", [some(1)]), ("C", "T-22", [some(1)])])
    assert ring.count == 4
    assert [(f.name, f.quantity) for f in ring.whose] == [("S-14", 2), ("R-31", 1), ("T-22", 1)]
    assert ring.length_mm(5) is None


@pytest.mark.parametrize(
    "differs",
    [
        {"seal": "lip seal"},
        {"ring": Sentence("AS568-342")},
        {"made": (Made("ring", "FKM", "70 Shore A"),)},
        {"made": (Made("ring", "NBR", "90 Shore A"),)},
        {"unit": "set"},
        {"remarks": ("class B",)},
        {"made_to_measure": (Dimension("groove width", None, "?"),)},
    ],
)
def test_what_differs_in_any_field_is_never_summed(differs: dict[str, object]) -> None:
    sums = to_order_today([("A", "S-14", [some(1)]), ("B", "R-31", [some(1, **differs)])])
    assert [s.count for s in sums] == [1, 1]


def test_made_to_measure_is_never_summed_even_when_alike() -> None:
    made = {"made_to_measure": (Dimension("groove width", None, "6.5"),)}
    assert len(to_order_today([("A", "S-14", [some(1, **made)]), ("B", "R-31", [some(1, **made)])])) == 2


def test_strip_is_summed_in_length_with_a_cut_for_each_piece() -> None:
    strip = {"seal": "wear ring", "unit": "strip", "ring": Sentence("strip 2.5 x 15")}
    jobs = [("A", "S-14", [some(2, cut_mm=302, **strip)]), ("B", "R-31", [some(1, cut_mm=195, **strip)])]
    (whole,) = to_order_today(jobs)
    # 2 (302 + 5) + (195 + 5) = 814
    assert (whole.count, whole.length_mm(5)) == (3, 814)


def test_only_what_is_missing_and_free_of_doubt_is_to_be_ordered() -> None:
    jobs = [
        ("A", "S-14", [stands(order(quantity=2))]),  # 1 of 3
        ("B", "R-31", [stands(line=replace(RING, doubts=(DOUBT,)))]),
        ("C", "T-22", [stands(order())]),
        ("D", "Q-07", [stands(order(), came(1, wrong="nicked"), came(2))]),  # that one again
    ]
    (ring,) = to_order_today(jobs)
    assert [(f.name, f.quantity) for f in ring.whose] == [("S-14", 1), ("Q-07", 1)]
