"""Which tables does a book have? Money is whole minor units with its ISO 4217 code; times are UTC."""

from __future__ import annotations

from sqlalchemy import Table

from .figures import assumptions, forecasts, own_genes, pairing_assumptions
from .herd import (
    SEXES,
    STATUSES,
    TEST_RESULTS,
    animals,
    clutches,
    further_sires,
    gene_tests,
    pairings,
    weights,
)
from .log import changes, imports, info
from .market import (
    KINDS,
    SPENDING,
    STAGES,
    exchange_rates,
    pipeline_notes,
    price_observations,
    shows,
    spending,
    supply_counts,
)
from .parts import metadata

SCHEMA_VERSION = 2
APPLICATION_ID = 0x48_4D_42_4B  # "HMBK" in the file's header marks it as a book

EDITABLE: dict[str, Table] = {
    table.name: table
    for table in (
        animals,
        pairings,
        further_sires,
        clutches,
        weights,
        gene_tests,
        price_observations,
        supply_counts,
        pipeline_notes,
        exchange_rates,
        shows,
        spending,
        assumptions,
        pairing_assumptions,
        own_genes,
    )
}
"""Tables the breeder edits, in an order in which each row's animals and pairings come before it."""

__all__ = [
    "APPLICATION_ID",
    "EDITABLE",
    "KINDS",
    "SCHEMA_VERSION",
    "SEXES",
    "SPENDING",
    "STAGES",
    "STATUSES",
    "TEST_RESULTS",
    "animals",
    "assumptions",
    "changes",
    "clutches",
    "exchange_rates",
    "forecasts",
    "further_sires",
    "gene_tests",
    "imports",
    "info",
    "metadata",
    "own_genes",
    "pairing_assumptions",
    "pairings",
    "pipeline_notes",
    "price_observations",
    "shows",
    "spending",
    "supply_counts",
    "weights",
]
