from __future__ import annotations

import pytest

from genetics import catalogue_from, load_catalogue, read_animal
from genetics.routes.biology import Biology
from genetics.routes.founders import Founder
from genetics.routes.parallel import simulate
from genetics.routes.policy import Policy
from genetics.routes.tally import MOST_LABELS, TooManyLabels
from genetics.routes.target import read_target
from tests.genetics.cases import invented, sex_linked
from tests.genetics.routes.projects import LASTING, covered, held

PAIR = Policy(places=2, male_places=1)


def project(genes, target, sire, dam, *, seasons=1, runs=400, count=500, policy=PAIR):
    founders = [Founder("he", read_animal(sire, genes)), Founder("she", read_animal(dam, genes))]
    return simulate(
        read_target(target, genes, count=count),
        founders,
        genes,
        biology=LASTING,
        policy=policy,
        seed=2,
        runs=runs,
        seasons=seasons,
    )


def test_covered_young_are_not_said_to_show_what_can_not_be_seen():
    genes = covered()
    route = project(genes, "white spot", "1.0 white het spot", "0.1 white spot")
    # het x visual beneath a white coat: half of the young are het spot, half would show it
    assert {each.label for each in route.by_products} == {"white 50% het spot 50% spot"}
    traits = {str(trait): trait.chance for trait in route.by_products[0].traits}
    assert traits.pop("white") == 1.0
    assert traits == pytest.approx({"50% het spot": 0.5, "50% spot": 0.5})


def test_covered_young_of_a_sex_linked_locus():
    hiding = {"name": "white", "mode": "recessive", "hides": "all", "source": "custom"}
    glow = {"name": "glow", "mode": "incomplete dominant", "source": "custom"}
    genes = catalogue_from(
        {
            "locus": [
                {"source": "custom", "gene": [hiding]},
                {"source": "custom", "sex_linked": True, "recombination": "0.1", "gene": [glow]},
            ]
        }
    )
    route = project(genes, "white glow", "1.0 white glow", "0.1 white")
    assert {each.label for each in route.by_products} == {"white 50% glow"}
    assert project(sex_linked("glow"), "glow", "1.0 glow", "0.1 normal").by_products


def test_harms_go_with_the_young_that_have_them(catalogue):
    route = project(catalogue, "spider", "1.0 spider", "0.1 normal")
    by_label = {each.label: each for each in route.by_products}
    assert "wobble" in {note.harm for note, _ in by_label["spider"].harms}
    assert by_label["normal"].harms == ()
    assert "wobble" in {note.harm for note, _ in route.harms}
    other = project(catalogue, "clown", "1.0 spider het clown", "0.1 clown")
    assert "wobble" in {note.harm for note, _ in other.harms}


def test_shares_by_look_and_sex_are_mendels(catalogue):
    route = project(
        catalogue, "pastel", "1.0 pastel", "0.1 pastel", runs=4000, policy=Policy(places=2, male_places=1)
    )
    total = sum(float(each.expected.sum()) for each in route.by_products)
    shares = {}
    for each in route.by_products:
        shares[each.label] = shares.get(each.label, 0.0) + float(each.expected.sum()) / total
    assert shares["super pastel"] == pytest.approx(0.25, abs=0.02)
    assert shares["pastel"] == pytest.approx(0.5, abs=0.02)
    assert shares["normal"] == pytest.approx(0.25, abs=0.02)


def test_a_target_with_too_many_looks_is_refused():
    names = ("one", "two", "three", "four", "five", "six", "seven", "eight")
    genes = invented(*names)
    with pytest.raises(TooManyLabels, match=str(MOST_LABELS)):
        project(genes, " ".join(names), "1.0 one", "0.1 two")


def test_animals_held_back_are_listed_until_they_are_grown():
    founders = [held("c", "1.0 clown"), held("p", "0.1 pied")]
    genes = load_catalogue()
    route = simulate(
        read_target("clown pied", genes),
        founders,
        genes,
        biology=Biology(adult_deaths=0.0),
        policy=Policy(places=6, male_places=2),
        seed=1,
        runs=300,
        seasons=4,
    )
    young = {each.label for each in route.growing if each.expected[0] > 0}
    assert young == {"het clown het pied"} or young == {"het pied het clown"}
    grown = sum(each.expected for each in route.kept)
    assert grown[0] == pytest.approx(2.0)
    assert grown[2] > 2.0
