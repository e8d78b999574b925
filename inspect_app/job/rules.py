"""Puts the rule of a limit into words, as the file has it and as it holds on one cylinder; reckons nothing."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.tables.limits import (
    AtLeast,
    AtMost,
    BySize,
    Fit,
    GradeShare,
    HousingTolerance,
    Limit,
    PerLength,
    Rule,
    ShareOfNominal,
    SizeAfter,
    Within,
)
from inspect_app.tables.references import NEVER_ASKED
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.measuring.amounts import Amount, Amounts
from inspect_app.trade.measuring.refusal import Said, Sentence, joined
from inspect_app.trade.measuring.wording import inside


def kind_of(limit: Limit, check: Check) -> str:
    """The kind of quantity a limit's numbers are.

    Args:
        limit: the limit.
        check: the check it judges.
    """
    if limit.defect:
        return "count" if limit.characteristic in NEVER_ASKED else "deviation"
    return CHARACTERISTICS[limit.characteristic].kind_from(check.kind)


def rule_sentence(
    rule: Rule,
    kind: str,
    tables: Tables,
    nominal: Decimal | None = None,
    housing: Said | str = "the standard housing",
) -> Sentence:
    """A rule in words; with the nominal size and the housing it holds on one cylinder.

    Args:
        rule: the rule.
        kind: the kind of quantity its numbers are.
        tables: what its lengths and checks are called.
        nominal: the check's nominal size, mm; None says nominal.
        housing: the name of the standard housing.
    """
    of: Said | str = "nominal" if nominal is None else Amount(nominal, "length")
    match rule:
        case AtMost(value):
            return Sentence("at most {value}", {"value": Amount(value, kind)})
        case AtLeast(value):
            return Sentence("at least {value}", {"value": Amount(value, kind)})
        case Within(low, high, from_nominal):
            if from_nominal:
                return _from_nominal(low, high)
            return joined([Amounts((low, high), kind, " to ")], "")
        case PerLength(at_most, name):
            length = inside(tables.nameplate[name].title)
            return Sentence(
                "at most {slope} of the {length}", {"slope": Amount(at_most, "slope"), "length": length}
            )
        case Fit():
            return _fit(rule, nominal)
        case GradeShare(grade, share):
            shared = "" if share == 1 else f"{share} of "
            return Sentence(
                "at most {shared}IT{grade} of {of}", {"shared": shared, "grade": f"{grade}", "of": of}
            )
        case ShareOfNominal():
            return _share(rule, kind, of)
        case BySize():
            return _by_size(rule, kind, nominal)
        case HousingTolerance():
            return _housing(rule, housing)
        case SizeAfter():
            return _size_after(rule, tables)


def _from_nominal(*offsets: Decimal) -> Sentence:
    # the figure has its own minus
    signed = (joined(("+" if x >= 0 else "", Amount(x, "length")), "") for x in offsets)
    return joined(("nominal", joined(signed, " to ")), " ")


def _fit(rule: Fit, nominal: Decimal | None) -> Sentence:
    words: list[Said | str] = [rule.fit_class]
    if nominal is not None:
        words = [Sentence("{fit} of {of}", {"fit": rule.fit_class, "of": Amount(nominal, "length")})]
    if rule.side != "both":
        words.append(f"{rule.side} limit only")
    for word, offset in (("but down to", rule.lower), ("but up to", rule.upper)):
        if offset is not None:
            words.append(joined((word, _from_nominal(offset)), " "))
    return joined(words, ", ")


def _share(rule: ShareOfNominal, kind: str, of: Said | str) -> Sentence:
    low: Said | str = "at most" if rule.low is None else joined((Amount(rule.low, kind), "to"), " ")
    return Sentence(
        "{low} {share} of {of}, but {held}",
        {
            "low": low,
            "share": Amount(rule.share * 100, "percent"),
            "of": of,
            "held": Amounts((rule.least, rule.most), kind, " to "),
        },
    )


def _by_size(rule: BySize, kind: str, nominal: Decimal | None) -> Sentence:
    """Every row, or the one that holds the nominal size."""
    holding = [row for row in rule.rows if nominal is None or nominal <= row[0]]
    return joined((_row(rule, kind, *row) for row in holding[: None if nominal is None else 1]), "; ")


def _row(rule: BySize, kind: str, up_to: Decimal, value: Decimal) -> Sentence:
    said: Said = Amount(value, kind)
    if rule.from_nominal:
        said = _from_nominal(rule.low, value)
    return Sentence("to Ø {up_to}: {said}", {"up_to": Amount(up_to, "length"), "said": said})


def _housing(rule: HousingTolerance, housing: Said | str) -> Sentence:
    words: list[Said | str] = [housing, rule.dimension]
    for template, more in (
        ("{more} beyond where it wears", rule.wear),
        ("{more} on the other side", rule.other),
    ):
        if more:
            words.append(Sentence(template, {"more": Amount(more, "length")}))
    return joined(words, ", ")


def _size_after(rule: SizeAfter, tables: Tables) -> Sentence:
    check = next(found for c in tables.cylinders.values() if (found := c.check(rule.check)))
    parts: dict[str, Said | str] = {"what": inside(check.title), "side": rule.side}
    besides = ""
    if rule.clean_up:
        besides, parts["clean_up"] = " and {clean_up} to clean up", Amount(rule.clean_up, "length")
    return Sentence(
        f"so that {{what}} stays within its {{side}} rework limit when twice the depth{besides} is taken out",
        parts,
    )
