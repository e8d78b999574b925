"""The host of a phone alone, with a browser of the test's own: what it says, hands over, keeps and refuses."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import AtTheDesk, ByHand, Nobody
from click.testing import CliRunner
from flet.controls.context import _context_page
from flet.messaging.session import Session

from inspect_app.alone import start
from inspect_app.alone.developing import AsItIs, InHand
from inspect_app.alone.page import carried_to_disk
from inspect_app.alone.phone import HANDED, PhoneAlone
from inspect_app.alone.told import Mark, mark_of
from inspect_app.bench.backing_up import restore
from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.proving import verify
from inspect_app.commands.cli import main
from inspect_app.entries.deciding import Decision
from inspect_app.entries.opening import Nameplate
from inspect_app.logbook.photos import BROKEN, HEIC
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import Note
from inspect_app.trade.measuring.refusal import Refusal


@dataclass
class Browser:
    """What worker.js offers, by hand."""

    told: SimpleNamespace = field(default_factory=lambda: SimpleNamespace(base="/tools/"))
    answer: str = "shared"
    shared: list[tuple[str, str, bytes]] = field(default_factory=list)
    published: list[tuple[str, str, bytes]] = field(default_factory=list)
    asked: list[tuple[str, Any]] = field(default_factory=list)
    decoded: Any = None

    async def ask(self, what: str, given: Any = None) -> None:
        """Notes it."""
        self.asked.append((what, given))

    async def share(self, name: str, kind: str, content: bytes) -> str:
        """As the person answered."""
        self.shared.append((name, kind, content))
        return self.answer

    async def publish(self, path: str, name: str, content: bytes) -> None:
        """Notes it."""
        self.published.append((path, name, content))

    async def develop(self, content: bytes, longest: int, small: int, quality: float) -> Any:
        """What was laid ready, or the decoder's error."""
        if self.decoded is None:
            raise ValueError("InvalidStateError: The source image could not be decoded.")
        return self.decoded


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "phone", device="A")


def with_host(bench: Bench, browser: Browser, does: Callable[[PhoneAlone], Awaitable[None]]) -> None:
    """Do something with a host inside an event loop, and let what it began come to its end."""

    async def run() -> None:
        session = Session(Nobody())
        _context_page.set(session.page)  # a client's action belongs to the page it is made on
        host = PhoneAlone(session.page, cast(Any, browser), bench)
        await does(host)
        await asyncio.sleep(0)
        await asyncio.sleep(0)

    asyncio.run(run())


def test_a_document_opens_by_a_link_where_the_app_is_kept_and_is_handed_over_else(bench: Bench) -> None:
    browser = Browser()

    async def does(host: PhoneAlone) -> None:
        touch = host.opening("a.pdf", b"%PDF")
        assert touch.action is None
        assert touch.then
        await touch.then(None)
        browser.told.ready = "yes"
        twice = [host.opening("a.pdf", b"%PDF") for _ in range(2)]
        urls = {cast(Any, t.action).url for t in twice}
        assert len(urls) == 1
        assert urls.pop().startswith("/tools/document/")

    with_host(bench, browser, does)
    assert browser.shared == [("a.pdf", "application/pdf", b"%PDF")]
    assert [(path.rpartition("/")[2], made) for path, _, made in browser.published] == [("a.pdf", b"%PDF")]


def test_a_file_is_handed_over_as_what_it_is(bench: Bench) -> None:
    browser = Browser()

    async def does(host: PhoneAlone) -> None:
        for name in ("a.pdf", "job-1.zip"):
            then = host.handing_over(name, b"made").then
            assert then
            await then(None)

    with_host(bench, browser, does)
    assert [kind for _, kind, _ in browser.shared] == ["application/pdf", "application/zip"]


def test_a_job_goes_to_the_shop_and_comes_back_with_what_the_shop_entered(
    bench: Bench, tmp_path: Path
) -> None:
    """By the phone's share sheet, the prompt of the shop's computer twice, and the phone's own picker."""
    browser, shop, file = Browser(), tmp_path / "shop", tmp_path / "job-1.zip"
    job = bench.open_job("J-1", "JB").id
    carried: list[bytes] = []

    async def out(host: PhoneAlone) -> None:
        then = host.handing_over("job-1.zip", pack_job(bench, job)).then
        assert then
        await then(None)

    async def back(_: PhoneAlone) -> None:
        carried.append(await AsItIs("job-1.zip", file.read_bytes()).bring(lambda share: None))

    def prompt(*asked: str) -> str:
        said = CliRunner().invoke(main, [*asked, "--data", str(shop)])
        assert said.exit_code == 0, said.output
        return said.stdout

    with_host(bench, browser, out)
    file.write_bytes(browser.shared[0][2])
    assert [prompt("import", str(file)) for _ in range(2)] == [
        "J-1: 1 entry is new, 0 stood here already or are kept aside.\n",
        "J-1: 0 entries are new, 1 stood here already or are kept aside.\n",
    ]
    there = Bench(shop)
    there.enter(there.job(job), Decision("rod", "replace", "seen at the shop"), "AB", "metric")
    there.close()
    bench.enter(bench.job(job), Decision("rod", "reuse", "seen in the yard"), "JB", "metric")
    prompt("export", "J-1", str(file))
    with_host(bench, browser, back)
    for _ in range(2):
        take_in_job(bench, read_job(BytesIO(carried[0]), "job-1.zip"))
    file.write_bytes(pack_job(bench, job))
    prompt("import", str(file))
    prompt("verify")
    there = Bench(shop)
    assert there.logbook.head(job) == bench.logbook.head(job)
    reasons = [e.body["reason"] for e in bench.logbook.entries(job) if e.kind == "decision"]
    assert sorted(reasons) == ["seen at the shop", "seen in the yard"]
    assert verify(there) == verify(bench) == []


def only(notes: object, does: str) -> Note:
    """The note that does this."""
    (found,) = (n for n in cast(list[Note], notes) if n.does == does)
    return found


@pytest.mark.parametrize("answer", ["shared", "downloaded", "left"])
def test_what_was_handed_over_is_a_data_folder_and_counts_unless_the_person_left(
    bench: Bench, tmp_path: Path, answer: str
) -> None:
    browser = Browser(answer=answer)
    job = bench.open_job("J-1", "JB")

    async def does(host: PhoneAlone) -> None:
        assert "Not handed over yet" in only(host.notes(), "Hand everything over").words
        then = only(host.notes(), "Hand everything over").then
        assert then
        await then()
        counts = "Handed over last on" in only(host.notes(), "Hand everything over").words
        assert counts is (answer != "left")

    with_host(bench, browser, does)
    ((name, kind, content),) = browser.shared
    assert (name[-4:], kind) == (".zip", "application/zip")
    (tmp_path / name).write_bytes(content)
    assert list(restore(tmp_path / name, tmp_path / "shop")) == [f"{tmp_path / 'shop'}: restored."]
    there = Bench(tmp_path / "shop")
    assert verify(there) == []
    assert there.logbook.entries(job.id) == bench.logbook.entries(job.id)


def test_data_that_is_gone_is_said_until_it_was_read_and_outlives_a_restart(bench: Bench) -> None:
    browser = Browser()
    browser.told.held = Mark("another device", 2, "2026-03-02T08:00:00.000Z", "").text()

    async def first(host: PhoneAlone) -> None:
        host.compare()

    async def again(host: PhoneAlone) -> None:
        host.compare()
        note = only(host.notes(), "I have read it")
        assert "It held 2 jobs" in note.words
        assert note.then
        await note.then()
        assert not [n for n in host.notes() if "deleted from" in n.words]

    with_host(bench, browser, first)
    held = mark_of([given for what, given in browser.asked if what == "hold"][-1])
    assert held
    assert held.device == "A"
    browser.told.held = held.text()
    with_host(bench, browser, again)


def test_an_empty_folder_that_never_held_a_job_was_not_deleted(bench: Bench) -> None:
    browser = Browser()
    browser.told.held = Mark("another device", 0, "", "").text()

    async def does(host: PhoneAlone) -> None:
        host.compare()
        assert not [n for n in host.notes() if "deleted" in n.words and n.role == "beyond"]

    with_host(bench, browser, does)


def test_a_newer_version_waits_to_be_asked_for(bench: Bench) -> None:
    browser = Browser()
    browser.told.renewal = True

    async def does(host: PhoneAlone) -> None:
        assert not [what for what, _ in browser.asked if what == "renew"]
        then = only(host.notes(), "Start the new version").then
        assert then
        await then()

    with_host(bench, browser, does)
    assert [what for what, _ in browser.asked] == ["renew"]


def test_what_the_browser_could_not_bring_to_the_disk_is_not_saved(tmp_path: Path) -> None:
    def refuse() -> None:
        raise OSError("InvalidStateError")

    page = cast(Any, SimpleNamespace(folder=SimpleNamespace(flush=refuse)))
    with pytest.raises(NotSaved, match="NOT saved: the browser could not bring it to the disk"):
        carried_to_disk(page)()
    bench = Bench(tmp_path / "phone", flush=lambda: None)
    bench.logbook.flush = carried_to_disk(page)
    with pytest.raises(NotSaved):
        bench.set_setting("A", HANDED, "x", "JB")


def brought(browser: Browser, content: bytes) -> Any:
    """A picked photograph as it comes here."""
    return asyncio.run(InHand(cast(Any, browser), "a.jpg", content).bring(lambda share: None))


def test_a_photograph_is_what_the_browsers_decoder_made_and_names_the_file_it_was_made_of() -> None:
    jpeg, small = SimpleNamespace(to_bytes=lambda: b"large"), SimpleNamespace(to_bytes=lambda: b"small")
    made = brought(
        Browser(decoded=SimpleNamespace(jpeg=jpeg, thumbnail=small, width=2048, height=1536)), b"abc"
    )
    # SHA-256 of "abc": FIPS 180-2, B.1
    assert made.original_sha256 == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert (made.developed.jpeg, made.developed.thumbnail) == (b"large", b"small")
    assert (made.developed.width, made.developed.height, made.developed.taken_at) == (2048, 1536, "")


@pytest.mark.parametrize(
    ("content", "says"), [(b"", "empty"), (b"no photograph", BROKEN), (b"\0\0\0\x18ftypheic", HEIC)]
)
def test_what_the_browser_cannot_decode_is_refused_in_words(content: bytes, says: str) -> None:
    with pytest.raises(Refusal, match=says[:40].replace("(", r"\(")):
        brought(Browser(), content)


def test_every_screen_is_drawn_anew_once_documents_open_in_another_way(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A report that was on the screen while the app was made ready would else go on handing its PDF over instead."""
    heard: list[Callable[[], None]] = []
    followed: list[float] = []
    in_a_job = SimpleNamespace(shows=lambda job_id: False, follow_soon=followed.append)
    browser = SimpleNamespace(
        told=SimpleNamespace(ready="coming"), listen=heard.append, mark=lambda name: None
    )

    def shown(
        bench: Bench, host_of: object, floor: Floor, name_of: object
    ) -> Callable[[Any], Awaitable[None]]:
        async def draw(view: Any) -> None:
            floor.join(cast(Any, in_a_job))

        return draw

    monkeypatch.setattr(start, "session", shown)
    asyncio.run(start._session(*cast(Any, (None, browser, bench, None))))
    heard[0]()
    assert followed == []
    browser.told.ready = "yes"
    for _ in range(2):
        heard[0]()
    assert len(followed) == 1


def test_on_a_full_phone_the_number_stays_typed_and_is_not_called_saved(tmp_path: Path) -> None:
    room = True

    def flush() -> None:
        if not room:
            raise OSError("QuotaExceededError")

    page = cast(Any, SimpleNamespace(folder=SimpleNamespace(flush=flush)))
    bench = Bench(tmp_path / "phone", flush=carried_to_disk(page))
    job = bench.open_job("J-1", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job

    async def day() -> None:
        nonlocal room
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter")
        await at.wait_for("Place: 25 mm, 12 o'clock")
        room = False
        await at.key("69.95⏎")
        said = await at.wait_for("0 of 9\nnot saved")
        assert "NOT saved: the browser could not bring it to the disk" in said
        assert "69.95 mm" in said
        assert "Place: 25 mm, 12 o'clock" in said
        room = True
        await at.key("⏎")
        assert "not saved" not in await at.wait_for("1 of 9\nsaved")

    asyncio.run(day())
    bench.close()
    again = Bench(tmp_path / "phone").job(job.id).as_found.readings["rod-diameter"]
    assert [r.typed for r in again.values()] == ["69.95 mm"]


def test_of_a_photograph_that_is_saved_the_cameras_file_is_let_go_of(tmp_path: Path) -> None:
    """It is some megabytes each, and a browser gives Python no more than some hundred of them."""
    bench = Bench(tmp_path / "phone")
    job = bench.open_job("J-1", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job
    jpeg, small = SimpleNamespace(to_bytes=lambda: b"large"), SimpleNamespace(to_bytes=lambda: b"small")
    browser = Browser(decoded=SimpleNamespace(jpeg=jpeg, thumbnail=small, width=2048, height=1536))
    host = ByHand(
        ready=[InHand(cast(Any, browser), "a.jpg", b"abc"), InHand(cast(Any, browser), "b.jpg", b"")]
    )

    async def day() -> None:
        at = AtTheDesk(bench, host, f"/job/{job.id}/measure/rod-diameter")
        await at.tap("Photograph this place")
        await at.wait_for("b.jpg: not saved: this photograph is empty")
        await at.wait_for("1 saved")
        assert [p.picked.name for p in at.desk.pictures.all] == ["b.jpg"]

    asyncio.run(day())
