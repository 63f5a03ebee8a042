"""A second species is only another data file."""

from __future__ import annotations

import pytest

from genetics import load_catalogue, read_animal, write_animal
from genetics.genes.catalogue_files import CatalogueError, UnknownSpecies, species, species_tables
from genetics.genes.catalogue_files import _joined as joined


def test_each_species_that_ships_is_read_by_its_name():
    assert species() == ("ball python", "garden pea", "house mouse")
    for name in species():
        assert load_catalogue(name).species == name
    assert load_catalogue() is load_catalogue("ball python")


def test_an_unknown_species_names_those_there_are():
    with pytest.raises(UnknownSpecies, match="garden pea"):
        load_catalogue("corn snake")


# Entered a second time from Mendel 1866 (Bateson's translation), counts seen; the other five from memory.
PEAS = {
    "seed shape": ("round", "wrinkled"),
    "cotyledon colour": ("yellow", "green"),
    "seed coat colour": ("grey-brown coat", "white coat"),
    "pod shape": ("inflated pods", "constricted pods"),
    "pod colour": ("green pods", "yellow pods"),
    "flower position": ("axial", "terminal"),
    "stem length": ("tall", "dwarf"),
}


def test_the_seven_characters_of_the_pea_each_a_recessive():
    peas = load_catalogue("garden pea")
    assert peas.sexes == "none"
    assert {locus.id: (locus.wild_name, locus.genes[0].name) for locus in peas.loci} == PEAS
    assert {gene.mode for gene in peas.genes} == {"recessive"}
    assert "Mendel G (1866)" in peas.gene("wrinkled").sources["mode"].text
    assert write_animal(read_animal("round green het dwarf", peas), peas) == "green het dwarf"


def test_the_yellow_mouse_is_lost_in_two_copies_castle_and_little_1910():
    mice = load_catalogue("house mouse")
    locus = mice.locus("agouti")
    assert locus.look(("lethal yellow", "lethal yellow")).survival == 0
    assert locus.look(("lethal yellow", "non-agouti")).label == "lethal yellow"
    text = "lethal yellow het non-agouti"
    assert write_animal(read_animal(text, mice), mice) == text


def test_a_file_with_a_table_that_is_none_of_the_catalogues_is_refused(tmp_path):
    path = tmp_path / "newt.toml"
    path.write_text("[prices]\nnewt = 1\n", encoding="utf-8")
    with pytest.raises(CatalogueError, match="combined_harm"):
        joined([path])
    assert species_tables("garden pea")["locus"]
