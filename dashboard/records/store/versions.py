"""How do the numbered upgrades run on one connection, and how is a table's number kept?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, MetaData, text

from dashboard.records import schema

if TYPE_CHECKING:
    from alembic.config import Config

UPGRADES = Path(__file__).parents[1] / "upgrades"
_NUMBER_TABLE = (
    "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
    "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
)


def revision_name(version: int) -> str:
    """Name of an upgrade: 1 -> "0001"."""
    return f"{version:04d}"


def make_tables(connection: Connection) -> None:
    """Make all tables of this program in an empty database, and note their number.

    From a copy of their description: making them on one kind of database marks it, and another kind
    would then lack the rules that point from one table to another in a circle.
    """
    fresh = MetaData(naming_convention=schema.metadata.naming_convention)
    for table in schema.metadata.tables.values():
        table.to_metadata(fresh)
    fresh.create_all(connection)
    connection.exec_driver_sql(_NUMBER_TABLE)
    connection.execute(
        text("INSERT INTO alembic_version VALUES (:name)"), {"name": revision_name(schema.SCHEMA_VERSION)}
    )


def run_upgrades(connection: Connection, *, to: int, upgrades: Path = UPGRADES) -> None:
    """Run the numbered upgrades that are missing up to one number, inside the open transaction."""
    from alembic import command

    command.upgrade(_config(connection, upgrades), revision_name(to))


def build_by_upgrades(connection: Connection, *, upgrades: Path = UPGRADES) -> None:
    """Make all tables of an empty database by running every upgrade from the first on."""
    from alembic import command

    command.upgrade(_config(connection, upgrades), "head")


def _config(connection: Connection, upgrades: Path) -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(upgrades).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    config.attributes["connection"] = connection
    return config
