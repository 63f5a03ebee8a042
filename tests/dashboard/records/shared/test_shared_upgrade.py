"""Upgrades of a shared book: a copy first, one transaction a version, whatever is killed on the way."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import time

import pytest
from sqlalchemy import event

import dashboard.records.store.shared_tables as module
from dashboard.records import BackUpFailed, BookTooNew, NotStored, open_book
from dashboard.records.safety.copies import list_back_ups
from dashboard.records.safety.upgrade import upgrade_book
from dashboard.records.schema import APPLICATION_ID, SCHEMA_VERSION, metadata
from dashboard.records.store.addresses import read_place
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import fill_file
from dashboard.records.store.info_rows import put_info
from dashboard.records.store.shared_tables import inspect_shared
from dashboard.records.store.versions import UPGRADES, revision_name, run_upgrades

pytestmark = pytest.mark.server

HEAD = """
import sqlalchemy as sa
from alembic import op

revision = "{new}"
down_revision = "{old}"
branch_labels = None
depends_on = None


def upgrade():
"""
FIRST = """
    op.add_column("animals", sa.Column("girth", sa.Integer()))
    op.execute("UPDATE animals SET girth = 150")
    with op.batch_alter_table("pairings") as table:
        table.add_column(sa.Column("spot", sa.String(20), nullable=False, server_default=""))
        table.create_check_constraint("season_late", "season >= 1980")
"""
SECOND = """
    op.execute("UPDATE price_observations SET channel = 'unknown' WHERE channel = ''")
    op.add_column("imports", sa.Column("who", sa.String(20)))
"""
LAST = SCHEMA_VERSION + 2


@pytest.fixture
def next_upgrades(tmp_path):
    folder = tmp_path / "upgrades"
    shutil.copytree(UPGRADES, folder, ignore=shutil.ignore_patterns("__pycache__"))
    for number, body in ((SCHEMA_VERSION + 1, FIRST), (LAST, SECOND)):
        names = {"new": revision_name(number), "old": revision_name(number - 1)}
        (folder / "versions" / f"{names['new']}_next.py").write_text(HEAD.format(**names) + body)
    return folder


@pytest.fixture
def filled(empty, reader, price):
    with open_book(empty, reader=reader) as book:
        sire = book.add_animal("Basalt", "pastel", sex="male")
        dam = book.add_animal("Tansy", "clown", sex="female")
        book.add_pairing(2027, sire.id, dam.id)
        book.add_observations([price(minor=m) for m in range(1, 30)], "x.csv")
    return read_place(empty)


def _state(server, address):
    """Number of the tables, which new columns are there, and what the rows say."""
    with server.connect(address.database) as raw:
        version = int(raw.execute("SELECT version_num FROM alembic_version").fetchone()[0])
        columns = raw.execute(
            "SELECT table_name || '.' || column_name FROM information_schema.columns "
            "WHERE table_schema = 'public' AND column_name IN ('girth', 'spot', 'who')"
        ).fetchall()
        unknown = raw.execute("SELECT count(*) FROM price_observations WHERE channel = 'unknown'").fetchone()
        names = raw.execute("SELECT name FROM animals ORDER BY id").fetchall()
    return version, {row[0] for row in columns}, unknown[0], [row[0] for row in names]


STATES = [
    (SCHEMA_VERSION, set(), 0, ["Basalt", "Tansy"]),
    (SCHEMA_VERSION + 1, {"animals.girth", "pairings.spot"}, 0, ["Basalt", "Tansy"]),
    (LAST, {"animals.girth", "pairings.spot", "imports.who"}, 29, ["Basalt", "Tansy"]),
]


def test_an_upgrade_keeps_the_rows_and_puts_a_copy_of_the_old_tables_aside(server, filled, next_upgrades):
    assert _state(server, filled) == STATES[0]
    copy = upgrade_book(filled, version=LAST, upgrades=next_upgrades)
    assert _state(server, filled) == STATES[2]
    assert copy.why == "before upgrade"
    assert inspect_file(copy.path).user_version == SCHEMA_VERSION
    with open_book(copy.path) as old:
        assert [animal.name for animal in old.animals()] == ["Basalt", "Tansy"]
        assert len(old.price_observations()) == 29
    with pytest.raises(BookTooNew):
        open_book(str(filled))
    assert upgrade_book(filled, version=LAST, upgrades=next_upgrades) is None


def test_a_copy_of_a_book_with_other_tables_than_the_program_has_them_too(server, filled, next_upgrades):
    upgrade_book(filled, version=SCHEMA_VERSION + 1, upgrades=next_upgrades)
    copy = upgrade_book(filled, version=LAST, upgrades=next_upgrades)
    with sqlite3.connect(copy.path) as raw:
        assert raw.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
        assert raw.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION + 1
        assert raw.execute("SELECT name, girth FROM animals").fetchall() == [("Basalt", 150), ("Tansy", 150)]
        assert raw.execute("SELECT season, spot FROM pairings").fetchall() == [(2027, "")]


def test_without_a_copy_nothing_is_upgraded(server, filled, next_upgrades, tmp_path, monkeypatch):
    (tmp_path / "in the way").write_text("x")
    monkeypatch.setenv("HATCHMARGIN_HOME", str(tmp_path / "in the way"))
    with pytest.raises(BackUpFailed):
        upgrade_book(filled, version=LAST, upgrades=next_upgrades)
    assert _state(server, filled) == STATES[0]


def test_nobody_writes_between_the_copy_and_the_upgrade(filled, next_upgrades, monkeypatch):
    import dashboard.records.safety.upgrade as upgrading
    import dashboard.records.store.postgres_engine as engines

    monkeypatch.setitem(engines._OPTIONS, "lock_timeout", 100)
    honest = upgrading.back_up

    def slow(place, **words):
        copy = honest(place, **words)
        with open_book(str(filled)) as other, pytest.raises(NotStored, match="Another person"):
            other.add_animal("Larch", "normal")
        return copy

    monkeypatch.setattr(upgrading, "back_up", slow)
    upgrade_book(filled, version=LAST, upgrades=next_upgrades)


def test_only_one_person_upgrades(server, filled, next_upgrades):
    with server.connect(filled.database) as raw:
        raw.execute("SELECT pg_advisory_lock(%s)", (APPLICATION_ID,))
        with pytest.raises(NotStored, match="Somebody else is just upgrading"):
            upgrade_book(filled, version=LAST, upgrades=next_upgrades)
    assert _state(server, filled) == STATES[0]


FIRST_ROWS = """
INSERT INTO info VALUES ('data_version', '4'), ('name', 'Old'), ('currency', 'GBP'),
  ('is_demo', 'no'), ('as_of', '');
INSERT INTO imports (id, at, name, kind, added, duplicates)
  VALUES (3, '2026-01-02T03:04:05Z', 'x', 'animals', 1, 0);
INSERT INTO animals
  (id, version, name, name_key, sex, text, hatched, bought_minor, note, status, sire_id, import_id) VALUES
  (1, 1, 'Basalt', 'basalt', 'male', 'pastel', '2023-07-19', 54000, '', 'kept', NULL, NULL),
  (2, 2, 'Tansy', 'tansy', 'female', 'clown', NULL, NULL, '', 'kept', NULL, 3),
  (5, 3, 'Onyx', 'onyx', 'female', 'normal', '2020-01-01', 0, 'a', 'sold', 1, NULL);
INSERT INTO pairings (id, version, season, sire_id, dam_id, planned, note) VALUES (1, 4, 2027, 1, 2, 1, '');
INSERT INTO pairing_assumptions (id, version, pairing_id, assumption, value)
  VALUES (1, 4, 1, 'sale.first_month', 4.5);
INSERT INTO own_genes (id, version, name, definition) VALUES (7, 4, 'ember', '{}');
INSERT INTO changes (id, edit, at, sentence, table_name, row_id, before, after) VALUES
  (1, 1, '2026-01-02T03:04:05Z', 'Entered Basalt', 'animals', 1, NULL,
  '{"bought_minor": 54000, "dam_id": null, "hatched": "2023-07-19", "id": 1, "import_id": null,
    "name": "Basalt", "name_key": "basalt", "note": "", "sex": "male", "sire_id": null, "status": "kept",
    "text": "pastel"}')
"""


def test_a_book_of_the_first_tables_comes_out_the_same_in_a_file_and_on_a_server(empty, tmp_path, reader):
    def fill(connection):
        for statement in FIRST_ROWS.split(";\n"):
            connection.exec_driver_sql(statement)

    file = tmp_path / "first.sqlite"
    file.touch()
    fill_file(file, fill, version=1)
    with module.reaching(read_place(empty)) as engine, engine.begin() as connection:
        run_upgrades(connection, to=1)
        fill(connection)
        put_info(connection, {module.MARK: module.MARK_VALUE})
    with open_book(file, reader=reader) as one, open_book(empty, reader=reader) as shared:
        for table in metadata.tables:
            names, rows = one.plain_rows(table)
            wanted = [dict(zip(names, row, strict=True)) for row in rows]
            names, rows = shared.plain_rows(table)
            found = [dict(zip(names, row, strict=True)) for row in rows]
            assert [row for row in found if row.get("key") != module.MARK] == wanted
            assert table not in {"animals", "changes", "own_genes"} or wanted
        assert [copy.why for copy in shared.back_ups()] == ["before upgrade"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system can't fork a process to kill it")
def test_an_upgrade_killed_at_any_statement_leaves_one_version_whole_and_is_taken_up_again(
    server, filled, next_upgrades
):
    reached = []
    for killed in range(200):
        ended = _upgrade_and_die(filled, next_upgrades, after=killed)
        _wait_until_alone(server, filled)
        state = _state(server, filled)
        assert state in STATES
        reached.append(STATES.index(state))
        if ended == 0:
            break
    assert reached == sorted(reached)
    assert set(reached) == {0, 1, 2}
    assert reached.count(0) > 4
    assert inspect_shared(filled, known_version=LAST).version == LAST
    assert list_back_ups(filled)


def _upgrade_and_die(address, upgrades, *, after):
    """Upgrade in a process of its own that kills itself at one statement; gives the signal, or 0."""
    child = os.fork()
    if child == 0:
        _kill_at_statement(after)
        upgrade_book(address, version=LAST, upgrades=upgrades)
        os._exit(0)
    return os.waitpid(child, 0)[1]


def _kill_at_statement(limit):
    seen = []
    make = module.make_shared_engine

    def made(address):
        engine = make(address)

        @event.listens_for(engine, "before_cursor_execute")
        def count(connection, cursor, statement, parameters, context, executemany):
            if not statement.startswith(("SELECT", "SHOW")):
                seen.append(statement)
            if len(seen) > limit:
                os.kill(os.getpid(), signal.SIGKILL)

        return engine

    module.make_shared_engine = made


def _wait_until_alone(server, address):
    """The server needs a moment to see that its visitor is gone."""
    with server.connect() as raw:
        for _ in range(500):
            there = raw.execute(
                "SELECT count(*) FROM pg_stat_activity WHERE datname = %s", (address.database,)
            ).fetchone()[0]
            if there == 0:
                return
            time.sleep(0.01)
    raise AssertionError("the killed program is still there")
