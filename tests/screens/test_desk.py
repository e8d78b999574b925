"""The desk with another host than a server: documents open and photographs come in without any route."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path

import pymupdf
import pytest
from at_the_desk import AtTheDesk, ByHand
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job, Place
from inspect_app.entries.looking import Found
from inspect_app.entries.opening import Nameplate
from inspect_app.job.places import places_of
from inspect_app.logbook.photos import Developed, path, thumb
from inspect_app.screens.host import Made
from inspect_app.trade.measuring.refusal import Refusal


def words_of(pdf: bytes) -> str:
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


@dataclass
class Laid:
    """A photograph that comes when it is let go."""

    name: str
    comes: bytes | Made | Refusal
    told: list[str] = field(default_factory=list)
    go: asyncio.Event = field(default_factory=asyncio.Event)

    async def bring(self, moved: Callable[[float], None]) -> bytes | Made:
        moved(0.37)
        await self.go.wait()
        if isinstance(self.comes, Refusal):
            raise self.comes
        return self.comes


def jpeg(color: str) -> bytes:
    file = BytesIO()
    Image.new("RGB", (640, 480), color).save(file, "JPEG")
    return file.getvalue()


@pytest.fixture
def scored(tmp_path: Path) -> tuple[Bench, Job]:
    """A rod with one score, to be photographed."""
    bench = Bench(tmp_path)
    job = bench.open_job("T-9 photographs", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job
    check = bench.tables_of(job).cylinders[job.cylinder].check("rod-surface")
    assert check
    found = Found(check, "score-along", Place("300", "12"), "seal travel", "felt", "", {})
    return bench, bench.enter(job, found, "KM", "metric").job


def test_report_and_seal_list_open_where_there_is_no_server(scored: tuple[Bench, Job]) -> None:
    (bench, job), host = scored, ByHand()

    async def day() -> None:
        at = AtTheDesk(bench, host, f"/job/{job.id}/report")
        await at.tap("Make the report")
        await at.tap("Open the PDF")
        await at.go(f"/job/{job.id}/seals")
        await at.tap("Make the PDF")
        await at.tap("Open the PDF")
        await at.until(lambda: len(host.opened) == 2, "two documents")

    asyncio.run(day())
    (report_name, report), (seals_name, seals) = host.opened
    issued = bench.job(job.id).reports[-1]
    assert issued is not None
    assert hashlib.sha256(report).hexdigest() == issued.sha256
    assert report_name == f"inspection-{issued.sha256[:8]}.pdf"
    assert "Score, lengthwise" in words_of(report)
    assert seals_name.startswith("seal-list-")
    assert "can be ordered" in words_of(seals)
    # nothing was left behind for it: the report alone is kept
    assert [f.name for f in (bench.folder / "reports").iterdir()] == [f"{issued.sha256}.pdf"]


def test_photographs_come_one_by_one_from_a_picker_that_hands_over_bytes(scored: tuple[Bench, Job]) -> None:
    bench, job = scored
    made = Made(Developed(jpeg("red"), jpeg("darkred"), 640, 480, "2026-11-27T08:00:00"), "ab" * 32)

    async def day() -> None:
        laid = [
            Laid("as it came.jpg", jpeg("blue")),
            Laid("none.jpg", b"not a photograph"),
            Laid("stuck.jpg", Refusal("the phone did not send it; take it again")),
            Laid("made.jpg", made),
        ]
        host = ByHand(ready=[*laid])
        at = AtTheDesk(bench, host, f"/job/{job.id}/look/rod-surface")
        await at.tap("Another photograph")
        said = await at.wait_for("as it came.jpg: 37 %")
        for waiting in laid[1:]:
            assert f"{waiting.name}: waiting" in said
        assert bench.job(job.id).photos == ()
        for photograph in laid:
            photograph.go.set()
        said = await at.wait_for("2 saved")
        assert "none.jpg: not saved: this file is no photograph known here" in said
        assert "stuck.jpg: not saved: the phone did not send it; take it again" in said
        assert "made.jpg" not in said
        # what failed has been seen once the next one is picked
        host.ready = [late := Laid("late.jpg", jpeg("green"))]
        late.go.set()
        await at.tap("Another photograph")
        assert "not saved" not in await at.wait_for("3 saved")

    asyncio.run(day())
    first, second, _ = bench.job(job.id).photos
    assert {p.of for p in bench.job(job.id).photos} == {job.as_found.defects[0].id}
    assert first.original_sha256 == hashlib.sha256(jpeg("blue")).hexdigest()
    # made already: kept to the byte, no decoder of ours asked
    assert (second.original_sha256, second.taken_at) == ("ab" * 32, "2026-11-27T08:00:00")
    assert path(second.sha256, bench.photos).read_bytes() == jpeg("red")
    assert thumb(second.sha256, bench.photos).read_bytes() == jpeg("darkred")


@pytest.mark.parametrize(("width", "beside"), [(390, False), (1280, True)])
def test_an_order_opens_beside_the_list_only_where_there_is_room(
    scored: tuple[Bench, Job], width: int, beside: bool
) -> None:
    bench, _ = scored

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), "/")
        at.page.width = width
        await at.go("/orders")
        await at.wait_for("To order today")
        assert ("its order opens here" in at.says()) is beside

    asyncio.run(day())


def test_what_the_disk_refused_is_said_not_saved_and_stays_typed_until_it_is(tmp_path: Path) -> None:
    folder, aside = tmp_path / "shop", tmp_path / "aside"
    bench = Bench(folder)
    job = bench.open_job("T-9 no disk", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter")

        async def touch(*keys: str) -> None:
            for key in keys:
                await at.tap(key)

        await touch("6", "9", "point", "9", "5", "enter")
        await at.wait_for("1 of 9\nsaved")
        folder.rename(aside)
        await at.wait_for("69. stands, 2 to type")
        await touch("9", "4", "enter")
        said = await at.wait_for("1 of 9\nnot saved")
        assert "NOT saved in the logbook (logbook.db): the data folder was removed" in said
        assert "69.94 mm" in said
        assert "Place: 25 mm, 2 o'clock" in said
        await at.go(f"/job/{job.id}/look/rod-surface")
        await at.tap("Looked: nothing found")
        await at.wait_for("not saved")
        assert "rod-surface" not in bench.job(job.id).as_found.looked
        aside.rename(folder)
        await at.go(f"/job/{job.id}/measure/rod-diameter")
        await at.wait_for("1 of 9\nnot saved")
        await touch("enter")
        assert "not saved" not in await at.wait_for("2 of 9\nsaved")

    asyncio.run(day())
    bench.close()
    again = Bench(folder)
    read = again.job(job.id).as_found.readings["rod-diameter"].values()
    assert [r.typed for r in read] == ["69.95 mm", "69.94 mm"]
    again.close()


def test_typed_again_is_typed_at_the_place_that_was_chosen(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "shop")
    job = bench.open_job("T-9 again", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job
    check = bench.tables_of(job).cylinders[job.cylinder].check("rod-diameter")
    assert check
    here = Place("25", "12")
    for place in places_of(check, job.as_found):
        job = bench.measure(job, check, place, "69.95", "KM", "metric").job

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter")
        await at.tap("25 mm, 12 o'clock. within limit · typed 69.95 mm. 69.950 mm")
        await at.wait_for("stands here now")
        for key in ("6", "9", "9", "4", "enter", "Type it again"):
            await at.tap(key)
        said = await at.wait_for("stands here now: within limit. 69.950 mm")
        assert "Place: 25 mm, 12 o'clock" in said
        assert "no number yet" in said
        for key in ("6", "9", "point", "9", "4", "enter"):
            await at.tap(key)
        await at.wait_for("25 mm, 12 o'clock. within limit · typed 69.94 mm. 69.940 mm")

    asyncio.run(day())
    assert bench.job(job.id).as_found.readings["rod-diameter"][here].typed == "69.94 mm"
    bench.close()
