"""What a customer's own phone may have of a data folder: one version of one scope, its photographs, and its answers.

Also the key its links are signed with, kept in the data folder and in no log.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.bench.bench import Bench
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.people import of_phone
from inspect_app.bench.scoping import answer, frozen_scope, scope_drawn
from inspect_app.entries.agreed import CustomerAnswer, Strokes, Version
from inspect_app.entries.job import Job
from inspect_app.entries.people import CUSTOMER, Holder
from inspect_app.job.scope.shown import Scope
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.photos import path as photo_path
from inspect_app.logbook.store import not_saved
from inspect_app.trade.measuring.refusal import Refusal, Sentence

KEY_BYTES = 32
MOST_ANSWERS = 20
"""So many answers to one version come from customers' own phones; the log forgets none, so nobody may fill it."""

OWN_PHONE = "a customer's own phone"
"""What stands in the log in place of the phone's name. Nobody of the shop took the answer: it has no initials."""

TOO_MANY = "This has been answered often enough. Please call us."


@dataclass(frozen=True, slots=True)
class Offered:
    """One version of a job's scope, as it was frozen, and whether it is the last one shown."""

    job: Job
    version: Version
    scope: Scope

    @property
    def is_last(self) -> bool:
        """Whether no newer one was shown since."""
        return self.job.agreeing.versions[-1].sha256 == self.version.sha256

    @property
    def answers(self) -> tuple[CustomerAnswer, ...]:
        """What was answered to this version, by anybody, in order."""
        return tuple(a for a in self.job.agreeing.answers if a.version == self.version.sha256)


def links_key(bench: Bench, chance: bytes) -> bytes:
    """The key of a data folder; a link given out yesterday is good after a restart, in a copy of the folder too.

    Args:
        bench: the open data folder.
        chance: KEY_BYTES bytes of chance, the key of a folder that has none yet.
    Raises:
        NotSaved: the disk refused.
    """
    file = bench.folder / "links" / "key"
    try:
        kept = file.read_bytes() if file.is_file() else b""
        if len(kept) != KEY_BYTES:
            make_folder(file.parent)
            write_file(file, chance)
            kept = chance
    except OSError as error:
        raise not_saved("The key of the customers' links was", error) from error
    return kept


def offered(bench: Bench, job_id: str, named: str) -> Offered | None:
    """The version that the first digits of its hash name, None where there is none.

    Args:
        bench: the open data folder.
        job_id: the job.
        named: the digits.
    """
    try:
        job = bench.job(job_id)
    except Refusal:
        return None
    version = next((v for v in job.agreeing.versions if v.sha256.startswith(named)), None)
    return Offered(job, version, frozen_scope(version)) if version else None


def photograph(bench: Bench, scope: Scope, sha256: str) -> bytes | None:
    """A photograph that stands on a scope, None of any other.

    Args:
        bench: the open data folder.
        scope: the scope.
        sha256: the photograph.
    """
    shown = {item.photo for item in scope.items} | {picture.photo for picture in scope.pictures}
    if not sha256 or sha256 not in shown:
        return None
    file = photo_path(sha256, bench.photos)
    return file.read_bytes() if file.is_file() else None


def copy_drawn(bench: Bench, of: Offered) -> Callable[[], bytes]:
    """What draws a version on paper, with the last answer to it; it asks the bench nothing any more.

    Args:
        bench: the open data folder.
        of: the version.
    """
    last = of.answers[-1] if of.answers else None
    return scope_drawn(bench, of.scope, of.version, last)


def take_answer(
    bench: Bench,
    of: Offered,
    said: str,
    options: Mapping[str, bool],
    typed: Mapping[str, str],
    signature: Strokes,
) -> Outcome:
    """Record what a customer answered on their own phone, or give the sentence why it cannot be taken.

    Args:
        bench: the open data folder.
        of: the version.
        said: "yes", "no", "question" or "call".
        options: what is said to each optional line.
        typed: name, role, words, to.
        signature: the strokes; without any the typed name stands for it.
    """
    if sum(not a.by for a in of.answers) >= MOST_ANSWERS:
        return Outcome(of.job, remark=Sentence(TOO_MANY))
    return answer(
        of_phone(bench, OWN_PHONE, lambda: Holder(CUSTOMER)),
        of.job,
        of.version,
        said,
        by="",
        how="signed-own-phone" if signature else "typed-name",
        options=options,
        signature=signature,
        copy="document",
        **typed,
    )
