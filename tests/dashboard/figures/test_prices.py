"""Prices: panels from 0 with today in the middle, a chart that says what it knows and no more."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from dashboard.figures import prices
from dashboard.figures.palette import DARK, LIGHT
from dashboard.figures.scales import nice_step

from .reading import having, labels, rows, tree, words

TODAY = dt.date(2026, 11, 25)
FAN = prices.Fan(
    years=(0.0, 1.5, 3.0),
    middle=(100, 80, 60),
    low80=(100, 60, 40),
    high80=(100, 110, 120),
    low95=(100, 50, 30),
    high95=(100, 130, 160),
)
HISTORY = ((-3.0, 200.0), (-1.5, 150.0), (0.0, 100.0))
PANEL = prices.Panel("Clown", "prices?trait=clown", 100, HISTORY, FAN, "−24 % a year", 52)
MONTHS = tuple(TODAY + dt.timedelta(days=365 * year) for year in range(4))
BAND = prices.Band(
    on=MONTHS,
    middle=(100, 90, 80, 70),
    low80=(100, 70, 55, 45),
    high80=(100, 120, 125, 130),
    low95=(100, 60, 45, 35),
    high95=(100, 140, 160, 180),
)
SEEN = tuple(
    prices.SeenPrice(TODAY - dt.timedelta(days=9 * k), 100.0 + k, "asked" if k % 4 else "sold")
    for k in range(120)
)
SUPPLY = prices.SupplyView(
    tuple((TODAY - dt.timedelta(days=300 - 100 * k), 10.0 * k + 10) for k in range(4)),
    MONTHS,
    (40, 50, 60, 70),
    (40, 45, 50, 55),
    (40, 60, 80, 90),
    55,
    "55 a month: most that ever sold",
)
VIEW = prices.PriceView("Clown", "EUR", TODAY, SEEN, ((SEEN[-1].on, 220.0), (TODAY, 100.0)), BAND)
WINDOW = prices.SaleWindow(dt.date(2027, 9, 1), dt.date(2027, 11, 30), 92, "your 2027 young|sell at about 92")


def named(figure, name):
    return [trace for trace in figure.data if trace.name == name]


def panels(*made, status="falling"):
    return tree(prices.trait_panels([prices.PanelGroup(status, "8 in 10 below today", made)], currency="EUR"))


def points(element):
    return [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]


def test_a_panel_has_today_in_its_middle_and_its_own_height():
    found = panels(PANEL)
    assert having(found, "upright")[0].get("x1") == "50%"
    seen, ahead = points(having(found, "seen")[0]), points(having(found, "ahead")[0])
    assert [x for x, _ in seen] == [0, 25, 50]
    assert [x for x, _ in ahead] == [50, 75, 100]
    heights = [62 - y for _, y in seen]
    assert heights[0] / heights[2] == pytest.approx(2, abs=0.01)
    assert seen[-1] == ahead[0]


def test_a_panel_says_its_message():
    assert labels(panels(PANEL)) == ["Clown: 100 EUR today, −24 % a year; in 3 years 8 in 10 from 40 to 120"]
    assert words(having(panels(PANEL), "foot")[0]) == "−24 % a year52 prices"


def test_too_few_prices_are_open_dots_without_line_or_band():
    found = panels(replace(PANEL, ahead=None, change="only 3 prices"), status="none")
    assert len(having(found, "open")) == 3
    assert not any(having(found, css) for css in ("seen", "ahead", "pale80", "pale95"))
    assert words(having(found, "group-head")[0]).startswith("? Can’t say")


def test_many_prices_become_a_line_that_can_be_read():
    many = tuple((-3 + k / 100, 100.0 + k % 7) for k in range(300))
    line = points(having(panels(replace(PANEL, history=many)), "seen")[0])
    assert 10 <= len(line) <= 19
    assert line == sorted(line)


def test_a_group_without_panels_is_left_out():
    assert having(panels(), "group") == []


def test_no_point_leaves_the_panel():
    wild = replace(PANEL, ahead=replace(FAN, high95=(100, 5_000, 90_000)))
    found = panels(wild)
    for css in ("seen", "ahead", "pale80", "pale95", "edge"):
        for part in having(found, css):
            assert all(0 <= x <= 100 and 0 <= y <= 66 for x, y in points(part))


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_every_mark_of_the_chart_has_the_colour_of_its_meaning(palette):
    figure = prices.price_chart(replace(VIEW, supply=SUPPLY, window=WINDOW), palette)
    colours = {
        "sold": lambda t: t.marker.color,
        "asked": lambda t: t.marker.line.color,
        "fitted": lambda t: t.line.color,
        "forecast": lambda t: t.line.color,
        "8 in 10": lambda t: t.fillcolor,
        "19 in 20": lambda t: t.fillcolor,
        "edge of 8 in 10": lambda t: t.line.color,
        "offered": lambda t: t.line.color,
        "expected": lambda t: t.line.color,
        "expected, 8 in 10": lambda t: t.fillcolor,
        "own young": lambda t: t.marker.color,
    }
    p = palette
    wanted = {
        "sold": p.ink,
        "asked": p.soft,
        "fitted": p.forecast,
        "forecast": p.forecast,
        "8 in 10": p.band80,
        "19 in 20": p.band95,
        "edge of 8 in 10": p.forecast,
        "offered": p.ink,
        "expected": p.flood,
        "expected, 8 in 10": p.flood,
        "own young": p.forecast,
    }
    assert {trace.name: colours[trace.name](trace) for trace in figure.data} == wanted
    assert all(p[meaning] in palette.values() for meaning in ("ink", "soft"))


def test_meaning_survives_grey_paper():
    figure = prices.price_chart(replace(VIEW, supply=SUPPLY), LIGHT)
    assert named(figure, "asked")[0].marker.symbol == "line-ew"
    assert named(figure, "sold")[0].marker.symbol == "circle"
    assert named(figure, "fitted")[0].line.dash is None
    assert named(figure, "forecast")[0].line.dash == "dash"
    assert named(figure, "expected")[0].line.dash == "dash"
    assert named(figure, "offered")[0].line.shape == "hv"


def test_the_wide_band_lies_behind_the_narrow_one_and_both_are_closed():
    figure = prices.price_chart(VIEW, LIGHT)
    names = [trace.name for trace in figure.data]
    assert names.index("19 in 20") < names.index("8 in 10") < names.index("forecast")
    wide, narrow = named(figure, "19 in 20")[0], named(figure, "8 in 10")[0]
    assert list(wide.y) == [*BAND.high95, *reversed(BAND.low95)]
    assert list(narrow.y) == [*BAND.high80, *reversed(BAND.low80)]
    assert list(wide.x[:4]) == list(reversed(wide.x[4:]))


def test_the_supply_band_steps_with_its_line():
    figure = prices.price_chart(replace(VIEW, supply=SUPPLY), LIGHT)
    band = named(figure, "expected, 8 in 10")[0]
    upper = list(zip(band.x, band.y, strict=True))[:7]
    assert [y for _, y in upper] == [40, 40, 60, 60, 80, 80, 90]


def test_prices_start_at_0_and_the_axis_holds_all_of_them():
    figure = prices.price_chart(VIEW, LIGHT)
    low, high = figure.layout.yaxis.range
    assert low == 0
    assert high >= max(p.price for p in SEEN)
    ticks = list(figure.layout.yaxis.tickvals)
    assert ticks[1] - ticks[0] == nice_step(ticks[1] - ticks[0])


@pytest.mark.parametrize("many", [0, 1, 2, 1000])
@pytest.mark.parametrize("supply", [None, SUPPLY], ids=["alone", "with supply"])
@pytest.mark.parametrize("forecast", [None, BAND], ids=["can't say", "forecast"])
def test_any_number_of_prices_is_drawn_on_one_time_axis(many, supply, forecast):
    seen = tuple(prices.SeenPrice(TODAY - dt.timedelta(days=k), 50.0 + k, "asked") for k in range(many))
    view = prices.PriceView("Clown", "EUR", TODAY, seen, (), forecast, None, supply)
    figure = prices.price_chart(view, LIGHT)
    assert sum(len(trace.x) for trace in named(figure, "asked")) == many
    assert bool(named(figure, "forecast")) == (forecast is not None)
    start, end = figure.layout.xaxis.range
    assert dt.date.fromisoformat(start) < TODAY < dt.date.fromisoformat(end)
    assert ("too few" in prices.price_alt(view)) == (forecast is None)


def test_looking_back_one_year_leaves_older_prices_out():
    figure = prices.price_chart(replace(VIEW, look_back=1), LIGHT)
    shown = [on for name in ("asked", "sold") for trace in named(figure, name) for on in trace.x]
    assert min(shown) >= TODAY - dt.timedelta(days=385)
    assert len(shown) < len(SEEN)


def test_a_finger_scrolls_the_page_and_not_the_chart():
    figure = prices.price_chart(VIEW, LIGHT)
    assert figure.layout.dragmode is False
    assert figure.layout.xaxis.fixedrange is True
    assert figure.layout.yaxis.fixedrange is True
    assert figure.layout.showlegend is False


def test_the_alternative_text_says_what_is_most_likely():
    alt = prices.price_alt(replace(VIEW, supply=SUPPLY))
    assert alt == (
        "Clown: 30 sold and 90 asked prices to 2026-11-25; most likely 70 EUR in November 2029, "
        "8 in 10 from 45 to 130; last supply count 40."
    )


def test_the_key_names_only_what_is_drawn():
    full = words(tree(prices.key_html(supply=True, expected=True)))
    assert full == "● sold– askedfittedforecast8 in 1019 in 20offeredexpected supply"
    assert words(tree(prices.key_html(forecast=False))) == "● sold– asked"


def test_the_report_names_the_fit_in_use_and_never_prints_an_untried_one_as_0():
    fits = (
        prices.FitLine("Trend", "pooled", 0.18, 24, used=True),
        prices.FitLine("Season", "needs three years", None, 0),
    )
    found = rows(tree(prices.report_table("Fits", "Tried.", rows=fits)))
    assert found[0] == ["Trend, used herepooled", "", "Typical miss18\u202f%", "Forecasts tried24"]
    assert found[1][2] == "Typical misscan't say"


def test_the_basis_is_escaped():
    assert words(tree(prices.basis_note("<script>"))) == "What this rests on. <script>"
