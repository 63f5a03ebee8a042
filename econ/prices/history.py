"""Which prices belong together: the history of a trait and that of an exact combination."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from econ.money import from_minor
from econ.prices.observations import PriceObservation
from genetics.genes.traits import Trait

NORMAL = "normal"
_FORM_ORDER = {"super": 0, "visual": 1, "het": 2}


class MissingRate(ValueError):
    """A price in another currency without a rate into the book's currency."""


@dataclass(frozen=True)
class History:
    """Prices of one trait or of one exact combination, oldest first, per animal [book's currency]."""

    key: str
    dates: tuple[date, ...]
    prices: tuple[float, ...]
    sold: tuple[bool, ...]

    @property
    def count(self) -> int:
        """How many prices."""
        return len(self.prices)

    @property
    def first(self) -> date:
        """Day of the oldest price."""
        return self.dates[0]

    @property
    def last(self) -> date:
        """Day of the newest price."""
        return self.dates[-1]


def combination_key(traits: Sequence[Trait]) -> str:
    """One name for an exact combination, whatever the order of its traits; "normal" for none.

    Visible traits come first, then hets, each by name: "enchi pastel 66% het clown".
    """
    if not traits:
        return NORMAL
    ordered = sorted(traits, key=lambda t: (t.form == "het", t.gene, _FORM_ORDER[t.form], t.chance))
    return " ".join(str(t) for t in ordered)


def price_in(observation: PriceObservation, currency: str, rates: Mapping[str, float]) -> float:
    """Price per animal in the book's currency.

    Parameters
    ----------
    observation
        A price in any currency.
    currency
        The book's currency code.
    rates
        Code -> units of the book's currency for one unit of that currency.

    Raises
    ------
    MissingRate
        If the price is in another currency and no rate above zero is given for it.
    """
    price = from_minor(observation.price_minor, observation.currency)
    if observation.currency == currency:
        return price
    rate = rates.get(observation.currency, 0.0)
    if not 0.0 < rate < float("inf"):
        raise MissingRate(
            f"price of {observation.what!r} on {observation.on} is in {observation.currency} "
            f"and the book is in {currency}; needed: how many {currency} one {observation.currency} is worth"
        )
    return price * rate


def by_combination(
    observations: Iterable[PriceObservation], *, currency: str, rates: Mapping[str, float] | None = None
) -> dict[str, History]:
    """History of every exact combination, by its key.

    Raises
    ------
    MissingRate
        If a price is in another currency without a rate.
    """
    groups: dict[str, list[PriceObservation]] = defaultdict(list)
    for observation in observations:
        groups[combination_key(observation.traits)].append(observation)
    return {key: _history(key, groups[key], currency, rates or {}) for key in sorted(groups)}


def by_trait(
    observations: Iterable[PriceObservation], *, currency: str, rates: Mapping[str, float] | None = None
) -> dict[str, History]:
    """Prices of all animals that have a trait, by the trait's key; an animal counts with each of its traits.

    Raises
    ------
    MissingRate
        If a price is in another currency without a rate.
    """
    groups: dict[str, list[PriceObservation]] = defaultdict(list)
    for observation in observations:
        for key in {t.key for t in observation.traits} or {NORMAL}:
            groups[key].append(observation)
    return {key: _history(key, groups[key], currency, rates or {}) for key in sorted(groups)}


def _history(
    key: str, observations: list[PriceObservation], currency: str, rates: Mapping[str, float]
) -> History:
    ordered = sorted(observations, key=lambda o: (o.on, o.price_minor))
    return History(
        key,
        tuple(o.on for o in ordered),
        tuple(price_in(o, currency, rates) for o in ordered),
        tuple(o.kind == "sold" for o in ordered),
    )
