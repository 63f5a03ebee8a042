"""Whatever a book holds, a table shows it as text; roles are written out for those who listen."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.figures import markup
from dashboard.figures.marks import MEANINGS, MarkError, mark, marked_note, note

from .reading import having, tree, words

NASTY = "\"><script>alert('x')</script>&lt;"


@given(
    st.text(
        alphabet=st.characters(min_codepoint=32, exclude_characters="\x7f", exclude_categories=["Cs", "Cc"])
    )
)
def test_any_text_comes_back_as_itself(text):
    assert "".join(tree(markup.esc(text)).itertext()) == text
    found = tree(markup.link(text, text)).find("a")
    assert found.get("data-go") == text
    assert "".join(found.itertext()) == text


@pytest.mark.parametrize(
    "make",
    [
        markup.strong, markup.sub, markup.heading, markup.number_cell, lambda t: markup.heading("a", t),
        lambda t: markup.number_cell("1", under=t, label=t), lambda t: markup.cell("", label=t),
        lambda t: markup.link(t, t), lambda t: markup.action(t, t), lambda t: markup.Column(t).html(),
        lambda t: markup.table(t, [markup.Column(t)], rows=[]), lambda t: mark("flood", t),
        lambda t: marked_note("welfare", t, text=t),
    ],
)  # fmt: skip
def test_no_part_lets_html_through(make):
    assert "<script" not in make(NASTY)
    assert not [part for part in tree(make(NASTY)).iter() if part.tag == "script"]


@pytest.mark.parametrize("target", ["pairing?id=3", "prices?trait=desert%20ghost", "book"])
def test_a_page_of_ours_is_a_real_address(target):
    assert tree(markup.link("x", target)).find("a").get("href") == target


@pytest.mark.parametrize(
    "target", ["javascript:alert(1)", "//books.example", "https://books.example", "a b", "", "../x"]
)
def test_nothing_else_becomes_an_address(target):
    assert tree(markup.link("x", target)).find("a").get("href") == "#"


def test_a_table_says_its_roles():
    columns = [markup.Column("Pairing|name", 60), markup.Column("Margin", 40, "strip", "<svg></svg>")]
    row = markup.row([markup.name_cell("a"), markup.strip_cell("<svg></svg>")])
    found = tree(markup.table("Margins", columns, rows=[row], zero=12.5))
    table = found.find("table")
    assert (table.get("role"), table.get("aria-label")) == ("table", "Margins")
    assert table.get("style") == "--zero:12.500%"
    roles = [part.get("role") for part in table.iter() if part.get("role")]
    assert roles == [
        "table",
        "rowgroup",
        "row",
        "columnheader",
        "columnheader",
        "rowgroup",
        "row",
        "rowheader",
        "cell",
    ]
    assert [part.get("aria-hidden") for part in having(found, "phone-axis")] == ["true"]
    assert words(table.find("thead")) == "PairingnameMargin"


def test_without_heads_the_columns_still_have_their_widths():
    found = tree(markup.table("Facts", [markup.Column("a", 70), markup.Column("b")], rows=[], look="compact"))
    assert [part.get("style") for part in found.iter("col")] == ["width:70%", None]
    assert found.find("table").find("thead") is None


def test_a_mark_has_a_shape_and_a_word_and_its_shape_is_not_read_aloud():
    for kind, meaning in MEANINGS.items():
        found = tree(mark(kind)).find("span")
        assert words(found) == f"{meaning.shape} {meaning.word}"
        assert found.find("span").get("aria-hidden") == "true"
    assert words(tree(mark("flood", ": 2.4 × what sells"))) == "≋ Flood: 2.4 × what sells"
    assert words(tree(mark("none", "only 7 prices"))) == "? only 7 prices"


def test_meanings_share_a_shape_only_if_they_share_a_ground():
    by_shape = {}
    for meaning in MEANINGS.values():
        by_shape.setdefault(meaning.shape, set()).add(meaning.css)
    assert all(len(grounds) == 1 for grounds in by_shape.values())


def test_an_unknown_meaning_is_refused_with_the_known_ones():
    with pytest.raises(MarkError, match="allowed: flood, welfare"):
        mark("gold")
    with pytest.raises(MarkError, match="allowed: flood, welfare"):
        note("gold", "")
