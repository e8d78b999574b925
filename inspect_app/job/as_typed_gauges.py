"""What a person typed about a gauge, as a Gauge and as the body of an entry; pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from inspect_app.job.as_typed import LARGEST, Body
from inspect_app.job.job import Gauge
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import exact
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import EXPANDED, STATES

NOT_TYPED = {
    "name": "", "share": "0", "until": "", "states": EXPANDED, "repeatability": "", "from": "", "up_to": "",
}  # fmt: skip


def gauge_of(
    certificate: Mapping[str, str], *, kind: str, measures: str, system: str, gauge_id: str
) -> Gauge:
    """A gauge as its certificate describes it.

    Args:
        certificate: as typed: name, error (±), states (what that ± is, a key of STATES), share (per cent of the
            reading), repeatability (standard deviation of one reading), step, from and up_to (its range), until
            (a date). All but error and step may be left out.
        kind: the kind of gauge.
        measures: the kind of quantity its error is read as.
        system: "metric" or "inch".
        gauge_id: its new id.
    Raises:
        Refusal: what cannot be read.
    """
    typed = NOT_TYPED | {k: v.strip() for k, v in certificate.items()}
    scatter = typed["repeatability"]
    error, step, repeatability = (
        quantities.read(text, kind=measures, system=system).value
        for text in (typed["error"], typed["step"], scatter or "0")
    )
    per_cent = quantities.read(typed["share"] or "0", kind="percent", system=system).value
    if not (all(0 <= x < LARGEST for x in (error, step, repeatability)) and 0 <= per_cent < 100):
        raise Refusal(
            f"Uncertainty, repeatability and step are from 0 to below {LARGEST}, per cent is from 0 to below 100."
        )
    if typed["states"] not in STATES:
        raise Refusal(f"{typed['states']!r} is not what a ± states; allowed are {', '.join(STATES)}.")
    if typed["until"] and not _is_date(typed["until"]):
        raise Refusal(f"{typed['until']!r} is not a date; write it year-month-day, like 2027-03-31.")
    from_, up_to = _range(typed["from"], typed["up_to"], measures, system)
    return Gauge(
        id=gauge_id,
        kind=kind,
        name=typed["name"] or kind,
        errors=((LARGEST, error),),
        share=per_cent / 100,
        step=step,
        calibrated_until=typed["until"],
        states=typed["states"],
        repeatability=repeatability if scatter else None,
        from_=from_,
        up_to=up_to,
    )


def _range(from_: str, up_to: str, measures: str, system: str) -> tuple[Decimal | None, Decimal | None]:
    low, high = (
        quantities.read(end, kind=measures, system=system).value if end else None for end in (from_, up_to)
    )
    if low is not None and high is not None and low >= high:
        raise Refusal(f"The range runs from {from_} to {up_to}; the second must be the larger.")
    return low, high


def _is_date(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return len(text) == len("2027-03-31")


def gauge(gauge: Gauge) -> Body:
    """Which gauge this is, complete, so that a job can be judged without asking elsewhere.

    Args:
        gauge: the gauge.
    """
    return {
        "gauge": gauge.id,
        "kind": gauge.kind,
        "name": gauge.name,
        "fixed": [[str(up_to), str(error)] for up_to, error in gauge.errors],
        "share": str(gauge.share),
        "step": str(gauge.step),
        "calibrated_until": gauge.calibrated_until,
        "states": gauge.states,
        "repeatability": "" if gauge.repeatability is None else exact(gauge.repeatability),
        "from": "" if gauge.from_ is None else exact(gauge.from_),
        "up_to": "" if gauge.up_to is None else exact(gauge.up_to),
    }
