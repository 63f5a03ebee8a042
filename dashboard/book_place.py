"""How does the breeder choose another book, or move the book to another place? Remembered for every start."""

from __future__ import annotations

from pathlib import Path

from dashboard import home, running
from dashboard.records import BookError, NotStored, open_book
from dashboard.records.safety.moves import Move, move_file, place_in
from dashboard.records.store.addresses import Place, SharedAddress, is_address, read_place


def choose_book(said: str | Place, *, start: bool = False, currency: str = "EUR") -> Place:
    """Make the book at another place the breeder's own, from now on and at every start.

    Parameters
    ----------
    said
        Path of a file, a folder (which takes the usual name in it), or a shared address.
    start
        Whether a new book in `currency` is started where there is none.

    Raises
    ------
    BookError
        If the place is told by --book or HATCHMARGIN_BOOK, holds no sound book, holds the demo book, can't
        be reached, or another program on this computer has it open. The present book stays the own one.
    """
    _refuse_if_told()
    place = _place(said)
    with open_book(place, currency=currency, start=start) as book:
        if book.info.is_demo:
            raise NotStored("This is the demo book; your own book can't be the same. Choose another one.")
    _turn_to(place)
    return place


def move_book(said: str | Place) -> Move:
    """Move the breeder's own book to a free place; the old file stays whole under another name.

    Its back-ups come along as copies, so they are listed at the new place; those at the old place stay.

    Raises
    ------
    BookError
        If the place is told by --book or HATCHMARGIN_BOOK, is taken, or can't be written; the book is then
        where it was, as it was.
    """
    _refuse_if_told()
    now = read_place(home.own_book_place())
    if isinstance(now, SharedAddress):
        raise NotStored("A shared book is moved by whoever runs its server; a back-up of it is a file.")
    target = _place(said, name=now.name)
    return move_file(now, target, settle=_turn_to, put_aside=home.put_aside)


def _place(said: str | Place, *, name: str | None = None) -> Place:
    if isinstance(said, SharedAddress) or (isinstance(said, str) and is_address(said)):
        return read_place(said)
    if not str(said).strip():
        raise NotStored("Write the path of a file or a folder, or the address of a shared book.")
    path = Path(said)
    return place_in(path) if name is None else place_in(path, name)


def _turn_to(place: Place) -> None:
    """Have this program hold the book, and remember it."""
    held: home.Place = place if isinstance(place, Path) else str(place)
    try:
        running.follow(held)
    except running.BookRunsElsewhereError as fault:
        raise NotStored(str(fault)) from fault
    home.write_settings(home.Settings("own", str(held)))


def _refuse_if_told() -> None:
    if home.place_is_told():
        raise BookError(
            f"This start was told where your book is (--book or {home.BOOK_VARIABLE}). "
            "Start Hatchmargin without it to choose a place here."
        )
