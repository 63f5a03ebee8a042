"""Clutches, weights, tests, others' young, rates, shows, spending: what is stored and what is refused."""

from __future__ import annotations

from datetime import date

import pytest

from dashboard.records import Conflict, HatchlingDraft, NotStored, Unreadable, open_book
from dashboard.records.kinds import (
    CLUTCHES,
    EXCHANGE_RATES,
    FURTHER_SIRES,
    GENE_TESTS,
    PIPELINE,
    ROW_KINDS,
    SHOWS,
    SPENDING,
    WEIGHTS,
)
from genetics import Sex


@pytest.fixture
def pairing(book, herd):
    basalt, tansy = herd
    return book.add_pairing(2026, basalt.id, tansy.id)


@pytest.fixture
def clutch(book, pairing):
    values = {"pairing_id": pairing.id, "laid_on": date(2026, 5, 2), "fertile": 6, "infertile": 1}
    return book.add_row(CLUTCHES, {**values, "hatched_on": date(2026, 7, 3), "hatched": 5})


def _good(book, herd):
    """One row that is allowed, for each table."""
    basalt, tansy = herd
    pairing = book.add_pairing(2026, basalt.id, tansy.id)
    other = book.add_animal("Flint", "normal", sex=Sex.MALE)
    day = date(2026, 6, 1)
    return {
        FURTHER_SIRES: {"pairing_id": pairing.id, "sire_id": other.id},
        CLUTCHES: {"pairing_id": pairing.id, "laid_on": day, "fertile": 6, "infertile": 0, "hatched": 6},
        WEIGHTS: {"animal_id": basalt.id, "on": day, "grams": 1210.5},
        GENE_TESTS: {"animal_id": tansy.id, "on": day, "gene": "clown", "result": "one copy"},
        PIPELINE: {"on": day, "what": "clown", "season": 2027, "young": 40, "within": 0.25},
        EXCHANGE_RATES: {"on": day, "currency": "usd", "rate": "0.9213"},
        SHOWS: {"name": "Autumn hall", "starts_on": date(2027, 9, 4), "table_minor": 9000, "going": True},
        SPENDING: {"on": day, "kind": "feeding", "what": "frozen mice", "amount_minor": 4250},
    }


@pytest.mark.parametrize("name", list(ROW_KINDS))
def test_a_row_is_entered_changed_removed_and_taken_back(book, herd, name):
    kind = ROW_KINDS[name]
    values = next(row for key, row in _good(book, herd).items() if key.name == name)
    start = book.data_version
    stored = book.add_row(kind, values)
    assert book.rows(kind) == (stored,)
    assert stored.version == start + 1
    if kind.key:
        with pytest.raises(NotStored, match="already"):
            book.add_row(kind, values)
    same = book.change_row(kind, stored.id, stored.version, {})
    with pytest.raises(Conflict):
        book.change_row(kind, stored.id, stored.version, {})
    book.remove_row(kind, same.id, same.version)
    assert book.rows(kind) == ()
    with pytest.raises(NotStored, match="has the number"):
        book.row(kind, same.id)
    for _ in range(3):
        book.undo_last()
    assert book.rows(kind) == ()
    assert book.add_row(kind, values).id > stored.id


@pytest.mark.parametrize("name", list(ROW_KINDS))
def test_rows_of_a_file_come_in_once_and_go_out_together(book, herd, name):
    kind = ROW_KINDS[name]
    values = next(row for key, row in _good(book, herd).items() if key.name == name)
    receipt = book.add_rows(kind, [values], "rows.csv")
    assert (receipt.added, receipt.duplicates) == (1, 0)
    again = book.add_rows(kind, [values], "rows.csv")
    assert (again.import_id, again.added, again.duplicates) == (None, 0, 1)
    assert book.undo_import(receipt.import_id) == 1
    assert book.rows(kind) == ()


@pytest.mark.parametrize(
    ("kind", "changed", "sentence"),
    [
        (CLUTCHES, {"hatched": 7}, "7 hatched, but only 6 eggs were fertile"),
        (CLUTCHES, {"hatched_on": date(2026, 5, 2)}, "not after it was laid"),
        (CLUTCHES, {"laid_on": date(2023, 5, 2)}, "of season 2026"),
        (CLUTCHES, {"laid_on": date(2027, 5, 2)}, "after today"),
        (CLUTCHES, {"fertile": 26}, "from 0 to 25"),
        (CLUTCHES, {"number": 0}, "from 1 to 9"),
        (CLUTCHES, {"pairing_id": 99}, "pairing of this clutch is not in the book"),
        (FURTHER_SIRES, {"sire_id": 1}, "the sire of this pairing already"),
        (FURTHER_SIRES, {"sire_id": 2}, "must be male"),
        (WEIGHTS, {"grams": 0}, "allowed: above 0"),
        (WEIGHTS, {"grams": 30_000}, "at most 20000 g"),
        (WEIGHTS, {"grams": "heavy"}, "a number of grams"),
        (WEIGHTS, {"on": date(2022, 1, 1)}, "hatched on 2023-07-19"),
        (WEIGHTS, {"on": None}, "Write 2025-04-30"),
        (WEIGHTS, {"animal_id": 77}, "not among the animals"),
        (GENE_TESTS, {"result": "perhaps"}, "allowed: no copy, one copy"),
        (GENE_TESTS, {"right_if_carried": 1.2}, "above 0 up to 1"),
        (GENE_TESTS, {"right_if_not": 0}, "above 0 up to 1"),
        (GENE_TESTS, {"gene": "clown pied"}, "one row for each gene"),
        (GENE_TESTS, {"fee_minor": -1}, "below zero"),
        (PIPELINE, {"young": -1}, "from 0 to"),
        (PIPELINE, {"within": 1.5}, "0 up to 1"),
        (PIPELINE, {"season": 27}, "from 1980 to 2100"),
        (EXCHANGE_RATES, {"currency": "EUR"}, "is the money of this book"),
        (EXCHANGE_RATES, {"currency": "XYZ"}, "ISO 4217"),
        (EXCHANGE_RATES, {"rate": "0"}, "above 0"),
        (EXCHANGE_RATES, {"rate": "1,08"}, "such as 1.0837"),
        (EXCHANGE_RATES, {"rate": "NaN"}, "above 0"),
        (SHOWS, {"days": 0}, "from 1 to 14"),
        (SHOWS, {"name": ""}, "is empty"),
        (SPENDING, {"kind": "fun"}, "allowed: animal, feeding"),
        (SPENDING, {"amount_minor": None}, "missing"),
        (SPENDING, {"animal_id": 77}, "not among the animals"),
    ],
)
def test_what_can_not_be_is_refused_with_what_is_allowed(book, herd, kind, changed, sentence):
    values = _good(book, herd)[kind]
    before = book.data_version
    with pytest.raises(NotStored, match=sentence):
        book.add_row(kind, {**values, **changed})
    assert book.data_version == before
    assert book.rows(kind) == ()


def test_a_gene_is_stored_by_its_catalogue_name_and_an_unknown_one_names_the_nearest(book, herd):
    values = _good(book, herd)[GENE_TESTS]
    assert book.add_row(GENE_TESTS, {**values, "gene": "het  CLOWN"}).gene == "clown"
    with pytest.raises(Unreadable) as refused:
        book.add_row(GENE_TESTS, {**values, "gene": "cloun"})
    assert "clown" in refused.value.nearest


def test_hatchlings_get_parents_day_and_a_name_from_their_clutch(book, herd, clutch):
    basalt, tansy = herd
    young = book.add_hatchlings(clutch.id, [HatchlingDraft("clown"), HatchlingDraft("normal", Sex.FEMALE)])
    assert [animal.name for animal in young] == ["Tansy 2026-1", "Tansy 2026-2"]
    assert {(a.sire_id, a.dam_id, a.hatched, a.clutch_id) for a in young} == {
        (basalt.id, tansy.id, date(2026, 7, 3), clutch.id)
    }
    assert {animal.version for animal in young} == {book.data_version}  # one edit
    more = book.add_hatchlings(clutch.id, [HatchlingDraft("clown", name="Fern")])
    assert book.hatchlings(clutch.id) == (*young, *more)
    book.undo_last()
    book.undo_last()
    assert book.hatchlings(clutch.id) == ()


def test_one_bad_hatchling_keeps_all_of_them_out(book, clutch):
    with pytest.raises(Unreadable):
        book.add_hatchlings(clutch.id, [HatchlingDraft("clown"), HatchlingDraft("cloun")])
    with pytest.raises(NotStored, match="1 to 25"):
        book.add_hatchlings(clutch.id, [])
    with pytest.raises(NotStored, match="not in the book"):
        book.add_hatchlings(99, [HatchlingDraft("clown")])
    assert book.hatchlings(clutch.id) == ()


def test_with_two_possible_sires_the_sire_stays_open_until_it_is_said(book, herd, pairing, clutch):
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE)
    alder = book.add_animal("Alder", "normal", sex=Sex.MALE)
    book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": flint.id})
    (young,) = book.add_hatchlings(clutch.id, [HatchlingDraft("normal")])
    assert young.sire_id is None
    known = book.change_animal(young.id, young.version, sire_id=flint.id)
    assert known.sire_id == flint.id
    with pytest.raises(NotStored, match="was not with the dam"):
        book.change_animal(young.id, known.version, sire_id=alder.id)


def test_what_others_rest_on_can_not_go(book, herd, pairing, clutch):
    _, tansy = herd
    book.add_hatchlings(clutch.id, [HatchlingDraft("normal")])
    with pytest.raises(NotStored, match="This clutch can't go: 1 animal needs it"):
        book.remove_row(CLUTCHES, clutch.id, clutch.version)
    with pytest.raises(NotStored, match="This pairing can't go: 1 clutch needs it"):
        book.remove_pairing(pairing.id, pairing.version)
    with pytest.raises(NotStored, match="Tansy can't go"):
        book.remove_animal(tansy.id, tansy.version)


def test_an_animal_goes_with_its_weights_and_tests_and_comes_back_with_them(book, herd):
    basalt, _ = herd
    book.add_row(WEIGHTS, {"animal_id": basalt.id, "on": date(2026, 1, 1), "grams": 900})
    book.add_row(
        GENE_TESTS, {"animal_id": basalt.id, "on": date(2026, 1, 1), "gene": "clown", "result": "two copies"}
    )
    book.remove_animal(basalt.id, basalt.version)
    assert (book.rows(WEIGHTS), book.rows(GENE_TESTS)) == ((), ())
    book.undo_last()
    assert len(book.rows(WEIGHTS)) == len(book.rows(GENE_TESTS)) == 1
    assert book.animal(basalt.id).name == "Basalt"


def test_sums_keep_their_own_currency(book):
    bought = book.add_animal("Larch", "normal", bought_minor=12500, bought_currency="usd")
    assert (bought.bought_minor, bought.bought_currency) == (12500, "USD")
    plain = book.add_animal("Alder", "normal", bought_minor=100)
    assert plain.bought_currency == "EUR"
    sold = book.change_animal(
        plain.id, plain.version, status="sold", sold_minor=20000, sold_on=date(2026, 9, 1), sold_where="show"
    )
    assert (sold.sold_minor, sold.sold_currency, sold.sold_where) == (20000, "EUR", "show")
    cleared = book.change_animal(sold.id, sold.version, sold_minor=None)
    assert cleared.sold_currency is None
    with pytest.raises(NotStored, match="ISO 4217"):
        book.change_animal(cleared.id, cleared.version, sold_minor=1, sold_currency="XXQ")
    with pytest.raises(NotStored, match="before it hatched"):
        book.add_animal("Fern", "normal", hatched=date(2026, 6, 1), sold_on=date(2026, 5, 1))


def test_dates_of_a_pairing(book, herd):
    basalt, tansy = herd
    pairing = book.add_pairing(2026, basalt.id, tansy.id)
    kept = book.change_pairing(
        pairing.id, pairing.version, introduced_on=date(2025, 11, 3), locked_on=date(2025, 12, 1)
    )
    assert (kept.introduced_on, kept.locked_on) == (date(2025, 11, 3), date(2025, 12, 1))
    for bad, sentence in (
        ({"locked_on": date(2025, 11, 1)}, "before they were put together"),
        ({"introduced_on": date(2024, 11, 1)}, "the eggs are of 2026"),
        ({"locked_on": date(2099, 1, 1)}, "after today"),
    ):
        with pytest.raises(NotStored, match=sentence):
            book.change_pairing(kept.id, kept.version, **bad)


def test_two_windows_on_one_row_of_a_plain_table(path, reader):
    with open_book(path, reader=reader) as one, open_book(path, reader=reader) as two:
        show = one.add_row(SHOWS, {"name": "Hall", "starts_on": date(2027, 5, 1)})
        two.change_row(SHOWS, show.id, show.version, {"place": "Northtown"})
        with pytest.raises(Conflict) as refused:
            one.change_row(SHOWS, show.id, show.version, {"place": "Southtown", "days": 2})
        assert refused.value.yours == {"place": "Southtown", "days": 2}
        assert refused.value.stored == {"place": "Northtown", "days": 1}
        assert one.row(SHOWS, show.id).place == "Northtown"
