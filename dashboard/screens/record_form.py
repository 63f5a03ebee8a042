"""A form for one record that two windows may change: what was seen is kept, and both values are shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import streamlit as st

from dashboard import session
from dashboard.jobs.clutch_edits import start_of_record
from dashboard.jobs.rows import shown_value
from dashboard.records import Conflict
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.screens import row_form
from dashboard.screens.row_form import Form, Typed
from dashboard.screens.saving import clash, clashed, clear, saved


@dataclass(frozen=True)
class RecordForm:
    """One record's form on a page.

    Attributes
    ----------
    place
        Its name on the page.
    fields
        Its boxes.
    words
        What the button says.
    store
        Stores what was typed for a record as it was seen; gives None if nothing differs.
    herd, currency
        Names for choices, and the book's money.
    start
        What the boxes hold for a record; None takes the record's own values.
    done
        Called after it was stored.
    primary
        Whether it is the page's one primary button.
    """

    place: str
    fields: tuple[Field, ...]
    words: str
    store: Callable[[Any, Typed], object | None]
    herd: HerdIndex
    currency: str
    start: Callable[[Any], Typed] | None = None
    done: Callable[[], None] | None = None
    primary: bool = False

    def start_for(self, record: Any) -> Typed:
        """What the boxes hold at first."""
        if self.start is not None:
            return self.start(record)
        return start_of_record(self.fields, record, currency=self.currency)


def show(form: RecordForm, record: Any) -> None:
    """Show the form of a record; what others did to it since it was seen is a clash, not a loss."""
    seen = _seen(form, record)
    _settle(form, seen)
    row_form.show(_boxes(form, seen), form.start_for(seen))


def forget(place: str) -> None:
    """Start the form anew from what the book holds."""
    session.choose(f"seen-{place}", None)
    row_form.renew(place)


def _boxes(form: RecordForm, seen: Any) -> Form:
    def send(typed: Typed) -> None:
        _store(form, seen, typed)

    return Form(form.place, form.fields, form.herd, form.currency, form.words, send, form.primary)


def _store(form: RecordForm, seen: Any, typed: Typed) -> None:
    if form.store(seen, typed) is None:
        session.tell("Nothing was changed.")
    else:
        saved("Saved.")
    forget(form.place)
    if form.done is not None:
        form.done()


def _seen(form: RecordForm, record: Any) -> Any:
    """Give the record as it was when its boxes were filled; afresh if nothing was typed in them since."""
    kept = session.choice(f"seen-{form.place}", None)
    if kept is not None and kept.id == record.id:
        waiting = session.choice(f"clash-{form.place}", None) is not None
        same = kept.version == record.version
        if same or waiting or row_form.touched(_boxes(form, kept), form.start_for(kept)):
            return kept
    forget(form.place)
    session.choose(f"seen-{form.place}", record)
    return record


def _settle(form: RecordForm, seen: Any) -> None:
    """Show both values where another window was faster, and do what the breeder chooses."""
    fields = {field.name: field for field in form.fields}

    def printed(name: str, value: object) -> str:
        return shown_value(fields[name], {name: value}, form.herd, currency=form.currency) or "nothing"

    names = {name: field.header for name, field in fields.items()}
    chosen = clashed(form.place, names=names, show=printed)
    if chosen is None:
        return
    said, kept = chosen
    clear(form.place)
    if said == "mine":
        known = {name: value for name, value in kept.fault.stored.items() if hasattr(seen, name)}
        now = replace(seen, version=kept.fault.stored_version, **known)
        try:
            _store(form, now, kept.again["typed"])
        except Conflict as fault:
            clash(form.place, fault, typed=kept.again["typed"])
    else:
        forget(form.place)
    st.rerun()
