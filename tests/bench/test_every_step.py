"""A readings file can hold every step of a job: each record of each, and whatever is asked for before one is closed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.bench.stepping import facts_of, photo_of
from inspect_app.entries.job import Job, Survey
from inspect_app.job.nameplate import main_sizes
from inspect_app.job.steps import REQUIREMENTS, steps_of
from inspect_app.tables import shipped_folder
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.nameplate import NameplateField
from inspect_app.tables.steps import CHOICE, MAIN_SIZES, PHOTO, TEXT, Record, Step
from inspect_app.trade.measuring.units import KINDS

DEMO = shipped_folder("demo_data")
OWN_WORDS = {"iso-4406": "18/16/13"}
PLATE = {
    "bore": "100",
    "rod": "56",
    "stroke": "500",
    "mass": "80 kg",
    "fluid": "HM 46",
    "part_temperature": "20",
}


def text_for(record: Record | NameplateField) -> str:
    """Something that may be typed for it: an answer, words, or a quantity between its bounds."""
    if isinstance(record, Record):
        if record.kind == CHOICE:
            return next(iter(record.options))
        if record.kind in KINDS:
            least, most = record.at_least or Decimal(1), record.at_most or Decimal(10_000)
            return f"{max(least, min(most, Decimal(2)))} {KINDS[record.kind].canonical_unit}".strip()
        return OWN_WORDS.get(record.id, "words of our own")
    return PLATE.get(record.id, "20") if record.kind != TEXT else "words of our own"


def names_on(step: Step, cylinder: Cylinder) -> list[str]:
    """The fields of the nameplate a step asks for on this kind of cylinder."""
    sizes = [f.id for f in main_sizes(cylinder, Survey())]
    return [n for name in step.nameplate for n in (sizes if name == MAIN_SIZES else [name])]


def written(step: Step, cylinder: Cylinder) -> str:
    """A step with everything it can record, closed in spite of what is missing."""
    records = [r for r in step.records if r.kind != PHOTO]
    # what needs another one stands behind it
    ordered = [*(r for r in records if not r.needs), *(r for r in records if r.needs)]
    lines = ["[[step]]", f'id = "{step.id}"', 'did = "closed"', 'reason = "everything is in this file"']
    lines += ["[step.records]", *(f'{r.id} = "{text_for(r)}"' for r in ordered)]
    if names := names_on(step, cylinder):
        lines += ["[step.nameplate]", *(f'{name} = "{text_for(cylinder.fields[name])}"' for name in names)]
    if photos := [r for r in step.records if r.kind == PHOTO]:
        lines += ["[step.photos]", *(f'{r.id} = "rod_score.jpg"' for r in photos)]
    return "\n".join(lines)


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bench, Job]]:
    """A job out of a file with every record of every step."""
    folder = tmp_path_factory.mktemp("every")
    (folder / "rod_score.jpg").symlink_to(DEMO / "photos" / "rod_score.jpg")
    path = folder / "every.toml"
    path.write_text("", encoding="utf-8")
    bench = bench_for(path, folder / "bench")
    cylinder = bench.tables.cylinders["double-acting"]
    steps = [written(step, cylinder) for step in bench.tables.steps.values()]
    path.write_text("\n\n".join(['job = "every step"\nby = "KM"', *steps]), encoding="utf-8")
    yield bench, record_file(path, bench)[0]
    bench.close()


def test_every_record_of_every_step_is_in_the_job(recorded: tuple[Bench, Job]) -> None:
    bench, job = recorded
    steps = bench.tables_of(job).steps.values()
    every = [(step, record) for step in steps for record in step.records]
    assert len(every) > 100
    lost = [
        (step.id, record.id)
        for step, record in every
        if not (
            job.photos_of(photo_of(step.id, record.id))
            if record.kind == PHOTO
            else job.steps.typed(step.id, record.id)
        )
    ]
    assert lost == []
    cylinder = bench.tables_of(job).cylinders[job.cylinder]
    assert not [name for step in steps for name in names_on(step, cylinder) if not job.as_found.text(name)]
    assert all(s.over for s in steps_of(job.steps, bench.tables_of(job).steps))


def test_whatever_a_step_asks_for_can_be_given_in_a_file(tmp_path: Path) -> None:
    path = DEMO / "double_acting.toml"
    bench = bench_for(path, tmp_path)
    job, _ = record_file(path, bench)
    finished, bare = facts_of(bench, job), facts_of(bench, bench.open_job("nothing yet", "KM"))
    assert {name: [str(s) for s in asks(finished)] for name, asks in REQUIREMENTS.items()} == {
        name: [] for name in REQUIREMENTS
    }
    # so that nothing asked for means something: of a job with nothing in it most of them ask
    assert {name for name, asks in REQUIREMENTS.items() if asks(bare)} == {*REQUIREMENTS} - SILENT
    bench.close()


SILENT = {"rework", "approved", "stops", "fitted"}
"""Nothing was agreed to, found or fitted wrongly on a job with nothing in it."""
