"""Every screen, in every light, unit and size: nothing cut off, nothing too small to hit, nothing fetched from afar."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import pytest
from by_touch import confirm, job_to_test, let_it_go, take_the_log, text_of
from host import Host
from phone import Node, Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.bench.scoping import answer, freeze
from inspect_app.calculators import CALCULATORS
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.showing import GIVE_BACK
from inspect_app.screens.pieces.look import LOOK_TITLES, LOOKS, TOUCH, Look

SMALL, ORDINARY, TABLET, LAPTOP = (360, 740), (390, 844), (820, 1180), (1280, 800)
LANDSCAPE = (844, 390)
SIGN_HERE = "Sign here with your finger"
DRAWN = [(30, 60), (60, 20), (90, 70), (140, 30), (200, 60)]
BROKEN = ("Something went wrong", "Error running app", "Traceback")


@dataclass(frozen=True, slots=True)
class Screen:
    """A route and words that are on its screen alone."""

    route: str
    words: str


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory, demo_made: tuple[Path, str]) -> Iterator[Host]:
    folder = tmp_path_factory.mktemp("screens") / "demo"
    asked_about(shutil.copytree(demo_made[0], folder))
    with Host(folder) as host:
        yield host


def asked_about(folder: Path) -> None:
    """Show the scope of the demo's job that can be repaired, have its customer ask something; a job to test."""
    bench = Bench(folder)
    job = next(job for job in bench.jobs() if "linkspan" in job.name)
    job, version = freeze(bench, job, "KM", "metric")
    asks = "Can it wait until spring?"
    outcome = answer(
        bench, job, version, "question", by="KM", name="H. Aalto", how="telephone", to="0100", words=asks
    )
    assert not outcome.remark
    job_to_test(bench)
    bench.close()


@pytest.fixture(scope="module")
def opened(browser: Browser, host: Host) -> Iterator[tuple[Phone, list[str]]]:
    """A phone that was never here, and what it asks for until it shows the list of jobs."""
    phone = Phone(browser, host.url)
    phone.wait_for("D-01 linkspan, port side")
    yield phone, [url for url in phone.asked if url.startswith(host.url)]
    phone.close()


@pytest.fixture(scope="module")
def first_asked(opened: tuple[Phone, list[str]]) -> list[str]:
    return opened[1]


@pytest.fixture(scope="module")
def phone(opened: tuple[Phone, list[str]]) -> Phone:
    phone = opened[0]
    phone.go("/settings")
    phone.type("Your initials", "KM")
    return phone


@pytest.fixture(scope="module")
def screens(host: Host) -> list[Screen]:
    """Every route there is, with the demo's jobs where it needs one."""
    with sqlite3.connect(f"file:{host.folder / 'logbook.db'}?mode=ro", uri=True) as log:
        opened = log.execute("SELECT job, body FROM entries WHERE kind = 'job'")
        ids = {json.loads(body)["name"][:4]: job for job, body in opened}

        def said(kind: str, column: str) -> list[str]:
            sql = f"SELECT {column} FROM entries WHERE kind = ? AND job = ? ORDER BY seq"
            return [text for (text,) in log.execute(sql, (kind, ids["D-01"]))]

        shown, asked = said("scope-version", "body")[0], said("customer-answer", "id")[0]
        pictures = said("photo", "id")
    half, scrap, good = (f"/job/{ids[name]}" for name in ("D-03", "D-02", "D-01"))
    version = json.loads(shown)["sha256"]
    return [
        Screen("/", "Cylinders on the bench"),
        Screen("/new", "Job number or tag"),
        Screen("/settings", "Text size"),
        Screen("/gauge/bore-gauge", "Uncertainty ±"),
        Screen("/calc", "Calculators"),
        Screen("/calc/fit", "Fit"),
        Screen("/calc/o-ring", "O-ring"),
        Screen("/calc/bore-grid", "Bore grid"),
        Screen("/nowhere", "There is no such screen."),
        Screen("/job/none", "There is no job none in this logbook"),
        Screen(half, "Go on: Measure"),
        Screen(f"{half}/parts", "Go on: "),
        Screen(f"{half}/step/receiving", "Brought by"),
        Screen(f"{half}/step/make-safe", "Open to the air"),
        Screen(f"{half}/step/release", "Taken by"),
        Screen(f"{half}/test/proof-cap", "The cautions come first"),
        Screen(f"{half}/torque/piston-nut", "Where is the torque from?"),
        Screen("/means/hoist", "Rated up to"),
        Screen(f"{half}/nameplate", "For measuring"),
        Screen(f"{half}/cautions", "Before opening"),
        Screen(f"{half}/findings", "Not decided yet"),
        Screen(f"{half}/report", "places are neither measured nor skipped"),
        Screen(f"{half}/present", "left to answer"),
        Screen(f"{half}/short-look", "Short look first"),
        Screen(f"{half}/measure/bore-diameter", "0 of 15"),
        Screen(f"{half}/measure/rod-runout", "2 of 3"),
        Screen(f"{half}/measure/rod-seal-groove-diameter", "Before measuring: which nominal size"),
        Screen(f"{half}/look/rod-surface", "Looked: nothing found"),
        Screen(f"{half}/measure/piston-clearance", "There is no such screen in this job."),
        Screen(f"{good}/parts", "0 to do"),
        Screen(f"{good}/measure/rod-diameter", "Readings: tap one to take it again"),
        Screen(f"{good}/measure/rod-hardness", "Left out: no hardness tester in the shop."),
        Screen(f"{good}/look/rod-surface", "Photograph of Score, lengthwise"),
        Screen(f"{good}/photos", "Photograph the cylinder"),
        Screen(f"{good}/photo/{pictures[0]}", "Larger"),
        Screen(f"{good}/compare/{pictures[0]}", "Compare number 1 with"),
        Screen(f"{good}/compare/{'/'.join(pictures[:2])}", "Compare 1 and 2"),
        Screen(f"{good}/findings", "Rod: rework"),
        Screen(f"{scrap}/look/bore-surface", "three lines side by side"),
        Screen(f"{scrap}/findings", "Replace the cylinder"),
        Screen(f"{good}/seals", "7 lines, "),
        Screen(f"{half}/seals", "nobody has said"),
        Screen(f"{good}/seals/rod-seal/gland", "Can be ordered"),
        Screen("/orders", "To order today"),
        Screen(f"{good}/paths", "Way 1, offered"),
        Screen(f"{scrap}/paths", "Refused 1 of 2"),
        Screen(f"{good}/scope", "Scope for the customer"),
        Screen(f"{scrap}/scope", "We advise a new cylinder."),
        Screen(f"{good}/scope/line/reseal", "Keep the line"),
        Screen(f"{good}/scope/terms", "Keep the terms"),
        Screen(f"{good}/scope/photos", "Touch a photograph"),
        Screen(f"{good}/scope/shown/{version}", "H. Aalto"),
        Screen(f"{good}/scope/taken/{version}", "Take it down"),
        Screen(f"{good}/scope/tell/{asked}", "What they were told"),
    ]


def cut_off(nodes: list[Node], width: float) -> list[str]:
    """What reaches beyond the screen's sides."""
    return [
        f"{n.name!r} from {n.left:g} to {n.right:g}" for n in nodes if n.left < -0.5 or n.right > width + 0.5
    ]


def hard_to_hit(nodes: list[Node]) -> list[str]:
    """What is meant to be tapped, and has no name, is too low, or lies upon another."""
    tapped = [n for n in nodes if n.tapped]
    wrong = [f"{n} has no name" for n in tapped if not n.name]
    wrong += [f"{n.name!r} is {n.height:g} high" for n in tapped if n.whole and n.height < TOUCH - 0.01]
    for a, b in combinations([n for n in tapped if n.whole], 2):
        across = min(a.right, b.right) - max(a.left, b.left)
        down = min(a.bottom, b.bottom) - max(a.top, b.top)
        if across > 0.5 and down > 0.5:
            wrong.append(f"{a.name!r} lies upon {b.name!r}")
    return wrong


def out_of_reach(nodes: list[Node], height: float) -> list[str]:
    """Keys of the keypad that are not wholly on the screen."""
    keys = {n.name: n for n in nodes}
    if "plus or minus" not in keys:
        return []
    wanted = [*"0123456789", "point", "delete", "enter"]
    return [k for k in wanted if k not in keys or not 0 <= keys[k].top <= keys[k].bottom <= height]


def faults_of(phone: Phone, nodes: list[Node]) -> list[str]:
    """Everything wrong with the screen that is shown."""
    said = "\n".join(n.name for n in nodes)
    broken = [words for words in BROKEN if words in said]
    found = broken + cut_off(nodes, phone.width) + hard_to_hit(nodes) + out_of_reach(nodes, phone.height)
    return [f"{phone.route()} at {phone.width}x{phone.height}: {fault}" for fault in found]


def choose(phone: Phone, *choices: str) -> None:
    """Set the phone as its settings offer."""
    phone.go("/settings")
    phone.wait_for("Text size")
    for choice in choices:
        phone.tap(choice)
    phone.settle()


# a look changes colours and not one size, so each is met once, and both systems of units
@pytest.mark.parametrize(
    ("look", "units"),
    [
        pytest.param("Light", "Metric", marks=pytest.mark.thorough),
        pytest.param("Dark", "Inch", marks=pytest.mark.thorough),
        pytest.param(LOOK_TITLES["sun"], "Metric", marks=pytest.mark.thorough),
    ],
)
def test_every_screen_is_whole_on_both_phones(
    phone: Phone, screens: list[Screen], look: str, units: str
) -> None:
    phone.resize(ORDINARY)
    choose(phone, look, units, "Normal")
    wrong = []
    for screen in screens:
        phone.go(screen.route)
        phone.wait_for(screen.words)
        wrong += faults_of(phone, phone.settle())
        phone.resize(SMALL)
        wrong += faults_of(phone, phone.settle())
        phone.resize(ORDINARY)
    assert wrong == []
    assert phone.faults == []


@pytest.mark.parametrize(
    ("size", "choices"),
    [
        pytest.param(SMALL, ("Dark", "Inch", "Largest"), id="small phone, largest text, inches"),
        pytest.param(
            SMALL,
            ("Bright sun", "Metric", "Largest"),
            id="small phone, bright sun",
            marks=pytest.mark.thorough,
        ),
        pytest.param(
            LANDSCAPE, ("Light", "Metric", "Normal"), id="phone on its side", marks=pytest.mark.thorough
        ),
        pytest.param(TABLET, ("Dark", "Metric", "Normal"), id="tablet", marks=pytest.mark.thorough),
        pytest.param(LAPTOP, ("Light", "Inch", "Normal"), id="laptop", marks=pytest.mark.thorough),
    ],
)
def test_every_screen_is_whole_on_other_sizes(
    phone: Phone, screens: list[Screen], size: tuple[int, int], choices: tuple[str, ...]
) -> None:
    phone.resize(ORDINARY)
    choose(phone, *choices)
    phone.resize(size)
    wrong = []
    for screen in screens:
        if size == LANDSCAPE and screen.route.startswith("/calc/"):
            continue  # a calculator's keys are scrolled to there
        phone.go(screen.route)
        phone.wait_for(screen.words)
        wrong += faults_of(phone, phone.settle())
    assert wrong == []
    assert phone.faults == []


def draw(phone: Phone, *points: tuple[float, float]) -> None:
    """Draw in the box with a finger, which leaves it when it is done."""
    box = phone.finds(SIGN_HERE)
    assert box
    touch = phone.context.new_cdp_session(phone.page)
    kinds = ["touchStart", *["touchMove"] * (len(points) - 1)]
    for kind, (x, y) in zip(kinds, points, strict=True):
        at = [{"x": box.left + x, "y": box.top + y}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    phone.wait_for(f"Signed. {SIGN_HERE}")


def agree(phone: Phone) -> None:
    """Sign what is shown, and give the phone back."""
    phone.tap(wording.YES)
    phone.wait_for("Clear")
    phone.type(wording.NAME, "H. Aalto")
    draw(phone, *DRAWN)
    phone.tap(wording.YES)
    phone.wait_for("Thank you. Kept: yes")
    phone.tap(GIVE_BACK)
    phone.type("Initials of the shop", "KM")
    phone.tap("Back to the job")
    phone.wait_for("Agreed, and it covers what will be done. H. Aalto")


def test_a_finger_signs_what_it_was_handed(phone: Phone, screens: list[Screen]) -> None:
    phone.resize(SMALL)
    phone.go(next(screen.route for screen in screens if screen.words == "Scope for the customer"))
    phone.tap("Show to the customer")
    agree(phone)
    assert phone.faults == []


@pytest.mark.thorough
def test_a_log_is_tested_by_touch_after_its_cautions_and_the_certificate_opens(
    phone: Phone, tmp_path: Path
) -> None:
    phone.resize(ORDINARY)
    phone.go("/")
    phone.tap("J-80 press")
    phone.wait_for("Go on: Pressure test")
    job = phone.route()
    phone.go(f"{job}/test/hold")
    phone.wait_for("The cautions come first: 5 are not confirmed.")
    assert "Choose a file" not in phone.says()
    confirm(phone, 5)
    take_the_log(phone, tmp_path)
    phone.go(f"{job}/step/release")
    let_it_go(phone)
    phone.tap("Close with something missing")
    phone.wait_for("Still open: Pressure test.")
    phone.type("Reason", "the customer tests it himself")
    phone.tap("Close it all the same")
    phone.wait_for_route(job)
    phone.go(f"{job}/step/release")
    phone.tap("Make the certificate")
    said = text_of(phone.fetch("Open the PDF"))
    assert "Released by KM" in said
    assert "Pressure test: not proven" in said
    assert phone.faults == []


@pytest.mark.thorough
def test_every_calculator_opens_whole(phone: Phone) -> None:
    phone.resize(SMALL)
    choose(phone, "Light", "Metric", "Normal")
    wrong = []
    for calculator in CALCULATORS:
        phone.go(f"/calc/{calculator.name}")
        phone.wait_for(calculator.title)
        wrong += faults_of(phone, phone.nodes())
    assert wrong == []
    assert phone.faults == []


def test_the_first_screen_asks_for_few_files_and_for_each_once(first_asked: list[str]) -> None:
    assert sorted(first_asked) == sorted(set(first_asked))
    assert (
        len(first_asked) <= 40
    )  # each is a way over the shop's Wi-Fi and back; how long: benchmark_first_screen


def test_nothing_is_fetched_from_another_host(phone: Phone, host: Host) -> None:
    # the stock client asks for an animation runtime from elsewhere; the page's policy keeps that in the browser
    abroad = [url for url in phone.asked if not url.startswith((host.url, "data:", "blob:"))]
    assert len(phone.asked) > 20
    assert set(abroad) == set(phone.withheld)


def test_a_sign_the_font_lacks_does_not_send_the_client_begging_for_fonts(phone: Phone) -> None:
    phone.resize(ORDINARY)
    phone.go("/")
    phone.wait_for("Cylinders on the bench")
    before = len(phone.asked)
    phone.type("Search", "D-0\N{RIGHTWARDS ARROW}\N{GRINNING FACE}")
    phone.page.wait_for_timeout(1500)
    assert len(phone.asked) - before < 10  # it asked 30 times a second, without end


# ---- what can be known without a browser


def contrast(one: str, other: str) -> float:
    """The contrast of two colours, as WCAG 2.2 defines contrast ratio and relative luminance."""

    def luminance(colour: str) -> float:
        parts = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
        r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_the_one_wcag_names() -> None:
    assert contrast("#FFFFFF", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(
        4.48, abs=0.005
    )  # the well-known grey just below 4.5


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_text_stands_out_seven_to_one_and_lines_three_to_one(look: Look) -> None:
    texts = (look.ink, look.soft, look.accent, look.within, look.beyond, look.unclear, look.unmeasured)
    for ground in (look.paper, look.raised):
        assert min(contrast(text, ground) for text in texts) >= 7
        assert contrast(look.rule, ground) >= 3
    assert contrast(look.on_accent, look.accent) >= 7


@pytest.mark.thorough
def test_a_bench_without_jobs_has_no_screen_to_fear(
    tmp_path_factory: pytest.TempPathFactory, browser: Browser
) -> None:
    folder = tmp_path_factory.mktemp("empty") / "shop"
    Bench(folder).close()
    with Host(folder) as host:
        phone = Phone(browser, host.url, SMALL)
        phone.wait_for("No job yet. Begin with the one on the bench.")
        assert faults_of(phone, phone.settle()) == []
        phone.close()
