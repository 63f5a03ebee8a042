"""Bring in a file: read as guessed, changed where the guess is wrong, tried, then added in one step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, strong
from dashboard.figures.plain import RefusedLine, refusals_table
from dashboard.jobs.imports import (
    Trial,
    Wishes,
    add_good_rows,
    digest,
    holds_whole_book,
    likely_kind,
    text_as_file,
    try_file,
)
from dashboard.records import BookError
from dashboard.records.spreadsheets import (
    TITLES,
    DryRun,
    FileRefused,
    RefusedRow,
    TableKind,
    needed_heads,
    refused_as_csv,
)
from dashboard.screens import import_package
from dashboard.screens.import_guess import change_guess
from dashboard.screens.long_work import Watched, begin_again, stopped_at
from dashboard.screens.saving import clear, refuse, refused, saved
from dashboard.source_words import plain_refusal
from dashboard.words import grouped, num, number_word, plural

MOST_ROWS: Final = 25
MOST_LETTERS: Final = 400_000
LARGE: Final = 1_000_000  # [bytes]
_STOPPED: Final = "Stopped. Nothing was added."


def import_panel(key: str, kinds: Sequence[TableKind], *, pasted: bool = True) -> bool:
    """Offer to bring in a file of some kinds; gives whether a file is being tried.

    Parameters
    ----------
    key
        Name of this place, unique in the program.
    kinds
        Tables the file may hold; the likeliest of them is chosen.
    pasted
        Whether cells may be pasted in place of a file.
    """
    round_ = session.choice(f"import-{key}", 0)
    draw(heading("Bring in a file", _reading(kinds), spaced=True), f"import-head-{key}")
    file = st.file_uploader(
        "CSV or XLSX file",
        ["csv", "tsv", "txt", "xlsx", "xlsm", "zip"],
        key=f"file-{key}-{round_}",
        label_visibility="collapsed",
    )
    text = _pasted(key, round_) if pasted and file is None else ""
    refused(f"import-{key}")
    _say_if_stopped(key)
    if file is None and not text:
        return False
    data, name = (text_as_file(text), "pasted cells") if file is None else (file.getvalue(), file.name)
    if len(kinds) > 1 and holds_whole_book(data):
        import_package.panel(key, name, data, leave=lambda: _next(key))
        return True
    busy = st.empty()
    if len(data) > LARGE:
        busy.write("Reading a large file; how far it is shows in a moment.")
    try:
        kind = _kind(key, data, kinds)
    except FileRefused as fault:
        said = f"{strong('This file can’t be read.')} {esc(fault)} Nothing was saved."
        draw(note("none", said), f"bad-{key}")
        _leave(key)
        return True
    _try(key, name, data, kind)
    busy.empty()
    return True


def _pasted(key: str, round_: int) -> str:
    """Offer a field for cells copied from a spreadsheet; gives what was pasted."""
    with st.expander("Or paste cells from a spreadsheet"), st.form(f"paste-{key}-{round_}", border=False):
        text = st.text_area(
            "Cells, with their heads in the first line",
            key=f"pasted-{key}-{round_}",
            height=120,
            max_chars=MOST_LETTERS,
        )
        st.form_submit_button("Try these cells")
    return (text or "").strip("\r\n")


def _reading(kinds: Sequence[TableKind]) -> str:
    if len(kinds) > 2:
        return (
            "CSV, XLSX, or a package of a whole book (ZIP); the first line holds the heads. It is tried "
            "first, saved only when you say so."
        )
    said = "; ".join(f"{TITLES[kind]} need {', '.join(needed_heads(kind))}" for kind in kinds)
    return f"CSV or XLSX; the first line holds the heads: {said}. It is tried first."


def _kind(key: str, data: bytes, kinds: Sequence[TableKind]) -> TableKind:
    """Give the kind of a file: as its heads say, until the breeder says another."""
    stamp = digest(data)
    guessed = session.computed("kind", lambda: likely_kind(data, kinds), parts=(stamp, tuple(kinds)))
    if len(kinds) == 1:
        return guessed
    chosen = st.selectbox(
        "What the file holds",
        list(kinds),
        list(kinds).index(guessed),
        format_func=lambda kind: TITLES[kind],
        key=f"kind-{key}-{stamp}",
        width=280,
    )
    return guessed if chosen is None else chosen


def _try(key: str, name: str, data: bytes, kind: TableKind) -> None:
    """Show what a file would add, how it was read, and what can be done."""
    book = session.current_book()
    place = f"wishes-{key}-{digest(data)}-{kind}"
    wishes = session.choice(place, Wishes(kind=kind))
    parts = (digest(data), wishes)
    if stopped_at(f"try-{key}") is not None:
        draw(note("none", f"<p>{esc(_STOPPED)}</p>"), f"stopped-{key}")
        with st.container(horizontal=True):
            if st.button("Try it again", key=f"again-{key}"):
                begin_again(f"try-{key}")
                st.rerun()
            _leave(key)
        return
    watched = Watched(f"try-{key}", "checked", "Nothing changes until you choose.")
    trial = session.computed(
        "trial",
        lambda: watched.run(lambda told: try_file(book, data, wishes, on_progress=told)),
        parts=parts,
    )
    draw(_outcome(trial), f"outcome-{key}")
    if trial.guess is not None:
        wanted = change_guess(f"{key}-{digest(data)}", trial, wishes)
        if wanted != wishes:
            session.choose(place, wanted)
            st.rerun()
    _buttons(key, name, trial)


def _outcome(trial: Trial) -> str:
    """Write what would be added and what would not, with the reason for each row."""
    run = trial.run
    if run is None:
        said = f"{esc(trial.fault)} Nothing was saved."
        return heading("This file can’t be read yet", spaced=True) + note("none", said)
    title = grouped(run.sentence) if run.total else "The file holds heads, but no rows"
    saved_yet = "Nothing is saved yet. Adding the good rows is one step and can be undone."
    parts = [heading(title, spaced=True), f'<p class="lead">{saved_yet}</p>']
    if run.guess.by_month:
        parts.append(
            '<p class="lead">Each filled cell is a row of its own, dated the first of its month.</p>'
        )
    if run.guess.invented and not session.is_demo():
        words = "The file says that its rows are invented. They would enter your own book."
        parts.append(note("none", words))
    if run.refused:
        parts.append(_refusals(run))
    if run.duplicates:
        parts.append(_duplicates(run))
    return "".join(parts)


def _refusals(run: DryRun[Any]) -> str:
    n = len(run.refused)
    one = "cell" if run.guess.by_month else "row"
    title = f"Why {number_word(n)} {plural(n, f'{one} was', f'{one}s were')} refused"
    reading = "Mend these lines and bring the file in again; rows already there are recognised and left out."
    if n > MOST_ROWS:
        reading += f" The first {MOST_ROWS} are shown; the CSV holds all."
    rows = [RefusedLine(row.line, row.written or "nothing", _why(row)) for row in run.refused[:MOST_ROWS]]
    return refusals_table(title, reading, rows=rows)


def _why(row: RefusedRow) -> str:
    """Reason of a refusal, with the month it is about and the nearest names."""
    month = "" if row.place is None else f"{row.column}: "
    meant = f" Nearest: {', '.join(row.nearest)}." if row.nearest and "nearest" not in row.why else ""
    return f"{month}{plain_refusal(row.why)}{meant}"


def _duplicates(run: DryRun[Any]) -> str:
    n = len(run.duplicates)
    lines = ", ".join(str(row.line) for row in run.duplicates[:MOST_ROWS])
    more = f" and {n - MOST_ROWS} more" if n > MOST_ROWS else ""
    words = f"{number_word(n, start=True)} {plural(n, 'row is', 'rows are')} in the book already and left out"
    return f'<p class="spaced">{esc(words)}: {plural(n, "line")} {esc(lines + more)}.</p>'


def _buttons(key: str, name: str, trial: Trial) -> None:
    run = trial.run
    with st.container(horizontal=True):
        good = 0 if run is None else len(run.good)
        words = "Add the one good row" if good == 1 else f"Add the {num(good)} good rows"
        if good and st.button(words, type="primary", key=f"add-{key}"):
            _add(key, name, trial)
        if run is not None and run.refused:
            st.download_button(
                "Refused rows as CSV",
                data=lambda: refused_as_csv(run),
                file_name="refused-rows.csv",
                mime="text/csv",
                on_click="ignore",
                key=f"refused-rows-{key}",
            )
        _leave(key)


def _leave(key: str) -> None:
    if st.button("Leave everything as it was", key=f"leave-{key}"):
        clear(f"import-{key}")
        _next(key)
        session.tell("Nothing was added.")
        st.rerun()


def _add(key: str, name: str, trial: Trial) -> None:
    """Store the good rows; a press on Stop takes back whatever was begun."""
    clear(f"import-{key}")
    book = session.current_book()
    held = len(book.imports())
    watched = Watched(f"add-{key}", "stored", "They count once all are stored.", mark=held)
    try:
        receipt = watched.run(lambda told: add_good_rows(book, trial, name, on_progress=told))
    except BookError as fault:
        refuse(f"import-{key}", fault)
    else:
        _next(key)
        if receipt.import_id is None:
            session.tell("Nothing was new; the book holds these rows already.")
        else:
            saved(f"{num(receipt.added)} {plural(receipt.added, 'row')} added.")
    st.rerun()


def _say_if_stopped(key: str) -> None:
    """Say what became of an import that was stopped while it was stored."""
    before = stopped_at(f"add-{key}")
    if before is not None:
        begin_again(f"add-{key}")
        late = len(session.current_book().imports()) > before
        words = "It was added before it could be stopped; Undo takes it back." if late else _STOPPED
        draw(note("none", f"<p>{esc(words)}</p>"), f"stopped-add-{key}")


def _next(key: str) -> None:
    """Put the file away, so that the next one can be brought in."""
    for work in ("try", "add"):
        begin_again(f"{work}-{key}")
    session.choose(f"import-{key}", session.choice(f"import-{key}", 0) + 1)
