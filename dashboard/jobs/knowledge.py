"""What is known of each animal's genes, why, and what would tell more? From all records of the book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dashboard.jobs.catalogue import catalogue_of
from dashboard.jobs.recent import Recent, number_of
from dashboard.records import AnimalRecord, Book, Unreadable
from dashboard.records.kinds import CLUTCHES, FURTHER_SIRES, GENE_TESTS, GeneTestRecord
from econ.assumptions import Assumptions
from genetics import Animal, Catalogue, NotWritable, Sex, read_animal, write_animal
from genetics.genes.loci import WILD
from genetics.pedigrees.conflicts import Conflict
from genetics.pedigrees.explain import Why, why
from genetics.pedigrees.knowledge import Knowledge, know
from genetics.pedigrees.known import KnownAnimal
from genetics.pedigrees.next_steps import NextStep, TestOffer, next_steps
from genetics.pedigrees.pedigree import Litter, PedigreeError, PossibleSire, TestAnswer, TestResult
from genetics.pedigrees.written import WrittenAnimal, collection_of

TEST_FEE = "test.fee"
MOST_MATES = 24
MOST_STEPS = 3
OPEN = 1e-9
"""A chance nearer to 0 or 1 than this is certain."""

_ANSWERS: Mapping[str, TestAnswer] = {
    "no copy": "does not carry",
    "one copy": "one copy",
    "two copies": "two copies",
    "at least one copy": "carries",
}
Herd = tuple[tuple[WrittenAnimal, ...], tuple[str, ...], tuple[Litter, ...]]
"""Animals as the pedigree takes them, names of those that can't be read, clutches of several sires."""

_herds: Recent[Herd] = Recent(6)
_known: Recent[BookKnowledge] = Recent(6)
_beliefs: Recent[Animal] = Recent(2000)
_latest: dict[str, Knowledge] = {}


@dataclass(frozen=True, eq=False)
class BookKnowledge:
    """What is known of all animals of a book.

    Attributes
    ----------
    knowledge
        The posteriors; None if the records can't be put together, see `fault`.
    unread
        Names of animals whose text can't be read; they take no part.
    fault
        Why nothing is known; empty if all is well.
    """

    knowledge: Knowledge | None
    unread: tuple[str, ...]
    fault: str = ""


@dataclass(frozen=True)
class GeneKnown:
    """What is known of one gene of one animal that does not show.

    Attributes
    ----------
    gene
        Its catalogue name.
    chance
        Chance that the animal has at least one copy [0 to 1].
    why
        What its parents or its claim give, and how much each observation moved it.
    steps
        What would tell more, the most telling first; empty where nothing is open.
    """

    gene: str
    chance: float
    why: Why
    steps: tuple[NextStep, ...]

    @property
    def is_open(self) -> bool:
        """Whether it is not certain either way."""
        return OPEN < self.chance < 1 - OPEN


@dataclass(frozen=True)
class AnimalKnown:
    """What is known of one animal.

    Attributes
    ----------
    name
        Its name.
    words
        All that is known, in the trade's words.
    genes
        Genes that it may carry without showing them, the most open first; and what it was said to carry that
        the records rule out.
    conflicts
        Contradictions in which it has a part.
    unanswered
        Loci at which its relations are too entangled for an exact answer.
    """

    name: str
    words: str
    genes: tuple[GeneKnown, ...]
    conflicts: tuple[Conflict, ...]
    unanswered: tuple[str, ...]


def knowledge_of(book: Book) -> BookKnowledge:
    """What is known of all animals of a book; an edit reckons anew only what it touches."""
    catalogue = catalogue_of(book)
    place = str(book.place)

    def read() -> Herd:
        animals = book.animals()
        shared = _of_several_sires(book)
        rows, unread = _written(book, animals, book.rows(GENE_TESTS), shared=shared)
        return rows, unread, _open_litters(book, animals, shared, unread=unread)

    rows, unread, litters = _herds.get((place, book.data_version, number_of(catalogue)), read)

    def make() -> BookKnowledge:
        try:
            collection = collection_of(rows, catalogue, litters=litters)
            found = know(collection, catalogue, previous=_latest.get(place))
        except PedigreeError as fault:
            return BookKnowledge(None, unread, str(fault))
        _latest[place] = found
        return BookKnowledge(found, unread)

    return _known.get((place, rows, litters, number_of(catalogue)), make)


def _written(
    book: Book,
    animals: Sequence[AnimalRecord],
    tests: Sequence[GeneTestRecord],
    *,
    shared: Mapping[int, Sequence[int]],
) -> tuple[tuple[WrittenAnimal, ...], tuple[str, ...]]:
    """Animals as the pedigree takes them, and names of those that can't be read.

    Young whose sire is said leave a clutch of several possible sires (`shared`) for one of their own.
    """
    readable, unread, herd = {}, [], book.herd()
    read = book.reader
    for animal in animals:
        try:
            read(animal.text, animal.sex)
        except Unreadable:
            unread.append(animal.name)
        else:
            readable[animal.id] = animal
    results: dict[int, list[TestResult]] = {}
    for test in tests:
        if test.result in _ANSWERS:
            results.setdefault(test.animal_id, []).append(_result(test))

    def clutch(animal: AnimalRecord) -> str | None:
        if animal.clutch_id is None:
            return None
        name = herd.clutch_name(animal.clutch_id)
        said = animal.clutch_id in shared and animal.sire_id is not None
        return f"{name}, by {herd.animal_name(animal.sire_id or 0)}" if said else name

    rows = tuple(
        WrittenAnimal(
            animal.name,
            animal.text,
            animal.sex,
            _name(readable, animal.sire_id),
            _name(readable, animal.dam_id),
            clutch(animal),
            tuple(results.get(animal.id, ())),
        )
        for animal in readable.values()
    )
    return rows, tuple(unread)


def _name(animals: Mapping[int, AnimalRecord], animal_id: int | None) -> str | None:
    found = None if animal_id is None else animals.get(animal_id)
    return None if found is None else found.name


def _result(test: GeneTestRecord) -> TestResult:
    shares = (test.right_if_carried, test.right_if_not)
    right = [Fraction(1) if share is None else Fraction(str(share)) for share in shares]
    return TestResult(test.gene, _ANSWERS[test.result], *right)


def _of_several_sires(book: Book) -> dict[int, tuple[int, ...]]:
    """Possible sires of the clutches that have more than one, by the number of the clutch."""
    further: dict[int, list[int]] = {}
    for row in book.rows(FURTHER_SIRES):
        further.setdefault(row.pairing_id, []).append(row.sire_id)
    if not further:
        return {}
    pairings = {pairing.id: pairing for pairing in book.pairings()}
    return {
        clutch.id: (pairings[clutch.pairing_id].sire_id, *further[clutch.pairing_id])
        for clutch in book.rows(CLUTCHES)
        if clutch.pairing_id in further
    }


def _open_litters(
    book: Book,
    animals: Sequence[AnimalRecord],
    shared: Mapping[int, Sequence[int]],
    *,
    unread: Sequence[str],
) -> tuple[Litter, ...]:
    """Clutches of pairings with several males that have young of which it is not known who was the sire.

    A parent whose text can't be read counts as one that is not in the book.
    """
    if not shared:
        return ()
    names: dict[int, str | None] = {a.id: None if a.name in unread else a.name for a in animals}
    unsaid = {a.clutch_id for a in animals if a.clutch_id is not None and a.sire_id is None}
    herd, made = book.herd(), []
    for clutch_id in sorted(unsaid & shared.keys()):
        sires = [names[sire] for sire in shared[clutch_id]]
        males = tuple(PossibleSire(n, Fraction(sires.count(n), len(sires))) for n in dict.fromkeys(sires))
        dam = herd.pairings[herd.clutches[clutch_id].pairing_id].dam_id
        made.append(Litter(herd.clutch_name(clutch_id), names[dam], males))
    return tuple(made)


def animal_known(book: Book, animal: AnimalRecord) -> AnimalKnown | None:
    """What is known of one animal, why, and what would tell more; None if nothing can be said of it."""
    found = knowledge_of(book)
    if found.knowledge is None or animal.name in found.unread:
        return None
    knowledge, catalogue = found.knowledge, catalogue_of(book)
    known = knowledge.animal(animal.name)
    mates = _mates(book, animal, found.unread)
    fee = _test_fee(book)
    open_genes = [*_unseen(known, catalogue), *_ruled_out(animal, known, catalogue)]
    genes = [_gene_known(knowledge, animal.name, gene, mates=mates, fee=fee) for gene in open_genes]
    return AnimalKnown(
        name=animal.name,
        words=_words(known.animal, catalogue),
        genes=tuple(sorted(genes, key=lambda item: (not item.is_open, -item.chance, item.gene))),
        conflicts=known.conflicts,
        unanswered=known.unanswered,
    )


def _unseen(known: KnownAnimal, catalogue: Catalogue) -> list[str]:
    """Genes an animal may have that its look does not tell."""
    genes = []
    for locus_id, chances in known.chances.items():
        locus = catalogue.locus(locus_id)
        shown = {trait.gene for pair in chances for trait in locus.look(pair).shown}
        for gene in locus.genes:
            having = [pair for pair in chances if gene.name in pair]
            seen_always = len(having) == len(chances) and gene.name in shown
            if having and not seen_always:
                genes.append(gene.name)
    return genes


def _ruled_out(animal: AnimalRecord, known: KnownAnimal, catalogue: Catalogue) -> list[str]:
    """Genes an animal is said to carry that the records say it does not have."""
    said = read_animal(animal.text, catalogue, sex=animal.sex).belief
    alleles = {gene for factor in said for pairs, _ in factor.table for pair in pairs for gene in pair}
    return sorted(gene for gene in alleles - {WILD} if known.carries(gene) <= OPEN)


def _gene_known(
    knowledge: Knowledge, name: str, gene: str, *, mates: Mapping[str, float], fee: float
) -> GeneKnown:
    reason = why(knowledge, name, gene)
    steps: tuple[NextStep, ...] = ()
    if OPEN < reason.chance < 1 - OPEN:
        offer = TestOffer(f"a test for {gene}", (gene,), fee)
        found = next_steps(knowledge, name, gene, mates=mates, tests=(offer,))
        steps = tuple(step for step in found if step.bits > OPEN)[:MOST_STEPS]
    return GeneKnown(gene, reason.chance, reason, steps)


def _mates(book: Book, animal: AnimalRecord, unread: Sequence[str]) -> dict[str, float]:
    """Animals of the other sex that are with the breeder; a mating itself costs no fee."""
    other = {Sex.MALE: Sex.FEMALE, Sex.FEMALE: Sex.MALE}.get(animal.sex)
    here = [
        mate.name
        for mate in book.animals()
        if mate.sex is other and mate.status not in {"sold", "died"} and mate.name not in unread
    ]
    return dict.fromkeys(here[:MOST_MATES], 0.0)


def _test_fee(book: Book) -> float:
    figures = Assumptions(book.assumptions())
    return figures.figure(TEST_FEE) or 0.0


def _words(animal: Animal, catalogue: Catalogue) -> str:
    try:
        return write_animal(animal, catalogue) or "normal"
    except NotWritable:
        return " ".join(str(trait) for trait in animal.traits(catalogue)) or "normal"


def known_belief(book: Book, animal: AnimalRecord) -> Animal | None:
    """What is known of an animal, as a clutch takes it; None where its text can't be read.

    An animal that is not sexed yet is taken as it is written.
    """
    found = knowledge_of(book)
    if found.knowledge is None or animal.name in found.unread or animal.sex is Sex.UNSEXED:
        return None
    knowledge = found.knowledge
    return _beliefs.get((number_of(knowledge), animal.name), lambda: knowledge.animal(animal.name).animal)


def known_otherwise(book: Book, animal: AnimalRecord) -> str:
    """What is known of an animal in the trade's words where that differs from what is written; else empty."""
    belief, catalogue = known_belief(book, animal), catalogue_of(book)
    if belief is None or belief == read_animal(animal.text, catalogue, sex=animal.sex):
        return ""
    return _words(belief, catalogue)
