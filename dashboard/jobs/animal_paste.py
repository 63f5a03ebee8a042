"""How are rows of animals read that were copied from a spreadsheet, with heads or without?"""

from __future__ import annotations

from dashboard.jobs.imports import Trial, Wishes, text_as_file, try_text
from dashboard.records import Book
from dashboard.records.spreadsheets import FileRefused, sniff

HEADS = ("name", "sex", "what", "hatched", "paid", "status", "note")
"""Order in which columns are read where no line of heads was copied."""


def with_heads(text: str) -> tuple[str, bool]:
    """Text with a line of heads on top, and whether one had to be put there.

    A first line that names the columns "name" and "what" in any of their words counts as heads.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    plain = "\n".join(lines) + "\n"
    if not lines:
        return "", False
    try:
        columns = sniff(text_as_file(plain), "animals").columns
    except FileRefused:
        columns = {}
    if "name" in columns and "text" in columns:
        return plain, False
    mark = next((mark for mark in ("\t", ";", ",") if mark in lines[0]), "\t")
    count = max(line.count(mark) + 1 for line in lines)
    heads = [HEADS[n] if n < len(HEADS) else f"column {n + 1}" for n in range(count)]
    return mark.join(heads) + "\n" + plain, True


def try_paste(book: Book, text: str) -> Trial:
    """Try copied rows of animals against the book; nothing is stored."""
    found, _ = with_heads(text)
    return try_text(book, found, Wishes(kind="animals"))
