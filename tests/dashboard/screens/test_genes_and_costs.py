"""Genes and Costs: searches, sums on top, and figures that save themselves."""

from __future__ import annotations

import pytest

from econ.assumptions import ASSUMPTIONS
from genetics import load_catalogue

LAYS = "clutch.laying_chance"


def test_genes_are_counted_and_shown_in_part_until_all_are_asked_for(book, screen):
    total = len(load_catalogue().genes)
    shown = screen("genes")
    assert shown.title.startswith(f"{total} genes can be read")
    assert shown.tables.drawn["genes"].count("rowheader") == 25
    shown.press(f"Show all {total}")
    assert shown.tables.drawn["genes"].count("rowheader") == total


def test_every_gene_names_a_source(book, screen):
    shown = screen("genes").press(f"Show all {len(load_catalogue().genes)}")
    rows = shown.tables.drawn["genes"].split("<tr")[2:]
    known = ("from memory", "common practice", "(20")
    assert all(any(word in row for word in known) for row in rows)


def test_health_notes_come_with_their_source_and_no_prevalence(book, screen):
    shown = screen("genes")
    shown.app.checkbox[0].check()
    shown.run()
    assert "carry a health note" in shown.title
    words = shown.tables.words("genes")
    assert "Starck JM" in words
    assert "unproven" in words
    assert " in 100" not in words
    assert "%" not in words
    assert "veterinarian who knows reptiles" in shown.tables.words("caution")


@pytest.mark.parametrize(
    ("words", "title"), [("coral glow", "One gene fits “coral glow”"), ("zzz", "No genes fit “zzz”")]
)
def test_the_title_says_what_was_found(book, screen, words, title):
    shown = screen("genes")
    shown.app.text_input[0].set_value(words)
    assert shown.run().title == title


def test_a_slip_leads_to_the_gene(book, screen):
    shown = screen("genes")
    shown.app.text_input[0].set_value("clwn")
    shown.run().use("nothing", "clown")
    assert "“clown”" in shown.title


def typed(shown, id_):
    found = [box for box in shown.app.number_input if str(box.key).startswith(f"figure-{id_}-")]
    assert len(found) == 1
    return found[0]


def test_the_title_is_the_cost_of_a_hatchling_and_changes_with_the_figures(book, screen):
    before = screen("costs").title
    assert before.startswith("Keeping one hatchling six months costs about ")
    assert before.endswith(" EUR")
    book.set_assumption("feeding.pup_price", 3.0)
    assert screen("costs").title != before


def test_the_ten_that_matter_most_come_first(book, screen):
    shown = screen("costs")
    assert len(shown.app.number_input) == 10
    assert "move a pairing’s margin most" in shown.tables.words("group_head")


def test_every_figure_can_be_reached_through_its_group(book, screen):
    shown = screen("costs")
    seen = set()
    for group in {entry.group for entry in ASSUMPTIONS.values()}:
        shown.app.selectbox[0].set_value(group)
        shown.run()
        seen |= {str(box.key).split("-")[1] for box in shown.app.number_input}
    assert seen == set(ASSUMPTIONS)


def test_a_figure_saves_itself_in_percent_and_goes_back(book, screen):
    shown = screen("costs")
    assert typed(shown, LAYS).value == pytest.approx(75)
    typed(shown, LAYS).set_value(60)
    shown.run()
    assert book.assumptions() == {LAYS: pytest.approx(0.6)}
    assert len(book.changes()) == 1
    assert "One of 64 figures is your own" in shown.tables.words("lead")
    assert "your own" in shown.tables.words(f"row-{LAYS}")
    shown.use(f"row-{LAYS}", "back")
    assert book.assumptions() == {}
    assert typed(shown, LAYS).value == pytest.approx(75)


def test_the_input_stays_the_same_one_while_it_saves_so_that_the_focus_stays(book, screen):
    shown = screen("costs")
    key = typed(shown, LAYS).key
    for value in (60, 61):
        typed(shown, LAYS).set_value(value)
        shown.run()
    assert typed(shown, LAYS).key == key
    assert [change.sentence for change in book.changes()] == [f"Set {LAYS}"] * 2


def test_a_saved_figure_is_taken_back_on_the_page(book, screen):
    shown = screen("costs")
    typed(shown, LAYS).set_value(60)
    shown.run().use("undo_line", "undo")
    assert book.assumptions() == {}
    assert typed(shown, LAYS).value == pytest.approx(75)


def test_a_figure_outside_what_is_allowed_is_refused_in_a_sentence(book, screen):
    shown = screen("costs")
    typed(shown, LAYS).set_value(150)
    shown.run()
    words = shown.tables.words("refused-costs")
    assert "can’t be 150" in words
    assert words.endswith("Nothing was saved.")
    assert book.changes() == ()
    assert typed(shown, LAYS).value == pytest.approx(75)


def test_a_contradiction_is_refused_in_a_sentence(book, screen):
    shown = screen("costs")
    shown.app.selectbox[0].set_value("Selling")
    shown.run()
    typed(shown, "sale.first_month").set_value(20)
    shown.run()
    assert "the first before the last" in shown.tables.words("refused-costs")
    assert book.assumptions() == {}


@pytest.mark.parametrize(
    ("button", "kept"), [("Save mine all the same", 0.6), ("Keep what the book holds", 0.8)]
)
def test_a_figure_another_window_changed_is_not_overwritten(book, screen, button, kept):
    shown = screen("costs")
    book.set_assumption(LAYS, 0.8)
    typed(shown, LAYS).set_value(60)
    shown.run()
    assert book.assumptions()[LAYS] == 0.8
    assert "Yours was not saved" in shown.tables.words("clash-costs")
    both = shown.tables.words("clash-table-costs")
    assert "60 %" in both
    assert "80 %" in both
    shown.press(button)
    assert book.assumptions()[LAYS] == pytest.approx(kept)


def test_a_missing_figure_is_named_and_no_sum_is_made_up(book, screen):
    book.empty_assumption("feeding.pup_price")
    shown = screen("costs")
    assert "missing" in shown.title
    assert "Rat pup" in shown.tables.words("fault")
    assert "can't say" in shown.tables.words("sums")


def test_housing_says_what_a_furnished_enclosure_gives_and_whom_to_ask(book, screen):
    shown = screen("costs")
    shown.app.selectbox[0].set_value("Housing")
    shown.run()
    words = shown.tables.words("housing")
    # Hollandt T, Baur M, Woehr A-C (2021) PLOS ONE 16:e0247082
    assert "e0247082" in words
    assert "ask your own authority" in words
