"""Which tables hold the breeder's own figures, own genes, and the forecasts that were shown?"""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Date, Float, ForeignKey, String, Table, Text, UniqueConstraint

from .parts import import_id, metadata, row_id, version

assumptions = Table(
    "assumptions",
    metadata,
    row_id(),
    version(),
    Column("assumption", String(80), nullable=False),
    Column("value", Float),
    import_id(),
    UniqueConstraint("assumption"),
    sqlite_autoincrement=True,
)

pairing_assumptions = Table(
    "pairing_assumptions",
    metadata,
    row_id(),
    version(),
    Column("pairing_id", ForeignKey("pairings.id"), nullable=False),
    Column("assumption", String(80), nullable=False),
    Column("value", Float, nullable=False),
    import_id(),
    UniqueConstraint("pairing_id", "assumption"),
    sqlite_autoincrement=True,
)

own_genes = Table(
    "own_genes",
    metadata,
    row_id(),
    version(),
    Column("name", String(80), nullable=False),
    Column("definition", Text, nullable=False),
    import_id(),
    UniqueConstraint("name"),
    sqlite_autoincrement=True,
)

forecasts = Table(
    "forecasts",
    metadata,
    row_id(),
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
