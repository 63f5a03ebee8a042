"""Slow second way for trends and their pooling: dense Gaussian conditioning, plain loops, nothing shared."""

from __future__ import annotations

import math
from functools import wraps

import numpy as np
from scipy.integrate import quad
from scipy.special import logsumexp
from scipy.stats import multivariate_normal, norm

WALKS = (0.02, 0.05, 0.10, 0.18, 0.30, 0.50)
NOISES = (0.01, 0.03, 0.07, 0.12, 0.20, 0.32)
CELLS = [(a, b) for a in WALKS for b in NOISES]
DEFAULT = [(0.40, 0.0, 0.02), (0.35, -0.08, 0.10), (0.25, -0.15, 0.25)]
CENTRES = [-2 + 0.4 * i for i in range(9)]
MARKET = [(-0.60 + 0.04 * i, s) for i in range(26) for s in (0.03, 0.08, 0.15, 0.25)]
SHARES = [min(max(w, 1e-9), 1 - 1e-9) for w in (0, 0.25, 0.5, 0.75, 1)]
WIDE = 1e4  # variance of the flat level


def prior(cell):
    walk, noise = cell
    return -0.5 * (math.log(walk / 0.14) / 0.9) ** 2 - 0.5 * (math.log(noise / 0.10) / 1.0) ** 2


def joint(s, cell, mu, sd, ahead):
    """Mean and covariance of all observations and of the level `ahead` years after the last."""
    walk, noise = cell
    end = s[-1] + ahead
    times = np.append(s, end)
    path = np.append(s, s[-1] + (1 - math.exp(-0.35 * ahead)) / 0.35)
    covariance = WIDE + walk**2 * np.minimum.outer(times, times) + sd**2 * np.outer(path, path)
    covariance += np.diag(np.append(np.full(len(s), noise**2), 0.0))
    return mu * path, covariance


def evidence(s, y, cell, mu, sd):
    """Log density of the observations, level nearly flat; a constant of the flat level is added back."""
    mean, covariance = joint(s, cell, mu, sd, 0.0)
    n = len(s)
    found = multivariate_normal(mean[:n], covariance[:n, :n], allow_singular=False).logpdf(y)
    return found + 0.5 * n * math.log(2 * math.pi) + 0.5 * math.log(WIDE)


def level(s, y, cell, mu, sd, ahead):
    """Mean and variance of the level given the observations."""
    mean, cov = joint(s, cell, mu, sd, ahead)
    n = len(s)
    gain = np.linalg.solve(cov[:n, :n], cov[:n, n])
    return mean[n] + gain @ (y - mean[:n]), cov[n, n] - gain @ cov[:n, n]


def level_by_integrating(s, y, cell, components, ahead):
    """Mean of the level under a mixture of drift priors, drift integrated numerically."""

    def density(b):
        total = sum(w * norm.pdf(b, mu, sd) for w, mu, sd in components)
        return total * math.exp(evidence(s, y - b * s, cell, 0.0, 0.0) - shift)

    def mean(b):
        given = level(s, y - b * s, cell, 0.0, 0.0, ahead)[0]
        return given + b * (s[-1] + (1 - math.exp(-0.35 * ahead)) / 0.35)

    shift = max(evidence(s, y - b * s, cell, 0.0, 0.0) for b in np.linspace(-1.5, 1.5, 61))
    points = {"points": [-0.3, -0.15, -0.05, 0.0, 0.05, 0.2], "limit": 300}
    weight = quad(density, -3, 3, **points)[0]
    return quad(lambda b: density(b) * mean(b), -3, 3, **points)[0] / weight


def remembered(method):
    """Keep a method's answers with the object itself."""

    @wraps(method)
    def ask(self, *args):
        key = (method.__name__, *args)
        if key not in self.answers:
            self.answers[key] = method(self, *args)
        return self.answers[key]

    return ask


class Pool:
    """Steps 6 to 8 for a few short series, each (s, y)."""

    def __init__(self, series):
        self.series = series
        self.answers = {}

    @remembered
    def log_evidence(self, i, cell, mu, sd):
        s, y = self.series[i]
        return evidence(s, y, cell, mu, sd)

    @remembered
    def default_evidence(self, i, cell):
        return logsumexp([math.log(w) + self.log_evidence(i, cell, mu, sd) for w, mu, sd in DEFAULT])

    @remembered
    def cell_prior(self, i):
        """Log prior of trait i's cells learned from the other traits."""
        logs, tables = [], []
        for a in CENTRES:
            for b in CENTRES:
                table = [
                    norm.logpdf(math.log(walk / 0.14), a, 0.7) + norm.logpdf(math.log(noise / 0.10), b, 0.5)
                    for walk, noise in CELLS
                ]
                table = np.array(table) - logsumexp(table)
                total = norm.logpdf(a, 0, math.sqrt(0.81 - 0.49)) + norm.logpdf(b, 0, math.sqrt(1 - 0.25))
                for j in range(len(self.series)):
                    if j != i:
                        own = [self.default_evidence(j, cell) for cell in CELLS]
                        total += logsumexp(table + np.array(own))
                logs.append(total)
                tables.append(table)
        return logsumexp(np.array(logs)[:, None] + np.array(tables), axis=0) - logsumexp(logs)

    def priors(self, i, *, pooled):
        return self.cell_prior(i) if pooled else np.array([prior(c) for c in CELLS])

    @remembered
    def drift_evidence(self, i, mu, sd, pooled):
        own = [self.log_evidence(i, cell, mu, sd) for cell in CELLS]
        return logsumexp(self.priors(i, pooled=pooled) + np.array(own))

    def market(self, i, *, pooled):
        """Weight of each (M, S, w) from all traits but i."""
        logs = []
        for big_m, big_s in MARKET:
            for w in SHARES:
                total = norm.logpdf(big_m, -0.07, 0.10)
                for j in range(len(self.series)):
                    if j == i:
                        continue
                    default = [math.log(a) + self.drift_evidence(j, mu, sd, pooled) for a, mu, sd in DEFAULT]
                    own = self.drift_evidence(j, big_m, big_s, pooled)
                    total += np.logaddexp(math.log(w) + logsumexp(default), math.log(1 - w) + own)
                logs.append(total)
        weight = np.exp(np.array(logs) - max(logs))
        return weight / weight.sum()

    def mixture(self, i, ahead, *, pooled):
        """Weights, means and variances of trait i's level."""
        s, y = self.series[i]
        share = self.market(i, pooled=pooled).reshape(len(MARKET), len(SHARES))
        components = [(a * float(share.sum(axis=0) @ SHARES), mu, sd) for a, mu, sd in DEFAULT]
        rest = share @ (1 - np.array(SHARES))
        components += [(float(r), mu, sd) for r, (mu, sd) in zip(rest, MARKET, strict=True)]
        logs, means, variances = [], [], []
        for cell, log_prior in zip(CELLS, self.priors(i, pooled=pooled), strict=True):
            for weight, mu, sd in components:
                if weight < 1e-12:
                    continue
                logs.append(math.log(weight) + log_prior + self.log_evidence(i, cell, mu, sd))
                mean, variance = level(s, y, cell, mu, sd, ahead)
                means.append(mean)
                variances.append(variance)
        weight = np.exp(np.array(logs) - max(logs))
        return weight / weight.sum(), np.array(means), np.array(variances)
