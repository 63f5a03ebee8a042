"""What is in the breeder's book? The one door to the records: every page reads and writes here."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.figures.assumptions import AssumptionRoom, figure_faults
from dashboard.records.figures.forecasts import ForecastRoom
from dashboard.records.figures.own_genes import OwnGeneRoom
from dashboard.records.files.files import FileRoom
from dashboard.records.herd.standing import standing
from dashboard.records.log.changes import ChangeRoom
from dashboard.records.reading import AnimalReader
from dashboard.records.safety import backup
from dashboard.records.safety.opening import begin, make_ready
from dashboard.records.store.addresses import Place, read_place
from dashboard.records.store.book_file import default_book_path
from dashboard.records.store.info_rows import put_info, read_info
from dashboard.records.store.store import Store, read_counter
from dashboard.records.text_fields import LONGEST_NAME, tidy
from econ.money import CURRENCIES


@dataclass(frozen=True)
class BookInfo:
    """What a book says of itself.

    Attributes
    ----------
    place, name
        The file or the shared address, and the book's name.
    is_demo
        Whether everything in it is invented.
    currency
        ISO 4217 code of the book's money.
    as_of
        Day a book of invented records counts as today; None in a breeder's own book.
    """

    place: Place
    name: str
    is_demo: bool
    currency: str
    as_of: date | None


class Book(
    FileRoom,
    AssumptionRoom,
    OwnGeneRoom,
    ForecastRoom,
    ChangeRoom,
):
    """One open book. Every change is one transaction; `data_version` grows with each.

    Safe to use from several threads. Close it, or use it as a context manager.
    """

    def __init__(self, store: Store, reader: AnimalReader | None = None) -> None:
        self._store = store
        self._reader = reader
        self._seen: tuple[int, BookInfo] | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file, or the connections to the server."""
        self._store.close()

    @property
    def place(self) -> Place:
        """Where the book lies: its file, or its shared address."""
        return self._store.place

    @property
    def data_version(self) -> int:
        """Number of the last edit, whichever window or program made it."""
        return self._store.data_version

    @property
    def info(self) -> BookInfo:
        """What the book says of itself."""
        with self._store.reading() as connection:
            number = read_counter(connection)
            if self._seen is None or self._seen[0] != number:
                self._seen = (number, _info(connection, self.place))
            return self._seen[1]

    @property
    def currency(self) -> str:
        """ISO 4217 code of the book's money."""
        return self.info.currency

    def today(self) -> date:
        """Day the book counts as today: its own if it is invented, else the calendar's."""
        return self.info.as_of or date.today()  # noqa: DTZ011 - the breeder's calendar day is meant

    def use_reader(self, reader: AnimalReader) -> None:
        """Read animals with another catalogue from now on (the breeder's own genes changed)."""
        self._reader = reader

    @contextmanager
    def _still_true(self, connection: Connection) -> Iterator[None]:
        before = figure_faults(connection)
        with standing(connection), self._readable_still(connection):
            yield
        new = sorted(figure_faults(connection) - before)
        if new:
            raise NotStored(new[0])

    @property
    def can_change_currency(self) -> bool:
        """Whether nothing is counted in the book's money yet."""
        with self._store.reading() as connection:
            return not _counts_in_its_money(connection)

    def set_currency(self, currency: str) -> None:
        """Choose the book's money, as long as nothing is counted in it.

        Raises
        ------
        NotStored
            If the code is not known, or sums in the present currency are stored.
        """
        code = currency.strip().upper()
        if code not in CURRENCIES:
            raise NotStored(_bad_currency(currency))
        with self._store.editing(f"Chose {code}") as edit:
            if _counts_in_its_money(edit.connection):
                raise NotStored("Sums in the book's present currency are stored, so it can't be changed.")
            put_info(edit.connection, {"currency": code})

    def set_name(self, name: str) -> None:
        """Give the book a name; raises `NotStored` if it is empty."""
        plain = tidy(name, what="The book's name", longest=LONGEST_NAME)
        with self._store.editing("Named the book") as edit:
            put_info(edit.connection, {"name": plain})

    def back_up(self, *, why: str = "by hand") -> backup.BackUp:
        """Put a checked copy of the book aside, as a file; raises `BackUpFailed`."""
        return backup.back_up(self.place, why=why)

    def back_up_on_start(self) -> backup.StartCopy:
        """Back up what no copy holds yet; a full disk gives a sentence to show, never an error."""
        if self.info.is_demo:
            return backup.StartCopy(None, "")
        return backup.back_up_if_needed(self.place, edits=self.data_version, why="on start")

    def back_ups(self) -> tuple[backup.BackUp, ...]:
        """List the copies of the book, newest first."""
        return backup.list_back_ups(self.place)

    def restore(self, copy: Path) -> Path | None:
        """Put a copy in the book's place; gives where the present state was kept.

        Raises
        ------
        BookDamaged, BookTooNew, BackUpFailed, NotStored
            See `backup.restore`; the book is then as it was.
        """
        kept = backup.restore(self.place, copy)
        self._store.close()
        make_ready(self.place, {}, start=False)
        return kept


def open_book(
    place: str | Place | None = None,
    *,
    currency: str = "EUR",
    name: str = "My book",
    reader: AnimalReader | None = None,
    start: bool = True,
) -> Book:
    """Open the book at a path or a shared address, or start it if there is none.

    Without a place the default one is taken. `currency` and `name` are used for a new book only;
    `reader` reads animals in place of the shipped catalogue; with `start` False no new book is made.

    Raises
    ------
    BookDamaged, BookForeign
        If what lies there is damaged or no book; nothing was written.
    BookTooNew
        If a newer program wrote it; nothing was written.
    BookMissing
        If there is none and none may be started.
    AddressRefused, BookOutOfReach
        If a shared address is wrong, lacks its password, or can't be reached.
    NotStored, BackUpFailed
        If it can't be made, or no copy could be put aside before an upgrade.
    """
    where = default_book_path() if place is None else read_place(place)
    make_ready(where, _first_values(currency=currency, name=name), start=start)
    return Book(Store(where), reader)


def start_book(
    place: str | Place, *, currency: str, name: str, is_demo: bool = False, as_of: date | None = None
) -> None:
    """Write a new, empty book; raises `NotStored` if it can't be made or the currency is unknown."""
    values = _first_values(currency=currency, name=name)
    values["is_demo"] = "yes" if is_demo else "no"
    values["as_of"] = "" if as_of is None else as_of.isoformat()
    begin(read_place(place), values)


def _first_values(*, currency: str, name: str) -> dict[str, str]:
    if currency not in CURRENCIES:
        raise NotStored(_bad_currency(currency))
    tidied = tidy(name, what="The book's name", longest=LONGEST_NAME)
    return {"name": tidied, "currency": currency, "is_demo": "no", "as_of": ""}


def _counts_in_its_money(connection: Connection) -> bool:
    """Whether sums in the book's money are stored: purchases, own figures, or rates into it."""
    paid = select(schema.animals.c.id).where(schema.animals.c.bought_minor.is_not(None))
    counted = (schema.assumptions, schema.pairing_assumptions, schema.exchange_rates)
    queries = (paid, *(select(table.c.id) for table in counted))
    return any(connection.execute(query.limit(1)).first() is not None for query in queries)


def _bad_currency(currency: str) -> str:
    return f"The currency is “{currency}”; allowed: an ISO 4217 code such as EUR, USD or GBP."


def _info(connection: Connection, place: Place) -> BookInfo:
    values = read_info(connection)
    as_of = values.get("as_of", "")
    return BookInfo(
        place=place,
        name=values["name"],
        is_demo=values["is_demo"] == "yes",
        currency=values["currency"],
        as_of=date.fromisoformat(as_of) if as_of else None,
    )
