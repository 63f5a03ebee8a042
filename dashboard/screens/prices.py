"""Prices: how is a trait doing, and what is this combination worth?"""

from __future__ import annotations

from typing import cast

import streamlit as st

from dashboard import session
from dashboard.figures.chart_frame import kept_html
from dashboard.figures.component import draw, palette_now, show_chart
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.palette import LIGHT
from dashboard.figures.plain import facts_table
from dashboard.figures.prices import (
    PriceView,
    basis_note,
    key_html,
    price_alt,
    price_chart,
    report_table,
    trait_panels,
)
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.prices import (
    PricesAnswer,
    TraitAnswer,
    own_young,
    price_of,
    prices_answer,
    remember_shown,
    trait_report,
)
from dashboard.records.spreadsheets.exports import as_csv, export_csv
from dashboard.screens import missing_list, price_figures, rows
from dashboard.screens.import_file import import_panel
from econ.prices.observations import STAGES, Stage
from genetics import NotationError, Sex

LOOK_BACK = {"1 year": 1.0, "3 years": 3.0, "all": None}


def page() -> None:
    """Show how the book's traits do, one of them in depth, and take in new prices."""
    book = session.current_book()
    answer = session.computed("prices", lambda: prices_answer(book, catalogue=catalogue_of(book)))
    if not answer.traits:
        _empty()
        return
    remember_shown(book, answer)
    st.title(price_figures.title(answer), anchor=False)
    missing_list.show(missing_list.find().of("no rate"), key="prices_missing")
    target = draw(trait_panels(price_figures.groups(answer), currency=answer.currency), "panels")
    if target:
        session.go(target)
    trait, look_back = _choose(answer)
    _depth(answer, trait, look_back)
    _combination(answer)
    _enter()
    import_panel("prices", ("prices", "supply"))


def _empty() -> None:
    st.title("No prices yet", anchor=False)
    words = "Load a list of prices you have seen or been paid, one line each, for example "
    example = "2026-11-02, pastel het clown, female, asked, 120, EUR"
    draw(
        f'<p class="lead">{esc(words)}{strong(example)}. A spreadsheet saved as CSV or XLSX will do.</p>',
        "empty",
    )
    _enter()
    import_panel("prices", ("prices", "supply"))


def _enter() -> None:
    reading = "What one animal was asked or paid for, written as on its label."
    draw(heading("Enter a price you have seen", reading, spaced=True), "price-head")
    rows.price_line()


def _choose(answer: PricesAnswer) -> tuple[TraitAnswer, float | None]:
    keys = sorted(trait.outlook.key for trait in answer.traits)
    asked = session.asked_for("trait")
    first = asked if asked in keys else price_figures.most_pressing(answer).outlook.key
    with st.container(horizontal=True, vertical_alignment="bottom"):
        key = st.selectbox(
            "Trait in depth",
            keys,
            index=keys.index(first),
            format_func=str.capitalize,
            width=260,
            key=f"trait-{first}",
        )
        back = st.radio("Look back", list(LOOK_BACK), index=1, horizontal=True, key="look_back")
    if key != first:
        session.go(f"prices?trait={key}")
    found = answer.trait(key)
    assert found is not None  # noqa: S101 - the key was chosen from these traits
    return found, LOOK_BACK[back]


def _depth(answer: PricesAnswer, trait: TraitAnswer, look_back: float | None) -> None:
    book = session.current_book()
    own = session.computed(
        "own_young", lambda: own_young(book, trait, catalogue=catalogue_of(book)), parts=trait.outlook.key
    )
    st.header(price_figures.depth_title(trait, answer), anchor=False)
    said = price_figures.depth_lead(trait, own)
    if said:
        draw(f'<p class="lead">{esc(said)}</p>', "depth-lead")
    known = not price_figures.cant_say(trait)
    if not known:
        why, reach = price_figures.too_few_words(trait, answer)
        draw(note("none", f"{strong(why)} {esc(reach)}"), "few")
    shown = price_figures.view(trait, answer, own=own, look_back=look_back)
    show_chart(price_chart(shown, palette_now()), f"depth-{trait.outlook.key}-{look_back}", price_alt(shown))
    draw(key_html(forecast=known, supply=trait.supply is not None), "key")
    draw(basis_note(price_figures.basis_words(trait, answer)), "basis")
    if known:
        rows = price_figures.horizon_rows(trait, answer)
        draw(facts_table(f"{trait.outlook.key} ahead", rows), "horizons")
    draw(basis_note(price_figures.supply_words(trait), lead="Price and offers."), "supply-words")
    _report(trait)
    _take_away(answer, trait, shown)


def _report(trait: TraitAnswer) -> None:
    """Simple fits beside ours; the first time takes a second or two, so the page above comes first."""
    book = session.current_book()
    with st.spinner("Trying simpler forecasts on your own past prices"):
        reports = session.computed(
            "report", lambda: trait_report(book, trait.outlook), parts=trait.outlook.key
        )
    if not any(report.n_forecasts for report in reports):
        words = f"{trait.outlook.key.capitalize()} has too few prices to try simpler forecasts on its past."
        draw(note("none", esc(words)), "report")
        return
    lines = price_figures.fit_lines(reports)
    title = f"{lines[0].name} missed least on past prices of {trait.outlook.key}"
    reading = (
        "Each way forecast your later prices from your earlier ones. It informs; it does not choose: the "
        "best of the past is often luck."
    )
    draw(report_table(title, reading, rows=lines), "report")


def _take_away(answer: PricesAnswer, trait: TraitAnswer, view: PriceView) -> None:
    book = session.current_book()
    with st.container(horizontal=True):
        st.download_button(
            "Forecasts as CSV",
            data=lambda: as_csv(price_figures.forecast_sheet(answer)),
            file_name="forecasts.csv",
            mime="text/csv",
            on_click="ignore",
        )
        st.download_button(
            "Prices as CSV",
            data=lambda: export_csv(book, "prices"),
            file_name="prices.csv",
            mime="text/csv",
            on_click="ignore",
        )
        st.download_button(
            "Chart as HTML",
            data=lambda: _chart(answer, trait, view),
            file_name=f"{trait.outlook.key}.html",
            mime="text/html",
            on_click="ignore",
        )


def _chart(answer: PricesAnswer, trait: TraitAnswer, view: PriceView) -> bytes:
    """Put the chart on a light page of its own that needs no network."""
    page = kept_html(
        price_chart(view, LIGHT),
        LIGHT,
        title=price_figures.depth_title(trait, answer),
        source=trait.outlook.basis.words,
    )
    return page.encode("utf-8")


def _combination(answer: PricesAnswer) -> None:
    """Price any animal as breeders write it."""
    st.header("What is this combination worth?", anchor=False)
    left, middle, right = st.columns([3, 1, 1], gap="small")
    with left:
        text = st.text_input(
            "Animal, as you would write it", placeholder="pastel 66% het clown", key="price_text"
        )
    with middle:
        sex = st.selectbox("Sex", list(Sex), index=2, format_func=str, key="price_sex")
    with right:
        stage = st.selectbox("Stage", STAGES, key="price_stage")
    if not text.strip():
        return
    book = session.current_book()
    try:
        priced = price_of(book, text, sex=Sex(sex), stage=cast("Stage", stage), catalogue=catalogue_of(book))
    except NotationError as fault:
        draw(note("none", f"{esc(fault)} {strong('Nothing was priced.')}"), "unread")
        return
    if priced.forecast.basis.kind == "none":
        draw(note("none", f"{strong('Can’t say.')} {esc(priced.forecast.basis.words)}"), "unpriced")
        return
    draw(
        facts_table(f"{priced.name}, {answer.currency} when sold", price_figures.priced_rows(priced)),
        "priced",
    )
    draw(basis_note(priced.forecast.basis.words), "priced-basis")
