"""A gauge as its certificate describes it: typed, in the log, and as it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Gauge, Survey
from inspect_app.entries.typed import LARGEST, day_typed, decimal, with_unit
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import exact
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import EXPANDED, STATES

# ---- typed

NOT_TYPED = {
    "name": "", "share": "", "until": "", "states": EXPANDED, "repeatability": "", "from": "", "up_to": "",
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
    # of a certificate only error and step must be there
    kinds = dict.fromkeys(("error", "step", "repeatability", "from", "up_to"), measures) | {
        "share": "percent"
    }
    read = {
        name: quantities.read(typed[name], kind=kind, system=system)
        for name, kind in kinds.items()
        if typed.get(name) or name in ("error", "step")
    }
    error, step, repeatability, per_cent = (
        read[name].value if name in read else Decimal(0)
        for name in ("error", "step", "repeatability", "share")
    )
    if not (all(0 <= x < LARGEST for x in (error, step, repeatability)) and 0 <= per_cent < 100):
        raise Refusal(
            f"Uncertainty, repeatability and step are from 0 to below {LARGEST}, per cent is from 0 to below 100."
        )
    if typed["states"] not in STATES:
        raise Refusal(f"{typed['states']!r} is not what a ± states; allowed are {', '.join(STATES)}.")
    from_, up_to = (read[end].value if end in read else None for end in ("from", "up_to"))
    if from_ is not None and up_to is not None and from_ >= up_to:
        raise Refusal(
            f"The range runs from {typed['from']} to {typed['up_to']}; the second must be the larger."
        )
    return Gauge(
        id=gauge_id,
        kind=kind,
        name=typed["name"],
        errors=((LARGEST, error),),
        share=per_cent / 100,
        step=step,
        calibrated_until=day_typed(typed["until"]),
        states=typed["states"],
        repeatability=repeatability if "repeatability" in read else None,
        from_=from_,
        up_to=up_to,
        typed=tuple(sorted((name, with_unit(typed[name], q)) for name, q in read.items())),
    )


def body_of(gauge: Gauge, *, retired: bool = False) -> Body:
    """Which gauge this is, complete, so that a job can be judged without asking elsewhere.

    Args:
        gauge: the gauge.
        retired: it is taken out of use.
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
        "typed": dict(gauge.typed),
        **({"retired": True} if retired else {}),
    }


# ---- folded


def gauge_from(body: Body) -> Gauge:
    """The gauge an entry of kind `gauge` describes.

    Args:
        body: the entry's body.
    """
    errors = tuple((Decimal(a), Decimal(b)) for a, b in body["fixed"])
    states = body.get("states", EXPANDED)
    if not errors or states not in STATES:
        raise ValueError("a gauge this version does not understand")
    return Gauge(
        body["gauge"],
        body["kind"],
        body["name"],
        errors,
        Decimal(body["share"]),
        Decimal(body["step"]),
        body["calibrated_until"],
        states,
        decimal(body.get("repeatability")),
        decimal(body.get("from")),
        decimal(body.get("up_to")),
        tuple(sorted((str(k), str(v)) for k, v in dict(body.get("typed", {})).items())),
    )


def gauge(survey: Survey, entry: Entry, body: Body) -> Survey:
    """A gauge as it was when something was read with it."""
    return replace(survey, gauges={**survey.gauges, body["gauge"]: gauge_from(body)})
