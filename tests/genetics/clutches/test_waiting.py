"""Waiting for a wanted hatchling: scipy's distributions, draws, and slow counting."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from genetics import PairingError, Sex, clutch_size_pmf, cross, hatchling_pmf, one_in_a_season, read_animal
from genetics.clutches.by_year import by_year, year_chart
from genetics.clutches.females import with_females
from genetics.clutches.queries.counts import BadCount
from genetics.clutches.queries.pattern import BadPattern, Pattern
from genetics.clutches.waiting import CHANCES, SeasonOfEggs, waiting
from tests.genetics.cases import invented, pair
from tests.oracles import miss_all

CLOWN = Pattern(shows=("clown",))
SIX = SeasonOfEggs(6)


def triple_recessive():
    """One hatchling in 64: three genes, both parents het for all."""
    genes = invented("one", "two", "three")
    parent = "het one het two het three"
    return pair(parent, parent, catalogue=genes).kind(Pattern(shows=("one", "two", "three")))


def test_one_in_64_needs_45_hatchlings_for_a_half_and_147_for_90_per_cent():
    # Conventions: counts are rounded up; 45 and 147 as in the geometric distribution.
    wait = waiting(triple_recessive(), "hatchlings")
    assert wait.points() == tuple((c, int(stats.geom.ppf(c, 1 / 64))) for c in CHANCES)
    assert dict(wait.points())[0.5] == 45
    assert dict(wait.points())[0.9] == 147
    assert wait.ceiling == 1.0


def test_six_eggs_a_year_and_one_in_64_is_not_ten_years():
    chart = by_year(triple_recessive(), SIX, years=30)
    assert chart.rule_years == pytest.approx(64 / 6)
    assert chart.rule_year == 11
    assert chart.chance_at_rule == pytest.approx(1 - (63 / 64) ** 64, abs=1e-12)
    assert chart.chance_at_rule == pytest.approx(0.635, abs=0.001)  # about 63 %, 1 - 1/e when p is small
    assert chart.chance_at_rule_year == pytest.approx(stats.geom.cdf(66, 1 / 64), abs=1e-12)
    assert chart.chances[9] == pytest.approx(stats.geom.cdf(60, 1 / 64), abs=1e-12)
    assert chart.years == tuple(range(1, 31))
    assert dict(chart.points) == {c: int(np.ceil(stats.geom.ppf(c, 1 / 64) / 6)) for c in CHANCES}


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.1, 1.0),
    st.floats(0.3, 1.0),
    st.floats(0.3, 1.0),
    st.integers(1, 6),
    st.integers(1, 4),
)
def test_seasons_are_those_of_the_generating_function(laying, fertile, hatching, seasons, females):
    kind = pair("66% het clown", "66% het clown").kind(CLOWN)
    eggs = clutch_size_pmf(6.0, 1.5)
    season = SeasonOfEggs(eggs, laying, fertile, hatching)
    pmf = hatchling_pmf(eggs, laying=laying, fertile=fertile, hatching=hatching)
    expected = one_in_a_season([0.25, 0.0], pmf, weights=[4 / 9, 5 / 9], seasons=seasons * females)
    assert waiting(kind, "seasons", season=season, females=females).chance(seasons) == pytest.approx(
        expected, abs=1e-12
    )


def test_eggs_and_clutches_and_seasons_differ_only_by_what_may_go_wrong():
    kind = pair("het clown", "het clown").kind(CLOWN)
    season = SeasonOfEggs([0.0, 0.0, 0.25, 0.75], laying=0.8, fertile=0.9, hatching=0.5)
    hit = 0.25 * 0.45
    assert waiting(kind, "eggs", season=season).chance(7) == pytest.approx(stats.geom.cdf(7, hit), abs=1e-12)
    assert waiting(kind, "eggs").chance(7) == pytest.approx(stats.geom.cdf(7, 0.25), abs=1e-12)
    none = 0.25 * (1 - hit) ** 2 + 0.75 * (1 - hit) ** 3
    assert waiting(kind, "clutches", season=season).chance(2) == pytest.approx(1 - none**2, abs=1e-12)
    laid = waiting(kind, "seasons", season=season)
    assert laid.chance(2) == pytest.approx(1 - (0.2 + 0.8 * none) ** 2, abs=1e-12)
    assert season.mean_eggs == pytest.approx(0.8 * 2.75)


def test_lost_eggs_count_as_eggs_and_not_as_hatchlings():
    kind = pair("spider", "spider").kind(Pattern(shows=("spider",)))
    assert waiting(kind, "hatchlings").bases == pytest.approx([1 / 3])
    assert waiting(kind, "eggs").bases == pytest.approx([1 / 2])


def test_one_of_each_sex_over_seasons_as_counted_by_draws():
    kind = pair("het clown", "het clown").kind(CLOWN)
    season = SeasonOfEggs([0.1, 0.0, 0.0, 0.0, 0.0, 0.4, 0.5], laying=0.7)
    wait = waiting(kind, "seasons", season=season, each_sex=True)
    random = np.random.default_rng(11)
    n, years = 200_000, 4
    eggs = random.choice(7, p=season.eggs, size=(n, years)) * (random.random((n, years)) < 0.7)
    males = random.binomial(eggs, 1 / 8)
    females = random.binomial(eggs - males, (1 / 8) / (7 / 8))
    share = ((males.sum(axis=1) > 0) & (females.sum(axis=1) > 0)).mean()
    assert wait.chance(years) == pytest.approx(share, abs=4 * np.sqrt(share * (1 - share) / n))
    assert wait.chance(0) == 0.0
    assert wait.ceiling == pytest.approx(1.0)
    assert wait.needed(0.5) > waiting(kind, "seasons", season=season).needed(0.5)


def test_a_chance_beyond_the_ceiling_is_never_reached():
    kind = pair("66% het clown", "66% het clown").kind(CLOWN)
    wait = waiting(kind, "hatchlings")
    assert wait.ceiling == pytest.approx(4 / 9)
    assert [number for _, number in wait.points()] == [None] * 4
    assert wait.needed(0.4) == next(
        n for n in range(99) if 1 - miss_all([0.25, 0.0], [4 / 9, 5 / 9], n) >= 0.4
    )
    never = pair("het clown", "normal").kind(CLOWN)
    chart = by_year(never, SIX)
    assert (chart.rule_years, chart.rule_year, chart.chance_at_rule, chart.ceiling) == (None, None, None, 0.0)
    assert waiting(never, "hatchlings").needed(0.5) is None


def test_rare_beyond_counting_is_none():
    kind = pair("het clown", "het clown").kind(CLOWN)
    wait = waiting(kind, "seasons", season=SeasonOfEggs(1, hatching=1e-9))
    assert wait.needed(0.9) is None


def test_females_share_what_the_sire_may_be(catalogue):
    sire = read_animal("66% het clown", catalogue, sex=Sex.MALE)
    dams = [read_animal(text, catalogue, sex=Sex.FEMALE) for text in ("clown", "50% het clown", "normal")]
    several = with_females(sire, dams, catalogue)
    wait = several.waiting(CLOWN, season=[SIX, SeasonOfEggs(4), SIX])
    for seasons in (1, 3):
        first, second = 0.5 ** (6 * seasons), 0.5 + 0.5 * 0.75 ** (4 * seasons)
        assert wait.chance(seasons) == pytest.approx(2 / 3 * (1 - first * second), abs=1e-12)
    apart = [cross(sire, dam, catalogue).kind(CLOWN).at_least(hatchlings=6) for dam in dams[:2]]
    together = with_females(sire, dams[:2], catalogue).waiting(CLOWN, season=SIX).chance(1)
    assert together < 1 - (1 - apart[0]) * (1 - apart[1])  # not independent: one sire
    assert len(several.clutches) == 3


def test_one_of_each_sex_over_females(catalogue):
    sire = read_animal("clown", catalogue, sex=Sex.MALE)
    dam = read_animal("clown", catalogue, sex=Sex.FEMALE)
    wait = with_females(sire, [dam, dam], catalogue).waiting(CLOWN, season=SeasonOfEggs(2), each_sex=True)
    assert wait.chance(1) == pytest.approx(1 - 2 * 0.5**4)
    same = waiting(
        cross(sire, dam, catalogue).kind(CLOWN), "seasons", season=SeasonOfEggs(2), females=2, each_sex=True
    )
    assert wait.chance(3) == pytest.approx(same.chance(3), abs=1e-12)


def test_sex_linked_and_lethal_females_as_one_by_one(catalogue):
    sire = read_animal("banana spider", catalogue, sex=Sex.MALE)
    dams = [read_animal(text, catalogue, sex=Sex.FEMALE) for text in ("spider", "banana")]
    several = with_females(sire, dams, catalogue, recombination="0.1")
    daughters = Pattern(shows=("banana",), sex=Sex.FEMALE)
    wait = several.waiting(daughters, season=SIX)
    slow = 0.0
    for on_y in (0.1, 0.9):  # phase unknown: share of bananas among his daughters r or 1 - r
        first = 0.75 * on_y / 2  # a quarter of the first dam's eggs is lost
        second = 0.5 * (0.5 * (1 - on_y) + 0.5 * on_y)  # daughters with exactly one copy, of hers or his
        slow += 0.5 * (1 - first) ** 6 * (1 - second) ** 6
    assert wait.chance(1) == pytest.approx(1 - slow, abs=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda kind: waiting(kind, "clutches"),
        lambda kind: waiting(kind, "seasons", season=SIX, females=0),
        lambda kind: waiting(kind, "hatchlings").chance(-1),
        lambda kind: waiting(kind, "hatchlings").needed(1.0),
        lambda kind: SeasonOfEggs(6, laying=1.2),
        lambda kind: SeasonOfEggs([0.5, 0.4]),
        lambda kind: by_year(kind, SIX, years=0),
        lambda kind: year_chart(waiting(kind, "eggs"), 0.1, eggs_a_year=6.0),
    ],
)
def test_what_can_not_be_counted_is_refused(call):
    with pytest.raises(BadCount, match=r"allowed|need|sums to 1"):
        call(pair("het clown", "het clown").kind(CLOWN))


def test_females_that_can_not_be_are_refused(catalogue):
    sire = read_animal("het clown", catalogue, sex=Sex.MALE)
    dam = read_animal("het clown", catalogue, sex=Sex.FEMALE)
    with pytest.raises(PairingError, match="no female"):
        with_females(sire, [], catalogue)
    several = with_females(sire, [dam], catalogue)
    with pytest.raises(BadPattern, match="label"):
        several.waiting(Pattern(label="clown"), season=SIX)
    with pytest.raises(BadCount, match="one for each"):
        several.waiting(CLOWN, season=[SIX, SIX])
    assert several.waiting(CLOWN, season=SIX).chance(1) == pytest.approx(1 - 0.75**6)
    assert several.clutches[0].kind(CLOWN).per_hatchling == Fraction(1, 4)


@pytest.mark.parametrize("counted", ["hatchlings", "eggs", "clutches", "seasons"])
def test_what_is_never_reached_is_the_chance_that_a_possible_het_is_none(counted):
    """A 66 % het with a visual mate: two of three ever give a visual, over seasons as over young."""
    clown = pair("one", "66% het one", catalogue=invented("one")).kind(Pattern(shows=("one",)))
    eggs = clutch_size_pmf(6.0, 1.5)
    found = waiting(clown, counted, season=SeasonOfEggs(eggs, laying=0.8, fertile=0.9, hatching=0.9))
    assert found.ceiling == pytest.approx(2 / 3, abs=1e-9)
    assert found.needed(0.7) is None
    assert found.needed(0.6) is not None
