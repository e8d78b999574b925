"""The hub's server is killed while entries come in: whatever it acknowledged is there, and a push goes on from it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from benchmark_hub import filled, new_hub
from postgres import Cluster, cluster

from inspect_app.hub import pushing
from inspect_app.hub.connecting import Unreachable, connected
from inspect_app.hub.pushing import push, reached

ENTRIES, STEP = 3_000, 100


@pytest.fixture(scope="module")
def server() -> Iterator[Cluster]:
    with cluster(durable=True) as server:
        yield server


def test_what_a_killed_hub_acknowledged_is_there_and_a_push_goes_on(
    server: Cluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pushing, "STEP", STEP)
    name, shop = new_hub(server), filled(tmp_path / "shop", "shop", ENTRIES)
    acknowledged, killed_at = [0], list[int]()

    def said(number: int, steps: Iterator[int], milliseconds: int) -> None:
        acknowledged.append(number)
        if next(steps) == 3:  # and some way into the next one
            threading.Timer(milliseconds / 1000, server.kill).start()

    for milliseconds in (1, 12):
        steps = count()
        with pytest.raises(Unreachable), connected(server.url(name, "north")) as to:
            push(shop, to, lambda n, steps=steps, ms=milliseconds: said(n, steps, ms))  # type: ignore[misc]
        assert server.killed.wait(60)
        server.killed.clear()
        server.start()
        killed_at.append(acknowledged[-1])
        with connected(server.url(name, "north")) as to:
            there = reached(shop, to)
            assert acknowledged[-1] <= there <= acknowledged[-1] + STEP
            assert to.execute("SELECT count(*), max(pos) FROM hub.entry").fetchone() == (there, there)
    assert 0 < killed_at[0] < killed_at[1] < ENTRIES
    with connected(server.url(name, "north")) as to:
        assert push(shop, to).new == ENTRIES - there
        sent = [row.id for _, row in shop.logbook.since(0, ENTRIES)]
        assert [entry for (entry,) in to.execute("SELECT id FROM hub.entry ORDER BY pos")] == sent
