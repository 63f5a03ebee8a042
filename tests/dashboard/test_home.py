"""Where the program's own files lie, and that a book is never served twice."""

from __future__ import annotations

import json
import os
import socket
import time

import pytest

from dashboard import __main__ as start
from dashboard import home, running
from dashboard.records import BOOK_VARIABLE


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv(home.HOME_VARIABLE, str(tmp_path))
    monkeypatch.delenv(home.BOOK_VARIABLE, raising=False)
    return tmp_path


def test_the_records_and_the_start_know_the_same_name_for_the_book():
    assert home.BOOK_VARIABLE == BOOK_VARIABLE


def test_a_first_start_opens_the_demo_book():
    assert home.read_settings() == home.Settings("demo")


def test_settings_come_back_as_written(own_folder):
    home.write_settings(home.Settings("own"))
    assert home.read_settings() == home.Settings("own")
    assert sorted(path.name for path in own_folder.iterdir()) == ["settings.json"]


@pytest.mark.parametrize("written", ["", "{", "[]", "null", '{"open_book": 3}', "\x00\xff"])
def test_settings_that_can_t_be_read_mean_a_first_start(own_folder, written):
    (own_folder / "settings.json").write_bytes(written.encode("latin-1"))
    assert home.read_settings().open_book == "demo"


def test_the_own_book_is_where_it_is_said_to_be_and_the_demo_never_beside_it(own_folder, monkeypatch):
    assert home.own_book_path() == own_folder / "my-book.sqlite"
    elsewhere = own_folder / "elsewhere" / "book.sqlite"
    monkeypatch.setenv(home.BOOK_VARIABLE, str(elsewhere))
    assert home.own_book_path() == elsewhere
    assert home.demo_book_path() == own_folder / "demo-book.sqlite"


def test_a_book_is_put_aside_under_the_first_free_name(own_folder):
    book = own_folder / "a.b.sqlite"
    book.write_bytes(b"one")
    (own_folder / "a.b.put-aside-1.sqlite").write_bytes(b"older")
    (own_folder / "a.b.put-aside-3.sqlite").write_bytes(b"newer")
    assert home.put_aside(book) == own_folder / "a.b.put-aside-2.sqlite"
    assert {path.name: path.read_bytes() for path in own_folder.iterdir()} == {
        "a.b.put-aside-1.sqlite": b"older",
        "a.b.put-aside-2.sqlite": b"one",
        "a.b.put-aside-3.sqlite": b"newer",
    }


def test_a_book_that_is_not_there_is_not_put_aside_and_takes_no_name(own_folder):
    with pytest.raises(FileNotFoundError, match="no book to put aside"):
        home.put_aside(own_folder / "a.sqlite")
    assert list(own_folder.iterdir()) == []


def test_a_claim_names_a_free_port_and_goes_when_given_up(own_folder):
    claim, ours = running.claim(own_folder / "a.sqlite", None)
    assert ours
    with socket.socket() as trial:
        trial.bind((running.ADDRESS, claim.port))
    claim.give_up()
    assert list(own_folder.iterdir()) == []


def test_two_books_have_two_claims(own_folder):
    first, _ = running.claim(own_folder / "a.sqlite", None)
    second, ours = running.claim(own_folder / "b.sqlite", None)
    assert ours
    assert first.path != second.path


def test_a_book_whose_program_answers_is_not_claimed_again(own_folder, monkeypatch):
    first, _ = running.claim(own_folder / "a.sqlite", None)
    monkeypatch.setattr(running, "is_up", lambda port: port == first.port)
    second, ours = running.claim(own_folder / "a.sqlite", None)
    assert not ours
    assert second.url == first.url


@pytest.mark.parametrize("written", ["", "{}", '{"port": "x"}', '{"port": 1}'])
def test_a_claim_without_a_program_behind_it_is_taken_over(own_folder, written):
    first, _ = running.claim(own_folder / "a.sqlite", None)
    first.path.write_text(written, encoding="utf-8")
    long_ago = time.time() - 3600
    os.utime(first.path, (long_ago, long_ago))
    second, ours = running.claim(own_folder / "a.sqlite", None)
    assert ours
    assert json.loads(second.path.read_text(encoding="utf-8"))["port"] == second.port


def test_a_port_in_use_is_refused(own_folder):
    with socket.socket() as other:
        other.bind((running.ADDRESS, 0))
        other.listen()
        with pytest.raises(running.PortTakenError, match="in use"):
            running.claim(own_folder / "a.sqlite", other.getsockname()[1])
    assert list(own_folder.iterdir()) == []


def test_the_server_is_told_to_answer_this_computer_alone():
    command = start._command(8741)
    assert "--server.address=127.0.0.1" in command
    assert "--browser.gatherUsageStats=false" in command
    assert "-P" in command


def test_the_log_starts_anew_before_it_grows_large(own_folder):
    home.log_path().write_bytes(b"x" * (start._LARGEST_LOG + 1))
    with start._open_log() as log:
        assert log.tell() == 0
    assert (own_folder / "hatchmargin.older.log").stat().st_size == start._LARGEST_LOG + 1


@pytest.mark.parametrize("word", ["0", "65536", "http", "80.5"])
def test_a_word_that_is_no_port_is_refused(word, capsys):
    with pytest.raises(SystemExit) as ended:
        start.main(["--port", word])
    assert ended.value.code == 2
    assert "1 to 65535" in capsys.readouterr().err
