"""Relations as tables: arrows from parent to young, the ancestor in bold, marks only where one decides."""

from __future__ import annotations

from dashboard.figures import relations

from .reading import having, rows, tree, words


def test_arrows_go_from_parent_to_young_and_the_ancestor_is_bold():
    line = relations.PathLine(("mu", "m1", "mv", "fn"), 1, "6.25 %")
    assert relations.path_words(line) == "mu ← <b>m1</b> → mv → fn"
    whole = relations.PathLine(("m1", "fa"), 0, "25 %", "8 of 10")
    assert relations.path_words(whole) == "<b>m1</b> → fa"
    found = tree(relations.paths_table("Related", "Paths.", rows=[line, whole]))
    assert rows(found) == [["m1", "mu ← m1 → mv → fn", "6.25 %"], ["m1", "m1 → fa8 of 10", "25 %"]]


def test_names_are_escaped():
    line = relations.PathLine(("<i>", "a&b"), 0, "25 %")
    assert relations.path_words(line) == "<b>&lt;i&gt;</b> → a&amp;b"


def test_a_pairing_leads_to_its_page_and_only_a_planned_close_one_is_marked():
    close = relations.PairLine(
        "pairing?sire=1&dam=2", "A × B", "in the plan for 2027", "25 %", "full sibs", True
    )
    other = relations.PairLine("pairing?sire=1&dam=3", "A × C", "", "25 %", "full sibs")
    found = tree(relations.pairs_table("Close", "Closest first.", rows=[close, other]))
    assert [link.get("data-go") for link in found.iter("a")] == [close.link, other.link]
    assert len(having(found, "welfare")) == 1
    assert words(having(found, "welfare")[0]) == "▲ Welfare: close relatives"
    assert rows(found)[1] == ["A × C", "As close asfull sibs", "Inbreeding25 %"]
