"""How far is long work? Told at most twenty times a second, so that telling costs next to nothing."""

from __future__ import annotations

import time
from collections.abc import Callable

Progress = Callable[[int, int], None]
"""Called with what is done and with the whole; whatever it raises stops the work, and nothing is stored."""

LEAST_GAP = 0.05  # [s]


class Pace:
    """Tell a callback how far the work is, at most once in a twentieth of a second and at the end.

    Parameters
    ----------
    on_progress
        Who is told; None tells nobody.
    total
        How much there is to do.
    """

    def __init__(self, on_progress: Progress | None, total: int) -> None:
        self._tell = on_progress
        self._total = total
        self._next = 0.0

    def at(self, done: int) -> None:
        """Say that so much is done."""
        if self._tell is None:
            return
        now = time.monotonic()
        if now >= self._next or done >= self._total:
            self._next = now + LEAST_GAP
            self._tell(done, self._total)
