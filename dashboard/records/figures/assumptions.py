"""Which figures did the breeder put in place of the defaults, and when? A table of their own keeps them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, RowMapping, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.parts import BookPart
from dashboard.records.store.edits import Edit, NothingChanged, row_from_text


@dataclass(frozen=True)
class FigureChange:
    """One change of a figure: when, from what, to what; None stands for the default."""

    at: str
    before: float | None
    after: float | None
    undone: bool


class AssumptionRoom(BookPart):
    """The breeder's own figures."""

    def assumptions(self) -> dict[str, float | None]:
        """Give the breeder's own figures by id; None marks one that was emptied."""
        with self._store.reading() as connection:
            return dict(_figures(connection))

    def set_assumption(self, assumption: str, value: float | None) -> None:
        """Store the breeder's own figure; None goes back to the default.

        Raises
        ------
        NotStored
            If no figure has this id, or the value is not allowed.
        """
        if value is None:
            self._put(assumption, None, remove=True)
        else:
            self.set_assumptions({assumption: value})

    def set_assumptions(self, values: Mapping[str, float]) -> None:
        """Store several figures of the breeder's own as one edit, so that one undo takes all of them back.

        Raises
        ------
        NotStored
            If there is none, no figure has one of the ids, or a value is not allowed beside the others;
            then nothing is stored.
        """
        if not values:
            raise NotStored("No figure was given; allowed: one or more.")
        with self._store.editing(f"Set {' and '.join(values)}") as edit:
            for assumption in values:
                checked = checked_figures(edit.connection, values, assumption, values[assumption])
                _write(edit, assumption, checked)

    def empty_assumption(self, assumption: str) -> None:
        """Mark a figure as not known: whatever needs it says so instead of using the default."""
        self._put(assumption, None, remove=False)

    def _put(self, assumption: str, value: float | None, *, remove: bool) -> None:
        verb = "Went back to the default of" if remove else "Set"
        with self._store.editing(f"{verb} {assumption}") as edit:
            figures = _figures(edit.connection)
            checked = checked_figures(edit.connection, {}, assumption, value)
            if remove:
                _check_without(figures, assumption)
                found = _row_of(edit.connection, assumption)
                if found is None:
                    raise NothingChanged
                what = f"The figure {assumption}"
                edit.delete(schema.assumptions, found["id"], found["version"], what=what)
            else:
                _write(edit, assumption, checked)

    def assumption_history(self, assumption: str) -> tuple[FigureChange, ...]:
        """Every change of one figure, oldest first."""
        table = schema.changes
        own = (table.c.table_name == "assumptions") & table.c.undoes.is_(None)
        query = select(table).where(own).order_by(table.c.id)
        history = []
        with self._store.reading() as connection:
            for row in connection.execute(query).mappings():
                values = [
                    None if text is None else row_from_text(schema.assumptions, text)
                    for text in (row["before"], row["after"])
                ]
                if any(value is not None and value["assumption"] == assumption for value in values):
                    before, after = (None if value is None else value["value"] for value in values)
                    history.append(FigureChange(row["at"], before, after, row["undone_at"] is not None))
        return tuple(history)


def _row_of(connection: Connection, assumption: str) -> RowMapping | None:
    table = schema.assumptions
    found = connection.execute(select(table).where(table.c.assumption == assumption))
    return found.mappings().one_or_none()


def _write(edit: Edit, assumption: str, value: float | None) -> None:
    """Store a checked figure, new or in place of what is there."""
    table, found = schema.assumptions, _row_of(edit.connection, assumption)
    if found is None:
        edit.insert(table, {"assumption": assumption, "value": value})
    else:
        what = f"The figure {assumption}"
        edit.update(table, found["id"], found["version"], {"value": value}, what=what)


def _figures(connection: Connection) -> Mapping[str, float | None]:
    table = schema.assumptions
    query = select(table.c.assumption, table.c.value).order_by(table.c.id)
    return {row.assumption: row.value for row in connection.execute(query)}


def checked_figures(
    connection: Connection, own: Mapping[str, float | None], assumption: str, value: float | None
) -> float | None:
    """Value of a figure after it was checked alone and together with the book's other figures.

    Raises
    ------
    NotStored
        If no figure has this id, the value is not allowed, or it contradicts another.
    """
    from econ.assumptions import AssumptionError, Assumptions

    figures = {**_figures(connection), **own, assumption: value}
    try:
        return Assumptions(figures).overrides[assumption]
    except AssumptionError as fault:
        raise NotStored(str(fault), nearest=tuple(getattr(fault, "nearest", ()))) from fault


def figure_faults(connection: Connection) -> frozenset[str]:
    """What contradicts itself among the book's figures, alone and with those of each pairing."""
    from econ.assumptions import AssumptionError, Assumptions

    table, own = schema.pairing_assumptions, _figures(connection)
    sets: dict[int | None, dict[str, float | None]] = {None: dict(own)}
    for row in connection.execute(select(table).order_by(table.c.id)).mappings():
        sets.setdefault(row["pairing_id"], dict(own))[row["assumption"]] = row["value"]
    found = set()
    for figures in sets.values():
        try:
            Assumptions(figures)
        except AssumptionError as fault:
            found.add(str(fault))
    return frozenset(found)


def _check_without(figures: Mapping[str, float | None], assumption: str) -> None:
    from econ.assumptions import AssumptionError, Assumptions

    try:
        Assumptions({name: value for name, value in figures.items() if name != assumption})
    except AssumptionError as fault:
        raise NotStored(str(fault)) from fault
