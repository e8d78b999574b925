"""Sealing: what is there at a place, how the old seal looks, a figure off the new one's sheet, a doubt closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Survey
from inspect_app.entries.seals import WHOLE_CYLINDER, AsTyped, ClosedDoubt, OffSheet, OldSeal, There, Where
from inspect_app.entries.typed import Known, Written, with_unit
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.sheet_figures import FIGURES

LIPS_FACE = ("rod side", "cap side")
"""The two sides a lip of a piston can face."""

THERE, NONE = "there", "none"
"""The two answers every place has; any other words say what stands there instead."""


def require_where(where: Where, known: Known) -> None:
    """Refuse a position this cylinder cannot have, or a place it has not.

    Args:
        where: position and place.
        known: for the checklist.
    """
    position, place = where
    positions = known.tables.positions
    places = positions.places_of(known.survey.cylinder, position)
    if position not in positions.positions:
        raise Refusal(f"{position!r} is not a position; allowed are {', '.join(positions.positions)}.")
    if not places:
        raise Refusal(f"This cylinder cannot have {position}.")
    if place not in places:
        raise Refusal(f"{place!r} is no place of {position}; allowed are {', '.join(places)}.")


def as_typed(text: str, kind: str, system: str) -> dict[str, str]:
    """A quantity for a body: as typed with its unit, and as understood; {} where nothing was typed.

    Args:
        text: as typed.
        kind: the kind of quantity.
        system: "metric" or "inch", the unit of a bare number.
    """
    if not text.strip():
        return {}
    quantity = quantities.read(text, kind=kind, system=system)
    if quantity.value <= 0 and kind != "temperature":
        called = "price" if kind == "money" else "size"
        raise Refusal(f"{text.strip()} is not a {called}; it must be greater than 0.")
    return {"typed": with_unit(text, quantity), "value": quantities.exact(quantity.value)}


def understood(body: Body) -> AsTyped | None:
    """The quantity `as_typed` wrote, None where nothing was typed.

    Args:
        body: what it gave.
    """
    return AsTyped(body["typed"], Decimal(body["value"])) if body else None


def counted(text: str, of: str) -> int:
    """A whole number above 0.

    Args:
        text: as typed.
        of: what is counted, for the sentence.
    """
    if not text.strip().isascii() or not text.strip().isdigit() or int(text) == 0:
        raise Refusal(f"{text.strip()!r} is not {of}; type 1, 2, 3 and so on.")
    return int(text)


def _placed(where: Where) -> dict[str, str]:
    return {"position": where[0], "place": where[1]}


def where_of(body: Body) -> Where:
    """The position and place an entry is about.

    Args:
        body: the entry's body.
    """
    return body["position"], body["place"]


# ---- typed


@dataclass(frozen=True, slots=True)
class PlaceAnswered:
    """What is at a place: there, none, or in words what stands there instead; how many, and the one that was fitted.

    `corner` and `lead_in` are of its groove, as a maker asks for them. `lips` says which side each single-acting lip
    faces, from the rod end on: "rod side, cap side". `behind` is the section of the O-ring wanted behind a plastic face
    and `word` what the seal's supplier says to it. All but the words may be "".
    """

    where: Where
    words: str = THERE
    count: str = ""
    fitted: str = ""
    material: str = ""
    corner: str = ""
    lead_in: str = ""
    lips: str = ""
    behind: str = ""
    word: str = ""

    def written(self, known: Known) -> list[Written]:
        """The answer; refused is a place there is not, no answer, more said of what is not there."""
        require_where(self.where, known)
        words = self.words.strip()
        if not words:
            raise Refusal("Say what is there: there, none, or what stands there instead.")
        more = (
            self.count, self.fitted, self.material, self.corner, self.lead_in, self.lips, self.behind, self.word,
        )  # fmt: skip
        if words != THERE and any(text.strip() for text in more):
            raise Refusal(f"It was answered {words!r}; only of what is there more can be said.")
        if self.material.strip() and not self.fitted.strip():
            raise Refusal("Say which ring was fitted, not its material alone.")
        if self.word.strip() and not self.behind.strip():
            raise Refusal("Say the section of the O-ring that the supplier gave his word for.")
        body: Body = {
            **_placed(self.where),
            "answer": words,
            "count": str(counted(self.count, "a count of seals")) if self.count.strip() else "",
            "fitted": self.fitted.strip(),
            "material": self.material.strip(),
            "corner": as_typed(self.corner, "length", known.system),
            "lead_in": self.lead_in.strip(),
        }
        if self.lips.strip():
            body = {**body, "lips": self._lips()}
        if self.behind.strip():
            behind = as_typed(self.behind, "length", known.system)
            body = {**body, "behind": behind, "word": self.word.strip()}
        return [("seal", body)]

    def _lips(self) -> list[str]:
        faced = [" ".join(side.split()).casefold() for side in self.lips.split(",")]
        if any(side not in LIPS_FACE for side in faced):
            raise Refusal(
                f"{self.lips.strip()!r} does not say how lips face; write rod side or cap side for each, with a comma"
                " between, from the rod end on."
            )
        return faced


@dataclass(frozen=True, slots=True)
class OldSealSeen:
    """How the old seal at a place looks, and what was measured of it; `hardness` is Shore A."""

    where: Where
    states: Sequence[str]
    section: str = ""
    hardness: str = ""
    note: str = ""

    def written(self, known: Known) -> list[Written]:
        """The look; refused is a place there is not, no state or an unknown one, a hardness off the scale."""
        require_where(self.where, known)
        allowed = known.tables.old_seals
        if not self.states:
            raise Refusal(f"Say how it looks; allowed are {', '.join(allowed)}.")
        for state in self.states:
            if state not in allowed:
                raise Refusal(f"{state!r} is not how an old seal looks; allowed are {', '.join(allowed)}.")
        shore = self.hardness.strip().casefold().removesuffix("shore a").strip()
        hardness = as_typed(shore, "hardness", known.system)
        if hardness and Decimal(hardness["value"]) > 100:
            raise Refusal(f"{self.hardness.strip()} is not a hardness; Shore A ends at 100.")
        if hardness:
            hardness = {**hardness, "typed": f"{hardness['typed']} Shore A"}
        body = {
            **_placed(self.where),
            "states": list(dict.fromkeys(self.states)),
            "section": as_typed(self.section, "length", known.system),
            "hardness": hardness,
            "note": self.note.strip(),
        }
        return [("old-seal", body)]


@dataclass(frozen=True, slots=True)
class FigureOffSheet:
    """A figure off the sheet of the seal chosen for a place: which figure, its value, and which sheet."""

    where: Where
    figure: str
    text: str
    sheet: str

    def written(self, known: Known) -> list[Written]:
        """The figure; refused is an unknown one, a value that cannot be read, no sheet."""
        require_where(self.where, known)
        if self.figure not in FIGURES:
            raise Refusal(f"{self.figure!r} is no figure of a sheet; allowed are {', '.join(FIGURES)}.")
        if not self.sheet.strip():
            raise Refusal("Say which sheet the figure is from; the list prints it.")
        value = as_typed(self.text, FIGURES[self.figure].kind, known.system)
        if not value:
            raise Refusal(f"Type the {self.figure} as it stands on the sheet.")
        body = {**_placed(self.where), "figure": self.figure, **value, "sheet": self.sheet.strip()}
        return [("seal-sheet", body)]


@dataclass(frozen=True, slots=True)
class DoubtClosed:
    """A doubt of the list closed with a reason, by its rule; at WHOLE_CYLINDER one that is about all of it.

    It holds as long as the doubt says what it says now: with another size in it, it is another doubt.
    """

    where: Where
    rule: str
    reason: str

    def written(self, known: Known) -> list[Written]:
        """The closing, for each doubt of this rule; refused is a stop, what waits, what is not open, no reason."""
        if self.where != WHOLE_CYLINDER:
            require_where(self.where, known)
        standing = known.listed(self.where).open
        named = [doubt for doubt in standing if doubt.rule == self.rule]
        if not named:
            open_now = ", ".join(dict.fromkeys(doubt.rule for doubt in standing)) or "none"
            raise Refusal(f"{self.rule!r} is no open doubt here; open are {open_now}.")
        if stop := next((doubt for doubt in named if doubt.stop), None):
            raise Refusal("This is a stop, nobody can close it: {says}", says=stop.sentence)
        if waits := next((doubt for doubt in named if doubt.waits), None):
            raise Refusal(
                "No reason closes this. To settle it: {settles}. {says}",
                settles=waits.settles,
                says=waits.sentence,
            )
        if not self.reason.strip():
            raise Refusal("Say why the doubt is closed; the list prints the reason.")
        if not known.by.strip():
            raise Refusal("A doubt is closed with initials; give them.")
        return [
            (
                "seal-doubt",
                {
                    **_placed(self.where),
                    "doubt": self.rule,
                    "says": str(doubt.sentence),
                    "reason": self.reason.strip(),
                },
            )
            for doubt in named
        ]


@dataclass(frozen=True, slots=True)
class DoubtsClosed:
    """Several doubts of one list, closed as it stands before the first of them: the list is made once, not for each."""

    closed: Sequence[DoubtClosed]

    def written(self, known: Known) -> list[Written]:
        """The closings, one after another; refused is whatever one of them is refused for, and a doubt closed twice."""
        named = [(doubt.where, doubt.rule) for doubt in self.closed]
        if twice := next((rule for where, rule in named if named.count((where, rule)) > 1), None):
            raise Refusal(f"{twice!r} is closed twice here; leave one of the two out.")
        return [entry for doubt in self.closed for entry in doubt.written(known)]


# ---- folded


def there(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last answer for a place holds."""
    new = There(
        body["answer"],
        int(body["count"]) if body["count"] else None,
        body["fitted"],
        body["material"],
        understood(body["corner"]),
        body["lead_in"],
        entry.by,
        entry.at,
        tuple(str(side) for side in body.get("lips", ())),
        understood(body.get("behind", {})),
        body.get("word", ""),
    )
    seals = survey.seals
    return replace(survey, seals=replace(seals, there={**seals.there, where_of(body): new}))


def old_seal(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last look at an old seal holds."""
    new = OldSeal(
        tuple(str(state) for state in body["states"]),
        understood(body["section"]),
        understood(body["hardness"]),
        body["note"],
        entry.by,
        entry.at,
    )
    seals = survey.seals
    return replace(survey, seals=replace(seals, old={**seals.old, where_of(body): new}))


def sheet(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last figure of its name off the sheet of a place's seal holds."""
    new = OffSheet(AsTyped(body["typed"], Decimal(body["value"])), body["sheet"], entry.by)
    seals = survey.seals
    return replace(
        survey, seals=replace(seals, sheets={**seals.sheets, (where_of(body), body["figure"]): new})
    )


def closed(survey: Survey, entry: Entry, body: Body) -> Survey:
    """A closed doubt joins the others."""
    new = ClosedDoubt(where_of(body), body["doubt"], body["says"], entry.by, body["reason"])
    return replace(survey, seals=replace(survey.seals, closed=(*survey.seals.closed, new)))
