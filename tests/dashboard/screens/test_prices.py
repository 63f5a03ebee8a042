"""Prices: the title is true for any number of traits, and too few prices give no forecast."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from dashboard.jobs.prices import ORDER
from dashboard.screens.price_figures import title
from genetics import Trait
from tests.econ.decisions.pairs_by_hand import small_prices


def answer(**statuses):
    traits = tuple(
        SimpleNamespace(outlook=SimpleNamespace(key=key, status=status)) for key, status in statuses.items()
    )
    of = {status: tuple(t for t in traits if t.outlook.status == status) for status in ORDER}
    return SimpleNamespace(traits=traits, of=of.__getitem__)


@pytest.mark.parametrize(
    ("statuses", "said"),
    [
        ({"clown": "falling"}, "Clown is losing value"),
        ({"clown": "rising"}, "Clown is gaining value"),
        ({"clown": "holding"}, "Clown is neither clearly losing nor gaining value"),
        ({"clown": "can't say"}, "One trait, clown, and too few prices to say where it is going"),
        (
            {"clown": "can't say", "pied": "can't say"},
            "Two traits, and too few prices to say where any is going",
        ),
        ({"clown": "falling", "pied": "rising"}, "Clown is losing value, and one rises"),
        (
            {"clown": "falling", "pied": "falling", "enchi": "holding"},
            "Two of your three traits are losing value; clown fastest",
        ),
        ({"clown": "rising", "pied": "holding"}, "One of your two traits is gaining value; none falls"),
        (
            {"clown": "holding", "pied": "holding"},
            "None of your two traits is clearly losing or gaining value",
        ),
    ],
)
def test_the_title_is_true_for_any_number_of_traits(statuses, said):
    assert title(answer(**statuses)) == said


def test_a_trait_with_too_few_prices_has_no_forecast_but_a_range_in_its_note(book, screen):
    seen = small_prices()
    few = [
        seen[0].model_copy(
            update={"what": "pinstripe", "traits": (Trait("pinstripe", "visual"),), "price_minor": minor}
        )
        for minor in (40_000, 42_000, 44_000)
    ]
    book.add_observations([*seen, *few], "prices")
    shown = screen("prices", trait="pinstripe")
    header = shown.app.header[0].value
    assert header.startswith("Pinstripe: about ")
    assert header.endswith("EUR today; where it goes, can’t say")
    words = shown.tables.words("few")
    assert "Three prices of pinstripe are too few for a trend of its own." in words
    assert "8 in 10 forecasts for" in words
    assert "horizons" not in shown.tables.drawn
    assert "depth-lead" not in shown.tables.drawn
    assert "8 in 10" not in shown.tables.words("key")
    assert "horizons" in screen("prices", trait="clown").tables.drawn
