"""The scope of a job: made of what stands, frozen to be shown, and the customer's answer to it taken in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.bench.outcome import Outcome
from inspect_app.bench.planning import Proposal, path_named, propose
from inspect_app.entries.agreed import CustomerAnswer, Strokes, Version
from inspect_app.entries.agreeing import Answered, PhotoShown, ScopeShown, TermsSaid
from inspect_app.entries.job import Job
from inspect_app.job.hours import HoursBeside, hours_beside
from inspect_app.job.pricing import Priced
from inspect_app.job.scope.covering import AnswerStanding, standing_of
from inspect_app.job.scope.making import Proposed, scope_of
from inspect_app.job.scope.shown import Scope, from_data, to_data
from inspect_app.job.steps import steps_of
from inspect_app.logbook.photos import for_paper
from inspect_app.trade.measuring.refusal import Refusal, Sentence, in_words


def scope_now(
    bench: Bench, job: Job, system: str, operations: tuple[str, ...] = (), shop: Path | None = None
) -> Scope:
    """The scope of a job as it would be shown now.

    Args:
        bench: the bench.
        job: the job.
        system: "metric" or "inch": the units it is written in.
        operations: a path to take instead of the one chosen in the log.
        shop: the folder whose rates are taken; the bench's own if None.
    Raises:
        Refusal: nothing can be proposed yet, or the path chosen is not offered, with the reason.
        TableError: the rates or the words cannot be used.
    """
    prices, tables, today = shop or bench.folder, bench.tables_of(job), bench.today()
    rates = bench.kept_tables.rates(prices, tables.operations)

    def made() -> Scope:
        proposal = propose(bench, job, prices)
        chosen, by_hand = _chosen(job, proposal, system, operations)
        proposed = Proposed(
            bench.assess(job),
            proposal.paths,
            chosen,
            by_hand,
            proposal.recommendation,
            proposal.new,
            proposal.rates,
            bench.kept_tables.told(),
            today,
        )
        return scope_of(job, proposed, system)

    what = f"scope {system} {today} {'+'.join(operations)}"
    return bench.remembered.of(job, tables, what, made, job, rates)


def hours_of(bench: Bench, job: Job, system: str, shop: Path | None = None) -> tuple[HoursBeside, ...]:
    """Hours worked beside hours estimated of the way that is proposed; none where nothing can be.

    Args:
        bench: the bench.
        job: the job.
        system: "metric" or "inch".
        shop: the folder whose rates are taken; the bench's own if None.
    """
    try:
        chosen, _ = _chosen(job, propose(bench, job, shop or bench.folder), system, ())
    except Refusal:
        return ()
    return hours_beside(chosen.lines, steps_of(job.steps, bench.tables_of(job).steps)) if chosen else ()


def _chosen(
    job: Job, proposal: Proposal, system: str, operations: tuple[str, ...]
) -> tuple[Priced | None, bool]:
    """The path to propose, and whether a person chose it; None where none is offered and none ever will be."""
    wanted = operations or (job.agreeing.path.operations if job.agreeing.path else ())
    if proposal.paths.stops:
        return None, False
    if not wanted and proposal.offered:
        return proposal.offered[0], False
    if not wanted:
        if proposal.unproven:
            reasons = [in_words(r, system) for r in proposal.recommendation.facts]
            raise Refusal("No repair is proven yet, so nothing can be proposed: {why}", why=" ".join(reasons))
        return None, False
    for priced in proposal.offered:
        if frozenset(priced.path.operations) == frozenset(wanted):
            return priced, True
    known = [p for p in proposal.paths.every if frozenset(p.operations) == frozenset(wanted)]
    why = " ".join(in_words(r, system) for p in known for r in p.reasons)
    why = why or "What was found does not ask for it, or it leaves something beyond its limit."
    raise Refusal("The way chosen is not offered: {why}", why=why)


def freeze(bench: Bench, job: Job, by: str, system: str) -> tuple[Job, Version]:
    """Record the scope as it is shown from now on, and pin what was taken by default: the date and the photographs.

    Args:
        bench: the bench.
        job: the job.
        by: initials.
        system: "metric" or "inch".
    Raises:
        Refusal: as `scope_now`, or a date that is past.
        NotSaved: the disk refused.
    """
    scope = scope_now(bench, job, system)
    if scope.valid_until < bench.today():
        raise Refusal(
            "The date until which it holds, {day}, is past; give a later one.", day=scope.valid_until
        )
    job = _pinned(bench, job, scope, by, system)
    shown = to_data(scope_now(bench, job, system))
    job = _entered(bench.enter(job, ScopeShown(shown), by, system))
    # by its content: a phone whose clock runs ahead may have recorded one that counts as later
    return job, next(v for v in reversed(job.agreeing.versions) if v.shown == shown)


def _pinned(bench: Bench, job: Job, scope: Scope, by: str, system: str) -> Job:
    """What tomorrow, or a photograph taken later, would otherwise change."""
    terms = job.agreeing.terms
    if not terms.valid_until:
        fee = terms.refused_fee.typed if terms.refused_fee else ""
        said = TermsSaid(
            terms.form,
            scope.valid_until,
            terms.excluded,
            terms.customer,
            terms.may_order_for,
            terms.complaint,
            fee,
        )
        job = _entered(bench.enter(job, said, by, system))
    taken = {item.photo for item in scope.items if item.photo}
    for photo in job.photos:
        if photo.sha256 in taken and photo.id not in job.agreeing.photos:
            job = _entered(bench.enter(job, PhotoShown(photo.id, True), by, system))
    return job


def _entered(outcome: Outcome) -> Job:
    if outcome.remark:
        raise Refusal("{remark}", remark=outcome.remark)
    return outcome.job


def standing(bench: Bench, job: Job, system: str, shop: Path | None = None) -> AnswerStanding:
    """How a job stands with its customer: held against what was shown in the units it was shown in.

    Args:
        bench: the bench.
        job: the job.
        system: "metric" or "inch", for the reason where nothing can be proposed any more.
        shop: the folder whose rates are taken; the bench's own if None.
    """
    now: dict[str, Scope | str] = {}

    def written_in(units: str) -> Scope | str:
        if units not in now:
            try:
                now[units] = scope_now(bench, job, units, shop=shop)
            except Refusal as refusal:
                now[units] = refusal.words(system)
        return now[units]

    return standing_of(job.agreeing, written_in, bench.today())


def frozen_scope(version: Version) -> Scope:
    """What was shown as a version.

    Args:
        version: the version.
    """
    return from_data(version.shown)


def answer(
    bench: Bench,
    job: Job,
    version: Version,
    said: str,
    *,
    by: str,
    name: str,
    how: str,
    options: Mapping[str, bool] | None = None,
    total: str = "",
    role: str = "",
    to: str = "",
    words: str = "",
    signature: Strokes = (),
    copy: str = "shown",
) -> Outcome:
    """Take in what the customer says to a version, or give the sentence why it cannot be taken.

    Args:
        bench: the bench.
        job: the job.
        version: the version it is said to.
        said: "yes", "no", "question" or "call".
        by: initials of who takes it; the customer's own where nobody did.
        name: of who answers.
        how: one of `agreed.HOWS`.
        options: yes or no to each optional line.
        total: the sum that was shown for these options, with tax, exact; "" where the screen showed none.
        role: for whom that person may order.
        to: the number that was called, the address that was written to.
        words: a question, or what was said.
        signature: the strokes.
        copy: one of `agreed.COPIES`.
    Raises:
        NotSaved: the disk refused.
    """
    scope, chosen = frozen_scope(version), dict(options or {})
    sums = ("", "", "")
    if scope.offers:
        try:
            whole = scope.total(chosen)
        except Refusal as refusal:
            return Outcome(job, remark=refusal.sentence)
        sums = (str(whole.net), str(whole.tax), str(whole.gross))
    if total and total != sums[2]:
        words = "The total shown was {shown}, and these lines come to {sum}; show the scope again."
        return Outcome(job, remark=Sentence(words, {"shown": total, "sum": sums[2]}))
    now = bench.now().astimezone(bench.zone)
    typed = Answered(
        version.sha256,
        said,
        name,
        how,
        today=bench.today(),
        zone=now.isoformat()[-len("+00:00") :],
        sums=sums,
        options=chosen,
        role=role,
        to=to,
        words=words,
        signature=signature,
        copy=copy,
    )
    return bench.enter(job, typed, by, scope.system)


def scope_drawn(
    bench: Bench,
    scope: Scope,
    version: Version | None = None,
    answer: CustomerAnswer | None = None,
    page_size: str = "A4",
) -> Callable[[], bytes]:
    """What draws the scope as PDF: it takes its time, and asks the bench nothing any more.

    Args:
        bench: the bench, for the photographs.
        scope: what is shown: of a version `frozen_scope` of it.
        version: as which it was frozen; None for a draft.
        answer: the answer to print on it.
        page_size: "A4" or "letter".
    """
    from inspect_app.paper.pdf import pdf
    from inspect_app.report.scope_sheet import scope_sheet

    sizes = {p.sha256: (p.width, p.height) for p in bench.job(scope.job_id).photos}
    sheet, folder = scope_sheet(scope, sizes, version, answer), bench.photos
    return lambda: pdf(sheet, lambda sha256: for_paper(sha256, folder), page_size=page_size)


def operations_of(bench: Bench, job: Job, wanted: str, shop: Path | None = None) -> tuple[str, ...]:
    """The operations of a path by its number among those offered, or by its operations with + between.

    Args:
        bench: the bench.
        job: the job.
        wanted: number or operations.
        shop: the folder whose rates are taken; the bench's own if None.
    Raises:
        Refusal: no path of this name, with those there are.
    """
    return path_named(propose(bench, job, shop or bench.folder), wanted, job.name).operations


def scope_printed(
    bench: Bench,
    job: Job,
    stands: AnswerStanding,
    system: str,
    operations: tuple[str, ...] = (),
    shop: Path | None = None,
    page_size: str = "A4",
) -> tuple[bytes, str]:
    """The scope as PDF, and in words which: what was shown with its answer, else a draft of what would be.

    Args:
        bench: the bench.
        job: the job.
        stands: how it stands with the customer.
        system: "metric" or "inch", for a draft; what was shown stays as it was.
        operations: a path to draft instead.
        shop: the folder whose rates are taken for a draft; the bench's own if None.
        page_size: "A4" or "letter".
    Raises:
        Refusal: as `scope_now`, for a draft.
    """
    version = None if operations else stands.version
    if version is None:
        draft = scope_now(bench, job, system, operations, shop)
        return scope_drawn(bench, draft, page_size=page_size)(), "a draft that was not shown"
    made = scope_drawn(bench, frozen_scope(version), version, stands.answer, page_size)()
    answered = f" with the {stands.answer.answer} to it" if stands.answer else ""
    since = "; what would be shown now is different" if stands.changes else ""
    return made, f"version {version.number} as it was shown{answered}{since}"
