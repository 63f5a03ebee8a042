"""One animal: what is known of genes that do not show, why, and what would tell more."""

from __future__ import annotations

from dashboard import session
from dashboard.figures.component import draw
from dashboard.figures.knowledge import KnownLine, knowledge_table
from dashboard.figures.marks import note
from dashboard.figures.markup import esc, strong
from dashboard.jobs.knowledge import AnimalKnown, GeneKnown, animal_known
from dashboard.knowledge_words import conflict_words, known_sentence, reason_words, step_words, tells
from dashboard.records import AnimalRecord
from dashboard.words import exact, number_word, percent
from econ.money import minor_digits

MOST_REASONS = 3
READING = (
    "Reckoned exactly from looks, parents, young, clutch-mates and tests of the whole book; each reason is "
    "left out by itself to see what it does."
)


def show(animal: AnimalRecord) -> None:
    """Show what is known of an animal; nothing where its look tells all."""
    book = session.current_book()
    known = session.computed("known", lambda: animal_known(book, animal), parts=(animal.id,))
    if known is None:
        return
    for place, conflict in enumerate(known.conflicts):
        text = f"{strong('Records that contradict each other.')} {esc(conflict_words(conflict))}"
        draw(note("none", text), f"conflict-{place}")
    if known.unanswered:
        text = f"Its relations are too entangled for an exact answer at {', '.join(known.unanswered)}."
        draw(note("none", esc(text)), "tangled")
    if known.genes:
        draw(knowledge_table(_title(known), READING, rows=[_line(gene) for gene in known.genes]), "known")


def _title(known: AnimalKnown) -> str:
    opened = [gene for gene in known.genes if gene.is_open]
    if not opened:
        return f"Known for certain: {known.words}"
    if len(opened) == 1:
        gene = opened[0]
        return f"{known.name} carries {gene.gene} with {percent(gene.chance)} chance"
    return f"{number_word(len(opened), start=True)} genes of {known.name} are open"


def _line(gene: GeneKnown) -> KnownLine:
    currency = session.current_book().currency
    reasons = [reason for reason in gene.why.reasons if tells(reason)]
    before = f"from its parents or what is said: {percent(gene.why.before)}" if reasons else ""
    return KnownLine(
        gene=gene.gene,
        state=known_sentence(gene),
        before=before,
        reasons=tuple(reason_words(reason) for reason in reasons[:MOST_REASONS]),
        steps=tuple(
            step_words(step, f"{exact(step.cost, minor_digits(currency))} {currency}") for step in gene.steps
        ),
    )
