"""Which tables hold what the book says of itself: its name and money, files brought in, every change?"""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, String, Table, Text

from .parts import metadata, row_id

info = Table(
    "info",
    metadata,
    Column("key", String(40), primary_key=True),
    Column("value", Text, nullable=False),
)

imports = Table(
    "imports",
    metadata,
    row_id(),
    Column("at", String(32), nullable=False),
    Column("name", String(200), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("added", Integer, nullable=False),
    Column("duplicates", Integer, nullable=False),
    Column("undone_at", String(32)),
    sqlite_autoincrement=True,
)

changes = Table(
    "changes",
    metadata,
    row_id(),
    Column("edit", Integer, nullable=False),
    Column("at", String(32), nullable=False),
    Column("sentence", Text, nullable=False),
    Column("table_name", String(40), nullable=False),
    Column("row_id", Integer, nullable=False),
    Column("before", Text),
    Column("after", Text),
    Column("import_id", ForeignKey("imports.id")),
    Column("undone_at", String(32)),
    Column("undoes", Integer),
    Index(None, "edit"),
    sqlite_autoincrement=True,
)
