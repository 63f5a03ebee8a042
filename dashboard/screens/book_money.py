"""Which money does the book count in, and what are other currencies worth in it?"""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, heading, link
from dashboard.figures.plain import facts_table
from dashboard.jobs.book import BookAnswer, MoneyOf
from dashboard.records import BookError
from dashboard.screens import rows
from dashboard.words import listed, num, plural
from econ.money import CURRENCIES


def show(answer: BookAnswer) -> None:
    """Show the money of the book, its exchange rates, and a line to enter one."""
    currency = answer.info.currency
    reading = (
        f"Sums in other money count at the rate of their day; the rate says how much {currency} one unit "
        f"of it is worth. All results are in {currency}."
    )
    draw(heading(f"The book counts in {currency}", reading, spaced=True), "money_head")
    if answer.left_out:
        draw(note("none", esc(_left_out(answer))), "left_out")
    if answer.monies:
        lines = [(money.currency, _worth(money, currency)) for money in answer.monies]
        draw(facts_table("Exchange rates", lines), "monies")
    if answer.can_change_money:
        _choose(currency)
    first = {"currency": answer.monies[0].currency} if answer.monies else {}
    rows.line("exchange rates", "money_rate", **first)
    target = draw(f"<p>{link('All exchange rates', rows.address('exchange rates'))}</p>", "all_rates")
    if target is not None:
        session.go(target)


def _left_out(answer: BookAnswer) -> str:
    waiting = [money for money in answer.monies if money.left_out]
    counted = [f"{num(money.left_out)} in {money.currency}" for money in waiting]
    verb = plural(answer.left_out, "price is", "prices are")
    return f"{num(answer.left_out)} {verb} left out of every forecast for want of a rate: {listed(counted)}."


def _worth(money: MoneyOf, home: str) -> str:
    if money.on is None:
        return f"no rate yet; {num(money.left_out)} {plural(money.left_out, 'price')} left out"
    return f"1 {money.currency} is {money.rate} {home} from {money.on.isoformat()}"


def _choose(now: str) -> None:
    """Offer another money as long as no sum is stored in this one."""
    codes = sorted(CURRENCIES)
    code = st.selectbox("Money of this book", codes, codes.index(now), key=f"money-{now}", width=180)
    if code is None or code == now:
        return
    try:
        session.current_book().set_currency(code)
    except BookError as fault:
        session.tell(f"{fault} Nothing was saved.")
    else:
        session.tell(f"This book counts in {code}.")
    st.rerun()
