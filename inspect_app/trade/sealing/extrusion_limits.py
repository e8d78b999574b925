"""How wide a gap a seal stands without back-up rings, and when it needs them; knows no file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_positive
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.sealing.extrusion import Gap

_WORDS = {"plastic-faced": "plastic-faced seal"}


@dataclass(frozen=True, slots=True)
class ExtrusionLimit:
    """One cell of a table of gaps: the band it covers, the greatest gap, how that is measured.

    `measure` is ``diametral`` or ``radial``; None means any hardness or section. A table that only
    `tightens` another never stands alone.
    """

    seal: str
    hardness_shore_a: float | None
    pressure_from_mpa: float
    pressure_to_mpa: float
    section_from_mm: float | None
    section_to_mm: float | None
    measure: str
    greatest_mm: float
    tightens: bool
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class GapFinding:
    """A gap held against the table that leaves it the least room; `limit` is that cell.

    `within` is None where the tables do not decide: trade figures for a plastic face ask for less room than a
    new piston's land usually leaves, so the seal's own sheet does.
    """

    within: bool | None
    gap_mm: float
    limit: ExtrusionLimit
    sentence: Sentence


@dataclass(frozen=True, slots=True)
class BackupAdvice:
    """How many back-up rings, where, and why."""

    count: int
    where: str
    reasons: tuple[Sentence, ...]


def judge_gap(
    *,
    gap: Gap,
    pressure_mpa: float,
    section_mm: float,
    hardness_shore_a: float | None,
    seal: str,
    limits: Sequence[ExtrusionLimit],
) -> GapFinding:
    """Whether a gap is narrow enough for an O-ring without back-up rings; of a plastic face both numbers.

    Each table is compared in the measure it is printed in; of several, the one leaving least room counts.

    Args:
        gap: the gap at working pressure.
        pressure_mpa: greatest working pressure, MPa.
        section_mm: section of the O-ring, or of the one behind a plastic face, mm.
        hardness_shore_a: hardness of the seal; between two printed hardnesses the softer one's row is used.
        seal: ``o-ring`` or ``plastic-faced``.
        limits: the tables' cells.
    Raises:
        Refusal: when the pressure, the hardness or the section lies outside the tables.
    Valid: inside the tables only; nothing is extrapolated.
    Source: extrusion-chart-oring, extrusion-table-by-section, plastic-faced-trade

    >>> chart = [ExtrusionLimit("o-ring", 70, 3.4474, 6.8948, None, None, "diametral", 0.254, False,
    ...                         "read", "extrusion-chart-oring")]
    >>> clearance = Gap(0.4064, 0.2032, 0.4064, 0)   # published: 0.016 in at 1000 psi, 70 Shore A fails
    >>> judge_gap(gap=clearance, pressure_mpa=6.89, section_mm=3.53, hardness_shore_a=70,
    ...           seal="o-ring", limits=chart).within
    False
    """
    rows = limits_at(
        pressure_mpa=pressure_mpa,
        section_mm=section_mm,
        hardness_shore_a=hardness_shore_a,
        seal=seal,
        limits=limits,
    )
    limit = max(rows, key=lambda row: _measured(gap, row) / row.greatest_mm)
    gap_mm = _measured(gap, limit)
    within = None if seal == "plastic-faced" else gap_mm <= limit.greatest_mm
    row = "" if limit.hardness_shore_a is None else f" for {limit.hardness_shore_a:g} Shore A"
    verdict = {
        None: "the seal's sheet decides",
        True: "narrow enough",
        False: "too wide without back-up rings",
    }[within]
    sentence = Sentence(
        "{measure} gap {gap}, at {pressure}{row} at most {most}: {verdict}.",
        {
            "measure": capital(limit.measure),
            "gap": Amount(gap_mm, "length"),
            "pressure": Amount(pressure_mpa, "pressure"),
            "row": row,
            "most": Amount(limit.greatest_mm, "length"),
            "verdict": verdict,
        },
    )
    return GapFinding(within, gap_mm, limit, sentence)


def limits_at(
    *,
    pressure_mpa: float,
    section_mm: float,
    hardness_shore_a: float | None,
    seal: str,
    limits: Sequence[ExtrusionLimit],
) -> tuple[ExtrusionLimit, ...]:
    """The tables' cells that cover a seal at a pressure; at a band's edge, the cells of both bands.

    Args:
        pressure_mpa: greatest working pressure, MPa.
        section_mm: section of the O-ring, mm.
        hardness_shore_a: hardness of the seal, or None where tables do not tell it apart.
        seal: ``o-ring`` or ``plastic-faced``.
        limits: the tables' cells.
    Raises:
        Refusal: when the pressure, the hardness or the section lies outside the tables.
    Source: extrusion-chart-oring, extrusion-table-by-section, plastic-faced-trade

    >>> chart = [ExtrusionLimit("o-ring", 70, 0, 3.4474, None, None, "diametral", 0.4064, False,
    ...                         "read", "extrusion-chart-oring")]
    >>> at = {"pressure_mpa": 2.76, "section_mm": 3.53, "hardness_shore_a": 70, "seal": "o-ring"}
    >>> limits_at(**at, limits=chart)[0].greatest_mm   # published: 0.016 in below 500 psi
    0.406
    """
    require_positive(pressure_mpa=pressure_mpa)
    rows = _rows(seal=seal, section_mm=section_mm, hardness_shore_a=hardness_shore_a, limits=limits)
    covering = tuple(row for row in rows if row.pressure_from_mpa <= pressure_mpa <= row.pressure_to_mpa)
    if all(row.tightens for row in covering):
        raise Refusal(
            "The table of gaps for this {seal} ends at {end} and the pressure is {pressure};"
            " use back-up rings or ask the seal maker.",
            seal=_WORDS.get(seal, seal),
            end=Amount(_end_mpa(rows), "pressure"),
            pressure=Amount(pressure_mpa, "pressure"),
        )
    return covering


def backup_rings(
    *,
    gap: Gap,
    pressure_mpa: float,
    section_mm: float,
    hardness_shore_a: float,
    from_both_sides: bool,
    consider_above_mpa: float,
    limits: Sequence[ExtrusionLimit],
) -> BackupAdvice:
    """How many back-up rings an O-ring needs, on which side, with the reasons.

    Args:
        gap: the gap at working pressure.
        pressure_mpa: greatest working pressure, MPa.
        section_mm: section of the O-ring, mm.
        hardness_shore_a: hardness of the O-ring.
        from_both_sides: whether pressure comes from both sides in turn.
        consider_above_mpa: pressure above which back-up rings are considered wherever there is a gap, MPa.
        limits: the tables' cells.
    Raises:
        Refusal: a pressure not greater than 0, or a hardness or a section outside the tables.
    Valid: the gap a back-up ring itself bridges is not covered; ask its maker.
    Source: mil-g-5514g, oring-handbook-static, extrusion-chart-oring

    >>> chart = [ExtrusionLimit("o-ring", 90, 13.79, 20.68, None, None, "diametral", 0.254, False,
    ...                         "read", "extrusion-chart-oring")]
    >>> advice = backup_rings(gap=Gap(0.3, 0.15, 0.3, 0), pressure_mpa=16, section_mm=5.33,
    ...                       hardness_shore_a=90, from_both_sides=True, consider_above_mpa=10.35,
    ...                       limits=chart)
    >>> advice.count, advice.where
    (2, 'one on each side of the O-ring')
    """
    require_positive(pressure_mpa=pressure_mpa, consider_above_mpa=consider_above_mpa)
    rows = _rows(seal="o-ring", section_mm=section_mm, hardness_shore_a=hardness_shore_a, limits=limits)
    end_mpa = _end_mpa(rows)
    reasons: list[Sentence] = []
    if pressure_mpa > end_mpa:
        reasons.append(
            Sentence(
                "No gap is published for an O-ring alone above {end}.", {"end": Amount(end_mpa, "pressure")}
            )
        )
    else:
        finding = judge_gap(
            gap=gap,
            pressure_mpa=pressure_mpa,
            section_mm=section_mm,
            hardness_shore_a=hardness_shore_a,
            seal="o-ring",
            limits=limits,
        )
        if not finding.within:
            reasons.append(finding.sentence)
    if pressure_mpa > consider_above_mpa and gap.one_sided_mm > 0:
        reasons.append(
            Sentence(
                "There is a gap and the pressure is above {limit}.",
                {"limit": Amount(consider_above_mpa, "pressure")},
            )
        )
    if not reasons:
        return BackupAdvice(0, "none", (Sentence("The gap is narrow enough at this pressure."),))
    if from_both_sides:
        return BackupAdvice(2, "one on each side of the O-ring", tuple(reasons))
    return BackupAdvice(1, "on the low-pressure side of the O-ring", tuple(reasons))


def _rows(
    *, seal: str, section_mm: float, hardness_shore_a: float | None, limits: Sequence[ExtrusionLimit]
) -> list[ExtrusionLimit]:
    require_positive(section_mm=section_mm)
    rows = [row for row in limits if row.seal == seal and _has(section_mm, row)]
    if all(row.tightens for row in rows):
        raise Refusal(
            "There is no table of gaps for a {seal} of {section} cross-section; ask the seal maker.",
            seal=_WORDS.get(seal, seal),
            section=Amount(section_mm, "length"),
        )
    printed = sorted(
        {row.hardness_shore_a for row in rows if row.hardness_shore_a is not None and not row.tightens}
    )
    if not printed:
        return rows
    if hardness_shore_a is None or not printed[0] <= hardness_shore_a <= printed[-1]:
        given = "missing" if hardness_shore_a is None else f"{hardness_shore_a:g} Shore A"
        raise Refusal(f"The hardness is {given}; the table covers {printed[0]:g} to {printed[-1]:g} Shore A.")
    softer = max(hardness for hardness in printed if hardness <= hardness_shore_a)
    return [row for row in rows if row.hardness_shore_a == softer]


def _end_mpa(rows: Sequence[ExtrusionLimit]) -> float:
    return max(row.pressure_to_mpa for row in rows if not row.tightens)


def _measured(gap: Gap, limit: ExtrusionLimit) -> float:
    return gap.diametral_mm if limit.measure == "diametral" else gap.one_sided_mm


def _has(section_mm: float, limit: ExtrusionLimit) -> bool:
    low = limit.section_from_mm is None or section_mm >= limit.section_from_mm
    return low and (limit.section_to_mm is None or section_mm <= limit.section_to_mm)
