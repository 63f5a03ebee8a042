"""Which column of a refused row is at fault? The one the reason quotes, or whose emptying changes it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from dashboard.records.faults import NotStored
from dashboard.records.fields import Field

from .cells import as_text
from .entries import Entry, RowRefused

Check = Callable[[Mapping[str, Any]], Any]


def checked(check: Check, values: Mapping[str, Any], entry: Entry, fields: Sequence[Field]) -> Any:
    """Give what a rule makes of the values of a row.

    Raises
    ------
    RowRefused
        With the column at fault, if the rule refuses the row.
    """
    try:
        return check(values)
    except NotStored as fault:
        name = _quoted(fault.reason, entry, fields) or _column_at_fault(check, values, fields, fault.reason)
        written = as_text(entry.cells.get(name, ""))
        raise RowRefused(name, written, fault.reason, fault.nearest) from fault


def _quoted(reason: str, entry: Entry, fields: Sequence[Field]) -> str:
    """Column whose cell stands in the reason as it was written, if it is the only one."""
    found = [
        field.name
        for field in fields
        if (written := as_text(entry.cells.get(field.name, "")))
        and re.search(rf"(?<![\w.-]){re.escape(written)}(?![\w-]|\.\d)", reason)
    ]
    return found[0] if len(found) == 1 else ""


def _column_at_fault(check: Check, values: Mapping[str, Any], fields: Sequence[Field], reason: str) -> str:
    """Last column whose emptying changes what the rule says; rules look at columns from left to right."""
    filled = [field for field in fields if values.get(field.name) != field.empty]
    for field in reversed(filled):
        try:
            check({**values, field.name: field.empty})
        except NotStored as other:
            if other.reason != reason:
                return field.name
        except (TypeError, ValueError):  # a rule that needs the value could not even be asked
            return field.name
        else:
            return field.name
    return filled[0].name if filled else ""


def same_again(line: int) -> str:
    """Say that an earlier line of the file says the same."""
    return f"Line {line} of the file says this already."


def otherwise(what: str, header: str, stored: object) -> str:
    """Say that the book holds something else of the same thing."""
    said = "nothing" if stored in {None, ""} else f"“{stored}”"
    return f"The book has {what} already, with another entry under {header}: {said}. Change it in the book."
