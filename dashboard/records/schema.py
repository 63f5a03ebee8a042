"""Which tables does a book have? Money is whole minor units, times are ISO 8601 text in UTC."""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

SCHEMA_VERSION = 1
APPLICATION_ID = 0x48_4D_42_4B  # "HMBK" in the file's header marks it as a book

SEXES = ("male", "female", "unsexed")
STAGES = ("hatchling", "grown", "proven breeder")
KINDS = ("asked", "sold")
STATUSES = ("kept", "held back", "for sale", "sold", "died")

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
    }
)


def _one_of(column: str, allowed: tuple[str, ...]) -> CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in allowed)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def _row_id() -> Column[int]:
    return Column("id", Integer, primary_key=True, autoincrement=True)


def _version() -> Column[int]:
    return Column("version", Integer, nullable=False)


info = Table(
    "info",
    metadata,
    Column("key", String(40), primary_key=True),
    Column("value", Text, nullable=False),
)

imports = Table(
    "imports",
    metadata,
    _row_id(),
    Column("at", String(32), nullable=False),
    Column("name", String(200), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("added", Integer, nullable=False),
    Column("duplicates", Integer, nullable=False),
    Column("undone_at", String(32)),
    sqlite_autoincrement=True,
)

animals = Table(
    "animals",
    metadata,
    _row_id(),
    _version(),
    Column("name", String(80), nullable=False),
    Column("name_key", String(160), nullable=False),
    Column("sex", String(8), nullable=False),
    Column("text", String(1000), nullable=False),
    Column("hatched", Date),
    Column("bought_minor", Integer),
    Column("note", Text, nullable=False),
    Column("status", String(12), nullable=False),
    Column("sire_id", ForeignKey("animals.id")),
    Column("dam_id", ForeignKey("animals.id")),
    Column("import_id", ForeignKey("imports.id")),
    UniqueConstraint("name_key"),
    _one_of("sex", SEXES),
    _one_of("status", STATUSES),
    CheckConstraint("bought_minor >= 0", name="bought"),
    sqlite_autoincrement=True,
)

pairings = Table(
    "pairings",
    metadata,
    _row_id(),
    _version(),
    Column("season", Integer, nullable=False),
    Column("sire_id", ForeignKey("animals.id"), nullable=False),
    Column("dam_id", ForeignKey("animals.id"), nullable=False),
    Column("planned", Integer, nullable=False),
    Column("note", Text, nullable=False),
    Column("import_id", ForeignKey("imports.id")),
    UniqueConstraint("season", "sire_id", "dam_id"),
    CheckConstraint("sire_id <> dam_id", name="two"),
    CheckConstraint("planned IN (0, 1)", name="planned"),
    sqlite_autoincrement=True,
)

price_observations = Table(
    "price_observations",
    metadata,
    _row_id(),
    _version(),
    Column("on", Date, nullable=False),
    Column("what", String(1000), nullable=False),
    Column("traits", Text, nullable=False),
    Column("sex", String(8), nullable=False),
    Column("stage", String(16), nullable=False),
    Column("kind", String(8), nullable=False),
    Column("price_minor", Integer, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("channel", String(200), nullable=False),
    Column("quantity", Integer, nullable=False),
    Column("import_id", ForeignKey("imports.id")),
    _one_of("sex", SEXES),
    _one_of("stage", STAGES),
    _one_of("kind", KINDS),
    CheckConstraint("price_minor > 0", name="price"),
    CheckConstraint("quantity >= 1", name="quantity"),
    Index(None, "import_id"),
    sqlite_autoincrement=True,
)

supply_counts = Table(
    "supply_counts",
    metadata,
    _row_id(),
    _version(),
    Column("on", Date, nullable=False),
    Column("what", String(1000), nullable=False),
    Column("traits", Text, nullable=False),
    Column("offered", Integer, nullable=False),
    Column("import_id", ForeignKey("imports.id")),
    CheckConstraint("offered >= 0", name="offered"),
    Index(None, "import_id"),
    sqlite_autoincrement=True,
)

assumptions = Table(
    "assumptions",
    metadata,
    _row_id(),
    _version(),
    Column("assumption", String(80), nullable=False),
    Column("value", Float),
    UniqueConstraint("assumption"),
    sqlite_autoincrement=True,
)

pairing_assumptions = Table(
    "pairing_assumptions",
    metadata,
    _row_id(),
    _version(),
    Column("pairing_id", ForeignKey("pairings.id"), nullable=False),
    Column("assumption", String(80), nullable=False),
    Column("value", Float, nullable=False),
    UniqueConstraint("pairing_id", "assumption"),
    sqlite_autoincrement=True,
)

own_genes = Table(
    "own_genes",
    metadata,
    _row_id(),
    _version(),
    Column("name", String(80), nullable=False),
    Column("definition", Text, nullable=False),
    UniqueConstraint("name"),
    sqlite_autoincrement=True,
)

forecasts = Table(
    "forecasts",
    metadata,
    _row_id(),
    Column("made_on", Date, nullable=False),
    Column("trait", String(200), nullable=False),
    Column("horizon", Date, nullable=False),
    Column("log_mean", Float, nullable=False),
    Column("level_sd", Float, nullable=False),
    Column("sale_sd", Float, nullable=False),
    UniqueConstraint("made_on", "trait", "horizon"),
    CheckConstraint("level_sd >= 0 AND sale_sd >= 0", name="sd"),
    sqlite_autoincrement=True,
)

changes = Table(
    "changes",
    metadata,
    _row_id(),
    Column("edit", Integer, nullable=False),
    Column("at", String(32), nullable=False),
    Column("sentence", Text, nullable=False),
    Column("table_name", String(40), nullable=False),
    Column("row_id", Integer, nullable=False),
    Column("before", Text),
    Column("after", Text),
    Column("import_id", ForeignKey("imports.id")),
    Column("undone_at", String(32)),
    Index(None, "edit"),
    sqlite_autoincrement=True,
)

EDITABLE: dict[str, Table] = {
    table.name: table
    for table in (
        animals,
        pairings,
        price_observations,
        supply_counts,
        assumptions,
        pairing_assumptions,
        own_genes,
    )
}
