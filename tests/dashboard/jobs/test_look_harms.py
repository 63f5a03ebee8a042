"""Harms of single looks: of one gene, of two copies, and of genes of several loci together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dashboard.jobs.look_harms import look_harms
from dashboard.jobs.valuation import Couple, hatch_looks
from econ.assumptions import Assumptions
from genetics import Sex


@pytest.fixture
def looks_of(book, catalogue):
    """Harms by label of every look of two animals: (harm, genes, chance)."""

    def found(sire, dam):
        male = book.add_animal(f"Sire {len(book.animals())}", sire, sex=Sex.MALE)
        female = book.add_animal(f"Dam {len(book.animals())}", dam, sex=Sex.FEMALE)
        couple = Couple(male, female, 2027, 1, Assumptions({}))
        table, _ = hatch_looks(male, female, catalogue=catalogue)
        return {
            row.label: [
                (harm.note.harm, harm.genes, harm.chance)
                for harm in look_harms(couple, table, row.label, catalogue=catalogue)
            ]
            for row in table.rows
        }

    return found


def test_only_the_looks_with_the_gene_are_marked(looks_of):
    found = looks_of("spider", "pastel")
    assert {label: bool(harms) for label, harms in found.items()} == {
        label: "spider" in label for label in found
    }
    assert found["pastel spider"] == [("wobble", "spider", 1.0)]


def test_two_copies_of_a_recessive_have_the_harm_that_one_has_not(looks_of):
    found = looks_of("het caramel albino", "het caramel albino")
    kinds = {harm: (genes, chance) for harm, genes, chance in found["caramel albino"]}
    assert kinds["kinked spine or misshapen head"] == ("caramel albino", 1.0)
    assert [harms for label, harms in found.items() if "caramel" in label and "het" in label] == [[]]


def test_two_genes_that_harm_together_mark_the_look_that_has_both(looks_of):
    """The catalogue names spider with champagne as a harm of its own; alone each has only its own."""
    found = looks_of("spider", "champagne")
    both = next(harms for label, harms in found.items() if {"spider", "champagne"} <= set(label.split()))
    assert ("wobble", "spider with champagne", 1.0) in both
    assert ("not hatching", "spider with champagne", 1.0) in both
    assert {genes for _, genes, _ in found["spider"]} == {"spider"}
    assert found["normal"] == []


def test_the_clutch_s_own_harms_hold_what_genes_do_together(book, catalogue):
    """Mendel: half have spider, half champagne, a quarter both."""
    sire = book.add_animal("Cobble", "spider", sex=Sex.MALE)
    dam = book.add_animal("Marl", "champagne", sex=Sex.FEMALE)
    _, harms = hatch_looks(sire, dam, catalogue=catalogue)
    assert {harm.share for harm in harms if harm.gene == "spider with champagne"} == {0.25}


def test_a_harm_that_only_some_of_a_look_can_have_says_how_many(looks_of):
    """Of young that show a gene, only daughters are harmed where laying is: half of them."""
    found = looks_of("desert", "normal")
    assert found["desert"] == [("females that can't lay safely", "desert", 0.5)]


def test_what_is_known_of_the_parents_is_asked_and_not_what_is_written(book, catalogue):
    sire = book.add_animal("Cobble", "normal", sex=Sex.MALE)
    dam = book.add_animal("Marl", "pastel", sex=Sex.FEMALE)
    other = book.add_animal("Sedge", "spider", sex=Sex.MALE)
    couple = Couple(sire, dam, 2027, 1, Assumptions({}))
    plain, _ = hatch_looks(sire, dam, catalogue=catalogue)
    assert look_harms(couple, plain, "pastel", catalogue=catalogue) == ()
    known = replace(couple, sire=other)
    table, _ = hatch_looks(other, dam, catalogue=catalogue)
    assert look_harms(known, table, "spider", catalogue=catalogue)
    with pytest.raises(KeyError, match="no look “pied”"):
        look_harms(known, table, "pied", catalogue=catalogue)
