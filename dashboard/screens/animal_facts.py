"""Weights and gene tests of one animal: what is known, and fields for the next one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import heading
from dashboard.figures.plain import ActionLine, action_table
from dashboard.figures.weights import weight_line
from dashboard.jobs.animal_facts import FactsAnswer, facts_answer
from dashboard.jobs.typed import day_of, day_text, grams_of, share_of, sum_of, sum_text
from dashboard.records import AnimalRecord, BookError, Conflict
from dashboard.records.kinds import GENE_TESTS, WEIGHTS, GeneTestRecord, RowKind
from dashboard.records.spreadsheets import CellRefused
from dashboard.screens.focus import focus_on
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved
from dashboard.words import day_words, num, number_word, percent, plural
from econ.money import BadAmount

MOST = 6
WEIGHTS_READING = "All weights as a line above 0 g; beneath, the newest first."
TEST_RESULTS = next(field.choices for field in GENE_TESTS.fields if field.name == "result")
_WEIGHT_NAMES = {"on": "Day", "grams": "Grams"}
_TEST_NAMES = {
    "on": "Day", "gene": "Gene", "result": "Result", "right_if_carried": "Finds a carrier",
    "right_if_not": "Clears others", "fee_minor": "Fee", "note": "Note",
}  # fmt: skip


def close() -> None:
    """Leave off changing a weight or a test."""
    for kind in (WEIGHTS, GENE_TESTS):
        session.choose(f"fact-{kind.name}", None)
        clear(kind.name)


def weights(animal: AnimalRecord) -> None:
    """Show the weights of an animal and take the next one."""
    facts = _facts(animal)
    rows = facts.weights if session.choice("all-weights", default=False) else facts.weights[:MOST]
    points = [(step.record.on, step.record.grams) for step in reversed(facts.weights)]
    if rows:
        lines = [
            ActionLine(
                name=f"{num(step.record.grams)} g",
                under="" if step.change is None else f"{num(step.change, sign=True)} g since the one before",
                state=step.record.on.isoformat(),
                actions=_actions(step.record),
            )
            for step in rows
        ]
        html = action_table(
            _weight_title(facts), WEIGHTS_READING if len(points) > 1 else "The next one makes it a line.",
            heads=("Weight", "Day", "Change"), rows=lines, figure=weight_line(points),
        )  # fmt: skip
        draw(html, WEIGHTS.name, on_use=lambda: _act(WEIGHTS, facts))
    else:
        draw(heading("No weight yet", "A day and grams; the course shows here.", spaced=True), WEIGHTS.name)
    if len(facts.weights) > len(rows) and st.button(
        f"Show all {len(facts.weights)} weights", type="tertiary"
    ):
        session.choose("all-weights", value=True)
        st.rerun()
    _form(WEIGHTS, animal, facts, _weight_fields, _WEIGHT_NAMES, "weight")


def tests(animal: AnimalRecord) -> None:
    """Show the gene tests of an animal and take the next one."""
    facts = _facts(animal)
    if facts.tests:
        lines = [
            ActionLine(
                name=f"{test.gene}: {test.result}",
                under=_test_details(test),
                state=test.on.isoformat(),
                actions=_actions(test),
            )
            for test in facts.tests
        ]
        count = len(lines)
        title = f"{number_word(count, start=True)} gene {plural(count, 'test')}"
        html = action_table(title, "Newest first.", heads=("Gene and result", "Day", "Change"), rows=lines)
        draw(html, GENE_TESTS.name, on_use=lambda: _act(GENE_TESTS, facts))
    else:
        reading = "A test of a shed skin says what the eye can’t see. One row a gene."
        draw(heading("No gene test yet", reading, spaced=True), GENE_TESTS.name)
    _form(GENE_TESTS, animal, facts, _test_fields, _TEST_NAMES, "test")


def _facts(animal: AnimalRecord) -> FactsAnswer:
    book = session.current_book()
    return session.computed("animal facts", lambda: facts_answer(book, animal.id), parts=animal.id)


def _weight_title(facts: FactsAnswer) -> str:
    newest = facts.weights[0].record
    title = f"{num(newest.grams)} g on {day_words(newest.on)}"
    if facts.change is None:
        return title
    change, since = facts.change
    if not change:
        return f"{title}, the same as on {day_words(since)}"
    return f"{title}, {num(abs(change))} g {'more' if change > 0 else 'less'} than on {day_words(since)}"


def _test_details(test: GeneTestRecord) -> str:
    home = session.current_book().currency
    parts = []
    if test.right_if_carried is not None:
        parts.append(f"finds {percent(test.right_if_carried)} of carriers")
    if test.right_if_not is not None:
        parts.append(f"clears {percent(test.right_if_not)} of others")
    if test.fee_minor is not None:
        fee = sum_text(test.fee_minor, test.currency, home=home)
        parts.append(f"fee {fee}" if fee[-1:].isalpha() else f"fee {fee} {home}")
    return " · ".join([*parts, *([test.note] if test.note else [])])


def _actions(record: Any) -> tuple[tuple[str, str], ...]:
    return (
        ("Change", f"change:{record.id}:{record.version}"),
        ("Remove", f"remove:{record.id}:{record.version}"),
    )


def _act(kind: RowKind[Any], facts: FactsAnswer) -> None:
    """Open a row for change, or remove it, before the page runs again."""
    deed, *numbers = (session.used(kind.name) or "").split(":")
    if len(numbers) != 2:
        return
    row_id, version = (int(number) for number in numbers)
    clear(kind.name)
    if deed == "change":
        records: list[Any] = [step.record for step in facts.weights] if kind is WEIGHTS else [*facts.tests]
        seen = next((record for record in records if (record.id, record.version) == (row_id, version)), None)
        _turn_to(kind, seen)
        return
    try:
        session.current_book().remove_row(kind, row_id, version)
    except BookError as fault:
        refuse(kind.name, fault)
    else:
        _turn_to(kind, None)
        saved(f"The {kind.one} was removed.")


def _turn_to(kind: RowKind[Any], seen: Any) -> None:
    """Show the fields anew: for a row to change, or empty for the next one."""
    session.choose(f"fact-{kind.name}", seen)
    session.choose(f"turn-{kind.name}", session.choice(f"turn-{kind.name}", 0) + 1)


def _form(
    kind: RowKind[Any],
    animal: AnimalRecord,
    facts: FactsAnswer,
    fields: Callable[[str, Any, FactsAnswer], dict[str, Any]],
    names: Mapping[str, str],
    word: str,
) -> None:
    """Show the fields of one fact, store it when asked, and settle what another window did."""
    seen, turn = session.choice(f"fact-{kind.name}", None), session.choice(f"turn-{kind.name}", 0)
    key = f"{word}-{animal.id}-{turn}"
    with st.form(key, border=False):
        values = fields(key, seen, facts)
        with st.container(horizontal=True):
            sent = st.form_submit_button(f"Save this {word}" if seen else f"Add a {word}")
            left = seen is not None and st.form_submit_button("Leave it", type="tertiary")
    if left:
        _turn_to(kind, None)
        st.rerun()
    if sent:
        _send(kind, seen, {**values, "animal_id": animal.id})
    refused(kind.name)
    focus_on(f"{key}-{'gene' if word == 'test' else 'grams'}", turn, place=word)
    chosen = clashed(
        kind.name, names=names, show=lambda _name, value: "not said" if value in (None, "") else str(value)
    )
    if chosen is not None:
        _settle(kind, *chosen)


def _send(kind: RowKind[Any], seen: Any, typed: dict[str, Any]) -> None:
    clear(kind.name)
    try:
        values = _read(kind, typed)
    except (CellRefused, BadAmount) as fault:
        refuse(kind.name, fault)
        return
    _store(kind, None if seen is None else (seen.id, seen.version), values)


def _store(kind: RowKind[Any], row: tuple[int, int] | None, values: dict[str, Any]) -> None:
    book = session.current_book()
    try:
        if row is None:
            book.add_row(kind, values)
        else:
            book.change_row(kind, *row, values)
    except Conflict as fault:
        clash(kind.name, fault, row=row, values=values)
        st.rerun()
    except BookError as fault:
        refuse(kind.name, fault)
        return
    saved(f"The {kind.one} is saved.")
    _turn_to(kind, None)
    st.rerun()


def _settle(kind: RowKind[Any], which: str, kept: Any) -> None:
    clear(kind.name)
    if which == "mine":
        _store(kind, (kept.again["row"][0], kept.fault.stored_version), kept.again["values"])
    _turn_to(kind, None)
    st.rerun()


def _read(kind: RowKind[Any], typed: Mapping[str, Any]) -> dict[str, Any]:
    """Read what was typed as the records take it; raises `CellRefused` or `BadAmount`."""
    values = dict(typed)
    values["on"] = day_of(typed["on"])
    if kind is WEIGHTS:
        return {**values, "grams": grams_of(typed["grams"])}
    fee, code = sum_of(values.pop("fee"), session.current_book().currency)
    shares = {name: share_of(typed[name]) for name in ("right_if_carried", "right_if_not")}
    return {**values, **shares, "fee_minor": fee, "currency": code}


def _weight_fields(key: str, seen: Any, facts: FactsAnswer) -> dict[str, Any]:
    places = st.columns([1.4, 1.4, 4], gap="small")
    grams = places[0].text_input(
        "Grams", "" if seen is None else f"{seen.grams:g}", placeholder="1540", key=f"{key}-grams"
    )
    day = places[1].text_input("Day", day_text(seen.on if seen else facts.today), key=f"{key}-on")
    return {"on": day, "grams": grams}


def _test_fields(key: str, seen: Any, facts: FactsAnswer) -> dict[str, Any]:
    home = session.current_book().currency
    first = st.columns([2, 1.8, 1.4, 1.4], gap="small")
    gene = first[0].text_input("Gene", seen.gene if seen else "", placeholder="clown", key=f"{key}-gene")
    place = TEST_RESULTS.index(seen.result) if seen else 0
    result = first[1].selectbox("Result", TEST_RESULTS, place, key=f"{key}-result")
    day = first[2].text_input(
        "Day of the result", day_text(seen.on if seen else facts.today), key=f"{key}-on"
    )
    fee_now = sum_text(seen.fee_minor, seen.currency, home=home) if seen else ""
    fee = first[3].text_input(f"Fee, {home}", fee_now, placeholder="45", key=f"{key}-fee")
    second = st.columns([2, 1.8, 2.8], gap="small")
    found = second[0].text_input(
        "Of 100 carriers it finds", _percent(seen and seen.right_if_carried), placeholder="all",
        key=f"{key}-right_if_carried",
    )  # fmt: skip
    cleared = second[1].text_input(
        "Of 100 others it clears", _percent(seen and seen.right_if_not), placeholder="all",
        key=f"{key}-right_if_not",
    )  # fmt: skip
    words = second[2].text_input("Note", seen.note if seen else "", key=f"{key}-said")
    return {
        "gene": gene, "result": result, "on": day, "fee": fee, "right_if_carried": found,
        "right_if_not": cleared, "note": words,
    }  # fmt: skip


def _percent(share: float | None) -> str:
    return "" if not share else f"{100 * share:g}"
