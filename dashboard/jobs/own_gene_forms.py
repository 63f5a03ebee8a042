"""What does a filled form of an own gene mean, and how is the form filled again? Plain data either way."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

from dashboard.jobs.own_genes import percent_of
from genetics import Catalogue, NotationError, Sex, UnknownGene, definition_of, load_catalogue, read_animal

NO_HARM: Final = "none known"
OWN_PLACE: Final = "a place of its own"
FIELDS: Final[Mapping[str, str]] = {
    "name": "Name",
    "mode": "How it is passed on",
    "locus": "Where it lies",
    "super_name": "Name of two copies",
    "spellings": "Also written",
    "look_alikes": "Looks like",
    "hides": "What two copies hide of other genes",
    "acts_on": "What it changes",
    "looks": "Looks of pairs",
    "hatch": "Eggs lost by pairs",
    "sex_linked": "Sex-linked",
    "recombination": "Recombination in males",
    "health": "Harm",
    "harm": "Harm",
    "genes": "Genes",
    "what": "What is known of it",
}
"""What the form calls each field of a definition."""
_FIELD: Final = re.compile(rf"(?<![\w']){{1}}\b({'|'.join(FIELDS)})(?=:| is empty)")
_QUOTED: Final = re.compile(r"(?<!\w)'([^']+)'(?!\w)")


class FormRefused(ValueError):
    """A filled form that means no definition; its text says which field, and what is allowed."""


def plain_faults(text: str) -> str:
    """Write what is wrong with a definition with the names that its form gives to the fields."""
    text = text.replace(": found ''; allowed: a text.", " is empty.")
    return _QUOTED.sub(r"“\1”", _FIELD.sub(lambda found: FIELDS[found[1]], text))


def gene_names(catalogue: Catalogue) -> tuple[str, ...]:
    """Names of all genes, sorted."""
    return tuple(sorted(gene.name for gene in catalogue.genes))


def places(catalogue: Catalogue) -> tuple[str, ...]:
    """Places a gene can share: the name of each locus, sorted, after a place of its own."""
    return (OWN_PLACE, *sorted({locus.name for locus in catalogue.loci}))


def form_of(definition: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of the form of a gene or a correction, filled from its definition."""
    notes = list(definition.get("health") or [{}])
    return {
        "mode": definition.get("mode", "recessive"),
        "place": definition.get("locus") or OWN_PLACE,
        "super_name": definition.get("super_name") or "",
        "spellings": ", ".join(definition.get("spellings", ())),
        "hides": definition.get("hides", ""),
        "look_alikes": ", ".join(definition.get("look_alikes", ())),
        "sex_linked": bool(definition.get("sex_linked")),
        "recombination": percent_of(definition.get("recombination")),
        "harm": notes[0].get("harm", NO_HARM),
        "applies_to": notes[0].get("applies_to", "any copy"),
        "harm_text": notes[0].get("what", ""),
        "lost": percent_of(notes[0].get("lost_chance", 0)),
        "further_notes": notes[1:],
        "acts_on": definition.get("acts_on") or "",
        "looks": look_lines(definition),
    }


def look_lines(definition: Mapping[str, Any]) -> str:
    """Looks of pairs that are said outright, a line each: "stone / sand = shingle"."""
    looks = definition.get("looks", {}).items()
    return "\n".join(f"{pair.replace('/', ' / ')} = {look or ''}" for pair, look in looks)


def lost_lines(definition: Mapping[str, Any]) -> str:
    """Eggs that pairs lose, a line each: "stone / stone = 100 %"."""
    hatch = definition.get("hatch", {}).items()
    return "\n".join(
        f"{pair.replace('/', ' / ')} = {percent_of(1 - Fraction(str(share))):g} %" for pair, share in hatch
    )


def shipped_form(name: str, corrected: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Fields of the form of a gene as it ships, with what was corrected of it; raises `UnknownGene`."""
    return form_of(definition_of(name, load_catalogue()) | dict(corrected or {}))


def only_corrected(name: str, definition: Mapping[str, Any]) -> dict[str, Any]:
    """Give a correction with nothing in it but what the list says otherwise.

    So a later list may improve what the breeder never meant to correct.

    Raises
    ------
    FormRefused
        If it says what the list says.
    """
    shipped = _gene("correction", shipped_form(name))
    kept = {field: value for field, value in definition.items() if value != shipped.get(field)}
    if "recombination" in kept:
        kept["sex_linked"] = True
    if kept.get("sex_linked"):
        kept["recombination"] = definition["recombination"]
    if not kept:
        raise FormRefused(f"That is what the list says of {name} already. Change a field first.")
    return {"kind": "correction"} | kept


def definition_from(
    kind: str, form: Mapping[str, Any], catalogue: Catalogue, *, stored: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """Give the definition a filled form means.

    Parameters
    ----------
    kind
        A key of `KINDS`.
    form
        Its fields; for a gene or correction those of `form_of`, for the others "genes" as text, and
        "harm", "what", "alleles" and "looks" where the kind has them.
    catalogue
        The genes that hold now.
    stored
        The definition that is changed, if it is no new one.

    Raises
    ------
    FormRefused
        If a field can't be read.
    """
    if kind == "combination":
        return {"kind": kind, "genes": genes_of(str(form["genes"]), catalogue)}
    if kind == "harm":
        genes = genes_of(str(form["genes"]), catalogue)
        return {"kind": kind, "genes": genes, "harm": form["harm"], "what": str(form["what"]).strip()}
    if kind == "complex":
        return _complex(form, stored or {})
    return _gene(kind, form)


def _gene(kind: str, form: Mapping[str, Any]) -> dict[str, Any]:
    made: dict[str, Any] = {
        "kind": kind,
        "mode": form["mode"],
        "super_name": str(form["super_name"]).strip().casefold() or None,
        "spellings": split(form["spellings"]),
        "hides": form["hides"],
        "acts_on": form["acts_on"],
        "look_alikes": split(form["look_alikes"]),
        "health": _health(form),
        "looks": _pairs_of(form["looks"], "look"),
    }
    alone = form["place"] == OWN_PLACE
    if not alone:
        made["locus"] = form["place"]
    if alone or kind == "correction":
        made["sex_linked"] = bool(form["sex_linked"])
        if form["sex_linked"]:
            made["recombination"] = _share(form["recombination"], "The recombination", most=50)
    if not made["looks"]:
        del made["looks"]
    if kind == "gene":
        made = {name: value for name, value in made.items() if value not in ("", None, [], False)}
    return made


def _health(form: Mapping[str, Any]) -> list[dict[str, Any]]:
    further = [dict(note) for note in form["further_notes"]]
    if form["harm"] == NO_HARM:
        return further
    what = str(form["harm_text"]).strip()
    if not what:
        raise FormRefused("What is known of the harm is empty. Write it in a sentence.")
    lost = _share(form["lost"], "The share of eggs that is lost", most=100)
    note = {"harm": form["harm"], "applies_to": form["applies_to"], "what": what, "lost_chance": lost}
    return [note, *further]


def _complex(form: Mapping[str, Any], stored: Mapping[str, Any]) -> dict[str, Any]:
    """Definition of a complex; what its form does not hold stays as it is stored."""
    known = stored.get("genes", {})
    genes: dict[str, Any] = {}
    for line in str(form["alleles"]).splitlines():
        if line.strip():
            name, _, mode = line.partition(",")
            gene = name.strip().casefold()
            genes[gene] = dict(known.get(gene, {})) | {"mode": mode.strip().casefold() or "recessive"}
    if not genes:
        raise FormRefused("No gene is named. Write one a line, such as stone, recessive.")
    kept = {field: value for field, value in stored.items() if field in ("wild", "hides", "look_alikes")}
    made: dict[str, Any] = {"kind": "complex", "genes": genes, **kept}
    if looks := _pairs_of(form["looks"], "look"):
        made["looks"] = looks
    if lost := _pairs_of(form["lost"], "share of eggs lost"):
        made["hatch"] = {pair: _hatch(share, pair) for pair, share in lost.items()}
    if form["sex_linked"]:
        made["sex_linked"] = True
        made["recombination"] = _share(form["recombination"], "The recombination", most=50)
    return made


def _hatch(lost: str, pair: str) -> str:
    return str(1 - Fraction(_share(lost, f"The share of eggs that {pair} loses", most=100)))


def _pairs_of(lines: object, what: str) -> dict[str, str]:
    """What is said of allele pairs, from lines such as "stone / sand = shingle"."""
    found = {}
    for line in str(lines).splitlines():
        if line.strip():
            pair, sign, said_of_it = line.partition("=")
            if not sign or "/" not in pair:
                raise FormRefused(f"“{line.strip()}” is no {what} of a pair; write one / other = {what}.")
            alleles = "/".join(part.strip().casefold() for part in pair.split("/"))
            found[alleles] = said_of_it.strip().casefold()
    return found


def genes_of(text: str, catalogue: Catalogue) -> dict[str, int]:
    """Genes and copies of a look as the trade writes it: "super pastel clown" has two of each.

    Raises
    ------
    FormRefused
        If it can't be read, or it is not certain what it has.
    """
    try:
        animal = read_animal(text, catalogue, sex=Sex.FEMALE)
    except (NotationError, UnknownGene) as fault:
        raise FormRefused(str(fault)) from fault
    if not animal.certain:
        raise FormRefused(f"“{text}” is not certain; write genes that show, such as super pastel clown.")
    genes: dict[str, int] = {}
    for factor in animal.belief:
        for pairs, _ in factor.table:
            for allele in (name for pair in pairs for name in pair):
                if any(gene.name == allele for gene in catalogue.genes):
                    genes[allele] = genes.get(allele, 0) + 1
    if not genes:
        raise FormRefused("No gene is named. Write the genes that show, such as super pastel clown.")
    return genes


def genes_text(genes: Mapping[str, int], catalogue: Catalogue) -> str:
    """Genes and copies as the trade writes them, to be read again by `genes_of`."""
    words = []
    for name, count in genes.items():
        recessive = catalogue.gene(name).mode == "recessive"
        before = {(True, 1): "het ", (True, 2): "", (False, 1): "", (False, 2): "super "}
        words.append(f"{before[recessive, count]}{name}")
    return " ".join(words)


def complex_form(definition: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of the form of a complex: its genes and what is said of pairs, a line each."""
    genes = definition.get("genes", {}).items()
    return {
        "alleles": "\n".join(f"{name}, {part.get('mode', 'recessive')}" for name, part in genes),
        "looks": look_lines(definition),
        "lost": lost_lines(definition),
        "sex_linked": bool(definition.get("sex_linked")),
        "recombination": percent_of(definition.get("recombination")),
    }


def split(text: object) -> list[str]:
    """Words parted by commas, in small letters."""
    return [word.strip().casefold() for word in str(text).split(",") if word.strip()]


def _share(percent: object, what: str, *, most: int) -> str:
    """Share as an exact text, from a percentage."""
    try:
        share = Fraction(str(percent).strip().removesuffix("%")) / 100
    except (ValueError, ZeroDivisionError):
        share = Fraction(-1)
    if not 0 <= share <= Fraction(most, 100):
        raise FormRefused(f"{what} is {percent}; allowed: 0 to {most} percent.")
    return str(share)
