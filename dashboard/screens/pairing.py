"""Pairing: what does one pairing leave, what does it need, and what does the answer hang on?"""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw, palette_now, show_chart
from dashboard.figures.marks import mark, note
from dashboard.figures.markup import esc, heading, link, strong
from dashboard.figures.pairing import needs_strip, outcome_alt, outcome_dots, outcome_title
from dashboard.figures.plain import facts_table
from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.pairing import PairingAnswer, Parents, pairing_answer, parents
from dashboard.jobs.valuation import NoPrices
from dashboard.records import AnimalRecord, BookError
from dashboard.records.herd.pairings import FIRST_SEASON, LAST_SEASON
from dashboard.screens import (
    pairing_figures,
    pairing_gone,
    pairing_known,
    pairing_odds,
    pairing_parts,
    pairing_relations,
)
from dashboard.warning_words import (
    flood_figures,
    flood_record,
    flood_sentence,
    flood_title,
    harm_sentence,
    harm_text,
)
from dashboard.words import loss_sentence, money, number_word, plural, rng
from econ.assumptions import AssumptionError
from genetics import NotationError, PairingError


def page() -> None:
    """Show one pairing of the season the address names, else of the season to come."""
    if pairing_gone.show():
        return
    book = session.current_book()
    season = _season()
    choice = session.computed("parents", lambda: parents(book, season), parts=season)
    if not choice.males or not choice.females:
        _empty(choice)
        return
    sire, dam = _chosen(choice)
    trial = _trial(choice, sire, dam)
    top = st.container()
    chooser = st.container()
    with chooser:
        sire, dam = _choose(choice, sire, dam)
    try:
        answer = session.computed(
            "pairing",
            lambda: pairing_answer(
                book, sire.id, dam.id, catalogue=catalogue_of(book), season=choice.season, trial=trial
            ),
            parts=(choice.season, sire.id, dam.id, tuple(sorted(trial.items()))),
        )
    except NoPrices as fault:
        with top:
            st.title(f"{sire.name} × {dam.name} can’t be valued without prices", anchor=False)
            draw(note("none", f"{esc(fault)} Load or type a few prices you have seen first."), "fault")
            if st.button("Load prices", type="primary"):
                session.go("prices")
        return
    except (NotationError, PairingError, AssumptionError, BookError) as fault:
        with top:
            st.title(f"{sire.name} × {dam.name} can’t be valued", anchor=False)
            draw(note("none", f"{esc(fault)} {strong('Nothing was changed.')}"), "fault")
        return
    with top:
        _warnings(answer)
        st.title(_title(answer), anchor=False)
    _show(answer)


def _season() -> int | None:
    """The season the address names; None if it names none, or no year a pairing can be entered for."""
    said = session.asked_for("season") or ""
    year = int(said) if said.isascii() and said.isdigit() else 0
    return year if FIRST_SEASON <= year <= LAST_SEASON else None


def _trial(choice: Parents, sire: AnimalRecord, dam: AnimalRecord) -> dict[str, float]:
    """Figures tried for a couple; they are let go when it is looked at for another season."""
    couple = f"{sire.id}-{dam.id}"
    if session.choice(f"trial-season-{couple}", choice.season) != choice.season:
        session.choose(f"trial-{couple}", {})
    session.choose(f"trial-season-{couple}", choice.season)
    return session.choice(f"trial-{couple}", {})


def _empty(choice: Parents) -> None:
    missing = "a male and a female" if not choice.males and not choice.females else (
        "a male" if not choice.males else "a female"
    )  # fmt: skip
    st.title("A pairing needs two animals", anchor=False)
    draw(
        f'<p class="lead">This book has not got {esc(missing)} yet. Write each as on a label, for example '
        f"{strong('1.0 pastel het clown')}.</p>",
        "empty",
    )
    if st.button("Enter animals", type="primary"):
        session.go("animals")


def _chosen(choice: Parents) -> tuple[AnimalRecord, AnimalRecord]:
    """The couple the address names, else the first pairing of the season, else the first of each sex."""
    wanted = (session.asked_for("sire"), session.asked_for("dam"))
    first = choice.pairings[0] if choice.pairings else None
    sire = _by_id(choice.males, wanted[0]) or _by_id(choice.males, first and first.sire_id) or choice.males[0]
    dam = (
        _by_id(choice.females, wanted[1])
        or _by_id(choice.females, first and first.dam_id)
        or choice.females[0]
    )
    return sire, dam


def _by_id(animals: tuple[AnimalRecord, ...], id_: object) -> AnimalRecord | None:
    return next((animal for animal in animals if str(animal.id) == str(id_)), None)


def _choose(choice: Parents, sire: AnimalRecord, dam: AnimalRecord) -> tuple[AnimalRecord, AnimalRecord]:
    """Let the breeder choose sire and dam; a change leads to that couple's address, same season."""

    def name(animal: AnimalRecord) -> str:
        return f"{animal.name}: {animal.text}"

    left, right = st.columns(2, gap="medium")
    key = f"{choice.season}-{sire.id}-{dam.id}"
    with left:
        new_sire = st.selectbox(
            "Sire", choice.males, index=choice.males.index(sire), format_func=name, key=f"sire-{key}"
        )
    with right:
        new_dam = st.selectbox(
            "Dam", choice.females, index=choice.females.index(dam), format_func=name, key=f"dam-{key}"
        )
    if (new_sire.id, new_dam.id) != (sire.id, dam.id):
        session.go(f"pairing?sire={new_sire.id}&dam={new_dam.id}&season={choice.season}")
    return sire, dam


def _warnings(answer: PairingAnswer) -> None:
    """Welfare first, then flood, above everything else."""
    if answer.valued.harms:
        harms = answer.valued.harms
        words = f"{mark('welfare')} {strong(harm_sentence(harms))} {esc(harm_text(harms))}"
        draw(note("welfare", words), "welfare")
    pairing_relations.warn(answer)
    flood = answer.flood
    if flood is not None and flood.level in {"likely", "possible"}:
        said = strong(flood_sentence(flood, answer.currency))
        draw(note("flood", f"{mark('flood', f': {flood.level}')} {said} {esc(flood_record())}"), "flood")


def _title(answer: PairingAnswer) -> str:
    margin, name = answer.valued.budget.margin, answer.valued.name
    if margin < 0:
        return f"{name} should lose {money(-margin)} {answer.currency}"
    return f"{name} should leave {money(margin)} {answer.currency}"


def _show(answer: PairingAnswer) -> None:
    pairing_known.show(answer)
    outcomes = answer.valued.outcomes
    left, right = st.columns([3, 2], gap="medium")
    with left:
        target = draw(f'<p class="lead">{_lead(answer)}</p>', "lead")
        if target:
            session.go(target)
        values = list(outcomes.draws)
        reading = f"Margin of this pairing in {answer.currency}. Hollow dots are losses."
        draw(heading(outcome_title(values), reading), "dots-head")
        show_chart(
            outcome_dots(values, answer.currency, palette_now()), "dots", outcome_alt(values, answer.currency)
        )
    with right:
        draw(_needs(answer), "needs")
    draw(pairing_figures.budget(answer), "budget")
    pairing_parts.assumptions(answer)
    draw(pairing_figures.looks(answer, everything=session.choice("all_looks", default=False)), "looks")
    pairing_parts.more_looks(answer)
    if answer.flood is not None:
        st.header(flood_title(answer.flood))
        draw(facts_table("Flood warning", flood_figures(answer.flood, answer.currency)), "flood-figures")
    pairing_odds.show(answer)
    pairing_relations.show(answer)
    pairing_parts.buttons(answer)


def _lead(answer: PairingAnswer) -> str:
    outcomes = answer.valued.outcomes
    low, high = (float(q) for q in outcomes.quantiles(0.1, 0.9))
    words = f"Season {answer.valued.couple.season}. In 8 of 10 such seasons between {strong(money(low))} "
    words += f"and {strong(money(high))}. "
    words += esc(loss_sentence(outcomes.loss_chance))
    barren = outcomes.loss_without_young
    if outcomes.loss_chance >= 0.01 and barren > 0.8:
        words = words.rstrip(".") + ", nearly always because nothing hatches."
    elif outcomes.loss_chance >= 0.01 and barren > 0.5:
        words = words.rstrip(".") + ", mostly because nothing hatches."
    return words + _without_price(answer)


def _without_price(answer: PairingAnswer) -> str:
    """Say beside the sum that some looks are counted as nothing, with the way to give them a price."""
    n, total = len(answer.valued.unpriced), len(answer.valued.looks.rows)
    if not n:
        return ""
    verb, count = plural(n, "has", "have"), plural(n, "counts", "count")
    said = (
        f"{number_word(n, start=True)} of {number_word(total)} looks {verb} no price and {count} as nothing;"
    )
    return f" {strong(said)} {link('enter a price', 'prices')} and the sum follows."


def _needs(answer: PairingAnswer) -> str:
    average = answer.average
    return needs_strip(
        answer.valued.points.price,
        average.expected,
        q10=average.low80,
        q25=average.low50,
        q75=average.high50,
        q90=average.high80,
        currency=answer.currency,
        reading=(
            f"Mean price over the clutch when sold, {answer.currency}. "
            f"8 in 10: {rng(average.low80, average.high80)}."
        ),
        facts=pairing_figures.need_facts(answer),
    )
