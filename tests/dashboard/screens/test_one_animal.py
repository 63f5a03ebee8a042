"""One animal: its sale, its parents, its weights and tests are kept one edit each, never over another's."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.records.kinds import CLUTCHES, GENE_TESTS, WEIGHTS
from genetics import Sex


@pytest.fixture
def family(book):
    sire = book.add_animal("Basalt", "clown", sex=Sex.MALE, hatched=date(2021, 7, 1))
    dam = book.add_animal("Tansy", "het clown", sex=Sex.FEMALE, hatched=date(2021, 7, 1))
    return sire, dam, book.add_animal("Clover", "clown", sex=Sex.FEMALE, hatched=date(2025, 8, 1))


@pytest.fixture
def shown(family, screen):
    return screen("animals", id=str(family[2].id))


def pick(shown, end, name):
    box = next(box for box in shown.app.selectbox if str(box.key).endswith(f"-{end}"))
    box.set_value(name)
    return shown


def test_parents_are_chosen_among_the_animals_and_drawn(family, book, shown):
    sire, dam, clover = family
    assert "The parents of Clover are not known" in shown.tables.words("pedigree")
    pick(shown, "sire_id", sire.id)
    pick(shown, "dam_id", dam.id)
    shown.press("Save changes")
    stored = book.animal(clover.id)
    assert (stored.sire_id, stored.dam_id) == (sire.id, dam.id)
    assert "Clover is from Basalt × Tansy" in shown.tables.words("pedigree")
    assert shown.tables.targets("pedigree") == [f"animals?id={sire.id}", f"animals?id={dam.id}"]


def test_parents_of_young_are_shown_from_the_other_side(family, book, screen):
    sire, dam, clover = family
    book.change_animal(clover.id, clover.version, sire_id=sire.id, dam_id=dam.id)
    words = screen("animals", id=str(sire.id)).tables.words("young")
    assert words == "One young of Basalt is in the book with Tansy Clover"


def test_a_shared_forebear_and_the_coefficient_are_said(family, book, screen):
    sire, dam, clover = family
    book.change_animal(clover.id, clover.version, sire_id=sire.id, dam_id=dam.id)
    young = book.add_animal("Young", "clown", sire_id=sire.id, dam_id=clover.id)
    words = screen("animals", id=str(young.id)).tables.words("pedigree")
    assert "Basalt stands on both sides." in words
    # sire and daughter: (1/2)^2 by the path formula of Wright S (1922)
    assert "Inbreeding coefficient 25.0 %" in words
    assert "here twice · clown" in words


def test_a_clutch_gives_its_animal_parents_and_day(family, book, screen):
    sire, dam, _ = family
    pairing = book.add_pairing(2026, sire.id, dam.id)
    clutch = book.add_row(CLUTCHES, {"pairing_id": pairing.id, "hatched_on": date(2026, 8, 9)})
    young = book.add_animal("Young", "clown")
    shown = pick(screen("animals", id=str(young.id)), "clutch_id", clutch.id).press("Save changes")
    stored = book.animal(young.id)
    assert (stored.sire_id, stored.dam_id, stored.hatched) == (sire.id, dam.id, date(2026, 8, 9))
    assert "It hatched from clutch 2026 Basalt × Tansy ." in shown.tables.words("one_lead")


def test_a_sale_is_asked_for_and_stored_as_one_edit(family, book, shown):
    clover = family[2]
    version = book.data_version
    shown.press("Mark as sold")
    assert book.data_version == version
    shown.fill(sold="450 USD", sold_on="2026-09-12", sold_where="a show").press("Save the sale")
    stored = book.animal(clover.id)
    assert (stored.status, stored.sold_minor, stored.sold_currency, stored.sold_on, stored.sold_where) == (
        "sold", 45_000, "USD", date(2026, 9, 12), "a show",
    )  # fmt: skip
    assert book.data_version == version + 1
    assert "It was sold for 450 USD on 2026-09-12, a show." in shown.tables.words("one_lead")
    shown.use("undo_line", "undo")
    assert book.animal(clover.id).status == "growing"


def test_a_sale_that_is_not_to_be_is_no_edit(family, book, shown):
    version = book.data_version
    shown.press("Mark as sold").press("Not now")
    assert "sale_head" not in shown.tables.drawn
    assert book.data_version == version


def test_a_status_of_sold_asks_for_the_price_it_lacks(family, book, shown):
    pick(shown, "status", "sold").press("Save changes")
    assert book.animal(family[2].id).status == "sold"
    assert "Clover is sold" in shown.tables.words("sale_head")


def test_a_sum_that_can_t_be_read_names_its_field(family, book, shown):
    version = book.data_version
    shown.fill(asked="cheap").press("Save changes")
    assert shown.tables.words("refused-one_animal").startswith("Asked for: This is no amount.")
    assert book.data_version == version


def test_a_purchase_in_another_currency_is_kept_as_it_was_paid(family, book, shown):
    shown.fill(bought="540 USD").press("Save changes")
    stored = book.animal(family[2].id)
    assert (stored.bought_minor, stored.bought_currency) == (54_000, "USD")
    assert [f.value for f in shown.app.text_input if str(f.key).endswith("-bought")] == ["540 USD"]


def weigh(shown, grams, on):
    form = [f for f in shown.app.text_input if str(f.key).startswith("weight-")]
    {str(f.key).rsplit("-", 1)[1]: f for f in form}["grams"].set_value(grams)
    {str(f.key).rsplit("-", 1)[1]: f for f in form}["on"].set_value(on)
    return shown


def test_weights_are_added_changed_and_removed_one_edit_each(family, book, shown):
    clover = family[2]
    weigh(shown, "1.2 kg", "2026-03-01").press("Add a weight")
    weigh(shown, "1350", "2026-09-01").press("Add a weight")
    assert "1 350 g on 1 September 2026, 150 g more than on 1 March 2026" in shown.tables.words("weights")
    newest = next(row for row in book.rows(WEIGHTS) if row.grams == 1350)
    shown.use("weights", f"change:{newest.id}:{newest.version}")
    weigh(shown, "1340", "2026-09-01").press("Save this weight")
    assert book.row(WEIGHTS, newest.id).grams == 1340
    newest = book.row(WEIGHTS, newest.id)
    shown.use("weights", f"remove:{newest.id}:{newest.version}")
    assert [(row.animal_id, row.grams) for row in book.rows(WEIGHTS)] == [(clover.id, 1200)]
    shown.use("undo_line", "undo")
    assert len(book.rows(WEIGHTS)) == 2


@pytest.mark.parametrize(
    ("grams", "on", "why"),
    [
        ("heavy", "2026-03-01", "no weight"),
        ("1200", "2024-01-01", "hatched on 2025-08-01"),
        ("99999", "2026-03-01", "at most 20000 g"),
    ],
)
def test_a_weight_that_can_t_be_is_refused_and_stays_typed(family, book, shown, grams, on, why):
    weigh(shown, grams, on).press("Add a weight")
    assert why in shown.tables.words("refused-weights")
    assert book.rows(WEIGHTS) == ()
    assert grams in [f.value for f in shown.app.text_input]


@pytest.mark.parametrize(
    ("button", "kept"), [("Save mine all the same", 1300), ("Keep what the book holds", 1250)]
)
def test_a_weight_another_window_changed_is_not_overwritten(family, book, shown, button, kept):
    weigh(shown, "1200", "2026-03-01").press("Add a weight")
    (stored,) = book.rows(WEIGHTS)
    shown.use("weights", f"change:{stored.id}:{stored.version}")
    book.change_row(WEIGHTS, stored.id, stored.version, {"grams": 1250})
    weigh(shown, "1300", "2026-03-01").press("Save this weight")
    assert book.row(WEIGHTS, stored.id).grams == 1250
    words = shown.tables.words("clash-table-weights")
    assert "1300" in words
    assert "1250" in words
    shown.press(button)
    assert book.row(WEIGHTS, stored.id).grams == kept
    assert "clash-weights" not in shown.tables.drawn


def test_a_gene_test_is_kept_with_how_right_it_is_and_its_fee(family, book, shown):
    shown.fill(gene="pied", right_if_carried="98", right_if_not="99 %", fee="45", said="shed skin")
    pick(shown, "result", "one copy").press("Add a test")
    (test,) = book.rows(GENE_TESTS)
    assert (test.animal_id, test.gene, test.result, test.fee_minor, test.currency, test.note) == (
        family[2].id, "pied", "one copy", 4500, "EUR", "shed skin",
    )  # fmt: skip
    assert (test.right_if_carried, test.right_if_not) == (pytest.approx(0.98), pytest.approx(0.99))
    words = shown.tables.words("gene tests")
    assert "pied: one copy" in words
    assert "finds 98 % of carriers · clears 99 % of others · fee 45 EUR · shed skin" in words


def test_a_test_of_no_known_gene_is_refused(family, book, shown):
    shown.fill(gene="pastle").press("Add a test")
    assert "pastle" in shown.tables.words("refused-gene tests")
    assert book.rows(GENE_TESTS) == ()
