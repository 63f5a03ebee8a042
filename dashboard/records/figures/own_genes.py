"""Which genes did the breeder add to the catalogue, or describe otherwise? Checked here, used everywhere."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.parts import BookPart
from dashboard.records.reading import AnimalReader, Unreadable, catalogue_reader
from dashboard.records.store.edits import NothingChanged
from dashboard.records.store.store import read_counter
from dashboard.records.text_fields import LONGEST_NAME, tidy
from genetics.genes.traits import Sex

if TYPE_CHECKING:
    from genetics import Catalogue

MOST_NAMED = 3


@dataclass(frozen=True, eq=False)
class OwnCatalogue:
    """Genes that hold for a book.

    Attributes
    ----------
    catalogue
        What ships, with the breeder's own definitions.
    left_out
        Own definitions that contradict what ships with this program, with what is wrong; the others hold.
    """

    catalogue: Catalogue
    left_out: tuple[tuple[str, str], ...]


@dataclass(frozen=True, eq=False)
class _Genes:
    """Genes as they were at an edit, with the definitions they were made from."""

    edit: int
    own: Mapping[str, Any]
    all: OwnCatalogue
    reader: AnimalReader


class OwnGeneRoom(BookPart):
    """The breeder's own genes, complexes, combination names and corrections."""

    _genes: _Genes | None = None

    @property
    def reader(self) -> AnimalReader:
        """Reader of animals with the genes that hold for this book, unless another was given."""
        return self._reader or self._genes_now().reader

    def catalogue(self) -> OwnCatalogue:
        """Genes that hold for this book; a definition that no longer fits what ships is left out and named.

        The same object is given until a definition changes.
        """
        return self._genes_now().all

    def _genes_now(self) -> _Genes:
        with self._store.reading() as connection:
            edit = read_counter(connection)
            known = self._genes
            if known is not None and known.edit == edit:
                return known
            own = _own(connection)
        if known is not None and known.own == own:
            found = replace(known, edit=edit)
        else:
            genes = own_catalogue(own)
            found = _Genes(edit, own, genes, catalogue_reader(genes.catalogue))
        self._genes = found
        return found

    def own_genes(self) -> dict[str, dict[str, Any]]:
        """Definitions by name, in the order they were entered."""
        with self._store.reading() as connection:
            return _own(connection)

    def own_gene_versions(self) -> dict[str, int]:
        """Version of every definition by name."""
        table = schema.own_genes
        with self._store.reading() as connection:
            rows = connection.execute(select(table.c.name, table.c.version))
            return {row.name: row.version for row in rows}

    def set_own_gene(
        self, name: str, definition: Mapping[str, Any] | None, *, version: int | None = None
    ) -> None:
        """Store a definition after it was checked against the catalogue, or remove it with None.

        Parameters
        ----------
        name
            Name of the gene, complex or combination.
        definition
            Plain data; its form is said in `genetics.genes.own_fields`.
        version
            Version the breeder saw; None where it is new or may be written over.

        Raises
        ------
        NotStored
            If the definition can't join the catalogue, others need what would go, or an animal or
            price of the book could no longer be read.
        Conflict
            If it was changed elsewhere since.
        """
        table = schema.own_genes
        name = tidy(name, what="The gene's name", longest=LONGEST_NAME).casefold()
        text = _as_text(name, definition)
        verb = "Removed" if definition is None else "Described"
        with self._store.editing(f"{verb} the gene {name}") as edit:
            own = _own(edit.connection)
            query = select(table).where(table.c.name == name)
            found = edit.connection.execute(query).mappings().one_or_none()
            if definition is None:
                if found is None:
                    raise NotStored(f"The book has no gene {name} of its own.")
                _check_free(name, own)
                after = {key: part for key, part in own.items() if key != name}
            else:
                _check_definition(name, definition, own)
                after = {**own, name: dict(definition)}
                if found is not None and found["definition"] == text:
                    raise NothingChanged
            _check_readable(edit.connection, own, after)
            what = f"The gene {name}"
            if found is None:
                edit.insert(table, {"name": name, "definition": text})
            elif definition is None:
                edit.delete(table, found["id"], version or found["version"], what=what)
            else:
                values = {"definition": text}
                edit.update(table, found["id"], version or found["version"], values, what=what)

    @contextmanager
    def _readable_still(self, connection: Connection) -> Iterator[None]:
        """Refuse an edit after which something written, or a gene of one's own, no longer holds."""
        before, written = _own(connection), set(_written(connection))
        reader = self.reader  # reads the book beside this edit: a long edit locks it once it has written
        yield
        after = _own(connection)
        if after != before:
            _check_all_join(before, after)
            _check_readable(connection, before, after)
            reader = self._reader or catalogue_reader(own_catalogue(after).catalogue)
        for where, text, sex in sorted(set(_written(connection)) - written):
            try:
                reader(text, sex)
            except Unreadable as fault:
                raise NotStored(f"{where} could no longer be read. {fault.reason}") from fault


def _check_all_join(before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Refuse definitions that do not go together, apart from those that did not before."""
    known = {name for name, _ in own_catalogue(before).left_out}
    for name, why in own_catalogue(after).left_out:
        if name not in known:
            raise NotStored(f"{name} could no longer join the catalogue. {why}")


def own_catalogue(own: Mapping[str, Mapping[str, Any]]) -> OwnCatalogue:
    """Catalogue with all own definitions that can join it."""
    from genetics import OwnGeneFault, catalogue_with, load_catalogue

    kept: dict[str, Mapping[str, Any]] = dict(own)
    left_out: list[tuple[str, str]] = []
    while True:
        try:
            return OwnCatalogue(catalogue_with(load_catalogue(), kept), tuple(left_out))
        except OwnGeneFault as fault:
            left_out.append((fault.name, " ".join(fault.faults)))
            if fault.name not in kept:
                return OwnCatalogue(load_catalogue(), tuple(left_out))
            del kept[fault.name]


def _own(connection: Connection) -> dict[str, dict[str, Any]]:
    table = schema.own_genes
    rows = connection.execute(select(table.c.name, table.c.definition).order_by(table.c.id))
    return {row.name: json.loads(row.definition) for row in rows}


def _as_text(name: str, definition: Mapping[str, Any] | None) -> str:
    try:
        return json.dumps(definition, ensure_ascii=False, sort_keys=True, allow_nan=False)
    except (TypeError, ValueError) as fault:
        raise NotStored(f"The gene {name} can't be stored ({fault}).") from fault


def _check_definition(name: str, definition: Mapping[str, Any], own: Mapping[str, Any]) -> None:
    from genetics import load_catalogue, own_definition_faults

    faults = own_definition_faults(load_catalogue(), own, name, definition)
    if faults:
        raise NotStored(f"{name} can't join the catalogue. {' '.join(faults)}")


def _check_free(name: str, own: Mapping[str, Any]) -> None:
    from genetics import needed_by

    users = needed_by(name, own)
    if users:
        raise NotStored(f"{', '.join(users)} of your own genes use {name}. Change those first.")


def _check_readable(connection: Connection, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Refuse a change after which something of the book could no longer be read that can be read now."""
    old, new = (catalogue_reader(own_catalogue(own).catalogue) for own in (before, after))
    broken = []
    for where, text, sex in dict.fromkeys(_written(connection)):
        try:
            new(text, sex)
        except Unreadable:
            try:
                old(text, sex)
            except Unreadable:
                continue
            broken.append(where)
    if broken:
        some = ", ".join(broken[:MOST_NAMED]) + (" and others" if len(broken) > MOST_NAMED else "")
        raise NotStored(f"It is used by {some}, which could no longer be read. Change those first.")


def _written(connection: Connection) -> Iterator[tuple[str, str, Sex]]:
    """Everything the book holds that is read with the genes: where it stands, the text, the sex."""
    animals, prices = schema.animals.c, schema.price_observations.c
    for row in connection.execute(select(animals.name, animals.text, animals.sex)):
        yield row.name, row.text, Sex(row.sex)
    for price in connection.execute(select(prices.what, prices.sex).distinct()):
        yield f"a price of {price.what}", price.what, Sex(price.sex)
    for table, words in ((schema.supply_counts, "a count"), (schema.pipeline_notes, "expected young")):
        for what in connection.execute(select(table.c.what).distinct()).scalars():
            yield f"{words} of {what}", what, Sex.UNSEXED
    for gene in connection.execute(select(schema.gene_tests.c.gene).distinct()).scalars():
        yield f"a test of {gene}", gene, Sex.UNSEXED
