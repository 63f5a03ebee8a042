"""Genes as a breeder uses them: one gene's own view, own genes entered and mended, texts tried."""

from __future__ import annotations

import re
import sqlite3

import pytest

pytestmark = pytest.mark.browser


def pick(window, label: str, option: str) -> None:
    """Choose from a list by typing, as one does in a long one."""
    box = window.page.get_by_role("combobox", name=re.compile(re.escape(label))).last
    box.click()
    box.fill(option)
    window.page.get_by_role("option", name=option, exact=True).click()
    window.settle()


def fill(window, **fields: str) -> None:
    for label, text in fields.items():
        window.page.get_by_label(label.replace("_", " "), exact=True).fill(text)


def press(window, words: str) -> None:
    window.page.get_by_role("button", name=words, exact=True).click()
    window.settle()


def notes(window) -> str:
    return " ".join(window.page.locator(".note").all_inner_texts())


def own_book(server, visit, *, begin: bool = True):
    window = visit(server)
    window.open("genes")
    if begin:
        press(window, "Start my own book")
        window.page.get_by_text("Demo book:").wait_for(state="detached")
        window.settle()
    return window


def entries(window) -> str:
    table = window.page.get_by_role("table", name=re.compile("of your own$"))
    return table.inner_text() if table.count() else ""


def test_every_kind_of_own_gene_is_entered_refused_mended_and_taken_out(fresh_app, visit):
    window = own_book(fresh_app, visit)
    fill(window, Name="pastel", Also_written="pebbled")
    press(window, "Save this gene")
    assert "“pastel” already means pastel. Nothing was saved." in notes(window)
    assert window.page.get_by_label("Also written", exact=True).input_value() == "pebbled"
    fill(window, Name="pebble")
    press(window, "Save this gene")
    assert "pebble" in entries(window)

    pick(window, "I want to enter", "one word for several genes")
    fill(window, The_word="night stone", The_genes_it_stands_for="pebble pastle")
    press(window, "Save this word")
    assert "“pastle” is not a gene" in notes(window)
    fill(window, The_genes_it_stands_for="pebble pastel")
    press(window, "Save this word")

    pick(window, "I want to enter", "several genes at one place, a complex")
    genes, looks = (window.page.get_by_label(re.compile(words)) for words in ("Its genes", "Looks of pairs"))
    fill(window, Name_of_the_complex="rubble")
    genes.fill("stone, incomplete dominant\nsand, recessive")
    looks.fill("stone / sand = gravel")
    press(window, "Save this complex")
    assert "Looks of pairs: “gravel” already means gravel." in notes(window)
    looks.fill("stone / sand = shingle")
    press(window, "Save this complex")

    pick(window, "I want to enter", "a harm of genes together")
    fill(window, Short_name="stone wobble", Genes_that_do_it_together="stone spider")
    press(window, "Save this harm")
    assert "What is known of it is empty." in notes(window)
    fill(window, What_is_known_of_it="Told by two keepers.")
    press(window, "Save this harm")
    assert (
        "spider and stone" in window.page.get_by_role("table", name="Genes that harm together").inner_text()
    )

    pick(window, "I want to enter", "something else about a gene of the list")
    pick(window, "Gene of the list", "clown")
    press(window, "Save this correction")
    assert "That is what the list says of clown already." in notes(window)
    fill(window, Also_written="clownie")
    press(window, "Save this correction")
    assert all(
        word in entries(window) for word in ("pebble", "night stone", "rubble", "stone wobble", "clown")
    )

    row = window.page.get_by_role("row").filter(has_text="pebbled")
    row.get_by_role("button", name="Take out").click()
    window.settle()
    assert "night stone of your own genes use pebble" in notes(window)
    row = window.page.get_by_role("row").filter(has_text="stands for")
    row.get_by_role("button", name="Take out").click()
    window.settle()
    assert "night stone" not in entries(window)
    press(window, "Undo")
    assert "night stone" in entries(window)
    row = window.page.get_by_role("row").filter(has_text="pebbled")
    row.get_by_role("button", name="Change").click()
    window.settle()
    window.page.get_by_role("heading", name="Change pebble").wait_for()
    assert window.page.get_by_label("Also written", exact=True).input_value() == "pebbled"
    fill(window, Also_written="pebbled, pebbles")
    press(window, "Save this gene")
    assert "pebbled, pebbles" in entries(window)
    assert window.faults() == []
    assert window.axe_findings() == []


def test_what_a_correction_does_to_the_book_is_said_before_it_is_saved(app, visit):
    window = visit(app)
    window.open("genes?gene=pastel")
    press(window, "Correct this")
    window.page.get_by_text("What it hides, sex linkage, harm").click()
    pick(window, "What two copies hide", "the pattern")
    press(window, "Save this correction")
    assert re.search(r"\d+ animals of this book are read otherwise if this is saved\.", notes(window))
    assert "Basalt" in window.page.get_by_role("table", name="Animals that are read otherwise").inner_text()
    assert window.axe_findings() == []
    press(window, "Don’t save it")
    box = window.page.get_by_role("combobox", name=re.compile("What two copies hide")).last
    assert box.input_value() == "the pattern"  # nothing that was chosen is lost
    press(window, "Save this correction")
    press(window, "Save it all the same")
    assert "You corrected: what two copies hide" in window.page.locator(".lead").inner_text()
    values = window.page.get_by_role("table", name="What is known of pastel")
    row = values.get_by_role("row").filter(has_text="What two copies hide")
    assert "your own" in row.inner_text()
    press(window, "Undo")
    assert "You corrected" not in window.page.locator(".lead").inner_text()


def test_two_windows_on_one_gene_lose_nothing(fresh_app, visit):
    first = own_book(fresh_app, visit)
    fill(first, Name="pebble")
    press(first, "Save this gene")
    second = own_book(fresh_app, visit, begin=False)
    for window, spelling in ((first, "pebbled"), (second, "peble")):
        window.page.get_by_role("button", name="Change", exact=True).click()
        window.settle()
        window.page.get_by_label("Also written", exact=True).fill(spelling)
    press(first, "Save this gene")
    press(second, "Save this gene")
    assert "was changed in another window" in notes(second)
    both = second.page.get_by_role("table", name="Yours and the other").inner_text()
    assert "also written peble" in both
    assert "also written pebbled" in both
    assert second.axe_findings() == []
    press(second, "Save mine all the same")
    assert "peble" in entries(second)


def test_an_entry_that_no_longer_fits_is_shown_with_what_to_do(fresh_app, visit):
    """As after an update of the program that brings a gene of the same name."""
    window = own_book(fresh_app, visit)
    fill(window, Name="pebble")
    press(window, "Save this gene")
    with sqlite3.connect(window.server.home / "my-book.sqlite") as book:
        book.execute("UPDATE own_genes SET name = 'pastel' WHERE name = 'pebble'")
        book.execute("UPDATE info SET value = value + 1 WHERE key = 'data_version'")
    window.open("genes")
    assert "pastel is left out: it no longer fits the list." in notes(window)
    assert window.axe_findings() == []
    window.page.locator(".note").get_by_role("button", name="take it out").click()
    window.settle()
    assert "left out" not in notes(window)
    assert entries(window) == ""


@pytest.mark.parametrize("gene", ["mojave", "spider", "banana"])
def test_one_gene_is_whole_in_both_themes_and_on_a_phone(app, visit, gene):
    window = visit(app)
    window.open(f"genes?find={gene}")
    window.page.get_by_role("link", name=gene, exact=True).click()
    window.page.wait_for_url(f"**/genes?gene={gene}")
    window.settle()
    for width, scheme in (("wide", "light"), ("phone", "dark")):
        window.turn(width, scheme)
        assert window.faults() == []
        assert window.fit()[1] <= 0
        assert window.axe_findings() == []
        window.save(f"gene-{gene}-{width}-{scheme}")


def test_any_text_can_be_tried(app, visit):
    window = visit(app)
    window.open("genes?to=writing")
    box = window.page.get_by_label("Try it: write an animal")
    window.page.wait_for_function("document.activeElement.classList.contains('st-key-writing')")
    box.fill("66% het pastle clwn")
    box.press("Enter")
    window.settle()
    assert "Did you mean pastel" in notes(window)
    box.fill("66% het clwn")
    box.press("Enter")
    window.settle()
    window.page.locator(".note").get_by_role("button", name="clown").click()
    window.settle()
    assert "Read as 66% het clown: one copy of clown, 67 in 100." in notes(window)
    assert window.page.get_by_label("Try it: write an animal").input_value() == "66% het clown"
    assert window.axe_findings() == []
