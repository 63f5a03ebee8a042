"""What stands in one table of the book, and how is a row of it entered, changed or found again?"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from dashboard.jobs.boxes import CHOSEN, BoxFault, NotRead, box_text, read_boxes
from dashboard.jobs.row_tables import Entry, RowTable
from dashboard.records import Book, Unreadable
from dashboard.records.fields import Field
from dashboard.records.herd.herd_index import HerdIndex
from econ.money import CURRENCIES
from genetics import Sex

Stored = TypeVar("Stored")
SEXES = (Sex.UNSEXED.value, Sex.MALE.value, Sex.FEMALE.value)
OFTEN = ("AUD", "CAD", "CHF", "EUR", "GBP", "USD")
"""Currencies that stand first in a list of all."""
_KEPT = CHOSEN | {"day"}


@dataclass(frozen=True)
class RowsAnswer:
    """The rows of one table as its page shows them.

    Attributes
    ----------
    table
        Which table.
    entries
        All rows, newest first.
    herd
        Names of animals, pairings and clutches.
    currency
        ISO 4217 code of the book's money.
    today
        Day the book counts as today.
    """

    table: RowTable
    entries: tuple[Entry, ...]
    herd: HerdIndex
    currency: str
    today: date

    def entry(self, row_id: int) -> Entry | None:
        """Row of a number, if it is there."""
        return next((entry for entry in self.entries if entry.id == row_id), None)

    def found(self, words: str) -> tuple[Entry, ...]:
        """Rows that hold all of some words, in any field."""
        wanted = words.casefold().split()
        if not wanted:
            return self.entries
        return tuple(entry for entry in self.entries if all(word in self._text(entry) for word in wanted))

    def _text(self, entry: Entry) -> str:
        return " ".join(self.shown(field, entry) for field in self.table.fields).casefold()

    def shown(self, field: Field, entry: Entry) -> str:
        """Value of a row as it is read: names for animals, money with its currency, yes or no."""
        return shown_value(field, entry.values, self.herd, currency=self.currency)


def rows_answer(book: Book, table: RowTable) -> RowsAnswer:
    """Read all rows of one table, newest first."""
    entries = sorted(
        table.entries(book),
        key=lambda entry: (str(entry.values.get(table.day) or ""), entry.id),
        reverse=True,
    )
    return RowsAnswer(table, tuple(entries), book.herd(), book.currency, book.today())


def shown_value(field: Field, values: Mapping[str, Any], herd: HerdIndex, *, currency: str) -> str:
    """Value of a field in words."""
    value = values.get(field.name)
    if value is None or value == "":
        return ""
    if field.kind == "animal":
        return herd.animal_name(value) if value in herd.animals else f"animal {value}, removed since"
    if field.kind == "pairing":
        return herd.pairing_name(value) if value in herd.pairings else f"pairing {value}, removed since"
    if field.kind == "clutch":
        return herd.clutch_name(value) if value in herd.clutches else f"clutch {value}, removed since"
    if field.kind == "answer":
        return "yes" if value else "no"
    if field.kind == "money":
        code = str(values.get(field.currency) or currency)
        return f"{box_text(field, value, code)} {code}"
    text = box_text(field, value, currency)
    return f"{text} {field.unit}" if field.unit == "g" else text


def options(field: Field, herd: HerdIndex, *, currency: str) -> tuple[tuple[object, str], ...]:
    """Choices of a field with their words; an empty text for "none" where it may be left out."""
    none: tuple[tuple[object, str], ...] = () if field.needed else (("", "none"),)
    if field.kind == "animal":
        return none + _by_name((animal.id, animal.name) for animal in herd.animals.values())
    if field.kind == "pairing":
        pairings = sorted(herd.pairings.values(), key=lambda p: (-p.season, herd.pairing_name(p.id)))
        return none + tuple((pairing.id, herd.pairing_name(pairing.id)) for pairing in pairings)
    if field.kind == "clutch":
        return none + _by_name((clutch, herd.clutch_name(clutch)) for clutch in herd.clutches)
    if field.kind == "sex":
        return tuple((sex, sex) for sex in SEXES)
    if field.kind == "answer":
        return ((0, "no"), (1, "yes"))
    if field.kind == "currency":
        codes = sorted(CURRENCIES, key=lambda code: (code != currency, code not in OFTEN, code))
        foreign = [code for code in codes if not field.needed or code != currency]
        return tuple((code, code) for code in foreign)
    return none + tuple((word, word) for word in field.choices)


def _by_name(pairs: Iterable[tuple[int, str]]) -> tuple[tuple[object, str], ...]:
    return tuple(sorted(pairs, key=lambda pair: str(pair[1]).casefold()))


def start_of(answer: RowsAnswer, entry: Entry | None) -> dict[str, object]:
    """What the boxes of a form hold at first: those of a row, or those of a new one."""
    start: dict[str, object] = {}
    for field in answer.table.fields:
        code = answer.currency
        if entry is None:
            start[field.name] = _new(field, answer)
        elif field.kind in CHOSEN:
            value = entry.values.get(field.name)
            start[field.name] = "" if value is None else value
        else:
            code = str(entry.values.get(field.currency) or code) if field.currency else code
            start[field.name] = box_text(field, entry.values.get(field.name), code)
    return start


def _new(field: Field, answer: RowsAnswer) -> object:
    if field.kind == "day" and field.name == answer.table.day and field.needed:
        return answer.today.isoformat()
    if field.kind in CHOSEN:
        found = options(field, answer.herd, currency=answer.currency)
        return found[0][0] if found else ""
    return ""


def next_start(answer: RowsAnswer, typed: Mapping[str, object], stored: Entry) -> dict[str, object]:
    """What the boxes hold for the next row like this: its day and choices, the rest empty.

    Where an animal has one row a day, the next animal without one is chosen.
    """
    table = answer.table
    kept = {field.name: typed.get(field.name) if field.kind in _KEPT else "" for field in table.fields}
    if {"animal_id", "on"} <= set(table.key):
        on = stored.values["on"]
        done = {stored.values["animal_id"]}
        done |= {entry.values["animal_id"] for entry in answer.entries if entry.values["on"] == on}
        names = [choice for choice, _ in options(table.field("animal_id"), answer.herd, currency="")]
        place = names.index(stored.values["animal_id"]) if stored.values["animal_id"] in names else -1
        waiting = [choice for choice in names[place + 1 :] if choice not in done]
        kept["animal_id"] = waiting[0] if waiting else stored.values["animal_id"]
    return kept


def add_typed(book: Book, table: RowTable, typed: Mapping[str, object]) -> Entry:
    """Store a new row as it was typed.

    Raises
    ------
    NotRead
        If boxes can't be read; what is wrong stands by field.
    NotStored
        If the row as a whole is not allowed.
    """
    values = read_boxes(table.fields, typed, currency=book.currency)
    return at_its_box(table.fields, lambda: table.add(book, values))


def change_typed(book: Book, table: RowTable, seen: Entry, *, typed: Mapping[str, object]) -> Entry | None:
    """Store what differs from the row as it was seen; None if nothing does.

    Raises
    ------
    Conflict
        If it was changed elsewhere since.
    NotRead, NotStored
        As for `add_typed`.
    """
    values = read_boxes(table.fields, typed, currency=book.currency)
    changed = {name: value for name, value in values.items() if value != seen.values.get(name)}
    if not changed:
        return None
    return at_its_box(table.fields, lambda: table.change(book, seen, changed))


def at_its_box(fields: Sequence[Field], store: Callable[[], Stored]) -> Stored:
    """Do an edit; a word that can't be read is refused at the box it stands in."""
    try:
        return store()
    except Unreadable as fault:
        name = next((field.name for field in fields if field.kind in {"look", "gene"}), "")
        if not name:
            raise
        raise NotRead({name: BoxFault(fault.reason, fault.word, fault.nearest)}) from fault
