"""The scope made of a judged cylinder: prices by hand from round rates, and what is said where nothing is offered."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from declared import not_as_declared
from log import Log
from planned_cases import case_of, cylinder
from spelling import wrongly_written

from inspect_app.job.paths import Standing, paths_of
from inspect_app.job.pricing import cheapest, new_cylinder, recommend
from inspect_app.job.scope.making import Proposed, scope_of
from inspect_app.job.scope.shown import Scope, to_data
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.consequences import load_consequences
from inspect_app.tables.rates import Always, Rates, WorkRate, load_rates
from inspect_app.trade.measuring.refusal import Refusal
from tests.tables.test_consequences import JARGON

D = Decimal
TABLES = load()
RULES = TABLES.operations
TOLD = load_consequences(shipped_folder(), TABLES.cylinders.values(), RULES)
SHIPPED = load_rates(shipped_folder(), None, RULES)
ZERO = D(0)
PLAIN = replace(
    SHIPPED,
    shop=replace(
        SHIPPED.shop, hour=D(100), outside_markup=ZERO, bought_in_markup=ZERO, margin=ZERO, tax=D("0.20"),
        least_charge=ZERO, name="Example Bench", address="Kiln Lane 4",
    ),
    # 2 h taking apart is 200, charged for a no too; 1 h putting together is 100
    always=(
        Always("strip", "strip, clean, inspect", hours=D(2), days=D(1), declined=True),
        Always("fit", "put together", hours=D(1), days=D(1)),
    ),
    work={
        **{name: WorkRate(name, bought_in=D(5000)) for name in RULES.by_id},
        "reseal": WorkRate("reseal", bought_in=D(80), days=D(5), beside=True),
        "polish-rod": WorkRate("polish-rod", hours=D("0.5"), days=D(1)),
        "rechrome": WorkRate("rechrome", outside_set_up=D(400), days=D(8)),
        "new-rod": WorkRate("new-rod", bought_in=D(900), days=D(10)),
        "hone": WorkRate("hone", hours=D(1), days=D(1)),
        "dress-grooves": WorkRate("dress-grooves", hours=D(1), days=D(1)),
    },
    # a new one: 1000, whatever it weighs
    compare=replace(SHIPPED.compare, new_base=D(1000), new_per_kg=D("0.0000001"), new_days=D(40)),
)  # fmt: skip


def proposed(log: Log, given: Rates = PLAIN, **more: Any) -> Proposed:
    """What is proposed: the cheapest way that is offered."""
    case = replace(case_of(log), confirmed=frozenset(log.job().agreeing.confirmed))
    paths = paths_of(case)
    offered = cheapest(paths, given)
    found = Proposed(
        case.assessment,
        paths,
        offered[0] if offered else None,
        False,
        recommend(paths, case.found.cylinder, given),
        new_cylinder(case.found.cylinder, given),
        given,
        TOLD,
        "2026-03-02",
    )
    return replace(found, **more)


def scope(log: Log, given: Rates = PLAIN, **more: Any) -> Scope:
    """What is shown; whatever it is, it is written in sentences and holds what its types declare."""
    shown = scope_of(log.job(), proposed(log, given, **more), "metric")
    assert not wrongly_written(shown)
    assert not list(not_as_declared(shown))
    return shown


def said(log: Log, line: str, **more: Any) -> None:
    body = {"title": "", "price": {}, "optional": False, "dropped": False, "reason": "", "if_not": ""}
    log.write("scope-line", line=line, **{**body, **more})


def rusty() -> Log:
    """Rust on the rod: re-chrome for 400, or a new rod for 900."""
    log = cylinder()
    log.defect("rod-surface", "rust", "seal-travel")
    return log


def rusty_and_burred() -> Log:
    log = rusty()
    log.defect("gland-groove-sides", "burr", "groove")
    return log


def test_lines_are_the_works_then_what_is_done_on_every_cylinder() -> None:
    shown = scope(rusty())
    assert [(x.line, x.amount, x.items) for x in shown.lines] == [
        ("rechrome", "400.00", (1,)),
        ("reseal", "80.00", ()),
        ("strip", "200.00", ()),
        ("fit", "100.00", ()),
    ]
    # 780.00; tax 20 % 156.00; together 936.00. A new one 1000.00 and 200.00
    assert shown.total({}).gross == D("936.00")
    assert shown.headline.endswith("XTS 936.00 with tax, 10 days.")  # 1 + 8 + 1; the seals come meanwhile
    assert shown.beside == "A new cylinder: about XTS 1 200.00 with tax, 40 days."
    assert shown.facts[0] == "The repair costs 78 % of a new cylinder."  # 780 of 1000
    assert shown.refused_fee == "200.00"
    assert (shown.shop, shown.valid_until) == ("Example Bench, Kiln Lane 4", "2026-04-01")  # 30 days on
    assert shown.items[0].title == "Rust on the rod"
    assert "where a seal runs" in shown.items[0].saw.casefold()


def test_where_a_new_one_pays_and_nobody_chose_the_repair_it_says_so() -> None:
    # 780 of 1000 is above 70 %; over 20 years a new one is cheaper a year too
    given = replace(PLAIN, compare=replace(PLAIN.compare, new_years=20))
    assert scope(rusty(), given).headline.startswith(
        "We advise a new cylinder. We can repair it too: XTS 936.00"
    )
    assert scope(rusty(), given, by_hand=True).headline.startswith("We can repair it: XTS 936.00")


def test_price_and_year_that_disagree_are_both_said() -> None:
    # 780 of 1000 is above 70 %; but a new one lasts one year only, the repair ten
    given = replace(PLAIN, compare=replace(PLAIN.compare, new_years=1, repaired_years=10))
    shown = scope(rusty(), given)
    assert shown.facts[2] == "By price a new cylinder is better, by the year the repair: you choose."
    assert shown.headline.startswith("We can repair it: ")


def test_a_price_by_hand_takes_the_place_of_the_one_computed_and_says_why() -> None:
    log = rusty()
    said(log, "rechrome", price={"typed": "440", "value": "440"}, reason="the plater's offer of 2 March")
    line = scope(log).lines[0]
    assert (line.amount, line.why) == ("440.00", "the plater's offer of 2 March")
    assert scope(log).total({}).net == D("820.00")  # 780 + 40


def test_an_optional_line_counts_only_where_it_was_said_yes_to_and_a_dropped_one_is_named() -> None:
    log = rusty_and_burred()
    said(log, "own-2", title="Guard over the rod", price={"typed": "118", "value": "118"}, optional=True)
    said(log, "own-1", title="Paint", price={"typed": "60", "value": "60"})
    said(log, "dress-grooves", dropped=True, reason="the customer dresses it")
    shown = scope(log)
    assert [x.line for x in shown.lines] == ["rechrome", "reseal", "strip", "fit", "own-1", "own-2"]
    assert shown.total({}).net == D("840.00")  # 780 + 60
    assert shown.total({"own-2": True}).net == D("958.00")  # 840 + 118
    (left,) = shown.dropped
    assert (left.line, left.reason) == ("dress-grooves", "the customer dresses it")
    assert left.if_not == "A new seal leaks or is cut early."  # of the groove's burr
    # what was found stays on the scope, whoever pays for it
    assert [i.title for i in shown.items] == ["Rust on the rod", "Seal groove damaged"]


def test_an_optional_work_says_what_happens_without_it() -> None:
    log = rusty_and_burred()
    said(log, "dress-grooves", optional=True)
    shown = scope(log)
    (option,) = shown.optional
    assert (option.amount, option.if_not) == ("100.00", "A new seal leaks or is cut early.")
    assert shown.total({}).net == D("780.00")


def test_work_that_makes_no_sense_without_another_is_not_left_to_choice() -> None:
    log = cylinder(rated_pressure="5")
    log.defect("bore-surface", "score-along", "seal-travel", depth="0.03")
    case = proposed(log)
    assert case.chosen
    assert "hone" in case.chosen.path.operations
    said(log, "reseal", optional=True)
    with pytest.raises(Refusal, match=r"It cannot be proposed so\. A honed bore gets a new piston seal"):
        scope(log)


def test_a_small_job_is_filled_up_to_the_least_charge_by_the_lines_that_are_done() -> None:
    given = replace(PLAIN, shop=replace(PLAIN.shop, least_charge=D(900)))
    log = rusty()
    said(log, "own-1", title="Guard", price={"typed": "50", "value": "50"}, optional=True)
    shown = scope(log, given)
    # 900 - 780, whatever may be chosen beside
    assert (shown.lines[-1].line, shown.lines[-1].amount) == ("least", "120.00")
    assert shown.total({}).net == D("900.00")


def test_an_estimate_says_about_and_that_more_is_asked_first() -> None:
    log = rusty()
    terms = {
        "form": "estimate", "valid_until": "2026-03-20", "excluded": "painting", "customer": "Example Sawmill",
        "may_order_for": "", "complaint": "it drips", "refused_fee": {"typed": "96", "value": "96"},
    }  # fmt: skip
    log.write("scope-terms", **terms)
    shown = scope(log)
    assert "about XTS 936.00" in shown.headline
    assert "I am asked first" in shown.sentence
    assert (shown.valid_until, shown.excluded, shown.refused_fee) == ("2026-03-20", "painting", "96.00")
    assert (shown.customer, shown.may_order_for, shown.complaint) == (
        "Example Sawmill",
        "Example Sawmill",
        "it drips",
    )


def test_a_crack_stops_it_whatever_it_costs_and_nothing_can_be_agreed_to() -> None:
    log = rusty()
    log.defect("rod-surface", "crack", "thread-or-shoulder", length="3")
    shown = scope(log, chosen=None)
    assert shown.headline == "Stop: the cylinder must not be used, and nothing is offered."
    assert (shown.lines, shown.offers, shown.sentence) == ((), False, "")
    assert shown.items[0].title == "Crack"
    assert any("qualified person" in caution for caution in shown.cautions)


def test_where_no_way_is_offered_a_new_cylinder_is_advised() -> None:
    shown = scope(rusty(), chosen=None)
    assert shown.headline == "We advise a new cylinder."
    assert not shown.offers
    assert shown.beside.startswith("A new cylinder: about XTS 1 200.00")


def test_a_line_without_a_price_asks_for_one_by_hand() -> None:
    log = cylinder(mass="", closed_length="")
    log.defect("rod-surface", "rust", "seal-travel")
    given = replace(PLAIN, always=(replace(PLAIN.always[0], hours_per_kg=D("0.01")), *PLAIN.always[1:]))
    case = proposed(log, given)
    if case.chosen is None:
        case = replace(case, chosen=cheapest(case.paths, given, Standing.UNPROVEN)[0])
    with pytest.raises(
        Refusal, match=r"Strip, clean, inspect has no price yet: .*not known\. Give it one by hand"
    ):
        scope_of(log.job(), case, "metric")
    said(log, "strip", price={"typed": "150", "value": "150"}, reason="agreed")
    assert scope_of(log.job(), case, "metric").lines[2].amount == "150.00"


def test_what_somebody_answers_for_lets_a_way_be_offered() -> None:
    log = cylinder()
    log.defect("pins-look", "oval-hole", "load-or-pressure-path", difference="0.9")
    before = proposed(log)
    assert before.chosen is None
    assert [p.standing for p in before.paths.every if "bore-eye" in p.operations] == [Standing.UNPROVEN]
    log.write(
        "work-confirmed", operation="bore-eye", words="H. A., qualified, measured the eye: 22 mm of wall left"
    )
    after = proposed(log)
    assert after.chosen
    assert "bore-eye" in after.chosen.path.operations


def test_a_part_somebody_decided_to_renew_is_on_the_scope_without_a_reading() -> None:
    log = cylinder()
    log.decide("rod", "replace")
    shown = scope(log)
    assert [(i.title, i.figures) for i in shown.items] == [("Rod", ())]
    assert next(x.items for x in shown.lines if x.line == "new-rod") == (1,)


def test_with_every_line_left_out_nothing_is_proposed() -> None:
    log = rusty()
    for line in ("rechrome", "reseal", "strip", "fit"):
        said(log, line, dropped=True, reason="not wanted")
    with pytest.raises(Refusal, match="Every line is left out; there is nothing to propose"):
        scope(log, replace(PLAIN, shop=replace(PLAIN.shop, least_charge=D(250))))


def test_a_no_that_costs_nothing_is_not_said_to_cost() -> None:
    free = replace(PLAIN, always=tuple(replace(work, declined=False) for work in PLAIN.always))
    assert scope(rusty(), free).refused_fee == ""


def photographed(log: Log, of: str, sha256: str) -> str:
    return log.write(
        "photo",
        sha256=sha256,
        original_sha256=sha256,
        width=4,
        height=3,
        taken_at="",
        of=of,
        caption=f"of {sha256}",
    )


def test_of_what_was_found_the_newest_photograph_is_shown_unless_somebody_says_another() -> None:
    log = cylinder()
    rust = log.defect("rod-surface", "rust", "seal-travel")
    first, _ = photographed(log, rust, "aa"), photographed(log, rust, "bb")
    whole = photographed(log, "job", "cc")
    assert (scope(log).items[0].photo, scope(log).items[0].caption) == ("bb", "of bb")
    assert scope(log).pictures == ()
    log.write("scope-photo", photo=first, shown=True)
    log.write("scope-photo", photo=whole, shown=True)
    # the same picture taken in once more, of the whole, is not shown twice
    log.write("scope-photo", photo=photographed(log, "job", "aa"), shown=True)
    shown = scope(log)
    assert shown.items[0].photo == "aa"
    assert [(p.photo, p.caption) for p in shown.pictures] == [("cc", "of cc")]


def words_in(value: Any) -> list[str]:
    """Every text of a scope's JSON, ids and units of it left out."""
    if isinstance(value, dict):
        return [w for key, v in value.items() if key not in ("id", "line", "system") for w in words_in(v)]
    if isinstance(value, list):
        return [w for inner in value for w in words_in(inner)]
    return [value] if isinstance(value, str) else []


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_no_word_of_a_scope_is_one_that_only_a_mechanic_knows(system: str) -> None:
    log = rusty_and_burred()
    log.read_all("rod-roughness", "1.2")
    log.read_all("bore-roughness", "1.2")
    log.read("rod-runout", "440 ", "1.00")
    log.read("rod-diameter", "25 12", "62.80")
    log.defect("welds-look", "pore", "weld-or-toe")
    case = proposed(log, SHIPPED)
    told = [scope_of(log.job(), replace(case, chosen=None), system)]
    priced = [*cheapest(case.paths, SHIPPED), *cheapest(case.paths, SHIPPED, Standing.UNPROVEN)]
    told += [scope_of(log.job(), replace(case, chosen=p), system) for p in priced if p.total]
    texts = [w for shown in told for w in words_in(to_data(shown))]
    assert len(told) > 2
    assert {"Rod bent", "Rod face not right for the seal", "Flaw in a weld"} <= {*texts}
    assert [w for w in texts if JARGON.search(w)] == []
    # what is said of who may do it comes from the operations, all of them
    assert [o.licence for o in RULES.by_id.values() if JARGON.search(o.licence)] == []


def test_marks_are_shown_on_the_photographs_that_are_on_the_scope_and_on_no_other() -> None:
    log = cylinder()
    rust = log.defect("rod-surface", "rust", "seal-travel")
    photographed(log, rust, "aa"), photographed(log, "job", "cc")
    for photo in ("aa", "cc"):
        points = [["0.25000", "0.50000"], ["0.75000", "0.50000"]]
        log.write(
            "photo-mark", photo=photo, shape="arrow", points=points, within="0", text="", typed="", value=""
        )
    (marked,) = scope(log).marked or ()
    assert (marked.photo, marked.wide, marked.high, marked.note) == ("aa", 4, 3, "")
    (arrow,) = marked.marks
    assert (arrow.shape, [tuple(map(float, point)) for point in arrow.points]) == (
        "arrow",
        [(0.25, 0.5), (0.75, 0.5)],
    )
