"""Short tones, made here and played by the toolkit's client; told apart by how many and how high, as knocks are."""

from __future__ import annotations

import math
import struct

import flet as ft

RATE_HZ = 8000
ONE_S, PAUSE_S = 0.12, 0.08
LOUD = 0.6
FADE_S = 0.01


@ft.control("Audio")
class Tone(ft.Service):
    """A sound the client plays. The stock client has the player in it; the package of its Python side is not needed."""

    src: bytes = b""

    async def play(self) -> None:
        """Play it from its beginning."""
        await self._invoke_method("play", {"position": 0})


def beeps(times: int, pitch_hz: float) -> bytes:
    """So many short tones of one pitch, as a sound file.

    Args:
        times: how many.
        pitch_hz: how high.
    """
    waves = bytearray()
    for _ in range(times):
        for n in range(int(ONE_S * RATE_HZ)):
            # faded in and out, or every tone would begin and end with a click
            at = n / RATE_HZ
            fade = min(1.0, at / FADE_S, (ONE_S - at) / FADE_S)
            waves += struct.pack("<h", int(32767 * LOUD * fade * math.sin(2 * math.pi * pitch_hz * at)))
        waves += bytes(2 * int(PAUSE_S * RATE_HZ))
    form = struct.pack("<4sIHHIIHH", b"fmt ", 16, 1, 1, RATE_HZ, 2 * RATE_HZ, 2, 16)
    file = struct.pack("<4sI4s", b"RIFF", 36 + len(waves), b"WAVE") + form
    return file + struct.pack("<4sI", b"data", len(waves)) + waves
