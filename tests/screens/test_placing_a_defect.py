"""A defect is placed by touching the drawing; what was touched stands as a number that can be typed over."""

from __future__ import annotations

from pathlib import Path

from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate


def test_a_drag_on_the_part_and_round_it_places_a_defect_and_the_number_stays_typed_over(
    tmp_path: Path,
) -> None:
    bench = Bench(tmp_path, throw_away=True)
    job = bench.open_job("T-9", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job

    async def day(at: AtTheDesk) -> None:
        rod = "Rod with 0 defects."
        await at.tap("Pit")
        await at.wait_for("touch the part")
        # past the end of the stroke, which is its end; round to the right of the middle, which is 3 o'clock
        await at.draw(rod, (60, 80), (230, 80))
        await at.wait_for("600 mm")
        await at.draw(f"{rod} Now at 600 mm.", (280, 40), (330, 80))
        await at.wait_for("600 mm, 3 o'clock")
        await at.fill("From the gland end, mm", "412")
        await at.wait_for("412 mm, 3 o'clock")
        await at.tap("Save defect")
        await at.wait_for("Nothing more to find")

    day_at_the_desk(bench, f"/job/{job.id}/look/rod-surface", day)
    (defect,) = bench.job(job.id).as_found.defects
    assert (defect.place, defect.station_typed) == (Place("412", "3"), "412 mm")
