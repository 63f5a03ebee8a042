"""How long until one hatches: against scipy's geometric distribution and sums by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import geom

from dashboard.jobs.odds import Wanted, looks_to_wait_for, odds_answer
from dashboard.jobs.pairing import pairing_answer
from genetics import BadPattern, Sex, clutch_size_pmf

from .small_book import small_book

CHANCES = (0.5, 0.8, 0.9, 0.95)
SURE = {"clutch.laying_chance": 1.0, "clutch.fertile_share": 1.0, "clutch.hatching_share": 1.0}


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "small.sqlite")
    with made.book:
        yield made


@pytest.fixture
def ask(small, catalogue):
    """Odds of a look from two animals as written, with the figures given."""

    def odds(sire, dam, wanted, **figures):
        names = f"of the book's {len(small.book.animals())}"
        male = small.book.add_animal(f"Sire {names}", sire, sex=Sex.MALE)
        female = small.book.add_animal(f"Dam {names}", dam, sex=Sex.FEMALE)
        answer = pairing_answer(small.book, male.id, female.id, catalogue=catalogue, trial=figures)
        return odds_answer(answer.valued.couple, answer.valued.looks, wanted, catalogue=catalogue)

    return odds


def points(found, counted):
    return [number for _, number in next(n for n in found.needed if n.counted == counted).points]


def missed(share, **figures):
    """Chance that a clutch of the usual size gives none: sum over eggs of chance x (1 - share)^eggs."""
    sizes = clutch_size_pmf(figures.get("mean", 6.0), figures.get("sd", 1.5))
    return float(sizes @ (1.0 - share) ** np.arange(sizes.size))


def test_everything_counted_agrees_with_the_geometric_distribution(ask):
    """het x het: a quarter; scipy.stats.geom says how many trials give each chance, rounded up."""
    fertile, hatching, laying = 0.85, 0.9, 0.75
    found = ask(
        "het clown",
        "het clown",
        Wanted("clown"),
        **{
            "clutch.laying_chance": laying,
            "clutch.fertile_share": fertile,
            "clutch.hatching_share": hatching,
        },
    )
    each = 0.25 * fertile * hatching
    clutch = 1.0 - missed(each)
    for counted, share in (
        ("hatchlings", 0.25),
        ("eggs", each),
        ("clutches", clutch),
        ("seasons", laying * clutch),
    ):
        assert points(found, counted) == [int(geom(share).ppf(chance)) for chance in CHANCES], counted
    seasons = geom(laying * clutch)
    assert found.chart.chances == pytest.approx([seasons.cdf(year) for year in found.chart.years], abs=1e-12)
    assert found.per_hatchling == 0.25
    assert found.ever == 1.0
    assert found.a_season == pytest.approx(each * 6 * laying)


def test_one_in_64_and_six_eggs_a_year_is_not_ten_years(ask):
    """Project rule: 45 hatchlings for a half chance and 147 for 90 %; the rule of thumb is 1 - 1/e."""
    three = "het clown het pied het hypo"
    found = ask(three, three, Wanted("clown pied hypo"), **SURE)
    assert points(found, "hatchlings") == [45, 103, 147, 191]
    assert found.chart.rule_years == pytest.approx(64 / 6)
    assert found.chart.rule_year == 11
    season = geom(1.0 - missed(1 / 64))
    assert found.chart.chance_at_rule_year == pytest.approx(season.cdf(11), abs=1e-12)
    assert found.chart.chance_at_rule == pytest.approx(1 - np.exp(-1), abs=0.01)
    assert [found.seasons(chance) for chance in CHANCES] == [season.ppf(chance) for chance in CHANCES]
    assert found.seasons(0.8) > found.chart.rule_year
    assert found.chart.years[-1] == min(30, found.seasons(0.95))


def test_one_of_each_sex_is_not_two_independent_waits(ask):
    """By inclusion and exclusion: 1 - 2 (1 - p/2)^n + (1 - p)^n."""
    found = ask("clown", "het clown", Wanted("clown", "one of each sex"), **SURE)
    both = [1 - 2 * 0.75**n + 0.5**n for n in range(60)]
    assert points(found, "hatchlings") == [
        next(n for n, chance in enumerate(both) if chance >= wanted) for wanted in CHANCES
    ]
    one = ask("clown", "het clown", Wanted("clown", "a male"), **SURE)
    assert points(one, "hatchlings") == [geom(0.25).ppf(chance) for chance in CHANCES]


def test_three_females_miss_together(ask):
    found = ask("het clown", "het clown", Wanted("clown", females=3), **SURE)
    season = geom(1.0 - missed(0.25) ** 3)
    assert points(found, "seasons") == [season.ppf(chance) for chance in CHANCES]
    assert points(found, "clutches") == [geom(1.0 - missed(0.25)).ppf(chance) for chance in CHANCES]
    assert found.a_season == pytest.approx(3 * 6 * 0.25)


def test_a_possible_het_that_is_none_never_gives_it(ask):
    """Two thirds carry it: 2/3 (1 - 1/2^n) reaches a half at n = 2, and never 8 in 10."""
    found = ask("clown", "66% het clown", Wanted("clown"), **SURE)
    assert found.ever == pytest.approx(2 / 3)
    assert points(found, "hatchlings") == [2, None, None, None]
    assert found.seasons(0.8) is None
    assert found.chart.chances[-1] == pytest.approx(2 / 3 * (1 - missed(0.5) ** found.chart.years[-1]))


def test_a_female_that_never_lays_gives_nothing_and_has_no_rule_of_thumb(ask):
    found = ask("clown", "het clown", Wanted("clown"), **{**SURE, "clutch.laying_chance": 0.0})
    assert (found.ever, found.a_season, found.chart.rule_years) == (0.0, 0.0, None)
    assert points(found, "seasons") == [None] * 4
    assert points(found, "hatchlings") == [1, 3, 4, 5]


def test_parents_are_taken_as_all_records_know_them(small, catalogue):
    """A clown hatchling proves its dam a het, whatever is written of her."""
    book = small.book
    sire = book.add_animal("Slate", "clown", sex=Sex.MALE)
    dam = book.add_animal("Fern", "66% het clown", sex=Sex.FEMALE)

    def ever():
        answer = pairing_answer(book, sire.id, dam.id, catalogue=catalogue)
        couple = answer.valued.couple
        return odds_answer(couple, answer.valued.looks, Wanted("clown"), catalogue=catalogue).ever

    assert ever() == pytest.approx(2 / 3)
    book.add_animal("Moss", "clown", sire_id=sire.id, dam_id=dam.id)
    assert ever() == 1.0


def test_looks_are_offered_the_dearest_first(small, catalogue):
    answer = pairing_answer(small.book, *small.ids("Flint", "Marl"), catalogue=catalogue)
    labels = looks_to_wait_for(answer.looks)
    prices = {look.look.label: look.price for look in answer.looks if look.basis.kind != "none"}
    assert sorted(labels) == sorted(look.look.label for look in answer.looks)
    assert [prices[label] for label in labels[: len(prices)]] == sorted(prices.values(), reverse=True)
    assert not set(labels[len(prices) :]) & prices.keys()


def test_what_can_not_be_asked_is_refused(ask):
    with pytest.raises(ValueError, match="allowed: 1 to 6"):
        Wanted("clown", females=7)
    with pytest.raises(ValueError, match="the sex is “both”"):
        Wanted("clown", "both")
    with pytest.raises(BadPattern, match="no look 'pied'"):
        ask("clown", "het clown", Wanted("pied"))
