"""How do a breeder's own genes, complexes, names and corrections join the catalogue, checked?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any

from genetics.genes.catalogue import Catalogue, catalogue_from
from genetics.genes.definitions import definition_of
from genetics.genes.faults import CatalogueError, or_nearest
from genetics.genes.locus_tables import labels_of
from genetics.genes.own_fields import field_faults
from genetics.genes.own_tables import add_definition
from genetics.genes.spellings import LONGEST_NAME, RESERVED, is_name, squeeze, word_meanings

Definition = Mapping[str, Any]
Own = Mapping[str, Definition]
ORDER = ("complex", "gene", "correction", "combination", "harm")
"""Kinds in the order in which they join: what others name comes first."""


class OwnGeneFault(CatalogueError):
    """A definition of the breeder's own that can't join the catalogue.

    Attributes
    ----------
    name
        Name of the definition.
    faults
        What is wrong with it, one sentence each.
    """

    def __init__(self, name: str, faults: tuple[str, ...]) -> None:
        super().__init__(f"own definition {name}", " ".join(faults), "a definition without these faults")
        self.name = name
        self.faults = faults


def catalogue_with(base: Catalogue, own: Own) -> Catalogue:
    """Catalogue in which a breeder's own definitions hold beside what ships.

    Parameters
    ----------
    base
        Catalogue as it ships.
    own
        Definitions by name, as `own_fields` describes them; all are taken or none.

    Raises
    ------
    OwnGeneFault
        Names the first definition that can't join, with everything that is wrong with it.
    """
    if not own:
        return base
    for name, definition in own.items():
        if faults := (*_name_faults(name), *field_faults(definition)):
            raise OwnGeneFault(name, faults)
    try:
        made = _built(base, own)
    except CatalogueError as fault:
        raise _blamed(base, own) from fault
    for name, definition in own.items():
        if faults := _without_effect(name, definition, made):
            raise OwnGeneFault(name, faults)
    return made


def _built(base: Catalogue, own: Own) -> Catalogue:
    """Catalogue read again from the tables with all definitions in them."""
    tables = deepcopy(dict(base.tables))
    for name, definition in _in_order(own):
        changed = _changed(name, definition, base) if definition["kind"] == "correction" else ()
        add_definition(tables, name, definition, changed=changed)
    return catalogue_from(tables)


def _in_order(own: Own) -> Iterator[tuple[str, Definition]]:
    """Definitions by kind, genes on the locus of another own gene after it."""
    joins = ("complex", "gene")
    rank = {kind: place for place, kind in enumerate(ORDER)}
    waiting = sorted(own.items(), key=lambda item: rank[item[1]["kind"]])
    placed: set[str] = set()
    while waiting:
        ready = [
            item
            for item in waiting
            if item[1]["kind"] not in joins or not (_needs(item[1]) & own.keys()) - placed - {item[0]}
        ] or waiting
        name, definition = ready[0]
        placed |= {name, *(definition["genes"] if definition["kind"] == "complex" else ())}
        waiting.remove(ready[0])
        yield name, definition


def _changed(name: str, definition: Definition, base: Catalogue) -> tuple[str, ...]:
    """Fields of a correction that say something else than the catalogue."""
    if all(gene.name != name for gene in base.genes):
        known = [gene.name for gene in base.genes]
        raise CatalogueError("correction", name, f"a gene of the catalogue.{or_nearest(name, known)}")
    now = definition_of(name, base)
    return tuple(
        field for field, value in definition.items() if field != "kind" and not _same(now.get(field), value)
    )


def _same(now: Any, wanted: Any) -> bool:
    """Whether two values of a field mean the same; no name and an empty one do."""
    if isinstance(now, (list, tuple)) and isinstance(wanted, (list, tuple)):
        return len(now) == len(wanted) and all(map(_same, now, wanted))
    if isinstance(now, Mapping) and isinstance(wanted, Mapping):
        keys = now.keys() | wanted.keys()
        return all(_same(now.get(key, "0"), wanted.get(key, "0")) for key in keys)
    return now == wanted or (not now and not wanted) or str(now) == str(wanted)


def _without_effect(name: str, definition: Definition, made: Catalogue) -> tuple[str, ...]:
    """Fields of a correction that something else in the catalogue still overrides."""
    if definition["kind"] != "correction":
        return ()
    now = definition_of(name, made)
    checked = ("mode", "super_name", "spellings", "hides", "acts_on", "sex_linked")
    return tuple(
        f"{field}: stays {now[field]!r}: its group of look-alikes says so for every look in it."
        for field in checked
        if field in definition and not _same(now[field], definition[field])
    )


def _blamed(base: Catalogue, own: Own) -> OwnGeneFault:
    """Fault with the name of the definition that brings it in: the first that fails after the others."""
    ordered = list(_in_order(own))
    parts = (ordered[:count] for count in range(1, len(ordered) + 1))
    name, fault = next((part[-1][0], fault) for part in parts if (fault := _fault_of(base, dict(part))))
    return OwnGeneFault(name, (f"{fault.where}: found {fault.found}; allowed: {fault.allowed.rstrip('.')}.",))


def _fault_of(base: Catalogue, own: Own) -> CatalogueError | None:
    try:
        _built(base, own)
    except CatalogueError as fault:
        return fault
    return None


def own_definition_faults(base: Catalogue, own: Own, name: str, definition: Definition) -> tuple[str, ...]:
    """Everything that is wrong with one definition, one sentence each, for a form; empty if it can join.

    Parameters
    ----------
    base
        Catalogue as it ships.
    own
        All definitions of the breeder; the one of this name is taken as replaced.
    name, definition
        The definition.
    """
    faults = [*_name_faults(name), *field_faults(definition)]
    if faults:
        return tuple(faults)
    above = {name, *needed_by(name, own)}
    try:
        known = catalogue_with(base, {key: part for key, part in own.items() if key not in above})
    except OwnGeneFault as fault:
        return tuple(f"{fault.name}: {sentence}" for sentence in fault.faults)
    faults += [*_word_faults(name, definition, known), *_unknown(name, definition, known)]
    if faults:
        return tuple(faults)
    try:
        catalogue_with(base, {**own, name: definition})
    except OwnGeneFault as fault:
        return fault.faults if fault.name == name else tuple(f"{fault.name}: {text}" for text in fault.faults)
    return ()


def _name_faults(name: object) -> tuple[str, ...]:
    """What is wrong with a name by itself."""
    if not isinstance(name, str) or not squeeze(name) or name != name.lower().strip() or "/" in name:
        return (f"name: found {name!r}; allowed: a name in small letters, without a slash.",)
    if squeeze(name) in RESERVED or squeeze(name).isdigit():
        return (f"name: '{name}' is a word of the notation itself; choose another.",)
    if not is_name(name):
        return (f"name: found '{name}'; allowed: up to {LONGEST_NAME} words of letters and digits.",)
    return ()


def _words_of(name: str, definition: Definition) -> Iterator[tuple[str, str]]:
    """Words a definition brings in, each with the field it stands in."""
    kind = definition["kind"]
    if kind in ("gene", "combination"):
        yield "name", name
    genes = definition["genes"] if kind == "complex" else {name: definition}
    for gene, fields in genes.items():
        if kind == "complex":
            yield "genes", gene
        if kind in ("gene", "complex", "correction"):
            yield from (("spellings", word) for word in fields.get("spellings", ()))
            if fields.get("super_name"):
                yield "super_name", fields["super_name"]


def _word_faults(name: str, definition: Definition, known: Catalogue) -> list[str]:
    """Words that mean something already."""
    meanings = {
        squeeze(word): (word, meaning)
        for word, meaning in word_meanings(known.loci, known.compounds, known.combinations)
    }
    own = {name, f"super {name}"} if definition["kind"] == "correction" else set()
    faults = []
    seen: set[str] = set()
    for field, word in _words_of(name, definition):
        squeezed = squeeze(word)
        taken = meanings.get(squeezed)
        if taken is not None and taken[1] not in own:
            faults.append(f"{field}: '{word}' already means {taken[1]}.")
        elif squeezed in seen:
            faults.append(f"{field}: '{word}' stands there twice.")
        elif squeezed in RESERVED or squeezed.isdigit():
            faults.append(f"{field}: '{word}' is a word of the notation itself; choose another.")
        elif not is_name(word):
            faults.append(
                f"{field}: found '{word}'; allowed: up to {LONGEST_NAME} words of letters and digits."
            )
        seen.add(squeezed)
    faults += _look_faults(name, definition, known, meanings)
    ids = {locus.id for locus in known.loci}
    if name in ids and definition["kind"] in ("gene", "complex") and f"name: '{name}'" not in "".join(faults):
        faults.append(f"name: '{name}' is a locus of the catalogue already.")
    return faults


def _look_faults(
    name: str, definition: Definition, known: Catalogue, meanings: Mapping[str, tuple[str, str]]
) -> Iterator[str]:
    """Names of looks that mean something at another locus already; pairs of one locus may look alike."""
    kind = definition["kind"]
    if kind not in ("gene", "complex", "correction"):
        return
    place = name if kind == "correction" else definition.get("locus")
    here = [
        locus for locus in known.loci if place in (locus.id, locus.name, *(gene.name for gene in locus.genes))
    ]
    of_it = {squeeze(look) for locus in here for look in labels_of(locus)}
    of_it |= {squeeze(gene) for gene in (definition["genes"] if kind == "complex" else (name,))}
    for look in dict.fromkeys(definition.get("looks", {}).values()):
        taken = meanings.get(squeeze(look or ""))
        if taken is not None and squeeze(look) not in of_it:
            yield f"looks: '{look}' already means {taken[1]}."


def _unknown(name: str, definition: Definition, known: Catalogue) -> list[str]:
    """Genes, loci and looks that a definition names and the catalogue does not have."""
    kind = definition["kind"]
    genes = [gene.name for gene in known.genes]
    loci = [word for locus in known.loci for word in (locus.id, locus.name)]
    looks = {look for locus in known.loci for look in labels_of(locus)}
    faults = []
    if kind in ("combination", "harm"):
        faults += [f"genes: {_no_gene(gene, genes)}" for gene in definition["genes"] if gene not in genes]
    if kind == "correction" and name not in genes:
        faults.append(f"name: {_no_gene(name, genes)}")
    if kind in ("gene", "correction"):
        place = definition.get("locus")
        if place is not None and place not in {*genes, *loci}:
            faults.append(
                f"locus: '{place}' is no locus of the catalogue.{or_nearest(place, [*loci, *genes])}"
            )
        faults += [
            f"look_alikes: '{look}' is no look of the catalogue.{or_nearest(look, looks)}"
            for look in definition.get("look_alikes", ())
            if look not in looks
        ]
    return faults


def _no_gene(name: str, known: list[str]) -> str:
    return f"'{name}' is no gene of the catalogue.{or_nearest(name, known)}"


def _needs(definition: Definition) -> set[str]:
    """Names that a definition uses."""
    used = {str(definition["locus"])} if "locus" in definition else set()
    if definition.get("kind") in ("combination", "harm"):
        used |= set(definition.get("genes", ()))
    for looks in definition.get("look_alikes", ()):
        used |= {looks} if isinstance(looks, str) else set(looks)
    for field in ("looks", "hatch"):
        used |= {allele for pair in definition.get(field, ()) for allele in str(pair).split("/")}
    return used


def needed_by(name: str, own: Own) -> tuple[str, ...]:
    """Own definitions that use one of them, at once or through another: they fall if it is taken out.

    Parameters
    ----------
    name
        Name of a definition.
    own
        All definitions of the breeder.
    """
    start = own.get(name, {})
    gone = {name, *(start.get("genes", ()) if start.get("kind") == "complex" else ())}
    found: list[str] = []
    while True:
        more = [key for key, part in own.items() if key not in found and key != name and _needs(part) & gone]
        if not more:
            return tuple(found)
        found += more
        for key in more:
            gone |= {key, *(own[key].get("genes", ()) if own[key].get("kind") == "complex" else ())}
