"""The same records on a server: a real one, started for these tests alone."""

from __future__ import annotations

import os
import shutil

import pytest

from dashboard.records import open_book
from dashboard.records.schema import metadata
from dashboard.records.store.addresses import PASSWORD_VARIABLE
from dashboard.records.store.book_file import HOME_VARIABLE

from .server import PASSWORD, binaries, start_server


@pytest.fixture(scope="session")
def server():
    programs = binaries()
    if programs is None:
        reason = "no PostgreSQL server is installed (Debian: apt-get install postgresql)"
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    running = start_server(programs)
    yield running
    running.stop(at_once=True)
    shutil.rmtree(running.folder, ignore_errors=True)


@pytest.fixture(autouse=True)
def password_and_folder(monkeypatch, quick_path):
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORD)
    monkeypatch.setenv(HOME_VARIABLE, str(quick_path.parent / "home"))


@pytest.fixture
def database(server):
    """Name of an empty database."""
    return server.new_database()


@pytest.fixture
def empty(server, database):
    """Address of an empty database."""
    return server.address(database)


@pytest.fixture(scope="session")
def emptied(server):
    """Give one database as an empty book, again and again: quicker than a new one each time."""
    name = server.new_database()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PASSWORD_VARIABLE, PASSWORD)
        open_book(server.address(name)).close()
    with server.connect(name) as raw:
        first = raw.execute("SELECT key, value FROM info").fetchall()

    def again():
        tables = ", ".join(table for table in metadata.tables)
        with server.connect(name) as raw, raw.cursor() as cursor:
            cursor.execute(f"TRUNCATE {tables} RESTART IDENTITY")
            cursor.executemany("INSERT INTO info (key, value) VALUES (%s, %s)", first)
        return name

    return again


@pytest.fixture
def path(server, emptied):
    """Where an empty book lies, in place of the file of the other tests."""
    return server.address(emptied())


@pytest.fixture
def book(path, reader):
    with open_book(path, reader=reader) as opened:
        yield opened
