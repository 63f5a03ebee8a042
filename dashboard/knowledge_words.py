"""How does what is known of an animal's genes read: chances, reasons, contradictions, next steps?"""

from __future__ import annotations

import math

from dashboard.jobs.knowledge import GeneKnown
from dashboard.words import number_word, percent, plural
from genetics.pedigrees.conflicts import Conflict
from genetics.pedigrees.explain import Reason
from genetics.pedigrees.next_steps import NextStep

_FEW = 1.05
"""A factor nearer to 1 than this says nothing worth a line."""


def known_sentence(gene: GeneKnown) -> str:
    """Say how sure a gene is, in the trade's words."""
    if gene.chance >= 1 - 1e-9:
        return f"carries {gene.gene} for certain"
    if gene.chance <= 1e-9:
        return f"does not carry {gene.gene}"
    return f"{percent(gene.chance)} chance of {gene.gene}"


def reason_words(reason: Reason) -> str:
    """Say what an observation is, and what it does to the chance."""
    n = reason.animals
    what = {
        "own look": "its own look",
        "own test": f"its own test for {reason.subject}",
        "young": f"{number_word(n)} young of {reason.subject}",
        "clutch-mates": f"{number_word(n)} {plural(n, 'clutch-mate')}",
        "parent": f"look and tests of {reason.subject}",
        "other relatives": f"{number_word(n)} other {plural(n, 'relative')}",
    }[reason.kind]
    return f"{what}: {_factor_words(reason.bayes_factor)}"


def tells(reason: Reason) -> bool:
    """Whether an observation moves the chance enough for a line."""
    factor = reason.bayes_factor
    return factor == 0 or math.isinf(factor) or max(factor, 1 / factor) > _FEW


def _factor_words(factor: float) -> str:
    if factor == 0:
        return "rules it out"
    if math.isinf(factor):
        return "proves it"
    if factor >= 1:
        return f"makes it {_times(factor)} times likelier"
    return f"makes it {_times(1 / factor)} times less likely"


def _times(factor: float) -> str:
    return f"{factor:.1f}" if factor < 10 else f"{factor:,.0f}"


def step_words(step: NextStep, fee: str) -> str:
    """Say what could be done, how much of the doubt it is expected to take away, and how long that takes."""
    share = min(1.0, step.bits / step.uncertain) if step.uncertain > 0 else 0.0
    told = f"takes away {percent(share)} of the doubt"
    if step.kind == "test":
        return f"{step.name} ({fee}): {told}"
    words = f"a clutch of six with {step.name}: {told}"
    if step.show_within is not None and step.clear_within is not None:
        words += (
            f"; if it carries it, {number_word(step.show_within)} young show it with 95 % chance; "
            f"{number_word(step.clear_within)} without it leave 5 % at most"
        )
    elif step.show_within is not None:
        words += f"; if it carries it, {number_word(step.show_within)} young show it with 95 % chance"
    return words


def conflict_words(conflict: Conflict) -> str:
    """Say which records contradict each other, and the likeliest explanations."""
    likely = [f"{item.statement.words} ({percent(item.share)})" for item in conflict.explanations[:3]]
    words = conflict.words
    if conflict.kind == "unnamed gene":
        words += " It is taken that a founder carries it unsaid; write it down where you know it."
        likely = [f"{item.statement.words}" for item in conflict.explanations[:2]]
        return words + (f" Or else {' or '.join(likely)}." if likely else "")
    if likely:
        words += f" The likeliest: {'; '.join(likely)}."
    if conflict.set_aside:
        words += " Until you mend it, the likeliest of these is left out."
    return words
