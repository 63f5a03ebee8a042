"""What may a breeder's own definition say, and what is wrong with its fields?

Each definition is plain data with a "kind":

- "gene": a gene of the breeder's own. "mode" is needed; "locus" puts it on a known locus (its id, its name
  or one of its genes), else it has its own, which may be "sex_linked" with a "recombination". It may have a
  "super_name", "spellings", what it "hides" and "acts_on", "look_alikes" (looks it can't be told from),
  "looks" and "hatch" of its allele pairs, and "health": notes with "harm", "applies_to", "what" and a
  "lost_chance".
- "complex": several genes at one new locus: "genes" (each with the fields of a gene), "looks" and "hatch" of
  allele pairs, "hides" by pair, "wild" (name of the wild type), "look_alikes" (lists of looks).
- "combination": one word for "genes" with their copies, of one or several loci.
- "correction": other values for a gene that ships: any field of a gene, its "locus" and "recombination" too.
- "harm": what "genes" of several loci, with the least number of copies, do together.

Allele pairs are written "one/other", the wild type "+". Chances and fractions are numbers or texts ("1/20").
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, get_args

from genetics.genes.faults import CatalogueError, or_nearest
from genetics.genes.loci import ActsOn, AppliesTo, Harm, Hides, Mode
from genetics.genes.table_fields import read_share

Check = Callable[[Any], str]
"""Says what is wrong with a value and what is allowed; empty if it is right."""


def _choice(allowed: tuple[str, ...]) -> Check:
    words = ", ".join(word or "nothing" for word in allowed)

    def check(value: Any) -> str:
        if value in allowed:
            return ""
        return f"found {value!r}; allowed: {words}.{or_nearest(str(value), allowed)}"

    return check


def _share(most: Fraction) -> Check:
    def check(value: Any) -> str:
        try:
            read_share(value, most, "")
        except CatalogueError as fault:
            return f"found {value!r}; allowed: {fault.allowed}."
        return ""

    return check


def _text(value: Any) -> str:
    right = isinstance(value, str) and value.strip()
    return "" if right else f"found {value!r}; allowed: a text."


def _text_or_none(value: Any) -> str:
    return "" if value is None or isinstance(value, str) else f"found {value!r}; allowed: a text or nothing."


def _yes_no(value: Any) -> str:
    return "" if isinstance(value, bool) else f"found {value!r}; allowed: true or false."


def _texts(value: Any) -> str:
    if not isinstance(value, (list, tuple)):
        return f"found {value!r}; allowed: a list of texts."
    return next((fault for part in value if (fault := _text(part))), "")


def _text_lists(value: Any) -> str:
    if not isinstance(value, (list, tuple)):
        return f"found {value!r}; allowed: a list of lists of looks."
    return next((fault for part in value if (fault := _texts(part))), "")


def _by_name(what: str, check: Check) -> Check:
    def checked(value: Any) -> str:
        if not isinstance(value, Mapping):
            return f"found {value!r}; allowed: {what}."
        for name, part in value.items():
            if fault := check(part):
                return f"{name}: {fault}"
        return ""

    return checked


def _needed(fields: Mapping[str, Check], needed: tuple[str, ...]) -> Check:
    def check(value: Any) -> str:
        if not isinstance(value, Mapping):
            return f"found {value!r}; allowed: a mapping with {', '.join(fields)}."
        return " ".join(_faults(value, fields, needed))

    return check


def _notes(value: Any) -> str:
    if not isinstance(value, (list, tuple)):
        return f"found {value!r}; allowed: a list of health notes."
    return next((fault for part in value if (fault := _NOTE(part))), "")


def _copies(value: Any) -> str:
    right = value in (1, 2) and not isinstance(value, bool)
    return "" if right else f"found {value!r}; allowed: 1 or 2 copies."


_HARM = _choice(get_args(Harm))
_SINGLE = tuple(word for word in get_args(AppliesTo) if word not in ("compound", "genes together"))
_NOTE = _needed(
    {"harm": _HARM, "applies_to": _choice(_SINGLE), "what": _text, "lost_chance": _share(Fraction(1))},
    ("harm", "applies_to", "what"),
)
_ONE_GENE: dict[str, Check] = {
    "mode": _choice(get_args(Mode)),
    "super_name": _text_or_none,
    "spellings": _texts,
    "hides": _choice(get_args(Hides)),
    "acts_on": _choice(get_args(ActsOn)),
    "health": _notes,
}
_PAIRS: dict[str, Check] = {
    "looks": _by_name("a mapping of allele pairs to looks", _text_or_none),
    "hatch": _by_name("a mapping of allele pairs to chances", _share(Fraction(1))),
}
_LINKAGE: dict[str, Check] = {"sex_linked": _yes_no, "recombination": _share(Fraction(1, 2))}
_GENE = _ONE_GENE | {"locus": _text, "look_alikes": _texts} | _PAIRS | _LINKAGE
_COPIES = _by_name("a mapping of genes to 1 or 2 copies", _copies)

FIELDS: Mapping[str, Mapping[str, Check]] = {
    "gene": _GENE,
    "complex": {
        "genes": _by_name("a mapping of gene names to their fields", _needed(_ONE_GENE, ())),
        "wild": _text_or_none,
        "hides": _by_name("a mapping of allele pairs to what they hide", _choice(get_args(Hides))),
        "look_alikes": _text_lists,
        **_PAIRS,
        **_LINKAGE,
    },
    "combination": {"genes": _COPIES},
    "correction": _GENE,
    "harm": {"genes": _COPIES, "harm": _HARM, "what": _text},
}
"""Fields of each kind of definition."""

NEEDED: Mapping[str, tuple[str, ...]] = {
    "gene": (),
    "complex": ("genes",),
    "combination": ("genes",),
    "correction": (),
    "harm": ("genes", "harm", "what"),
}
"""Fields a definition can't do without; a gene needs its mode as well unless its looks say it."""


def field_faults(definition: object) -> tuple[str, ...]:
    """Everything that is wrong with the fields of a definition, one sentence each; empty if nothing is."""
    if not isinstance(definition, Mapping):
        return (f"Found {definition!r}; allowed: a mapping with a 'kind'.",)
    kind = definition.get("kind")
    if not isinstance(kind, str) or kind not in FIELDS:
        return (f"kind: found {kind!r}; allowed: {', '.join(FIELDS)}.{or_nearest(str(kind), FIELDS)}",)
    rest = {name: value for name, value in definition.items() if name != "kind"}
    faults = _faults(rest, FIELDS[kind], NEEDED[kind])
    if kind == "gene" and "mode" not in rest and not rest.get("looks"):
        faults.append(f"mode: missing; allowed: {', '.join(get_args(Mode))}.")
    if kind in ("gene", "complex") and rest.get("sex_linked") is True and "recombination" not in rest:
        faults.append("recombination: missing; a sex-linked locus needs one, 0 to 0.5.")
    if kind == "gene" and "locus" in rest and {"sex_linked", "recombination"} & rest.keys():
        faults.append("sex_linked: the locus has its own linkage; correct one of its genes instead.")
    if kind in ("combination", "harm") and isinstance(rest.get("genes"), Mapping) and len(rest["genes"]) < 2:
        faults.append("genes: allowed: two or more genes.")
    return tuple(faults)


def _faults(value: Mapping[str, Any], fields: Mapping[str, Check], needed: tuple[str, ...]) -> list[str]:
    """Unknown, missing and wrong fields."""
    faults = [
        f"{name}: unknown field; allowed: {', '.join(fields)}.{or_nearest(str(name), fields)}"
        for name in value
        if name not in fields
    ]
    faults += [f"{name}: missing." for name in needed if name not in value]
    for name, part in value.items():
        if name in fields and (fault := fields[name](part)):
            faults.append(f"{name}: {fault}")
    return faults
