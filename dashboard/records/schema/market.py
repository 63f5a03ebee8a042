"""Which tables hold the market: prices and counts seen, others' young, exchange rates, shows, spending?"""

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

from .herd import SEXES
from .parts import MONEY, import_id, metadata, one_of, row_id, version

STAGES = ("hatchling", "grown", "proven breeder")
KINDS = ("asked", "sold")
SPENDING = ("animal", "feeding", "housing", "incubation", "test", "veterinarian", "selling", "show", "other")

price_observations = Table(
    "price_observations",
    metadata,
    row_id(),
    version(),
    Column("on", Date, nullable=False),
    Column("what", String(1000), nullable=False),
    Column("traits", Text, nullable=False),
    Column("sex", String(8), nullable=False),
    Column("stage", String(16), nullable=False),
    Column("kind", String(8), nullable=False),
    Column("price_minor", MONEY, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("channel", String(200), nullable=False),
    Column("quantity", Integer, nullable=False),
    import_id(),
    one_of("sex", SEXES),
    one_of("stage", STAGES),
    one_of("kind", KINDS),
    CheckConstraint("price_minor > 0", name="price"),
    CheckConstraint("quantity >= 1", name="quantity"),
    Index(None, "import_id"),
    sqlite_autoincrement=True,
)

supply_counts = Table(
    "supply_counts",
    metadata,
    row_id(),
    version(),
    Column("on", Date, nullable=False),
    Column("what", String(1000), nullable=False),
    Column("traits", Text, nullable=False),
    Column("offered", Integer, nullable=False),
    import_id(),
    CheckConstraint("offered >= 0", name="offered"),
    Index(None, "import_id"),
    sqlite_autoincrement=True,
)

pipeline_notes = Table(
    "pipeline_notes",
    metadata,
    row_id(),
    version(),
    Column("on", Date, nullable=False),
    Column("what", String(1000), nullable=False),
    Column("season", Integer, nullable=False),
    Column("young", Integer, nullable=False),
    Column("within", Float),
    Column("note", Text, nullable=False),
    import_id(),
    UniqueConstraint("on", "what", "season"),
    CheckConstraint("young >= 0", name="young"),
    CheckConstraint("within >= 0 AND within <= 1", name="within"),
    sqlite_autoincrement=True,
)

exchange_rates = Table(
    "exchange_rates",
    metadata,
    row_id(),
    version(),
    Column("on", Date, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("rate", String(24), nullable=False),
    import_id(),
    UniqueConstraint("on", "currency"),
    sqlite_autoincrement=True,
)

shows = Table(
    "shows",
    metadata,
    row_id(),
    version(),
    Column("name", String(80), nullable=False),
    Column("name_key", String(160), nullable=False),
    Column("starts_on", Date, nullable=False),
    Column("days", Integer, nullable=False),
    Column("place", String(200), nullable=False),
    Column("table_minor", MONEY),
    Column("travel_minor", MONEY),
    Column("currency", String(3), nullable=False),
    Column("going", Integer, nullable=False),
    Column("note", Text, nullable=False),
    import_id(),
    UniqueConstraint("name_key", "starts_on"),
    CheckConstraint("days >= 1", name="days"),
    CheckConstraint("going IN (0, 1)", name="going"),
    CheckConstraint("table_minor >= 0 AND travel_minor >= 0", name="money"),
    sqlite_autoincrement=True,
)

spending = Table(
    "spending",
    metadata,
    row_id(),
    version(),
    Column("on", Date, nullable=False),
    Column("kind", String(16), nullable=False),
    Column("what", String(200), nullable=False),
    Column("amount_minor", MONEY, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("animal_id", ForeignKey("animals.id")),
    Column("note", Text, nullable=False),
    import_id(),
    one_of("kind", SPENDING),
    CheckConstraint("amount_minor >= 0", name="amount"),
    sqlite_autoincrement=True,
)
