"""A thousand mixed edits, taken back one by one, pass through every earlier state to the row."""

from __future__ import annotations

import contextlib
import random
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.records import HatchlingDraft, NotStored, open_book
from dashboard.records.kinds import (
    CLUTCHES,
    EXCHANGE_RATES,
    FURTHER_SIRES,
    GENE_TESTS,
    PIPELINE,
    SHOWS,
    SPENDING,
    WEIGHTS,
)
from dashboard.records.schema import EDITABLE
from econ.prices.observations import SupplyCount
from genetics import Sex

EDITS = 1_000
TODAY = date(2026, 11, 20)


@pytest.fixture
def quick_path(tmp_path):
    """A place in memory where there is one: durability is shown elsewhere, here only the rows count."""
    memory = Path("/dev/shm")
    if not memory.is_dir():
        yield tmp_path / "book.sqlite"
        return
    import tempfile

    with tempfile.TemporaryDirectory(dir=memory) as folder:
        yield Path(folder) / "book.sqlite"


def content(book):
    """All rows of every table that is edited, without their versions."""
    found = {}
    for table in EDITABLE:
        names, rows = book.plain_rows(table)
        kept = [i for i, name in enumerate(names) if name != "version"]
        found[table] = [tuple(row[i] for i in kept) for row in rows]
    return found


class Storm:
    """Random edits of every kind; an edit the book refuses is no edit."""

    def __init__(self, book, price, draw):
        self.book, self.price, self.draw = book, price, draw
        self.count = 0

    def edit(self):
        kinds = [
            self.animal, self.change, self.remove, self.pairing, self.clutch, self.young, self.weight,
            self.test, self.pipeline, self.rate, self.show, self.spend, self.one_price, self.file,
            self.figure, self.pairing_figure, self.gene, self.back_to_default, self.count_seen, self.sire,
        ]  # fmt: skip
        before = self.book.data_version
        with contextlib.suppress(NotStored):
            self.draw.choice(kinds)()
        return self.book.data_version > before

    def name(self):
        self.count += 1
        return f"Animal {self.count}"

    def day(self):
        return TODAY - timedelta(days=self.draw.randrange(1, 300))

    def some(self, rows):
        if not rows:
            raise NotStored("there is none yet")
        return self.draw.choice(rows)

    def animal(self):
        sex = self.draw.choice([Sex.MALE, Sex.FEMALE, Sex.UNSEXED])
        self.book.add_animal(
            self.name(), "pastel het clown", sex=sex, bought_minor=self.draw.choice([None, 4500])
        )

    def change(self):
        animal = self.some(self.book.animals())
        self.book.change_animal(animal.id, animal.version, note=self.name(), status="resting")

    def remove(self):
        animal = self.some(self.book.animals())
        self.book.remove_animal(animal.id, animal.version)

    def pairing(self):
        males = [a for a in self.book.animals() if a.sex is Sex.MALE]
        females = [a for a in self.book.animals() if a.sex is Sex.FEMALE]
        self.book.add_pairing(self.draw.choice([2025, 2026]), self.some(males).id, self.some(females).id)

    def clutch(self):
        pairing = self.some(self.book.pairings())
        self.book.add_row(CLUTCHES, {"pairing_id": pairing.id, "fertile": 6, "hatched": 5})

    def young(self):
        clutch = self.some(self.book.rows(CLUTCHES))
        self.book.add_hatchlings(clutch.id, [HatchlingDraft("normal"), HatchlingDraft("pastel")])

    def weight(self):
        animal = self.some(self.book.animals())
        self.book.add_row(WEIGHTS, {"animal_id": animal.id, "on": self.day(), "grams": 810.5})

    def test(self):
        animal = self.some(self.book.animals())
        values = {"animal_id": animal.id, "on": self.day(), "gene": "clown", "result": "one copy"}
        self.book.add_row(GENE_TESTS, {**values, "fee_minor": 5000})

    def pipeline(self):
        self.book.add_row(PIPELINE, {"on": self.day(), "what": "clown", "season": 2027, "young": 40})

    def rate(self):
        self.book.add_row(EXCHANGE_RATES, {"on": self.day(), "currency": "USD", "rate": "0.92"})

    def show(self):
        self.book.add_row(SHOWS, {"name": self.name(), "starts_on": self.day(), "table_minor": 9000})

    def spend(self):
        self.book.add_row(SPENDING, {"on": self.day(), "kind": "feeding", "amount_minor": 1250})

    def one_price(self):
        self.book.add_observation(self.price(minor=self.draw.randrange(1, 9999)))

    def count_seen(self):
        traits = self.book.reader("clown", Sex.UNSEXED)
        count = SupplyCount(on=self.day(), what="clown", traits=traits, offered=self.draw.randrange(99))
        self.book.add_supply_count(count)

    def sire(self):
        pairing = self.some(self.book.pairings())
        males = [a.id for a in self.book.animals() if a.sex is Sex.MALE and a.id != pairing.sire_id]
        self.book.add_row(FURTHER_SIRES, {"pairing_id": pairing.id, "sire_id": self.some(males)})

    def file(self):
        rows = [self.price(minor=self.draw.randrange(1, 9999)) for _ in range(3)]
        self.book.add_observations(rows, "some.csv")

    def figure(self):
        self.book.set_assumption("sale.first_month", self.draw.randrange(2, 6))

    def back_to_default(self):
        self.book.set_assumption("sale.first_month", None)

    def pairing_figure(self):
        pairing = self.some(self.book.pairings())
        self.book.set_pairing_assumption(pairing.id, "sale.first_month", self.draw.randrange(2, 6))

    def gene(self):
        spelling = self.name().replace(" ", "").lower()
        definition = {"kind": "gene", "mode": "recessive", "spellings": [spelling]}
        self.book.set_own_gene(self.draw.choice(["pebble", "moss"]), definition)


def test_undo_of_a_thousand_mixed_edits_gives_every_earlier_state(quick_path, reader, price):
    draw = random.Random(11)
    with open_book(quick_path, reader=reader) as book:
        storm = Storm(book, price, draw)
        states = [content(book)]
        while len(states) <= EDITS:
            if storm.edit():
                states.append(content(book) if len(states) % 50 == 0 else None)
        met = {name for state in states if state is not None for name, rows in state.items() if rows}
        assert met == set(EDITABLE)
        for number in range(EDITS - 1, -1, -1):
            book.undo_last()
            if states[number] is not None:
                assert content(book) == states[number], f"after taking back edit {number + 1}"
        with pytest.raises(NotStored, match="nothing to undo"):
            book.undo_last()
        assert not any(content(book).values())
        assert len(book.changes(newest=5000)) >= EDITS
