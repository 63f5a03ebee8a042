"""Pairing, beneath the money: how long until a wanted hatchling, and why the rule of thumb misleads."""

from __future__ import annotations

from decimal import Decimal

import streamlit as st

from dashboard import odds_words, session
from dashboard.figures.chart_frame import kept_html
from dashboard.figures.component import draw, palette_now, show_chart
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.odds import WaitLine, wait_alt, wait_chart, wait_table
from dashboard.figures.palette import LIGHT
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.look_harms import look_harms
from dashboard.jobs.odds import (
    MOST_FEMALES,
    SEXES,
    OddsAnswer,
    Wanted,
    looks_to_wait_for,
    odds_answer,
)
from dashboard.jobs.pairing import PairingAnswer
from dashboard.records.spreadsheets.exports import Sheet, as_csv
from dashboard.warning_words import ASK_A_VET
from genetics import TooManyParents

KEY = "pairing-odds"
ASK = "How long until one hatches: another look, season by season"


def show(answer: PairingAnswer) -> None:
    """Say how long a look of this clutch takes; choice, chart and points only where it is opened."""
    labels = looks_to_wait_for(answer.looks)
    if not labels:
        return
    wanted = _chosen(answer, labels)
    try:
        found = odds_answer(
            answer.valued.couple, answer.valued.looks, wanted, catalogue=catalogue_of(session.current_book())
        )
    except TooManyParents as fault:
        found, refused = None, str(fault)
    if found is not None:
        draw(heading(odds_words.title(found), odds_words.title_reading(found), spaced=True), "odds-answer")
    part = st.expander(ASK, key=KEY, on_change="rerun")  # another label would close it
    if not part.open:
        return
    with part:
        _ask(answer, labels, wanted)
        if found is None:
            draw(note("none", f"{strong('Can’t say.')} {esc(refused)}"), "odds-refused")
            return
        _harms(answer, wanted.label)
        _figures(answer, found)


def _place(answer: PairingAnswer) -> str:
    couple = answer.valued.couple
    return f"{couple.sire.id}-{couple.dam.id}"


def _chosen(answer: PairingAnswer, labels: tuple[str, ...]) -> Wanted:
    """What was chosen for this couple last, else the dearest look; a look that went is let go."""
    kept = session.choice(f"odds-{_place(answer)}", Wanted(labels[0]))
    return kept if kept.label in labels else Wanted(labels[0], kept.sex, kept.females)


def _ask(answer: PairingAnswer, labels: tuple[str, ...], wanted: Wanted) -> None:
    place = _place(answer)
    left, middle, right = st.columns([3, 1.4, 1.4], gap="small")
    with left:
        _begin(f"odds-look-{place}", wanted.label)
        st.selectbox(
            "Look, the dearest first", labels, key=f"odds-look-{place}", on_change=_keep, args=(answer,)
        )
    with middle:
        _begin(f"odds-sex-{place}", wanted.sex)
        st.selectbox("Sex", SEXES, key=f"odds-sex-{place}", on_change=_keep, args=(answer,))
    with right:
        _begin(f"odds-females-{place}", wanted.females)
        st.number_input(
            "Females like this one",
            min_value=1,
            max_value=MOST_FEMALES,
            step=1,
            key=f"odds-females-{place}",
            on_change=_keep,
            args=(answer,),
        )


def _begin(key: str, value: object) -> None:
    session.begin_with(key, value)


def _keep(answer: PairingAnswer) -> None:
    """Remember what is waited for, so that it holds while the part is closed."""
    place = _place(answer)
    label, sex, females = (session.typed(f"odds-{what}-{place}") for what in ("look", "sex", "females"))
    if label is not None and sex is not None and females is not None:
        session.choose(f"odds-{place}", Wanted(label, sex, int(females)))


def _harms(answer: PairingAnswer, label: str) -> None:
    """Known harms of the look that is waited for, above its odds."""
    catalogue = catalogue_of(session.current_book())
    harms = look_harms(answer.valued.couple, answer.valued.looks, label, catalogue=catalogue)
    if harms:
        said = " ".join(
            f"{harm.genes.capitalize()}: {harm.note.what} ({harm.note.source.text})" for harm in harms
        )
        draw(
            note("welfare", f"{mark('welfare')} {strong(f'A {label}.')} {esc(f'{said} {ASK_A_VET}')}"),
            "odds-welfare",
        )


def _figures(answer: PairingAnswer, found: OddsAnswer) -> None:
    title = odds_words.chart_title(found)
    draw(heading(title, odds_words.chart_reading(found)), "odds-head")
    if found.ever > 0:
        show_chart(wait_chart(found.chart, palette_now()), "odds-chart", wait_alt(title, found.chart))
        draw(f'<p class="lead">{esc(odds_words.rule_sentence(found))}</p>', "odds-rule")
        draw(
            wait_table(odds_words.points_title(found), odds_words.points_reading(found), rows=_lines(found)),
            "odds-points",
        )
        _take_away(answer, found)


def _lines(found: OddsAnswer) -> list[WaitLine]:
    return [
        WaitLine(
            odds_words.counted_name(item.counted),
            odds_words.counted_under(item.counted, found),
            tuple(odds_words.number(count) for _, count in item.points),
        )
        for item in found.needed
    ]


def _take_away(answer: PairingAnswer, found: OddsAnswer) -> None:
    name = answer.valued.name.replace(" × ", "-").lower()
    with st.container(horizontal=True):
        st.download_button(
            "Chances as CSV",
            data=lambda: as_csv(odds_sheet(found)),
            file_name=f"wait-{name}.csv",
            mime="text/csv",
            on_click="ignore",
        )
        st.download_button(
            "Chart as HTML",
            data=lambda: kept_html(
                wait_chart(found.chart, LIGHT),
                LIGHT,
                title=odds_words.title(found),
                source=odds_words.source(answer, found),
            ).encode("utf-8"),
            file_name=f"wait-{name}.html",
            mime="text/html",
            on_click="ignore",
        )


def odds_sheet(found: OddsAnswer) -> Sheet:
    """Chance by season, the points, and the rule of thumb, as one table; what is never reached is empty."""
    what, chart = odds_words.subject(found.wanted), found.chart
    rows = [
        (what, "season", _cell(season), _cell(chance))
        for season, chance in zip(chart.years, chart.chances, strict=True)
    ]
    for item in found.needed:
        rows += [
            (what, f"{item.counted} needed", _cell(count), _cell(chance)) for chance, count in item.points
        ]
    rule = (_cell(chart.rule_years), _cell(chart.chance_at_rule))
    rows.append((what, "seasons by the rule of thumb", *rule))
    return Sheet("wait", ("waited for", "counted", "number", "chance"), tuple(rows))


def _cell(value: float | None) -> Decimal | str:
    return "" if value is None else Decimal(f"{value:.6f}").normalize()
