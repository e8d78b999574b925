"""What is said about seals and their orders becomes entries, whole and as typed; what cannot be is refused."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from log import Log

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import AS_FOUND, Job
from inspect_app.entries.ordering import (
    Asked,
    OfferDecided,
    OfferedOtherwise,
    Ordered,
    ReassemblyPlanned,
    Received,
    Replied,
)
from inspect_app.entries.sealing import DoubtClosed, FigureOffSheet, OldSealSeen, PlaceAnswered
from inspect_app.entries.seals import WHOLE_CYLINDER, AsTyped, Order, Ordering, Question, SealsSaid
from inspect_app.entries.typed import Listed, Typed
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.sealing.pairings import Objection
from tests.entries.test_typed import NEW, body, written

D = Decimal
ROD_SEAL = ("rod-seal", "gland")
MEMORY = Objection("memory", Sentence("Quoted from memory: AU."), Sentence("confirm it"))
GAP = Objection("gap", Sentence("The gap is 0.4 mm."), Sentence("another seal"))
STOP = Objection("lips", Sentence("The lips face each other."), Sentence("turn one"), stop=True)
FREE = Listed("lip seal 56 x 71 x 12.5; AU", 2, (), ())
ORDERED = Order("o1", ROD_SEAL, FREE.what, 2, "Example Seals", "", None, "", "KM", "")
UNDER_WAY = Job(
    "J",
    surveys={AS_FOUND: NEW},
    ordering=Ordering(questions={"q1": Question("q1", ROD_SEAL, "How wide?", "MT", "")}, orders={"o1": ORDERED}),
)  # fmt: skip


def test_an_answer_for_a_place_says_what_is_there_how_many_and_what_was_fitted() -> None:
    place = PlaceAnswered(("plug-ring", "cylinder"), "there", " 3 ", "O-ring 14 x 2", "NBR 70", "1/32", "20°")
    assert body(place, "inch") == {
        "position": "plug-ring", "place": "cylinder", "answer": "there", "count": "3", "fitted": "O-ring 14 x 2",
        "material": "NBR 70", "corner": {"typed": "1/32 in", "value": "0.793750"}, "lead_in": "20°",
    }  # fmt: skip  # 25.4 / 32


def test_how_lips_face_and_which_ring_lies_behind_a_face_stand_in_the_answer() -> None:
    lips = body(PlaceAnswered(("piston-seal", "piston"), lips=" Rod  side, cap side "))
    assert (lips["lips"], "behind" in lips) == (["rod side", "cap side"], False)
    ring = body(PlaceAnswered(("piston-seal", "piston"), behind="0.210", word="fax of 3 March"), "inch")
    # 0.210 in = 5.334 mm
    assert (ring["behind"], ring["word"]) == ({"typed": "0.210 in", "value": "5.3340"}, "fax of 3 March")


def test_a_bush_or_none_is_an_answer_too() -> None:
    assert body(PlaceAnswered(("gland-wear-ring", "gland"), " metal bush "))["answer"] == "metal bush"
    assert body(PlaceAnswered(("buffer-seal", "gland"), "none"))["count"] == ""


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (PlaceAnswered(("seal", "gland")), "^'seal' is not a position; allowed are wiper, "),
        (PlaceAnswered(("rod-seal", "piston")), "^'piston' is no place of rod-seal; allowed are gland"),
        (PlaceAnswered(ROD_SEAL, " "), "^Say what is there"),
        (PlaceAnswered(ROD_SEAL, count="1.5"), "^'1.5' is not a count of seals"),
        (PlaceAnswered(ROD_SEAL, count="²"), "^'²' is not a count of seals"),
        (PlaceAnswered(ROD_SEAL, count="0"), "^'0' is not a count of seals"),
        (PlaceAnswered(ROD_SEAL, "none", count="1"), "^It was answered 'none'"),
        (PlaceAnswered(ROD_SEAL, material="NBR"), "^Say which ring was fitted"),
        (PlaceAnswered(ROD_SEAL, corner="0"), "^0 is not a size"),
        (PlaceAnswered(ROD_SEAL, lips="up, down"), "^'up, down' does not say how lips face; write rod side or cap"),
        (PlaceAnswered(ROD_SEAL, "none", lips="rod side"), "^It was answered 'none'"),
        (PlaceAnswered(ROD_SEAL, word="they said yes"), "^Say the section of the O-ring"),
        (OldSealSeen(ROD_SEAL, []), "^Say how it looks; allowed are extruded, "),
        (OldSealSeen(ROD_SEAL, ["chewed"]), "^'chewed' is not how an old seal looks"),
        (OldSealSeen(ROD_SEAL, ["as-new"], hardness="101"), "^101 is not a hardness"),
        (OldSealSeen(ROD_SEAL, ["as-new"], section="0"), "^0 is not a size"),
        (FigureOffSheet(ROD_SEAL, "squeeze", "1", "S"), "^'squeeze' is no figure of a sheet; allowed are greatest gap"),
        (FigureOffSheet(ROD_SEAL, "hottest", " ", "S"), "^Type the hottest"),
        (FigureOffSheet(ROD_SEAL, "hottest", "100 °C", " "), "^Say which sheet"),
        (FigureOffSheet(ROD_SEAL, "greatest gap", "20 bar", "S"), "length is asked for"),
        (DoubtClosed(ROD_SEAL, "memory", "seen"), "^'memory' is no open doubt here; open are none"),
        (Asked(ROD_SEAL, " "), "^Type the question"),
        (Ordered(ROD_SEAL, "Example Seals"), "the list does not know what and how many"),
        (Replied("q1", "12.6"), "^There is no such question"),
        (OfferedOtherwise("o1", "NBR 80"), "^There is no such order"),
        (OfferDecided("f1", True, "fine"), "^There is no such offer"),
        (Received("o1", "1"), "^There is no such order"),
        (ReassemblyPlanned("4.12.2026"), "^'4.12.2026' is not a date"),
    ],
)  # fmt: skip
def test_what_cannot_be_said_of_a_seal_is_refused(typed: Typed, says: str) -> None:
    with pytest.raises(Refusal, match=says):
        written(typed)


def test_an_old_seal_is_kept_by_its_looks_and_what_was_measured_of_it() -> None:
    seen = OldSealSeen(ROD_SEAL, ["extruded", "swollen", "extruded"], "0.25", " 82 shore A ", " brown ")
    assert body(seen, "inch") == {
        "position": "rod-seal", "place": "gland", "states": ["extruded", "swollen"],
        "section": {"typed": "0.25 in", "value": "6.350"}, "hardness": {"typed": "82 Shore A", "value": "82"},
        "note": "brown",
    }  # fmt: skip


def test_a_figure_off_a_sheet_is_kept_as_typed_and_in_its_unit() -> None:
    speed = body(FigureOffSheet(ROD_SEAL, "greatest speed", "0.5 m/s", "S-4"))
    assert (speed["typed"], D(speed["value"])) == ("0.5 m/s", 30_000)  # mm/min
    cold = body(FigureOffSheet(ROD_SEAL, "coldest", "-20", "S-4"))
    assert (cold["typed"], cold["value"]) == ("-20 °C", "-20")


def test_a_doubt_is_closed_as_it_stands_and_each_of_its_rule() -> None:
    other = replace(GAP, sentence=Sentence("The gap is 0.5 mm."))
    open_now = Listed("", None, (), (MEMORY, GAP, other))
    assert written(DoubtClosed(ROD_SEAL, "gap", " asked the maker "), listed=open_now) == [
        ("seal-doubt", {"position": "rod-seal", "place": "gland", "doubt": "gap", "says": says,
                        "reason": "asked the maker"})
        for says in ("The gap is 0.4 mm.", "The gap is 0.5 mm.")
    ]  # fmt: skip
    whole = body(DoubtClosed(WHOLE_CYLINDER, "memory", "row read"), listed=open_now)
    assert (whole["position"], whole["place"]) == ("", "")


@pytest.mark.parametrize(
    ("rule", "reason", "by", "says"),
    [
        ("lips", "I turned it", "KM", "^This is a stop, nobody can close it: The lips face each other"),
        ("memory", " ", "KM", "^Say why"),
        ("memory", "row read", "", "initials"),
    ],
)
def test_a_stop_stays_and_a_doubt_goes_only_with_reason_and_initials(
    rule: str, reason: str, by: str, says: str
) -> None:
    with pytest.raises(Refusal, match=says):
        written(DoubtClosed(ROD_SEAL, rule, reason), listed=Listed("", None, (), (MEMORY, STOP)), by=by)


def test_an_order_says_what_the_list_said_and_how_many_it_counts() -> None:
    order = Ordered(ROD_SEAL, " Example Seals ", reference="K-7", price="12,40", promised="2026-12-04")
    assert body(order, listed=FREE) == {
        "position": "rod-seal", "place": "gland", "what": "lip seal 56 x 71 x 12.5; AU", "quantity": 2,
        "supplier": "Example Seals", "reference": "K-7", "price": {"typed": "12,40", "value": "12.40"},
        "promised": "2026-12-04",
    }  # fmt: skip
    assert body(replace(order, quantity="5", price="", promised=""), listed=FREE)["quantity"] == 5


@pytest.mark.parametrize(
    ("order", "listed", "says"),
    [
        (Ordered(ROD_SEAL, "S"), Listed("x", 1, (GAP,), (GAP,)), "cannot be ordered yet: The gap is 0.4 mm"),
        (Ordered(ROD_SEAL, "S"), Listed("x", None, (), ()), "what and how many"),
        (Ordered(ROD_SEAL, "S"), Listed("x", 0, (), ()), "^All of it is here or ordered already"),
        (Ordered(ROD_SEAL, " "), FREE, "^Say who it is ordered from"),
        (Ordered(ROD_SEAL, "S", quantity="two"), FREE, "^'two' is not a number of seals"),
        (Ordered(ROD_SEAL, "S", price="-3"), FREE, "^-3 is not a price"),
        (Ordered(ROD_SEAL, "S", promised="2026-13-01"), FREE, "^'2026-13-01' is not a date"),
    ],
)
def test_a_line_in_doubt_is_not_ordered(order: Ordered, listed: Listed, says: str) -> None:
    with pytest.raises(Refusal, match=says):
        written(order, listed=listed)


def test_what_came_says_its_cure_date_by_quarter_and_year() -> None:
    came = body(Received("o1", "2", "3/26", "B-9"), job=UNDER_WAY)
    assert (came["quantity"], came["cured"], came["batch"], came["wrong"]) == (2, "3/26", "B-9", "")
    with pytest.raises(Refusal, match="no cure date"):
        written(Received("o1", "2", "July"), job=UNDER_WAY)


def test_the_mechanic_says_yes_or_no_in_words() -> None:
    with pytest.raises(Refusal, match="in words"):
        written(OfferDecided("f1", True, " "), job=replace(UNDER_WAY, ordering=replace(
            UNDER_WAY.ordering, offers={"f1": None})))  # type: ignore[dict-item]  # fmt: skip


def test_what_was_said_of_seals_stands_in_the_survey_and_the_last_word_holds() -> None:
    log = Log(rod="56")
    there = {"count": "", "fitted": "", "material": "", "corner": {}, "lead_in": ""}
    at = {"position": "rod-seal", "place": "gland"}
    log.write("seal", **at, answer="none", **there)
    log.write("seal", **at, answer="there", **{**there, "count": "2"})
    log.write("old-seal", **at, states=["cut"], section={"typed": "6 mm", "value": "6"}, hardness={}, note="")
    for value in ("0.3", "0.2"):
        log.write("seal-sheet", **at, figure="greatest gap", typed=value, value=value, sheet="S-4")
    log.write("seal-doubt", **at, doubt="memory", says="Quoted", reason="row read")
    said = log.survey().seals
    assert (said.there[ROD_SEAL].words, said.there[ROD_SEAL].count, said.there[ROD_SEAL].by) == (
        "there", 2, "AB",
    )  # fmt: skip
    assert (said.old[ROD_SEAL].states, said.old[ROD_SEAL].section) == (("cut",), AsTyped("6 mm", D(6)))
    assert said.sheets[ROD_SEAL, "greatest gap"].value == AsTyped("0.2", D("0.2"))
    assert [(c.where, c.rule, c.says, c.by, c.reason) for c in said.closed] == [
        (ROD_SEAL, "memory", "Quoted", "AB", "row read")
    ]
    later = SealsSaid().after(said)
    assert (later.there, later.sheets, later.old, later.closed) == (said.there, said.sheets, {}, ())


def entry(n: int, kind: str, by: str = "KM", /, **body: object) -> Entry:
    return Entry(f"e{n}", "J", "D", f"2026-11-{n:02}T08:00:00.000Z", by, kind, body)


def test_questions_orders_offers_and_receipts_stand_in_the_job() -> None:
    at = {"position": "rod-seal", "place": "gland"}
    entries = [
        entry(1, "seal-question", "MT", **at, asks="How wide?"),
        entry(2, "seal-answer", question="e1", answer="12.6"),
        entry(3, "seal-order", **at, what="lip seal", quantity=3, supplier="S", reference="", price={}, promised=""),
        entry(4, "seal-offer", order="e3", offers="NBR 80", price={"typed": "41.80", "value": "41.80"}, promised=""),
        entry(5, "seal-offer-answer", offer="e4", accepted=True, words="harder will do"),
        entry(6, "seal-received", order="e3", quantity=2, cured="3/26", batch="B", wrong=""),
        entry(7, "reassembly", day="2026-12-04"),
    ]  # fmt: skip
    job = fold("J", entries)
    ordering = job.ordering
    assert job.unknown == 0
    (asked,) = ordering.questions.values()
    assert (asked.asks, asked.by, asked.answer, asked.answered_by) == ("How wide?", "MT", "12.6", "KM")
    assert (ordering.orders["e3"].quantity, ordering.orders["e3"].price) == (3, None)
    offer = ordering.offers["e4"]
    assert (offer.price, offer.accepted, offer.words, offer.decided_by) == (
        AsTyped("41.80", D("41.80")), True, "harder will do", "KM",
    )  # fmt: skip
    assert [(r.order, r.quantity, r.cured) for r in ordering.receipts] == [("e3", 2, "3/26")]
    assert ordering.reassembly == "2026-12-04"
    # what was said of something that is taken back since stays in the log and says nothing
    for taken_back in ("e1", "e4"):
        left = fold("J", [*entries, entry(8, "undo", of=taken_back)])
        assert left.unknown == 0
        assert taken_back not in {*left.ordering.questions, *left.ordering.offers}
