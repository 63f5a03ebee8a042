"""How is one locus of the catalogue's tables read and checked?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement
from types import MappingProxyType
from typing import Any, cast, get_args

from genetics.genes.faults import CatalogueError
from genetics.genes.loci import (
    WILD,
    ActsOn,
    AlikeGroup,
    Compound,
    Gene,
    Hides,
    Locus,
    Mode,
    Pair,
    StatedLook,
)
from genetics.genes.pair_looks import base_pairs, mode_of_looks, pair_looks, pairs_of
from genetics.genes.sources import Source
from genetics.genes.table_fields import (
    Row,
    Sources,
    read_choice,
    read_health,
    read_share,
    read_source,
    rows_of,
)

SOURCED = (
    *("name", "locus", "mode", "sex_linked", "super_name", "hides", "look_alikes", "other_spellings"),
    "acts_on",
)
"""Fields of a gene that carry a source each."""


@dataclass(frozen=True)
class LocusRecords:
    """One locus with its compounds and its look-alikes."""

    locus: Locus
    compounds: tuple[Compound, ...]
    alike: tuple[AlikeGroup, ...]


@dataclass(frozen=True)
class _Frame:
    """What all genes of a locus share."""

    id: str
    name: str
    source: Source
    recombination: Fraction | None
    alike: tuple[AlikeGroup, ...]
    stated: Mapping[Pair, str]


def read_locus(row: Row, sources: Sources, shared: tuple[AlikeGroup, ...]) -> LocusRecords:
    """One locus with its genes, compounds, stated looks and look-alikes.

    Parameters
    ----------
    row
        Its table.
    sources
        Sources by short name.
    shared
        Look-alikes of several loci.

    Raises
    ------
    CatalogueError
        If a value is missing, unknown, or contradicts another.
    """
    rows = rows_of(row, "gene")
    if not rows:
        raise CatalogueError(f"locus {row.get('id', row.get('name'))}", rows, "at least one gene")
    locus_id = str(row.get("id") or rows[0].get("name"))
    where = f"locus {locus_id}"
    wild_name = str(row.get("wild_name", ""))
    names = tuple(str(part.get("name", "")) for part in rows)
    stated = tuple(_read_stated(part, sources, where, names, wild_name) for part in rows_of(row, "look"))
    own_alike = tuple(
        read_alike(part, sources, where, tuple(alike_looks(part, row))) for part in rows_of(row, "alike")
    )
    frame = _Frame(
        id=locus_id,
        name=str(row.get("name") or locus_id),
        source=read_source(row, sources, where),
        recombination=_recombination(row, where),
        alike=(*shared, *own_alike),
        stated={look.pair: look.look for look in stated if look.look is not None},
    )
    genes = tuple(_read_gene(part, sources, frame) for part in rows)
    compounds = tuple(_read_compound(part, sources, where) for part in rows_of(row, "compound"))
    locus = Locus(
        id=frame.id,
        name=frame.name,
        genes=genes,
        sex_linked=frame.recombination is not None,
        recombination=frame.recombination,
        looks=MappingProxyType(pair_looks(genes, compounds, frame.alike, stated)),
        source=frame.source,
        recombination_source=_recombination_source(row, sources, where),
        stated=stated,
        wild_name=wild_name,
    )
    _check_locus(locus, compounds, own_alike)
    _check_stated(locus, rows)
    return LocusRecords(locus, compounds, own_alike)


def _recombination(row: Row, where: str) -> Fraction | None:
    if not row.get("sex_linked", False):
        return None
    return read_share(row.get("recombination", -1), Fraction(1, 2), f"{where}, recombination")


def _recombination_source(row: Row, sources: Sources, where: str) -> Source | None:
    if not row.get("sex_linked", False):
        return None
    own = {"source": row.get("recombination_source", row["source"])}
    return read_source(own, sources, f"{where}, recombination")


def _read_stated(
    row: Row, sources: Sources, where: str, names: tuple[str, ...], wild_name: str
) -> StatedLook:
    """Look of a pair said outright; the wild type's name stands for a normal look."""
    pair = tuple(row.get("pair", ()))
    alleles = (*names, WILD)
    if len(pair) != 2 or not set(pair) <= set(alleles) or pair == (WILD, WILD):
        raise CatalogueError(f"{where}, look of a pair", pair, f"two of {', '.join(alleles)}, one a mutant")
    place = f"{where}, look of {'/'.join(pair)}"
    ordered = cast("Pair", tuple(sorted(pair, key=alleles.index)))
    look, hides = row.get("look"), row.get("hides")
    if hides is not None:
        read_choice(hides, get_args(Hides), f"{place}, hides")
    health = tuple(
        read_health(part, sources, place, applies_to="compound") for part in rows_of(row, "health")
    )
    seen = None if look is None else "" if look == wild_name else str(look)
    return StatedLook(ordered, seen, cast("Hides | None", hides), health, read_source(row, sources, place))


def _mode(row: Row, name: str, frame: _Frame, where: str) -> Mode:
    """Mode as it is given, or as the stated looks of one and of two copies make it."""
    one, two = frame.stated.get((name, WILD)), frame.stated.get((name, name))
    if "mode" not in row and one is not None and two is not None:
        return mode_of_looks(one, two)
    if "mode" not in row and frame.stated:
        allowed = f"{', '.join(get_args(Mode))}, or a look of {name}/{WILD} and of {name}/{name}"
        raise CatalogueError(f"{where}, mode", "none", allowed)
    mode = cast("Mode", read_choice(row.get("mode"), get_args(Mode), f"{where}, mode"))
    by_mode = ("" if mode == "recessive" else name, f"super {name}" if mode.startswith("inc") else name)
    made = mode_of_looks(by_mode[0] if one is None else one, by_mode[1] if two is None else two)
    if mode != made:
        raise CatalogueError(f"{where}, mode", mode, f"{made}, which is what the looks of its pairs say")
    return mode


def _read_gene(row: Row, sources: Sources, frame: _Frame) -> Gene:
    """One gene with a source for each of its fields."""
    name = str(row.get("name", ""))
    where = f"gene {name or '(without a name)'}"
    if not name or name == WILD or name != name.lower().strip() or "/" in name:
        raise CatalogueError(where, name, "a name in small letters, without a slash")
    own = read_source(row, sources, where)
    by_field = dict.fromkeys(SOURCED, own) | {"locus": frame.source, "sex_linked": frame.source}
    for field, key in row.get("sources", {}).items():
        read_choice(field, SOURCED, f"{where}, sources")
        by_field[field] = read_source({"source": key}, sources, f"{where}, {field}")
    hides = row.get("hides", "")
    for group in frame.alike:
        if f"super {name}" in group.looks or name in group.looks:
            if group.hides and not hides:
                hides, by_field["hides"] = group.hides, group.source
            by_field["look_alikes"] = group.source
    return Gene(
        name=name,
        locus=frame.id,
        locus_name=frame.name,
        mode=_mode(row, name, frame, where),
        sex_linked=frame.recombination is not None,
        super_name=row.get("super_name") or None,
        hides=cast("Hides", read_choice(hides, get_args(Hides), f"{where}, hides")),
        look_alikes=_look_alikes_of(name, frame.alike),
        other_spellings=tuple(row.get("spellings", ())),
        health=tuple(read_health(part, sources, where) for part in rows_of(row, "health")),
        sources=MappingProxyType(by_field),
        acts_on=cast("ActsOn", read_choice(row.get("acts_on", ""), get_args(ActsOn), f"{where}, acts_on")),
    )


def _look_alikes_of(name: str, alike: Sequence[AlikeGroup]) -> tuple[str, ...]:
    found = [look for group in alike if name in group.looks for look in group.looks if look != name]
    return tuple(dict.fromkeys(found))


def _read_compound(row: Row, sources: Sources, where: str) -> Compound:
    pair = tuple(row.get("pair", ()))
    if len(pair) != 2 or pair[0] == pair[1]:
        raise CatalogueError(f"{where}, compound", pair, "two different genes of the locus")
    place = f"{where}, compound {' '.join(pair)}"
    return Compound(
        pair=cast("Pair", pair),
        name=str(row.get("name", "")),
        hides=cast("Hides", read_choice(row.get("hides", ""), get_args(Hides), f"{place}, hides")),
        health=tuple(
            read_health(part, sources, place, applies_to="compound") for part in rows_of(row, "health")
        ),
        source=read_source(row, sources, place),
    )


def alike_looks(row: Row, locus: Row) -> Iterator[str]:
    """Labels of the looks in a group of one locus; "pairs_of" stands for all pairs of its genes."""
    yield from row.get("looks", ())
    names = {frozenset(part["pair"]): part.get("name") for part in rows_of(locus, "compound")}
    order = [part.get("name") for part in locus["gene"]]
    listed = sorted(row.get("pairs_of", ()), key=lambda name: order.index(name) if name in order else -1)
    for one, other in combinations_with_replacement(listed, 2):
        yield f"super {one}" if one == other else names.get(frozenset((one, other))) or f"{one} {other}"


def read_alike(row: Row, sources: Sources, where: str, looks: Sequence[str]) -> AlikeGroup:
    """Looks that can't be told apart.

    Raises
    ------
    CatalogueError
        If there are fewer than two, or a field is unknown.
    """
    if len(looks) < 2:
        raise CatalogueError(f"{where}, look-alikes", looks, "two or more looks")
    hides = read_choice(row.get("hides", ""), get_args(Hides), f"{where}, look-alikes, hides")
    source = read_source(row, sources, f"{where}, look-alikes")
    return AlikeGroup(str(row.get("name", "")), tuple(looks), cast("Hides", hides), source)


def labels_of(locus: Locus) -> set[str]:
    """Every look of a locus by its label or by what the eye sees of a stated pair."""
    said = {look.look for look in locus.stated if look.look}
    return ({look.label for look in locus.looks.values()} | said) - {""}


def _check_locus(locus: Locus, compounds: Sequence[Compound], alike: Sequence[AlikeGroup]) -> None:
    """Refuse compounds and look-alikes that name what the locus does not have."""
    names = {gene.name for gene in locus.genes}
    if len(names) < len(locus.genes):
        raise CatalogueError(f"locus {locus.id}", sorted(g.name for g in locus.genes), "each gene once")
    seen: set[frozenset[str]] = set()
    for compound in compounds:
        if not names.issuperset(compound.pair):
            raise CatalogueError(f"locus {locus.id}, compound", compound.pair, ", ".join(sorted(names)))
        if frozenset(compound.pair) in seen:
            raise CatalogueError(f"locus {locus.id}, compound", compound.pair, "each pair once")
        seen.add(frozenset(compound.pair))
    labels = labels_of(locus)
    for group in alike:
        for look in group.looks:
            if look not in labels:
                raise CatalogueError(f"locus {locus.id}, look-alikes", look, ", ".join(sorted(labels)))


def _check_stated(locus: Locus, rows: Sequence[dict[str, Any]]) -> None:
    """Refuse a table of looks that is not complete, says a pair twice, or misuses a gene's name."""
    pairs = [look.pair for look in locus.stated]
    said = {look.pair for look in locus.stated if look.look is not None}
    if len(set(pairs)) < len(pairs):
        twice = next("/".join(pair) for pair in pairs if pairs.count(pair) > 1)
        raise CatalogueError(f"locus {locus.id}, looks", twice, "each allele pair once")
    without = {row["name"] for row in rows if "mode" not in row}
    for pair in pairs_of(gene.name for gene in locus.genes):
        if pair not in said and without and set(pair) <= without | {WILD} and pair != (WILD, WILD):
            raise CatalogueError(f"locus {locus.id}, looks", f"no look of {'/'.join(pair)}", "all pairs")
    bases = base_pairs(locus.looks)
    for gene in locus.genes:
        meant = (gene.name, gene.name) if gene.mode == "recessive" else (gene.name, WILD)
        for pair in bases.get(gene.name, ()):
            if pair != meant and pair in said:
                allowed = f"another name: '{gene.name}' is read as {'/'.join(meant)}"
                raise CatalogueError(f"locus {locus.id}, look of {'/'.join(pair)}", gene.name, allowed)
