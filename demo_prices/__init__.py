"""Where the invented records of the demo book lie."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable

AS_OF = "2026-11-20"
CURRENCY = "EUR"
NAME = "Demo book"
FILES = (
    "animals.csv",
    "pairings.csv",
    "clutches.csv",
    "young.csv",
    "weights.csv",
    "gene_tests.csv",
    "prices.csv",
    "supply.csv",
    "exchange_rates.csv",
    "shows.csv",
    "spending.csv",
)
"""Files of the demo in the order in which they are imported."""
FIGURES_FILE = "figures.csv"
"""The demo breeder's own figures, in place of the defaults."""


def demo_folder() -> Traversable:
    """Folder with the files of the demo; every one of them says that it is invented."""
    return files("demo_prices")
