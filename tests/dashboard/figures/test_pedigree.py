"""The picture of forebears: every name with its link, in its place, and readable as a list."""

from __future__ import annotations

import re

import pytest

from dashboard.figures.pedigree import NOT_KNOWN, Forebear, pedigree_picture, role_of
from tests.dashboard.figures.reading import having, labels, tree, words

SIRE = Forebear("Basalt & <b>", "animals?id=2", "pastel", "here twice")


def drawn(places):
    html = pedigree_picture(Forebear("Clover", "", "clown"), places, message="Pedigree of Clover")
    return tree(re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL))


@pytest.fixture
def picture():
    return drawn({2: SIRE, 3: None, 4: Forebear("Old", "animals?id=4", "normal"), 5: None})


def test_every_known_forebear_is_a_link_and_the_animal_itself_is_none(picture):
    links = {words(a): a.get("data-go") for a in picture.iter("a")}
    assert links == {"Basalt & <b>": "animals?id=2", "Old": "animals?id=4"}


def test_those_who_do_not_see_it_hear_the_message_and_a_list_in_steps(picture):
    assert labels(picture) == ["Pedigree of Clover"]
    lists = [part for part in picture.iter("ul") if part.get("role") == "list"]
    assert len(lists) == 3
    told = [words(who) for who in having(picture, "who")]
    assert told == [
        "Cloverclown", "sireBasalt & <b>here twice · pastel", "sire of the sireOldnormal",
        f"dam of the sire{NOT_KNOWN}", f"dam{NOT_KNOWN}",
    ]  # fmt: skip


def test_places_stand_in_the_middle_of_their_share(picture):
    tops = [re.search(r"top:([\d.]+)%", who.get("style", ""))[1] for who in having(picture, "who")]
    # by hand: 1 of 1, 1 of 2, 1 and 2 of 4, 2 of 2
    assert [float(top) for top in tops] == [50, 25, 12.5, 37.5, 75]


def test_each_animal_with_parents_is_joined_to_them(picture):
    assert sum(1 for _ in picture.iter("line")) == 2 * 4  # upright, own, and one to each of two parents


@pytest.mark.parametrize(
    ("place", "role"),
    [
        (2, "sire"),
        (3, "dam"),
        (4, "sire of the sire"),
        (5, "dam of the sire"),
        (14, "sire of the dam of the dam"),
    ],
)
def test_a_place_is_named_by_its_way(place, role):
    assert role_of(place) == role
