"""Invented prices, records and refusals for the gallery of figures."""

from __future__ import annotations

import datetime as dt

import numpy as np
import streamlit as st

from dashboard.figures import genes as genes_figures
from dashboard.figures import plain, prices
from dashboard.figures.component import draw, palette_now, show_chart
from dashboard.words import price, yearly_rate

TODAY = dt.date(2026, 11, 25)
TRAITS = (
    ("Clown", "falling", 232, -0.28, 0.20, 212),
    ("Desert ghost", "falling", 148, -0.17, 0.22, 96),
    ("Pied", "falling", 190, -0.10, 0.18, 141),
    ("Banana", "falling", 95, -0.12, 0.20, 130),
    ("Enchi", "holding", 84, -0.02, 0.15, 88),
    ("Mojave", "holding", 70, 0.01, 0.14, 104),
    ("Pastel", "holding", 52, -0.01, 0.12, 160),
    ("Axanthic", "rising", 260, 0.14, 0.25, 62),
    ("Lavender", "rising", 310, 0.09, 0.24, 48),
    ("Sunset", "none", 1200, 0.0, 0.90, 7),
    ("Puzzle", "none", 480, 0.0, 0.80, 4),
)
RULES = {
    "falling": "8 in 10 forecasts below today",
    "holding": "no change the prices can show",
    "rising": "8 in 10 forecasts above today",
    "none": "fewer than 12 prices",
}


def fan(today: float, slope: float, spread: float) -> prices.Fan:
    years = np.linspace(0, 3, 13)
    middle = today * np.exp(slope * years * (1 - 0.08 * years))
    sd = 0.85 * spread * np.sqrt(years)
    edge = {z: (tuple(middle * np.exp(-z * sd)), tuple(middle * np.exp(z * sd))) for z in (1.28, 1.96)}
    return prices.Fan(tuple(years), tuple(middle), *edge[1.28], *edge[1.96])


def panel(name: str, status: str, today: float, slope: float, spread: float, n: int) -> prices.Panel:
    draws = np.random.default_rng(sum(map(ord, name)))
    years = np.sort(draws.uniform(-3, 0, n))
    values = today * np.exp(slope * years + 0.12 * draws.normal(size=n))
    words = {"none": f"only {n} prices", "holding": "no clear change"}
    return prices.Panel(
        name=name,
        link=f"prices?trait={name.lower().replace(' ', '%20')}",
        today=today,
        history=tuple(zip(map(float, years), map(float, values), strict=True)),
        ahead=None if status == "none" else fan(today, slope, spread),
        change=words.get(status, yearly_rate(slope)),
        prices=n,
        marks=(("flood", ""),) if name == "Clown" else (),
    )


def deep_view(*, points: int = 184, supply: bool = True, forecast: bool = True) -> prices.PriceView:
    draws = np.random.default_rng(3)
    ago = np.sort(draws.uniform(-1090, 0, points))
    level = 232 * np.exp(-0.0007 * ago)
    asked = draws.random(points) < 0.8
    values = level * np.exp(0.18 * draws.normal(size=points)) * np.where(asked, 1.2, 1.0)
    seen = tuple(
        prices.SeenPrice(TODAY + dt.timedelta(days=int(a)), float(v), "asked" if k else "sold")
        for a, v, k in zip(ago, values, asked, strict=True)
    )
    months = [TODAY + dt.timedelta(days=round(30.44 * k)) for k in range(37)]
    ahead = fan(232, -0.22, 0.28)
    at = [float(k) for k in np.linspace(0, 3, 37)]
    band = prices.Band(
        tuple(months),
        *(tuple(np.interp(at, ahead.years, v)) for v in (ahead.middle, ahead.low80, ahead.high80)),
        *(tuple(np.interp(at, ahead.years, v)) for v in (ahead.low95, ahead.high95)),
    )
    counts = tuple((TODAY - dt.timedelta(days=1090 - 90 * k), float(9 + 3 * k)) for k in range(13))
    quarters = tuple(months[::3])
    growth = np.array([45, 47, 49, 60, 67, 69, 72, 84, 90, 92, 94, 94, 95], dtype=float)
    offered = prices.SupplyView(
        counts,
        quarters,
        tuple(growth),
        tuple(growth * (1 - 0.03 * np.arange(13))),
        tuple(growth * (1 + 0.03 * np.arange(13))),
        55.0,
        "55 a month: most that ever sold",
    )
    return prices.PriceView(
        name="Clown",
        currency="EUR",
        today=TODAY,
        seen=seen,
        fitted=tuple((p.on, 232 * float(np.exp(0.0007 * (TODAY - p.on).days))) for p in seen)
        if forecast
        else (),
        forecast=band if forecast else None,
        window=prices.SaleWindow(
            dt.date(2027, 9, 1), dt.date(2027, 11, 30), 184, "your 2027 young|sell at about 184"
        )
        if forecast
        else None,
        supply=offered if supply else None,
    )


def prices_page() -> None:
    st.title("Four of your eleven traits are losing value; clown fastest")
    groups = [
        prices.PanelGroup(status, rule, tuple(panel(*t) for t in TRAITS if t[1] == status))
        for status, rule in RULES.items()
    ]
    went = draw(prices.trait_panels(groups, currency="EUR"), "panels")
    if went:
        st.write(f"went to {went}")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.selectbox("Trait in depth", [t[0] for t in TRAITS], width=260)
        st.radio("Look back", ["1 year", "3 years", "all"], index=1, horizontal=True)
    st.header("Clown: 232 EUR today, most likely 120 by November 2029")
    st.markdown(f"A hatchling from next season sells in autumn 2027 at about **{price(184)}**.")
    view = deep_view()
    show_chart(prices.price_chart(view, palette_now()), "deep", prices.price_alt(view))
    text = "184 of your own prices from 2023-11-28 to 2026-11-18: 34 sold, 150 asked."
    draw(prices.key_html(supply=True, expected=True) + prices.basis_note(text), "key")
    fits = (
        prices.FitLine("Trend with drift", "the line above", 0.18, 24, used=True),
        prices.FitLine("Price stays", "the last price for ever", 0.23, 24),
        prices.FitLine("Yearly season", "needs three years", None, 0),
    )
    draw(
        prices.report_table(
            "The fit used here missed by less than the simple ones",
            "Each tried on prices it had not seen.",
            rows=fits,
        ),
        "fits",
    )
    st.header("Few prices")
    one = deep_view(points=1, supply=False, forecast=False)
    show_chart(prices.price_chart(one, palette_now()), "one", prices.price_alt(one))


def plain_page() -> None:
    st.title("212 of 221 rows can be added; 9 were refused")
    refused = (
        plain.RefusedLine(14, "03/04/2025", "3 April or 4 March? Say which order this file uses."),
        plain.RefusedLine(77, "pastle het clown", "No gene “pastle” in this book. Nearest: pastel."),
    )
    draw(plain.refusals_table("Why two rows were refused", "Fix these lines.", rows=refused), "refused")
    animals = (
        plain.AnimalLine("animals?id=1", "Basalt", "pastel het clown", "1.0", "2021-07-02", "kept", "quiet"),
        plain.AnimalLine(
            "animals?id=2",
            "Juniper <b>",
            "spider pinstripe 66% het desert ghost 50% het axanthic",
            "0.1",
            "2020-08",
            "kept",
            marks=(("welfare", ": may wobble"),),
        ),
    )
    draw(plain.animals_table("Two animals", "Sexes are males.females.", rows=animals), "animals")
    genes = (
        genes_figures.GeneLine(
            "spider",
            "spiders",
            "incomplete dominant",
            "",
            "",
            ("Head wobble of every degree.",),
            (("mode", "common practice, no source"), ("health", "from memory")),
        ),
        genes_figures.GeneLine("clown", "", "recessive", "", "", (), (("", "common practice, no source"),)),
    )
    draw(genes_figures.genes_table("Two genes", "In words.", rows=genes), "genes")
    draw(plain.facts_table("The book", (("Book", "/home/you/book.db"), ("Last copy", "2026-11-24"))), "facts")
