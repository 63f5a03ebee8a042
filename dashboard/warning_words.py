"""How do warnings read: harm to animals, floods? The one place where each becomes a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from dashboard.jobs.valuation import Harm
from dashboard.words import freq, num, percent, price
from econ.decisions.flood import RECORD, FloodWarning

_SHORT: Final = {
    "wobble": "may wobble",
    "not hatching": "eggs that can’t hatch",
    "kinked spine or misshapen head": "may be deformed",
    "females that can't lay safely": "daughters may not lay safely",
}
_SHARE: Final = {
    "wobble": "{n} of the young may wobble.",
    "not hatching": "{n} of the fertile eggs can’t hatch.",
    "kinked spine or misshapen head": "{n} of the young may have a kinked spine or a misshapen head.",
    "females that can't lay safely": "{n} of the young are females that may not lay safely.",
}
ASK_A_VET: Final = "Ask a veterinarian who knows reptiles."


def harm_mark(harms: Sequence[Harm]) -> tuple[str, str]:
    """Mark of a pairing's worst harm, for a row."""
    return "welfare", f": {_SHORT[harms[0].note.harm]}"


def harm_sentence(harms: Sequence[Harm]) -> str:
    """Say a pairing's worst harm and how many of the young carry what is tied to it."""
    worst = harms[0]
    return _SHARE[worst.note.harm].format(n=freq(worst.share))


def harm_text(harms: Sequence[Harm]) -> str:
    """All harms of a pairing, each with what is known and who says so."""
    said = [f"{harm.gene.capitalize()}: {harm.note.what} ({harm.note.source.text})" for harm in harms]
    return " ".join(said) + f" {ASK_A_VET}"


def flood_mark(flood: FloodWarning) -> tuple[str, str]:
    """Mark of a flood, for a row."""
    return "flood", f": {'likely' if flood.level == 'likely' else 'possible'}, {flood.trait}"


def flood_sentence(flood: FloodWarning, currency: str) -> str:
    """Say a flood's chance and what it is measured against."""
    often = freq(flood.chance).replace(" in 100", " of 100")
    words = (
        f"In {often} such markets the young will bring less than the {price(flood.unit_cost)} {currency} "
        f"each of them costs; today they would bring {price(flood.today)}."
    )
    return words + _growth(flood)


def flood_title(flood: FloodWarning) -> str:
    """Say how near a flood is, as a heading."""
    if flood.level == "already below":
        gap = f"{price(flood.unit_cost)} against {price(flood.today)}"
        return f"The young of this pairing cost more than they bring today: {gap}"
    if flood.level == "none":
        return f"No flood of {flood.trait} in sight: {freq(flood.chance)} that the price falls below cost"
    return f"What stands behind the flood warning of {flood.trait}"


def flood_record(flood: FloodWarning) -> str:
    """Say how warnings of this level fared, in plain words."""
    caught, false = RECORD["likely" if flood.level == "likely" else "possible"]
    return (
        f"On simulated markets, warnings at this level caught {num(100 * caught)} in 100 floods; "
        f"{num(100 * false)} in 100 such warnings came to nothing."
    )


def flood_figures(flood: FloodWarning, currency: str) -> tuple[tuple[str, str], ...]:
    """Figures behind a flood warning, as pairs of question and answer."""
    low, middle, high = (freq(chance) for chance in flood.chances)
    rows = [
        ("Chance that the price at the sale date is below cost", freq(flood.chance)),
        ("The same if price reacts strongly, usually, or hardly to more offers", f"{low}; {middle}; {high}"),
        (f"Price today, at the sale date, and needed, {currency}",
         f"{price(flood.today)}, {price(flood.price)}, {price(flood.unit_cost)}"),
        (f"One more hatchling of {flood.trait} adds, {currency}", price(flood.next_one)),
        ("Your own young of it in the plan", num(flood.own_young, decimals=1)),
    ]  # fmt: skip
    if flood.supply is None:
        rows.append((f"Offers of {flood.trait}", "never counted, so own young move no price here"))
    else:
        rows.append((f"Offers of {flood.trait} now", num(flood.supply.offered)))
        rows.append(("Growth of offers over the last year", percent(_year(flood), sign=True)))
        if flood.bearable is not None:
            rows.append(
                (
                    "Offers the price can bear before it meets the cost",
                    f"{num(flood.bearable, decimals=1)} times today’s",
                )
            )
    return tuple(rows)


def _growth(flood: FloodWarning) -> str:
    if flood.supply is None or abs(flood.supply.growth) < 0.05:
        return ""
    verb = "grew" if flood.supply.growth > 0 else "fell"
    return f" Offers of {flood.trait} {verb} by {percent(abs(_year(flood)))} in a year."


def _year(flood: FloodWarning) -> float:
    return 0.0 if flood.supply is None else flood.supply.growth_share
