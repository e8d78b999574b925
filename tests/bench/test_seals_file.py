"""[seals] of a readings file, and the same entered at the bench: doubt, question, order, offer, receipt, late."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.sealing import seals_as_data, seals_as_lines
from inspect_app.bench.seals_file import photo_of
from inspect_app.entries.job import Job
from inspect_app.entries.ordering import OfferDecided, OfferedOtherwise, Ordered, Received
from inspect_app.entries.sealing import DoubtClosed, DoubtsClosed
from inspect_app.entries.seals import WHOLE_CYLINDER
from inspect_app.job.seals.across import to_order_today
from inspect_app.job.seals.standing import Standing, State
from inspect_app.report.seal_standing import count_words, holding_words, order_words
from inspect_app.trade.measuring.refusal import Refusal

DEMO = Path(__file__).parents[2] / "demo_data"
RING = ("gland-static-ring", "gland")
SEALS = """
[seals]
reassembly = 2026-12-04
[[seals.there]]
position = "gland-wear-ring"
place = "gland"
count = 2
[[seals.old]]
position = "rod-seal"
place = "gland"
looks = ["extruded"]
hardness = "90"
photos = ["rod_score.jpg"]
[[seals.closed]]
position = "gland-static-ring"
place = "gland"
doubt = "old-ring"
reason = "it was the wrong one"
[[seals.question]]
position = "rod-seal"
place = "gland"
asks = "Is the lip whole?"
answer = "torn at 6 o'clock"
[[seals.order]]
position = "gland-static-ring"
place = "gland"
supplier = "Example Seals"
price = "1,20"
promised = "2026-12-01"
offered = { offers = "FKM 75", promised = "2026-12-03", accepted = true, words = "stands the oil" }
received = [{ quantity = 1, cured = "3/26", batch = "B-9" }]
"""
GLAND = """
cylinder = "double-acting"
by = "KM"
date = 2026-11-27
[nameplate]
bore = "100"
rod = "60"
stroke = "500"
rated_pressure = "10"
fluid = "HM 46"
oil_temperature = "60 °C"
coldest_start = "-10 °C"
rod_speed = "0.1 m/s"
outside_diameter = "125"
[answers]
sizes = "inch"
[[check]]
id = "barrel-mouth-bore"
clocks = [12, 2, 4]
readings = [["110.00", "110.01", "110.00"]]
[[check]]
id = "gland-spigot-diameter"
clocks = [12, 2, 4]
readings = [["109.95", "109.95", "109.95"]]
[[check]]
id = "static-groove-diameter"
clocks = [12, 2, 4]
readings = [["101.40", "101.40", "101.40"]]
[[check]]
id = "static-groove-width"
readings = ["7.20"]
"""
"""A static ring of section 5.33, (110.00 − 101.40) / 2 = 4.30 deep; 0.05 of clearance."""


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    at = datetime(2026, 11, 27, 12, tzinfo=UTC)
    bench = Bench(tmp_path / "shop", now=lambda: at)
    yield bench
    bench.close()


def taken(bench: Bench, folder: Path, text: str) -> Job:
    folder.mkdir(exist_ok=True)
    file = folder / "p7.toml"
    file.write_text(text, encoding="utf-8")
    shutil.copy(DEMO / "photos" / "rod_score.jpg", folder)
    return record_file(file, bench)[0]


def ring(bench: Bench, job: Job) -> Standing:
    every = bench.seals(job)
    return next(s for s in every if s.line.where == RING)


def test_a_file_holds_all_of_it(bench: Bench, tmp_path: Path) -> None:
    text = GLAND + SEALS
    with pytest.raises(Refusal, match="'old-ring' is no open doubt here; open are none"):
        taken(bench, tmp_path / "p", text)
    start, _, rest = text.partition("[[seals.closed]]")
    job = taken(bench, tmp_path / "p", start + rest[rest.index("[[seals.question]]") :])
    said = job.as_found.seals
    assert said.there["gland-wear-ring", "gland"].count == 2
    assert said.old["rod-seal", "gland"].states == ("extruded",)
    assert len(job.photos_of(photo_of(("rod-seal", "gland")))) == 1
    assert [q.answer for q in job.ordering.questions.values()] == ["torn at 6 o'clock"]
    stands = ring(bench, job)
    assert (stands.state, stands.fit_to_go_in, job.ordering.reassembly) == (
        State.RECEIVED,
        True,
        "2026-12-04",
    )
    lines = "\n".join(seals_as_lines(job, bench.seal_list(job), bench.seals(job), "metric"))
    assert "2026-11-27 KM: 1 ordered from Example Seals, 1,20 each, promised 2026-12-01." in lines
    assert "2026-11-27 KM: offered otherwise: FKM 75, promised 2026-12-03." in lines
    assert "KM accepts it: stands the oil" in lines
    assert "1 came, right, cured 3/26, batch B-9." in lines
    assert "old: A tongue or frayed heel on the low-pressure side: points to a gap too wide" in lines
    assert "KM asks: Is the lip whole? KM: torn at 6 o'clock" in lines
    data = seals_as_data(job, bench.seal_list(job), bench.seals(job))["lines"]
    (told,) = [line["standing"] for line in data if line["position"] == "gland-static-ring"]
    assert (told["state"], told["here"], told["to_come"], told["to_order"]) == ("received", 1, 0, 0)
    (asked,) = [line["standing"]["asked"] for line in data if line["position"] == "rod-seal"]
    assert [(q["asks"], q["answered_by"]) for q in asked] == [("Is the lip whole?", "KM")]


@pytest.mark.parametrize(
    ("wrong", "mended", "says"),
    [
        ("[seals]", "[seals]\nordered = 3", "seals: found ordered; allowed are reassembly, there, old"),
        ("count = 2", "number = 2", "seals.there: found number; allowed are position, place, answer, count"),
        ('looks = ["extruded"]', 'looks = ["chewed"]', "seals.old: 'chewed' is not how an old seal looks"),
        ('photos = ["rod_score.jpg"]', 'photos = ["gone.jpg"]', "seals.old: the photograph .*gone.jpg cannot be read"),
        ("reassembly = 2026-12-04", 'reassembly = "soon"', "seals: 'soon' is not a date"),
        ('words = "stands the oil"', 'why = "x"', "offered: found why; allowed are offers, price, promised"),
        ('batch = "B-9"', 'lot = "B-9"', "received: found lot; allowed are quantity, cured, batch, wrong"),
    ],
)  # fmt: skip
def test_a_slip_in_a_file_is_told_by_its_block(
    bench: Bench, tmp_path: Path, wrong: str, mended: str, says: str
) -> None:
    start, _, rest = (GLAND + SEALS).partition("[[seals.closed]]")
    text = start + rest[rest.index("[[seals.question]]") :]
    assert wrong in text
    with pytest.raises(Refusal, match=says):
        taken(bench, tmp_path / "p", text.replace(wrong, mended))


def test_doubts_closed_together_are_the_same_as_one_after_another_and_none_twice(
    bench: Bench, tmp_path: Path
) -> None:
    job = taken(bench, tmp_path / "p", GLAND.replace('outside_diameter = "125"', ""))
    swell = DoubtClosed(WHOLE_CYLINDER, "swell", "the wall is 20 thick")
    twice = bench.enter(job, DoubtsClosed([swell, swell]), "MT", "metric")
    assert str(twice.remark) == "'swell' is closed twice here; leave one of the two out."
    nothing = bench.enter(job, DoubtsClosed([swell, replace(swell, rule="old-ring")]), "MT", "metric")
    assert str(nothing.remark).startswith("'old-ring' is no open doubt here")
    assert nothing.job == job
    together = bench.enter(job, DoubtsClosed([swell]), "MT", "metric").job
    assert ring(bench, together).state is State.READY


def test_a_doubt_of_the_whole_cylinder_is_closed_once_for_every_line(bench: Bench, tmp_path: Path) -> None:
    job = taken(bench, tmp_path / "p", GLAND.replace('outside_diameter = "125"', ""))
    held = [s for s in bench.seals(job)]
    assert [d.objection.rule for s in held if s.line.where == RING for d in s.open_doubts] == ["swell"]
    closing = DoubtClosed(WHOLE_CYLINDER, "swell", "the wall is 20 thick, it hardly grows")
    job = bench.enter(job, closing, "MT", "metric").job
    assert ring(bench, job).state is State.READY
    assert [d.closed.by for d in ring(bench, job).line.doubts if d.closed] == ["MT"]
    # a line that hangs on nothing but that is ordered now
    (found,) = to_order_today([(job.id, job.name, bench.seals(job))])
    assert (found.count, found.line.where) == (1, RING)


def test_from_order_to_freed(bench: Bench, tmp_path: Path) -> None:
    job = taken(bench, tmp_path / "p", GLAND)
    refused = bench.enter(job, Ordered(("rod-seal", "gland"), "Example Seals"), "MT", "metric")
    assert "It cannot be ordered yet" in str(refused.remark)
    job = bench.enter(job, Ordered(RING, "Example Seals", "2", promised="2026-11-26"), "MT", "metric").job
    order = ring(bench, job).orders[0].order
    # 3.850 in = 97.79 mm, stretched 3.7 % on 101.40; the next larger, 100.97, 0.4 %: farther from the middle of 0 to 5
    assert order.what == "O-ring AS568-344 = 97.79 × 5.33 mm; NBR 70 Shore A"
    every = bench.seals(job)
    late = "Static ring, gland or head to barrel, gland, promised 2026-11-26, not here"
    assert late in holding_words(every, "metric")
    assert count_words(every) == "7 lines: 1 late, 6 in doubt."
    job = bench.enter(job, Received(order.id, "1", "3/26"), "MT", "metric").job
    assert ring(bench, job).state is State.PART
    job = bench.enter(job, OfferedOtherwise(order.id, "NBR 90", "1.30"), "MT", "metric").job
    assert ring(bench, job).state is State.OFFERED
    offer = [*job.ordering.offers][-1]
    job = bench.enter(job, OfferDecided(offer, True, "harder stands the gap too"), "KM", "metric").job
    job = bench.enter(job, Received(order.id, "1", "2/26"), "MT", "metric").job
    assert ring(bench, job).fit_to_go_in
    assert not ring(bench, job).late


def test_what_was_entered_is_taken_back_by_one_undo(bench: Bench, tmp_path: Path) -> None:
    job = taken(bench, tmp_path / "p", GLAND)
    job = bench.enter(job, Ordered(RING, "Example Seals"), "MT", "metric").job
    assert ring(bench, job).state is State.ORDERED
    job, _ = bench.undo(job, "MT")
    assert ring(bench, job).state is State.READY


@pytest.mark.parametrize(
    ("section", "says", "fit"),
    [
        # 0.210 ± 0.005 in; the caliper, in mm: 2 √((0.02/√3)² + 0.01² + (0.01/√12)²) = 0.0311, rounded up
        ("5.31", "± 0.032 mm is that of AS568-344, 5.33 mm ± 0.127 mm.", True),
        ("5.21", "± 0.032 mm is too close to the limits of AS568-344 to call", True),
        # 5.08; typed to a thou, 0.0254/√12 = 0.0073: 0.0339, rounded up
        ("0.200 in", "± 0.034 mm is not that of AS568-344, 5.33 mm ± 0.127 mm: another ring came.", False),
    ],
)
def test_a_ring_that_came_is_held_against_the_section_ordered(
    bench: Bench, tmp_path: Path, section: str, says: str, fit: bool
) -> None:
    job = taken(bench, tmp_path / "p", GLAND)
    job = bench.enter(job, Ordered(RING, "Example Seals"), "MT", "metric").job
    order = next(iter(job.ordering.orders))
    job = bench.enter(job, Received(order, "1", "3/26", section=section), "MT", "metric").job
    kinds = [e.kind for e in bench.logbook.entries(job.id)][-2:]
    assert kinds == ["gauge", "seal-received"]
    stands = ring(bench, job)
    assert says in " ".join(seals_as_lines(job, bench.seal_list(job), [stands], "metric"))
    assert stands.fit_to_go_in is fit
    if not fit:
        closed = DoubtClosed(RING, "section", "measured again, the caliper was not at zero")
        assert ring(bench, bench.enter(job, closed, "KM", "metric").job).fit_to_go_in


def test_nobody_accepts_what_the_fluid_forbids(bench: Bench, tmp_path: Path) -> None:
    job = taken(bench, tmp_path / "p", GLAND)
    job = bench.enter(job, Ordered(RING, "Example Seals"), "MT", "metric").job
    order = next(iter(job.ordering.orders))
    job = bench.enter(job, OfferedOtherwise(order, "EPDM 70"), "MT", "metric").job
    offer = next(iter(job.ordering.offers))
    yes = bench.enter(job, OfferDecided(offer, True, "it was always in there"), "KM", "metric")
    assert str(yes.remark).startswith(
        "This is a stop, nobody can accept it: Offered is EPDM 70: EPDM is not for HM"
    )
    closed = bench.enter(job, DoubtClosed(RING, "other-material", "it fits"), "KM", "metric")
    assert str(closed.remark).startswith("This is a stop, nobody can close it: Offered is EPDM 70")
    job = bench.enter(job, OfferDecided(offer, False, "swells"), "KM", "metric").job
    assert ring(bench, job).state is State.READY


def test_what_was_accepted_instead_is_not_held_against_the_listed_ring(bench: Bench, tmp_path: Path) -> None:
    job = taken(bench, tmp_path / "p", GLAND)
    job = bench.enter(job, Ordered(RING, "Example Seals"), "MT", "metric").job
    job = bench.enter(
        job, OfferedOtherwise(next(iter(job.ordering.orders)), "5.0 section"), "MT", "metric"
    ).job
    job = bench.enter(job, OfferDecided(next(iter(job.ordering.offers)), True, "fits"), "KM", "metric").job
    received = Received(next(iter(job.ordering.orders)), "1", "3/26", section="5.00")
    stands = ring(bench, bench.enter(job, received, "MT", "metric").job)
    assert stands.fit_to_go_in
    assert [*order_words(stands.orders[0], "metric")][-1].endswith("cured 3/26. Section 5.00 mm.")
