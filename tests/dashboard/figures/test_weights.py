"""The line of weights starts at nothing, ends where it should, and says its ends."""

from __future__ import annotations

import re
from datetime import date

import pytest

from dashboard.figures.weights import weight_line
from tests.dashboard.figures.reading import labels, tree

POINTS = [(date(2026, 1, 1), 500.0), (date(2026, 1, 11), 1000.0), (date(2026, 2, 10), 750.0)]


def test_places_follow_the_days_and_the_grams():
    # by hand: 40 days across 1000, 1000 g up 60 from the ground line
    path = re.search(r'points="([^"]+)"', weight_line(POINTS))
    assert path is not None
    found = [tuple(float(part) for part in pair.split(",")) for pair in path[1].split()]
    assert found == [pytest.approx(pair) for pair in ((0, 30), (250, 0), (1000, 15))]


def test_the_picture_says_its_ends_in_words():
    assert labels(tree(weight_line(POINTS))) == [
        "3 weights from 500 g on 2026-01-01 to 750 g on 2026-02-10",
    ]


def test_one_weight_is_no_line():
    assert weight_line(POINTS[:1]) == ""
    assert weight_line([]) == ""
