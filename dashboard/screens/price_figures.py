"""How the prices answer is laid into its figures: panels by group, the chart of one trait, its tables."""

from __future__ import annotations

from datetime import timedelta

from dashboard.figures.prices import (
    Band,
    Fan,
    FitLine,
    Panel,
    PanelGroup,
    PriceView,
    SaleWindow,
    SeenPrice,
    SupplyView,
)
from dashboard.jobs.prices import (
    AHEAD_MONTHS,
    HORIZONS,
    ORDER,
    OwnYoung,
    PricedAnimal,
    PricesAnswer,
    TraitAnswer,
)
from dashboard.records.spreadsheets.exports import Sheet
from dashboard.words import month, month_words, number_word, plural, price, rng, yearly_rate
from econ.decisions.look_prices import months_after
from econ.prices.outlook import LEAST_PRICES
from econ.prices.report_card import FitReport

RULES = {
    "falling": "8 in 10 forecasts for a year from now lie below today",
    "holding": "no change the prices can show",
    "rising": "8 in 10 forecasts for a year from now lie above today",
    "can't say": f"fewer than {LEAST_PRICES} prices",
}
WAYS = {
    "this forecast": "All your traits pooled, with error bars that widen with time.",
    "last price stays": "The last price stays as it is.",
    "straight line": "A straight line through the logarithms, least squares.",
    "damped trend": "Exponential smoothing with a trend that fades.",
    "moving level": "A level that wanders and stays where it was last seen.",
}


def groups(answer: PricesAnswer) -> tuple[PanelGroup, ...]:
    """Panels of all traits, by how they move."""
    return tuple(
        PanelGroup(
            status="none" if status == "can't say" else status,
            rule=RULES[status],
            panels=tuple(_panel(trait, answer) for trait in answer.of(status)),
        )
        for status in ORDER
    )


def _panel(trait: TraitAnswer, answer: PricesAnswer) -> Panel:
    outlook, ahead = trait.outlook, trait.ahead
    unknown = cant_say(trait)
    history = tuple(((point.on - answer.today).days / 365.25, point.adjusted) for point in outlook.points)
    fan = None
    if not unknown:
        pick = range(0, AHEAD_MONTHS + 1, 3)
        parts = (ahead.median, ahead.low80, ahead.high80, ahead.low95, ahead.high95)
        fan = Fan(tuple(m / 12 for m in pick), *(tuple(float(part[m]) for m in pick) for part in parts))
    return Panel(
        name=outlook.key.capitalize(),
        link=f"prices?trait={outlook.key}",
        today=outlook.today,
        history=history,
        ahead=fan,
        change=change_words(trait),
        prices=outlook.n,
        marks=(("flood", f": {trait.flood.level}"),) if _floods(trait) and trait.flood is not None else (),
    )


def change_words(trait: TraitAnswer) -> str:
    """How a trait moves, in a few words."""
    if cant_say(trait):
        return f"only {trait.outlook.n} {plural(trait.outlook.n, 'price')}"
    return "no clear change" if trait.outlook.status == "holding" else yearly_rate(trait.yearly)


def _floods(trait: TraitAnswer) -> bool:
    return trait.flood is not None and trait.flood.level in {"likely", "possible"}


def view(
    trait: TraitAnswer, answer: PricesAnswer, *, own: OwnYoung | None, look_back: float | None
) -> PriceView:
    """All that the chart of one trait shows."""
    outlook = trait.outlook
    unknown = cant_say(trait)
    days, values = outlook.fitted
    ahead_days = tuple(months_after(answer.today, m) for m in range(AHEAD_MONTHS + 1))
    parts = (trait.ahead.median, trait.ahead.low80, trait.ahead.high80, trait.ahead.low95, trait.ahead.high95)
    return PriceView(
        name=outlook.key.capitalize(),
        currency=answer.currency,
        today=answer.today,
        seen=tuple(SeenPrice(point.on, point.raw, point.kind) for point in outlook.points),
        fitted=() if unknown else tuple(zip(days, (float(v) for v in values), strict=True)),
        forecast=None if unknown else Band(ahead_days, *(tuple(float(v) for v in part) for part in parts)),
        window=None if own is None or unknown else _window(own),
        supply=_supply(trait),
        look_back=look_back,
    )


def _window(own: OwnYoung) -> SaleWindow:
    end = max(own.end, own.start + timedelta(days=30))
    return SaleWindow(own.start, end, own.price, f"your {own.season} young|sell at about {price(own.price)}")


def _supply(trait: TraitAnswer) -> SupplyView | None:
    if trait.supply is None:
        return None
    smooth = trait.supply.smooth
    first = smooth.first.toordinal() / 365.25
    counted = tuple(
        (smooth.first + timedelta(days=round((float(year) - first) * 365.25)), float(count))
        for year, count in zip(smooth.years, smooth.counts, strict=True)
    )
    return SupplyView(counted=counted, words="Offered when counted")


def depth_title(trait: TraitAnswer, answer: PricesAnswer) -> str:
    """One trait's answer in a sentence."""
    name, last = trait.outlook.key.capitalize(), float(trait.ahead.median[-1])
    when = month_words(months_after(answer.today, AHEAD_MONTHS))
    now = price(trait.outlook.today)
    if cant_say(trait):
        return f"{name}: about {now} {answer.currency} today; where it goes, can’t say"
    return f"{name}: {now} {answer.currency} today, most likely {price(last)} by {when}"


def depth_lead(trait: TraitAnswer, own: OwnYoung | None) -> str:
    """Range at the end of the forecast, and what the breeder's own young should bring.

    Where nothing can be said of the trait, only what the season counts with; empty without own young.
    """
    if cant_say(trait):
        return "" if own is None else _counted_with(own)
    low, high = _range_ahead(trait)
    words = f"In 8 of 10 forecasts between {price(low)} and {price(high)}."
    if own is not None:
        words += (
            f" A hatchling of your season {own.season} sells around {month_words(own.start)} at about "
            f"{price(own.price)} ({rng(own.low, own.high, show=price)})."
        )
    return words


def _counted_with(own: OwnYoung) -> str:
    reach = rng(own.low, own.high, show=price)
    return f"Your season {own.season} counts with about {price(own.price)} a hatchling ({reach})."


def _range_ahead(trait: TraitAnswer) -> tuple[float, float]:
    return float(trait.ahead.low80[-1]), float(trait.ahead.high80[-1])


def too_few_words(trait: TraitAnswer, answer: PricesAnswer) -> tuple[str, str]:
    """Say that a trait's prices are too few, and where the price may go as the other traits move."""
    n = trait.outlook.n
    count = f"{number_word(n, start=True)} {plural(n, 'price')} of {trait.outlook.key}"
    when = month_words(months_after(answer.today, AHEAD_MONTHS))
    reach = rng(*_range_ahead(trait), show=price)
    why = f"{count} {plural(n, 'is', 'are')} too few for a trend of its own."
    return why, f"If it moves as your other traits do, 8 in 10 forecasts for {when} lie from {reach}."


def cant_say(trait: TraitAnswer) -> bool:
    """Whether the prices are too few to say where a trait goes."""
    return trait.outlook.status == "can't say"


def basis_words(trait: TraitAnswer, answer: PricesAnswer) -> str:
    """What one trait's forecast rests on, with its limits."""
    outlook, drift = trait.outlook, answer.market.drift
    words = [outlook.basis.words, answer.asked_to_sold.words]
    before, after = yearly_rate(outlook.drift_before), yearly_rate(outlook.drift_after)
    if drift.pooled and outlook.basis.kind == "own trend" and before != after:
        words.append(f"Alone its prices say {before}; beside your other traits {after} is more likely.")
    words.append("All prices are brought to a bare hatchling of this trait when sold.")
    if not cant_say(trait):
        words.append(
            "Where a fall speeds up, every method is too high at first. Beyond 24 months the band is mostly "
            "guesswork."
        )
    return " ".join(words)


def supply_words(trait: TraitAnswer) -> str:
    """What the counts say of the price, or that they don't."""
    if trait.supply is None:
        return "Nothing was counted for this trait; load supply counts to see how price moves with offers."
    return trait.supply.price.words


def horizon_rows(trait: TraitAnswer, answer: PricesAnswer) -> tuple[tuple[str, str], ...]:
    """Forecast at 9, 12, 24 and 36 months: most likely, expected, and both ranges."""
    ahead = trait.ahead
    rows = []
    for months in HORIZONS:
        when = month(months_after(answer.today, months))
        likely, mean = price(float(ahead.median[months])), price(float(ahead.expected[months]))
        eight = rng(float(ahead.low80[months]), float(ahead.high80[months]), show=price)
        nineteen = rng(float(ahead.low95[months]), float(ahead.high95[months]), show=price)
        words = f"{likely} most likely, {mean} on average; 8 in 10: {eight}; 19 in 20: {nineteen}"
        rows.append((f"In {months} months, {when}", words))
    return tuple(rows)


def fit_lines(reports: tuple[FitReport, ...]) -> tuple[FitLine, ...]:
    """Simple fits beside ours, the one that missed least first; those that could not be tried last."""
    ordered = sorted(reports, key=lambda report: (report.n_forecasts == 0, report.error, report.name))
    return tuple(
        FitLine(
            name=report.name.capitalize(),
            words=WAYS[report.name],
            error=report.miss if report.n_forecasts else None,
            forecasts=report.n_forecasts,
            used=report.name == "this forecast",
        )
        for report in ordered
    )


def priced_rows(priced: PricedAnimal) -> tuple[tuple[str, str], ...]:
    """Price of one animal today and later."""
    forecast = priced.forecast
    rows = []
    for number, on in enumerate(priced.on):
        reach = rng(float(forecast.low80[number]), float(forecast.high80[number]), show=price)
        words = f"{price(float(forecast.median[number]))}, 8 in 10: {reach}"
        rows.append((month(on) if number else "Today", words))
    return tuple(rows)


def title(answer: PricesAnswer) -> str:
    """How the book's traits do, as a sentence."""
    falling, rising, total = answer.of("falling"), answer.of("rising"), len(answer.traits)
    known, many = total - len(answer.of("can't say")), number_word(total)
    if total == 1:
        return _title_of_one(answer.traits[0])
    if known == 0:
        return f"{number_word(total, start=True)} traits, and too few prices to say where any is going"
    if len(falling) == 1:
        start = f"{falling[0].outlook.key.capitalize()} is losing value"
    elif falling:
        count = number_word(len(falling), start=True)
        start = f"{count} of your {many} traits are losing value; {falling[0].outlook.key} fastest"
    elif rising:
        verb = plural(len(rising), "is", "are")
        return (
            f"{number_word(len(rising), start=True)} of your {many} traits {verb} gaining value; none falls"
        )
    else:
        return f"None of your {many} traits is clearly losing or gaining value"
    gains = f", and {number_word(len(rising))} {plural(len(rising), 'rises', 'rise')}"
    return start + (gains if rising else "")


def _title_of_one(trait: TraitAnswer) -> str:
    name = trait.outlook.key.capitalize()
    return {
        "falling": f"{name} is losing value",
        "rising": f"{name} is gaining value",
        "holding": f"{name} is neither clearly losing nor gaining value",
        "can't say": f"One trait, {trait.outlook.key}, and too few prices to say where it is going",
    }[trait.outlook.status]


def most_pressing(answer: PricesAnswer) -> TraitAnswer:
    """The trait to show first: the one whose flood is likeliest, else the first of the list."""
    flooded = [trait for trait in answer.traits if _floods(trait)]
    return max(
        flooded, key=lambda trait: trait.flood.chance if trait.flood else 0.0, default=answer.traits[0]
    )


def forecast_sheet(answer: PricesAnswer) -> Sheet:
    """Forecasts of all traits, for a file."""
    heads = (
        "trait",
        "status",
        "prices",
        "sold",
        f"today, {answer.currency}",
        "date",
        "most likely",
        "average",
        "8 in 10 from",
        "8 in 10 to",
        "19 in 20 from",
        "19 in 20 to",
        "what it rests on",
    )
    rows = []
    for trait in answer.traits:
        for months in HORIZONS:
            cells = (trait.ahead.median, trait.ahead.expected, trait.ahead.low80, trait.ahead.high80,
                     trait.ahead.low95, trait.ahead.high95)  # fmt: skip
            rows.append(
                (
                    trait.outlook.key,
                    trait.outlook.status,
                    trait.outlook.n,
                    trait.outlook.sold,
                    round(trait.outlook.today, 2),
                    months_after(answer.today, months),
                    *(round(float(part[months]), 2) for part in cells),
                    trait.outlook.basis.words,
                )
            )
    return Sheet("forecasts", heads, tuple(rows))
