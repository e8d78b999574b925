"""A served folder catches up with its hub by itself, says what waits, and is never waited for."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from benchmark_hub import new_hub
from postgres import Cluster, cluster

from inspect_app.bench.bench import Bench
from inspect_app.entries.deciding import Decision
from inspect_app.hub.connecting import connected
from inspect_app.serve.catching_up import CatchingUp


@pytest.fixture(scope="module")
def server() -> Iterator[Cluster]:
    with cluster() as server:
        yield server


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop", throw_away=True)
    bench.open_job("J-1", "AB")
    yield bench
    bench.close()


def decide(bench: Bench, reason: str) -> None:
    bench.enter(bench.jobs()[0], Decision("rod", "reuse", reason), "AB", "metric")


def said(catching_up: CatchingUp) -> tuple[str, str]:
    (note,) = catching_up.notes()
    return note.words, note.role


def test_what_waits_is_told_and_why_until_the_hub_is_in_reach(
    server: Cluster, bench: Bench, tmp_path: Path
) -> None:
    decide(bench, "worn")
    away = CatchingUp(bench, f"postgresql://north@/none?host={tmp_path}")
    assert said(away) == ("2 entries not yet at the hub.", "unclear")
    away.meet()
    words, role = said(away)
    assert words.startswith("2 entries not yet at the hub. The hub cannot be reached: ")
    assert role == "unclear"
    near = CatchingUp(bench, server.url(name := new_hub(server), "north"))
    near.meet()
    assert said(near) == ("All entries are at the hub.", "within")
    decide(bench, "again")
    assert (
        said(near)[0] == said(CatchingUp(bench, ""))[0] == "1 entry not yet at the hub."
    )  # after a new start too
    with connected(server.url(name)) as at:
        assert at.execute("SELECT count(*) FROM hub.entry").fetchone() == (2,)


def test_it_catches_up_by_itself_while_entries_come_in(server: Cluster, bench: Bench) -> None:
    near = CatchingUp(bench, server.url(new_hub(server), "north"), again_s=0.05)
    near.start()
    try:
        for n in range(20):
            decide(bench, f"{n}")
        for _ in range(600):
            if said(near)[1] == "within":
                break
            time.sleep(0.1)
        assert said(near) == ("All entries are at the hub.", "within")
    finally:
        near.end()
