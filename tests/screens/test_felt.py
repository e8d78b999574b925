"""A verdict is felt in the hand unless that is turned off, told apart by the number of knocks and their strength; and
where that is turned on it is heard."""

from __future__ import annotations

import asyncio
import io
import struct
import wave
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import ByHand

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate
from inspect_app.screens.desk import Desk
from inspect_app.screens.floor import Floor
from inspect_app.screens.mechanic import thumb
from inspect_app.screens.pieces.tones import beeps


@pytest.mark.parametrize(
    ("typed", "felt"),
    [
        # 70 f8 worn down to 69.924 at most, read with a micrometer of some ±0.01
        ("69.950", ["light"]),
        ("69.926", ["medium", "medium"]),
        ("69.900", ["heavy", "heavy", "heavy"]),
    ],
)
@pytest.mark.parametrize("turned", ["on", "off"])
def test_within_outside_and_too_close_are_told_apart_by_the_hand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str, felt: list[str], turned: str
) -> None:
    knocks: list[str] = []
    heard: list[bytes] = []

    def tone(src: bytes) -> Any:
        async def play() -> None:
            heard.append(src)

        return SimpleNamespace(play=play)

    monkeypatch.setattr(thumb, "Tone", tone)

    def impact(strength: str) -> Any:
        async def knock() -> None:
            knocks.append(strength)

        return knock

    hand = {f"{strength}_impact": impact(strength) for strength in ("light", "medium", "heavy")}
    monkeypatch.setattr(thumb.ft, "HapticFeedback", lambda: SimpleNamespace(**hand))
    monkeypatch.setattr(thumb, "BETWEEN_KNOCKS_S", 0)
    bench = Bench(tmp_path / "shop")
    page = SimpleNamespace(
        route="/", width=390, height=844, session=SimpleNamespace(connection=None),
        run_task=lambda task: asyncio.run(task()),
    )  # fmt: skip
    desk = Desk(bench, cast(Any, page), "A", Floor(), ByHand())
    assert thumb.Thumb(desk)._tones == {}  # nothing is heard unless somebody asks for it
    desk.setting("touch", turned)
    desk.setting("sound", turned)
    hand_of = thumb.Thumb(desk)
    job = bench.open_job("J", "AB")
    job = bench.enter(job, Nameplate({"rod": "70", "stroke": "600"}), "AB", "metric").job
    check = bench.tables_of(job).cylinders[job.cylinder].check("rod-diameter")
    assert check is not None
    hand_of.settle(job, job.as_found, check)
    assert desk.entering.place == Place("25", "12")
    for key in typed:
        hand_of.press(key)
    hand_of.enter(desk.entering.keys[-1][0])
    assert len(bench.job(job.id).as_found.readings["rod-diameter"]) == 1
    assert knocks == (felt if turned == "on" else [])
    assert [len(sound) for sound in heard] == ([44 + 2 * 8000 // 5 * len(felt)] if turned == "on" else [])
    bench.close()


def test_a_sound_is_a_file_of_so_many_tones_of_its_pitch() -> None:
    with wave.open(io.BytesIO(beeps(3, 440))) as sound:
        assert (sound.getnchannels(), sound.getsampwidth(), sound.getframerate()) == (1, 2, 8000)
        frames = struct.unpack(f"<{sound.getnframes()}h", sound.readframes(sound.getnframes()))
    # three times 0.12 s of sound and 0.08 s of silence
    assert len(frames) == 3 * 1600
    assert not any(frames[960:1600])
    # 440 waves a second for 0.12 s cross zero upward 52 or 53 times a tone
    upward = sum(a < 0 <= b for a, b in pairwise(frames))
    assert 3 * 52 <= upward <= 3 * 53
    assert max(map(abs, frames)) <= 0.6 * 32767
