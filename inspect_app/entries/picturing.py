"""Photographs: each under its number, and the marks set on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Job, Photo
from inspect_app.entries.pictured import LENGTH, POINTS, SCALE, TEXT, VIEWS, Mark, Pictured
from inspect_app.entries.typed import Known, Written, decimal, with_unit
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal

# ---- typed


@dataclass(frozen=True, slots=True)
class Photographed:
    """A photograph whose file is kept already: of what (a defect, a check or the job by its id), by which hashes, how
    large, when by the camera's clock ("" for not known), what the one who took it calls it, the hash of its thumbnail,
    which of those asked for it is, and whether the file as the camera made it is kept."""

    of: str
    sha256: str
    original_sha256: str
    width: int
    height: int
    taken_at: str
    caption: str = ""
    thumbnail: str = ""
    view: str = ""
    kept: bool = False

    def written(self, known: Known) -> list[Written]:
        """The photograph, under the job's next number."""
        body = {**asdict(self), "caption": self.caption.strip(), "number": str(known.job.photographed + 1)}
        return [("photo", body)]


@dataclass(frozen=True, slots=True)
class Marked:
    """A mark on a photograph, by the hash of its file: its shape, and points as fractions of the picture.

    `text` are the words of a text, or the known size as typed; `within` as of a Mark.
    """

    photo: str
    shape: str
    points: Sequence[tuple[float, float]]
    text: str = ""
    within: float = 0.0

    def written(self, known: Known) -> list[Written]:
        """The mark; refused is one of a photograph there is not, that lies outside, or that says nothing."""
        if not any(p.sha256 == self.photo for p in known.job.photos):
            raise Refusal("This photograph is not of this job, or was taken back.")
        if len(self.points) != POINTS.get(self.shape, 0):
            raise Refusal("Touch the picture once for each end of the mark.")
        if not all(0 <= share <= 1 for point in self.points for share in point):
            raise Refusal("The mark lies outside of the picture.")
        points = [[f"{x:.5f}", f"{y:.5f}"] for x, y in self.points]
        if len(points) == 2 and points[0] == points[1]:
            raise Refusal("Both ends lie at one point; touch the other end.")
        if self.shape == TEXT and not self.text.strip():
            raise Refusal("Type what stands there.")
        if self.shape == LENGTH and not any(m.shape == SCALE for m in known.job.pictured.on(self.photo)):
            raise Refusal("Set the scale first: touch both ends of a size you know, such as on a rule.")
        body = {"photo": self.photo, "shape": self.shape, "points": points, "within": f"{self.within:.5f}"}
        return [("photo-mark", {**body, **self._says(known.system)})]

    def _says(self, system: str) -> dict[str, str]:
        """The words, or the known size as typed and as understood."""
        text = self.text.strip()
        if self.shape != SCALE:
            return {"text": text if self.shape == TEXT else "", "typed": "", "value": ""}
        quantity = quantities.read(text, kind="length", system=system)
        if quantity.value <= 0:
            raise Refusal(f"{text} is not a size; it must be greater than 0.")
        return {"text": "", "typed": with_unit(text, quantity), "value": quantities.exact(quantity.value)}


@dataclass(frozen=True, slots=True)
class Declined:
    """A photograph asked for that is not taken: of which defect by its id, and which view."""

    of: str
    view: str

    def written(self, known: Known) -> list[Written]:
        """The word; refused of a view nobody asks for."""
        if self.view not in VIEWS:
            raise Refusal("No such photograph is asked for.")
        return [("photo-declined", asdict(self))]


# ---- folded


def declined(pictured: Pictured, entry: Entry, body: Body) -> Pictured:
    """A photograph asked for is not taken."""
    said = (str(body["of"]), str(body["view"]))
    return replace(pictured, declined={**pictured.declined, said: entry.by})


def photo(job: Job, entry: Entry, body: Body) -> Job:
    """A photograph joins the others under the number it was taken with; of two phones that took the same number at
    once the later one has a letter behind it."""
    used = number_of(entry, job)
    number = str(int(body.get("number") or used))[:LONGEST_NUMBER]
    same = sum(p.number.rstrip(LETTERS) == number for p in job.photos)
    new = Photo(
        entry.id,
        body["sha256"],
        body["original_sha256"],
        int(body["width"]),
        int(body["height"]),
        body["taken_at"],
        body["of"],
        body["caption"],
        number + (LETTERS[min(same, len(LETTERS)) - 1] if same else ""),
        entry.at,
        entry.by,
        str(body.get("view", "")),
        body.get("kept") is True,
    )
    return replace(job, photos=(*job.photos, new), photographed=used)


def number_of(entry: Entry, job: Job) -> int:
    """The highest number a photograph of the job goes by, with this one.

    Args:
        entry: the photograph's.
        job: the job before it.
    """
    number = str(entry.body.get("number", ""))
    told = number.isascii() and number.isdigit() and len(number) <= LONGEST_NUMBER
    return max(job.photographed, int(number)) if told else job.photographed + 1


LONGEST_NUMBER = 6
LETTERS = "bcdefghijklmnopqrstuvwxyz"


def mark(pictured: Pictured, entry: Entry, body: Body) -> Pictured:
    """A mark joins those on its photograph."""
    points = tuple((Decimal(x), Decimal(y)) for x, y in body["points"])
    if len(points) != POINTS[body["shape"]]:
        raise ValueError("a mark of other points than its shape has")
    value = decimal(body["value"])
    new = Mark(
        entry.id, body["shape"], points, body["text"], body["typed"], value, Decimal(body["within"]), entry.by
    )
    name = str(body["photo"])
    return replace(pictured, marks={**pictured.marks, name: (*pictured.on(name), new)})
