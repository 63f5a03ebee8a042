"""Which forecasts were shown, so that they can be held against what happened? One a day each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, dataclass, fields
from datetime import date

from sqlalchemy import insert, select

from dashboard.records import schema
from dashboard.records.faults import NotStored
from dashboard.records.parts import BookPart


@dataclass(frozen=True)
class ShownForecast:
    """One forecast that was on the screen.

    Attributes
    ----------
    made_on, horizon
        Day it was made, and day it is about.
    trait
        Key of the trait ("clown", "het clown").
    log_mean, level_sd
        Mean and standard deviation of the level's natural logarithm [log currency].
    sale_sd
        Standard deviation of a single sale about the level [log]; 0 if it was not shown.
    """

    made_on: date
    trait: str
    horizon: date
    log_mean: float
    level_sd: float
    sale_sd: float = 0.0


class ForecastRoom(BookPart):
    """The forecasts a book remembers."""

    def past_forecasts(self) -> tuple[ShownForecast, ...]:
        """All remembered forecasts, oldest first."""
        table = schema.forecasts
        columns = [table.c[field.name] for field in fields(ShownForecast)]
        with self._store.reading() as connection:
            return tuple(
                ShownForecast(*row) for row in connection.execute(select(*columns).order_by(table.c.id))
            )

    def remember_forecasts(self, forecasts: Sequence[ShownForecast]) -> int:
        """Keep the first forecast of each day, trait and horizon; gives how many were new.

        Remembering is no edit of the breeder's: it is not in the list of changes and leaves
        `data_version` as it is, so that showing a page does not make every page compute again.

        Raises
        ------
        NotStored
            If a forecast is about a day before it was made, or has no finite spread.
        """
        for forecast in forecasts:
            if forecast.horizon < forecast.made_on or not _is_spread(forecast):
                raise NotStored(f"The forecast of {forecast.trait} for {forecast.horizon} can't be kept.")
        if not forecasts or not self._unknown(forecasts):
            return 0
        table = schema.forecasts
        with self._store.writing() as connection:
            days = {forecast.made_on for forecast in forecasts}
            known = connection.execute(
                select(table.c.made_on, table.c.trait, table.c.horizon).where(table.c.made_on.in_(days))
            )
            seen = {tuple(row) for row in known}
            fresh: dict[tuple[object, ...], ShownForecast] = {}
            for forecast in forecasts:
                key = astuple(forecast)[:3]
                if key not in seen:
                    fresh.setdefault(key, forecast)
            if fresh:
                names = [field.name for field in fields(ShownForecast)]
                rows = [dict(zip(names, astuple(f), strict=True)) for f in fresh.values()]
                connection.execute(insert(table), rows)
        return len(fresh)

    def _unknown(self, forecasts: Sequence[ShownForecast]) -> bool:
        known = {astuple(forecast)[:3] for forecast in self.past_forecasts()}
        return any(astuple(forecast)[:3] not in known for forecast in forecasts)


def _is_spread(forecast: ShownForecast) -> bool:
    spreads = (forecast.level_sd, forecast.sale_sd)
    return all(0 <= spread < float("inf") for spread in spreads)
