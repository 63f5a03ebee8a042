"""What can be taken out of the book: one table, all of them, or everything with what each column means."""

from __future__ import annotations

import streamlit as st

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.markup import heading
from dashboard.jobs.book import BookAnswer
from dashboard.records.spreadsheets import TITLES, export_csv, export_package, export_workbook, exportable

_READING = (
    "Copies for a spreadsheet or another program; text that a spreadsheet would run is made harmless. A Data "
    "Package is a zip of tables that says what every column means; an empty book can take it in again."
)


def show(answer: BookAnswer) -> None:
    """Offer each table as CSV and everything as one file."""
    draw(heading("Take everything out", _READING, spaced=True), "out_head")
    book = session.current_book()
    stem = "demo-book" if answer.info.is_demo else "my-book"
    with st.container(horizontal=True, vertical_alignment="bottom"):
        table = st.selectbox(
            "Table",
            exportable(),
            format_func=lambda name: TITLES.get(name, name),
            key="out_table",
            width=280,
        )
        st.download_button(
            "This table as CSV",
            data=lambda: export_csv(book, table),
            file_name=f"{table}.csv".replace(" ", "-"),
            mime="text/csv",
            on_click="ignore",
        )
        st.download_button(
            "Everything as XLSX",
            data=lambda: export_workbook(book),
            file_name=f"{stem}.xlsx",
            on_click="ignore",
        )
        st.download_button(
            "Everything as a Data Package",
            data=lambda: export_package(book),
            file_name=f"{stem}.zip",
            mime="application/zip",
            on_click="ignore",
        )
