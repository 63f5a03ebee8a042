"""One table of the book, row by row: enter, find, change and remove."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, lead, link
from dashboard.figures.records import RecordLine, records_table
from dashboard.jobs.row_tables import ROW_TABLES, Entry, RowTable
from dashboard.jobs.rows import RowsAnswer, add_typed, change_typed, next_start, rows_answer, start_of
from dashboard.records import BookError, Conflict
from dashboard.records.fields import Field
from dashboard.screens import row_form
from dashboard.screens.row_form import Form, Typed
from dashboard.screens.saving import clash, clashed, clear, refuse, refused, saved, undo_line
from dashboard.words import num, plural

AT_ONCE: Final = 25
_COLUMNS: Final[Mapping[str, tuple[str, ...]]] = {
    "prices": ("what", "price_minor", "kind", "sex", "stage", "on"),
    "supply": ("what", "offered", "on"),
    "pipeline": ("what", "young", "within", "season", "on"),
    "exchange rates": ("currency", "rate", "on"),
    "clutches": ("pairing_id", "laid_on", "fertile", "infertile", "hatched_on", "hatched"),
    "further sires": ("pairing_id", "sire_id"),
    "weights": ("animal_id", "grams", "on"),
    "gene tests": ("animal_id", "gene", "result", "fee_minor", "on"),
    "shows": ("name", "starts_on", "place", "table_minor", "travel_minor", "going"),
    "spending": ("kind", "amount_minor", "what", "animal_id", "on"),
}
"""Fields with a column of their own, in order; the others stand in the second line of a row."""
_WHY: Final = {
    "prices": "What was asked or paid for one animal, on one day. Forecasts rest on these.",
    "supply": "How many of one kind were on offer on one day. Flood warnings rest on these.",
    "pipeline": "Young that others are expected to have.",
    "exchange rates": "What one unit of another currency is worth in your money, from a day on.",
    "clutches": "One row a clutch: when it was laid, its eggs, and what hatched.",
    "further sires": "A second male that was with the dam in the same season: either may be the father.",
    "weights": "One weight a day for an animal, in grams.",
    "gene tests": "What a test of one gene of an animal said.",
    "shows": "Shows you may go to, and what a table and the journey cost.",
    "spending": "Money you spent, for your own record of costs.",
}


def show(name: str) -> None:
    """Show the table of a name, or say that there is none."""
    table = ROW_TABLES.get(name)
    if table is None:
        _missing(name)
        return
    book = session.current_book()
    answer = session.computed("rows", lambda: rows_answer(book, table), parts=name)
    opened = _opened(table)
    st.title(_title(answer, opened), anchor=False)
    target = draw(lead(f"{esc(_WHY[name])} {link('All of the book', 'book')}"), "rows_lead")
    if target:
        session.go(target)
    undo_line()
    refused("undo")
    _settle_clash(answer)
    _form(answer, opened)
    refused(_place(table, "list"))
    _list(answer)


def price_line() -> None:
    """Show one line to enter a price that was just seen."""
    line("prices", "price_line")


def line(name: str, place: str, **start: object) -> None:
    """Show one line to enter a row of a table on another page.

    Parameters
    ----------
    name
        Name of the table.
    place
        Name of this line, unique on the page.
    start
        What stands in some of its boxes at first, by field.
    """
    table, book = ROW_TABLES[name], session.current_book()
    light = RowsAnswer(table, (), book.herd(), book.currency, book.today())
    form = _make(light, place, f"Enter this {table.one}", primary=False)
    row_form.show(form, {**start_of(light, None), **start})


def _missing(name: str) -> None:
    st.title("The book has no such table", anchor=False)
    names = ", ".join(link(table.many, address(table.name)) for table in ROW_TABLES.values())
    target = draw(note("none", f"No table is called “{esc(name)}”. There are: {names}."), "no_table")
    if target:
        session.go(target)


def address(name: str) -> str:
    """Give the address of a table's rows."""
    return f"book?table={name.replace(' ', '%20')}"


def one_of(name: str) -> str:
    """Give what one row of a table is called; empty for a table without rows of its own here."""
    return ROW_TABLES[name].one if name in ROW_TABLES else ""


def _title(answer: RowsAnswer, opened: Entry | None) -> str:
    table, n = answer.table, len(answer.entries)
    if opened is not None:
        article = "an" if table.one[0] in "aeiou" else "a"
        return f"Change {article} {table.one}"
    if not n:
        return f"No {table.one} yet: enter the first"
    return f"The book holds {num(n)} {plural(n, table.one, table.many)}"


def _place(table: RowTable, part: str) -> str:
    return f"rows-{part}-{table.name.replace(' ', '-')}"


def _opened(table: RowTable) -> Entry | None:
    """Row that is being changed, as it was when it was opened."""
    return session.choice(_place(table, "open"), None)


def _open(table: RowTable, entry: Entry | None) -> None:
    session.choose(_place(table, "open"), entry)
    row_form.renew(_place(table, "change"))
    if entry is not None:
        row_form.turn_to(_place(table, "change"))


def _form(answer: RowsAnswer, opened: Entry | None) -> None:
    table = answer.table
    if opened is None:
        form = _make(answer, _place(table, "add"), f"Enter this {table.one}")
        row_form.show(form, _prefilled(answer))
        return
    form = _make(answer, _place(table, "change"), "Save changes", seen=opened)
    row_form.show(form, start_of(answer, opened))
    with st.container(horizontal=True):
        if st.button(f"Remove this {table.one}", key="remove_row"):
            _remove(answer, opened)
            st.rerun()
        if st.button("Leave it as it is", key="leave_row", type="tertiary"):
            _open(table, None)
            st.rerun()


def _make(
    answer: RowsAnswer, place: str, words: str, *, primary: bool = True, seen: Entry | None = None
) -> Form:
    def send(typed: Typed) -> Typed | None:
        return _enter(answer, typed) if seen is None else _change(answer, seen, typed)

    return Form(place, answer.table.fields, answer.herd, answer.currency, words, send, primary)


def _prefilled(answer: RowsAnswer) -> dict[str, object]:
    """Give the boxes of a new row; the address may name what stands in some of them."""
    start = start_of(answer, None)
    for field in answer.table.fields:
        said = session.asked_for(field.name)
        if said is not None:
            start[field.name] = int(said) if said.isdigit() and field.kind != "text" else said
    return start


def _enter(answer: RowsAnswer, typed: Typed) -> Typed:
    stored = add_typed(session.current_book(), answer.table, typed)
    saved("Saved.")
    return next_start(answer, typed, stored)


def _change(answer: RowsAnswer, seen: Entry, typed: Typed) -> None:
    stored = change_typed(session.current_book(), answer.table, seen, typed=typed)
    if stored is None:
        session.tell("Nothing was changed.")
    else:
        saved("Saved.")
    _open(answer.table, None)


def _remove(answer: RowsAnswer, entry: Entry) -> None:
    """Remove a row; it can be taken back at once."""
    table, place = answer.table, _place(answer.table, "list")
    clear(place)
    try:
        table.remove(session.current_book(), entry.id, entry.version)
    except BookError as fault:
        refuse(place, fault)
    else:
        saved("Removed.")
        _open(table, None)


def _settle_clash(answer: RowsAnswer) -> None:
    """Show both values where another window was faster, and do what the breeder chooses."""
    place = _place(answer.table, "change")
    names = {field.name: field.header for field in answer.table.fields}
    chosen = clashed(place, names=names, show=lambda name, value: _shown(answer, name, value))
    if chosen is None:
        return
    said, kept = chosen
    clear(place)
    seen = _opened(answer.table)
    if said == "mine" and seen is not None:
        now = Entry(seen.id, kept.fault.stored_version, {**seen.values, **kept.fault.stored})
        try:
            _change(answer, now, kept.again["typed"])
        except Conflict as fault:
            clash(place, fault, typed=kept.again["typed"])
    else:
        _open(answer.table, None)
    st.rerun()


def _shown(answer: RowsAnswer, name: str, value: object) -> str:
    field = answer.table.field(name)
    row = Entry(0, 0, {name: value})
    return answer.shown(field, row) or "nothing"


def _list(answer: RowsAnswer) -> None:
    """Show the rows, newest first, with a search and 25 at a time."""
    table = answer.table
    if not answer.entries:
        return
    name = _place(table, "page")
    words = ""
    if len(answer.entries) > AT_ONCE:
        words = st.text_input(
            "Search these rows", key=_place(table, "search"), placeholder="clown 2026", width=300
        )
    found = answer.found(words)
    pages = max(1, -(-len(found) // AT_ONCE))
    page = min(session.choice(name, 0), pages - 1)
    shown = found[page * AT_ONCE : (page + 1) * AT_ONCE]
    fields = [table.field(name) for name in _COLUMNS[table.name]]
    html = records_table(
        _list_title(table, words, len(found)),
        "Newest first." if table.day else "The last one entered first.",
        heads=[field.header[:1].upper() + field.header[1:] for field in fields],
        rows=[_line(answer, entry, fields) for entry in shown],
    )
    place = _place(table, "rows")
    draw(html, place, on_use=lambda: _act(answer, place))
    _turn(name, page, pages)


def _list_title(table: RowTable, words: str, n: int) -> str:
    if words.strip():
        return f"{num(n)} {plural(n, table.one, table.many)} with “{words.strip()}”"
    return f"{table.many[:1].upper()}{table.many[1:]} in the book"


def _line(answer: RowsAnswer, entry: Entry, fields: Sequence[Field]) -> RecordLine:
    rest = [field for field in answer.table.fields if field not in fields and field.kind != "currency"]
    said = [
        (field, answer.shown(field, entry))
        for field in rest
        if entry.values.get(field.name) not in (None, field.empty)
    ]
    under = " · ".join(
        words if field.kind in {"note", "text"} else f"{field.header} {words}" for field, words in said
    )
    cells = tuple(answer.shown(field, entry) for field in fields)
    return RecordLine(cells, under, (("Change", f"change:{entry.id}"), ("Remove", f"remove:{entry.id}")))


def _act(answer: RowsAnswer, place: str) -> None:
    """Open a row or remove it, before the page runs again."""
    deed, _, number = (session.used(place) or "").partition(":")
    entry = answer.entry(int(number)) if number.isdigit() else None
    if entry is None:
        return
    if deed == "remove":
        _remove(answer, entry)
    else:
        _open(answer.table, entry)


def _turn(name: str, page: int, pages: int) -> None:
    if pages == 1:
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        if st.button("Newer", key=f"{name}-newer", disabled=page == 0):
            session.choose(name, page - 1)
            st.rerun()
        st.markdown(f"{page + 1} of {pages}", width="content")
        if st.button("Older", key=f"{name}-older", disabled=page + 1 == pages):
            session.choose(name, page + 1)
            st.rerun()
