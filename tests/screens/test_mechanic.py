"""A mechanic with a phone, from a new job to the report in the customer's hand, and through a flat battery."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pymupdf
import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.entries.job import Job, Place
from inspect_app.job.pictured import length_on
from inspect_app.tables import shipped_folder

SCORE = "Score, lengthwise"
ROD_PHOTO = shipped_folder("demo_data") / "photos" / "rod_score.jpg"


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    with Host(tmp_path_factory.mktemp("mechanic") / "shop") as host:
        yield host


@pytest.fixture(scope="module")
def new_phone(browser: Browser, host: Host) -> Iterator[Phone]:
    """One phone for every test here, nobody's until the first begins a job with it."""
    phone = Phone(browser, host.url)
    yield phone
    phone.close()


@pytest.fixture
def phone(new_phone: Phone, host: Host) -> Phone:
    """The phone at the list of jobs, and the program running."""
    if not host.runs():
        host.start()
        new_phone.reload()
    new_phone.go("/")
    return new_phone


def begin(phone: Phone, name: str) -> None:
    """A new job, and the three sizes off its nameplate: bore 100, rod 70, stroke 600."""
    phone.tap("New job")
    phone.wait_for("Job number or tag")
    phone.type("Job number or tag", name)
    phone.type("Your initials", "JB")
    phone.tap("Begin")
    phone.wait_for("A bare number is in the unit beside its box")
    for field, typed in (("Bore, mm", "100"), ("Rod diameter, mm", "70 mm"), ("Stroke, mm", "600")):
        phone.type(field, typed)
    phone.tap("To the parts")
    phone.wait_for("Make it safe first")


def confirm_the_cautions(phone: Phone) -> None:
    """Read and confirm, one by one."""
    phone.tap("Read and confirm")
    phone.wait_for("Before opening")
    while phone.finds("Read and understood"):
        confirmed = phone.says().count("Confirmed by JB")
        phone.tap("Read and understood")
        phone.wait_for_match(rf"(?s)(Confirmed by JB.*){{{confirmed + 1}}}")
    phone.tap("Back")


def through_a_flat_battery(phone: Phone, host: Host, tmp_path: Path) -> None:
    """The program killed after the third reading: what the screen called saved is there, the tab finds its way back."""
    assert phone.faults == []
    host.kill()
    sheet = "document.getElementById('no-connection')?.innerText ?? ''"
    phone.until(lambda: "No connection" in phone.page.evaluate(sheet), "the words of ours")
    here = phone.route()
    job, bench = as_on_disk(host, tmp_path / "killed")
    typed = [r.typed for r in job.as_found.readings["rod-diameter"].values()]
    assert typed == ["69.95 mm", "69.95 mm", "-.055 mm"]
    assert verify(bench) == []

    with phone.page.expect_websocket(timeout=180_000):  # the open tab finds its way back by itself
        host.start()
    phone.page.wait_for_timeout(1500)
    phone.wait_for("3 of 9")
    phone.wait_for("Saved last with this phone: reading -.055 mm, Rod diameter, 25 mm, 4 o'clock.")
    assert phone.page.evaluate(sheet) == ""
    phone.wait_for("Place: 300 mm, 12 o'clock")
    assert phone.route() == here

    tab = phone.another_tab()  # and a phone that was switched off opens where it was
    tab.wait_for("3 of 9")
    tab.until(lambda: tab.route() == here, "the address of where it was")  # told a moment after the screen
    tab.wait_for("Place: 300 mm, 12 o'clock")
    tab.page.close()
    phone.faults.clear()  # the connection that broke is none


def measure_the_rod(phone: Phone, host: Host, tmp_path: Path) -> None:
    """Nine places on the rod, with everything that goes wrong on the way."""
    phone.tap("Rod diameter")
    phone.wait_for("Place: 25 mm, 12 o'clock")
    # 70 f8 is 70 -0.030 -0.076 (ISO 286-2:2010, table 5), worn down to its lower limit
    phone.wait_for("Reuse limit: 69.924 to 70.020 mm")
    phone.page.evaluate("() => { window.felt = []; navigator.vibrate = ms => { felt.push(ms) } }")
    phone.photograph("Photograph this place", ROD_PHOTO)  # before its number is typed
    phone.wait_for("Photograph this place, 1 saved")
    phone.key("69.95")
    phone.wait_for_match(r"not entered yet: within limit. 69\.950 mm ±\S+")
    phone.key("⏎")
    phone.wait_for_match(r"last: within limit. 69\.950 mm ±\S+ at 25 mm, 12 o'clock")
    phone.wait_for("1 of 9")

    phone.key("6995⏎")  # the point forgotten
    phone.tap("I meant 69.95 mm")
    phone.wait_for("2 of 9")

    phone.key("6.994⏎")  # the point a place too far left
    phone.tap("Type it again")
    phone.wait_for("Place: 25 mm, 4 o'clock")
    phone.key("69.90⏎")
    phone.wait_for_match(r"last: outside limit. 69\.900 mm ±\S+ at 25 mm, 4 o'clock")
    phone.tap("Undo")
    phone.wait_for("Undone: reading 69.90 mm, Rod diameter, 25 mm, 4 o'clock.")
    phone.wait_for("2 of 9")
    phone.wait_for("Place: 25 mm, 4 o'clock")
    phone.key("±±.055⏎")  # a comparator set to nominal: plus, then minus
    phone.wait_for_match(r"last: within limit. 69\.945 mm ±\S+ at 25 mm, 4 o'clock")

    # the milliseconds the client makes of light and heavy
    phone.until(lambda: set(phone.page.evaluate("felt")) == {10, 30}, "verdicts within and outside felt")

    through_a_flat_battery(phone, host, tmp_path)

    phone.tap("Skip")
    phone.wait_for("An unmeasured place is never a pass")
    phone.tap("surface too damaged")
    phone.wait_for("Place: 300 mm, 2 o'clock")

    phone.tap("Metric or inch")
    phone.wait_for_match(r"last: within limit. 2\.7537 in ±\S+ at 0\.98 in, 4 o'clock")  # 69.945 / 25.4
    phone.wait_for("Reuse limit: 2.7529 to 2.7567 in")
    phone.key("2.7535⏎")
    phone.wait_for_match(r"last: within limit. 2\.7535 in ±\S+ at 11\.81 in, 2 o'clock")
    phone.tap("Metric or inch")
    phone.wait_for_match(r"last: within limit. 69\.939 mm ±\S+ at 300 mm, 2 o'clock")
    phone.key("69.926⏎")
    phone.wait_for_match(r"last: too close to limit. 69\.926 mm ±\S+ spans the limit 69\.924 at 300 mm")
    phone.key("69.95⏎69.95⏎69.95⏎")
    phone.wait_for("Readings: tap one to take it again")


def look_at_the_rod(phone: Phone) -> None:
    """A score in the seal's travel, with a photograph."""
    phone.tap(SCORE)
    phone.wait_for("Save defect")
    # past the end of the stroke of 600 mm, which is its end; then below the middle of the clock
    phone.drag("Rod with 0 defects.", (60, 80), (235, 85))
    phone.wait_for("Now at 600 mm")
    phone.touch("Rod with 0 defects. Now at 600 mm.", 278, 125)
    phone.wait_for("600 mm, 6 o'clock")
    phone.tap("seal travel")
    phone.type("From the gland end, mm", "310")
    phone.wait_for("310 mm, 6 o'clock")
    phone.type("Depth, µm", "0.06")
    phone.tap("Save defect")
    phone.wait_for("Depth 0.06 µm is less than a needle feels.")
    phone.type("Depth, µm", "60")
    phone.type("Note", "a nail catches")
    phone.tap("Save defect")
    phone.wait_for("310 mm, 6 o'clock, seal travel · depth 60 µm · a nail catches")
    phone.photograph("Close-up: the mark, a rule beside it", ROD_PHOTO)
    phone.wait_for(f"Photograph of {SCORE}")
    measure_on_the_photograph(phone)
    phone.tap(SCORE)  # touched in the list it opens as it was typed
    phone.wait_for("Now at 310 mm, 6 o'clock")
    phone.type("Note", "a nail catches hard")
    phone.tap("Save defect")
    phone.wait_for("310 mm, 6 o'clock, seal travel · depth 60 µm · a nail catches hard")
    phone.wait_for(f"Photograph of {SCORE}")
    phone.tap("Nothing more to find")
    phone.wait_for("Rod ends: chamfer, flats and plug")
    phone.wait_for("Looked: nothing found")


def measure_on_the_photograph(phone: Phone) -> None:
    """A known size and a length by two touches each and by a drag, shown with how far it may be off."""
    phone.tap(f"Photograph of {SCORE}")
    phone.tap("Scale")
    picture = "Photograph 2, 0 marks"
    phone.touch(picture, 50, 40)
    phone.touch(picture, 250, 40)
    phone.type("Known size, mm", "50")
    phone.tap("Keep mark")
    phone.tap("Length")
    phone.drag("Photograph 2, 1 mark", (50, 120), (150, 120))
    phone.tap("Keep mark")
    phone.wait_for("they are not judged")
    phone.tap("Back")
    phone.wait_for(f"Photograph of {SCORE}. Number 2, marked")


def text_of(pdf: bytes) -> str:
    """A report's text with every run of blanks as one."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


def test_from_a_new_job_through_a_program_killed_to_the_report_in_hand(
    phone: Phone, host: Host, tmp_path: Path
) -> None:
    phone.tap("New job")
    phone.tap("Begin")
    phone.wait_for("Type your initials")
    phone.go("/")
    begin(phone, "J-77 excavator boom")
    confirm_the_cautions(phone)
    measure_the_rod(phone, host, tmp_path)
    readings = phone.says()
    for row in (
        "25 mm, 12 o'clock. within limit · typed 69.95 mm. 69.950 mm",
        "25 mm, 2 o'clock. within limit · typed 69.95 mm. 69.950 mm",
        "25 mm, 4 o'clock. within limit · typed -.055 mm. 69.945 mm",
        "300 mm, 12 o'clock. surface too damaged. not measured",
        "300 mm, 2 o'clock. within limit · typed 2.7535 in. 69.939 mm",
        "300 mm, 4 o'clock. too close to limit. 69.926 mm",
        "575 mm, 12 o'clock. within limit · typed 69.95 mm. 69.950 mm",
    ):
        assert row in readings

    job_route = phone.route().rsplit("/", 2)[0]
    phone.go(f"{job_route}/look/rod-surface")
    phone.wait_for("A mark the seal runs over")
    look_at_the_rod(phone)

    phone.go(f"{job_route}/findings")
    phone.wait_for("Rod: rework")
    phone.tap("Report")
    phone.wait_for("places are neither measured nor skipped with a reason")
    phone.tap("Make the report")
    phone.wait_for("covers all entries.")
    pdf = phone.fetch("Open the PDF")
    assert phone.faults == []

    host.kill()
    job, bench = as_on_disk(host, tmp_path / "issued")
    said = text_of(pdf)
    for words in (
        "J-77 excavator boom", "69.95", "69.945", "69.939", "69.926", "2.7535 in", "69.924", "surface too damaged",
        "within limit", "outside limit", "too close to limit", "rework", SCORE, "a nail catches", "JB",
    ):  # fmt: skip
        assert words in said, words
    assert verify(bench, pdf) == []
    rod = job.as_found.readings["rod-diameter"]
    assert {place: (reading.typed, reading.value) for place, reading in rod.items()} == {
        Place("25", "12"): ("69.95 mm", Decimal("69.95")),
        Place("25", "2"): ("69.95 mm", Decimal("69.95")),
        Place("25", "4"): ("-.055 mm", Decimal("69.945")),
        Place("300", "2"): ("2.7535 in", Decimal("2.7535") * Decimal("25.4")),
        Place("300", "4"): ("69.926 mm", Decimal("69.926")),
        **{Place("575", clock): ("69.95 mm", Decimal("69.95")) for clock in ("12", "2", "4")},
    }
    assert job.as_found.skips["rod-diameter", Place("300", "12")].reason == "too-damaged"
    assert [(d.kind, d.zone, {n: s.value for n, s in d.sizes.items()}) for d in job.as_found.defects] == [
        ("score-along", "seal-travel", {"depth": Decimal("0.06")})
    ]
    assert [(p.number, p.view) for p in job.photos] == [("1", ""), ("2", "close-up")]
    assert [p.of for p in job.photos] == ["rod-diameter", job.as_found.defects[0].id]
    assert job.photos[0].caption == "Rod diameter, 25 mm, 12 o'clock"
    known, length = job.pictured.on(job.photos[1].sha256)
    assert (known.shape, known.typed, known.value) == ("scale", "50 mm", Decimal(50))
    read = length_on(job.photos[1], [known, length], length)
    # 100 dp of the screen, where 200 dp are 50 mm; a finger is not surer than 2 dp an end
    assert read is not None
    assert abs(read.value_mm - 25) <= 1
    assert (len(job.cautions), job.opened_by, len(job.reports)) == (4, "JB", 1)
    assert "failed" not in host.told()


def as_on_disk(host: Host, copy: Path) -> tuple[Job, Bench]:
    """The latest job in a copy of the folder as the dead program left it."""
    shutil.copytree(host.folder, copy)
    bench = Bench(copy)
    return bench.jobs()[0], bench


@pytest.mark.thorough
def test_a_check_left_out_with_a_reason_says_so_until_it_is_taken_up_again(
    phone: Phone, host: Host, tmp_path: Path
) -> None:
    begin(phone, "J-79 crane")
    phone.go(f"{phone.route().removesuffix('/parts')}/measure/buffer-groove-diameter")
    phone.wait_for("Before measuring: which nominal size has it?")
    phone.tap("Skip")
    phone.wait_for("The whole check")
    phone.type("Another reason, for the whole check", "no buffer groove here")
    phone.wait_for("Left out: no buffer groove here.")
    phone.reload()
    phone.wait_for("Left out: no buffer groove here.")
    phone.tap("Undo")
    phone.wait_for("Undone: skip no buffer groove here, Buffer seal groove diameter (grooves).")
    phone.page.keyboard.type("105", delay=60)  # on a laptop's own keys
    phone.page.keyboard.press("Enter")
    phone.wait_for("Place: 12 o'clock")
    host.kill()
    job, _ = as_on_disk(host, tmp_path / "left-out")
    assert job.as_found.skips == {}
    assert job.as_found.nominals["buffer-groove-diameter"].value == Decimal(105)
