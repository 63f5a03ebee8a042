from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genetics import (
    BadBelief,
    ImpossibleAnimal,
    NotationError,
    NotWritable,
    Sex,
    Trait,
    catalogue_from,
    make_animal,
    read_animal,
    traits_of,
    with_sex,
    write_animal,
)
from tests.genetics.cases import sex_linked
from tests.genetics.strategies import animals

WRITTEN = [
    ("pastel enchi het clown", "pastel enchi het clown"),
    ("het clown enchi pastel", "pastel enchi het clown"),
    ("66% het pied", "66% het pied"),
    ("67% Het Piebald", "66% het pied"),
    ("50% possible het clown", "50% het clown"),
    ("pos het clown", "50% het clown"),
    ("100% het clown", "het clown"),
    ("double het clown pied", "het clown het pied"),
    ("het clown pied", "het clown het pied"),
    ("het clown, pied pastel", "pastel het clown het pied"),
    ("66% het clown 50% het pied", "66% het clown 50% het pied"),
    ("visual clown", "clown"),
    ("het pied visual clown", "clown het pied"),
    ("super pastel", "super pastel"),
    ("normal", "normal"),
    ("wild type", "normal"),
    ("Wild-Type het clown", "het clown"),
    ("banana (from sire)", "banana (from sire)"),
    ("banana (from dam)", "banana (from dam)"),
    ("male maker coral glow", "banana (from sire)"),
    ("banana female maker", "banana (from dam)"),
    ("banana (75% from sire)", "banana (75% from sire)"),
    ("super banana", "super banana"),
    ("mojave lesser", "mojave lesser"),
    ("ivory", "super yellow belly"),
    ("candino", "candino"),
    ("albino candy", "candino"),
    ("killer bee", "super pastel spider"),
    ("snow", "albino axanthic"),
    ("yellowbelly", "yellow belly"),
    ("homozygous pinstripe", "homozygous pinstripe"),
    ("33% homozygous pinstripe", "33% homozygous pinstripe"),
    ("homozygous clown", "clown"),
    ("12.5% het clown", "12.5% het clown"),
    ("4/7 het clown", "4/7 het clown"),
    ("50% het albino 25% het candy", "50% het albino 25% het candy"),
    ("hypo desert", "desert hypo"),
]


@pytest.mark.parametrize(("text", "again"), WRITTEN)
def test_reads_what_breeders_write_and_writes_it_back(catalogue, text, again):
    animal = read_animal(text, catalogue, sex=Sex.MALE)
    assert write_animal(animal, catalogue) == again
    assert read_animal(again, catalogue, sex=Sex.MALE) == animal


WRONG = [
    ("klown", NotationError, "klown", 0, "clown"),
    ("pastel hte clown", NotationError, "hte", 7, None),
    ("het klown", NotationError, "klown", 4, "clown"),
    ("mojave lesser butter", ImpossibleAnimal, "butter", 14, None),
    ("super mojave lesser", ImpossibleAnimal, "lesser", 13, None),
    ("clown het cryptic", ImpossibleAnimal, "cryptic", 10, None),
    ("super clown", ImpossibleAnimal, "super", 0, None),
    ("super pinstripe", ImpossibleAnimal, "super", 0, None),
    ("super candino", ImpossibleAnimal, "super", 0, None),
    ("het pastel", ImpossibleAnimal, "pastel", 4, None),
    ("het candino", ImpossibleAnimal, "candino", 4, None),
    ("66% het pinstripe", ImpossibleAnimal, "pinstripe", 8, None),
    ("clown het clown", ImpossibleAnimal, "clown", 10, None),
    ("pastel pastel", ImpossibleAnimal, "pastel", 7, None),
    ("het albino het candy", ImpossibleAnimal, "candy", 15, None),
    ("albino 50% het candy", ImpossibleAnimal, "candy", 15, None),
    ("66% het albino 66% het candy", ImpossibleAnimal, "candy", 23, None),
    ("normal pastel", ImpossibleAnimal, "normal", 0, None),
    ("pastel (from sire)", ImpossibleAnimal, "from", 8, None),
    ("super banana from sire", ImpossibleAnimal, "from", 13, None),
    ("banana from sire from dam", ImpossibleAnimal, "from", 17, None),
    ("triple het clown pied", NotationError, "het", 7, None),
    ("66% clown", NotationError, "66%", 0, None),
    ("possible clown", NotationError, "possible", 0, None),
    ("0% het clown", NotationError, "0%", 0, None),
    ("150% het clown", NotationError, "150%", 0, None),
    ("1/0 het clown", NotationError, "1/0", 0, None),
    ("50% homozygous pastel", ImpossibleAnimal, "homozygous", 4, None),
    ("het", NotationError, "het", 0, None),
    ("pastel super", NotationError, "super", 7, None),
    ("blue-eyed leucistic", NotationError, "blue-eyed leucistic", 0, "super mojave"),
    ("", NotationError, "", 0, None),
    ("  ,", NotationError, "", 0, None),
]


@pytest.mark.parametrize(("text", "error", "word", "position", "nearest"), WRONG)
def test_says_which_word_is_wrong_where_and_what_is_near(catalogue, text, error, word, position, nearest):
    with pytest.raises(NotationError) as caught:
        read_animal(text, catalogue, sex=Sex.MALE)
    fault = caught.value
    assert type(fault) is error
    assert (fault.word, fault.position) == (word, position)
    assert text[position:].lower().startswith(word.lower())
    assert fault.message.endswith((".", "?"))
    if nearest:
        assert fault.nearest[0] == nearest


@pytest.mark.parametrize("text", ["banana male maker", "male maker banana"])
def test_a_female_has_no_allele_on_the_y(catalogue, text):
    with pytest.raises(ImpossibleAnimal, match="no Y"):
        read_animal(text, catalogue, sex=Sex.FEMALE)


def test_an_unknown_phase_is_a_mixture_over_both_chromosomes(catalogue):
    (factor,) = read_animal("banana", catalogue, sex=Sex.MALE).belief
    half = Fraction(1, 2)
    assert dict(factor.table) == {(("+", "banana"),): half, (("banana", "+"),): half}
    (factor,) = read_animal("banana (from sire)", catalogue, sex=Sex.MALE).belief
    assert factor.table == (((("+", "banana"),), 1),)
    (factor,) = read_animal("banana", catalogue, sex=Sex.FEMALE).belief
    assert factor.table == (((("banana", "+"),), 1),)


def test_possible_het_without_a_number_is_noted(catalogue):
    animal = read_animal("possible het clown", catalogue)
    assert "50%" in animal.notes[0]
    assert read_animal("50% het clown", catalogue).notes == ()


def test_traits_carry_their_chance_and_a_normal_animal_has_none(catalogue):
    animal = read_animal("super pastel mojave 66% het pied het clown", catalogue)
    assert traits_of(animal, catalogue) == (
        Trait("clown", "het"),
        Trait("mojave", "visual"),
        Trait("pastel", "super"),
        Trait("pied", "het", 2 / 3),
    )
    assert [str(trait) for trait in animal.traits(catalogue)][-1] == "66% het pied"
    assert traits_of(read_animal("normal", catalogue), catalogue) == ()
    assert traits_of(read_animal("highway", catalogue), catalogue) == (Trait("highway", "visual"),)


def test_two_names_that_would_spell_a_third_are_parted_by_a_comma():
    tables = {
        "locus": [
            {"source": "custom", "gene": [{"name": name, "mode": "dominant", "source": "custom"}]}
            for name in ("sand", "storm", "sand storm")
        ]
    }
    catalogue = catalogue_from(tables)
    animal = read_animal("sand, storm", catalogue)
    assert len(animal.belief) == 2
    assert write_animal(animal, catalogue) == "sand, storm"
    assert read_animal("sand storm", catalogue).belief[0].loci == ("sand storm",)


def test_a_belief_that_ties_two_loci_has_no_words(catalogue):
    half = Fraction(1, 2)
    both = {(("clown", "+"), ("pied", "+")): half, (("+", "+"), ("+", "+")): half}
    animal = make_animal(Sex.FEMALE, [(("clown complex", "pied"), both)])
    with pytest.raises(NotWritable, match="depends on each other"):
        write_animal(animal, catalogue)


@pytest.mark.parametrize(
    ("loci", "table"),
    [
        (
            ("blue-eyed leucistic complex",),
            {(("mojave", "lesser"),): Fraction(1, 2), (("lesser", "+"),): Fraction(1, 2)},
        ),
        (("banana",), {(("banana", "+"),): Fraction(1, 2), (("+", "+"),): Fraction(1, 2)}),
        (("clown complex",), {(("clown", "clown"),): Fraction(1, 2), (("clown", "+"),): Fraction(1, 2)}),
    ],
)
def test_beliefs_without_words_are_refused(catalogue, loci, table):
    with pytest.raises(NotWritable):
        write_animal(make_animal(Sex.MALE, [(loci, table)]), catalogue)


@pytest.mark.parametrize(
    "factors",
    [
        [(("pied",), {(("pied", "+"),): Fraction(1, 2)})],
        [(("pied",), {(("pied", "+"),): Fraction(1)}), (("pied",), {(("pied", "pied"),): Fraction(1)})],
    ],
)
def test_beliefs_that_do_not_add_up_are_refused(factors):
    with pytest.raises(BadBelief):
        make_animal(Sex.MALE, factors)


def test_the_sex_of_an_animal_does_not_change(catalogue):
    female = read_animal("banana", catalogue, sex=Sex.FEMALE)
    assert with_sex(female, Sex.FEMALE, catalogue) is female
    with pytest.raises(BadBelief, match="female"):
        with_sex(female, Sex.MALE, catalogue)
    grown = with_sex(read_animal("banana 66% het pied", catalogue), Sex.MALE, catalogue)
    assert grown == read_animal("banana 66% het pied", catalogue, sex=Sex.MALE)
    assert not grown.certain
    assert female.certain


def test_sex_linked_possible_het_is_read_and_written():
    catalogue = sex_linked("pearl", mode="recessive")
    for text in ("het pearl", "66% het pearl", "het pearl (from sire)"):
        animal = read_animal(text, catalogue, sex=Sex.MALE)
        assert write_animal(animal, catalogue) == text


@settings(max_examples=300, deadline=None)
@given(animals(), st.randoms(use_true_random=False))
def test_reading_what_was_written_gives_the_same_animal(animal, random):
    catalogue, written = animal
    text = write_animal(written, catalogue)
    assert read_animal(text, catalogue, sex=written.sex) == written
    shouted = "".join(letter.upper() if random.random() < 0.5 else letter for letter in text)
    assert read_animal(shouted, catalogue, sex=written.sex) == written
