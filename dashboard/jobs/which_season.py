"""Which season does a page open with: the one still to come, named by the year of its eggs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

LAST_MONTH = 8  # until then the eggs of a year may still be laid or hatching


def next_season(seasons: Sequence[int], *, today: date) -> int:
    """Choose the earliest season that is not over, else the last one.

    Without any season it is that of this year in spring and summer, else that of next year.
    """
    first = today.year if today.month <= LAST_MONTH else today.year + 1
    return min((season for season in seasons if season >= first), default=max(seasons, default=first))
