from __future__ import annotations

from datetime import date, timedelta

import pytest

from dashboard.records import Conflict, NotStored, Unreadable
from econ.prices.observations import SupplyCount
from genetics import Sex, Trait


def test_a_price_is_given_back_with_its_traits_and_exact_chance(book, price):
    seen = price("pastel 66% het clown", minor=8550, channel="show", quantity=2, stage="grown", kind="sold")
    stored = book.add_observation(seen)
    (found,) = book.price_observations()
    assert found == stored
    assert found.model_copy(update={"id": None}) == seen
    assert Trait("clown", "het", 2 / 3) in found.traits


def test_a_price_in_the_future_is_refused(book, price):
    with pytest.raises(NotStored, match="future"):
        book.add_observation(price(on=book.today() + timedelta(days=1)))
    with pytest.raises(NotStored, match="future"):
        book.add_observations([price(), price(on=book.today() + timedelta(days=1))], "two")
    assert book.price_observations() == ()
    assert book.imports() == ()


def test_text_is_read_again_at_the_door(book, price):
    wrong = price().model_copy(update={"what": "pastle"})
    with pytest.raises(Unreadable):
        book.add_observation(wrong)
    other = price("pastel").model_copy(update={"what": "clown"})
    assert book.add_observation(other).traits == (Trait("clown", "visual"),)


def test_importing_twice_adds_nothing_and_new_rows_only_later(book, price):
    first = [price(minor=minor) for minor in (4000, 4100, 4100)]
    receipt = book.add_observations(first, "spring.csv")
    assert (receipt.added, receipt.duplicates) == (3, 0)
    version = book.data_version
    again = book.add_observations(first, "spring.csv")
    assert (again.import_id, again.added, again.duplicates) == (None, 0, 3)
    assert book.data_version == version
    more = book.add_observations([*first, price(minor=4100), price(minor=9900)], "summer.csv")
    assert (more.added, more.duplicates) == (2, 3)
    assert sorted(p.price_minor for p in book.price_observations()) == [4000, 4100, 4100, 4100, 9900]


def test_an_import_can_be_undone_long_after(book, price):
    keep = book.add_observation(price(minor=100))
    receipt = book.add_observations([price(minor=m) for m in (200, 300)], "spring.csv")
    late = book.add_observation(price(minor=400))
    imported = book.price_observations()[1]
    versions = book.price_versions()
    book.change_observation(imported.model_copy(update={"price_minor": 250}), versions[imported.id])
    assert book.undo_import(receipt.import_id) == 2
    assert book.price_observations() == (keep, late)
    assert book.imports()[0].undone_at is not None
    with pytest.raises(NotStored, match="already"):
        book.undo_import(receipt.import_id)
    assert (
        book.undo_last().sentence == "Entered a price of pastel"
    )  # the change of the row that went is closed
    assert book.price_observations() == (keep,)
    assert book.add_observations([price(minor=m) for m in (200, 300)], "spring.csv").added == 2


def test_changing_and_removing_need_the_version_that_was_seen(book, price):
    stored = book.add_observation(price())
    version = book.price_versions()[stored.id]
    changed = book.change_observation(stored.model_copy(update={"price_minor": 5000}), version)
    assert changed.price_minor == 5000
    with pytest.raises(Conflict) as refused:
        book.change_observation(stored.model_copy(update={"price_minor": 6000}), version)
    assert (refused.value.yours, refused.value.stored) == ({"price_minor": 6000}, {"price_minor": 5000})
    with pytest.raises(Conflict):
        book.remove_observation(stored.id, version)
    book.remove_observation(stored.id, book.price_versions()[stored.id])
    assert book.price_observations() == ()


def test_supply_counts_are_kept_and_checked(book):
    count = SupplyCount(on=date(2026, 1, 5), what="clown", traits=(), offered=0)
    stored = book.add_supply_count(count)
    assert stored.traits == (Trait("clown", "visual"),)
    assert book.supply_counts() == (stored,)
    receipt = book.add_supply_counts([count, count.model_copy(update={"offered": 7})], "counts.csv")
    assert (receipt.added, receipt.duplicates) == (1, 1)
    with pytest.raises(NotStored, match="future"):
        book.add_supply_count(count.model_copy(update={"on": book.today() + timedelta(days=1)}))


def test_one_bad_row_keeps_a_whole_import_out(book, price):
    rows = [price(minor=m) for m in range(100, 150)]
    rows[30] = rows[30].model_copy(update={"currency": "EUX"})
    with pytest.raises(Exception, match="currency"):
        book.add_observations(rows, "spring.csv")
    assert book.price_observations() == ()
    assert book.data_version == 0


def test_a_sex_is_kept_as_one_of_the_three_words(book, price):
    for sex in Sex:
        book.add_observation(price(sex=sex))
    assert [p.sex for p in book.price_observations()] == list(Sex)
