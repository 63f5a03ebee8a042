"""Genes: one gene's own view, own genes and their form, help with writing; as the page says them."""

from __future__ import annotations

import pytest

from genetics import Sex, load_catalogue


def test_a_name_leads_to_the_gene_s_own_view(book, screen):
    shown = screen("genes", find="hidden gene woma")
    shown.use("genes", "genes?gene=hidden%20gene%20woma")
    assert shown.tables.drawn["went to"] == "genes?gene=hidden%20gene%20woma"


@pytest.mark.parametrize("gene", [gene.name for gene in load_catalogue().genes][::7])
def test_a_gene_s_view_shows_a_row_a_pair_and_a_source_for_what_is_known(book, screen, gene):
    shown = screen("genes", gene=gene)
    assert shown.title.casefold().startswith(gene)
    locus = load_catalogue().locus_of(gene)
    pairs = sum(gene in pair for pair in locus.looks)
    assert shown.tables.drawn["pairs"].count("rowheader") == pairs
    rows = shown.tables.drawn["values"].split("<tr")[2:]
    said = [row for row in rows if "nothing known" not in row]
    known = ("from memory", "common practice", "(20", "follows from", "unproven")
    assert said
    assert all(any(word in row for word in known) for row in said)
    assert shown.primary == 0


def test_harm_stands_above_with_whom_to_ask(book, screen):
    shown = screen("genes", gene="spider")
    words = shown.tables.words("harms")
    # Starck JM, Schrenk F, Schroeder S, Pees M (2022) PLOS ONE 17:e0262788, as the catalogue cites it
    assert "Starck JM" in words
    assert "Together with other genes:" in words
    assert "champagne" in words
    assert "veterinarian who knows reptiles" in words
    assert "harms" not in screen("genes", gene="pastel").tables.drawn


def test_sex_linkage_names_its_recombination_and_source(book, screen):
    words = screen("genes", gene="banana").tables.words("values")
    assert "Recombination in males" in words
    assert "5 %: that share" in words


def test_a_gene_that_is_gone_is_looked_for(book, screen):
    assert screen("genes", gene="clwn").title == "No genes fit “clwn”"


def test_correct_this_opens_the_form_filled(book, screen):
    shown = screen("genes", gene="clown")
    assert shown.primary == 0
    shown.press("Correct this")
    assert "Correct clown" in shown.tables.words("own_head")
    shown.fill(spellings="clownie").press("Save this correction")
    assert book.own_genes() == {"clown": {"kind": "correction", "spellings": ["clownie"]}}
    assert "You corrected: also written." in shown.tables.words("lead")
    assert "Also written What is known clownie Source your own" in shown.tables.words("values")
    shown.use("undo_line", "undo")
    assert book.own_genes() == {}


def test_an_own_gene_is_marked_and_opens_its_own_form(book, screen):
    book.set_own_gene("pebble", {"kind": "gene", "mode": "recessive", "spellings": ["pebbled"]})
    assert "pebble your own also written pebbled" in screen("genes", find="pebble").tables.words("genes")
    shown = screen("genes", gene="pebble")
    assert "Your own gene." in shown.tables.words("lead")
    shown.press("Change this")
    assert "Change pebble" in shown.tables.words("own_head")
    shown.fill(spellings="peble").press("Save this gene")
    assert book.own_genes()["pebble"]["spellings"] == ["peble"]


def test_a_refusal_keeps_what_was_typed(book, screen):
    shown = screen("genes")
    shown.fill(name="pastel", spellings="pebbled").press("Save this gene")
    words = shown.tables.words("refused-own_gene")
    assert "“pastel” already means pastel. Nothing was saved." in words
    typed = {str(box.key).rsplit("-", 1)[-1]: box.value for box in shown.app.text_input}
    assert (typed["name"], typed["spellings"]) == ("pastel", "pebbled")
    shown.fill(name=" ").press("Save this gene")
    assert "The name is empty." in shown.tables.words("refused-own_gene")
    assert book.own_genes() == {}


def test_a_second_entry_of_one_name_is_no_silent_change(book, screen):
    shown = screen("genes")
    book.set_own_gene("pebble", {"kind": "gene", "mode": "dominant"})
    shown.fill(name="Pebble").press("Save this gene")
    assert "pebble is an entry of your own already" in shown.tables.words("refused-own_gene")
    assert book.own_genes()["pebble"]["mode"] == "dominant"


def test_what_the_book_reads_otherwise_is_asked_about_and_can_be_left(book, screen):
    book.set_own_gene("pebble", {"kind": "gene", "mode": "recessive"})
    book.add_animal("Larch", "het pebble", sex=Sex.MALE)
    shown = screen("genes").use("own_genes", "change:pebble")
    shown.fill(harm="wobble", what="Seen twice.").press("Save this gene")
    assert "1 animal of this book is read otherwise if this is saved." in shown.tables.words("effect")
    assert "Larch" in shown.tables.words("effect_rows")
    assert "health" not in book.own_genes()["pebble"]
    shown.press("Don’t save it")
    assert "effect" not in shown.tables.drawn
    shown.press("Save this gene").press("Save it all the same")
    assert book.own_genes()["pebble"]["health"][0]["what"] == "Seen twice."


def test_what_is_in_use_is_not_taken_out_and_says_by_whom(book, screen):
    book.set_own_gene("pebble", {"kind": "gene", "mode": "recessive"})
    book.add_animal("Larch", "het pebble")
    shown = screen("genes").use("own_genes", "out:pebble")
    assert "It is used by Larch" in shown.tables.words("refused-own_list")
    assert "pebble" in book.own_genes()


def test_the_form_opens_what_is_used_and_keeps_the_rest_closed(book, screen):
    assert [part.proto.expanded for part in screen("genes").app.expander] == [False]
    shown = screen("genes", gene="banana").press("Correct this")
    assert [part.proto.expanded for part in shown.app.expander] == [True]  # it is sex-linked


def test_a_stored_harm_fills_its_form(book, screen):
    told = {"kind": "harm", "genes": {"clown": 2, "spider": 1}, "harm": "wobble", "what": "Told."}
    book.set_own_gene("my wobble", told)
    shown = screen("genes").use("own_genes", "change:my wobble")
    shown.fill(what="Told twice.").press("Save this harm")
    assert book.own_genes()["my wobble"] == told | {"what": "Told twice."}


def test_the_help_reads_what_is_typed(book, screen):
    shown = screen("genes", to="writing")
    assert shown.tables.drawn["examples"].count("rowheader") >= 12
    boxes = [box for box in shown.app.text_input if str(box.key).startswith("try-")]
    boxes[0].set_value("het pastle")
    shown.run()
    assert "Did you mean pastel" in shown.tables.words("tried")
    shown.use("tried", "use:pastel")
    assert "shows in one copy" in shown.tables.words("tried")
