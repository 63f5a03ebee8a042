"""What breeders write in free text: order, small words, separators (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from genetics import (
    ImpossibleAnimal,
    NotationError,
    NotWritable,
    Sex,
    Trait,
    catalogue_from,
    make_animal,
    read_animal,
    read_chance,
    write_animal,
)
from genetics.genes import writing

SAME = [
    ("66 het pied", "66% het pied"),
    ("66 pos het pied", "66% het pied"),
    ("66% ph clown", "66% het clown"),
    ("ph clown", "50% het clown"),
    ("poss. het clown", "50% het clown"),
    ("100 het clown", "het clown"),
    ("dh clown pied", "het clown het pied"),
    ("TH clown, pied, hypo", "het clown het pied het hypo"),
    ("quad het clown pied hypo albino", "het albino het clown het pied het hypo"),
    ("66% double het clown pied", "66% het clown 66% het pied"),
    ("hets: clown, pied", "het clown het pied"),
    ("het for clown and pied", "het clown het pied"),
    ("het clown/pied", "het clown het pied"),
    ("12,5% het clown", "12.5% het clown"),
    ("⅔ het pied", "66% het pied"),
    ("2/3 het pied", "66% het pied"),
    ("66.6 percent het pied", "66% het pied"),
    ("50 per cent het pied", "50% het pied"),
    ("Pastel/Enchi/het Clown", "pastel enchi het clown"),
    ("PASTEL + ENCHI", "pastel enchi"),
    ("pastel & enchi", "pastel enchi"),
    ("super-pastel", "super pastel"),
    ("pastel, super enchi - het ghost", "pastel super enchi het hypo"),
    ("bumblebee het hypo", "pastel spider het hypo"),
    ("yellow-belly", "yellow belly"),
    ("YB Pin", "pinstripe yellow belly"),
    ("tri stripe", "tri-stripe"),
    ("g-stripe", "genetic stripe"),
    ("coral glow", "banana"),
    ("classic", "normal"),
    ("possible yellow belly", "50% yellow belly"),
    ("50% pastel 66% het clown", "50% pastel 66% het clown"),
    ("lesser or butter", "50% butter 50% lesser"),
    ("homo pinstripe", "homozygous pinstripe"),
    ("killer clown", "super pastel clown"),
    ("banana [from the sire]", "banana (from sire)"),
    ("male maker banana", "banana (from sire)"),
    ("banana from dam", "banana (from dam)"),
    ("banana from its mother", "banana (from dam)"),
]


@pytest.mark.parametrize(("text", "same"), SAME)
def test_free_text_is_the_same_animal_as_its_plain_form(catalogue, text, same):
    animal = read_animal(text, catalogue, sex=Sex.MALE)
    assert animal == read_animal(same, catalogue, sex=Sex.MALE)
    assert read_animal(write_animal(animal, catalogue), catalogue, sex=Sex.MALE) == animal


NOTED = [
    ("pastel x enchi", "read as 'and'"),
    ("possible yellow belly", "counted as 50%"),
    ("yellow belly or asphalt", "equally likely"),
    ("ph clown", "counted as 50%"),
]


@pytest.mark.parametrize(("text", "note"), NOTED)
def test_what_was_assumed_is_noted(catalogue, text, note):
    assert note in read_animal(text, catalogue).notes[0]


WRONG = [
    ("2 het clown", NotationError, "2", 0),
    ("het dh clown", NotationError, "dh", 4),
    ("het het clown", NotationError, "het", 0),
    ("dh clown", NotationError, "dh", 0),
    ("clown or pied", ImpossibleAnimal, "pied", 9),
    ("pastel or super enchi", NotationError, "super", 10),
    ("het clown or pied", ImpossibleAnimal, "or", 10),
    ("pastel or enchi", ImpossibleAnimal, "enchi", 10),
    ("50% bumblebee", NotationError, "50%", 0),
    ("60% pastel 60% lesser 60% mojave", ImpossibleAnimal, "mojave", 26),
    ("50% lesser mojave", ImpossibleAnimal, "lesser", 4),
    ("female male pastel", ImpossibleAnimal, "male", 7),
    ("super bumblebee", ImpossibleAnimal, "super", 0),
    ("homozygous highway", ImpossibleAnimal, "homozygous", 0),
    ("het bumblebee", ImpossibleAnimal, "bumblebee", 4),
    ("banana from uncle", NotationError, "from", 7),
    ("super", NotationError, "super", 0),
    ("66%", NotationError, "", 0),
    ("pastel 66%", NotationError, "66%", 7),
]


@pytest.mark.parametrize(("text", "error", "word", "position"), WRONG)
def test_the_word_at_fault_is_named_with_its_place(catalogue, text, error, word, position):
    with pytest.raises(NotationError) as caught:
        read_animal(text, catalogue)
    assert (type(caught.value), caught.value.word, caught.value.position) == (error, word, position)
    assert caught.value.message.rstrip().endswith((".", "?"))


@pytest.mark.parametrize(("text", "sex"), [("female pastel", Sex.FEMALE), ("♂ pastel", Sex.MALE)])
def test_a_sex_in_words_counts(catalogue, text, sex):
    assert read_animal(text, catalogue) == read_animal("pastel", catalogue, sex=sex)


def test_two_sex_linked_genes_each_have_their_own_origin():
    genes = {"mode": "incomplete dominant", "source": "custom"}
    loci = [
        {"source": "custom", "sex_linked": True, "recombination": "0.1", "gene": [genes | {"name": name}]}
        for name in ("pearl", "amber")
    ]
    catalogue = catalogue_from({"locus": loci})
    text = "pearl (from sire) amber (75% from dam)"
    animal = read_animal(text, catalogue, sex=Sex.MALE)
    assert write_animal(animal, catalogue) == text
    tables = {factor.loci[0]: dict(factor.table) for factor in animal.belief}
    assert tables["pearl"] == {(("+", "pearl"),): 1}
    assert tables["amber"] == {(("amber", "+"),): Fraction(3, 4), (("+", "amber"),): Fraction(1, 4)}


@pytest.mark.parametrize(
    ("text", "chance"),
    [("66", "2/3"), ("¾", "3/4"), ("33,3 %", "1/3"), ("12.5 per cent", "1/8"), ("4 / 7", "4/7")],
)
def test_a_chance_in_any_spelling(text, chance):
    assert read_chance(text) == Fraction(chance)


def linked_series():
    """Two invented alleles on X and Y, the second carried unseen beneath the first and showing alone."""
    coat = {
        "alleles": {"pearl": "incomplete dominant", "amber": "incomplete dominant"},
        "looks": {"pearl/amber": "super pearl"},
        "sex_linked": True,
        "r": 0,
    }
    return catalogue_from({"loci": {"coat": coat}})


def test_a_gene_carried_beneath_another_is_het_there_and_nowhere_else():
    genes = linked_series()
    assert write_animal(read_animal("super pearl het amber", genes), genes) == "super pearl het amber"
    for text in ("het amber", "50% het amber", "super amber het pearl"):
        with pytest.raises(ImpossibleAnimal):
            read_animal(text, genes)


@pytest.mark.parametrize(
    ("text", "sex", "part"),
    [
        ("super pearl het amber from sire", Sex.MALE, "which of them is meant"),
        ("pearl female maker", Sex.FEMALE, "either X"),
        ("pearl male maker", Sex.FEMALE, "no Y"),
    ],
)
def test_where_a_gene_comes_from_must_make_sense(text, sex, part):
    with pytest.raises(ImpossibleAnimal, match=part):
        read_animal(text, linked_series(), sex=sex)


def test_two_genes_of_a_locus_that_may_each_have_two_copies_are_refused():
    coat = {"alleles": {"pearl": "dominant", "amber": "dominant"}}
    genes = catalogue_from({"loci": {"coat": coat}})
    with pytest.raises(ImpossibleAnimal, match="Only one gene of a locus"):
        read_animal("50% homozygous pearl 50% homozygous amber", genes)


def test_a_compound_without_a_name_is_written_by_its_genes():
    genes = [{"name": name, "mode": "recessive", "source": "custom"} for name in ("pearl", "amber")]
    pair = {"pair": ["pearl", "amber"], "hides": "pattern", "source": "custom"}
    catalogue = catalogue_from({"locus": [{"source": "custom", "gene": genes, "compound": [pair]}]})
    animal = read_animal("amber pearl", catalogue)
    assert write_animal(animal, catalogue) == "pearl amber"
    assert catalogue.loci[0].look(("amber", "pearl")).hides == "pattern"


def test_a_silent_gene_may_have_two_copies_with_a_chance():
    looks = {"mute/mute": "", "mute/+": ""}
    genes = catalogue_from({"loci": {"coat": {"alleles": ["mute"], "looks": looks}}})
    assert write_animal(read_animal("25% homozygous mute", genes), genes) == "25% homozygous mute"


def test_names_that_spell_a_third_are_parted_and_an_animal_without_a_way_back_is_refused(monkeypatch):
    loci = {name: {"alleles": {name: "dominant"}} for name in ("sand", "storm", "sand storm")}
    genes = catalogue_from({"loci": loci})
    animal = read_animal("sand, storm, sand storm", genes)
    assert write_animal(animal, genes) == "sand, storm, sand storm"
    monkeypatch.setattr(writing, "_reads_back", lambda *_: False)
    with pytest.raises(NotWritable, match="another animal"):
        write_animal(animal, genes)


def test_a_known_chromosome_of_a_look_of_two_alleles_has_no_words():
    genes = linked_series()
    for table in (
        {(("amber", "pearl"),): 1},
        {(("pearl", "amber"),): Fraction(1, 3), (("amber", "pearl"),): Fraction(2, 3)},
    ):
        with pytest.raises(NotWritable, match="which chromosome"):
            write_animal(make_animal(Sex.MALE, [(("coat",), table)]), genes)


def test_a_trait_has_a_chance_above_nothing():
    with pytest.raises(ValueError, match="above 0"):
        Trait("clown", "het", 0.0)


def test_where_a_gene_comes_from_waits_until_the_sex_is_known(catalogue):
    animal = read_animal("banana (from sire)", catalogue)
    assert animal == read_animal("banana", catalogue)
    assert "once the sex is known" in animal.notes[0]


def test_a_possible_het_with_its_origin_is_read_and_has_no_words_of_its_own():
    coat = {"alleles": {"pearl": "recessive"}, "sex_linked": True, "r": "0.1"}
    genes = catalogue_from({"loci": {"coat": coat}})
    animal = read_animal("50% het pearl (from sire)", genes, sex=Sex.MALE)
    half = Fraction(1, 2)
    assert dict(animal.belief[0].table) == {(("+", "pearl"),): half, (("+", "+"),): half}
    with pytest.raises(NotWritable, match="known chromosome"):
        write_animal(animal, genes)


def test_a_sex_linked_dominant_with_a_chance_of_two_copies_needs_both_chromosomes_told():
    coat = {"alleles": {"pearl": "dominant"}, "sex_linked": True, "r": "0.1"}
    genes = catalogue_from({"loci": {"coat": coat}})
    half = Fraction(1, 2)
    open_phase = {(("pearl", "pearl"),): half, (("pearl", "+"),): half / 2, (("+", "pearl"),): half / 2}
    animal = read_animal("50% homozygous pearl", genes, sex=Sex.MALE)
    assert animal == make_animal(Sex.MALE, [(("coat",), open_phase)])
    assert write_animal(animal, genes) == "50% homozygous pearl"
    lopsided = {(("pearl", "+"),): half, (("+", "pearl"),): half / 2, (("pearl", "pearl"),): half / 2}
    with pytest.raises(NotWritable):
        write_animal(make_animal(Sex.MALE, [(("coat",), lopsided)]), genes)


def test_two_genes_each_with_its_chromosome_known_have_no_words_when_neither_is_certain():
    either = {(("pearl", "+"),): Fraction(1, 2), (("+", "amber"),): Fraction(1, 2)}
    with pytest.raises(NotWritable, match="which chromosome"):
        write_animal(make_animal(Sex.MALE, [(("coat",), either)]), linked_series())
