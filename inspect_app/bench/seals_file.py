"""What a readings file says of the seals: [seals] with what is there, old ones, sheets, doubts closed, orders.

    [seals]
    reassembly = 2026-12-04
    [[seals.there]]      position, place; answer = "there" (or "none", or what stands there instead), count, fitted,
                         material, corner, lead_in, lips = "rod side, cap side", behind = "5.33", word
    [[seals.old]]        position, place; looks = ["extruded"] by the ids of old_seals.toml, section, hardness, note,
                         photos
    [[seals.sheet]]      position, place; figure = "greatest gap", value = "0.3 mm", sheet = "which sheet"
    [[seals.closed]]     position, place (both left out for the whole cylinder); doubt = "memory", reason
    [[seals.question]]   position, place; asks, answer
    [[seals.order]]      position, place; supplier, quantity, reference, price, promised;
                         offered = { offers, price, promised, accepted = true, words },
                         received = [{ quantity, cured, batch, wrong, section }]

They are read in this order, after all that is said of the cylinder, as left too: a doubt is closed
as it stands with all of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from inspect_app.bench.file_blocks import require_keys
from inspect_app.entries import ordering, sealing
from inspect_app.entries.job import Job
from inspect_app.entries.seals import WHOLE_CYLINDER, Where
from inspect_app.entries.typed import Typed

_WHERE = ("position", "place")
TOLD = ("count", "fitted", "material", "corner", "lead_in", "lips", "behind", "word")
KEYS: Mapping[str, tuple[str, ...]] = {
    "there": (*_WHERE, "answer", *TOLD),
    "old": (*_WHERE, "looks", "section", "hardness", "note", "photos"),
    "sheet": (*_WHERE, "figure", "value", "sheet"),
    "closed": (*_WHERE, "doubt", "reason"),
    "question": (*_WHERE, "asks", "answer"),
    "order": (*_WHERE, "supplier", "quantity", "reference", "price", "promised", "offered", "received"),
}
OFFER_KEYS = ("offers", "price", "promised", "accepted", "words")
RECEIPT_KEYS = ("quantity", "cured", "batch", "wrong", "section")


class Recorder(Protocol):
    """Whoever records a file: enters what was typed and gives the job as it then stands."""

    def enter(self, where: str, typed: Typed) -> Job: ...

    def photograph(self, where: str, of: str, name: str) -> None: ...


def record_seals(path: str, block: Mapping[str, Any], to: Recorder) -> None:
    """Record what a file says of the seals.

    Args:
        path: the file, for the sentences.
        block: its [seals].
        to: who records it.
    Raises:
        Refusal: a key that is not known, or whatever cannot be entered.
    """
    where = f"{path}: seals"
    require_keys(where, block, ("reassembly", *KEYS), lists=tuple(KEYS))
    said = {key: block.get(key, ()) for key in KEYS}
    for key, blocks in said.items():
        for found in blocks:
            require_keys(f"{where}.{key}", found, KEYS[key])
    for key, record in (("there", _there), ("old", _old), ("sheet", _sheet)):
        for found in said[key]:
            record(found, to)
    if said["closed"]:
        to.enter("seals.closed", sealing.DoubtsClosed([_closed(found) for found in said["closed"]]))
    for found in said["question"]:
        _question(found, to)
    for found in said["order"]:
        _order(path, found, to)
    if "reassembly" in block:
        to.enter("seals", ordering.ReassemblyPlanned(str(block["reassembly"])))


def photo_of(where: Where) -> str:
    """What a photograph of the old seal at a place is said to be of.

    Args:
        where: position and place.
    """
    return f"old seal {where[0]}, {where[1]}"


def _where(block: Mapping[str, Any]) -> Where:
    return str(block.get("position", "")), str(block.get("place", ""))


def _texts(block: Mapping[str, Any], *keys: str) -> tuple[str, ...]:
    return tuple(str(block.get(key, "")) for key in keys)


def _there(block: Mapping[str, Any], to: Recorder) -> None:
    words = str(block.get("answer", sealing.THERE))
    to.enter("seals.there", sealing.PlaceAnswered(_where(block), words, *_texts(block, *TOLD)))


def _old(block: Mapping[str, Any], to: Recorder) -> None:
    where = _where(block)
    states = [str(state) for state in block.get("looks", ())]
    to.enter("seals.old", sealing.OldSealSeen(where, states, *_texts(block, "section", "hardness", "note")))
    for name in block.get("photos", ()):
        to.photograph("seals.old", photo_of(where), str(name))


def _sheet(block: Mapping[str, Any], to: Recorder) -> None:
    to.enter("seals.sheet", sealing.FigureOffSheet(_where(block), *_texts(block, "figure", "value", "sheet")))


def _closed(block: Mapping[str, Any]) -> sealing.DoubtClosed:
    where = _where(block) if any(key in block for key in _WHERE) else WHOLE_CYLINDER
    return sealing.DoubtClosed(where, *_texts(block, "doubt", "reason"))


def _question(block: Mapping[str, Any], to: Recorder) -> None:
    job = to.enter("seals.question", ordering.Asked(_where(block), str(block.get("asks", ""))))
    if "answer" in block:
        to.enter("seals.question", ordering.Replied([*job.ordering.questions][-1], str(block["answer"])))


def _order(path: str, block: Mapping[str, Any], to: Recorder) -> None:
    where = "seals.order"
    texts = _texts(block, "supplier", "quantity", "reference", "price", "promised")
    job = to.enter(where, ordering.Ordered(_where(block), *texts))
    order = [*job.ordering.orders][-1]
    if "offered" in block:
        offered = block["offered"]
        require_keys(f"{path}: {where}.offered", offered, OFFER_KEYS)
        job = to.enter(
            where, ordering.OfferedOtherwise(order, *_texts(offered, "offers", "price", "promised"))
        )
        if "accepted" in offered:
            words, offer = str(offered.get("words", "")), [*job.ordering.offers][-1]
            to.enter(where, ordering.OfferDecided(offer, bool(offered["accepted"]), words))
    for received in block.get("received", ()):
        require_keys(f"{path}: {where}.received", received, RECEIPT_KEYS)
        to.enter(where, ordering.Received(order, *_texts(received, *RECEIPT_KEYS)))
