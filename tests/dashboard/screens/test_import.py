"""Bringing things in on screen: pasted cells, columns of months, a whole book, work that was stopped."""

from __future__ import annotations

import pytest

from dashboard.jobs import imports as job
from dashboard.records import open_book
from dashboard.records.spreadsheets import export_package
from dashboard.screens import import_file
from genetics import Sex

WIDE = b"what,2025-01,2025-02\npastel,45,50\nclown,,230\n"


def bring(shown, name, data):
    shown.app.file_uploader[0].upload(name, data, "text/csv")
    return shown.run()


def test_pasted_cells_are_tried_and_added(book, screen):
    shown = screen("book")
    shown.app.text_area(key="pasted-book-0").set_value("date\twhat\tprice\n2025-05-01\tpastel\t45")
    shown.press("Try these cells")
    assert "1 of 1 rows can be added" in shown.tables.words("outcome-book")
    shown.press("Add the one good row")
    assert [seen.what for seen in book.price_observations()] == ["pastel"]


def test_columns_of_months_are_shown_and_can_be_switched_off(book, screen):
    shown = bring(screen("book"), "wide.csv", WIDE)
    assert "3 of 3 cells can be added" in shown.tables.words("outcome-book")
    assert "dated the first of its month" in shown.tables.words("outcome-book")
    box = next(box for box in shown.app.checkbox if box.label.startswith("One column per month: 2 columns"))
    box.uncheck()
    shown.run()
    assert "No column for date and price" in shown.tables.words("outcome-book")


def test_a_whole_book_comes_in_from_a_package(book, screen, tmp_path):
    with open_book(tmp_path / "source.sqlite") as source:
        source.add_animal("Basalt", "pastel", sex=Sex.MALE)
        package = export_package(source)
    shown = bring(screen("book"), "whole.zip", package)
    assert "1 of 1 rows can be added" in shown.tables.words("package-book")
    shown.press("Add the 1 good row")
    assert [animal.name for animal in book.animals()] == ["Basalt"]
    shown = bring(screen("book"), "whole.zip", package)
    assert "empty book only" in shown.tables.words("package-refused-book")


@pytest.fixture
def stopped():
    """As if Stop was pressed while the work was told of: the mark is set and the work ends."""
    from dashboard.screens import long_work

    with pytest.MonkeyPatch.context() as patch:

        def press(place):
            def run(self, work):
                if self._key == place:
                    long_work._stop(self._key, self._mark)
                    import_file.st.rerun()
                return work(lambda done, total: None)

            patch.setattr(long_work.Watched, "run", run)

        press.undo = patch.undo
        yield press


def test_a_trial_that_was_stopped_says_so_and_can_be_begun_again(book, screen, stopped):
    stopped("try-book")
    shown = bring(screen("book"), "wide.csv", WIDE)
    assert "Stopped. Nothing was added." in shown.tables.words("stopped-book")
    stopped.undo()
    shown.press("Try it again")
    assert "3 of 3 cells" in shown.tables.words("outcome-book")
    assert job.try_file(book, WIDE).run.good


def test_an_import_that_was_stopped_added_nothing_and_says_so(book, screen, stopped):
    stopped("add-book")
    shown = bring(screen("book"), "wide.csv", WIDE).press("Add the 3 good rows")
    assert book.price_observations() == ()
    assert "Stopped. Nothing was added." in shown.tables.words("stopped-add-book")
