"""Reassembly and pressure test on their way into the folder: computed torques, loggers' files, a readings file."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_app.bench.assembling import computed_from
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.testing import look_into
from inspect_app.job.assembling import what_is_missing as torque_missing
from inspect_app.job.testing import whole_test
from inspect_app.paper.blocks import PAPERS, Figure
from inspect_app.report.assembled import assembled_section, torque_rows
from inspect_app.report.closing import closing_data, closing_table
from inspect_app.report.tested import pressure_test_section, trial_rows
from inspect_app.tables import shipped_folder
from inspect_app.tables.standards.handbook import Handbook, read_handbook
from inspect_app.trade.leakage.slope import Result
from inspect_app.trade.measuring.refusal import Refusal

LOG = "Test stand;3\nt [min];p [bar];T oil [°C]\n" + "".join(
    f"{n};{210 - 0.1 * n:.1f};40.0\n" for n in range(21)
)
FILE = """
job = "S-7"
by = "KM"
[nameplate]
bore = "100 mm"
rod = "56 mm"
stroke = "800 mm"
rated_pressure = "210 bar"
[answers]
piston-fixing = "on a spigot"
[[torque]]
joint = "piston-nut"
basis = "computed"
on = "oil on thread and face"
[torque.computed]
thread = "M42x3"
strength = "600 MPa"
surface = "lubricated"
way = "torque wrench, friction estimated"
share = "60 %"
[torque.reached]
torque = "3282 N·m"
tool = "W-02"
error_percent = "4"
[test.log]
file = "hold.csv"
hold_to = "18"
[[step]]
id = "pressure-test"
[step.records]
closed-oil = "2 l"
gauge-step = "0.2 bar"
thermometer-step = "0.1"
limit = "table"
"""


@pytest.fixture(scope="module")
def handbook() -> Handbook:
    return read_handbook(shipped_folder())


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    folder = tmp_path_factory.mktemp("shop")
    opened = Bench(
        folder, now=lambda: datetime(2026, 3, 2, 12, tzinfo=UTC), device="D", throw_away=True, zone=UTC
    )
    yield opened
    opened.close()


def written(folder: Path, text: str = FILE, log: str | bytes = LOG) -> Path:
    (folder / "hold.csv").write_bytes(log if isinstance(log, bytes) else log.encode())
    file = folder / "s7.toml"
    file.write_text(text, encoding="utf-8")
    return file


COMPUTED = {
    "thread": "M42x3", "strength": "600 MPa", "surface": "lubricated", "way": "torque wrench, friction estimated",
    "share": "75 %",
}  # fmt: skip


def test_what_a_torque_is_computed_from_is_looked_up(handbook: Handbook) -> None:
    made_of = computed_from(handbook, COMPUTED, "metric")
    # 0.7854 (42 - 0.9382 x 3)² = 1206.0 mm², x 600 MPa; K 0.18 and 28 % stand in the friction table
    assert float(made_of.proof_load_n) == pytest.approx(723_600, rel=1e-3)
    assert made_of.nut_factors == (Decimal("0.18"),) * 3
    assert (made_of.scatter, made_of.share) == (Decimal("0.28"), Decimal("0.75"))
    # ISO 898-1: M24, class 8.8, proof load 212 000 N
    by_class = computed_from(handbook, {**COMPUTED, "thread": "M24", "strength": "8.8"}, "metric")
    assert by_class.proof_load_n == 212_000


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"surface": "butter"}, "'butter'; allowed are"),
        ({"way": "by feel"}, "'by feel'; allowed are"),
        ({"share": "120 %"}, "between 0 and 100"),
        ({"thread": "M"}, "M"),
        ({"strength": "strong"}, "strong"),
    ],
)
def test_what_is_not_known_is_refused(handbook: Handbook, changed: dict[str, str], says: str) -> None:
    with pytest.raises(Refusal, match=says):
        computed_from(handbook, {**COMPUTED, **changed}, "metric")


def test_a_readings_file_holds_torque_and_test_and_the_log_is_kept_by_its_hash(
    bench: Bench, tmp_path: Path
) -> None:
    job, _ = record_file(written(tmp_path), bench)
    tables = bench.tables_of(job)
    # 0.60 x 723 600 x 0.18 x 42 / 1000 = 3282 N·m
    assert torque_missing(job, tables) == ()
    hold = next(t for t in whole_test(job, tables).trials if t.trial.id == "hold")
    assert hold.leak is not None
    # 0.01 MPa/min x 2000 / 1400 = 0.0143 ml/min, from minute 3 to 18, against 0.20
    assert (hold.leak.used, hold.leak.ml_min) == (16, pytest.approx(0.014286, abs=1e-5))
    assert hold.result is Result.PASS
    sha256 = hashlib.sha256(LOG.encode()).hexdigest()
    kept = bench.folder / "logs" / f"{sha256}.csv"
    assert kept.read_bytes() == LOG.encode()
    assert verify(bench) == []
    kept.write_bytes(LOG.replace("210.0", "211.0").encode())
    assert verify(bench) == ["S-7: the log hold.csv in the folder logs was changed."]
    kept.unlink()
    assert verify(bench) == ["S-7: the log hold.csv is gone from the folder logs."]
    kept.write_bytes(LOG.encode())


def test_report_and_prompt_say_torque_and_test_alike(bench: Bench, tmp_path: Path) -> None:
    job, _ = record_file(written(tmp_path), bench)
    tables = bench.tables_of(job)
    torques, test = (
        assembled_section(job, tables, "metric"),
        pressure_test_section(job, tables, "inch", PAPERS["A4"].room),
    )
    assert torques is not None
    assert test is not None
    said = str((torques, test))
    assert "3282.2 N·m, 2954 to 3610.5" in said
    assert "3282 N·m ± 4 %" in said
    assert "Pressure test: not proven." in said
    # 0.01 MPa/min x 2000 / 1400 = 0.014286 ml/min are 0.00087 in³/min. U: modulus and volume 0.014286 √(0.2² + 0.1²)
    # = 0.0032, gauge 2000/1400 √2 0.01155/15 = 0.0016, thermometer 1.4 √2 0.0577/15 = 0.0076: 0.00841, up 0.0085;
    # 0.00051 in³/min
    assert re.search(r"0\.00087 ± 0\.0005[12] in³/min", said)
    assert any(isinstance(block, Figure) for block in test.blocks)
    rows = dict(trial_rows(job, tables, "metric"))
    assert rows["Hold"] == "0.0143 ± 0.0085 ml/min: pass"
    assert dict(torque_rows(job, tables, "metric"))["Piston nut"].endswith("3282 N·m ± 4 %: within limit")
    lines = "\n".join(closing_table(job, tables, "metric"))
    assert "Pressure test: not proven" in lines
    assert "Not done: Bleed" in lines
    told = closing_data(job, tables)
    assert told["test"]["log"] == hashlib.sha256(LOG.encode()).hexdigest()
    assert told["torques"][0]["verdict"] == "within limit"
    hold = next(t for t in told["test"]["trials"] if t["trial"] == "hold")
    assert hold["leak"] == pytest.approx(0.014286, abs=1e-5)


def test_before_either_was_begun_report_and_prompt_are_silent(bench: Bench) -> None:
    job = bench.open_job("bare", "KM")
    tables = bench.tables_of(job)
    assert assembled_section(job, tables, "metric") is None
    assert pressure_test_section(job, tables, "metric", PAPERS["A4"].room) is None
    assert list(closing_table(job, tables, "metric")) == []


@pytest.mark.parametrize(
    ("right", "wrong", "log", "says"),
    [
        ('file = "hold.csv"', 'file = "gone.csv"', LOG, "gone.csv cannot be read"),
        (
            "",
            "",
            LOG.replace("[bar]", ""),
            r"unit of pressure: bar, psi, MPa, kPa or mbar|No column is a pressure",
        ),
        ("", "", LOG.replace("p [bar]", "pressure"), "say which it is. unit of pressure: bar, psi"),
        ("", "", b"PK\x03\x04", "spreadsheet"),
        ('hold_to = "18"', 'until = "18"', LOG, "test.log: found until"),
        ('surface = "lubricated"', 'surface = "butter"', LOG, "torque piston-nut.computed: "),
        ('tool = "W-02"', 'wrench = "W-02"', LOG, "reached: found wrench"),
    ],
)
def test_a_slip_in_the_file_is_told_by_its_place(
    bench: Bench, tmp_path: Path, right: str, wrong: str, log: str | bytes, says: str
) -> None:
    with pytest.raises(Refusal, match=says):
        record_file(written(tmp_path, FILE.replace(right, wrong, 1) if right else FILE, log), bench)


def test_a_file_is_shown_before_it_is_taken_and_what_it_leaves_open_is_asked() -> None:
    raw = b"t [s];p\n0;1,234\n1;1,233\n2;1,232\n"
    shown = look_into("a.csv", raw, {})
    assert [a.about for a in shown.asked] == ["unit of pressure", "decimal mark"]
    assert shown.log is None
    shown = look_into("a.csv", raw, {"unit of pressure": "psi", "decimal mark": "point"})
    assert shown.log is not None
    assert len(shown.log.points) == 3


def test_a_file_whose_time_falls_is_shown_with_its_sentence() -> None:
    shown = look_into("a.csv", b"t [s];p [bar]\n5;210\n4;209\n6;209\n", {})
    assert "earlier than the reading above it" in shown.wrong
