"""Opening a shared book: only a book, only with the password, and two who start it at once."""

from __future__ import annotations

import logging
import threading

import pytest
from sqlalchemy import inspect

import demo_prices
from dashboard.records import BookTooNew, NotStored, open_book
from dashboard.records.faults import BookForeign, BookOutOfReach, NotRead
from dashboard.records.schema import SCHEMA_VERSION, metadata
from dashboard.records.spreadsheets import sniff
from dashboard.records.store.addresses import PASSWORD_VARIABLE, AddressRefused, read_place
from dashboard.records.store.postgres_engine import make_shared_engine
from dashboard.records.store.versions import build_by_upgrades

from .server import PASSWORD

pytestmark = pytest.mark.server


def test_an_empty_database_becomes_a_book_of_its_own(empty, reader):
    with open_book(empty, reader=reader, currency="GBP", name="Two rooms") as book:
        assert (book.info.name, book.info.currency, book.info.is_demo) == ("Two rooms", "GBP", False)
        assert str(book.place) == empty
        assert book.data_version == 0
    with open_book(empty, reader=reader, name="Another") as book:
        assert book.info.name == "Two rooms"


def test_no_book_is_started_where_none_may_be(empty, server, database):
    with pytest.raises(BookForeign, match="empty"):
        open_book(empty, start=False)
    assert _tables(server, database) == set()


def _tables(server, database):
    with server.connect(database) as raw:
        rows = raw.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'").fetchall()
    return {row[0] for row in rows}


def test_two_who_start_a_book_at_once_get_the_same_one(empty, reader):
    names, faults = [], []
    gate = threading.Barrier(4)

    def start(number):
        gate.wait()
        try:
            with open_book(empty, reader=reader, name=f"Book {number}") as book:
                names.append(book.info.name)
        except Exception as fault:  # noqa: BLE001 - shown by the assertion below
            faults.append(fault)

    threads = [threading.Thread(target=start, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert len(names) == 4
    assert len(set(names)) == 1


def test_a_database_of_another_program_is_refused_and_left_as_it_is(empty, server, database):
    with server.connect(database) as raw:
        raw.execute("CREATE TABLE info (key text, value text)")
    with pytest.raises(BookForeign, match="another program"):
        open_book(empty)
    assert _tables(server, database) == {"info"}
    with server.connect(database) as raw:
        raw.execute("CREATE TABLE changes (id int)")
        raw.execute("CREATE TABLE alembic_version (version_num text)")
    with pytest.raises(BookForeign, match="not marked"):
        open_book(empty)
    assert _tables(server, database) == {"info", "changes", "alembic_version"}


def test_a_database_that_is_not_there_is_said(server):
    with pytest.raises(BookOutOfReach, match="no such database"):
        open_book(server.address("nothing_here"))


def test_a_server_that_is_not_there_is_said():
    with pytest.raises(BookOutOfReach, match="can't be reached"):
        open_book("postgresql://keeper@127.0.0.1:9/herd")


def test_a_newer_book_is_refused_and_an_open_one_is_not_written_to(book, server, path, reader):
    number = str(SCHEMA_VERSION)
    name = str(book.place.database)
    with server.connect(name) as raw:
        raw.execute("UPDATE alembic_version SET version_num = %s", (f"{SCHEMA_VERSION + 1:04d}",))
    try:
        with pytest.raises(BookTooNew, match="newer Hatchmargin"):
            open_book(path, reader=reader)
        with pytest.raises(NotStored, match="newer"):
            book.add_animal("Larch", "normal")
    finally:
        with server.connect(name) as raw:
            raw.execute("UPDATE alembic_version SET version_num = %s", (f"{int(number):04d}",))
    assert book.add_animal("Larch", "normal").name == "Larch"


def test_a_wrong_password_is_refused_and_never_shown(path, monkeypatch, caplog):
    monkeypatch.setenv(PASSWORD_VARIABLE, "wrong-" + PASSWORD)
    with (
        caplog.at_level(logging.DEBUG),
        pytest.raises(BookOutOfReach, match="user or the password") as refused,
    ):
        open_book(path)
    said = [str(refused.value), repr(refused.value.__cause__), caplog.text]
    assert not [words for words in said if PASSWORD in words]


def test_without_a_password_nothing_is_tried(path, monkeypatch):
    monkeypatch.delenv(PASSWORD_VARIABLE)
    with pytest.raises(AddressRefused, match=PASSWORD_VARIABLE):
        open_book(path)


def test_the_password_is_in_no_row_no_address_and_no_copy(book, herd):
    copy = book.back_up()
    assert PASSWORD.encode() not in copy.path.read_bytes()
    engine = book._store.engine
    assert PASSWORD not in f"{engine!r} {engine.url!r} {engine.url.render_as_string(hide_password=False)}"
    assert PASSWORD not in f"{book.place!r} {book.info!r} {book.info.place}"
    for table in metadata.tables:
        columns, rows = book.plain_rows(table)
        assert PASSWORD not in f"{columns} {rows}"


def test_a_server_that_lets_everybody_in_is_not_trusted(server, empty):
    """A shared book needs a password: a server that does not ask for it safely is refused."""
    rules = server.folder / "data" / "pg_hba.conf"
    before = rules.read_text()
    try:
        rules.write_text("host all all 127.0.0.1/32 trust\n")
        _reload(server, "trust")
        with pytest.raises(BookOutOfReach, match="SCRAM"):
            open_book(empty)
    finally:
        rules.write_text(before)
        _reload(server, "scram-sha-256")
    open_book(empty).close()


def _reload(server, method):
    with server.connect() as raw:
        raw.execute("SELECT pg_reload_conf()")
        for _ in range(100):
            found = raw.execute(
                "SELECT auth_method FROM pg_hba_file_rules WHERE type = 'host' AND address = '127.0.0.1'"
            )
            if [row[0] for row in found][:1] == [method]:
                break
    import time

    time.sleep(0.2)


def test_a_server_that_stops_is_said_and_the_next_try_connects_anew(book, herd, server):
    server.stop()
    try:
        with pytest.raises(NotRead, match="can't be reached"):
            book.animals()
        with pytest.raises(NotStored, match="Nothing was saved"), book._store.editing("x"):
            pass
    finally:
        server.start()
    assert [animal.name for animal in book.animals()] == ["Basalt", "Tansy"]
    assert book.add_animal("Larch", "normal").version == book.data_version


def test_the_upgrades_make_the_same_tables_as_a_new_book(server, path, database):
    made, upgraded = (
        make_shared_engine(read_place(server.address(name))) for name in (read_place(path).database, database)
    )
    with upgraded.begin() as connection:
        build_by_upgrades(connection)
    assert _shape(upgraded) == _shape(made)
    made.dispose()
    upgraded.dispose()


def _shape(engine):
    """Columns, keys, rules and indexes of every table, as the server itself lists them."""
    found = inspect(engine)
    return {
        name: (
            sorted(
                (c["name"], str(c["type"]), c["nullable"], str(c["default"])) for c in found.get_columns(name)
            ),
            found.get_pk_constraint(name)["constrained_columns"],
            sorted(
                (k["name"], k["constrained_columns"], k["referred_table"])
                for k in found.get_foreign_keys(name)
            ),
            sorted((u["name"], u["column_names"]) for u in found.get_unique_constraints(name)),
            sorted((c["name"], c["sqltext"]) for c in found.get_check_constraints(name)),
            sorted((i["name"], i["column_names"]) for i in found.get_indexes(name)),
        )
        for name in found.get_table_names()
    }


def test_somebody_who_may_only_read_reads_and_is_told_so_on_writing(book, herd, server, path, reader):
    """Who may do what is the server's to say: rights are those of the SQL standard's GRANT."""
    name = book.place.database
    with server.connect(name) as raw:
        raw.execute(f"CREATE ROLE guest LOGIN PASSWORD '{PASSWORD}'")
    guest = path.replace("keeper@", "guest@")
    with pytest.raises(BookOutOfReach, match="does not let this user"):
        open_book(guest, reader=reader)
    with server.connect(name) as raw:
        for things in ("TABLES", "SEQUENCES"):
            raw.execute(f"GRANT SELECT ON ALL {things} IN SCHEMA public TO guest")
    with open_book(guest, reader=reader) as other:
        assert [animal.name for animal in other.animals()] == ["Basalt", "Tansy"]
        with pytest.raises(NotStored, match="does not let this user"):
            other.add_animal("Larch", "normal")
        assert other.back_up().path.exists()
    assert len(book.animals()) == 2


def test_a_file_comes_in_after_a_copy_was_put_aside(book):
    data = demo_prices.demo_folder().joinpath(demo_prices.FILES[0]).read_bytes()
    run = book.try_file(data, sniff(data))
    assert run.refused == ()
    receipt = book.add_file(run, "prices.csv")
    assert receipt.added == len(run.records) > 0
    assert [copy.why for copy in book.back_ups()] == ["before import"]
    assert book.add_file(run, "prices.csv").added == 0
