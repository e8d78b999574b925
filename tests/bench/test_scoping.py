"""A scope from a whole job: what is frozen, which answers are taken, what makes a yes not cover it, what leaves it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from asking import Asking, Clock
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.scoping import freeze, frozen_scope, scope_now, scope_printed
from inspect_app.entries.agreed import SIGNED
from inspect_app.entries.agreeing import (
    CustomerTold,
    LineChanged,
    PathChosen,
    PhotoShown,
    TermsSaid,
    WorkAnsweredFor,
)
from inspect_app.entries.entry import SHOP
from inspect_app.entries.job import Place
from inspect_app.entries.looking import Found
from inspect_app.entries.measuring import OffDrawing
from inspect_app.entries.ordering import (
    Asked,
    OfferDecided,
    OfferedOtherwise,
    Ordered,
    ReassemblyPlanned,
    Received,
)
from inspect_app.entries.sealing import DoubtClosed, FigureOffSheet, OldSealSeen
from inspect_app.entries.typed import Typed
from inspect_app.job.scope.covering import Stand
from inspect_app.logbook.chains import Row
from inspect_app.tables import shipped_folder
from inspect_app.trade.measuring.refusal import Refusal


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asking]:
    """One bench for all: whoever writes to the job takes it back, or opens a folder of its own."""
    folder, clock = tmp_path_factory.mktemp("scoping"), Clock()
    bench = Bench(folder, now=clock, throw_away=True, zone=UTC)
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    yield Asking(folder, clock, bench, job)
    bench.close()


@pytest.fixture
def agreed(made: Asking) -> Asking:
    """A scope shown and agreed to, which covers what would be done."""
    made.clock.at = max(made.clock.at, datetime(2026, 3, 2, 8, tzinfo=UTC))
    if made.stands().stand is not Stand.YES:
        assert made.say(made.shown()) == ""
    assert made.stands().stand is Stand.YES
    return made


# ---- what is shown


def test_the_scope_says_what_was_found_and_what_each_line_is_for(made: Asking) -> None:
    scope = made.scope()
    assert [i.title for i in scope.items] == [
        "Scratch in the rod",
        "Hard layer of the rod worn thin",
        "Pin loose, rod end",
    ]
    by_line = {line.line: line.items for line in scope.lines}
    assert [line.line for line in scope.optional] == ["own-1"]
    del by_line["own-1"]
    assert by_line == {"rechrome": (1, 2), "reseal": (), "new-bush-and-pin": (3,), "strip": (), "fit": ()}
    # the prices are those of `paths`, hand-worked in test_pricing; together 2147.16, tax 19 % = 407.9604
    whole = scope.total({})
    assert (str(whole.net), str(whole.tax), str(whole.gross)) == ("2147.16", "407.96", "2555.12")
    assert scope.headline == "We can repair it from XTS 2 555.12 with tax, 10 days."
    # 3945.00 before tax with 19 % of it: 749.55
    assert scope.beside == "A new cylinder: about XTS 4 694.55 with tax, 45 days."
    assert scope.refused_fee == "362.89"  # strip, clean, inspect is charged for a no
    assert scope.notice


def test_freezing_pins_the_date_and_the_photographs_and_records_the_same_once(agreed: Asking) -> None:
    before = agreed.job.entries
    version = agreed.shown()
    assert agreed.job.entries == before
    assert version == agreed.job.agreeing.versions[-1]
    assert frozen_scope(version) == agreed.scope()
    # 30 days after 2 March
    assert agreed.job.agreeing.terms.valid_until == "2026-04-01"


# ---- what makes a yes not cover it any more


CHANGES: dict[str, tuple[Callable[[Asking], Typed], str]] = {
    "a line is dropped": (
        lambda a: LineChanged("new-bush-and-pin", dropped=True, reason="the customer has a pin"),
        "Line gone, Eye: a new bush and a new pin: it was XTS 307.28.",
    ),
    "a price by hand": (
        lambda a: LineChanged("rechrome", price="1020.00", reason="the plater's offer"),
        "Line 1, Rod: take the old chrome off, grind it, plate it new, grind it to size: XTS 980.72, now XTS 1 020.00.",
    ),
    "a line added": (
        lambda a: LineChanged("own-2", title="Paint", price="60"),
        "New line, Paint: XTS 60.00.",
    ),
    "an option": (
        lambda a: LineChanged("new-bush-and-pin", optional=True),
        "Line 3, Eye: a new bush and a new pin: always done, now the customer's choice.",
    ),
    "wording": (
        lambda a: LineChanged("reseal", title="All new seals, 9 pieces"),
        "Line 2, All new seals, wiper and wear rings: now it says “All new seals, 9 pieces”.",
    ),
    "another path": (
        lambda a: PathChosen(("new-rod", "reseal", "new-bush-and-pin")),
        "New line, A new rod: XTS 1 286.52.",
    ),
    "the date": (
        lambda a: replace(TERMS, valid_until="2026-05-01"),
        "Valid until: 2026-04-01, now 2026-05-01.",
    ),
    "a limit that is printed": (
        lambda a: OffDrawing(_check(a, "rod-eye-clearance"), "clearance", "", "0.9", "drawing 12"),
        "Found 3, Pin loose, rod end: play, the limit: 0.0 to 0.7 mm, now at most 0.9 mm.",
    ),
    "the photograph": (
        lambda a: PhotoShown(_photo_of(a, "rod-surface"), False),
        "Found 1, Scratch in the rod: another photograph, ",
    ),
}  # fmt: skip


TERMS = TermsSaid(
    excluded="taking the cylinder out and putting it back", may_order_for="Example Harbour Works, workshop"
)
"""As the demo has them."""


def _check(asking: Asking, name: str):  # type: ignore[no-untyped-def]
    found = asking.bench.tables_of(asking.job).cylinders["double-acting"].check(name)
    assert found
    return found


def _photo_of(asking: Asking, check: str) -> str:
    defect = next(d for d in asking.job.as_found.defects if d.check == check)
    return asking.job.photos_of(defect.id)[0].id


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_of_what_was_shown_is_named_and_taken_back_the_yes_covers_again(
    agreed: Asking, what: str
) -> None:
    typed, told = CHANGES[what]
    agreed.enter(typed(agreed))
    changed = agreed.stands()
    assert changed.stand is Stand.CHANGED
    assert any(s.startswith(told) for s in changed.changes), changed.changes
    agreed.undo()
    assert agreed.stands().stand is Stand.YES


def test_a_reading_that_is_printed_is_corrected(agreed: Asking) -> None:
    check, place = _check(agreed, "rod-chrome"), Place("992", "6")
    outcome = agreed.bench.measure(agreed.job, check, place, "14", "KM", "metric", sure=True)
    agreed.job = outcome.job
    changed = agreed.stands()
    told = "Found 2, Hard layer of the rod worn thin: thinnest place, the reading: 12.0 µm, now 14.0 µm."
    assert (changed.stand, changed.changes[0]) == (Stand.CHANGED, told)
    agreed.undo()
    assert agreed.stands().stand is Stand.YES


def test_new_rates_of_the_shop_change_price_tax_and_currency(agreed: Asking) -> None:
    text = (shipped_folder() / "rates.toml").read_text(encoding="utf-8")
    own = text.replace("tax = 0.19", "tax = 0.2").replace('currency = "XTS"', 'currency = "XXX"')
    (agreed.folder / "rates.toml").write_text(own, encoding="utf-8")
    try:
        changed = agreed.stands()
    finally:
        (agreed.folder / "rates.toml").unlink()
    assert changed.stand is Stand.CHANGED
    assert {"Tax: 19 %, now 20 %.", "Currency: XTS, now XXX."} <= {*changed.changes}
    assert agreed.stands().stand is Stand.YES


# ---- what leaves it standing


def test_what_is_not_shown_leaves_a_yes_standing(agreed: Asking) -> None:
    before = agreed.job
    agreed.enter(Asked(("wiper", "gland"), "How wide is the lip?"))
    agreed.enter(ReassemblyPlanned("2026-03-20"))
    # another photograph of the same scratch, taken later
    defect = next(d for d in agreed.job.as_found.defects if d.check == "rod-surface")
    picture = BytesIO()
    Image.new("RGB", (64, 48), "red").save(picture, "JPEG")
    agreed.job = agreed.bench.take_photo(agreed.job, defect.id, picture.getvalue(), "later", "KM").job
    # a reading nobody prints: the piston's bore, well within
    check = _check(agreed, "rod-roughness")
    agreed.job = agreed.bench.measure(
        agreed.job, check, Place("750", ""), "0.20", "KM", "metric", sure=True
    ).job
    assert agreed.job.entries >= before.entries + 4
    assert agreed.stands().stand is Stand.YES
    # who looks in inches sees what was signed in metric
    assert agreed.stands("inch").stand is Stand.YES


WIPER = ("wiper", "gland")


def _note(asking: Asking) -> Found:
    """The scratch of the rod with a note for the shop alone."""
    scratch = next(d for d in asking.job.as_found.defects if d.check == "rod-surface")
    place = Place(scratch.station_typed or scratch.place.station, scratch.place.clock)
    sizes = {name: size.typed for name, size in scratch.sizes.items()}
    of = _check(asking, "rod-surface")
    return Found(of, scratch.kind, place, scratch.zone, scratch.felt, "ask HA how it came", sizes, scratch)


LEAVES: dict[str, Callable[[Asking], Typed]] = {
    "a note to a defect": _note,
    "the look of an old seal, with a note": lambda a: OldSealSeen(WIPER, ["cut"], note="kept in the drawer"),
    "a figure off a seal's sheet": lambda a: FigureOffSheet(("rod-seal", "gland"), "hottest", "110", "page 12"),
    "an order": lambda a: Ordered(WIPER, "Example Seals", "1", price="12.50", promised="2026-03-12"),
    "another offer": lambda a: OfferedOtherwise([*a.job.ordering.orders][-1], "EU 93", "14", "2026-03-14"),
    "the mechanic's word on it": lambda a: OfferDecided([*a.job.ordering.offers][-1], True, "stands it"),
    "what came": lambda a: Received([*a.job.ordering.orders][-1], "1", "1/26", "B-7"),
    "a doubt closed": lambda a: DoubtClosed(("piston-seal", "piston"), "gap", "the supplier's word of 3 March"),
    "what the customer was told": lambda a: CustomerTold(a.job.agreeing.answers[-1].id, "ten days from today"),
}  # fmt: skip
"""What is entered beside a scope and is not on it, in an order in which all of it can be."""


def test_notes_the_clerks_states_and_questions_leave_a_yes_standing(agreed: Asking) -> None:
    yes = agreed.stands().answer
    for what, typed in LEAVES.items():
        before = agreed.job.entries
        agreed.enter(typed(agreed))
        assert agreed.job.entries > before, what
        assert (agreed.stands().stand, agreed.stands().changes) == (Stand.YES, ()), what
        assert agreed.stands().answer == yes, what
    version = agreed.job.agreeing.versions[-1]
    asked = {"how": "message", "to": "0555 0142", "words": "Is Monday possible?"}
    assert agreed.say(version, "question", **asked) == ""
    assert (agreed.stands().stand, agreed.stands().answer) == (Stand.YES, yes)


def test_what_is_a_setting_of_a_phone_leaves_a_yes_standing(agreed: Asking) -> None:
    units = {"client": "phone", "name": "system", "value": "inch"}
    agreed.bench.record(SHOP, "KM", ("setting", units))
    assert agreed.bench.shop.settings("phone")["system"] == "inch"
    for system in ("metric", "inch"):
        assert agreed.stands(system).stand is Stand.YES


def test_a_restart_leaves_a_yes_standing(agreed: Asking) -> None:
    answer = agreed.stands().answer
    agreed.bench.close()
    agreed.bench = Bench(agreed.folder, now=agreed.clock, throw_away=True, zone=UTC)
    agreed.job = agreed.bench.job(agreed.job.id)
    assert (agreed.stands().stand, agreed.stands().answer) == (Stand.YES, answer)


def test_the_date_past_leaves_a_yes_standing_and_stops_a_new_one(agreed: Asking) -> None:
    agreed.clock.at = datetime(2026, 4, 2, 8, tzinfo=UTC)
    try:
        assert agreed.stands().stand is Stand.YES
        version = agreed.job.agreeing.versions[-1]
        assert agreed.say(version) == "The offer held until 2026-04-01; make a new version with a new date."
        with pytest.raises(Refusal, match="2026-04-01, is past; give a later one"):
            freeze(agreed.bench, agreed.job, "KM", "metric")
    finally:
        agreed.clock.at = datetime(2026, 3, 3, 8, tzinfo=UTC)


def test_what_no_answer_is(agreed: Asking) -> None:
    version = agreed.job.agreeing.versions[-1]
    assert agreed.say(version, name=" ") == "Type the name of who answers."
    assert agreed.say(version, signature=()) == "Sign with the finger first."
    for no_signature in ((0, 0, 2000, 10), (0, 0, 10, 281), (0, 0, 10), (5, 5), (0, 0, 10, 10, 5)):
        assert agreed.say(version, signature=(no_signature,)) == "Sign with the finger first."
    assert agreed.say(version, signature=((1, 1) * 10_001,)) == "Sign with the finger first."
    assert agreed.say(version, total="1.00").startswith(
        "The total shown was 1.00, and these lines come to 2555.12"
    )
    assert agreed.say(version, options={"strip": True}) == "strip: no such optional line on this scope."
    assert agreed.say(version, how="telephone").startswith("Type the number that was called")
    assert agreed.say(version, "question") == "Type the question."
    assert agreed.say(version, how="shouted").startswith("'shouted' is not a way to answer; allowed are ")
    assert agreed.say(replace(version, sha256="0" * 64)).startswith("This scope is not one that was shown")
    assert agreed.stands().stand is Stand.YES
    # by telephone nobody draws anything; both answers stay, and the last one holds
    before = agreed.job.agreeing.answers
    assert agreed.say(version, how="telephone", to="0555 0142", signature=()) == ""
    assert agreed.job.agreeing.answers[:-1] == before
    last = agreed.job.agreeing.answers[-1]
    assert (last.net, last.tax, last.total, last.currency) == ("2147.16", "407.96", "2555.12", "XTS")
    assert (last.zone, last.copy, last.valid_until, last.by) == ("+00:00", "shown", "2026-04-01", "KM")
    assert last.sentence == frozen_scope(version).sentence
    assert last.how not in SIGNED


def test_what_is_printed_is_what_was_shown_with_its_answer_and_else_a_draft(agreed: Asking) -> None:
    number = agreed.job.agreeing.versions[-1].number

    def printed(operations: tuple[str, ...] = ()) -> tuple[bytes, str]:
        return scope_printed(agreed.bench, agreed.job, agreed.stands(), "metric", operations)

    before, what = printed()
    assert what == f"version {number} as it was shown with the yes to it"
    assert printed()[0] == before  # the same bytes again
    agreed.enter(LineChanged("rechrome", price="1020", reason="the plater's offer"))
    after, what = printed()
    assert (
        what == f"version {number} as it was shown with the yes to it; what would be shown now is different"
    )
    assert after == before
    agreed.undo()
    assert printed(("new-rod", "reseal", "new-bush-and-pin"))[1] == "a draft that was not shown"


# ---- the mechanic's choices


def test_what_may_not_be_proposed(made: Asking) -> None:
    with pytest.raises(Refusal, match="The way chosen is not offered: What was found does not ask for it"):
        scope_now(made.bench, made.job, "metric", ("hone", "reseal"))
    for typed, says in (
        (PathChosen(("magic",)), "'magic' is no operation of this job."),
        (LineChanged("rechrome", dropped=True), "Say why the line is dropped; the scope prints it."),
        (LineChanged("rechrome", price="400"), "Say why the price is another; the scope prints it."),
        (LineChanged("own-1", title="Paint"), "A line added by hand needs its title and its price."),
        (LineChanged("own-x", title="Paint", price="2"), "'own-x' is no line; one added by hand is own-1, own-2 and"),
        (TermsSaid(form="bargain"), "'bargain' is not a form of offer; allowed are estimate, quotation."),
        (TermsSaid(valid_until="1 May"), "'1 May' is not a date; write it year-month-day, like 2027-03-31."),
        (TermsSaid(refused_fee="-3"), "-3 is not a price; it must not be negative."),
        (WorkAnsweredFor("rechrome", "KM looked"), "'rechrome' asks nobody to confirm anything."),
        (WorkAnsweredFor("bore-eye", ""), "Say who looked at it, and what makes it sure."),
        (PhotoShown("none", True), "'none' is no photograph of this job."),
    ):  # fmt: skip
        remark = str(made.bench.enter(made.job, typed, "KM", "metric").remark)
        assert remark.startswith(says)


def test_an_optional_line_is_paid_only_where_it_was_chosen(agreed: Asking) -> None:
    version = agreed.job.agreeing.versions[-1]
    refused = "Say yes or no to each optional line and to no other: own-1"
    assert agreed.say(version, options={}).startswith(refused)
    # 2147.16 + 118.00 = 2265.16; 19 % of it 430.3804
    assert agreed.say(version, options={"own-1": True}, total="2695.54") == ""
    assert agreed.stands().stand is Stand.YES
    assert agreed.job.agreeing.answers[-1].options == {"own-1": True}


# ---- two phones, and a restart


def opened(rows: Iterable[Row], folder: Path, clock: Clock, device: str) -> Asking:
    """A phone of its own that has taken over what was recorded so far."""
    bench = Bench(folder, now=clock, device=device, throw_away=True, zone=UTC)
    bench.logbook.take_over(rows)
    return Asking(folder, clock, bench, next(iter(bench.jobs())))


def test_two_phones_agree_to_different_versions_and_a_merge_keeps_all_of_it(
    agreed: Asking, tmp_path: Path
) -> None:
    # a merge that adds none of it, and a folder opened anew
    clock = Clock(datetime(2026, 3, 4, 8, tzinfo=UTC))
    rows = agreed.bench.logbook.rows(agreed.job.id)
    mine, other = (opened(rows, tmp_path / name, clock, name) for name in ("phone", "tablet"))
    assert mine.stands().stand is Stand.YES
    other.enter(Asked(("rod-seal", "gland"), "Is the lip whole?"))
    mine.merge(other)
    assert mine.job.ordering.questions
    assert (mine.stands().stand, mine.stands().changes) == (Stand.YES, ())
    versions, answers = mine.job.agreeing.versions, mine.job.agreeing.answers

    clock.at = datetime(2026, 3, 4, 9, tzinfo=UTC)
    mine.enter(LineChanged("own-8", title="Paint", price="60"))
    my_next = mine.shown()
    clock.at = datetime(2026, 3, 4, 10, tzinfo=UTC)
    other.enter(LineChanged("own-9", title="Crate", price="45"))
    their_next = other.shown()
    assert my_next.number == their_next.number
    assert other.say(their_next) == ""
    clock.at = datetime(2026, 3, 4, 11, tzinfo=UTC)
    assert mine.say(my_next, "no", words="too dear") == ""

    merged = mine.merge(other)
    assert merged.agreeing.versions == (*versions, my_next, their_next)
    assert [(a.answer, a.version) for a in merged.agreeing.answers[len(answers) :]] == [
        ("yes", their_next.sha256),
        ("no", my_next.sha256),
    ]
    assert merged.agreeing.answers[: len(answers)] == answers
    # what would be done now has both lines: nobody has said yes to that, and the last word was no
    assert {"own-8", "own-9"} <= {line.line for line in mine.scope().lines}
    assert mine.stands().stand is Stand.REFUSED
    for phone in (mine, other):
        phone.bench.close()


# ---- typed off


SHEET = """
[scope]
path = ["new-rod", "reseal", "new-bush-and-pin"]
path_reason = "a bar is here"
form = "estimate"
valid_until = 2026-03-20
customer = "Example Sawmill"
refused_fee = "96,00"
[[scope.confirmed]]
operation = "bore-eye"
words = "H. A. measured the eye"
[[scope.line]]
line = "reseal"
title = "Seals, all"
price = "210.50"
reason = "as agreed by telephone"
[[scope.line]]
line = "strip"
dropped = true
reason = "it came in pieces"
"""


def test_a_readings_file_says_path_terms_and_lines(tmp_path: Path) -> None:
    demo = (shipped_folder("demo_data") / "linkspan_repair.toml").read_text(encoding="utf-8")
    sheet = tmp_path / "sheet.toml"
    without = demo[: demo.index("[scope]")].replace('photos = ["', '# photos = ["')
    sheet.write_text(without + SHEET, encoding="utf-8")
    with_bench = Bench(tmp_path / "shop", now=Clock(), throw_away=True, zone=UTC)
    job, _ = record_file(sheet, with_bench)
    scope = scope_now(with_bench, job, "metric")
    assert [(x.line, x.amount) for x in scope.lines] == [
        ("new-rod", "1286.52"),
        ("reseal", "210.50"),
        ("new-bush-and-pin", "307.28"),
        ("fit", "295.83"),
    ]
    assert [(x.line, x.reason) for x in scope.dropped] == [("strip", "it came in pieces")]
    assert (scope.form, scope.valid_until, scope.customer) == ("estimate", "2026-03-20", "Example Sawmill")
    assert scope.refused_fee == "96.00"
    assert job.agreeing.confirmed["bore-eye"].words == "H. A. measured the eye"
    with_bench.close()


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ("[scope]\nprice = 3", "scope: found price; allowed are path, path_reason, form"),
        ('[[scope.line]]\nline = "hone"\ndropped = true', "scope.line: Say why the line is dropped"),
        ('[[scope.line]]\nname = "hone"', "scope.line: found name; allowed are line, title, price"),
        ('[scope]\npath = ["magic"]', "scope.path: 'magic' is no operation of this job."),
        ('[[scope.confirmed]]\noperation = "hone"\nwords = "x"', "scope.confirmed: 'hone' asks nobody"),
        ("[scope]\nline = 3", "scope: line: found 3; allowed is a list"),
        ('[scope.answer]\nreply = "yes"', "scope.answer: found reply; allowed are said, name, how"),
        ('[scope.answer]\nsaid = "yes"', "scope.answer: '' is not a way to answer"),
    ],
)
def test_a_slip_in_the_file_is_named(made: Asking, tmp_path: Path, wrong: str, says: str) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(f'job = "S"\ncylinder = "double-acting"\nby = "KM"\n{wrong}\n', encoding="utf-8")
    with pytest.raises(Refusal) as refused:
        record_file(sheet, made.bench)
    assert says in str(refused.value)
