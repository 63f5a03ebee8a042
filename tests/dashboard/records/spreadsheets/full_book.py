"""A book with rows in every table, three generations, texts that a spreadsheet would run, two currencies."""

from __future__ import annotations

from datetime import date

from dashboard.records import Book, ShownForecast
from dashboard.records.herd.hatchlings import HatchlingDraft
from dashboard.records.kinds import ROW_KINDS
from econ.prices.observations import PriceObservation, SupplyCount
from genetics import Sex

OWN_GENE = {"kind": "gene", "mode": "recessive"}


def fill(book: Book) -> None:
    """Put rows into every table of an empty book."""
    basalt = book.add_animal(
        "Basalt", "pastel clown", sex=Sex.MALE, hatched=date(2021, 7, 19), origin="-own", bought_minor=54000
    )
    flint = book.add_animal("Flint", "normal", sex=Sex.MALE, bought_minor=100, bought_currency="USD")
    tansy = book.add_animal(
        "=Tansy", "enchi het clown", sex=Sex.FEMALE, hatched=date(2020, 8, 14), note='+1\nsecond, "line"; x'
    )
    first = book.add_pairing(2024, basalt.id, tansy.id, planned=True, note="@first")
    book.change_pairing(first.id, first.version, introduced_on=date(2023, 11, 1), locked_on=date(2023, 12, 3))
    _row(book, "further sires", pairing_id=first.id, sire_id=flint.id)
    laid = {"laid_on": date(2024, 5, 2), "fertile": 6, "infertile": 1, "hatched": 5}
    clutch = _row(
        book, "clutches", pairing_id=first.id, number=1, hatched_on=date(2024, 7, 1), note="=1+1", **laid
    )
    _row(book, "clutches", pairing_id=first.id, number=2)
    drafts = [HatchlingDraft("clown", Sex.FEMALE, "Clover"), HatchlingDraft("normal", Sex.MALE)]
    clover, son = book.add_hatchlings(clutch.id, drafts)
    book.change_animal(
        son.id, son.version, status="sold", sold_minor=12345, sold_currency="GBP", sold_on=date(2025, 1, 2),
        sold_where="@show", sire_id=basalt.id,
    )  # fmt: skip
    second = book.add_pairing(2026, basalt.id, clover.id, planned=False)
    young = _row(
        book, "clutches", pairing_id=second.id, laid_on=date(2026, 5, 1), hatched_on=date(2026, 7, 3)
    )
    book.add_hatchlings(young.id, [HatchlingDraft("clown"), HatchlingDraft("66% het clown", note="small")])
    for animal in book.animals()[-1:]:
        book.change_animal(
            animal.id, animal.version, fed_since=date(2026, 7, 20), asked_minor=9900, status="for sale"
        )
    book.set_own_gene("marbled", OWN_GENE)
    book.set_assumptions({"clutch.laying_chance": 0.875, "clutch.eggs_mean": 6.25})
    book.set_pairing_assumption(second.id, "clutch.eggs_mean", 7.5)
    _facts(book, clover.id)
    _market(book)


def _row(book: Book, table: str, /, **values):
    return book.add_row(ROW_KINDS[table], values)


def _facts(book: Book, animal_id: int) -> None:
    _row(book, "weights", animal_id=animal_id, on=date(2024, 8, 1), grams=61.5)
    _row(book, "weights", animal_id=animal_id, on=date(2024, 9, 1), grams=88.0)
    _row(
        book, "gene tests", animal_id=animal_id, on=date(2025, 2, 1), gene="clown", result="two copies",
        right_if_carried=0.99, fee_minor=4500, currency="EUR", note="-lab",
    )  # fmt: skip
    _row(book, "gene tests", animal_id=animal_id, on=date(2025, 3, 1), gene="pied", result="unclear")
    _row(book, "spending", on=date(2025, 4, 1), kind="veterinarian", what="=check", amount_minor=8000,
         animal_id=animal_id)  # fmt: skip
    for _ in range(2):  # the same sum twice on one day is two sums
        _row(book, "spending", on=date(2025, 5, 1), kind="feeding", what="rats", amount_minor=2550)


def _market(book: Book) -> None:
    def price(what, minor, **more):
        sex = more.get("sex", Sex.UNSEXED)
        return PriceObservation(
            on=more.pop("on", date(2026, 3, 1)), what=what, traits=book.reader(what, sex), price_minor=minor,
            **{"currency": "EUR", **more},
        )  # fmt: skip

    book.add_observations([price("clown", 45000, channel="@fair; a, b") for _ in range(2)], "seen")
    book.add_observation(price("66% het clown", 12345, kind="sold", stage="grown", quantity=3, sex=Sex.MALE))
    book.add_observation(price("pastel", 5000, currency="JPY"))
    book.add_supply_count(SupplyCount(on=date(2026, 1, 1), what="clown", traits=(), offered=12))
    _row(book, "pipeline", on=date(2026, 2, 1), what="clown", season=2027, young=40, within=0.25)
    _row(book, "exchange rates", on=date(2026, 1, 1), currency="USD", rate="0.9187")
    _row(book, "shows", name="Autumn hall", starts_on=date(2027, 9, 4), days=2, place="@here",
         table_minor=9000, travel_minor=4000, going=True)  # fmt: skip
    book.remember_forecasts([ShownForecast(date(2026, 1, 1), "clown", date(2027, 1, 1), 5.9, 0.3, 0.25)])
