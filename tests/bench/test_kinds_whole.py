"""Each kind of cylinder from its readings file to result, seal list and report, by the checklists that are shipped."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import issue_report
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.entries.job import Job
from inspect_app.job.findings import Disposition
from inspect_app.job.output import output_of
from inspect_app.tables import shipped_folder

REUSE, REWORK, REPLACE = Disposition.REUSE, Disposition.REWORK, Disposition.REPLACE
KINDS = {
    # the readings file: what becomes of which part, every other is fit or not checked
    "tie_rod": {"tie-rods": REWORK},
    "ram": {"rod": REWORK},
    "double_rod": {"side-b-rod": REWORK},
    "telescopic": {"stage-2-sleeve": REPLACE},
    "telescopic_double_acting": {"stage-1-sleeve": REWORK},
}
SEALS = {
    # positions and places each list must have, from the trade's list of positions by kind
    "tie_rod": {
        ("gland-static-ring", "head end of the tube"), ("gland-static-ring", "cap end of the tube"),
        ("piston-seal", "piston"), ("wiper", "gland"), ("rod-seal", "gland"),
    },
    "ram": {("rod-seal", "gland"), ("wiper", "gland"), ("gland-static-ring", "gland"), ("retainer", "cylinder")},
    "double_rod": {(p, f"gland {n}") for p in ("wiper", "rod-seal", "gland-static-ring") for n in "AB"}
    | {("piston-seal", "piston"), ("piston-wear-ring", "piston")},
    "telescopic": {
        (p, f"gland of stage {n}") for p in ("wiper", "rod-seal", "gland-wear-ring", "gland-static-ring") for n in "123"
    } | {("piston-wear-ring", f"foot of stage {n}") for n in "123"} | {("retainer", f"stage {n}") for n in "123"},
    "telescopic_double_acting": {
        ("piston-seal", "piston of stage 1"), ("piston-seal", "piston of stage 2"), ("rod-seal", "gland of stage 2"),
    },
}  # fmt: skip
NEVER = {"ram": "piston-seal", "telescopic": "piston-seal"}
PUSH = {
    # the first force and area, worked by hand: π/4 d² times the rated pressure
    "tie_rod": "37699 lbf at rated pressure, on 12.566 in²",  # 4 in at 3000 psi
    "ram": "101.8 kN at rated pressure, on 6361.7 mm²",  # 90 mm at 16 MPa
    "double_rod": "64.1 kN at rated pressure, on 4005.5 mm²",  # 100² − 70² at 16 MPa
    "telescopic": "196.3 kN at rated pressure, on 12271.8 mm²",  # 125 mm at 16 MPa
    "telescopic_double_acting": "220.9 kN at rated pressure, on 12271.8 mm²",  # bore 125 at 18 MPa
}


@pytest.fixture(scope="module", params=KINDS)
def of_kind(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[str, Bench, Job]]:
    path = shipped_folder("demo_data") / f"{request.param}.toml"
    bench = bench_for(path, tmp_path_factory.mktemp(request.param))
    job, doubts = record_file(path, bench)
    assert not doubts
    yield request.param, bench, job
    bench.close()


def test_every_part_comes_to_what_its_readings_say(of_kind: tuple[str, Bench, Job]) -> None:
    kind, bench, job = of_kind
    assessment = bench.assess(job)
    work = {p.part.id: p.disposition for p in assessment.parts if p.disposition in (REWORK, REPLACE)}
    assert work == KINDS[kind]
    assert assessment.left == 0
    assert {p.disposition for p in assessment.parts} <= {REUSE, REWORK, REPLACE, Disposition.UNCHECKED}


def test_the_seals_of_every_place_are_listed_with_their_grooves(of_kind: tuple[str, Bench, Job]) -> None:
    kind, bench, job = of_kind
    lines = {standing.line.where: standing.line for standing in bench.seals(job) if standing.line}
    assert SEALS[kind] <= lines.keys()
    assert NEVER.get(kind, "") not in {position for position, _ in lines}
    grooved = [line for (position, _), line in lines.items() if position != "retainer"]
    # every groove was measured, so no line lacks diameter or width
    assert not [
        d for line in grooved for d in line.doubts if d.objection.rule in ("diameter", "width", "sealed")
    ]


def test_the_nameplate_tells_force_and_area(of_kind: tuple[str, Bench, Job]) -> None:
    kind, bench, job = of_kind
    (_, first), *_ = output_of(bench.tables.cylinders[job.cylinder], job.as_found)
    assert first.words("inch" if kind == "tie_rod" else "metric") == PUSH[kind]


def test_the_report_is_made(of_kind: tuple[str, Bench, Job]) -> None:
    kind, bench, job = of_kind
    issued = issue_report(bench, job, "KM", "inch" if kind == "tie_rod" else "metric")
    pdf = Path(bench.folder).joinpath("reports").rglob("*.pdf")
    assert issued.sha256
    assert any(file.read_bytes().startswith(b"%PDF") for file in pdf)
