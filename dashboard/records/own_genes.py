"""Which genes did the breeder add to the catalogue, or describe otherwise? Kept as plain data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import select

from . import schema
from .faults import NotStored
from .parts import BookPart
from .text_fields import LONGEST_NAME, tidy


class OwnGeneRoom(BookPart):
    """The breeder's own genes: definitions as the catalogue checked them."""

    def own_genes(self) -> dict[str, dict[str, Any]]:
        """Definitions by name, in the order they were entered."""
        table = schema.own_genes
        with self._store.reading() as connection:
            rows = connection.execute(select(table.c.name, table.c.definition).order_by(table.c.id))
            return {row.name: json.loads(row.definition) for row in rows}

    def set_own_gene(self, name: str, definition: Mapping[str, Any] | None) -> None:
        """Store a definition, or remove it with None.

        The caller has checked it against the catalogue; here it only has to be plain data.

        Raises
        ------
        NotStored
            If the name is empty, the definition is no plain data, or there is nothing to remove.
        """
        table = schema.own_genes
        name = tidy(name, what="The gene's name", longest=LONGEST_NAME).casefold()
        try:
            text = json.dumps(definition, ensure_ascii=False, sort_keys=True, allow_nan=False)
        except (TypeError, ValueError) as fault:
            raise NotStored(f"The gene {name} can't be stored ({fault}).") from fault
        verb = "Removed" if definition is None else "Described"
        with self._store.editing(f"{verb} the gene {name}") as edit:
            query = select(table).where(table.c.name == name)
            found = edit.connection.execute(query).mappings().one_or_none()
            what = f"The gene {name}"
            if definition is None:
                if found is None:
                    raise NotStored(f"The book has no gene {name} of its own.")
                edit.delete(table, found["id"], found["version"], what=what)
            elif found is None:
                edit.insert(table, {"name": name, "definition": text})
            else:
                edit.update(table, found["id"], found["version"], {"definition": text}, what=what)
