"""The customer's yes in a browser: the whole way with a finger that draws, and every panel whole on a small phone."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.screens.customer import wording
from inspect_app.screens.customer.showing import GIVE_BACK
from tests.screens.test_screens import SMALL, agree, choose, faults_of


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory, demo_made: tuple[Path, str]) -> Iterator[Host]:
    folder = tmp_path_factory.mktemp("customer") / "demo"
    with Host(shutil.copytree(demo_made[0], folder)) as host:
        yield host


@pytest.fixture(scope="module")
def home(host: Host) -> str:
    """The route of the demo's job that can be repaired."""
    with sqlite3.connect(f"file:{host.folder / 'logbook.db'}?mode=ro", uri=True) as log:
        *_, (job,) = log.execute("SELECT job FROM entries WHERE kind = 'job' ORDER BY seq")
    return f"/job/{job}"


@pytest.fixture(scope="module")
def phone(browser: Browser, host: Host) -> Iterator[Phone]:
    phone = Phone(browser, host.url, SMALL, "/settings")
    phone.type("Your initials", "KM")
    yield phone
    phone.close()


@pytest.mark.thorough
def test_every_panel_in_the_customers_hand_is_whole_and_back_leads_nowhere(phone: Phone, home: str) -> None:
    choose(phone, "Dark", "Inch", "Largest")
    phone.go(f"{home}/scope")
    phone.tap("Show to the customer")
    phone.wait_for(wording.NO_OR_QUESTION)
    wrong = faults_of(phone, phone.settle())
    phone.page.go_back()
    phone.settle()
    assert "Show to the customer" not in phone.says()
    phone.reload()
    phone.wait_for(wording.NO_OR_QUESTION)
    for button, words in ((wording.YES, "Clear"), (wording.NO_OR_QUESTION, wording.CALL)):
        phone.tap(button)
        phone.wait_for(words)
        wrong += faults_of(phone, phone.settle())
        phone.tap("Go back")
        phone.wait_for(wording.NO_OR_QUESTION)
    phone.tap(GIVE_BACK)
    phone.wait_for("Initials of the shop")
    wrong += faults_of(phone, phone.settle())
    phone.type("Initials of the shop", "KM")
    phone.tap("Back to the job")
    phone.wait_for("Show to the customer")
    assert wrong == []
    choose(phone, "Light", "Metric", "Normal")


@pytest.mark.thorough
def test_from_the_findings_to_a_signature_a_changed_price_and_a_second_signature(
    phone: Phone, home: str
) -> None:
    phone.go(f"{home}/paths")
    phone.tap("Propose way 1 to the customer")
    phone.tap("Show to the customer")
    agree(phone)
    phone.go(f"{home}/scope/line/reseal")
    phone.type("Price before tax, empty: as it was", "300")
    phone.type("Reason, printed for the customer", "dearer")
    phone.tap("Keep the line")
    said = phone.wait_for("The yes no longer covers what will be done. H. Aalto")
    assert "XTS 300.00" in said
    phone.tap("Show to the customer")
    agree(phone)
    assert phone.faults == []
