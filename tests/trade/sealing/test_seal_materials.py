"""Seal materials against the read table of fluids and elastomers; the hard stops hold at every temperature."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import load_sources
from inspect_app.tables.standards.seal_materials import load_seal_materials
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.seal_materials import VERDICTS, MaterialAdvice, advise, suitable

CHECKLISTS = Path(__file__).parents[3] / "checklists"
TABLES = load_seal_materials(Reader(CHECKLISTS))
MINERAL = ("HH", "HL", "HM", "HR", "HV", "HG")


def _advice(material: str, fluid: str | None, hottest_c: float = 50, coldest_c: float = 0) -> MaterialAdvice:
    return advise(material=material, fluid=fluid, coldest_c=coldest_c, hottest_c=hottest_c, tables=TABLES)


def test_the_tables_have_no_fault_and_name_only_known_sources() -> None:
    reader = Reader(CHECKLISTS)
    tables = load_seal_materials(reader)
    sources = load_sources(reader)
    assert [f for f in reader.faults if f.file.startswith("housings/")] == []
    assert {row.source for row in tables.compatibilities.values()} <= sources.keys()
    assert {material.source for material in tables.materials.values()} <= sources.keys()


@pytest.mark.parametrize(
    ("fluid", "material", "verdict"),
    [  # oringsupplyco.com, hydraulic fluids and elastomers
        ("HM", "NBR", "ok"),
        ("HEES", "NBR", "depends"),  # printed: high-ACN NBR
        ("HEES", "FKM", "ok"),
        ("HETG", "NBR", "depends"),  # printed: high-ACN NBR
        ("HETG", "HNBR", "ok"),
        ("HFC", "NBR", "ok"),
        ("HFC", "EPDM", "ok"),
        ("HFDR", "EPDM", "ok"),
        ("HFDR", "FKM", "depends"),  # printed: special FKM
        ("HFB", "NBR", "ok"),
        ("HFB", "HNBR", "ok"),
        ("HFAE", "NBR", "ok"),
        ("HFAS", "EPDM", "ok"),
        ("HM", "EPDM", "not"),  # printed: EPDM never in mineral oil
    ],
)
def test_the_read_table_of_fluids_and_elastomers(fluid: str, material: str, verdict: str) -> None:
    assert _advice(material, fluid).verdict == verdict
    assert TABLES.compatibilities[material, fluid].status == "common-practice"


def test_above_100_degrees_mineral_oil_wants_hnbr() -> None:  # the same table: "HNBR > 100 °C"
    assert _advice("NBR", "HM", hottest_c=100).verdict == "ok"
    assert _advice("NBR", "HM", hottest_c=105).verdict == "not"
    assert _advice("HNBR", "HM", hottest_c=105).verdict == "ok"


STOPS = [("EPDM", fluid) for fluid in MINERAL]  # the same table: never
STOPS += [("NBR", "HFDR"), ("FKM", "HFDR-alkyl")]  # from memory: phosphate ester; aircraft phosphate ester


@given(
    st.sampled_from(STOPS),
    st.floats(-60, 250),
    st.floats(0, 100),
)
def test_a_hard_stop_holds_at_every_temperature(
    stop: tuple[str, str], coldest_c: float, warmer_k: float
) -> None:
    advice = _advice(*stop, hottest_c=coldest_c + warmer_k, coldest_c=coldest_c)
    assert advice.hard_stop
    assert advice.verdict == "not"
    assert "Never fit it" in str(advice.sentence)


def test_polyester_polyurethane_in_warm_water_emulsion_is_warned_of() -> None:  # from memory: above 50 °C
    advice = _advice("AU", "HFAE", hottest_c=55)
    assert advice.verdict != "ok"
    assert not advice.hard_stop
    assert "Never fit it" not in str(advice.sentence)  # a warning may be weighed at the bench, a stop may not


def test_cold_below_its_range_is_refused_for_being_stiff() -> None:  # nitrile to -30 °C, the same table
    assert _advice("NBR", "HV", coldest_c=-30).verdict == "ok"
    cold = _advice("NBR", "HV", coldest_c=-40)
    assert cold.verdict == "not"
    assert "stiff" in str(cold.sentence)


def test_a_fluid_that_is_not_for_it_is_the_reason_whatever_the_temperature() -> None:
    # by hand: nitrile's own range is -30 to 100 °C in this table, and phosphate ester destroys it at any of them
    mild, hot, cold = (
        _advice("NBR", "HFDR", hottest_c=h, coldest_c=c) for h, c in ((50, 0), (200, 0), (50, -60))
    )
    assert str(hot.sentence) == str(cold.sentence) == str(mild.sentence)
    assert "withstands" not in str(hot.sentence)
    assert "stiff" not in str(cold.sentence)


def test_an_unknown_fluid_is_never_answered_with_ok() -> None:
    advice = _advice("NBR", None)
    assert advice.verdict == "depends"
    assert "find it out" in str(advice.sentence)


@pytest.mark.parametrize(("material", "fluid"), [("rubber", "HM"), ("NBR", "HLP"), ("NBR", "")])
def test_a_code_not_in_the_tables_is_refused_with_the_list(material: str, fluid: str) -> None:
    with pytest.raises(Refusal, match="there are"):
        _advice(material, fluid)


def test_temperatures_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(Refusal, match="swap them"):
        _advice("NBR", "HM", hottest_c=0, coldest_c=20)


def test_hot_phosphate_ester_leaves_epdm_among_the_rubbers() -> None:
    advices = suitable(fluid="HFDR", coldest_c=0, hottest_c=80, tables=TABLES)
    assert {a.material for a in advices if a.verdict == "ok"} == {"EPDM", "PTFE", "PTFE-bronze"}
    assert [VERDICTS.index(a.verdict) for a in advices] == sorted(VERDICTS.index(a.verdict) for a in advices)


def test_a_missing_pair_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "housings").mkdir()
    for name in ("seal_temperature.csv", "seal_materials.csv"):
        lines = (CHECKLISTS / "housings" / name).read_text(encoding="utf-8").splitlines()
        kept = [line for line in lines if not line.startswith("FKM,HFC,")]
        (tmp_path / "housings" / name).write_text("\n".join(kept), encoding="utf-8")
    reader = Reader(tmp_path)
    load_seal_materials(reader)
    assert [fault.key for fault in reader.faults] == ["FKM in HFC"]


@given(
    st.sampled_from(sorted(TABLES.compatibilities)), st.floats(-60, 250), st.floats(0, 100), st.floats(0, 100)
)
def test_no_material_gets_better_by_heat(
    pair: tuple[str, str], coldest_c: float, warmer_k: float, more_k: float
) -> None:
    mild = _advice(*pair, hottest_c=coldest_c + warmer_k, coldest_c=coldest_c)
    hot = _advice(*pair, hottest_c=coldest_c + warmer_k + more_k, coldest_c=coldest_c)
    assert VERDICTS.index(mild.verdict) <= VERDICTS.index(hot.verdict)
    assert str(mild.sentence).endswith(".")


def test_what_the_fluid_forbids_is_never_put_down_to_the_temperature() -> None:
    cool, hot = _advice("EPDM", "HM"), _advice("EPDM", "HM", hottest_c=300, coldest_c=-100)
    assert (hot.verdict, hot.sentence) == (cool.verdict, cool.sentence) == ("not", cool.sentence)
    assert "°C" not in str(hot.sentence)
