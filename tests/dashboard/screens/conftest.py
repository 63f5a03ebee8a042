"""A page run without a browser: its widgets by Streamlit's own test frame, its tables caught as text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from html import unescape
from types import SimpleNamespace
from typing import Any

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from dashboard import home, session
from dashboard.figures import component
from dashboard.records import open_book


@dataclass
class Tables:
    """What the page drew by the name of the place, and the link or button to be used in the next run."""

    drawn: dict[str, str] = field(default_factory=dict)
    used: dict[str, str] = field(default_factory=dict)
    now: dict[str, str] = field(default_factory=dict)

    def __call__(self, *, data: dict[str, str], key: str, on_go_change: Callable[[], None]) -> Any:
        self.drawn[key] = data["html"]
        if key in self.used:
            self.now = {key: self.used.pop(key)}
            on_go_change()
            st.rerun()  # the browser calls first and runs the page then, with the target still at hand
        return SimpleNamespace(go=self.now.pop(key, None))

    def words(self, key: str) -> str:
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", self.drawn[key])).split())

    def targets(self, key: str) -> list[str]:
        return [unescape(t) for t in re.findall(r'data-go="([^"]*)"', self.drawn[key])]


@dataclass
class Screen:
    """One window on one page."""

    name: str
    tables: Tables
    app: AppTest

    def run(self) -> Screen:
        self.app.run()
        assert not self.app.exception, self.app.exception
        return self

    def use(self, key: str, target: str) -> Screen:
        """Use a link or a button inside a table."""
        assert target in self.tables.targets(key)
        self.tables.used[key] = target
        return self.run()

    def press(self, words: str) -> Screen:
        found = [button for button in self.app.button if button.label == words]
        assert len(found) == 1, [button.label for button in self.app.button]
        found[0].click()
        return self.run()

    def fill(self, **fields: Any) -> Screen:
        """Fill fields by the end of their names, without leaving the form."""
        for end, value in fields.items():
            app = self.app
            widgets = [*app.text_input, *app.number_input, *app.selectbox]
            found = [widget for widget in widgets if str(widget.key).endswith(f"-{end}")]
            assert len(found) == 1, (end, [widget.key for widget in widgets])
            found[0].set_value(value)
        return self

    @property
    def title(self) -> str:
        assert len(self.app.title) == 1
        return self.app.title[0].value

    @property
    def primary(self) -> int:
        return sum(button.proto.type == "primary" for button in self.app.button)

    def said(self) -> str:
        return " ".join(toast.value for toast in self.app.toast)


@pytest.fixture
def home_folder(tmp_path, monkeypatch):
    monkeypatch.setenv(home.HOME_VARIABLE, str(tmp_path))
    monkeypatch.delenv(home.BOOK_VARIABLE, raising=False)
    return tmp_path


@pytest.fixture
def book(home_folder):
    """The breeder's own book, open in the program and here, like in two windows."""
    home.write_settings(home.Settings("own"))
    with open_book(home.own_book_place()) as opened:
        yield opened


@pytest.fixture
def screen(home_folder, monkeypatch):
    def show(name: str, **query: str) -> Screen:
        tables = Tables()
        monkeypatch.setattr(component, "_LEDGER", tables)
        monkeypatch.setattr(session, "used", lambda key: tables.now.get(key))
        monkeypatch.setattr(session, "go", lambda target: tables.drawn.__setitem__("went to", target))
        app = AppTest.from_function(_script, default_timeout=60, args=(name,))
        for key, value in query.items():
            app.query_params[key] = value
        return Screen(name, tables, app).run()

    return show


def _script(name: str) -> None:
    from importlib import import_module

    from dashboard import session
    from dashboard.figures import component

    component._LEDGER.drawn.clear()  # what a run drew before it was run again is gone from the screen
    import_module(f"dashboard.screens.{name}").page()
    session.show_told()
