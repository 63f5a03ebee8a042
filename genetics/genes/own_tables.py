"""How do a breeder's own definitions enter the tables of a catalogue?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from genetics.genes.faults import CatalogueError, nearest_words
from genetics.genes.locus_tables import alike_looks
from genetics.genes.plain_loci import pair_rows

Tables = dict[str, Any]
Definition = Mapping[str, Any]
_SOURCED = {"spellings": "other_spellings"}
"""Fields whose source stands under another name."""


def add_definition(tables: Tables, name: str, definition: Definition, *, changed: Sequence[str]) -> None:
    """Put one definition into tables, which are changed in place.

    Parameters
    ----------
    tables
        Tables as the data files hold them.
    name
        Name of the definition.
    definition
        Its fields, checked before.
    changed
        Fields of a correction that differ from what the catalogue says.

    Raises
    ------
    CatalogueError
        If it names a locus, gene or look that does not exist.
    """
    kind = definition["kind"]
    if kind == "gene":
        _add_gene(tables, name, definition)
    elif kind == "complex":
        _add_complex(tables, name, definition)
    elif kind == "correction":
        _correct(tables, name, definition, changed)
    elif kind == "combination":
        row = {"name": name, "genes": dict(definition["genes"]), "source": "own"}
        tables.setdefault("combination", []).append(row)
    else:
        row = {"id": name, "genes": dict(definition["genes"]), "source": "own"}
        row |= {field: definition[field] for field in ("harm", "what")}
        tables.setdefault("combined_harm", []).append(row)


def _add_gene(tables: Tables, name: str, definition: Definition) -> None:
    """Add a gene to a known locus or to one of its own."""
    row = _gene_row(name, definition)
    if "locus" in definition:
        locus = find_locus(tables, definition["locus"], where=f"gene {name}")
        row["sources"] = {"locus": "own"}
        locus["gene"].append(row)
    else:
        locus = {"id": name, "source": "own", "gene": [row]} | _linkage(definition)
        tables["locus"].append(locus)
    pairs = {field: definition[field] for field in ("looks", "hatch") if field in definition}
    locus.setdefault("look", []).extend(_pair_rows(locus, pairs, f"gene {name}"))
    if definition.get("look_alikes"):
        _join_alikes(tables, [name, *definition["look_alikes"]])


def _add_complex(tables: Tables, name: str, definition: Definition) -> None:
    """Add a locus with several genes."""
    locus: dict[str, Any] = {
        "id": name,
        "name": name,
        "source": "own",
        "wild_name": definition.get("wild") or "",
        "gene": [_gene_row(gene, fields) for gene, fields in definition["genes"].items()],
    }
    locus["look"] = _pair_rows(locus, definition, f"complex {name}")
    tables["locus"].append(locus | _linkage(definition))
    for looks in definition.get("look_alikes", ()):
        _join_alikes(tables, list(looks))


def _gene_row(name: str, fields: Mapping[str, Any]) -> dict[str, Any]:
    """Table of one gene of the breeder's own."""
    plain = ("mode", "super_name", "spellings", "hides", "acts_on")
    row: dict[str, Any] = {field: fields[field] for field in plain if field in fields}
    return {"name": name, **row, "health": _health_rows(name, fields.get("health", ())), "source": "own"}


def _linkage(definition: Definition) -> dict[str, Any]:
    """Sex linkage of a locus of the breeder's own."""
    if not definition.get("sex_linked", False):
        return {}
    return {"sex_linked": True, "recombination": definition["recombination"], "recombination_source": "own"}


def _health_rows(name: str, notes: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    return [
        {"id": f"{name}, own note {number}", **note, "source": "own"}
        for number, note in enumerate(notes, start=1)
    ]


def _pair_rows(locus: Mapping[str, Any], definition: Definition, where: str) -> list[dict[str, Any]]:
    alleles = [row["name"] for row in locus["gene"]]
    given = {"wild": locus.get("wild_name", "")} | dict(definition)
    return pair_rows(given, alleles, where=where, source="own")


def find_locus(tables: Tables, word: str, *, where: str) -> dict[str, Any]:
    """Table of a locus by its id, its name or one of its genes.

    Raises
    ------
    CatalogueError
        If there is none; names the nearest.
    """
    names: dict[str, dict[str, Any]] = {}
    for row in tables["locus"]:
        genes = [part["name"] for part in row["gene"]]
        for name in (row.get("id") or genes[0], row.get("name"), *genes):
            if name:
                names.setdefault(name, row)
    if word not in names:
        near = ", ".join(nearest_words(word, names)) or "a locus or gene of the catalogue"
        raise CatalogueError(f"{where}, locus", word, near)
    return names[word]


def _correct(tables: Tables, name: str, definition: Definition, changed: Sequence[str]) -> None:
    """Change what a definition says otherwise of a gene that ships."""
    locus = find_locus(tables, name, where="correction")
    row = next(part for part in locus["gene"] if part["name"] == name)
    sources = dict(row.get("sources", {}))
    for field in changed:
        value = definition[field]
        if field in ("mode", "super_name", "spellings", "hides", "acts_on"):
            row[field] = value
            sources[_SOURCED.get(field, field)] = "own"
        elif field == "health":
            row["health"] = _kept_health(name, row.get("health", ()), value)
        elif field == "look_alikes":
            _leave_alikes(tables, name)
            sources["look_alikes"] = "own"
            if value:
                _join_alikes(tables, [name, *value])
    row["sources"] = sources
    if "locus" in changed:
        locus = _move(tables, locus, row, definition["locus"])
    if {"sex_linked", "recombination"} & set(changed):
        _relink(locus, definition)
    pairs = {field: definition[field] for field in ("looks", "hatch") if field in changed}
    given = _pair_rows(locus, pairs, f"correction {name}")
    said = [frozenset(part["pair"]) for part in given]
    kept = [part for part in locus.get("look", ()) if frozenset(part["pair"]) not in said]
    locus["look"] = [*kept, *given]


def _relink(locus: dict[str, Any], definition: Definition) -> None:
    """Change the sex linkage of a locus."""
    linked = definition.get("sex_linked", locus.get("sex_linked", False))
    locus["sex_linked"] = linked
    if linked:
        locus["recombination"] = definition.get("recombination", locus.get("recombination"))
        locus["recombination_source"] = "own"


def _kept_health(
    name: str, old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """Health notes of a correction; those that stay as they were keep their source."""

    def told(note: Mapping[str, Any]) -> tuple[str, ...]:
        return (note["harm"], note["applies_to"], note["what"], str(note.get("lost_chance", 0)))

    known = {told(note): dict(note) for note in old}
    fresh = _health_rows(name, new)
    return [known.get(told(note), made) for note, made in zip(new, fresh, strict=True)]


def _move(tables: Tables, old: dict[str, Any], row: dict[str, Any], target: str) -> dict[str, Any]:
    """Put a gene onto another locus; the locus it leaves goes when it was its only gene."""
    name = row["name"]
    locus = find_locus(tables, target, where=f"correction {name}")
    if locus is old:
        return locus
    for kind in ("compound", "look"):
        for part in old.get(kind, ()):
            if name in part["pair"]:
                allowed = "a gene without named pairs at its old locus"
                raise CatalogueError(f"correction {name}, locus", "/".join(part["pair"]), allowed)
    old.setdefault("id", old["gene"][0]["name"])
    old["gene"] = [part for part in old["gene"] if part is not row]
    if not old["gene"]:
        tables["locus"] = [part for part in tables["locus"] if part is not old]
    row["sources"] = row.get("sources", {}) | {"locus": "own"}
    locus["gene"].append(row)
    return locus


def _leave_alikes(tables: Tables, look: str) -> None:
    """Take a look out of the groups it is in; a group of one look goes."""
    for owner in (tables, *tables["locus"]):
        groups = owner.get("alike", ())
        for group in groups:
            group["looks"] = [other for other in group.get("looks", ()) if other != look]
        if groups:
            owner["alike"] = [group for group in groups if len(group["looks"]) > 1 or group.get("pairs_of")]


def _join_alikes(tables: Tables, looks: Sequence[str]) -> None:
    """Put looks into one group, together with the groups that any of them is in already."""
    merged: dict[str, Any] = {"looks": list(dict.fromkeys(looks)), "source": "own"}
    for owner in (tables, *tables["locus"]):
        kept = []
        for group in owner.get("alike", ()):
            inside = list(group["looks"]) if owner is tables else list(alike_looks(group, owner))
            if set(inside).isdisjoint(merged["looks"]):
                kept.append(group)
                continue
            merged["looks"] = list(dict.fromkeys((*inside, *merged["looks"])))
            merged |= {field: group[field] for field in ("name", "hides") if group.get(field)}
        if "alike" in owner:
            owner["alike"] = kept
    tables["alike"] = [*tables.get("alike", ()), merged]
