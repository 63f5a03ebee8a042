"""Long work with a bar and a button that stops it; under half a second neither is shown."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Final, TypeVar

import streamlit as st

from dashboard import session
from dashboard.words import num

T = TypeVar("T")
_QUIET: Final = 0.4  # [s]


class Watched:
    """A place of the page where long work shows how far it is, and can be stopped.

    Parameters
    ----------
    key
        Name of the place, unique in the program.
    doing
        What is done, as a word ("checked", "stored").
    promise
        What holds while it runs, in a sentence.
    mark
        What `stopped_at` gives if it is stopped, such as how far the book was when it began.
    """

    def __init__(self, key: str, doing: str, promise: str, *, mark: int = 0) -> None:
        self._key = key
        self._doing = doing
        self._promise = promise
        self._mark = mark
        self._place = st.empty()
        self._began = time.monotonic()
        self._bar: object | None = None

    def run(self, work: Callable[[Callable[[int, int], None]], T]) -> T:
        """Do the work, which tells how far it is to what it is given.

        A press on the button raises the screen's own signal inside the work and starts the page anew; the
        next run finds `stopped_at`.
        """
        begin_again(self._key)
        done = work(self._tell)
        self._place.empty()
        return done

    def _tell(self, done: int, total: int) -> None:
        gone = time.monotonic() - self._began
        if gone < _QUIET or not total:
            return
        share = min(done / total, 1.0)
        left = gone * (1 - share) / max(share, 0.01)
        words = f"{num(done)} of {num(total)} rows {self._doing}."
        if share:
            words += f" About {num(max(round(left), 1))} s left."
        words += f" {self._promise}"
        if self._bar is None:
            with self._place.container():
                self._bar = st.progress(share, words)
                st.button("Stop", key=f"stop-{self._key}", on_click=_stop, args=(self._key, self._mark))
        else:
            self._bar.progress(share, words)  # type: ignore[attr-defined]


def stopped_at(key: str) -> int | None:
    """Mark of the work of a place that was stopped and not begun again; None if it was not stopped."""
    return session.choice(f"stopped-{key}", None)


def begin_again(key: str) -> None:
    """Forget that the work of a place was stopped."""
    session.choose(f"stopped-{key}", None)


def _stop(key: str, mark: int) -> None:
    session.choose(f"stopped-{key}", mark)
