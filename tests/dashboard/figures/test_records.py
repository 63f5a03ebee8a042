"""Ledgers of rows, changes, clutches and hatchlings: what stands where, escaped, marks above names."""

from __future__ import annotations

from dashboard.figures import clutches, records

from .reading import rows, tree


def test_a_row_stands_under_its_heads_with_what_can_be_done():
    line = records.RecordLine(
        ("<Basalt>", "1640 g"), "calm", (("Change", "change:3"), ("Remove", "remove:3"))
    )
    html = records.records_table("Weights", "Newest first.", heads=("Animal", "Grams"), rows=[line])
    assert rows(tree(html)) == [["<Basalt>calm", "Grams1640 g", "Change \xa0 Remove"]]
    assert 'data-go="change:3"' in html


def test_contents_lead_to_their_rows():
    line = records.ContentLine("Gene tests", "book?table=gene%20tests", "3", "2025-04-30")
    html = records.contents_table("What is in it", "", rows=[line])
    assert 'href="book?table=gene%20tests"' in html
    assert rows(tree(html)) == [["Gene tests", "2025-04-30", "3"]]


def test_an_opened_change_lists_its_fields_beneath_its_sentence():
    line = records.ChangeLine("Changed a weight", "", "2026-11-20 08:00", ("grams from 164 g to 1640 g",))
    found = rows(tree(records.changes_table("Changes", "", rows=[line])))
    assert found == [["Changed a weightgrams from 164 g to 1640 g", "2026-11-20 08:00", ""]]


def test_a_known_harm_stands_above_the_name_of_a_clutch_and_the_look_of_a_hatchling():
    clutch = clutches.ClutchRowLine(
        "Cobble × Sedge", "clutch?clutch=1", "pastel × spider", ("laid 2026-05-01", ""), ("6 good", ""),
        ("5", ""), ("none", ""), (("welfare", ": may wobble"),),
    )  # fmt: skip
    (cells,) = rows(tree(clutches.clutches_table("Clutches", "", rows=[clutch], currency="EUR")))
    assert cells[0] == "▲ Welfare: may wobbleCobble × Sedgepastel × spider"
    young = clutches.HatchlingLine(
        "spider", "Sedge 2026-1", "0.1", ("72 g", "2026-11-01"), "not yet", ("growing", ""),
        (("feeds", "feeds:1"),), (("welfare", ": wobble"),),
    )  # fmt: skip
    (cells,) = rows(tree(clutches.hatchlings_table("Hatchlings", "", rows=[young])))
    assert cells[0] == "▲ Welfare: wobblespiderSedge 2026-1"


def test_a_look_offers_one_click_a_sex():
    line = clutches.LookChoiceLine("clown", "50 in 100", "1", (("male", "0:male"), ("female", "0:female")))
    html = clutches.look_choices("Enter hatchlings", "", rows=[line])
    assert rows(tree(html)) == [["clown", "Chance50 in 100", "Entered1", "male \xa0 female"]]


def test_a_pairing_without_a_clutch_leads_to_entering_it():
    line = clutches.WaitingLine(
        "Basalt × Tansy", "a × b", "in the plan", "clutch?pairing=7", "Enter its clutch"
    )
    html = clutches.waiting_table("Waiting", "", rows=[line])
    assert 'href="clutch?pairing=7"' in html
