"""The plain tables of a book: one declaration each, from which files, forms and exports follow."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from .animal_facts import GENE_TESTS, WEIGHTS, GeneTestRecord, WeightRecord
from .clutches import CLUTCHES, FURTHER_SIRES, ClutchRecord, FurtherSire
from .kind import Around, RowKind
from .market_facts import (
    EXCHANGE_RATES,
    PIPELINE,
    SHOWS,
    SPENDING,
    ExchangeRate,
    PipelineNote,
    ShowRecord,
    SpendingRecord,
)

ROW_KINDS: Mapping[str, RowKind[Any]] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            FURTHER_SIRES,
            CLUTCHES,
            WEIGHTS,
            GENE_TESTS,
            PIPELINE,
            EXCHANGE_RATES,
            SHOWS,
            SPENDING,
        )
    }
)
"""Plain tables by name, in an order in which what a row names comes before it."""

__all__ = [
    "CLUTCHES",
    "EXCHANGE_RATES",
    "FURTHER_SIRES",
    "GENE_TESTS",
    "PIPELINE",
    "ROW_KINDS",
    "SHOWS",
    "SPENDING",
    "WEIGHTS",
    "Around",
    "ClutchRecord",
    "ExchangeRate",
    "FurtherSire",
    "GeneTestRecord",
    "PipelineNote",
    "RowKind",
    "ShowRecord",
    "SpendingRecord",
    "WeightRecord",
]
