"""Which young can't be told apart by eye, and what such a class may be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from genetics.clutches.possible_het import carried_words, certainty_words
from genetics.genes.genotype import Pairs, traits_with_chances
from genetics.genes.hiding import is_hidden_by
from genetics.genes.loci import Locus, PairLook
from genetics.genes.traits import Sex, Trait

Kind = tuple[Sex | None, Pairs]


@dataclass(frozen=True, eq=False)
class EyeClass:
    """Young of one unit that look the same.

    Attributes
    ----------
    shown
        What it shows in the trade's words, "lesser or butter" for look-alikes; empty if normal.
    carried
        What it carries or may carry: "66% het clown"; empty if nothing.
    certainty
        How sure the label is, in plain words.
    traits
        Traits with their chance within the class.
    look_alikes
        The looks it may be, if more than one.
    hides_all
        True if it covers all other genes.
    young
        Sex (None: both alike), allele pairs and chance of each kind within the class.
    """

    shown: str
    carried: str
    certainty: tuple[str, ...]
    traits: tuple[tuple[Trait, Fraction], ...]
    look_alikes: tuple[str, ...]
    hides_all: bool
    young: tuple[tuple[Sex | None, Pairs, Fraction], ...]

    @cached_property
    def tells(self) -> bool:
        """Whether it differs from a normal look in anything."""
        return bool(self.shown or self.carried or self.certainty or self.traits)

    @cached_property
    def priced_traits(self) -> tuple[Trait, ...]:
        """Traits as they are handed out, each carrying its chance."""
        return traits_with_chances(dict(self.traits))


def appearance(loci: Sequence[Locus], pairs: Pairs, *, joined: bool) -> tuple[str, ...]:
    """Name what the eye sees of the loci of a unit.

    Parameters
    ----------
    loci, pairs
        Loci and their allele pairs.
    joined
        True if loci have look-alikes of each other: then the same sight counts once, whichever
        locus makes it.
    """
    looks = [locus.look(pair) for locus, pair in zip(loci, pairs, strict=True)]
    hidden = hidden_places(looks) if len(looks) > 1 else frozenset()
    seen = tuple("" if place in hidden else look.appearance for place, look in enumerate(looks))
    return tuple(sorted(set(seen) - {""})) if joined else seen


def hidden_places(looks: Sequence[PairLook]) -> frozenset[int]:
    """Positions of looks whose pattern or colour another look hides; what hides all stands apart."""
    return frozenset(
        place
        for place, look in enumerate(looks)
        if any(
            other is not look and other.hides in {"pattern", "colour"} and is_hidden_by(look, other)
            for other in looks
        )
    )


def sort_into_classes(
    loci: Sequence[Locus], hatched: Mapping[Kind, Fraction], *, joined: bool
) -> tuple[dict[Kind, Fraction], ...]:
    """Genotypes of the hatchlings, those that look the same put together.

    Parameters
    ----------
    loci
        Loci of the unit.
    hatched
        Share of each kind among the hatchlings.
    joined
        True if loci of the unit have look-alikes of each other.
    """
    classes: dict[tuple[str, ...], dict[Kind, Fraction]] = {}
    for kind, share in hatched.items():
        classes.setdefault(appearance(loci, kind[1], joined=joined), {})[kind] = share
    return tuple(classes[name] for name in sorted(classes))


def eye_class(loci: Sequence[Locus], members: Mapping[Kind, Fraction]) -> EyeClass:
    """Class of young that look the same, with the chance of each thing it may be.

    Parameters
    ----------
    loci
        Loci of the unit.
    members
        Share of each kind; need not sum to 1.
    """
    total = sum(members.values(), Fraction(0))
    labels: dict[str, Fraction] = {}
    traits: dict[Trait, Fraction] = {}
    doubled: dict[str, Fraction] = {}
    hides = False
    groups: set[str] = set()
    for (_, pairs), share in members.items():
        looks = [locus.look(pair) for locus, pair in zip(loci, pairs, strict=True)]
        chance = share / total
        label = " ".join(look.label for look in looks if look.label)
        labels[label] = labels.get(label, Fraction(0)) + chance
        hides = hides or any(look.hides == "all" for look in looks)
        groups.update(look.appearance for look in looks if look.label)
        for look in looks:
            _count(look, chance, traits, doubled)
    likely = sorted(labels, key=lambda label: (-labels[label], label))
    carried = tuple(item for item in sorted(traits.items()) if item[0].form == "het")
    return EyeClass(
        shown=_shown_words(likely, groups),
        carried=carried_words(carried),
        certainty=certainty_words(carried, tuple(doubled.items()), len(likely) > 1),
        traits=tuple(sorted(traits.items())),
        look_alikes=tuple(likely) if len(likely) > 1 else (),
        hides_all=hides,
        young=tuple((sex, pairs, share / total) for (sex, pairs), share in members.items()),
    )


def _count(
    look: PairLook, chance: Fraction, traits: dict[Trait, Fraction], doubled: dict[str, Fraction]
) -> None:
    """Add a look to the chances of a class."""
    for trait in (*look.shown, *look.carried):
        traits[trait] = traits.get(trait, Fraction(0)) + chance
    if look.doubled:
        doubled[look.doubled] = doubled.get(look.doubled, Fraction(0)) + chance


def _shown_words(likely: Sequence[str], groups: set[str]) -> str:
    """Label of a class: its only look, its looks joined by "or", or the name of their group."""
    if len(likely) <= 3 or len(groups) != 1:
        return " or ".join(likely)
    group = next(iter(groups))
    return " or ".join(likely) if " or " in group else group
