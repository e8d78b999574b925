"""What is asked over the fleet: the project's own judgements, counted where they can be counted by hand too."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner
from postgres import Cluster, cluster

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.commands.cli import main
from inspect_app.entries.job import AS_FOUND, AS_LEFT, Job, Place
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.hub.connecting import connected, make
from inspect_app.hub.judging import judge_all
from inspect_app.hub.pulling import pull
from inspect_app.hub.pushing import push
from inspect_app.tables import shipped_folder
from inspect_app.trade.measuring.refusal import Refusal

SHEETS = ("linkspan_repair.toml", "ram.toml")


@dataclass
class Clock:
    """A clock that a test sets."""

    at: datetime = field(default_factory=lambda: datetime(2024, 3, 1, 8, tzinfo=UTC))

    def __call__(self) -> datetime:
        return self.at


def visit(bench: Bench, hours: str, rod_mm: str, survey: str) -> Job:
    """One visit of the same cylinder, with one reading of its rod at 20 °C."""
    plate = {
        "bore": "100",
        "rod": "70",
        "serial": "AB12",
        "part_temperature": "20",
        "gauge_temperature": "20",
    }
    job = bench.open_job(f"V-{hours}", "KM")
    job = bench.enter(job, Nameplate({**plate, "machine": "baler"}), "KM", "metric").job
    job = bench.enter(job, RecordNoted("receiving", "hours", hours), "KM", "metric").job
    check = bench.tables.cylinders[job.cylinder].check("rod-diameter")
    assert check
    place = Place("25", "12")
    return bench.measure(job, check, place, rod_mm, "KM", "metric", sure=True, survey=survey).job


def with_promises(sheet: str, folder: Path) -> Path:
    """A sheet of the demo, its orders promised: the first for a day before it came, the others for one after."""
    demo, copied = shipped_folder("demo_data"), folder / sheet
    text = (
        (demo / sheet)
        .read_text(encoding="utf-8")
        .replace("\nreceived = [{", '\npromised = "2024-03-05"\nreceived = [{')
    )
    copied.write_text(text.replace("2024-03-05", "2024-02-20", 1), encoding="utf-8")
    if not (folder / "photos").exists():
        (folder / "photos").symlink_to(demo / "photos", target_is_directory=True)
    return copied


def shop(folder: Path, clock: Clock) -> Bench:
    """A workshop with two jobs off sheets, and a cylinder that came twice."""
    bench = Bench(folder, now=clock, throw_away=True)
    for sheet in SHEETS:
        record_file(with_promises(sheet, folder.parent), bench)
    certificate = {
        "name": "M-1",
        "error": "0.003",
        "step": "0.001",
        "states": "expanded",
        "repeatability": "0.0001",
    }
    bench.enter_gauge("outside-micrometer", certificate, "KM", "metric")
    visit(bench, "4100", "69.970", AS_LEFT)
    clock.at += timedelta(days=200)
    job = visit(bench, "6100", "69.945", AS_FOUND)
    bench.enter(job, StepDone("clean", "started"), "KM", "metric")
    clock.at += timedelta(minutes=90)
    bench.enter(bench.job(job.id), StepDone("clean", "stopped"), "KM", "metric")
    return bench


@pytest.fixture(scope="module")
def server() -> Iterator[Cluster]:
    with cluster() as server:
        yield server


@pytest.fixture(scope="module")
def judged(server: Cluster, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Bench, Bench]:
    """A hub whose jobs are judged, the shop they are of, and the fleet's own folder."""
    name = server.database()
    with connected(server.url(name)) as to:
        make(to)
        to.execute("CREATE ROLE north LOGIN; CREATE ROLE fleet LOGIN; GRANT hub_fleet TO fleet")
        to.execute("SELECT hub.let_in('north', 'north', 'Workshop north')")
    bench = shop(tmp_path_factory.mktemp("sheets") / "shop", Clock())
    with connected(server.url(name, "north")) as to:
        push(bench, to)
    fleet = Bench(
        tmp_path_factory.mktemp("fleet"), now=Clock(datetime(2027, 1, 1, tzinfo=UTC)), throw_away=True
    )
    with connected(server.url(name, "fleet")) as at:
        pull(fleet, at)
        assert judge_all(fleet, at) == (4, [])
        assert judge_all(fleet, at) == (0, [])
    return name, bench, fleet


def asked(server: Cluster, name: str) -> dict[str, list[dict[str, object]]]:
    said = CliRunner().invoke(main, ["fleet", server.url(name, "fleet"), "--json"])
    assert said.exit_code == 0, said.output
    answers: dict[str, list[dict[str, object]]] = json.loads(said.stdout)
    return answers


def test_wear_is_told_by_the_hours_run(server: Cluster, judged: tuple[str, Bench, Bench]) -> None:
    # 69.970 − 69.945 = 0.025 mm = 25 µm in 6100 − 4100 = 2000 h: 12.5 µm in 1000 h
    (rod,) = [row for row in asked(server, judged[0])["wear"] if row["check"] == "rod-diameter"]
    assert rod == {"check": "rod-diameter", "jobs": 1, "um in 1000 hours": "12.5", "um a month": None}


def test_defects_are_those_of_the_sheets_by_kind_and_machine(
    server: Cluster, judged: tuple[str, Bench, Bench]
) -> None:
    written: Counter[tuple[str, str]] = Counter()
    for sheet in SHEETS:
        said = tomllib.loads((shipped_folder("demo_data") / sheet).read_text(encoding="utf-8"))
        written.update((said["nameplate"].get("machine", ""), defect["kind"]) for defect in said["defect"])
    found: Counter[tuple[str, str]] = Counter()
    for row in asked(server, judged[0])["defects"]:
        found[str(row["machine"]), str(row["kind"])] += int(str(row["defects"]))
    assert found == written


def test_limits_that_bite_are_those_the_shop_itself_sees(
    server: Cluster, judged: tuple[str, Bench, Bench]
) -> None:
    name, bench, _ = judged
    seen: Counter[tuple[str, str]] = Counter()
    for job in bench.jobs():
        for part in bench.assess(job).parts:
            for finding in (f for check in part.checks for f in check.findings):
                if finding.verdict and finding.verdict.value == "outside limit":
                    seen[finding.check.id, finding.seen or finding.characteristic] += 1
    rows = asked(server, name)["limits"]
    told: Counter[tuple[str, str]] = Counter()
    for row in rows:  # one for each source and owner
        told[str(row["check"]), str(row["characteristic"])] += int(str(row["outside"]))
    assert seen
    assert seen == +told
    assert {row["owner"] for row in rows} <= {"shipped", "shop", "drawing"}
    assert rows[0]["outside"] == max(int(str(row["outside"])) for row in rows)


def test_time_in_steps_and_late_parts_are_told(server: Cluster, judged: tuple[str, Bench, Bench]) -> None:
    answers = asked(server, judged[0])
    (clean,) = [row for row in answers["time"] if row["step"] == "clean"]
    assert clean["half within hours"] == "1.50"
    # promised for 20 February, come on 1 March of a leap year; the others for 5 March
    late = [(row["ordered"], row["late"], row["most days late"]) for row in answers["late"]]
    assert sorted(late) == [(1, 0, 0), (1, 0, 0), (1, 1, 10)]


def test_a_job_is_judged_again_once_it_changed_with_the_others_of_its_cylinder(
    server: Cluster, judged: tuple[str, Bench, Bench]
) -> None:
    name, bench, fleet = judged
    job = next(job for job in bench.jobs() if job.name == "V-4100")
    bench.enter(job, RecordNoted("receiving", "hours", "3600"), "KM", "metric")
    with connected(server.url(name, "north")) as to:
        push(bench, to)
    with connected(server.url(name, "fleet")) as at:
        pull(fleet, at)
        assert judge_all(fleet, at) == (2, [])
    # 25 µm in 6100 − 3600 = 2500 h
    assert asked(server, name)["wear"][0]["um in 1000 hours"] == "10.0"


def test_the_prompt_judges_in_a_folder_of_its_own_and_shows_tables(
    server: Cluster, judged: tuple[str, Bench, Bench], tmp_path: Path
) -> None:
    url = server.url(judged[0], "fleet")
    said = CliRunner().invoke(main, ["fleet", url, "--judge", "--data", str(tmp_path / "own"), "--rows", "2"])
    assert said.exit_code == 0, said.output
    assert said.stdout.startswith("Judged are 4 of 4 jobs.\n\nWhat wears, and how fast")
    assert "\n  and " in said.stdout
    assert CliRunner().invoke(main, ["fleet", url, "--judge"]).exit_code == 2
    with pytest.raises(Refusal, match="does not allow"), connected(server.url(judged[0], "north")) as at:
        at.execute("SELECT * FROM hub.what_wears")


def test_the_answers_are_written_as_pdf(
    server: Cluster, judged: tuple[str, Bench, Bench], tmp_path: Path
) -> None:
    url, out = server.url(judged[0], "fleet"), tmp_path / "fleet.pdf"
    said = CliRunner().invoke(main, ["fleet", url, "-o", str(out), "--units", "inch", "--page", "letter"])
    assert said.exit_code == 0, said.output
    words = " ".join(" ".join(page.get_text() for page in pymupdf.open(out)).split())
    # the last visit is 200 days after 1 March
    assert "Judged are 4 of 4 jobs. Jobs opened up to 2024-09-17." in words
    assert "Rod diameter wears fastest" in words
    for wrong in (["-o", str(out), "--json"], ["--units", "inch"]):
        assert CliRunner().invoke(main, ["fleet", url, *wrong]).exit_code == 2
