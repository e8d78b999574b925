"""Calculators of repair against new: share, yearly cost, risk of failure, waiting; know no currency."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money import economy, time_value
from inspect_app.trade.money.economy import ShareBands, Way

TOPIC = "Repair or new, in money"


def _amount(name: str, title: str, amount: float) -> Result:
    return Result(name, title, economy.money(amount), "money")


def _share(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    share = economy.repair_share(repair_cost=given.number("repair"), new_cost=given.number("new"))
    results = [Result("share", "Repair costs of new", 100 * share, "percent")]
    if given.has("repair-upto") != given.has("replace-above"):
        raise Refusal("repair-upto and replace-above go together; give both or neither.")
    if given.has("repair-upto"):
        bands = ShareBands(given.share("repair-upto"), given.share("replace-above"))
        results.append(Result("leaning", "By the shop's bands", economy.leaning(share, bands).value))
    return tuple(results)


def _waiting(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    waiting = economy.waiting_cost(
        repair_days=given.number("repair-days"),
        new_days=given.number("new-days"),
        cost_per_day=given.number("cost-per-day"),
    )
    return (
        _amount("on_repair", "Longer wait, to put on the repair", waiting.on_repair),
        _amount("on_new", "Longer wait, to put on the new one", waiting.on_new),
    )


def _yearly(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rate, years = given.share("rate"), given.count("years")
    cost = time_value.annual_cost(
        cost=given.number("cost"),
        salvage=given.number("salvage"),
        yearly_cost=given.number("yearly"),
        rate=rate,
        years=years,
    )
    factor = time_value.capital_recovery_factor(rate=rate, years=years)
    return (
        _amount("yearly_cost", "Equivalent annual cost", cost),
        Result("factor", "Yearly share that pays back one unit", round(factor, 5), "number"),
    )


def _present(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    amounts, rate = given.numbers("amounts"), given.share("rate")
    return (
        _amount("present", "Present value", time_value.present_value([0, *amounts], rate=rate)),
        _amount("level", "As an even yearly amount", time_value.level_annual(amounts, rate=rate)),
    )


def _failures(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    expected = economy.expected_failure_cost(
        failures=[chance / 100 for chance in given.numbers("chances")],
        failure_cost=given.number("failure-cost"),
        rate=given.share("rate"),
    )
    return (_amount("expected", "Failures that may happen, worth today", expected),)


def _ways(given: Given) -> tuple[Way, Way]:
    chances = tuple(chance / 100 for chance in given.numbers("chances")) if given.has("chances") else ()
    repair = Way(
        "repair",
        given.number("repair"),
        given.count("repair-years"),
        failures=chances,
        failure_cost=given.number("failure-cost"),
    )
    return repair, Way("new", given.number("new"), given.count("new-years"))


def _compare(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    ways, rate = _ways(given), given.share("rate")
    comparison = economy.compare(ways, rate=rate)
    cheapest = comparison.annual_costs[0][0]
    results = [
        Result("cheaper", "Cheaper by the year", cheapest),
        _amount("saving", "It saves a year", comparison.saving),
        *(_amount(f"{way.name}_yearly", f"Yearly cost, {way.name}", economy.annual_cost_of(way, rate=rate))
          for way in ways),
    ]  # fmt: skip
    repair, new = ways
    if repair.failure_cost > 0:
        chance = economy.break_even_failure_chance(repair=repair, new=new, rate=rate)
        results.append(
            Result(
                "break_even",
                "Both cost the same if it fails in year 1 by a chance of",
                100 * chance,
                "percent",
            )
        )
        if not 0 <= chance <= 1:
            sure = (
                "new is cheaper even if the repair never fails" if chance < 0 else "repair is cheaper even so"
            )
            results.append(Result("break_even_words", "which means", sure))
    return tuple(results)


_RATE = Key("rate", "percent", "Interest a year")

CALCULATORS = (
    Calculator(
        "repair-share",
        TOPIC,
        "Percent of the price of new that the repair costs, and what the shop's bands say",
        (
            Key("repair", "money", "Repair, all of it"),
            Key("new", "money", "New, delivered"),
            Key("repair-upto", "percent", "The shop repairs up to", optional=True),
            Key("replace-above", "percent", "The shop replaces above", optional=True),
        ),
        _share,
        (economy.repair_share, economy.leaning),
        "share = repair / new",
        {"repair": "450", "new": "550", "repair-upto": "50%", "replace-above": "70%"},
    ),
    Calculator(
        "waiting",
        TOPIC,
        "What the difference of delivery times costs",
        (
            Key("repair-days", "number", "Days until the repair is back"),
            Key("new-days", "number", "Days until a new one is there"),
            Key("cost-per-day", "money", "A day without the machine costs"),
        ),
        _waiting,
        (economy.waiting_cost,),
        "cost = (longer − shorter) × cost of a day",
        {"repair-days": "10", "new-days": "45", "cost-per-day": "800"},
    ),
    Calculator(
        "yearly-cost",
        TOPIC,
        "Equivalent annual cost of buying, running and selling what is left",
        (
            Key("cost", "money", "Price today"),
            Key("years", "count", "Years of service"),
            _RATE,
            Key("salvage", "money", "Left at the end", "0"),
            Key("yearly", "money", "Running cost of a year", "0"),
        ),
        _yearly,
        (time_value.annual_cost, time_value.capital_recovery_factor),
        "(price − left) × i / (1 − (1 + i)^−n) + left × i + running",
        {"cost": "30000", "years": "12", "rate": "15%", "salvage": "2000", "yearly": "16000"},
    ),
    Calculator(
        "present-value",
        TOPIC,
        "Present value of amounts at the end of each year, and as an even amount",
        (Key("amounts", "money", "Amounts at the end of year 1, 2 and so on", many=True), _RATE),
        _present,
        (time_value.present_value, time_value.level_annual),
        "sum of amount / (1 + i)^year",
        {"amounts": "21460,25775,30665", "rate": "15%"},
    ),
    Calculator(
        "failures",
        TOPIC,
        "Present value of failures that may happen",
        (
            Key("chances", "percent", "Chance of failure in year 1, 2 and so on", many=True),
            Key("failure-cost", "money", "One failure costs"),
            _RATE,
        ),
        _failures,
        (economy.expected_failure_cost,),
        "sum of chance × cost / (1 + i)^year",
        {"chances": "25", "failure-cost": "3000", "rate": "8%"},
    ),
    Calculator(
        "repair-or-new",
        TOPIC,
        "Repair against new by yearly cost, and the risk at which both cost the same",
        (
            Key("repair", "money", "Repair costs"),
            Key("repair-years", "count", "and lasts, years"),
            Key("new", "money", "New costs"),
            Key("new-years", "count", "and lasts, years"),
            _RATE,
            Key("failure-cost", "money", "A failure of the repair costs", "0"),
            Key("chances", "percent", "Chance of it in year 1, 2 and so on", optional=True, many=True),
        ),
        _compare,
        (economy.compare, economy.annual_cost_of, economy.break_even_failure_chance),
        "even yearly cost of each, expected failures included; the cheaper one first",
        {
            "repair": "1400",
            "repair-years": "3",
            "new": "4200",
            "new-years": "8",
            "rate": "8%",
            "failure-cost": "3000",
            "chances": "25",
        },
    ),
)
