"""The customer's yes on the real screens: prepared, handed over, signed, undone by a change, signed again."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.entries.agreed import Agreeing
from inspect_app.entries.job import Job, Place
from inspect_app.entries.looking import Found
from inspect_app.entries.picturing import Marked
from inspect_app.screens.customer import wording
from inspect_app.screens.customer.showing import GIVE_BACK

SIGN_HERE = "Sign here with your finger"


@pytest.fixture
def shop(tmp_path: Path, demo_made: tuple[Path, str]) -> Iterator[tuple[Bench, Job]]:
    """The demo's folder, and in it the job that can be repaired."""
    bench = Bench(shutil.copytree(demo_made[0], tmp_path / "shop"))
    yield bench, next(job for job in bench.jobs() if "linkspan" in job.name)
    bench.close()


async def sign(at: AtTheDesk, name: str) -> None:
    """Say yes on the screen that was handed over."""
    await at.tap(wording.YES)
    await at.type(wording.NAME, name)
    await at.draw(SIGN_HERE, (20, 80), (60, 20), (90, 70), (140, 40))
    await at.tap(wording.YES)
    await at.wait_for("Thank you. Kept: yes")


async def back(at: AtTheDesk) -> None:
    """Give the phone back to the shop."""
    await at.tap(GIVE_BACK)
    await at.type("Initials of the shop", "km")
    await at.tap("Back to the job")
    await at.until(lambda: not at.desk.standing.handed, "the phone given back")


def test_from_the_findings_to_a_signed_yes_a_changed_price_and_a_second_yes(shop: tuple[Bench, Job]) -> None:
    bench, job = shop
    home = f"/job/{job.id}"
    for photo in job.photos:
        bench.enter(job, Marked(photo.sha256, "text", [(0.5, 0.5)], "look here"), "KM", "metric")

    def agreeing() -> Agreeing:
        return bench.job(job.id).agreeing

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"{home}/paths")
        await at.tap("Propose way 1 to the customer")
        await at.until(lambda: agreeing().path is not None, "the way chosen")
        await at.go(f"{home}/scope")
        said = await at.wait_for("Scope for the customer")
        assert "We can repair it" in said
        await at.tap("Show to the customer")
        said = await at.wait_for(wording.NO_OR_QUESTION)
        version = agreeing().versions[-1]
        assert version.number == 1
        assert "look here" in said
        for detail in ("Findings", "Report", "Undo", "Back", "Ra ", "TIR", "IT8"):
            assert detail not in said.split("\n")

        # neither the browser's back button nor another address leads out of it
        for route in (home, "/", f"{home}/scope"):
            await at.go(route)
            assert wording.NO_OR_QUESTION in await at.wait_for("We found")
        await at.tap(GIVE_BACK)
        await at.type("Initials of the shop", "HA")
        await at.tap("Back to the job")
        await at.wait_for("Only the shop goes back from here")
        await at.tap("Stay with the offer")
        await sign(at, "H. Aalto")
        yes = agreeing().answers[-1]
        assert (yes.answer, yes.name, yes.how, yes.by) == ("yes", "H. Aalto", "signed-here", "KM")
        assert yes.version == version.sha256
        assert len(yes.signature) == 1
        assert len(yes.signature[0]) == 8  # four points
        await back(at)
        await at.go(f"{home}/parts")
        await at.wait_for("Agreed, and it covers what will be done. H. Aalto")
        await at.go("/")
        await at.wait_for("customer: yes\n")

        line = next(iter(version.shown["lines"]))
        await at.go(f"{home}/scope/line/{line['line']}")
        await at.type("Price before tax, empty: as it was", "9876.50")
        await at.tap("Keep the line")
        await at.wait_for("Say why the price is another")
        await at.type("Reason, printed for the customer", "the plater charges more")
        await at.tap("Keep the line")
        await at.until(lambda: line["line"] in agreeing().lines, "the price put by hand")
        await at.go(f"{home}/parts")
        said = await at.wait_for("The yes no longer covers what will be done.")
        assert f"Line 1, {line['title']}: " in said
        assert ", now XTS 9 876.50." in said
        assert "It needs a new yes" in said
        await at.go("/")
        await at.wait_for("customer: yes, but it has changed since")

        await at.go(f"{home}/scope")
        await at.tap("Show to the customer")
        await at.wait_for("version 2")
        await sign(at, "H. Aalto")
        await back(at)
        await at.go(f"{home}/parts")
        await at.wait_for("Agreed, and it covers what will be done. H. Aalto")

    asyncio.run(day())
    stands = bench.job(job.id).agreeing
    assert [v.number for v in stands.versions] == [1, 2]
    assert [a.version for a in stands.answers] == [v.sha256 for v in stands.versions]


def test_a_question_waits_on_the_jobs_screen_until_it_is_answered(shop: tuple[Bench, Job]) -> None:
    bench, job = shop
    home = f"/job/{job.id}"

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"{home}/scope")
        await at.tap("Show to the customer")
        await at.tap(wording.NO_OR_QUESTION)
        await at.tap(wording.QUESTION)
        await at.wait_for("Type the name of who answers.")
        await at.type(wording.NAME, "H. Aalto")
        await at.type(wording.WORDS, "Can it wait until spring?")
        await at.tap(wording.QUESTION)
        await at.wait_for("Thank you. Kept: a question")
        await back(at)
        await at.go(f"{home}/parts")
        await at.wait_for("H. Aalto asks: Can it wait until spring?")
        await at.go("/")
        await at.wait_for("customer: asks something; no answer yet, shown ")
        (asked,) = bench.job(job.id).agreeing.asked
        await at.go(f"{home}/scope/tell/{asked.id}")
        await at.type("What they were told", "Not with this scratch.")
        await at.tap("Keep it")
        await at.until(lambda: not bench.job(job.id).agreeing.asked, "nothing asked")
        await at.go(f"{home}/parts")
        await at.wait_for("Scope for the customer. shown, not answered")
        assert "Can it wait" not in at.says()

    asyncio.run(day())


def test_a_yes_by_telephone_says_who_took_it_and_a_no_after_it_stands(shop: tuple[Bench, Job]) -> None:
    bench, job = shop

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/scope")
        await at.tap("Link, paper or telephone")
        await at.until(lambda: bool(bench.job(job.id).agreeing.versions), "a version")
        version = bench.job(job.id).agreeing.versions[-1]
        await at.go(f"/job/{job.id}/scope/shown/{version.sha256}")
        await at.wait_for("start the program with --lan")
        for says, words in (("Yes", "go ahead"), ("No", "sold it meanwhile")):
            await at.go(f"/job/{job.id}/scope/taken/{version.sha256}")
            await at.tap(says)
            await at.type("Name of who says it", "H. Aalto")
            await at.type("In their words", words)
            await at.tap("Take it down")
            await at.wait_for("Type the number that was called")
            await at.type("Number called, or address of the message", "0100 555 000")
            await at.tap("Take it down")
            await at.until(
                lambda w=words: any(a.words == w for a in bench.job(job.id).agreeing.answers), words
            )
            await at.go(f"/job/{job.id}/parts")
            await at.wait_for("Scope for the customer. ")
        said = await at.wait_for("Refused. H. Aalto")
        assert "by telephone 0100 555 000, taken by KM" in said
        await at.go("/")
        await at.wait_for("customer: no\n")

    asyncio.run(day())
    assert [a.answer for a in bench.job(job.id).agreeing.answers] == ["yes", "no"]


def test_what_somebody_has_to_answer_for_is_asked_where_the_ways_are(shop: tuple[Bench, Job]) -> None:
    bench, job = shop
    check = bench.tables_of(job).cylinders[job.cylinder].check("pins-look")
    assert check
    worn = Found(
        check, "oval-hole", Place("rod-end", ""), "load-or-pressure-path", "", "", {"difference": "0.9"}
    )
    outcome = bench.enter(job, worn, "KM", "metric")
    assert not outcome.remark, outcome.remark

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/paths")
        said = await at.wait_for("To be answered for")
        assert "Somebody qualified has to say that the eye has wall enough" in said
        await at.tap("I answer for it")
        await at.wait_for("Say who looked at it, and what makes it sure.")
        await at.type("Who looked at it, and what makes it sure", "H. A., qualified: 22 mm of wall left")
        await at.tap("I answer for it")
        await at.until(lambda: "bore-eye" in bench.job(job.id).agreeing.confirmed, "answered for")
        await at.until(lambda: "To be answered for" not in at.says(), "nothing to answer for")

    asyncio.run(day())
