"""How the cylinder was put together: the section of the report with each joint's torque."""

from __future__ import annotations

from inspect_app.entries.job import Job
from inspect_app.job.assembling import JointStands, basis_words, joints_of
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Section, Table
from inspect_app.tables import Tables
from inspect_app.trade.measuring.amounts import Amount

TORQUES = (Column("Joint", 24), Column("Torque", 28), Column("Reached", 26), Column("Result", 22))


def assembled_section(job: Job, tables: Tables, system: str) -> Section | None:
    """Torques as aimed at and reached; None before any has a target.

    Args:
        job: the job.
        tables: its tables.
        system: "metric" or "inch".
    """
    joints = [j for j in joints_of(job, tables) if j.target]
    if not joints:
        return None
    blocks: list[Block] = [Table(TORQUES, tuple(_row(j, system) for j in joints), dense=True)]
    if said := [s.words(system) for j in joints for s in j.says]:
        blocks.append(Bullets(tuple(said)))
    return Section("Torques", tuple(blocks))


def torque_rows(job: Job, tables: Tables, system: str) -> tuple[tuple[str, str], ...]:
    """Every joint that has a target in a line: the torque, what was reached, and the verdict.

    Args:
        job: the job.
        tables: its tables.
        system: "metric" or "inch".
    """
    rows = []
    for stands in (j for j in joints_of(job, tables) if j.target):
        target, reached = torque_words(stands, system)
        verdict = f": {stands.verdict.value}" if stands.decision else ""
        rows.append((stands.joint.title, f"{target}; {reached}{verdict}"))
    return tuple(rows)


def torque_words(stands: JointStands, system: str) -> tuple[str, str]:
    """The torque a joint is aimed at with its range, and the one it reached with the error of the tool.

    Args:
        stands: the joint.
        system: "metric" or "inch".
    """
    aimed, reached = stands.range_nm, stands.reached
    if aimed is None:
        return "no target", ""
    low, mid, high = (Amount(nm, "torque") for nm in (aimed.least_nm, aimed.nominal_nm, aimed.greatest_nm))
    target = f"{mid.words(system)}, {low.figure(system)[0]} to {high.figure(system)[0]}"
    if reached is None:
        return target, "not tightened"
    if reached.torque is None:
        return target, "beyond the tool"
    off = "" if reached.error_percent is None else f" ± {reached.error_percent:f} %"
    return target, f"{Amount(reached.torque.value, 'torque').words(system)}{off}"


def tool_words(stands: JointStands) -> str:
    """With which tool a joint was tightened, until when that is calibrated, and by whom; "" where it was not.

    Args:
        stands: the joint.
    """
    tool = stands.reached
    if tool is None:
        return ""
    until = f", calibrated until {tool.until}" if tool.until else ""
    return f"{tool.tool}{until}; {tool.by}"


def _row(stands: JointStands, system: str) -> tuple[Cell, ...]:
    target, reached = torque_words(stands, system)
    under = stands.target and f"{basis_words(stands.target)} {stands.target.on}."
    said = stands.verdict.value if stands.reached else ""
    sign = stands.verdict if stands.reached else None
    whose = tool_words(stands)
    return Cell(stands.joint.title), Cell(target, under or ""), Cell(reached, whose), Cell(said, sign=sign)
