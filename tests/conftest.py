"""Settings of all tests."""

from __future__ import annotations

from hypothesis import settings

# A machine that is busy is slow; how fast the code is, the benchmarks say.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
