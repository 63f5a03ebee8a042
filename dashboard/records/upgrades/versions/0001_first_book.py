"""The first book: every table as it was when the first book was written."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

MONEY = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _assumptions() -> None:
    op.create_table(
        "assumptions",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("assumption", sa.String(length=80), nullable=False),
        sa.Column("value", sa.Float(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_assumptions")),
        sa.UniqueConstraint("assumption", name=op.f("uq_assumptions_assumption")),
        sqlite_autoincrement=True,
    )


def _forecasts() -> None:
    op.create_table(
        "forecasts",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("trait", sa.String(length=200), nullable=False),
        sa.Column("horizon", sa.Date(), nullable=False),
        sa.Column("log_mean", sa.Float(), nullable=False),
        sa.Column("level_sd", sa.Float(), nullable=False),
        sa.Column("sale_sd", sa.Float(), nullable=False),
        sa.CheckConstraint("level_sd >= 0 AND sale_sd >= 0", name=op.f("ck_forecasts_sd")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_forecasts")),
        sa.UniqueConstraint("made_on", "trait", "horizon", name=op.f("uq_forecasts_made_on")),
        sqlite_autoincrement=True,
    )


def _imports() -> None:
    op.create_table(
        "imports",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("added", sa.Integer(), nullable=False),
        sa.Column("duplicates", sa.Integer(), nullable=False),
        sa.Column("undone_at", sa.String(length=32), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_imports")),
        sqlite_autoincrement=True,
    )


def _info() -> None:
    op.create_table(
        "info",
        sa.Column("key", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_info")),
    )


def _own_genes() -> None:
    op.create_table(
        "own_genes",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("definition", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_genes")),
        sa.UniqueConstraint("name", name=op.f("uq_own_genes_name")),
        sqlite_autoincrement=True,
    )


def _animals() -> None:
    op.create_table(
        "animals",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("name_key", sa.String(length=160), nullable=False),
        sa.Column("sex", sa.String(length=8), nullable=False),
        sa.Column("text", sa.String(length=1000), nullable=False),
        sa.Column("hatched", sa.Date(), nullable=True),
        sa.Column("bought_minor", MONEY, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("status", sa.String(length=12), nullable=False),
        sa.Column("sire_id", sa.Integer(), nullable=True),
        sa.Column("dam_id", sa.Integer(), nullable=True),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("sex IN ('male', 'female', 'unsexed')", name=op.f("ck_animals_sex")),
        sa.CheckConstraint(
            "status IN ('kept', 'held back', 'for sale', 'sold', 'died')", name=op.f("ck_animals_status")
        ),
        sa.CheckConstraint("bought_minor >= 0", name=op.f("ck_animals_bought")),
        sa.ForeignKeyConstraint(["dam_id"], ["animals.id"], name=op.f("fk_animals_dam_id")),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f("fk_animals_import_id")),
        sa.ForeignKeyConstraint(["sire_id"], ["animals.id"], name=op.f("fk_animals_sire_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_animals")),
        sa.UniqueConstraint("name_key", name=op.f("uq_animals_name_key")),
        sqlite_autoincrement=True,
    )


def _changes() -> None:
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("edit", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("sentence", sa.Text(), nullable=False),
        sa.Column("table_name", sa.String(length=40), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.Column("undone_at", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f("fk_changes_import_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_changes_edit"), "changes", ["edit"], unique=False)


def _price_observations() -> None:
    op.create_table(
        "price_observations",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("what", sa.String(length=1000), nullable=False),
        sa.Column("traits", sa.Text(), nullable=False),
        sa.Column("sex", sa.String(length=8), nullable=False),
        sa.Column("stage", sa.String(length=16), nullable=False),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("price_minor", MONEY, nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("channel", sa.String(length=200), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("kind IN ('asked', 'sold')", name=op.f("ck_price_observations_kind")),
        sa.CheckConstraint("sex IN ('male', 'female', 'unsexed')", name=op.f("ck_price_observations_sex")),
        sa.CheckConstraint(
            "stage IN ('hatchling', 'grown', 'proven breeder')", name=op.f("ck_price_observations_stage")
        ),
        sa.CheckConstraint("price_minor > 0", name=op.f("ck_price_observations_price")),
        sa.CheckConstraint("quantity >= 1", name=op.f("ck_price_observations_quantity")),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f("fk_price_observations_import_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_price_observations")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_price_observations_import_id"), "price_observations", ["import_id"], unique=False
    )


def _supply_counts() -> None:
    op.create_table(
        "supply_counts",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("what", sa.String(length=1000), nullable=False),
        sa.Column("traits", sa.Text(), nullable=False),
        sa.Column("offered", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("offered >= 0", name=op.f("ck_supply_counts_offered")),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f("fk_supply_counts_import_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supply_counts")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_supply_counts_import_id"), "supply_counts", ["import_id"], unique=False)


def _pairings() -> None:
    op.create_table(
        "pairings",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("season", sa.Integer(), nullable=False),
        sa.Column("sire_id", sa.Integer(), nullable=False),
        sa.Column("dam_id", sa.Integer(), nullable=False),
        sa.Column("planned", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("planned IN (0, 1)", name=op.f("ck_pairings_planned")),
        sa.CheckConstraint("sire_id <> dam_id", name=op.f("ck_pairings_two")),
        sa.ForeignKeyConstraint(["dam_id"], ["animals.id"], name=op.f("fk_pairings_dam_id")),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f("fk_pairings_import_id")),
        sa.ForeignKeyConstraint(["sire_id"], ["animals.id"], name=op.f("fk_pairings_sire_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairings")),
        sa.UniqueConstraint("season", "sire_id", "dam_id", name=op.f("uq_pairings_season")),
        sqlite_autoincrement=True,
    )


def _pairing_assumptions() -> None:
    op.create_table(
        "pairing_assumptions",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("pairing_id", sa.Integer(), nullable=False),
        sa.Column("assumption", sa.String(length=80), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(
            ["pairing_id"], ["pairings.id"], name=op.f("fk_pairing_assumptions_pairing_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairing_assumptions")),
        sa.UniqueConstraint("pairing_id", "assumption", name=op.f("uq_pairing_assumptions_pairing_id")),
        sqlite_autoincrement=True,
    )


def upgrade() -> None:
    _assumptions()
    _forecasts()
    _imports()
    _info()
    _own_genes()
    _animals()
    _changes()
    _price_observations()
    _supply_counts()
    _pairings()
    _pairing_assumptions()
