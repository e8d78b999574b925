"""Release, refused and granted: by a scope agreed to, measured as left; the certificate and the card on paper."""

from __future__ import annotations

from datetime import UTC
from pathlib import Path

import pymupdf
import pytest
from asking import Asking, Clock

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.releasing import card_pdf, certificate_pdf
from inspect_app.entries.deciding import Decision
from inspect_app.entries.job import AS_LEFT, Job
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.report.steps import steps_data, steps_lines
from inspect_app.tables import shipped_folder
from inspect_app.trade.measuring.refusal import Refusal


@pytest.fixture(scope="module")
def asking(tmp_path_factory: pytest.TempPathFactory) -> Asking:
    folder, clock = tmp_path_factory.mktemp("releasing"), Clock()
    bench = Bench(folder, now=clock, throw_away=True, zone=UTC)
    job, _ = record_file(shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    return Asking(folder, clock, bench, job)


def refusal(asking: Asking, step: str, reason: str) -> str:
    return str(asking.bench.enter(asking.job, StepDone(step, "closed", reason), "KM", "metric").remark)


def pages(made: bytes) -> list[str]:
    with pymupdf.open(stream=made, filetype="pdf") as document:
        return [" ".join(page.get_text().split()) for page in document]


def record_release(asking: Asking) -> Job:
    told = {
        "taken-by": "H. Aalto",
        "plugs": "all",
        "rod-in": "in",
        "oil-left": "drained",
        "advice": "flush first",
    }
    for record, text in told.items():
        asking.enter(RecordNoted("release", record, text))
    return asking.job


def test_release_is_refused_until_what_was_agreed_to_is_done_and_then_certified(asking: Asking) -> None:
    assert asking.say(asking.shown()) == ""
    asking.enter(StepDone("scope", "closed"))
    for step in ("seals", "rework", "reassembly", "pressure-test"):
        asking.enter(StepDone(step, "skipped", "shown to nobody"))
    record_release(asking)
    refused = refusal(asking, "release", "he waits at the door")
    assert "Release is refused." in refused
    assert "agreed to and not done; Rod not measured since." in refused
    with pytest.raises(Refusal, match="No certificate: the release is refused"):
        certificate_pdf(asking.bench, asking.job, "metric")

    # done: the parts decided as left by who measured them, and the cylinder together again
    for part in ("rod", "pins"):
        done = Decision(part, "reuse", "measured again, within limits")
        outcome = asking.bench.enter(asking.job, done, "KM", "metric", AS_LEFT)
        assert not outcome.remark, str(outcome.remark)
        asking.job = outcome.job
    refused = refusal(asking, "release", "he waits at the door")
    assert "All new seals, wiper and wear rings; Assemble and test. Reassembly is not closed." in refused
    assert "Assemble and test. Pressure test is not closed." in refused
    assert "Strip" not in refused  # the teardown is closed
    assert "not measured since" not in refused
    for step in ("reassembly", "pressure-test"):
        asking.enter(StepDone(step, "opened", "it is done now"))
        asking.enter(StepDone(step, "closed", "nothing more to note"))
    with pytest.raises(Refusal, match="the release is not closed yet"):
        certificate_pdf(asking.bench, asking.job, "metric")
    asking.enter(StepDone("release", "closed"))

    (page,) = pages(certificate_pdf(asking.bench, asking.job, "metric"))
    for words in (
        "Released by KM",
        "Seals, Rework: skipped by KM: shown to nobody.",
        "H. Aalto",
        "flush first",
        "not a declaration of conformity",
        "the customer said no",
        "bore 125 mm",
    ):
        assert words in page, words


def test_what_was_skipped_stands_at_the_prompt_and_in_the_data(asking: Asking) -> None:
    tables = asking.bench.tables_of(asking.job)
    assert "  - Seals: skipped by KM: shown to nobody." in list(steps_lines(asking.job, tables))
    data = {s["step"]: s for s in steps_data(asking.job, tables)}
    assert (data["seals"]["stands"], data["seals"]["by"], data["seals"]["reason"]) == (
        "skipped",
        "KM",
        "shown to nobody",
    )
    assert data["make-safe"]["records"]["oil-volume"] == {"typed": "9.5 l", "value": "9500.0"}


def test_the_card_is_one_page_and_its_code_opens_the_job(asking: Asking) -> None:
    made = card_pdf(asking.bench, asking.job, "inch", "http://192.168.1.7:8710/")
    (page,) = pages(made)
    assert "D-01 linkspan, port side" in page
    # 210 kg / 0.45359237 = 463 lb
    assert "About 463 lb. Rod tied." in page
    assert "Receiving 2026" in page
    with pymupdf.open(stream=made, filetype="pdf") as document:
        subject = document.metadata["subject"]
    assert subject == f"http://192.168.1.7:8710/job/{asking.job.id}"


def test_an_empty_job_has_a_card_too(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    (page,) = pages(card_pdf(bench, bench.open_job("B-9", "KM"), "metric"))
    assert "Mass not known: weigh it first." in page
    assert "size not known yet" in page
    bench.close()
