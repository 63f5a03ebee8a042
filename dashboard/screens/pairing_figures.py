"""How one pairing's answer is laid into its figures: budget, looks, and other ways to break even."""

from __future__ import annotations

from dashboard import session
from dashboard.figures.pairing import (
    BudgetLine,
    LookLine,
    NeedFact,
    OtherLooks,
    budget_table,
    looks_table,
    share_words,
)
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.look_harms import LookHarm, look_harms
from dashboard.jobs.pairing import PairingAnswer
from dashboard.records.spreadsheets.exports import Sheet
from dashboard.warning_words import harm_sentence, note_mark
from dashboard.words import count, listed, money, month, num, number_word, of_hundred, plural, price
from econ.decisions.pairing_budget import LookValue
from econ.decisions.what_ifs import WhatIf
from genetics import Catalogue

MOST_ROWS = 12
MOST_MONEY = 0.5  # the title names the looks that bring this much together


def need_facts(answer: PairingAnswer) -> tuple[NeedFact, ...]:
    """Break-even in young, eggs and time."""
    points, budget = answer.valued.points, answer.valued.budget
    if points.hatchlings is None:
        young = NeedFact("Or by number: young that must hatch", "none", "is enough: each one loses money")
        eggs = ()
    else:
        young = _need("Or by number: young that must hatch", points.hatchlings, budget.odds.mean)
        eggs = (_need("Or by eggs", points.eggs, budget.odds.mean_eggs),)
    if answer.last_month is None:
        late = NeedFact("Or by time: still above break-even if all sell by", "no month", "")
    else:
        after = "or later" if answer.open_ended else ""
        late = NeedFact("Or by time: still above break-even if all sell by", month(answer.last_month), after)
    return (young, *eggs, late)


def _need(name: str, needed: float | None, expected: float) -> NeedFact:
    if needed is not None and needed > expected:
        return NeedFact(name, f"{count(needed)};", f"{count(expected)} are expected")
    return NeedFact(name, count(needed), f"of {count(expected)}")


def budget(answer: PairingAnswer) -> str:
    """Enterprise budget of the expected clutch, line by line, down to the margin."""
    found = answer.valued.budget
    low, high = (float(q) for q in answer.valued.outcomes.quantiles(0.1, 0.9))
    sales = f"{count(found.sold)} of {count(found.odds.mean)} young at {price(found.price_each)}"
    lines = [BudgetLine("Sales", sales, found.sales, "income")]
    for cost in (*found.variable, *found.fixed):
        if cost.amount > 0:
            why = "would be there without this pairing" if cost.kind == "fixed" else ""
            lines.append(BudgetLine(cost.name, why, -cost.amount, "cost"))
    gross = f"gross margin, before fixed costs: {money(found.gross_margin)}"
    lines.append(BudgetLine("Margin", gross, found.margin, "margin"))
    return budget_table(
        _budget_title(found.sales, found.margin),
        f"Enterprise budget for the expected clutch, {answer.currency}. {_hours(answer)}",
        lines=lines,
        margin_low=low,
        margin_high=high,
        currency=answer.currency,
    )


def _budget_title(sales: float, margin: float) -> str:
    if sales <= 0:
        return "Nothing is expected to be sold"
    if margin < 0:
        return "The clutch costs more than it brings"
    words = share_words(margin / sales)
    return f"{words[:1].upper()}{words[1:]} of what the clutch brings is margin"


def _hours(answer: PairingAnswer) -> str:
    printed = num(answer.hours)
    hours = "Your own hour is" if printed == "1" else f"Your own {printed} hours are"
    if answer.valued.couple.assumptions["work.hour_rate"] > 0:
        return f"{hours} counted at your rate."
    if answer.hours <= 0 or answer.valued.budget.margin <= 0:
        return f"{hours} not counted."
    worth = price(answer.valued.budget.margin_per_hour(answer.hours))
    return f"{hours} not counted; the margin would pay {worth} an hour."


def looks(answer: PairingAnswer, *, everything: bool) -> str:
    """Looks in the order of the money they bring, the rest in one row."""
    found, catalogue = answer.looks, catalogue_of(session.current_book())
    shown = found if everything else found[:MOST_ROWS]
    rest = found[len(shown) :]
    others = None
    if rest or answer.valued.looks.rest_share:
        others = OtherLooks(
            how_many=len(rest) + (answer.valued.looks.rest_count or 0),
            brings=sum(look.brings for look in rest),
            number=sum(look.number for look in rest),
        )
    return looks_table(
        _looks_title(found),
        f"Expected from {count(answer.valued.budget.odds.mean)} young. Price when sold; its range holds "
        "8 in 10 single sales.",
        rows=[_look_line(look, answer, catalogue) for look in shown],
        currency=answer.currency,
        others=others,
    )


def harms_of(answer: PairingAnswer, look: LookValue, catalogue: Catalogue) -> tuple[LookHarm, ...]:
    """Known harms of the young of one look of this pairing."""
    valued = answer.valued
    return look_harms(valued.couple, valued.looks, look.look.label, catalogue=catalogue)


def _look_marks(harms: tuple[LookHarm, ...]) -> tuple[tuple[str, str], ...]:
    """One welfare mark for each kind of harm of a look, with the genes it comes from."""
    by_kind: dict[str, list[LookHarm]] = {}
    for harm in harms:
        by_kind.setdefault(harm.note.harm, []).append(harm)
    marks = []
    for found in by_kind.values():
        kind, words = note_mark([found[0].note])
        sure = max(harm.chance for harm in found)
        often = "" if sure >= 1 else f", {of_hundred(sure)} of 100"
        marks.append((kind, f"{words}, from {listed([harm.genes for harm in found])}{often}"))
    return tuple(marks)


def _look_line(look: LookValue, answer: PairingAnswer, catalogue: Catalogue) -> LookLine:
    known = look.basis.kind != "none"
    return LookLine(
        label=look.look.label,
        certainty=look.look.certainty,
        brings=look.brings if known else None,
        number=look.number,
        males=look.males,
        females=look.females,
        at_least_one=look.at_least_one,
        price=look.price if known else None,
        price_low=look.price_low if known else None,
        price_high=look.price_high if known else None,
        basis_words=_basis(look),
        marks=_look_marks(harms_of(answer, look, catalogue)),
    )


def _basis(look: LookValue) -> str:
    basis = look.basis
    if basis.kind == "none":
        return "no price yet, counts as nothing"
    own = basis.of_this_combination
    seen = f"{own} prices of exactly this" if own != 1 else "1 price of exactly this"
    if own >= basis.observations:
        words = seen
    else:
        words = (
            f"{seen}, {basis.observations} led by {basis.lead}"
            if own
            else f"from {basis.observations} {plural(basis.observations, 'price')} led by {basis.lead}"
        )
    if basis.unpriced:
        words += f"; no price of {', '.join(basis.unpriced)}"
    return words


def _looks_title(found: tuple[LookValue, ...]) -> str:
    if not found:
        return "Nothing can hatch from this pairing"
    total = sum(look.brings for look in found)
    if total <= 0:
        return "None of the looks has a price yet"
    if len(found) == 1:
        return f"All young are {found[0].look.label}"
    most = 1
    while most < len(found) and sum(look.brings for look in found[:most]) < MOST_MONEY * total:
        most += 1
    share = share_words(sum(look.brings for look in found[:most]) / total)
    if most == 1:
        words = found[0].look.label
        return f"{words[:1].upper()}{words[1:]} brings {share} of the money"
    return f"{number_word(most, start=True)} of {number_word(len(found))} looks bring {share} of the money"


def budget_sheets(answer: PairingAnswer, catalogue: Catalogue) -> tuple[Sheet, Sheet, Sheet]:
    """Budget, looks and figures of one pairing, for a workbook; a known harm is its first line."""
    found, harms = answer.valued.budget, answer.valued.harms
    lines: list[tuple[str, str, float | None, str]] = []
    if harms:
        lines.append(("Welfare", "welfare", None, harm_sentence(harms)))
    lines.append(("Sales", "income", round(found.sales, 2), ""))
    for cost in (*found.variable, *found.fixed):
        lines += [(part.name, cost.kind, -round(part.amount, 2), part.why) for part in cost.parts]
    lines += [
        ("Gross margin", "sum", round(found.gross_margin, 2), ""),
        ("Margin", "sum", round(found.margin, 2), ""),
    ]
    budget_sheet = Sheet("budget", ("line", "kind", answer.currency, "how it was reckoned"), tuple(lines))
    looks_sheet = Sheet(
        "looks",
        _look_heads(answer.currency),
        tuple(_look_cells(look, answer, catalogue) for look in answer.looks),
    )
    heads = ("figure", "now", "low", "high", "margin at low", "margin at high")
    return (
        budget_sheet,
        looks_sheet,
        Sheet("figures", heads, tuple(_figure_cells(w) for w in answer.what_ifs)),
    )


def _figure_cells(what: WhatIf) -> tuple[str | float, ...]:
    return what.id, what.now, what.low, what.high, round(what.margin_low, 2), round(what.margin_high, 2)


def _look_heads(currency: str) -> tuple[str, ...]:
    return (
        "look",
        "certainty",
        "expected number",
        "males",
        "females",
        "at least one",
        f"price each, {currency}",
        "8 in 10 from",
        "8 in 10 to",
        "brings",
        "what the price rests on",
        "welfare",
    )


def _look_cells(
    look: LookValue, answer: PairingAnswer, catalogue: Catalogue
) -> tuple[str | float | None, ...]:
    known = look.basis.kind != "none"
    return (
        look.look.label,
        look.look.certainty,
        round(look.number, 4),
        round(look.males, 4),
        round(look.females, 4),
        round(look.at_least_one, 4),
        round(look.price, 2) if known else None,
        round(look.price_low, 2) if known else None,
        round(look.price_high, 2) if known else None,
        round(look.brings, 2),
        look.basis.words,
        " ".join(f"{harm.genes}: {harm.note.what}" for harm in harms_of(answer, look, catalogue)),
    )
