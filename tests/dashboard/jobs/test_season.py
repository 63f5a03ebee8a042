"""Season: the plan adds up, refusals stay with their pairing, floods count the plan's young once."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest

from dashboard.jobs.market import supplies_of
from dashboard.jobs.season import females_with, next_season, season_answer, young_by_lead
from dashboard.records import PairingRecord, demo_book
from econ.assumptions import Assumptions
from econ.costs import male_year, shared_costs
from genetics import Sex
from tests.dashboard.jobs.small_book import bare_book, count_clowns, small_book


@pytest.fixture
def small(tmp_path):
    made = small_book(tmp_path / "book.sqlite")
    yield made
    made.book.close()


def rows_of(answer):
    return {row.name: row for row in answer.rows}


@pytest.fixture(params=["small", "demo"])
def any_book(request, tmp_path):
    if request.param == "small":
        book = small_book(tmp_path / "book.sqlite").book
    else:
        book = demo_book(tmp_path / "demo.sqlite")
    with book:
        yield book


def test_the_total_is_the_sum_of_the_plan_less_the_shared_costs(any_book, catalogue):
    answer = season_answer(any_book, catalogue=catalogue)
    shared = shared_costs(Assumptions(any_book.assumptions())).total
    margins = [row.valued.budget.margin for row in answer.planned]
    assert len(margins) >= 3
    assert answer.outcome.pairings_mean == pytest.approx(math.fsum(margins))
    assert answer.outcome.mean == pytest.approx(math.fsum(margins) - shared)
    draws = np.sum([row.valued.outcomes.draws for row in answer.planned], axis=0) - shared
    np.testing.assert_allclose(answer.outcome.draws, draws)
    sd = draws.std() / np.sqrt(draws.size)
    assert answer.outcome.draws.mean() == pytest.approx(answer.outcome.mean, abs=4.5 * sd)
    valued = [row.valued.budget.margin for row in answer.rows if row.valued is not None]
    assert valued == sorted(valued, reverse=True)


def test_a_pairing_left_out_is_valued_but_not_in_the_total(small, catalogue):
    answer = season_answer(small.book, catalogue=catalogue)
    left_out = rows_of(answer)["Flint × Marl"]
    assert left_out.valued is not None
    assert left_out not in answer.planned
    assert len(answer.planned) == 3
    record = small.pairings["Flint × Marl"]
    small.book.change_pairing(record.id, record.version, planned=True)
    after = season_answer(small.book, catalogue=catalogue)
    added = rows_of(after)["Flint × Marl"].valued.budget.margin
    assert after.outcome.pairings_mean == pytest.approx(answer.outcome.pairings_mean + added)


def test_the_females_of_a_male_pay_his_year_once_between_them(small, catalogue):
    rows = rows_of(season_answer(small.book, catalogue=catalogue))
    figures = Assumptions(small.book.assumptions())
    spent = 0.0
    for name in ("Basalt × Tansy", "Basalt × Marl"):
        lines = [*rows[name].valued.budget.variable, *rows[name].valued.budget.fixed]
        spent += sum(part.amount for line in lines for part in line.parts if part.id.startswith("male."))
    assert spent == pytest.approx(male_year(assumptions=figures).total)


def test_a_pairing_left_out_counts_its_own_dam_among_the_females():
    def pairing(id_: int, sire: int, dam: int, *, planned: bool) -> PairingRecord:
        return PairingRecord(id=id_, version=1, season=2027, sire_id=sire, dam_id=dam, planned=planned)

    pairings = [
        pairing(1, 1, 10, planned=True),
        pairing(2, 1, 11, planned=True),
        pairing(3, 1, 12, planned=False),
        pairing(4, 2, 10, planned=False),
    ]
    assert females_with(pairings, 1, 10) == 2
    assert females_with(pairings, 1, 12) == 3
    assert females_with(pairings, 2, 10) == 1
    assert females_with([], 2, 10) == 1


def test_an_animal_that_cannot_be_read_takes_only_its_own_pairing_out(small, catalogue):
    before = season_answer(small.book, catalogue=catalogue)
    small.write_past_the_book("Tansy", text="het clwn")
    answer = season_answer(small.book, catalogue=catalogue)
    row = rows_of(answer)["Basalt × Tansy"]
    assert row.valued is None
    assert row.flood is None
    assert "clwn" in row.fault
    assert "clown" in row.fault
    assert answer.rows[-1] is row
    lost = rows_of(before)["Basalt × Tansy"].valued.budget.margin
    assert answer.outcome.pairings_mean == pytest.approx(before.outcome.pairings_mean - lost)


def test_two_males_take_only_their_own_pairing_out(small, catalogue):
    small.write_past_the_book("Sedge", sex="male")
    rows = rows_of(season_answer(small.book, catalogue=catalogue))
    assert "male" in rows["Cobble × Sedge"].fault
    assert all(not row.fault for name, row in rows.items() if name != "Cobble × Sedge")


def test_a_clutch_size_that_cannot_be_takes_only_its_own_pairing_out(small, catalogue):
    record = small.pairings["Cobble × Sedge"]
    small.book.set_pairing_assumption(record.id, "clutch.eggs_mean", 2.0)
    small.book.set_pairing_assumption(record.id, "clutch.eggs_sd", 4.0)
    rows = rows_of(season_answer(small.book, catalogue=catalogue))
    assert "spread of 4" in rows["Cobble × Sedge"].fault
    assert rows["Basalt × Tansy"].valued is not None


def test_a_figure_that_was_emptied_is_named_and_no_default_stands_in(small, catalogue):
    small.book.empty_assumption("feeding.pup_price")
    answer = season_answer(small.book, catalogue=catalogue)
    assert all(row.valued is None and "Rat pup" in row.fault for row in answer.rows)
    assert answer.planned == ()
    assert answer.outcome.mean == pytest.approx(-answer.shared.total)


def test_without_prices_every_pairing_says_so(tmp_path, catalogue):
    small = bare_book(tmp_path / "book.sqlite")
    small.pair("Basalt", "Tansy")
    with small.book as book:
        answer = season_answer(book, catalogue=catalogue)
        assert answer.prices == 0
        assert "no price in this book" in answer.rows[0].fault


def test_without_pairings_the_next_year_is_shown_with_its_shared_costs(tmp_path, catalogue):
    with bare_book(tmp_path / "book.sqlite").book as book:
        answer = season_answer(book, catalogue=catalogue)
        assert (answer.season, answer.seasons, answer.rows) == (2027, (), ())
        assert answer.outcome.mean == -answer.shared.total < 0.0
        assert answer.animals == 6


def test_the_nearest_season_after_this_year_is_shown_else_the_last():
    assert next_season([2029, 2027, 2025], today=date(2026, 11, 20)) == 2027
    assert next_season([2025, 2024], today=date(2026, 11, 20)) == 2025
    assert next_season([], today=date(2026, 11, 20)) == 2027
    # in spring the season whose eggs are being laid is still the one to look at
    assert next_season([2026, 2027], today=date(2026, 4, 2)) == 2026
    assert next_season([2026, 2027], today=date(2026, 9, 1)) == 2027
    assert next_season([], today=date(2026, 4, 2)) == 2026


def test_another_season_is_valued_when_asked_for(small, catalogue):
    small.pair("Basalt", "Sedge", season=2028)
    later = season_answer(small.book, 2028, catalogue=catalogue)
    assert later.seasons == (2028, 2027)
    assert [row.name for row in later.rows] == ["Basalt × Sedge"]
    assert later.rows[0].valued.hatch.year == 2028
    assert season_answer(small.book, catalogue=catalogue).season == 2027


def test_floods_count_the_young_of_the_whole_plan_once(small, catalogue):
    count_clowns(small.book)
    small.pair("Basalt", "Sedge", planned=False)
    answer = season_answer(small.book, catalogue=catalogue)
    rows = rows_of(answer)
    plan = young_by_lead(row.valued for row in answer.planned)
    supply = supplies_of(small.book).now("clown")
    for name, row in rows.items():
        lead = row.flood.trait
        own = plan.get(lead, 0.0) + (0.0 if row.pairing.planned else row.valued.budget.young_of(lead))
        assert row.flood.own_young == pytest.approx(own), name
    clown = rows["Basalt × Tansy"].flood
    assert clown.trait == "clown"
    assert clown.supply.offered == supply.offered
    points = rows["Basalt × Tansy"].valued.points
    assert clown.unit_cost == pytest.approx(points.price)


def test_a_paired_animal_bought_for_more_costs_more(small, catalogue):
    before = rows_of(season_answer(small.book, catalogue=catalogue))["Basalt × Tansy"].valued.budget.margin
    tansy = small.animals["Tansy"]
    small.book.change_animal(tansy.id, tansy.version, bought_minor=100_000)
    after = rows_of(season_answer(small.book, catalogue=catalogue))["Basalt × Tansy"].valued.budget.margin
    assert after < before


EDITS = {
    "a figure": lambda s: s.book.set_assumption("sale.fee_share", 0.2),
    "a price": lambda s: s.book.add_observation(
        s.book.price_observations()[0].model_copy(update={"id": None, "price_minor": 99_900})
    ),
    "an animal": lambda s: s.book.change_animal(
        s.animals["Tansy"].id, s.animals["Tansy"].version, text="clown"
    ),
    "a figure of the pairing": lambda s: s.book.set_pairing_assumption(
        s.pairings["Basalt × Tansy"].id, "clutch.laying_chance", 0.3
    ),
    "another female of the male": lambda s: s.pair("Basalt", "Sedge"),
    "the month of hatching": lambda s: s.book.set_assumption("clutch.hatch_month", 11),
    "the first month of sale": lambda s: s.book.set_assumption("sale.first_month", 6),
    "the level of prices": lambda s: s.book.set_assumption("price.level", 0.8),
}


@pytest.mark.parametrize("edit", EDITS)
def test_every_edit_that_bears_on_a_pairing_moves_its_margin_and_undo_moves_it_back(small, catalogue, edit):
    def margin():
        return rows_of(season_answer(small.book, catalogue=catalogue))["Basalt × Tansy"].valued.budget.margin

    before = margin()
    EDITS[edit](small)
    assert margin() != pytest.approx(before, rel=1e-6)
    small.book.undo_last()
    assert margin() == pytest.approx(before, rel=1e-12)


def test_a_note_changes_no_sum_and_the_same_book_gives_the_same_draws(small, catalogue, tmp_path):
    before = season_answer(small.book, catalogue=catalogue)
    marl = small.animals["Marl"]
    small.book.change_animal(marl.id, marl.version, note="laid seven in 2026")
    after = season_answer(small.book, catalogue=catalogue)
    np.testing.assert_array_equal(after.outcome.draws, before.outcome.draws)
    with small_book(tmp_path / "other.sqlite").book as other:
        again = season_answer(other, catalogue=catalogue)
        np.testing.assert_array_equal(again.outcome.draws, before.outcome.draws)


def test_sexes_of_the_small_book_are_as_the_tests_take_them(small):
    assert small.animals["Basalt"].sex is Sex.MALE
    assert small.animals["Tansy"].sex is Sex.FEMALE
