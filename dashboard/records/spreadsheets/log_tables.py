"""Which columns have the tables that are taken out only: what the book says of itself, imports, changes?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from dashboard.records.fields import Field

FORECASTS = (
    Field("made_on", "made on", "day", "Day it was made.", needed=True),
    Field("trait", "trait", "text", "Trait it is about.", needed=True),
    Field("horizon", "horizon", "day", "Day it is about.", needed=True),
    Field("log_mean", "log mean", "number", "Mean of the level's natural logarithm.", needed=True,
          unit="log currency"),
    Field("level_sd", "level sd", "number", "Standard deviation of the level.", needed=True, unit="log",
          least=0),
    Field("sale_sd", "sale sd", "number", "Scatter of single sales about the level.", needed=True,
          unit="log", least=0),
)  # fmt: skip

_INFO = (
    Field("key", "key", "text", "What is said.", needed=True),
    Field("value", "value", "text", "What it says."),
)
_IMPORTS = (
    Field("id", "id", "whole", "Number of the import.", needed=True, least=1),
    Field("at", "at", "text", "When it was, in UTC (ISO 8601).", needed=True),
    Field("name", "name", "text", "Name of the file.", needed=True),
    Field("kind", "kind", "text", "Table it filled.", needed=True),
    Field("added", "added", "whole", "Rows that were added.", needed=True, least=0, unit="rows"),
    Field("duplicates", "duplicates", "whole", "Rows that were there already.", needed=True, least=0,
          unit="rows"),
    Field("undone_at", "undone at", "text", "When it was taken back, in UTC (ISO 8601)."),
)  # fmt: skip
_CHANGES = (
    Field("id", "id", "whole", "Number of the line.", needed=True, least=1),
    Field("edit", "edit", "whole", "Number of the edit.", needed=True, least=1),
    Field("at", "at", "text", "When it was, in UTC (ISO 8601).", needed=True),
    Field("sentence", "sentence", "text", "What was done.", needed=True),
    Field("table_name", "table name", "text", "Table of the row.", needed=True),
    Field("row_id", "row id", "whole", "Number of the row.", needed=True),
    Field("before", "before", "data", "The row before, as JSON; empty: there was none."),
    Field("after", "after", "data", "The row after, as JSON; empty: there is none."),
    Field("import_id", "import id", "whole", "Number of the import, if it was one."),
    Field("undone_at", "undone at", "text", "When it was taken back, in UTC (ISO 8601)."),
    Field("undoes", "undoes", "whole", "Number of the edit that this one took back."),
)

OUT_ONLY: Mapping[str, tuple[Field, ...]] = MappingProxyType(
    {"forecasts": FORECASTS, "info": _INFO, "imports": _IMPORTS, "changes": _CHANGES}
)
"""Columns of the tables that no file of a breeder's fills, by the table's name."""

OUT_KEYS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"forecasts": ("made_on", "trait", "horizon"), "info": ("key",), "imports": ("id",), "changes": ("id",)}
)
"""Columns of which no two of their rows have the same."""
