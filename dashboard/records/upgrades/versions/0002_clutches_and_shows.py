"""Clutches, hatchlings, weights, tests, others' young, exchange rates, shows and spending join the book."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

MONEY = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_OLD_STATUSES = "'kept', 'held back', 'for sale', 'sold', 'died'"
_STATUSES = "'growing', 'breeding', 'resting', 'held back', 'for sale', 'sold', 'died'"
_NEW_OF_ANIMAL: dict[str, Any] = {
    "origin": "",
    "bought_currency": None,
    "clutch_id": None,
    "fed_since": None,
    "asked_minor": None,
    "asked_currency": None,
    "sold_minor": None,
    "sold_currency": None,
    "sold_on": None,
    "sold_where": "",
}
_NEW_OF: dict[str, dict[str, Any]] = {
    "pairings": {"introduced_on": None, "locked_on": None},
    "assumptions": {"import_id": None},
    "pairing_assumptions": {"import_id": None},
    "own_genes": {"import_id": None},
}


def upgrade() -> None:
    _further_sires()
    _clutches()
    _weights()
    _gene_tests()
    _pipeline_notes()
    _exchange_rates()
    _shows()
    _spending()
    for table in ("assumptions", "pairing_assumptions", "own_genes"):
        _rows_may_come_with_a_file(table)
    op.add_column("changes", sa.Column("undoes", sa.Integer()))
    op.add_column("pairings", sa.Column("introduced_on", sa.Date()))
    op.add_column("pairings", sa.Column("locked_on", sa.Date()))
    next_id = _next_animal_id()
    _widen_animals()
    statuses = _rename_statuses()
    _hold_animals_to_the_new_rules()
    _keep_numbers_unused(next_id)
    _rewrite_the_list_of_changes(statuses)


def _id_and_version() -> list[sa.Column[Any]]:
    return [
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
    ]


def _table(name: str, *parts: Any) -> None:
    """Make a table whose rows may come with a file."""
    op.create_table(
        name,
        *_id_and_version(),
        *parts,
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name=op.f(f"fk_{name}_import_id")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}")),
        sqlite_autoincrement=True,
    )


def _points_to(name: str, column: str, target: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{target}.id"], name=op.f(f"fk_{name}_{column}"))


def _further_sires() -> None:
    _table(
        "further_sires",
        sa.Column("pairing_id", sa.Integer(), nullable=False),
        sa.Column("sire_id", sa.Integer(), nullable=False),
        _points_to("further_sires", "pairing_id", "pairings"),
        _points_to("further_sires", "sire_id", "animals"),
        sa.UniqueConstraint("pairing_id", "sire_id", name=op.f("uq_further_sires_pairing_id")),
    )


def _clutches() -> None:
    _table(
        "clutches",
        sa.Column("pairing_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("laid_on", sa.Date(), nullable=True),
        sa.Column("fertile", sa.Integer(), nullable=True),
        sa.Column("infertile", sa.Integer(), nullable=True),
        sa.Column("hatched_on", sa.Date(), nullable=True),
        sa.Column("hatched", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        _points_to("clutches", "pairing_id", "pairings"),
        sa.UniqueConstraint("pairing_id", "number", name=op.f("uq_clutches_pairing_id")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_clutches_number")),
        sa.CheckConstraint("fertile >= 0 AND infertile >= 0", name=op.f("ck_clutches_eggs")),
        sa.CheckConstraint("hatched >= 0 AND hatched <= fertile", name=op.f("ck_clutches_hatched")),
    )


def _weights() -> None:
    _table(
        "weights",
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("grams", sa.Float(), nullable=False),
        _points_to("weights", "animal_id", "animals"),
        sa.UniqueConstraint("animal_id", "on", name=op.f("uq_weights_animal_id")),
        sa.CheckConstraint("grams > 0", name=op.f("ck_weights_grams")),
    )


def _gene_tests() -> None:
    right = "{0} > 0 AND {0} <= 1".format
    _table(
        "gene_tests",
        sa.Column("animal_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("gene", sa.String(80), nullable=False),
        sa.Column("result", sa.String(20), nullable=False),
        sa.Column("right_if_carried", sa.Float(), nullable=True),
        sa.Column("right_if_not", sa.Float(), nullable=True),
        sa.Column("fee_minor", MONEY, nullable=True),
        sa.Column("currency", sa.String(3), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        _points_to("gene_tests", "animal_id", "animals"),
        sa.UniqueConstraint("animal_id", "on", "gene", name=op.f("uq_gene_tests_animal_id")),
        sa.CheckConstraint(
            "result IN ('no copy', 'one copy', 'two copies', 'at least one copy', 'unclear')",
            name=op.f("ck_gene_tests_result"),
        ),
        sa.CheckConstraint(right("right_if_carried"), name=op.f("ck_gene_tests_right_if_carried")),
        sa.CheckConstraint(right("right_if_not"), name=op.f("ck_gene_tests_right_if_not")),
        sa.CheckConstraint("fee_minor >= 0", name=op.f("ck_gene_tests_fee")),
    )


def _pipeline_notes() -> None:
    _table(
        "pipeline_notes",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("what", sa.String(1000), nullable=False),
        sa.Column("season", sa.Integer(), nullable=False),
        sa.Column("young", sa.Integer(), nullable=False),
        sa.Column("within", sa.Float(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.UniqueConstraint("on", "what", "season", name=op.f("uq_pipeline_notes_on")),
        sa.CheckConstraint("young >= 0", name=op.f("ck_pipeline_notes_young")),
        sa.CheckConstraint("within >= 0 AND within <= 1", name=op.f("ck_pipeline_notes_within")),
    )


def _exchange_rates() -> None:
    _table(
        "exchange_rates",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("currency", sa.String(3), nullable=False),
        sa.Column("rate", sa.String(24), nullable=False),
        sa.UniqueConstraint("on", "currency", name=op.f("uq_exchange_rates_on")),
    )


def _shows() -> None:
    _table(
        "shows",
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("name_key", sa.String(160), nullable=False),
        sa.Column("starts_on", sa.Date(), nullable=False),
        sa.Column("days", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(200), nullable=False),
        sa.Column("table_minor", MONEY, nullable=True),
        sa.Column("travel_minor", MONEY, nullable=True),
        sa.Column("currency", sa.String(3), nullable=False),
        sa.Column("going", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.UniqueConstraint("name_key", "starts_on", name=op.f("uq_shows_name_key")),
        sa.CheckConstraint("days >= 1", name=op.f("ck_shows_days")),
        sa.CheckConstraint("going IN (0, 1)", name=op.f("ck_shows_going")),
        sa.CheckConstraint("table_minor >= 0 AND travel_minor >= 0", name=op.f("ck_shows_money")),
    )


def _spending() -> None:
    kinds = ("animal", "feeding", "housing", "incubation", "test", "veterinarian", "selling", "show", "other")
    listed = ", ".join(f"'{kind}'" for kind in kinds)
    _table(
        "spending",
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("what", sa.String(200), nullable=False),
        sa.Column("amount_minor", MONEY, nullable=False),
        sa.Column("currency", sa.String(3), nullable=False),
        sa.Column("animal_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        _points_to("spending", "animal_id", "animals"),
        sa.CheckConstraint(f"kind IN ({listed})", name=op.f("ck_spending_kind")),
        sa.CheckConstraint("amount_minor >= 0", name=op.f("ck_spending_amount")),
    )


def _rows_may_come_with_a_file(table: str) -> None:
    op.execute(
        f"ALTER TABLE {table} ADD COLUMN import_id INTEGER "
        f"CONSTRAINT fk_{table}_import_id REFERENCES imports (id)"
    )


def _animals_before(statuses: str | None, *further: sa.Column[Any]) -> sa.Table:
    """Table as it stands at this point of the upgrade; the engine does not tell its rules."""
    rules = [] if statuses is None else [sa.CheckConstraint(f"status IN ({statuses})", "ck_animals_status")]
    return sa.Table(
        "animals",
        sa.MetaData(),
        *_id_and_version(),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("name_key", sa.String(160), nullable=False),
        sa.Column("sex", sa.String(8), nullable=False),
        sa.Column("text", sa.String(1000), nullable=False),
        sa.Column("hatched", sa.Date(), nullable=True),
        sa.Column("bought_minor", MONEY, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("status", sa.String(12), nullable=False),
        sa.Column("sire_id", sa.Integer(), nullable=True),
        sa.Column("dam_id", sa.Integer(), nullable=True),
        sa.Column("import_id", sa.Integer(), nullable=True),
        *further,
        sa.PrimaryKeyConstraint("id", name="pk_animals"),
        sa.UniqueConstraint("name_key", name="uq_animals_name_key"),
        sa.CheckConstraint("sex IN ('male', 'female', 'unsexed')", name="ck_animals_sex"),
        sa.CheckConstraint("bought_minor >= 0", name="ck_animals_bought"),
        sa.ForeignKeyConstraint(["dam_id"], ["animals.id"], name="fk_animals_dam_id"),
        sa.ForeignKeyConstraint(["import_id"], ["imports.id"], name="fk_animals_import_id"),
        sa.ForeignKeyConstraint(["sire_id"], ["animals.id"], name="fk_animals_sire_id"),
        *rules,
    )


def _new_columns() -> list[sa.Column[Any]]:
    return [
        sa.Column("origin", sa.String(200), nullable=False, server_default=""),
        sa.Column("bought_currency", sa.String(3), nullable=True),
        sa.Column("clutch_id", sa.Integer(), nullable=True),
        sa.Column("fed_since", sa.Date(), nullable=True),
        sa.Column("asked_minor", MONEY, nullable=True),
        sa.Column("asked_currency", sa.String(3), nullable=True),
        sa.Column("sold_minor", MONEY, nullable=True),
        sa.Column("sold_currency", sa.String(3), nullable=True),
        sa.Column("sold_on", sa.Date(), nullable=True),
        sa.Column("sold_where", sa.String(200), nullable=False, server_default=""),
    ]


def _widen_animals() -> None:
    with op.batch_alter_table(
        "animals", copy_from=_animals_before(_OLD_STATUSES), table_kwargs={"sqlite_autoincrement": True}
    ) as batch:
        batch.drop_constraint(op.f("ck_animals_status"), type_="check")
        for column in _new_columns():
            batch.add_column(column)


def _hold_animals_to_the_new_rules() -> None:
    with op.batch_alter_table(
        "animals",
        copy_from=_animals_before(None, *_new_columns()),
        table_kwargs={"sqlite_autoincrement": True},
    ) as batch:
        batch.create_check_constraint(op.f("ck_animals_status"), f"status IN ({_STATUSES})")
        batch.create_check_constraint(op.f("ck_animals_asked"), "asked_minor >= 0")
        batch.create_check_constraint(op.f("ck_animals_sold"), "sold_minor >= 0")
        batch.create_foreign_key(op.f("fk_animals_clutch_id"), "clutches", ["clutch_id"], ["id"])
    op.create_index(op.f("ix_animals_clutch_id"), "animals", ["clutch_id"], unique=False)


def _rename_statuses() -> dict[int, str]:
    """Turn "kept" into breeding or growing, and say in which money animals were bought.

    A kept animal that stands in a pairing breeds; one younger than two years without a pairing grows.
    Gives the status of every animal.
    """
    young = datetime.now(UTC).date()
    young = young.replace(year=young.year - 2, day=min(young.day, 28))
    connection = op.get_bind()
    connection.execute(
        sa.text(
            "UPDATE animals SET status = CASE "
            "WHEN id IN (SELECT sire_id FROM pairings UNION SELECT dam_id FROM pairings) THEN 'breeding' "
            "WHEN hatched > :young THEN 'growing' ELSE 'breeding' END WHERE status = 'kept'"
        ).bindparams(sa.bindparam("young", young, sa.Date()))
    )
    op.execute(
        "UPDATE animals SET bought_currency = (SELECT value FROM info WHERE key = 'currency') "
        "WHERE bought_minor IS NOT NULL"
    )
    return {row.id: row.status for row in connection.execute(sa.text("SELECT id, status FROM animals"))}


def _next_animal_id() -> int:
    """Largest number an animal ever had; a number is never given twice."""
    connection = op.get_bind()
    if connection.dialect.name != "sqlite":
        return 0
    query = sa.text("SELECT seq FROM sqlite_sequence WHERE name = 'animals'")
    return int(connection.execute(query).scalar_one_or_none() or 0)


def _keep_numbers_unused(largest: int) -> None:
    connection = op.get_bind()
    if connection.dialect.name != "sqlite" or not largest:
        return
    values = {"largest": largest}
    query = sa.text("UPDATE sqlite_sequence SET seq = :largest WHERE name = 'animals' AND seq < :largest")
    if connection.execute(query, values).rowcount == 0:
        there = sa.text("SELECT count(*) FROM sqlite_sequence WHERE name = 'animals'")
        if not connection.execute(there).scalar_one():
            connection.execute(sa.text("INSERT INTO sqlite_sequence VALUES ('animals', :largest)"), values)


def _rewrite_the_list_of_changes(statuses: dict[int, str]) -> None:
    """Write the columns of today into old entries, so that older edits can still be taken back."""
    connection = op.get_bind()
    money = connection.execute(sa.text("SELECT value FROM info WHERE key = 'currency'")).scalar_one_or_none()
    rows = connection.execute(sa.text("SELECT id, table_name, row_id, before, after FROM changes")).all()
    for row in rows:
        values = {
            name: _rewritten(row.table_name, text, statuses.get(row.row_id), money)
            for name, text in (("before", row.before), ("after", row.after))
        }
        if (values["before"], values["after"]) != (row.before, row.after):
            connection.execute(
                sa.text("UPDATE changes SET before = :before, after = :after WHERE id = :id"),
                {**values, "id": row.id},
            )


def _rewritten(table: str, text: str | None, became: str | None, money: str | None) -> str | None:
    if text is None or (table != "animals" and table not in _NEW_OF):
        return text
    row: dict[str, Any] = json.loads(text)
    if table == "animals":
        row = {**_NEW_OF_ANIMAL, **row}
        row["bought_currency"] = money if row["bought_minor"] is not None else None
        if row["status"] == "kept":
            row["status"] = became if became in {"breeding", "growing"} else "breeding"
    else:
        row = {**_NEW_OF[table], **row}
    return json.dumps(row, ensure_ascii=False, sort_keys=True)
