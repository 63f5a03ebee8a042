"""What is missing is named with what it concerns and where it is mended; nothing else is."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.jobs.missing import KINDS, missing_answer
from dashboard.records import open_book, start_book
from dashboard.records.kinds import CLUTCHES, EXCHANGE_RATES, WEIGHTS
from econ.prices.observations import PriceObservation
from genetics import Sex
from tests.dashboard.jobs.small_book import small_book
from tests.econ.decisions.pairs_by_hand import TODAY


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "small.sqlite")
    yield made
    made.book.close()


@pytest.fixture
def bare(tmp_path):
    start_book(tmp_path / "bare.sqlite", currency="EUR", name="Bare", as_of=TODAY)
    with open_book(tmp_path / "bare.sqlite") as opened:
        yield opened


def found(book, catalogue, season=2027):
    return {item.kind: item for item in missing_answer(book, season, catalogue=catalogue).items}


def seen(book, what, minor=10_000, currency="EUR"):
    return PriceObservation(
        on=TODAY, what=what, traits=book.reader(what, Sex.UNSEXED), price_minor=minor, currency=currency
    )


def test_nothing_is_missing_in_a_book_that_is_not_begun(bare, catalogue):
    assert missing_answer(bare, catalogue=catalogue).items == ()


def test_a_book_with_animals_alone_lacks_prices_and_a_plan(bare, catalogue):
    bare.add_animal("Basalt", "pastel", sex=Sex.MALE)
    assert list(found(bare, catalogue)) == ["no price"]
    bare.add_animal("Tansy", "pastel", sex=Sex.FEMALE)
    assert list(found(bare, catalogue)) == ["no price", "no plan"]
    assert found(bare, catalogue, None)["no plan"].season == TODAY.year + 1


def test_a_look_of_a_planned_pairing_without_any_price_is_named_the_commonest_first(bare, catalogue):
    sire = bare.add_animal("Basalt", "clown", sex=Sex.MALE)
    dam = bare.add_animal("Tansy", "pastel het clown", sex=Sex.FEMALE)
    bare.add_observation(seen(bare, "clown"))
    pairing = bare.add_pairing(2027, sire.id, dam.id)
    # one quarter each of clown, pastel clown, het clown and pastel het clown; only clown shows in a price
    item = found(bare, catalogue)["look without price"]
    assert item.names == ("het clown", "pastel het clown")
    assert item.place == "book?table=prices&what=het%20clown"
    bare.add_observation(seen(bare, "pastel"))
    assert found(bare, catalogue)["look without price"].names == ("het clown",)
    bare.change_pairing(pairing.id, pairing.version, planned=False)
    assert "look without price" not in found(bare, catalogue)


def test_prices_in_a_currency_without_a_rate_are_counted_until_the_rate_is_there(bare, catalogue):
    bare.add_observations([seen(bare, "clown", n, "USD") for n in (100, 200, 300)], "prices")
    item = found(bare, catalogue)["no rate"]
    assert (item.names, item.count, item.place) == (("USD",), 3, "book?table=exchange%20rates&currency=USD")
    bare.add_row(EXCHANGE_RATES, {"on": TODAY, "currency": "USD", "rate": "0.9"})
    assert found(bare, catalogue) == {}


@pytest.mark.parametrize("status", ["sold", "died"])
def test_a_planned_pairing_with_an_animal_that_is_gone_is_named(small, catalogue, status):
    basalt = small.animals["Basalt"]
    small.book.change_animal(basalt.id, basalt.version, status=status)
    items = [
        i for i in missing_answer(small.book, 2027, catalogue=catalogue).items if i.kind == "gone in plan"
    ]
    assert [item.names for item in items] == [
        ("Basalt", status, "Basalt × Tansy", "Basalt × Marl"),
    ]
    assert items[0].animals == {basalt.id}


def test_a_female_planned_twice_and_one_left_out_are_told_apart(small, catalogue):
    assert "dam twice" not in found(small.book, catalogue)
    flint = small.pairings["Flint × Marl"]
    small.book.change_pairing(flint.id, flint.version, planned=True)
    item = found(small.book, catalogue)["dam twice"]
    assert (item.names, item.count) == (("Marl",), 2)


def test_an_animal_that_can_t_be_read_weighs_more_where_it_is_planned(small, catalogue):
    small.write_past_the_book("Tansy", text="pastle")
    assert found(small.book, catalogue)["unread in plan"].names == ("Tansy",)
    small.write_past_the_book("Tansy", text="het clown")
    small.write_past_the_book("Flint", text="pastle")
    kinds = found(small.book, catalogue)
    assert kinds["unread"].names == ("Flint",)
    assert "unread in plan" not in kinds


def test_a_clutch_that_hatched_without_hatchlings_and_a_sale_without_a_price(small, catalogue):
    pairing = small.pair("Basalt", "Tansy", season=2026)
    clutch = small.book.add_row(CLUTCHES, {"pairing_id": pairing.id, "hatched": 6})
    assert found(small.book, catalogue)["clutch without young"].names == ("2026 Basalt × Tansy",)
    assert found(small.book, catalogue)["clutch without young"].count == 6
    young = small.book.add_animal("One", "clown", clutch_id=clutch.id, status="sold")
    kinds = found(small.book, catalogue)
    assert "clutch without young" not in kinds
    assert kinds["sold without price"].names == ("One",)
    small.book.change_animal(young.id, young.version, sold_minor=25_000)
    assert "sold without price" not in found(small.book, catalogue)


def test_facts_are_asked_of_the_animals_in_the_plan_alone(small, catalogue):
    kinds = found(small.book, catalogue)
    # Flint stands only in a pairing that was left out
    assert set(kinds["no hatching day"].names) == {"Basalt", "Tansy", "Marl", "Cobble", "Sedge"}
    assert set(kinds["no purchase"].names) == set(kinds["no hatching day"].names)
    assert set(kinds["no weight"].names) == {"Tansy", "Marl", "Sedge"}
    tansy = small.animals["Tansy"]
    small.book.change_animal(
        tansy.id, tansy.version, bought_minor=30_000, bought_currency="USD", hatched=date(2022, 5, 1)
    )
    small.book.add_row(WEIGHTS, {"animal_id": tansy.id, "on": TODAY, "grams": 1600})
    kinds = found(small.book, catalogue)
    assert kinds["purchase without rate"].names == ("Tansy",)
    assert all("Tansy" not in kinds[kind].names for kind in ("no purchase", "no hatching day", "no weight"))


def test_what_changes_most_stands_first_and_a_page_can_take_its_part(small, catalogue):
    small.write_past_the_book("Tansy", text="pastle")
    answer = missing_answer(small.book, 2027, catalogue=catalogue)
    places = [KINDS.index(item.kind) for item in answer.items]
    assert places == sorted(places)
    assert [item.kind for item in answer.of("no weight", "no purchase").items] == ["no purchase", "no weight"]
    assert small.animals["Tansy"].id in answer.animals
    assert small.animals["Flint"].id not in answer.animals
