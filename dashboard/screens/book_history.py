"""The past of a book: back-ups to restore, files brought in, and changes to take back."""

from __future__ import annotations

from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import heading, strong
from dashboard.figures.plain import ActionLine, action_table
from dashboard.figures.records import ChangeLine, changes_table
from dashboard.jobs.book import BookAnswer, plain_sentence, rows_words
from dashboard.jobs.change_details import FieldDetail, RowDetail, change_details
from dashboard.records import BackUp, BookError, Change, ImportRecord
from dashboard.screens.saving import clear, refuse, undo
from dashboard.words import num, number_word, plural

PLACE: Final = "book"
MOST_COPIES, MOST_FILES, MOST_CHANGES = 5, 8, 8


def back_up() -> None:
    """Put a checked copy beside the book."""
    clear(PLACE)
    try:
        copy = session.current_book().back_up()
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.tell(f"Backed up as {copy.path.name}.")
    st.rerun()


def ask_restore() -> None:
    """Ask once more before a back-up takes the book's place."""
    wanted = session.choice("restore", None)
    if wanted is None:
        return
    question = f"Put the back-up of {_time(wanted)} UTC in the book’s place?"
    words = "The present book is put aside as a back-up first, so this can be turned back."
    draw(note("none", f"<p>{strong(question)} {words}</p>"), "ask_restore")
    with st.container(horizontal=True):
        if st.button("Restore it", key="restore_it"):
            _restore(wanted)
        if st.button("Leave the book as it is", key="leave_book"):
            session.choose("restore", None)
            st.rerun()


def _restore(wanted: BackUp) -> None:
    clear(PLACE)
    session.choose("restore", None)
    try:
        session.current_book().restore(wanted.path)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.reopen_book()
        session.choose("last_edit", (0, ""))
        session.tell(f"The book is as it was on {_time(wanted)} UTC.")
    st.rerun()


def back_ups(copies: tuple[BackUp, ...]) -> None:
    """List the newest back-ups; restoring one takes two clicks."""
    if not copies:
        words = "One is made before every file that is brought in and before every upgrade, or by hand above."
        draw(heading("There is no back-up yet", words, spaced=True), "copies")
        return
    shown = copies if session.choice("all_copies", default=False) else copies[:MOST_COPIES]
    rows = [
        ActionLine(_time(copy), copy.path.name, copy.why, (("Restore", f"copy:{copy.path.name}"),))
        for copy in shown
    ]
    title = f"{number_word(len(copies), start=True)} {plural(len(copies), 'back-up')} to go back to"
    reading = f"In {copies[0].path.parent}. The ten newest are kept, and one a day for thirty days."
    target = draw(action_table(title, reading, heads=("Made, UTC", "Why", "Change"), rows=rows), "copies")
    if target is not None:
        name = target.removeprefix("copy:")
        session.choose("restore", next((copy for copy in copies if copy.path.name == name), None))
        st.rerun()
    _more("all_copies", len(copies), len(shown), "back-ups")


def imports(answer: BookAnswer) -> None:
    """List the files that were brought in, each with a way to take all its rows out again."""
    if not answer.imports:
        return
    every = session.choice("all_files", default=False)
    shown = answer.imports if every else answer.imports[:MOST_FILES]
    n = len(answer.imports)
    title = f"{number_word(n, start=True)} {plural(n, 'file was', 'files were')} brought in"
    reading = "Taking its rows out is one step, however long ago."
    html = action_table(
        title, reading, heads=("File", "Rows", "Change"), rows=[_file_line(record) for record in shown]
    )
    draw(html, "imports", on_use=_take_out)
    _more("all_files", n, len(shown), "files")


def _file_line(record: ImportRecord) -> ActionLine:
    there = f", {num(record.duplicates)} were there" if record.duplicates else ""
    out = "" if record.undone_at is None else "; rows taken out"
    return ActionLine(
        name=record.name,
        under=f"{record.at[:16].replace('T', ' ')} UTC",
        state=f"{num(record.added)} {rows_words(record.kind, record.added)}{there}{out}",
        actions=(("Take its rows out", f"import:{record.id}"),) if record.undone_at is None else (),
        pale=record.undone_at is not None,
    )


def _take_out() -> None:
    clear(PLACE)
    import_id = int((session.used("imports") or "").removeprefix("import:"))
    try:
        removed = session.current_book().undo_import(import_id)
    except BookError as fault:
        refuse(PLACE, fault)
    else:
        session.tell(f"{removed} {plural(removed, 'row')} taken out.")


def changes(answer: BookAnswer) -> None:
    """List what was changed lately, newest first, each with its undo; one can be opened to see its fields."""
    if not answer.changes:
        words = "Every change is listed here and can be taken back."
        draw(heading("Nothing was changed yet", words, spaced=True), "changes")
        return
    every = session.choice("all_changes", default=False)
    shown = answer.changes if every else answer.changes[:MOST_CHANGES]
    reading = "Newest first. A pale change was taken back; one that others rest on says so when you try."
    html = changes_table("What was changed lately", reading, rows=[_change_line(change) for change in shown])
    draw(html, "changes", on_use=lambda: _use_change(answer))
    _more("all_changes", len(answer.changes), len(shown), "changes")


def _use_change(answer: BookAnswer) -> None:
    """Open a change, close it, or take it back, before the page runs again."""
    deed, _, number = (session.used("changes") or "").partition(":")
    if deed == "show":
        opened = session.choice("open_change", 0)
        session.choose("open_change", 0 if opened == int(number) else int(number))
        return
    edit = int(number)
    sentence = next((change.sentence for change in answer.changes if change.edit == edit), "the change")
    undo(edit, plain_sentence(sentence))


def _change_line(change: Change) -> ChangeLine:
    taken = change.undone_at is not None
    opened = session.choice("open_change", 0) == change.edit
    show = (("Close" if opened else "Show", f"show:{change.edit}"),) if change.rows else ()
    return ChangeLine(
        sentence=plain_sentence(change.sentence),
        under="taken back" if taken else "",
        at=change.at[:16].replace("T", " "),
        details=_details(change) if opened else (),
        actions=(*show, *(() if taken else (("Undo", f"edit:{change.edit}"),))),
        pale=taken,
    )


def _details(change: Change) -> tuple[str, ...]:
    """Say field by field what a change did."""
    said = [_row_words(row) for row in change_details(session.current_book(), change)]
    left = len(change.rows) - len(said)
    return (*said, *((f"{num(left)} more {plural(left, 'row')}",) if left > 0 else ()))


def _row_words(row: RowDetail) -> str:
    what = f"{row.what[:1].upper()}{row.what[1:]}"
    if not row.is_there:
        return f"{what} was removed: {_values(row, after=False)}"
    if not row.was_there:
        return f"{what} is new: {_values(row, after=True)}"
    return f"{what}: " + "; ".join(_field_words(field) for field in row.fields)


def _values(row: RowDetail, *, after: bool) -> str:
    pairs = ((field.name, field.after if after else field.before) for field in row.fields)
    return ", ".join(f"{name} {value}" for name, value in pairs if value)


def _field_words(field: FieldDetail) -> str:
    return f"{field.name} from {field.before or 'nothing'} to {field.after or 'nothing'}"


def _more(name: str, total: int, shown: int, words: str) -> None:
    if total > shown and st.button(f"Show all {num(total)} {words}", key=f"more-{name}"):
        session.choose(name, value=True)
        st.rerun()


def _time(copy: BackUp) -> str:
    return f"{copy.at:%Y-%m-%d %H:%M}"
