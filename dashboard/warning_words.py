"""How do warnings read: harm to animals, floods? The one place where each becomes a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from dashboard.jobs.animals import AnimalHarm
from dashboard.jobs.valuation import Harm
from dashboard.words import freq, num, of_hundred, percent, price
from econ.decisions.flood import CAUGHT, FALSE, FloodWarning
from genetics import HARMS, HealthNote

_SHORT: Final = {
    "wobble": "may wobble",
    "not hatching": "eggs that can’t hatch",
    "kinked spine or misshapen head": "may be deformed",
    "females that can't lay safely": "daughters may not lay safely",
}
_SHARE: Final = {
    "wobble": "Of 100 young {n} may wobble.",
    "not hatching": "Of 100 fertile eggs {n} can’t hatch.",
    "kinked spine or misshapen head": "Of 100 young {n} may have a kinked spine or a misshapen head.",
    "females that can't lay safely": "Of 100 young {n} may be daughters that can’t lay safely.",
}
_ANIMAL: Final = {
    "wobble": "wobble",
    "not hatching": "eggs that don’t hatch",
    "kinked spine or misshapen head": "kinked spine or head",
    "females that can't lay safely": "may not lay safely",
}
_DAM: Final = "the dam may not lay safely"
ASK_A_VET: Final = "Ask a veterinarian who knows reptiles."


def harm_mark(harms: Sequence[Harm]) -> tuple[str, str]:
    """Mark of a pairing's worst harm, for a row."""
    worst = harms[0]
    return "welfare", f": {_DAM if worst.to_dam else _SHORT[worst.note.harm]}"


def note_mark(notes: Sequence[HealthNote]) -> tuple[str, str]:
    """Mark of the worst of some health notes, for the row of a look that has them."""
    return "welfare", f": {_ANIMAL[min(notes, key=lambda note: HARMS.index(note.harm)).harm]}"


def animal_marks(harms: Sequence[AnimalHarm]) -> tuple[tuple[str, str], ...]:
    """One mark: the worst harm of the animal itself, else that two copies in its young can do harm."""
    if not harms:
        return ()
    own = [harm.note for harm in harms if harm.itself]
    return (note_mark(own) if own else ("welfare", ": mind two copies"),)


def harm_sentence(harms: Sequence[Harm]) -> str:
    """Say a pairing's worst harm and how many of the young carry what is tied to it."""
    worst = harms[0]
    if worst.to_dam:
        return f"{_DAM[:1].upper()}{_DAM[1:]}."
    return _SHARE[worst.note.harm].format(n=of_hundred(worst.share))


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
        chance = f"the chance that its price falls below cost is {freq(flood.chance)}"
        return f"No flood of {flood.trait} in sight: {chance}"
    return f"What stands behind the flood warning of {flood.trait}"


def flood_record() -> str:
    """Say how such warnings fared, in plain words."""
    return (
        f"Prices alone see few floods in time: on simulated markets such warnings came before "
        f"{num(100 * CAUGHT)} of 100 floods, and {num(100 * FALSE)} of 100 warnings came to nothing."
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
        if flood.bearable_by is not None:
            years = f"in {num(flood.bearable_by, decimals=1)} years" if flood.bearable_by > 0 else "already"
            rows.append(("At the last year’s growth that is reached", years))
    if flood.crossing is not None:
        rows.append(("Price falls below the cost", f"{num(flood.crossing)} months after hatching"))
    return tuple(rows)


def _growth(flood: FloodWarning) -> str:
    if flood.supply is None or abs(flood.supply.growth) < 0.05:
        return ""
    verb = "grew" if flood.supply.growth > 0 else "fell"
    return f" Offers of {flood.trait} {verb} by {percent(abs(_year(flood)))} in a year."


def _year(flood: FloodWarning) -> float:
    return 0.0 if flood.supply is None else flood.supply.growth_share
