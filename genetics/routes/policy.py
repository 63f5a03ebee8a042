"""How the breeder of a simulated route pairs, holds back and makes room."""

from __future__ import annotations

from dataclasses import dataclass


class BadPolicy(ValueError):
    """A way of breeding that can't be followed."""


@dataclass(frozen=True)
class Policy:
    """Rules followed every season of a simulated route.

    Attributes
    ----------
    places
        Most animals kept at a time, young held back included.
    male_places
        Places meant for males where the sexes are balanced; what one sex does not fill the other may
        use.
    last_carrier
        True: of every allele the target needs, its likeliest carrier is never let go.
    working_pair
        True: the best male and the best female that can be paired for the next season are never let
        go for young that can't.
    balance
        True: places are held for both sexes. False: the best animals are kept, whatever their sex.
    updating
        True: each season's young change what is known of their parents, and so of themselves. False:
        animals keep the label they had at hatching.
    tests
        Genetic tests a season; spent on the best young whose genes are open before some are held
        back. A test is taken to be right.
    patience
        What an animal is worth for each season until it can be paired, against one that can be
        paired now [above 0 to 1].
    sure
        Chance from which an animal counts as known to meet the target [above 0 to 1]; matters only
        where the target does not show.

    Raises
    ------
    BadPolicy
        If a figure is outside its range.
    """

    places: int = 12
    male_places: int = 3
    last_carrier: bool = True
    working_pair: bool = True
    balance: bool = True
    updating: bool = True
    tests: int = 0
    patience: float = 0.85
    sure: float = 0.95

    def __post_init__(self) -> None:
        if self.places < 2:
            raise BadPolicy(f"{self.places} places; allowed: 2 or more")
        if not 1 <= self.male_places < self.places:
            raise BadPolicy(f"{self.male_places} places for males; allowed: 1 to {self.places - 1}")
        if self.tests < 0:
            raise BadPolicy(f"{self.tests} tests a season; allowed: 0 or more")
        for name in ("patience", "sure"):
            if not 0.0 < getattr(self, name) <= 1.0:
                raise BadPolicy(f"{name} is {getattr(self, name)}; allowed: above 0, at most 1")

    def described(self) -> tuple[str, ...]:
        """Rules in words, for the basis of a result."""
        return (
            f"{self.places} places, {self.male_places} of them meant for males",
            "the last carrier of a needed allele is never let go"
            if self.last_carrier
            else "the best are kept, even if the last carrier of a needed allele goes",
            "a pair that can breed is always kept"
            if self.working_pair
            else "breeders may all go for better young",
            "both sexes are held back" if self.balance else "the sexes held back are not balanced",
            "young change what is known of their parents"
            if self.updating
            else "animals keep the label they had at hatching",
            f"{self.tests} tests a season",
        )
