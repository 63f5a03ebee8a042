"""One form for every table: boxes made from the fields, refusals beside them, the next row like the last."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import action, esc, strong
from dashboard.jobs.animals import with_name
from dashboard.jobs.boxes import CHOSEN, BoxFault, NotRead
from dashboard.jobs.rows import options
from dashboard.records import BookError, Conflict
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from dashboard.screens.focus import focus_on
from dashboard.screens.saving import NOTHING_SAVED, clash, clear, refuse, refused
from dashboard.source_words import plain_refusal

Typed = Mapping[str, object]
_WIDTHS: Final = {
    "look": 3.0, "note": 3.0, "pairing": 3.0, "clutch": 3.0, "animal": 2.0, "text": 2.0, "gene": 1.6,
    "choice": 1.7, "day": 1.5, "sex": 1.3,
}  # fmt: skip
_USUAL: Final = 1.2
_FULL: Final = 9.0
_EXAMPLES: Final = {"day": "2025-04-30", "look": "pastel 66% het clown", "gene": "clown", "rate": "1.0837"}
_MARKED: Final = re.compile(r"([\\`*_{}\[\]()#+\-.!|>~$:<])")


@dataclass(frozen=True)
class Form:
    """One form on a page.

    Attributes
    ----------
    place
        Its name on the page.
    fields
        Its boxes in order.
    herd, currency
        Names for choices, and the book's money.
    words
        What the button says.
    send
        Stores what was typed and gives what the boxes hold then; None leaves them as they are. It may
        raise `NotRead` and `BookError`.
    primary
        Whether it is the page's one primary button.
    """

    place: str
    fields: tuple[Field, ...]
    herd: HerdIndex
    currency: str
    words: str
    send: Callable[[Typed], Typed | None]
    primary: bool = True


def show(form: Form, start: Typed) -> None:
    """Show a form with what its boxes hold at first, and beneath it what was refused."""
    key = _key(form.place)
    take_offered(form.place)
    faults: Mapping[str, BoxFault] = session.choice(_faults(form.place), {})
    with st.form(f"form-{key}", border=False):
        for line in _lines(form.fields):
            places = st.columns([_width(field) for field in line], gap="small")
            for spot, field in zip(places, line, strict=True):
                with spot:
                    _box(form, field, key, start)
                    if field.name in faults:
                        st.markdown(f"**?** {_plain(faults[field.name].reason)}")
        st.form_submit_button(
            form.words, type="primary" if form.primary else "secondary", on_click=_send, args=(form, key)
        )
    _said(form, key, faults)
    refused(form.place)
    _focus(form, key)


def renew(place: str) -> None:
    """Show a form anew the next time, with other values in it."""
    session.choose(f"round-{place}", session.choice(f"round-{place}", 0) + 1)
    session.choose(_faults(place), {})
    clear(place)


def turn_to(place: str) -> None:
    """Have the keyboard stand in a form's first box the next time it is shown."""
    session.choose(f"turns-{place}", session.choice(f"turns-{place}", 0) + 1)
    session.choose(f"turn-{place}", value=True)


def offer(place: str, box: str, text: str) -> None:
    """Have a box hold another text the next time its form is shown."""
    session.choose(f"offered-{place}", (box, text))


def take_offered(place: str) -> None:
    """Put what was offered into its box, before it is drawn."""
    box, text = session.choice(f"offered-{place}", ("", ""))
    if box:
        session.put(box, text)
        session.choose(f"offered-{place}", ("", ""))


def touched(form: Form, start: Typed) -> bool:
    """Say whether a box holds something else than it held at first."""
    key = _key(form.place)
    held = {field.name: session.typed(f"{key}-{field.name}") for field in form.fields}
    return any(value is not None and value != (start.get(name) or "") for name, value in held.items())


def _key(place: str) -> str:
    return f"{place}-{session.choice(f'round-{place}', 0)}"


def _faults(place: str) -> str:
    return f"faults-{place}"


def _width(field: Field) -> float:
    return _WIDTHS.get(field.kind, _USUAL)


def _lines(fields: tuple[Field, ...]) -> list[list[Field]]:
    """Boxes that share a line."""
    lines: list[list[Field]] = [[]]
    for field in fields:
        if lines[-1] and sum(map(_width, lines[-1])) + _width(field) > _FULL:
            lines.append([])
        lines[-1].append(field)
    return lines


def _box(form: Form, field: Field, key: str, start: Typed) -> None:
    """Show one box; what it holds is set from outside, so that it stays the same box after an edit."""
    name = f"{key}-{field.name}"
    label = field.header[:1].upper() + field.header[1:] + (f", {field.unit}" if field.unit == "g" else "")
    if field.kind in CHOSEN:
        found = dict(options(field, form.herd, currency=form.currency))
        first = start.get(field.name)
        session.begin_with(name, first if first in found else next(iter(found), ""))
        st.selectbox(label, list(found), format_func=lambda value: found.get(value, str(value)), key=name)
        return
    session.begin_with(name, str(start.get(field.name) or ""))
    st.text_input(label, key=name, placeholder=_EXAMPLES.get(field.kind, ""))


def _typed(form: Form, key: str) -> dict[str, object]:
    return {field.name: session.typed(f"{key}-{field.name}") for field in form.fields}


def _send(form: Form, key: str) -> None:
    """Store what was typed, before the page runs again; what is refused stays in its box."""
    typed = _typed(form, key)
    clear(form.place)
    session.choose(_faults(form.place), {})
    try:
        following = form.send(typed)
    except NotRead as fault:
        session.choose(_faults(form.place), fault.faults)
    except Conflict as fault:
        clash(form.place, fault, typed=typed)
    except BookError as fault:
        refuse(form.place, fault)
    else:
        for name, value in (following or {}).items():
            session.put(f"{key}-{name}", value)
        if following:
            turn_to(form.place)


def _focus(form: Form, key: str) -> None:
    """Put the keyboard into the first box to fill, in the run after it was asked for."""
    turn = (
        session.choice(f"turns-{form.place}", 0) if session.choice(f"turn-{form.place}", default=False) else 0
    )
    session.choose(f"turn-{form.place}", value=False)
    first = next((field for field in form.fields if field.kind not in CHOSEN | {"day"}), form.fields[0])
    focus_on(f"{key}-{first.name}", turn, place=form.place)


def _said(form: Form, key: str, faults: Mapping[str, BoxFault]) -> None:
    """Say under the form what was refused, with the nearest names to choose from."""
    spot = st.container()  # there even when empty, so that what stands beneath is not built anew
    if not faults:
        return
    headers = {field.name: field.header for field in form.fields}
    lines = "".join(
        f"<p>{strong(headers[name][:1].upper() + headers[name][1:] + ':')} {_reason(name, fault)}</p>"
        for name, fault in faults.items()
    )
    place = f"faults-{form.place}"
    with spot:
        html = note("none", f"{lines}<p>{strong(NOTHING_SAVED)}</p>")
        draw(html, place, on_use=lambda: _use(form, key, place))


def _reason(name: str, fault: BoxFault) -> str:
    words = plain_refusal(fault.reason)
    if not fault.nearest:
        return esc(words)
    names = " or ".join(action(near, f"use:{name}:{near}") for near in fault.nearest)
    return f"{esc(words.split(' The nearest names are')[0])} Did you mean {names}?"


def _use(form: Form, key: str, place: str) -> None:
    """Put the nearest name in place of the word that could not be read."""
    _, name, near = (session.used(place) or "::").split(":", 2)
    faults: Mapping[str, BoxFault] = session.choice(_faults(form.place), {})
    if name not in faults:
        return
    box = f"{key}-{name}"
    offer(form.place, box, with_name(str(session.typed(box) or ""), faults[name].word, near))
    session.choose(_faults(form.place), {})


def _plain(text: str) -> str:
    """Text in which nothing is taken for a mark of markdown."""
    return _MARKED.sub(r"\\\1", plain_refusal(text))
