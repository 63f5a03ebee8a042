"""Plain ledgers: animals, genes with sources and refused rows; and the same on paper."""

from __future__ import annotations

import re

import plotly.graph_objects as go
import pytest

from dashboard.figures import plain
from dashboard.figures.chart_frame import kept_html
from dashboard.figures.component import draw, palette_now, show_chart
from dashboard.figures.page_style import PAGE_CSS, logo
from dashboard.figures.palette import DARK, LIGHT
from dashboard.figures.paper import paper_page

from .reading import rows, tree


def test_an_animal_shows_welfare_above_its_name():
    line = plain.AnimalLine(
        "animals?id=2", "Juniper", "spider", "0.1", "2020-08", "kept", "calm", (("welfare", ": may wobble"),)
    )
    found = rows(tree(plain.animals_table("Animals", "", rows=[line])))
    assert found == [
        ["▲ Welfare: may wobbleJunipercalm", "Genesspider", "Sex0.1", "Hatched2020-08", "Statuskept"]
    ]


def test_a_refused_row_quotes_what_was_written():
    line = plain.RefusedLine(14, "<03/04/2025>", "3 April or 4 March?")
    found = rows(tree(plain.refusals_table("Refused", "", rows=[line])))
    assert found == [["Line14", "What was written<03/04/2025>", "3 April or 4 March?"]]


def test_facts_are_pairs():
    assert rows(tree(plain.facts_table("Book", [("File", "book.db")]))) == [["File", "book.db"]]


def test_paper_is_one_light_page_that_asks_nothing_of_a_network():
    page = paper_page("Season <2027>", ["<p>a</p>"], note="An estimate & more")
    assert page.startswith("<!doctype html>")
    assert "Season &lt;2027&gt;" in page
    assert "An estimate &amp; more" in page
    assert LIGHT.forecast in page
    assert not re.findall(r"(?:src|href)=|url\(|@import", page)


def test_paper_gives_every_colour_that_the_tables_use():
    page = paper_page("t", [])
    used = set(re.findall(r"var\((--st-[a-z-]+)\)", page))
    given = set(re.findall(r"(--st-[a-z-]+): ", page.split("/*", 1)[0]))
    assert used <= given


def test_a_kept_chart_works_without_a_network_and_says_its_source():
    figure = go.Figure(go.Scatter(x=[1], y=[2]))
    page = kept_html(figure, LIGHT, title="Clown <falls>", source="184 own prices")
    assert "184 own prices" in page
    assert not re.findall(r"<script[^>]+src=", page)
    assert figure.layout.title.text is None


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_the_icon_takes_the_colours_of_its_theme(palette):
    drawn = tree(logo(palette))
    assert {palette.forecast, palette.ink} <= {part.get("stroke") for part in drawn.iter()}


def test_the_page_style_touches_no_generated_name():
    assert not re.findall(r"st-emotion|\.e1|nth-child|opacity", PAGE_CSS)


def test_the_parts_that_know_streamlit_can_be_called_by_the_pages():
    assert all(callable(part) for part in (draw, palette_now, show_chart))
