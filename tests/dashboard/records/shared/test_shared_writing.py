"""Several people write one book: nobody overwrites anybody, no number is given twice, nothing is lost."""

from __future__ import annotations

import os
import random
import signal
import threading
import time

import psycopg
import pytest

import dashboard.records.store.postgres_engine as module
from dashboard.records import Conflict, NotStored, open_book
from dashboard.records.faults import NotRead

pytestmark = pytest.mark.server

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system can't fork a program")


class Writer:
    """A program of its own that enters animals and reports each one after it was stored."""

    def __init__(self, address, name, edits):
        reading, writing = os.pipe()
        self.pid = os.fork()
        if self.pid == 0:
            status = 1
            try:
                os.close(reading)
                self._write(writing, address, name, edits)
                status = 0
            finally:
                os._exit(status)
        os.close(writing)
        self._first = ""
        self._reports = os.fdopen(reading)

    @staticmethod
    def _write(pipe, address, name, edits):
        with open_book(address, reader=lambda text, sex: ()) as book:
            for number in range(edits):
                made = book.add_animal(f"{name} {number}", "normal")
                os.write(pipe, f"{made.name}\n".encode())

    def kill(self):
        os.kill(self.pid, signal.SIGKILL)

    def wait_for_the_first(self):
        self._first = self._reports.readline()

    def ended(self):
        """Give the status, and what was reported whole."""
        said = self._first + self._reports.read()
        self._reports.close()
        return os.waitpid(self.pid, 0)[1], said.splitlines() if said.endswith("\n") else said.splitlines()[
            :-1
        ]


def test_the_second_of_two_people_on_one_row_sees_both_values(book, herd, path, reader):
    basalt, _ = herd
    with open_book(path, reader=reader) as other:
        seen = other.animal(basalt.id)
        book.change_animal(basalt.id, basalt.version, note="mine", bought_minor=100)
        with pytest.raises(Conflict) as lost:
            other.change_animal(seen.id, seen.version, note="yours", bought_minor=200)
        assert lost.value.yours == {"note": "yours", "bought_minor": 200}
        assert lost.value.stored == {"note": "mine", "bought_minor": 100}
        assert lost.value.changed_at
        won = other.change_animal(seen.id, lost.value.stored_version, note="yours", bought_minor=200)
        assert book.animal(basalt.id) == won
    assert [change.sentence for change in book.changes(newest=2)] == ["Changed Basalt", "Changed Basalt"]


def test_two_people_who_save_the_same_row_at_the_same_moment(book, herd, path, reader):
    """Both have read the same version; whoever comes second is told, every time."""
    basalt, _ = herd
    with open_book(path, reader=reader) as other:
        for turn in range(20):
            version = book.animal(basalt.id).version
            told, gate = [], threading.Barrier(2)

            def save(who, words, version=version, told=told, gate=gate):
                gate.wait()
                try:
                    who.change_animal(basalt.id, version, note=words)
                except Conflict as fault:
                    told.append((words, fault.yours, fault.stored))

            threads = [
                threading.Thread(target=save, args=(who, f"{name} {turn}"))
                for who, name in ((book, "mine"), (other, "yours"))
            ]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            assert len(told) == 1
            words, yours, stored = told[0]
            assert yours == {"note": words}
            assert stored == {"note": book.animal(basalt.id).note} != yours


@needs_fork
def test_two_programs_of_200_edits_each_leave_400_edits_numbered_without_a_gap(path):
    writers = [Writer(path, name, 200) for name in ("one", "two")]
    ends = [writer.ended() for writer in writers]
    assert [(status, len(said)) for status, said in ends] == [(0, 200), (0, 200)]
    with open_book(path, reader=lambda text, sex: ()) as book:
        animals = book.animals()
        assert {a.name for a in animals} == {f"{w} {n}" for w in ("one", "two") for n in range(200)}
        assert sorted(animal.version for animal in animals) == list(range(1, 401))
        assert sorted(change.edit for change in book.changes(newest=500)) == list(range(1, 401))
        assert book.data_version == 400
    one = [animal.version for animal in animals if animal.name.startswith("one")]
    assert one != list(range(min(one), min(one) + 200))  # they did write at the same time


@needs_fork
def test_a_killed_program_loses_nothing_it_reported(path):
    draw = random.Random(11)
    reported: set[str] = set()
    for turn in range(6):
        writer = Writer(path, f"turn{turn}", 100_000)
        writer.wait_for_the_first()
        time.sleep(draw.uniform(0.05, 0.4))
        writer.kill()
        status, said = writer.ended()
        assert status == signal.SIGKILL
        reported |= set(said)
        with open_book(path, reader=lambda text, sex: ()) as book:
            stored = {animal.name for animal in book.animals()}
            assert reported <= stored
            assert len(stored - reported) <= turn + 1  # stored but not yet reported, at most one a turn
            assert book.data_version == len(stored)
    assert len(reported) > 12


def _backends(server, database):
    with server.connect() as raw:
        rows = raw.execute(
            "SELECT pid FROM pg_stat_activity WHERE datname = %s AND application_name = 'hatchmargin'",
            (database,),
        ).fetchall()
    return [row[0] for row in rows]


def test_a_connection_the_server_ends_in_the_midst_of_an_edit_stores_nothing_of_it(book, server):
    book.add_animal("Larch", "normal")

    def half():
        with book._store.editing("x") as edit:
            edit.connection.exec_driver_sql("UPDATE animals SET note = 'half'")
            with server.connect() as raw:
                for pid in _backends(server, book.place.database):
                    raw.execute("SELECT pg_terminate_backend(%s)", (pid,))
            time.sleep(0.1)
            edit.connection.exec_driver_sql("UPDATE animals SET note = 'whole'")

    with pytest.raises(NotStored, match="ended the connection\\. Nothing was saved"):
        half()
    assert [animal.note for animal in book.animals()] == [""]
    assert book.data_version == 1
    assert book.add_animal("Quill", "normal").version == 2


def test_a_killed_server_process_loses_nothing_it_confirmed(book, server):
    """One of the server's own processes is killed under a writer: the server starts itself anew."""
    confirmed, stop = [], threading.Event()

    def write():
        number = 0
        while not stop.is_set() and number < 5000:
            try:
                confirmed.append(book.add_animal(f"Animal {number}", "normal").name)
            except (NotStored, NotRead):
                time.sleep(0.05)
            number += 1

    writer = threading.Thread(target=write)
    writer.start()
    time.sleep(0.3)
    before = len(confirmed)
    os.kill(_backends(server, book.place.database)[0], signal.SIGKILL)
    end = time.monotonic() + 20
    while len(confirmed) < before + 20 and time.monotonic() < end:
        time.sleep(0.05)
    stop.set()
    writer.join()
    assert len(confirmed) >= before + 20
    stored = book.animals()
    assert {animal.name for animal in stored} == set(confirmed)
    assert sorted(animal.version for animal in stored) == list(range(1, len(stored) + 1))


@pytest.mark.parametrize("stored", [True, False])
def test_an_edit_whose_last_answer_gets_lost_is_looked_up(book, monkeypatch, stored):
    """The line breaks while an edit is being saved: the server is asked what became of it."""
    dialect = book._store.engine.dialect
    honest = dialect.do_commit

    def lost(raw):
        if stored:
            honest(raw)
        raw.dbapi_connection.close()
        raise psycopg.OperationalError("the connection is lost")

    book.add_animal("Larch", "normal")
    monkeypatch.setattr(dialect, "do_commit", lost)
    if stored:
        assert book.add_animal("Quill", "normal").name == "Quill"
    else:
        with pytest.raises(NotStored, match="Nothing was saved"):
            book.add_animal("Quill", "normal")
    monkeypatch.setattr(dialect, "do_commit", honest)
    assert [animal.name for animal in book.animals()] == ["Larch", *(["Quill"] if stored else [])]


def test_where_the_server_can_not_be_asked_it_is_said_that_it_is_not_known(book, monkeypatch):
    def lost(raw):
        raw.dbapi_connection.close()
        raise psycopg.OperationalError("the connection is lost")

    monkeypatch.setattr(book._store.engine.dialect, "do_commit", lost)
    monkeypatch.setattr(module.PostgresDatabase, "was_stored", lambda self, ticket: None)
    with pytest.raises(NotStored, match="whether it was is not known"):
        book.add_animal("Quill", "normal")


def test_somebody_who_writes_too_long_is_said_after_a_while(path, reader, monkeypatch):
    monkeypatch.setitem(module._OPTIONS, "lock_timeout", 100)
    with open_book(path, reader=reader) as book, open_book(path, reader=reader) as other:
        with book._store.editing("slow"):
            with pytest.raises(NotStored, match="Another person or window is writing"):
                other.add_animal("Larch", "normal")
            assert other.animals() == ()  # reading goes on meanwhile
        assert other.add_animal("Larch", "normal").version == 2


def test_reading_sees_one_moment_and_keeps_nobody_from_writing(book, path, reader):
    from sqlalchemy import func, select

    from dashboard.records.schema import animals

    count = select(func.count()).select_from(animals)
    with open_book(path, reader=reader) as other, book._store.reading() as connection:
        assert connection.execute(count).scalar_one() == 0
        other.add_animal("Larch", "normal")
        assert connection.execute(count).scalar_one() == 0
        with pytest.raises(Exception, match="read-only"):
            connection.exec_driver_sql("DELETE FROM animals")
    assert len(book.animals()) == 1


def test_settings_of_every_connection(book):
    wanted = {
        "lock_timeout": "5s",
        "idle_in_transaction_session_timeout": "1min",
        "tcp_keepalives_idle": "30",
        "client_encoding": "UTF8",
    }
    with book._store.writing() as connection:
        found = {name: connection.exec_driver_sql(f"SHOW {name}").scalar() for name in wanted}
        level = connection.exec_driver_sql("SHOW transaction_isolation").scalar()
    assert found == wanted
    assert level == "read committed"
