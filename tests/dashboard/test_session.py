"""Which book is open, what is computed once, and where a link leads."""

from __future__ import annotations

import threading
import time

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from dashboard import home, session
from dashboard.jobs.recent import Recent
from dashboard.records import open_book
from genetics import Sex


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv(home.HOME_VARIABLE, str(tmp_path))
    monkeypatch.delenv(home.BOOK_VARIABLE, raising=False)
    st.cache_resource.clear()
    yield tmp_path
    st.cache_resource.clear()


def test_the_own_book_starts_empty_and_nothing_of_the_demo_leaks_into_it(own_folder):
    home.write_settings(home.Settings("demo"))
    demo = session.current_book()
    assert demo.info.is_demo
    assert len(demo.animals()) > 0
    home.write_settings(home.Settings("own"))
    own = session.current_book()
    assert not own.info.is_demo
    assert len(own.animals()) == 0
    assert own.place == own_folder / "my-book.sqlite"


def test_the_same_book_is_one_object_for_all_windows():
    home.write_settings(home.Settings("own"))
    assert session.current_book() is session.current_book()


def test_a_result_is_computed_once_until_the_book_changes():
    home.write_settings(home.Settings("own"))
    made = []

    def make():
        made.append(1)
        return len(made)

    assert [session.computed("q", make), session.computed("q", make)] == [1, 1]
    assert session.computed("q", make, parts=("pairing", 3)) == 2
    session.current_book().set_name("Another name")
    assert session.computed("q", make) == 3


def test_two_windows_asking_together_compute_once():
    home.write_settings(home.Settings("own"))
    session.current_book()
    results = Recent(5)
    made, got = [], []

    def make():
        made.append(1)
        time.sleep(0.2)
        return len(made)

    threads = [threading.Thread(target=lambda: got.append(results.get("key", make))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (made, got) == ([1], [1, 1, 1, 1])


def test_a_failed_computation_is_tried_again():
    results = Recent(5)
    answers = iter([ValueError("no"), 7])

    def make():
        answer = next(answers)
        if isinstance(answer, Exception):
            raise answer
        return answer

    with pytest.raises(ValueError, match="no"):
        results.get("key", make)
    assert results.get("key", make) == 7


def test_only_the_newest_results_are_kept():
    results = Recent(session._KEPT_RESULTS)
    for number in range(session._KEPT_RESULTS + 5):
        results.get(number, lambda number=number: number)
    made = []
    results.get(session._KEPT_RESULTS + 4, lambda: made.append("new"))
    results.get(0, lambda: made.append("old"))
    assert made == ["old"]


def test_a_demo_book_that_does_not_open_is_put_aside_and_built_again(own_folder):
    from dashboard.records import BookDamaged

    home.write_settings(home.Settings("demo"))
    home.demo_book_path().write_bytes(b"")
    with pytest.raises(BookDamaged):
        session.current_book()
    session.put_demo_aside()
    assert session.current_book().info.is_demo
    assert (own_folder / "demo-book.put-aside-1.sqlite").read_bytes() == b""


def test_a_second_put_aside_keeps_the_first_and_takes_the_journal_along(own_folder):
    home.write_settings(home.Settings("demo"))
    for words in (b"first", b"second"):
        home.demo_book_path().write_bytes(words)
        (own_folder / "demo-book.sqlite-journal").write_bytes(words + b" journal")
        session.put_demo_aside()
    session.put_demo_aside()  # as from a window that was slower: nothing is left to put aside
    kept = {path.name: path.read_bytes() for path in own_folder.iterdir() if "demo" in path.name}
    assert kept == {
        "demo-book.put-aside-1.sqlite": b"first",
        "demo-book.put-aside-1.sqlite-journal": b"first journal",
        "demo-book.put-aside-2.sqlite": b"second",
        "demo-book.put-aside-2.sqlite-journal": b"second journal",
    }


def window():
    """One window: it names its book, keeps a note in its one animal, and can turn to either book."""

    def script() -> None:
        import streamlit as st

        from dashboard import session

        if st.button("demo"):
            session.open_demo_book()
            st.rerun()
        if st.button("own"):
            session.open_own_book()
            st.rerun()
        book = session.current_book()
        if st.button("save"):
            animal = book.animals()[0]
            book.change_animal(animal.id, animal.version, note="Mine")
        st.title(f"{book.place.name}, {session.book_place().name}, {session.is_demo()}")

    return AppTest.from_function(script, default_timeout=60).run()


def press(app, words):
    next(button for button in app.button if button.label == words).click()
    app.run()
    assert not app.exception, app.exception
    return app.title[0].value


OWN, DEMO = "my-book.sqlite, my-book.sqlite, False", "demo-book.sqlite, demo-book.sqlite, True"


def test_a_book_opened_in_one_window_leaves_the_other_s_book_and_edits_alone(own_folder):
    home.write_settings(home.Settings("own"))
    with open_book(home.own_book_place()) as own:
        own.add_animal("Basalt", "pastel", sex=Sex.MALE)
    one, other = window(), window()
    assert (one.title[0].value, other.title[0].value) == (OWN, OWN)
    assert press(one, "demo") == DEMO
    assert press(other, "save") == OWN
    with open_book(home.own_book_place()) as own, open_book(home.demo_book_path()) as demo:
        assert [animal.note for animal in own.animals()] == ["Mine"]
        assert "Mine" not in {animal.note for animal in demo.animals()}
    assert window().title[0].value == DEMO
    assert press(one, "own") == OWN
    assert window().title[0].value == OWN


def test_the_settings_alone_never_turn_a_window_that_is_open():
    home.write_settings(home.Settings("own"))
    shown = window()
    home.write_settings(home.Settings("demo"))
    assert shown.run().title[0].value == OWN


def test_a_link_to_no_page_is_refused():
    with pytest.raises(session.NoSuchPageError, match="no page is called"):
        session.go("nowhere?id=3")
