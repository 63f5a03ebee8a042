"""Which book is open, what was computed from it, what was chosen: the one place that keeps state."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from pathlib import Path
from typing import Any, Final, NoReturn, TypeVar, cast
from urllib.parse import parse_qsl

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from dashboard.home import (
    OpenBook,
    Settings,
    demo_book_path,
    may_start_own_book,
    own_book_begun,
    own_book_place,
    put_aside,
    read_settings,
    write_settings,
)
from dashboard.jobs.recent import Recent
from dashboard.records import Book, demo_book, open_book
from dashboard.records.store.addresses import Place, read_place

T = TypeVar("T")
_PAGES: Final = "hatchmargin_pages"
_SAID: Final = "hatchmargin_said"
_CHOICE: Final = "hatchmargin_choice_"
_OPEN: Final = "hatchmargin_open_book"
_KEPT_RESULTS: Final = 200


class NoSuchPageError(ValueError):
    """A link leads to a page that the navigation does not hold."""


@st.cache_resource(show_spinner=False)
def _book_at(place: str, is_demo: bool) -> Book:  # noqa: FBT001 - cache arguments are positional
    if is_demo:
        return demo_book(Path(place))
    book = open_book(place, start=may_start_own_book())
    copied = book.back_up_on_start()
    if copied.problem:
        tell(copied.problem)
    return book


def book_place() -> Place:
    """Give the file or the shared address of the book that is open."""
    return demo_book_path() if is_demo() else read_place(own_book_place())


def is_demo() -> bool:
    """Say whether the demo book is open in this window."""
    return _open_here() == "demo"


def _open_here() -> OpenBook:
    """Which book this window has open.

    A window keeps the book it began with, whatever is opened in another one: else its next edit would
    land in the wrong book. The settings say which book a new window begins with.
    """
    if not _in_a_window():
        return read_settings().open_book
    if _OPEN not in st.session_state:
        st.session_state[_OPEN] = read_settings().open_book
    return cast("OpenBook", st.session_state[_OPEN])


def _in_a_window() -> bool:
    return get_script_run_ctx(suppress_warning=True) is not None


def own_book_exists() -> bool:
    """Say whether the breeder has a book of their own."""
    return own_book_begun()


def current_book() -> Book:
    """Give the book open here, shared with the windows that have it open too; builds a missing demo book.

    Raises
    ------
    BookError
        If the file is damaged, newer than the program, or can't be made.
    """
    return _book_at(str(book_place()), is_demo())


def open_own_book() -> None:
    """Open the breeder's own book here and in new windows; a new one is started if there is none."""
    _turn_to(Settings("own"))


def open_demo_book() -> None:
    """Open the demo book here and in new windows."""
    _turn_to(Settings("demo"))


def _turn_to(settings: Settings) -> None:
    write_settings(settings)
    if _in_a_window():
        st.session_state[_OPEN] = settings.open_book
    st.query_params.clear()
    for key in [key for key in st.session_state if str(key).startswith(_CHOICE)]:
        del st.session_state[key]


def put_demo_aside() -> None:
    """Rename a demo book that does not open, so that a fresh one is built; nothing of it is lost."""
    if demo_book_path().exists():  # else another window was faster
        put_aside(demo_book_path())
    reopen_book()


def reopen_book() -> None:
    """Close the open book and read its file anew, after a restore."""
    _book_at.clear(str(book_place()), is_demo())
    _results().clear()


@st.cache_resource(show_spinner=False)
def _results() -> Recent[Any]:
    return Recent(_KEPT_RESULTS)


def computed(question: str, make: Callable[[], T], *, parts: Hashable = ()) -> T:
    """Give a job's frozen result for the open book, computed anew when the book or the day has changed.

    Parameters
    ----------
    question
        Name of the job.
    make
        Computes the result; called at most once for the same book, edit, day and parts.
    parts
        What else the result depends on (a pairing's id, a what-if), as a hashable value.
    """
    book = current_book()
    inputs = (str(book.place), book.data_version, book.today(), question, parts)
    return cast("T", _results().get(inputs, make))


def keep_pages(pages: Mapping[str, Any]) -> None:
    """Remember this run's pages by name, so that links can lead to them."""
    st.session_state[_PAGES] = dict(pages)


def page_named(name: str) -> Any:
    """Give the page of this run with that name, for `st.page_link`; raises `NoSuchPageError`."""
    pages = st.session_state.get(_PAGES, {})
    if name not in pages:
        raise NoSuchPageError(f"no page is called “{name}”; there are: {', '.join(pages)}")
    return pages[name]


def go(target: str) -> NoReturn:
    """Leave for the page a link names, such as "pairing?id=3".

    Raises
    ------
    NoSuchPageError
        If there is no such page.
    """
    name, _, query = target.partition("?")
    st.switch_page(page_named(name), query_params=dict(parse_qsl(query)))


def asked_for(name: str) -> str | None:
    """Give a value of the page's address ("id" of "pairing?id=3"), or None."""
    value = st.query_params.get(name)
    return None if value is None else str(value)


def choice(name: str, default: T) -> T:
    """Give what was chosen in this window under a name that all pages share."""
    return cast("T", st.session_state.get(_CHOICE + name, default))


def choose(name: str, value: object) -> None:
    """Remember a choice for this window, over page switches."""
    st.session_state[_CHOICE + name] = value


def typed(key: str) -> Any:
    """Give what a widget of this window holds, for the function it calls when it changes."""
    return st.session_state.get(key)


def begin_with(key: str, value: object) -> None:
    """Give a widget of this window its first value, unless it holds one; before it is drawn."""
    st.session_state.setdefault(key, value)


def put(key: str, value: object) -> None:
    """Set what a widget of this window holds; in a function called by a widget, or before it is drawn."""
    st.session_state[key] = value


def used(key: str) -> str | None:
    """Give the target just used in a table of this window, for the function it calls."""
    target = getattr(st.session_state.get(key), "go", None)
    return None if target is None else str(target)


def tell(words: str) -> None:
    """Say something at the end of the next run, such as "Saved."; survives the rerun after a change."""
    st.session_state.setdefault(_SAID, []).append(words)


def show_told() -> None:
    """Show what `tell` kept, once."""
    for words in st.session_state.pop(_SAID, []):
        st.toast(words)
