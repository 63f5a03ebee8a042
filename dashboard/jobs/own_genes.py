"""What did the breeder add to the catalogue, and what does a filled form mean? Plain data either way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from dashboard.records import Book
from genetics import Catalogue, NotationError, Sex, UnknownGene, definition_of, load_catalogue, read_animal

KINDS: Mapping[str, str] = {
    "gene": "a gene that is not in the list",
    "correction": "something else about a gene of the list",
    "combination": "one word for several genes",
    "complex": "several genes at one place, a complex",
    "harm": "a harm of genes together",
}
"""What a definition of the breeder's own may be, in plain words."""

NO_HARM = "none known"
OWN_PLACE = "a place of its own"


class FormRefused(ValueError):
    """A filled form that means no definition; its text says which field, and what is allowed."""


@dataclass(frozen=True)
class OwnGeneRow:
    """One definition of the breeder's own.

    Attributes
    ----------
    name, kind
        Its name, and a key of `KINDS`.
    says
        What it says, in a sentence.
    version
        Version to give back when it is changed.
    fault
        Why it is left out, if it no longer fits what ships.
    """

    name: str
    kind: str
    says: str
    version: int
    fault: str = ""


def own_gene_rows(book: Book) -> tuple[OwnGeneRow, ...]:
    """All definitions of a book, in the order they were entered."""
    faults = dict(book.catalogue().left_out)
    versions = book.own_gene_versions()
    return tuple(
        OwnGeneRow(name, str(part["kind"]), said(part), versions[name], faults.get(name, ""))
        for name, part in book.own_genes().items()
        if name in versions
    )


def said(definition: Mapping[str, Any]) -> str:
    """What a definition says, in a sentence."""
    kind = definition["kind"]
    if kind == "combination":
        return f"stands for {_copies(definition['genes'])}"
    if kind == "harm":
        return f"{_copies(definition['genes'])} together: {definition['harm']}. {definition['what']}"
    if kind == "complex":
        genes = definition["genes"]
        parts = [f"{gene} ({fields.get('mode', 'looks said')})" for gene, fields in genes.items()]
        return f"holds {', '.join(parts)}" + _linked(definition)
    parts = [str(definition["mode"])] if definition.get("mode") else []
    parts += [f"at the place of {definition['locus']}"] if definition.get("locus") else []
    parts += [f"two copies: {definition['super_name']}"] if definition.get("super_name") else []
    parts += [f"hides {definition['hides']}"] if definition.get("hides") else []
    parts += [f"also written {', '.join(definition['spellings'])}"] if definition.get("spellings") else []
    parts += [f"looks like {', '.join(definition['look_alikes'])}"] if definition.get("look_alikes") else []
    parts += [note["harm"] for note in definition.get("health", ())]
    return "; ".join(parts) + _linked(definition)


def _linked(definition: Mapping[str, Any]) -> str:
    return f"; sex-linked, r = {definition.get('recombination')}" if definition.get("sex_linked") else ""


def _copies(genes: Mapping[str, int]) -> str:
    return " + ".join(name if count == 1 else f"two copies of {name}" for name, count in genes.items())


def gene_names(catalogue: Catalogue) -> tuple[str, ...]:
    """Names of all genes, sorted."""
    return tuple(sorted(gene.name for gene in catalogue.genes))


def places(catalogue: Catalogue) -> tuple[str, ...]:
    """Places a gene can share: the name of each locus, sorted, after a place of its own."""
    return (OWN_PLACE, *sorted({locus.name for locus in catalogue.loci}))


def form_of(definition: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of the form of a gene or a correction, filled from its definition."""
    notes = definition.get("health") or [{}]
    return {
        "mode": definition.get("mode", "recessive"),
        "place": definition.get("locus") or OWN_PLACE,
        "super_name": definition.get("super_name") or "",
        "spellings": ", ".join(definition.get("spellings", ())),
        "hides": definition.get("hides", ""),
        "look_alikes": ", ".join(definition.get("look_alikes", ())),
        "sex_linked": bool(definition.get("sex_linked")),
        "recombination": _percent(definition.get("recombination")),
        "harm": notes[0].get("harm", NO_HARM),
        "applies_to": notes[0].get("applies_to", "any copy"),
        "harm_text": notes[0].get("what", ""),
        "lost": _percent(notes[0].get("lost_chance", 0)),
    }


def _percent(share: object) -> float:
    return float(Fraction(str(share)) * 100) if share not in (None, "") else 5.0


def shipped_form(name: str) -> dict[str, Any]:
    """Fields of the form of a gene that ships, as it ships; raises `UnknownGene`."""
    return form_of(definition_of(name, load_catalogue()))


def definition_from(kind: str, form: Mapping[str, Any], catalogue: Catalogue) -> dict[str, Any]:
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
        return _complex(form)
    return _gene(kind, form)


def _gene(kind: str, form: Mapping[str, Any]) -> dict[str, Any]:
    made: dict[str, Any] = {
        "kind": kind,
        "mode": form["mode"],
        "super_name": str(form["super_name"]).strip().casefold() or None,
        "spellings": split(form["spellings"]),
        "hides": form["hides"],
        "look_alikes": split(form["look_alikes"]),
        "health": _health(form),
    }
    alone = form["place"] == OWN_PLACE
    if not alone:
        made["locus"] = form["place"]
    if alone or kind == "correction":
        made["sex_linked"] = bool(form["sex_linked"])
        if form["sex_linked"]:
            made["recombination"] = _share(form["recombination"], "The recombination", most=50)
    if kind == "gene":
        made = {name: value for name, value in made.items() if value not in ("", None, [], False)}
    return made


def _health(form: Mapping[str, Any]) -> list[dict[str, Any]]:
    if form["harm"] == NO_HARM:
        return []
    what = str(form["harm_text"]).strip()
    if not what:
        raise FormRefused("What is known of the harm is empty. Write it in a sentence.")
    lost = _share(form["lost"], "The share of eggs that is lost", most=100)
    return [{"harm": form["harm"], "applies_to": form["applies_to"], "what": what, "lost_chance": lost}]


def _complex(form: Mapping[str, Any]) -> dict[str, Any]:
    genes: dict[str, Any] = {}
    for line in str(form["alleles"]).splitlines():
        if line.strip():
            name, _, mode = line.partition(",")
            genes[name.strip().casefold()] = {"mode": mode.strip().casefold() or "recessive"}
    looks = {}
    for line in str(form["looks"]).splitlines():
        if line.strip():
            pair, sign, look = line.partition("=")
            if not sign:
                raise FormRefused(f"“{line.strip()}” is no look of a pair; write one / other = look.")
            looks["/".join(part.strip().casefold() for part in pair.split("/"))] = look.strip().casefold()
    made: dict[str, Any] = {"kind": "complex", "genes": genes}
    return made | ({"looks": looks} if looks else {})


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


def complex_form(definition: Mapping[str, Any]) -> tuple[str, str]:
    """Lines of genes and lines of looks of a complex, as its form holds them."""
    genes = "\n".join(
        f"{name}, {part.get('mode', 'recessive')}" for name, part in definition["genes"].items()
    )
    looks = "\n".join(
        f"{pair.replace('/', ' / ')} = {look or ''}" for pair, look in definition.get("looks", {}).items()
    )
    return genes, looks


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
