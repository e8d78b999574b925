"""How the lines of a seal list stand with their orders, in words; for the prompt and the screens alike."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from typing import Any

from inspect_app.entries.seals import OldSeal, Where
from inspect_app.job.seals.across import Sum
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.standing import OrderStands, Standing, State
from inspect_app.report.seal_words import doubt_words
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.wording import counted


def standing_title(standing: Standing) -> str:
    """The place a line is for.

    Args:
        standing: the line.
    """
    return f"{standing.line.title}, {standing.line.place}"


def state_words(standing: Standing, system: str) -> str:
    """How a line stands, with what is here, to come and missing; what is late says so first.

    Args:
        standing: the line.
        system: "metric" or "inch".
    """
    late = f"LATE, {standing.late.words(system)}; " if standing.late else ""
    counts = [f"{standing.here} here" if standing.here else ""]
    counts.append(f"{standing.to_come} to come" if standing.to_come else "")
    counts.append(f"{standing.missing} to order" if standing.missing and standing.orders else "")
    said = ", ".join(count for count in counts if count)
    return f"{late}{standing.state.value}{f': {said}' if said else ''}"


def count_words(standings: Sequence[Standing]) -> str:
    """How many lines stand how, the late ones first and not again; "" while nothing was ordered.

    Args:
        standings: every line.
    """
    if not any(s.orders for s in standings):
        return ""
    in_time = [s.state for s in standings if not s.late]
    late = len(standings) - len(in_time)
    counts = [(late, "late"), *((in_time.count(state), state.value) for state in State)]
    said = ", ".join(f"{count} {words}" for count, words in counts if count)
    return f"{counted(len(standings), 'line', 'lines')}: {said}."


def order_words(stands: OrderStands, system: str) -> Iterator[str]:
    """An order, what was offered instead, and what came, a sentence each.

    Args:
        stands: the order.
        system: "metric" or "inch"; what was ordered stands as it went out.
    """
    order = stands.order
    reference = f", reference {order.reference}" if order.reference else ""
    price = f", {order.price.typed} each" if order.price else ""
    promised = f", promised {order.promised}" if order.promised else ", no date promised"
    yield (
        f"{order.at[:10]} {order.by}: {order.quantity} ordered from {order.supplier}{reference}{price}{promised}."
    )
    if offer := stands.offer:
        price = f", {offer.price.typed} each" if offer.price else ""
        promised = f", promised {offer.promised}" if offer.promised else ""
        yield f"{offer.at[:10]} {offer.by}: offered otherwise: {offer.offers}{price}{promised}."
        if offer.accepted is None:
            yield "Waits for the mechanic's word."
        else:
            says = "accepts it" if offer.accepted else "refuses it, the order is off"
            yield f"{offer.decided_by} {says}: {offer.words}"
    for receipt in stands.receipts:
        cured = f", cured {receipt.cured}" if receipt.cured else ", no cure date"
        batch = f", batch {receipt.batch}" if receipt.batch else ""
        came = f"wrong: {receipt.wrong}" if receipt.wrong else f"right{cured}{batch}"
        held = stands.sections.get(receipt.id)
        section = f" {held.sentence.words(system)}" if held else ""
        if receipt.section and not held:
            section = f" Section {receipt.section.typed}."
        yield f"{receipt.at[:10]} {receipt.by}: {receipt.quantity} came, {came}.{section}"


def old_words(line: SealLine, system: str) -> tuple[str, ...]:
    """What the old seal points to, or fits; evidence, never a verdict.

    Args:
        line: the line.
        system: "metric" or "inch".
    """
    return tuple(p.sentence.words(system) for p in line.old)


def old_measured_words(old: OldSeal | None) -> str:
    """What was measured of an old seal as it was typed, its note, and who looked; "" where nobody did.

    Args:
        old: the old seal.
    """
    if old is None:
        return ""
    section = f"section {old.section.typed}" if old.section else ""
    said = ", ".join(w for w in (section, old.hardness.typed if old.hardness else "", old.note) if w)
    return f"{old.by}: {said}." if said else ""


def looks_words(standings: Sequence[Standing], seen: Container[Where]) -> str:
    """How many old seals were looked at, and which were not; "" of a list without lines.

    Args:
        standings: every line.
        seen: the places whose old seal was looked at.
    """
    left = [s for s in standings if s.line.where not in seen]
    if not standings:
        return ""
    done = f"Old seals looked at: {len(standings) - len(left)} of {len(standings)}."
    if not left or len(left) == len(standings):
        return done
    return f"{done} Not yet: {'; '.join(standing_title(s) for s in left)}."


def holding_words(standings: Sequence[Standing], system: str) -> str:
    """What of the seals holds the reassembly, the late ones by name; "" where nothing was ordered or planned.

    Args:
        standings: every line.
        system: "metric" or "inch".
    """
    late = [s for s in standings if s.late]
    waiting = [s for s in standings if not s.fit_to_go_in]
    if not waiting or not (late or any(s.orders for s in standings)):
        return ""
    here = len(standings) - len(waiting)
    words = f"Seals: {here} of {counted(len(standings), 'line is', 'lines are')} here."
    if late:
        named = "; ".join(f"{standing_title(s)}, {s.late.words(system)}" for s in late)
        words += f" Late, and holding the reassembly: {named}."
    return words


def standing_lines(standings: Sequence[Standing], system: str) -> Iterator[str]:
    """The questions and orders of a list as lines; none where nothing was asked or ordered.

    Args:
        standings: every line.
        system: "metric" or "inch".
    """
    told = [(n, s) for n, s in enumerate(standings, 1) if s.orders or s.questions or s.late]
    if told:
        yield ""
        yield "Asked and ordered:"
    for number, standing in told:
        yield f"{number}. {standing_title(standing)}: {state_words(standing, system)}."
        for question in standing.questions:
            answer = f"{question.answered_by}: {question.answer}" if question.answer else "not answered yet"
            yield f"   {question.by} asks: {question.asks} {answer}"
        for stands in standing.orders:
            yield from (f"   {said}" for said in order_words(stands, system))
        for doubt in (d for d in standing.doubts if d.open):
            yield from (f"   ? {said}" for said in (" ".join(doubt_words(doubt, system)),))


def standing_data(standing: Standing) -> dict[str, Any]:
    """How a line stands as data; orders and questions in words, as they stand in the plain list.

    Args:
        standing: the line.
    """
    return {
        "state": standing.state.value,
        "here": standing.here,
        "to_come": standing.to_come,
        "to_order": standing.missing,
        "late": str(standing.late),
        "asked": [
            {"asks": q.asks, "by": q.by, "answer": q.answer, "answered_by": q.answered_by}
            for q in standing.questions
        ],
        "orders": [list(order_words(stands, "metric")) for stands in standing.orders],
        "open_doubts": [d.objection.rule for d in standing.open_doubts],
    }


def whose_words(found: Sum) -> str:
    """For whom a sum is: "2 S-14, 1 R-31".

    Args:
        found: the sum.
    """
    return ", ".join(f"{each.quantity} {each.name}" for each in found.whose)


def length_words(found: Sum, cut_loss_mm: float, system: str) -> str:
    """How much strip a sum takes, "" of anything else.

    Args:
        found: the sum.
        cut_loss_mm: what each cut costs, mm.
        system: "metric" or "inch".
    """
    whole = found.length_mm(cut_loss_mm)
    if whole is None:
        return ""
    each = ", ".join(
        f"{w.quantity} x {Amount(w.line.cut_mm or 0, 'length', -2).words(system)}" for w in found.whose
    )
    loss = Amount(cut_loss_mm, "length", -2).words(system)
    return f"{Amount(whole, 'length', -2).words(system)} of strip: {each}, {loss} for each cut"
