"""How would simpler forecasts have done: each one's error on the breeder's own past, beside our forecast's.

From every day with enough prices before it, each method forecasts the prices that followed within two
years; its error is the mean absolute gap in logs. The card informs; it never chooses the method.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from econ.prices.forecast import fit_trends
from econ.prices.outlook import TraitOutlook
from econ.prices.trend import Floats, Series, series_of

LEAST_BEFORE = 6
LEAST_SPAN_YEARS = 0.25
HORIZON_YEARS = 2.0
MOST_ORIGINS = 12
OURS = "this forecast"

_MONTH = 1.0 / 12.0
_DAMPED_TREND = 0.98

Points = tuple[Floats, Floats]
Method = Callable[[Floats, Floats, Floats], Floats]


@dataclass(frozen=True)
class FitReport:
    """How one method would have done.

    Attributes
    ----------
    name
        Method in plain words.
    error
        Mean absolute gap of log prices; nan without forecasts.
    n_forecasts
        Price forecasts that could be checked.
    words
        One plain sentence.
    """

    name: str
    error: float
    n_forecasts: int
    words: str

    @property
    def miss(self) -> float:
        """Average miss as a share of the price."""
        return float(np.expm1(self.error))


def last_price(_years: Floats, logs: Floats, ahead: Floats) -> Floats:
    """Forecast that the last price stays."""
    return np.full(ahead.shape, logs[-1])


def straight_line(years: Floats, logs: Floats, ahead: Floats) -> Floats:
    """Forecast by a least-squares line through the log prices."""
    import statsmodels.api as sm

    fit = sm.OLS(logs, sm.add_constant(years - years[-1], has_constant="add")).fit()
    return np.asarray(fit.params[0] + fit.params[1] * (ahead - years[-1]), dtype=float)


def damped_trend(years: Floats, logs: Floats, ahead: Floats) -> Floats:
    """Forecast by exponential smoothing with a damped trend on months; gaps are filled on a straight line."""
    at, monthly = _by_month(years, logs)
    steps = max(1, int(np.ceil((float(ahead.max()) - at[-1]) / _MONTH)) + 1)
    path = np.concatenate([monthly[-1:], holt(monthly, steps=steps, damped=True)])
    when = at[-1] + _MONTH * np.arange(path.size)
    return np.asarray(np.interp(ahead, when, path), dtype=float)


def moving_level(years: Floats, logs: Floats, ahead: Floats) -> Floats:
    """Forecast by a level that wanders and stays where it was last seen, on months with gaps."""
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    number = _month_numbers(years)
    filled = np.full(number[-1] + 1, np.nan)
    for month in np.unique(number):
        filled[month] = logs[number == month].mean()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = UnobservedComponents(filled, "llevel").fit(disp=False)
    return np.full(ahead.shape, float(fit.forecast(1)[0]))


METHODS: Mapping[str, Method] = MappingProxyType(
    {
        "last price stays": last_price,
        "straight line": straight_line,
        "damped trend": damped_trend,
        "moving level": moving_level,
    }
)


def simple_smoothing(values: Floats, *, level: float, steps: int = 1) -> Floats:
    """Forecast by simple exponential smoothing with a given weight of the newest value."""
    from statsmodels.tsa.holtwinters import SimpleExpSmoothing

    model = SimpleExpSmoothing(values, initialization_method="legacy-heuristic")
    return np.asarray(model.fit(smoothing_level=level, optimized=False).forecast(steps), dtype=float)


def holt(
    values: Floats,
    *,
    steps: int,
    level: float | None = None,
    trend: float | None = None,
    damped: bool = False,
) -> Floats:
    """Forecast by exponential smoothing with a trend; weights are fitted unless both are given.

    With a damped trend its factor is held at .98 a step (common practice, from memory): short series
    can't tell.
    """
    from statsmodels.tsa.holtwinters import Holt

    given = level is not None and trend is not None
    way = "legacy-heuristic" if given else "estimated"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = Holt(values, damped_trend=damped, initialization_method=way)
        keep = {"damping_trend": _DAMPED_TREND} if damped else {}
        fit = model.fit(smoothing_level=level, smoothing_trend=trend, optimized=not given, **keep)
        return np.asarray(fit.forecast(steps), dtype=float)


def _month_numbers(years: Floats) -> NDArray[np.int64]:
    number: NDArray[np.int64] = np.floor((years - years[0]) / _MONTH + 1e-9).astype(np.int64)
    return number


def _by_month(years: Floats, logs: Floats) -> Points:
    """Monthly means, gaps filled on a straight line; times are the months' starts."""
    number = _month_numbers(years)
    seen = np.unique(number)
    means = np.array([logs[number == m].mean() for m in seen])
    months = np.arange(seen[-1] + 1)
    return years[0] + _MONTH * months, np.interp(months, seen, means)


def report_card(
    outlook: TraitOutlook | Points, *, others: Iterable[TraitOutlook] = ()
) -> tuple[FitReport, ...]:
    """Error of our forecast and of each simple method, at past days of one trait.

    Parameters
    ----------
    outlook
        A trait's outlook, or its dates [years] and log prices.
    others
        Other traits of the same book; what they had taught by then goes into our forecast.

    Returns
    -------
    tuple of FitReport
        Ours first, then the simple ones; all with nan where the history is too short.
    """
    years, logs = outlook.log_points if isinstance(outlook, TraitOutlook) else outlook
    order = np.argsort(years, kind="stable")
    years, logs = np.asarray(years, dtype=float)[order], np.asarray(logs, dtype=float)[order]
    own_key = outlook.key if isinstance(outlook, TraitOutlook) else ""
    rest = [o.log_points for o in others if o.key != own_key]
    gaps: dict[str, list[float]] = {name: [] for name in (OURS, *METHODS)}
    for origin in _origins(years):
        before = years <= origin
        after = (years > origin) & (years <= origin + HORIZON_YEARS)
        ahead, seen = years[after], logs[after]
        gaps[OURS] += list(np.abs(_ours(years[before], logs[before], ahead, rest) - seen))
        for name, method in METHODS.items():
            gaps[name] += list(np.abs(method(years[before], logs[before], ahead) - seen))
    return tuple(_report(name, values) for name, values in gaps.items())


def _origins(years: Floats) -> list[float]:
    """Past days to forecast from: enough prices over long enough before, some within the horizon after."""
    days = np.unique(years)
    fit = [
        float(d)
        for d in days
        if d - days[0] >= LEAST_SPAN_YEARS
        and (years <= d).sum() >= LEAST_BEFORE
        and ((years > d) & (years <= d + HORIZON_YEARS)).any()
    ]
    if len(fit) <= MOST_ORIGINS:
        return fit
    pick = np.linspace(0, len(fit) - 1, MOST_ORIGINS).round().astype(int)
    return [fit[i] for i in np.unique(pick)]


def _ours(years: Floats, logs: Floats, ahead: Floats, rest: Sequence[Points]) -> Floats:
    """Our forecast with what this trait and the others had shown by the last of `years`."""
    now = float(years[-1])
    series: dict[str, Series] = {"": series_of(years, logs)}
    for i, (at, values) in enumerate(rest):
        if (at <= now).any():
            series[str(i)] = series_of(at[at <= now], values[at <= now])
    trends, _ = fit_trends(series)
    return trends[""].level(ahead)[0]


def _report(name: str, gaps: Sequence[float]) -> FitReport:
    if not gaps:
        needed = f"needed: {LEAST_BEFORE} over three months and a later one"
        words = f"{name.capitalize()}: too few prices to look back on; {needed}."
        return FitReport(name, float("nan"), 0, words)
    error = float(np.mean(gaps))
    words = (
        f"{name.capitalize()}: off by a factor of {np.exp(error):.2f} on average over {len(gaps)} forecasts."
    )
    return FitReport(name, error, len(gaps), words)
