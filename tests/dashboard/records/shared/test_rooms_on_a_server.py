"""The tests of the rooms, run once more on a server: the same code, the same answers."""

from __future__ import annotations

import inspect

import pytest

from tests.dashboard.records import (
    test_animals,
    test_assumptions,
    test_changes,
    test_own_genes,
    test_pairings,
    test_prices,
)
from tests.dashboard.records.kinds import test_rules
from tests.dashboard.records.kinds.test_rules import clutch, pairing  # noqa: F401 - fixtures of its tests
from tests.dashboard.records.test_own_genes import own  # noqa: F401 - a fixture of its tests

pytestmark = pytest.mark.server


def _tests_of(module):
    """Tests that ask nothing of the file beneath."""
    return {
        f"{name}_{module.__name__.rpartition('_')[2]}": test
        for name, test in vars(module).items()
        if name.startswith("test_") and inspect.isfunction(test) and "sqlite3" not in inspect.getsource(test)
    }


_MODULES = (
    test_animals,
    test_assumptions,
    test_changes,
    test_own_genes,
    test_pairings,
    test_prices,
    test_rules,
)
for _module in _MODULES:
    globals().update(_tests_of(_module))
