"""How flood warnings from prices alone fare on simulated markets; run with -s to see the table."""

from __future__ import annotations

import pytest

from econ.decisions.flood import CAUGHT, FALSE, POSSIBLE_ABOVE
from tests.econ.decisions.flood_markets import brier_skill, caught_and_false, warned_markets

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def warned():
    return [w for seed in (1, 2, 3) for w in warned_markets(markets=150, seed=seed)]


def test_the_record_told_to_the_breeder_is_the_one_measured_here(warned):
    caught, false = caught_and_false(warned, above=POSSIBLE_ABOVE)
    skill = brier_skill(warned)
    print(
        f"\nfloods warned of {caught:.3f}, warnings that came to nothing {false:.3f}, Brier skill {skill:.3f}"
    )
    assert caught == pytest.approx(CAUGHT, abs=0.02)
    assert false == pytest.approx(FALSE, abs=0.03)


def test_chances_tell_more_than_the_base_rate(warned):
    assert brier_skill(warned) > 0.04


def test_small_chances_are_rarely_followed_by_a_flood(warned):
    calm = [w.flooded for w in warned if w.chance < 0.05]
    alarmed = [w.flooded for w in warned if w.chance > POSSIBLE_ABOVE]
    assert sum(calm) / len(calm) < 0.06
    assert sum(alarmed) / len(alarmed) > 8 * sum(calm) / len(calm)
