from __future__ import annotations

import os
import shutil
import signal
import sqlite3
from collections import Counter

import pytest
from sqlalchemy import create_engine, event

import dashboard.records.store.file_tables as module
from dashboard.records import BookTooNew, list_back_ups, open_book
from dashboard.records.safety.upgrade import upgrade_book
from dashboard.records.schema import SCHEMA_VERSION, metadata
from dashboard.records.store.book_file import inspect_file
from dashboard.records.store.file_tables import bring_up_file
from dashboard.records.store.versions import UPGRADES, build_by_upgrades, revision_name

NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "{new}"
down_revision = "{old}"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("animals", sa.Column("weight", sa.Integer()))
    op.execute("UPDATE animals SET weight = 1500")
    with op.batch_alter_table("pairings") as table:
        table.add_column(sa.Column("place", sa.String(20), nullable=False, server_default=""))
        table.create_check_constraint("season_late", "season >= 1980")
    op.execute("UPDATE price_observations SET channel = 'unknown' WHERE channel = ''")
"""


def shape(raw):
    """Tables of a database: columns, keys, rules and indexes, whatever the order they were made in."""
    tables = {}
    names = raw.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    for name, sql in names.fetchall():
        columns = sorted(row[1:] for row in raw.execute(f"PRAGMA table_info({name})"))
        keys = sorted(row[2:] for row in raw.execute(f"PRAGMA foreign_key_list({name})"))
        indexes = sorted(
            (row[1], row[2], tuple(i[2] for i in raw.execute(f"PRAGMA index_info({row[1]})")))
            for row in raw.execute(f"PRAGMA index_list({name})")
        )
        rules = sorted(line.strip().rstrip(",") for line in sql.splitlines() if "CHECK" in line)
        tables[name] = (columns, keys, indexes, rules, "AUTOINCREMENT" in sql)
    return tables


def test_the_upgrades_make_the_same_tables_as_a_new_book(path, reader):
    open_book(path, reader=reader).close()
    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        build_by_upgrades(connection)
        upgraded = shape(connection.connection.driver_connection)
    with sqlite3.connect(path) as raw:
        new = shape(raw)
    assert set(new) == {*metadata.tables, "alembic_version"}
    assert upgraded == new


def test_the_newest_upgrade_is_the_one_the_program_knows():
    numbers = sorted(int(file.name[:4]) for file in (UPGRADES / "versions").glob("[0-9]*.py"))
    assert numbers == list(range(1, SCHEMA_VERSION + 1))


@pytest.fixture
def next_upgrades(tmp_path):
    folder = tmp_path / "upgrades"
    shutil.copytree(UPGRADES, folder, ignore=shutil.ignore_patterns("__pycache__"))
    new, old = revision_name(SCHEMA_VERSION + 1), revision_name(SCHEMA_VERSION)
    (folder / "versions" / f"{new}_next.py").write_text(NEXT.format(new=new, old=old))
    return folder


@pytest.fixture
def filled(quick_path, reader, price):
    path = quick_path
    with open_book(path, reader=reader) as book:
        sire = book.add_animal("Basalt", "pastel", sex="male")
        dam = book.add_animal("Tansy", "clown", sex="female")
        pairing = book.add_pairing(2027, sire.id, dam.id)
        book.set_pairing_assumption(pairing.id, "sale.first_month", 3)
        book.add_observations([price(minor=m) for m in range(1, 30)], "x.csv")
    return path


def test_an_upgrade_keeps_the_rows_and_puts_a_copy_aside(filled, next_upgrades):
    before = filled.read_bytes()
    copy = upgrade_book(filled, version=SCHEMA_VERSION + 1, upgrades=next_upgrades)
    assert inspect_file(filled, known_version=SCHEMA_VERSION + 1).user_version == SCHEMA_VERSION + 1
    with sqlite3.connect(filled) as raw:
        assert raw.execute("SELECT name, weight FROM animals").fetchall() == [
            ("Basalt", 1500),
            ("Tansy", 1500),
        ]
        assert raw.execute("SELECT season, place FROM pairings").fetchall() == [(2027, "")]
        assert raw.execute("SELECT count(*) FROM pairing_assumptions").fetchone() == (1,)
        assert raw.execute(
            "SELECT count(*) FROM price_observations WHERE channel = 'unknown'"
        ).fetchone() == (29,)
    assert copy.why == "before upgrade"
    with sqlite3.connect(copy.path) as old, sqlite3.connect(":memory:") as first:
        first.deserialize(before)
        assert list(old.iterdump()) == list(first.iterdump())
    with pytest.raises(BookTooNew):
        open_book(filled)


THEN = """
import sqlalchemy as sa
from alembic import op

revision = "{new}"
down_revision = "{old}"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("imports", sa.Column("who", sa.String(20)))
    op.execute("UPDATE imports SET who = 'somebody'")
"""


def _state(path):
    """Tables and rows, in whatever order the engine keeps a table's rules."""
    with sqlite3.connect(path) as raw:
        rows = [line for line in raw.iterdump() if line.startswith("INSERT")]
        return shape(raw), rows


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system can't fork a process to kill it")
def test_an_upgrade_killed_at_any_statement_leaves_one_version_whole_and_is_taken_up_again(
    filled, next_upgrades
):
    """Two versions on: after each kill the file is of the old, the next or the last version, all of it."""
    last = SCHEMA_VERSION + 2
    names = {"new": revision_name(last), "old": revision_name(last - 1)}
    (next_upgrades / "versions" / f"{names['new']}_then.py").write_text(THEN.format(**names))
    states = {SCHEMA_VERSION: _state(filled)}
    for version in (SCHEMA_VERSION + 1, last):
        there = filled.parent / f"{version}.sqlite"
        shutil.copyfile(filled, there)
        bring_up_file(there, version=version, upgrades=next_upgrades)
        states[version] = _state(there)
    reached = []
    for killed in range(100):
        ended = _upgrade_and_die(filled, next_upgrades, version=last, after=killed)
        version = inspect_file(filled, known_version=last).user_version
        assert _state(filled) == states[version]
        reached.append(version)
        if ended == 0:
            break
    assert reached == sorted(reached)
    assert set(reached) == set(states)
    assert reached.count(SCHEMA_VERSION) > 8
    assert list_back_ups(filled)


def _upgrade_and_die(path, upgrades, *, version, after):
    """Upgrade in a process of its own that kills itself at one statement; gives the signal, or 0."""
    child = os.fork()
    if child == 0:
        _kill_at_statement(after)
        upgrade_book(path, version=version, upgrades=upgrades)
        os._exit(0)
    return os.waitpid(child, 0)[1]


def _kill_at_statement(limit):
    seen = Counter()
    make = module.make_engine

    def made(place):
        engine = make(place)

        @event.listens_for(engine, "before_cursor_execute")
        def count(connection, cursor, statement, parameters, context, executemany):
            seen["now"] += 1
            if seen["now"] > limit:
                os.kill(os.getpid(), signal.SIGKILL)

        return engine

    module.make_engine = made
