"""Which tables hold the animals: who they are, how they grow, what tests said, whom they are paired with?"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from .parts import MONEY, import_id, metadata, one_of, row_id, version

SEXES = ("male", "female", "unsexed")
STATUSES = ("growing", "breeding", "resting", "held back", "for sale", "sold", "died")
TEST_RESULTS = ("no copy", "one copy", "two copies", "at least one copy", "unclear")

animals = Table(
    "animals",
    metadata,
    row_id(),
    version(),
    Column("name", String(80), nullable=False),
    Column("name_key", String(160), nullable=False),
    Column("sex", String(8), nullable=False),
    Column("text", String(1000), nullable=False),
    Column("hatched", Date),
    Column("origin", String(200), nullable=False, server_default=""),
    Column("bought_minor", MONEY),
    Column("bought_currency", String(3)),
    Column("note", Text, nullable=False),
    Column("status", String(12), nullable=False),
    Column("sire_id", ForeignKey("animals.id")),
    Column("dam_id", ForeignKey("animals.id")),
    Column("clutch_id", ForeignKey("clutches.id", use_alter=True)),
    Column("fed_since", Date),
    Column("asked_minor", MONEY),
    Column("asked_currency", String(3)),
    Column("sold_minor", MONEY),
    Column("sold_currency", String(3)),
    Column("sold_on", Date),
    Column("sold_where", String(200), nullable=False, server_default=""),
    import_id(),
    UniqueConstraint("name_key"),
    one_of("sex", SEXES),
    one_of("status", STATUSES),
    CheckConstraint("bought_minor >= 0", name="bought"),
    CheckConstraint("asked_minor >= 0", name="asked"),
    CheckConstraint("sold_minor >= 0", name="sold"),
    Index(None, "clutch_id"),
    sqlite_autoincrement=True,
)

pairings = Table(
    "pairings",
    metadata,
    row_id(),
    version(),
    Column("season", Integer, nullable=False),
    Column("sire_id", ForeignKey("animals.id"), nullable=False),
    Column("dam_id", ForeignKey("animals.id"), nullable=False),
    Column("planned", Integer, nullable=False),
    Column("introduced_on", Date),
    Column("locked_on", Date),
    Column("note", Text, nullable=False),
    import_id(),
    UniqueConstraint("season", "sire_id", "dam_id"),
    CheckConstraint("sire_id <> dam_id", name="two"),
    CheckConstraint("planned IN (0, 1)", name="planned"),
    sqlite_autoincrement=True,
)

further_sires = Table(
    "further_sires",
    metadata,
    row_id(),
    version(),
    Column("pairing_id", ForeignKey("pairings.id"), nullable=False),
    Column("sire_id", ForeignKey("animals.id"), nullable=False),
    import_id(),
    UniqueConstraint("pairing_id", "sire_id"),
    sqlite_autoincrement=True,
)

clutches = Table(
    "clutches",
    metadata,
    row_id(),
    version(),
    Column("pairing_id", ForeignKey("pairings.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("laid_on", Date),
    Column("fertile", Integer),
    Column("infertile", Integer),
    Column("hatched_on", Date),
    Column("hatched", Integer),
    Column("note", Text, nullable=False),
    import_id(),
    UniqueConstraint("pairing_id", "number"),
    CheckConstraint("number >= 1", name="number"),
    CheckConstraint("fertile >= 0 AND infertile >= 0", name="eggs"),
    CheckConstraint("hatched >= 0 AND hatched <= fertile", name="hatched"),
    sqlite_autoincrement=True,
)

weights = Table(
    "weights",
    metadata,
    row_id(),
    version(),
    Column("animal_id", ForeignKey("animals.id"), nullable=False),
    Column("on", Date, nullable=False),
    Column("grams", Float, nullable=False),
    import_id(),
    UniqueConstraint("animal_id", "on"),
    CheckConstraint("grams > 0", name="grams"),
    sqlite_autoincrement=True,
)

gene_tests = Table(
    "gene_tests",
    metadata,
    row_id(),
    version(),
    Column("animal_id", ForeignKey("animals.id"), nullable=False),
    Column("on", Date, nullable=False),
    Column("gene", String(80), nullable=False),
    Column("result", String(20), nullable=False),
    Column("right_if_carried", Float),
    Column("right_if_not", Float),
    Column("fee_minor", MONEY),
    Column("currency", String(3)),
    Column("note", Text, nullable=False),
    import_id(),
    UniqueConstraint("animal_id", "on", "gene"),
    one_of("result", TEST_RESULTS),
    CheckConstraint("right_if_carried > 0 AND right_if_carried <= 1", name="right_if_carried"),
    CheckConstraint("right_if_not > 0 AND right_if_not <= 1", name="right_if_not"),
    CheckConstraint("fee_minor >= 0", name="fee"),
    sqlite_autoincrement=True,
)
