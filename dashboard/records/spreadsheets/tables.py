"""Which tables can come in and go out as files, and what does each of their columns hold?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from dashboard.records import schema
from dashboard.records.fields import CURRENCY_WORDS, DAY_WORDS, Field, note_field, words
from dashboard.records.herd.animal_record import STATUSES
from dashboard.records.herd.pairings import FIRST_SEASON, LAST_SEASON
from dashboard.records.kinds import ROW_KINDS
from econ.prices.observations import LARGEST_COUNT

TableKind = str
"""Name of a table in files and links, such as "prices" or "gene tests"."""

_LOOK_WORDS = words(
    "what it is, gene, genes, trait, traits, morph, look, genetics, description, genetik, tier, was"
)
_SEX = Field("sex", "sex", "sex", "male, female or unsexed.", empty="unsexed",
             words=words("gender, geschlecht, sexe, sexo"))  # fmt: skip

PRICES = (
    Field("on", "date", "day", "Day it was seen.", needed=True, words=DAY_WORDS),
    Field("what", "what", "look", "What the animal shows and carries.", needed=True,
          words=("animal", *_LOOK_WORDS)),
    _SEX,
    Field("stage", "stage", "choice", "How old it is.", choices=schema.STAGES,
          words=words("age, life stage, alter")),
    Field("kind", "asked or sold", "choice", "Whether the price was asked or paid.", choices=schema.KINDS,
          words=words("kind, price kind, kind of price, sold or asked, art")),
    Field("price_minor", "price", "money", "Price of one animal.", needed=True, currency="currency",
          words=words("amount, price each, preis, prix, precio, betrag")),
    Field("currency", "currency", "currency", "Money of the price.", words=CURRENCY_WORDS),
    Field("channel", "channel", "text", "Where it was seen.", empty="",
          words=words("where, place, seen at, ort, kanal")),
    Field("quantity", "how many", "whole", "How many animals were priced so.", empty=1, least=1,
          most=LARGEST_COUNT, unit="animals",
          words=words("quantity, qty, number, count, pieces, anzahl, menge")),
)  # fmt: skip

SUPPLY = (
    Field("on", "date", "day", "Day they were counted.", needed=True, words=DAY_WORDS),
    Field("what", "what", "look", "What the animals show and carry.", needed=True,
          words=("animal", *_LOOK_WORDS)),
    Field("offered", "offered", "whole", "How many were on offer.", needed=True, least=0, most=LARGEST_COUNT,
          unit="animals", words=words("how many, count, number, listed, listings, available, on offer, "
                                      "supply, quantity, anzahl")),
)  # fmt: skip

ANIMALS = (
    Field("name", "name", "text", "What it is called.", needed=True, words=words("animal, id, tag, called")),
    _SEX,
    Field("text", "what", "look", "What it shows and carries.", needed=True, words=_LOOK_WORDS),
    Field("hatched", "hatched", "day", "Day of hatching.",
          words=words("hatch date, born, birthday, date of hatching, geschluepft")),
    Field("origin", "origin", "text", "Where it comes from.", empty="",
          words=words("breeder, from, bought from, herkunft")),
    Field("bought_minor", "paid", "money", "Price paid for it.", currency="bought_currency", least=0,
          words=words("price paid, bought for, cost, purchase price, bezahlt")),
    Field("bought_currency", "paid currency", "currency", "Money of the price paid.",
          words=("currency", *CURRENCY_WORDS)),
    Field("status", "status", "choice", "What becomes of it now.", choices=STATUSES, empty="growing",
          words=words("state, stand")),
    Field("sire", "sire", "animal", "Name of its father.", empty="", words=words("father, vater")),
    Field("dam", "dam", "animal", "Name of its mother.", empty="", words=words("mother, mutter")),
    Field("clutch", "clutch", "clutch", "Clutch it hatched from: 2027 Basalt × Tansy.", empty="",
          words=words("hatched from, gelege")),
    Field("fed_since", "fed since", "day", "Day from which it feeds by itself.",
          words=words("feeding since, feeds since, first meal")),
    Field("asked_minor", "asked", "money", "Price asked for it.", currency="asked_currency", least=0,
          words=words("asking price, price asked")),
    Field("asked_currency", "asked currency", "currency", "Money of the price asked."),
    Field("sold_minor", "sold for", "money", "Price it was sold for.", currency="sold_currency", least=0,
          words=words("price sold, sale price, verkauft fuer")),
    Field("sold_currency", "sold currency", "currency", "Money of the sale."),
    Field("sold_on", "sold on", "day", "Day it was sold.", words=words("date sold, sale date")),
    Field("sold_where", "sold where", "text", "Where it was sold.", empty="",
          words=words("sold at, sold through, place of sale")),
    note_field(),
)  # fmt: skip

PAIRINGS = (
    Field("season", "season", "whole", "Year of the eggs.", needed=True, least=FIRST_SEASON, most=LAST_SEASON,
          words=words("year, saison, jahr")),
    Field("sire", "sire", "animal", "Name of the male.", needed=True, words=words("male, father, vater")),
    Field("dam", "dam", "animal", "Name of the female.", needed=True,
          words=words("female, mother, mutter")),
    Field("planned", "planned", "answer", "Whether it stands in the plan.", empty=True,
          words=words("in the plan, plan, geplant")),
    Field("introduced_on", "introduced", "day", "Day they were put together.",
          words=words("introduced on, put together, zusammengesetzt")),
    Field("locked_on", "locked", "day", "Day they were first seen locked.",
          words=words("locked on, lock, lock seen")),
    note_field(),
)  # fmt: skip

_FIGURE = Field("assumption", "figure", "figure", "Figure of the Costs page: its name there, or its id.",
                needed=True, words=words("assumption, name of the figure, wert"))  # fmt: skip
_PAIRING = Field("pairing_id", "pairing", "pairing", "Season, sire and dam: 2027 Basalt × Tansy.",
                 needed=True, words=words("couple, paarung"))  # fmt: skip

FIGURES = (
    _FIGURE,
    Field("value", "value", "number", "Your own value; empty: not known.", words=words("own value, number")),
)
PAIRING_FIGURES = (
    _PAIRING,
    _FIGURE,
    Field("value", "value", "number", "Value for this pairing only.", needed=True,
          words=words("own value, number")),
)  # fmt: skip
OWN_GENES = (
    Field("name", "gene", "text", "What the gene is called.", needed=True, words=words("name, gen")),
    Field("definition", "definition", "data", "What is known of it, as JSON.", needed=True,
          words=words("data, json")),
)  # fmt: skip

FIELDS: Mapping[TableKind, tuple[Field, ...]] = MappingProxyType(
    {
        "prices": PRICES,
        "supply": SUPPLY,
        "animals": ANIMALS,
        "pairings": PAIRINGS,
        **{name: kind.fields for name, kind in ROW_KINDS.items()},
        "figures": FIGURES,
        "figures of pairings": PAIRING_FIGURES,
        "own genes": OWN_GENES,
    }
)
"""Columns of every table of the breeder's; the file, the form and the export follow from them."""

TABLE_KINDS: tuple[TableKind, ...] = tuple(FIELDS)

TITLES: Mapping[str, str] = MappingProxyType(
    {
        "prices": "prices seen",
        "supply": "counts of animals on offer",
        "animals": "animals",
        "pairings": "pairings",
        **{name: kind.many for name, kind in ROW_KINDS.items()},
        "figures": "own cost figures",
        "figures of pairings": "own figures of single pairings",
        "own genes": "own genes",
        "forecasts": "forecasts that were shown",
        "info": "what the book says of itself",
        "imports": "files brought in",
        "changes": "everything that was changed",
    }
)
"""What each table is called on screen; the last four can be taken out only."""

BY_MONTH: Mapping[TableKind, str] = MappingProxyType(
    {"prices": "price_minor", "supply": "offered", "weights": "grams"}
)
"""Tables that may come with one column per month, and the field such a column holds."""
