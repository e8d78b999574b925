"""The report on the phone: made for paper and for the phone itself, each opened by its own button."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop")
    yield bench
    bench.close()


def test_a_report_for_the_phone_stands_beside_the_one_for_paper(bench: Bench) -> None:
    job = bench.open_job("J-1 crane", "AB")
    bench.enter(job, Nameplate({"bore": "100", "rod": "70"}), "AB", "metric")

    async def day(at: AtTheDesk) -> None:
        await at.tap("Make it for a phone")
        await at.tap("Open it for a phone")
        assert "narrow for a phone: covers all entries." in at.says()
        assert "Make it for a phone" not in at.says()
        await at.tap("Make the report")
        await at.tap("Open the PDF")
        await at.tap("Open it for a phone")
        said = at.says()
        assert said.count("covers all entries.") == 2

    opened = day_at_the_desk(bench, f"/job/{job.id}/report", day)
    pages = [pymupdf.open(stream=made, filetype="pdf")[0] for _, made in opened]
    assert [round(page.rect.width) for page in pages] == [216, 595, 216]
    assert [name.startswith("inspection-narrow-") for name, _ in opened] == [True, False, True]
    # one issue, whatever the paper
    assert all("issue 1" in page.get_text() for page in pages)
    assert [made.page for made in bench.job(job.id).reports] == ["narrow", "A4"]
