"""The pairings entered for a season: add one, put it in the plan, take it out, remove it."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import marked_note
from dashboard.figures.markup import esc, heading
from dashboard.figures.plain import ActionLine, action_table
from dashboard.jobs.animals import AnimalsAnswer, PairingRow
from dashboard.records import BookError, Conflict
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved
from dashboard.warning_words import harm_mark
from dashboard.words import number_word, plural
from genetics import Sex

PLACE = "pairings"
READING = "Only pairings in the plan count for the season. A name leads to what the pairing should earn."


def show(answer: AnimalsAnswer) -> None:
    """Show the pairings of a season and a way to add one."""
    _choose_season(answer)
    if answer.pairings:
        html = action_table(
            plan_sentence(answer),
            READING,
            heads=("Pairing", "Plan", "Change"),
            rows=[_line(row) for row in answer.pairings],
        )
        target = draw(html + _doubled(answer), "pairings", on_use=_act)
        if target is not None and ":" not in target:
            session.go(target)
    else:
        draw(heading(plan_sentence(answer)), "no_pairings")
    refused(PLACE)
    _settle_clash()
    _add(answer)


def _choose_season(answer: AnimalsAnswer) -> None:
    if len(answer.seasons) < 2:
        return
    chosen = st.selectbox(
        "Season", answer.seasons, answer.seasons.index(answer.season), key="pairings_season", width=160
    )
    if chosen != answer.season:
        session.choose("animals_season", chosen)
        st.rerun()


def plan_sentence(answer: AnimalsAnswer) -> str:
    """Say how many of a season's pairings are in the plan, true for any number of them."""
    known, planned, season = len(answer.pairings), answer.planned, answer.season
    if not known:
        return f"No pairing is entered for {season}"
    if known == 1:
        return f"The one pairing entered for {season} is {'in' if planned else 'left out of'} the plan"
    many = f"{number_word(known)} pairings entered for {season}"
    if planned == known:
        return f"All {many} are in the plan"
    if not planned:
        return f"None of the {many} is in the plan"
    return f"{number_word(planned, start=True)} of the {many} {plural(planned, 'is', 'are')} in the plan"


def _doubled(answer: AnimalsAnswer) -> str:
    """Say which females stand in the plan more than once."""
    return "".join(
        marked_note(
            "decide",
            f"{dam.name}.",
            text=f"She stands in the plan {'twice' if times == 2 else f'{number_word(times)} times'}, but "
            "lays a single clutch a season. Leave all but one of her pairings out.",
        )
        for dam, times in answer.doubled
    )


def _gone(row: PairingRow) -> str:
    """Say which of the two is gone, so that the pairing can lay no eggs any more."""
    words = {"sold": "was sold", "died": "has died"}
    return " and ".join(f"{animal.name} {words[animal.status]}" for animal in row.gone)


def _line(row: PairingRow) -> ActionLine:
    pairing = row.pairing
    under = f"{row.sire.text} × {row.dam.text}" + (f" · {pairing.note}" if pairing.note else "")
    may_turn = pairing.planned or not row.gone
    turn = "Take out of the plan" if pairing.planned else "Put in the plan"
    return ActionLine(
        name=row.name,
        under=under,
        state=("in the plan" if pairing.planned else "left out") + (f"; {_gone(row)}" if row.gone else ""),
        actions=(
            *(
                ((turn, f"plan:{pairing.id}:{pairing.version}:{int(not pairing.planned)}"),)
                if may_turn
                else ()
            ),
            ("Remove", f"remove:{pairing.id}:{pairing.version}:0"),
        ),
        link="" if row.gone else f"pairing?sire={row.sire.id}&dam={row.dam.id}&season={pairing.season}",
        pale=not pairing.planned,
        marks=(harm_mark(row.harms),) if row.harms else (),
    )


def _act() -> None:
    """Do what was just asked of a pairing, before the page runs again; a link to a page is left alone."""
    deed, *numbers = (session.used("pairings") or "").split(":")
    if not numbers:
        return
    pairing_id, version, planned = (int(number) for number in numbers)
    clear(PLACE)
    _save(deed, pairing_id, version, planned=bool(planned))


def _save(deed: str, pairing_id: int, version: int, *, planned: bool) -> None:
    book = session.current_book()
    try:
        if deed == "remove":
            book.remove_pairing(pairing_id, version)
        else:
            book.change_pairing(pairing_id, version, planned=planned)
    except Conflict as fault:
        clash(PLACE, fault, deed=deed, id=pairing_id, planned=planned)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        saved("Removed." if deed == "remove" else "In the plan." if planned else "Left out of the plan.")


def _settle_clash() -> None:
    chosen = clashed(PLACE, names={"planned": "Plan"}, show=_shown)
    if chosen is None:
        return
    answer, kept = chosen
    clear(PLACE)
    if answer == "mine":
        again = kept.again
        _save(again["deed"], again["id"], kept.fault.stored_version, planned=again["planned"])
    st.rerun()


def _shown(_name: str, value: object) -> str:
    return "in the plan" if value else "left out"


def _add(answer: AnimalsAnswer) -> None:
    """Offer to enter a pairing of two animals that are here."""
    males, females = answer.could_be(Sex.MALE), answer.could_be(Sex.FEMALE)
    if not males or not females:
        lacking = " and ".join(
            word for word, found in (("a male", males), ("a female", females)) if not found
        )
        draw(f"<p>{esc(f'To pair, enter {lacking} first; unsexed animals can’t be paired.')}</p>", "lacking")
        return
    with st.form("add_pairing", border=False):
        places = st.columns([2, 2, 1, 3], gap="small", vertical_alignment="bottom")
        sire = places[0].selectbox("Sire", males, format_func=lambda animal: animal.name, key="new_sire")
        dam = places[1].selectbox("Dam", females, format_func=lambda animal: animal.name, key="new_dam")
        season = places[2].number_input("Season", 1980, 2100, answer.season, 1, key=f"season-{answer.season}")
        with places[3]:
            sent = st.form_submit_button("Add this pairing")
    if not sent or sire is None or dam is None:
        return
    clear(PLACE)
    try:
        session.current_book().add_pairing(int(season), sire.id, dam.id)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.choose("animals_season", int(season))
        saved(f"{sire.name} × {dam.name} is entered for {int(season)}.")
    st.rerun()
