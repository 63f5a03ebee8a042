"""Where does the keyboard stand after something was entered? In the field that is typed in next."""

from __future__ import annotations

from typing import Final

import streamlit as st

# A field is found by the key it was given, which Streamlit writes into its class by design.
_SCRIPT: Final = """
export default function (component) {
  const { parentElement, data } = component;
  const mark = parentElement.querySelector("span");
  if (!data.turn || mark.dataset.turn === data.turn) return;
  mark.dataset.turn = data.turn;
  let tries = 0;
  let kept = 0; // a field that is drawn anew just after loses the keyboard: give it back
  const wanted = data.part
    ? `.st-key-${data.key}`
    : `.st-key-${data.key} input, .st-key-${data.key} textarea`;
  const look = () => {
    const found = document.querySelector(wanted);
    if (!found) {
      if (tries++ < 200) setTimeout(look, 50);
      return;
    }
    const elsewhere = document.activeElement && document.activeElement !== document.body;
    if (tries > 40 && elsewhere) return; // it took long, and the breeder went on
    if (data.part) {
      found.tabIndex = -1;
      found.style.outline = "none";
      found.style.scrollMarginTop = "5rem";
      found.scrollIntoView();
    }
    found.focus({ preventScroll: Boolean(data.part) });
    setTimeout(keep, 100);
  };
  const keep = () => {
    if (kept++ >= 15) return;
    const again = document.querySelector(wanted);
    if (again && document.activeElement === document.body) again.focus({ preventScroll: true });
    setTimeout(keep, 100);
  };
  setTimeout(look, 50);
}
"""
_FOCUS: Final = st.components.v2.component("hatchmargin_focus", html="<span></span>\n", js=_SCRIPT)


def focus_on(field: str, turn: int, *, place: str) -> None:
    """Put the keyboard into a field, once for each turn; turn 0 leaves it where it is.

    Parameters
    ----------
    field
        Key of a text or number field of this page.
    turn
        Number that changes when the keyboard is to move.
    place
        Name of this place on the page, the same at every run.
    """
    _FOCUS(data={"key": field, "turn": str(turn) if turn else "", "part": False}, key=f"focus-{place}")


def turn_to(part: str, turn: int) -> None:
    """Bring a part of the page into view with the keyboard in it, once for each turn.

    Parameters
    ----------
    part
        Key of a container of this page.
    turn
        Number that changes when the part is to be turned to; 0 leaves the page where it is.
    """
    _FOCUS(data={"key": part, "turn": str(turn) if turn else "", "part": True}, key=f"focus-{part}")
