"""What was found out about one animal: its weights as a course, and what tests of its genes said?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dashboard.records import Book
from dashboard.records.kinds import GENE_TESTS, WEIGHTS, GeneTestRecord, WeightRecord


@dataclass(frozen=True)
class WeightStep:
    """One weight and its change since the one before [g]; None for the first."""

    record: WeightRecord
    change: float | None


@dataclass(frozen=True)
class FactsAnswer:
    """Weights and tests of one animal.

    Attributes
    ----------
    weights
        Newest first.
    tests
        Newest first.
    today
        Day the book counts as today.
    """

    weights: tuple[WeightStep, ...]
    tests: tuple[GeneTestRecord, ...]
    today: date

    @property
    def change(self) -> tuple[float, date] | None:
        """Change from the last weight at least three months before the newest one, and its day."""
        if not self.weights:
            return None
        newest = self.weights[0].record
        for step in self.weights[1:]:
            if (newest.on - step.record.on).days >= 90:
                return newest.grams - step.record.grams, step.record.on
        if len(self.weights) > 1:
            first = self.weights[-1].record
            return newest.grams - first.grams, first.on
        return None


def facts_answer(book: Book, animal_id: int) -> FactsAnswer:
    """Weights and tests of one animal of a book."""
    weights = sorted(
        (weight for weight in book.rows(WEIGHTS) if weight.animal_id == animal_id), key=lambda one: one.on
    )
    steps = [
        WeightStep(weight, None if number == 0 else weight.grams - weights[number - 1].grams)
        for number, weight in enumerate(weights)
    ]
    tests = [test for test in book.rows(GENE_TESTS) if test.animal_id == animal_id]
    return FactsAnswer(
        weights=tuple(reversed(steps)),
        tests=tuple(sorted(tests, key=lambda test: (test.on, test.id), reverse=True)),
        today=book.today(),
    )
