"""What do all tables share: names of rules, numbered rows, versions, lists of allowed words?"""

from __future__ import annotations

from sqlalchemy import BigInteger, CheckConstraint, Column, ForeignKey, Integer, MetaData

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
    }
)

MONEY = BigInteger().with_variant(Integer(), "sqlite")
"""Whole smallest units of a currency; up to fifteen figures."""


def one_of(column: str, allowed: tuple[str, ...]) -> CheckConstraint:
    """Rule that a column holds one of some words."""
    listed = ", ".join(f"'{word}'" for word in allowed)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def row_id() -> Column[int]:
    """Number of a row, never used again after the row was removed."""
    return Column("id", Integer, primary_key=True, autoincrement=True)


def version() -> Column[int]:
    """Number of the edit that wrote the row."""
    return Column("version", Integer, nullable=False)


def import_id() -> Column[int]:
    """Number of the file a row came with, if it came with one."""
    return Column("import_id", ForeignKey("imports.id"))
