"""Ledgers of genes: a source for each value, a mark above what does harm."""

from __future__ import annotations

from dashboard.figures import genes

from .reading import rows, tree, words


def test_a_gene_names_the_source_of_each_value_last():
    line = genes.GeneLine(
        "spider", "", "incomplete dominant", "", "", ("Wobble.",), (("mode", "from memory"), ("", "custom"))
    )
    found = tree(genes.genes_table("Genes", "", rows=[line]))
    assert [words(head) for head in found.iter("th") if head.get("role") == "columnheader"][-1] == "Source"
    assert rows(found)[0][3] == "SourceWobble.mode: from memorycustom"
    assert rows(found)[0][2] == "May be mistaken fornothing known"
    assert rows(found)[0][0] == "▲ Welfarespider"


def test_what_the_breeder_put_down_is_said_beneath_the_name():
    line = genes.GeneLine("pebble", "pebbled", "recessive", "", "", (), (), "genes?gene=pebble", "your own")
    html = genes.genes_table("Genes", "", rows=[line])
    assert 'data-go="genes?gene=pebble"' in html
    assert rows(tree(html))[0][0] == "pebbleyour ownalso written pebbled"


def test_a_pair_that_does_harm_is_marked_above_its_copies():
    line = genes.PairLine("two copies of spider", "spider", "", "", "not hatching", "from memory")
    found = rows(tree(genes.pairs_table("Looks", "", rows=[line])))
    assert found[0][0] == "▲ Welfare: not hatchingtwo copies of spider"


def test_texts_of_breeders_are_escaped():
    line = genes.ReadLine("<b>clwn", "", "", "", fault="“<b>clwn” is no gene")
    html = genes.readings_table("Examples", "", rows=[line])
    assert "<b>clwn" not in html.replace("<b>&lt;b&gt;clwn</b>", "")
    assert 'data-go="use:clown"' in genes.choices(["clown"])
    assert "&lt;i&gt;" in genes.changes_table("What changes", rows=[("<i>", "", "")])
    heads = ("What", "Known", "Source")
    assert "&lt;i&gt;" in genes.sayings_table("Values", "", heads=heads, rows=[("<i>", "", "")])
