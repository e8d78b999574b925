"""A double-acting cylinder told as plain values, for the tests of the seal list's drawing and sheet."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.job.seals.inputs import CylinderState, Duty, GrooveFound, Known
from inspect_app.job.seals.seal_list import SealList, seal_list
from inspect_app.tables.standards.handbook import shipped_handbook


def read(mm: float) -> Known:
    """A size read at three clocks, ± 0.01."""
    return Known(mm, 0.01, 3)


ROD, BORE = read(55.96), read(100.02)
LANDS = {"rod": read(56.50), "bore": read(99.40)}

USUAL = CylinderState(
    kind="double-acting",
    sizes="metric",
    bore_mm=100,
    rod_mm=56,
    duty=Duty("HM", 10.0, False, -10.0, 70.0, 0.2, 0.02),
    answers={
        "buffer-seal": "no", "gland-guide": "wear-rings", "piston-guide": "wear-rings", "piston-fixing": "on-a-spigot",
        "cushions": "none",
    },
    grooves=(
        GrooveFound("wiper", "gland", read(66.08), read(6.40), ROD, 56),
        GrooveFound("rod-seal", "gland", read(71.05), read(12.60), ROD, 56, LANDS["rod"]),
        GrooveFound("gland-wear-ring", "gland", read(61.02), read(9.8), ROD, 56, LANDS["rod"], number=2),
        GrooveFound("gland-static-ring", "gland", read(96.40), read(7.20), read(105.00), None, read(104.94)),
        GrooveFound("piston-seal", "piston", read(84.48), read(6.40), BORE, 100, LANDS["bore"]),
        GrooveFound("piston-wear-ring", "piston", read(94.98), read(15.10), BORE, 100, LANDS["bore"], number=2),
        GrooveFound("piston-static-ring", "piston", read(44.00), read(3.83), read(40.00), None, read(40.015)),
    ),
)  # fmt: skip
"""Seven lines; the two static rings may be ordered, the others wait for a sheet or rest on memory."""

WITH_MORE = replace(
    USUAL,
    answers={**USUAL.answers, "buffer-seal": "yes"},
    said={("plug-ring", "cylinder"): "there"},
    grooves=(
        *USUAL.grooves,
        GrooveFound("buffer-seal", "gland", read(71.13), read(6.40), ROD, 56, LANDS["rod"]),
    ),
)
"""Nine lines: a buffer seal and the rings of the ports besides."""


def listed(state: CylinderState) -> SealList:
    """The seal list of a state, by the shipped handbook."""
    return seal_list(state, shipped_handbook())
