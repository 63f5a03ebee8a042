"""How money, chances, ranges, counts and dates read on screen: one place for all of it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from typing import Final

from econ.money import CURRENCIES

THIN: Final = "\u202f"  # thin space that never breaks: thousands and percent
MINUS: Final = "\u2212"  # the true minus sign
CANT_SAY: Final = "can't say"
PAGES: Final = ("Season", "Pairing", "Prices", "Clutch", "Animals", "Genes", "Costs", "Book")
DEMO_NAME: Final = "Demo book:"
DEMO_WORDS: Final = "everything in it is invented."
START_OWN: Final = "Start my own book"
BACK_TO_OWN: Final = "Back to my own book"
BREAK_EVEN: Final = "break-even"

_SMALL_NUMBERS: Final = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip
_COPY_REASONS: Final = {
    "on start": "when the program started",
    "before import": "before a file was brought in",
    "before restore": "before another was restored",
    "before upgrade": "before the book was upgraded",
}
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip


def known(value: float | None) -> bool:
    """Say whether a figure can be printed: it is there and finite."""
    return value is not None and math.isfinite(value)


def num(value: float | None, step: float = 1, *, decimals: int = 0, sign: bool = False) -> str:
    """Print a number rounded to a step, with thin thousands and a true minus.

    Parameters
    ----------
    value
        Any number; None, NaN and infinity read "can't say".
    step
        Rounding step [same unit], above 0.
    decimals
        Digits after the point [0 to 9].
    sign
        Put a plus before a gain, for changes.

    Raises
    ------
    ValueError
        If the step is not above 0.
    """
    if not step > 0:
        raise ValueError(f"the rounding step is {step}; allowed: above 0")
    if value is None or not math.isfinite(value):
        return CANT_SAY
    whole_steps = step != 1 or decimals == 0
    rounded = math.copysign(math.floor(abs(value) / step + 0.5) * step, value) if whole_steps else value
    text = f"{abs(rounded):,.{decimals}f}".replace(",", THIN)
    if not any(digit in text for digit in "123456789"):
        return text
    return (MINUS if rounded < 0 else "+" if sign else "") + text


def grouped(text: str) -> str:
    """Put thin spaces into the whole numbers of a sentence: "100 000 of 100 000 rows"."""
    return re.sub(r"\b\d{4,}\b", lambda found: num(int(found[0])), text)


def money_step(value: float) -> float:
    """Give the step an estimate of this size is rounded to: 10 under 10 000, then 100, 1 000 and so on.

    Amounts under 10 keep whole units, so that a small gain or loss never reads as nothing.
    """
    size = abs(value)
    if size < 10:
        return 1
    if size < 10_000:
        return 10
    return float(10 ** (math.floor(math.log10(size)) - 2))


def money(value: float | None, *, sign: bool = False) -> str:
    """Print an estimated amount, rounded to 10 under 10 000: "1 130"."""
    if value is None or not math.isfinite(value):
        return CANT_SAY
    return num(value, money_step(value), sign=sign)


def total(value: float | None, *, sign: bool = False) -> str:
    """Print an estimated total, rounded to 100 from 1 000 on: "3 700"."""
    if value is None or not math.isfinite(value):
        return CANT_SAY
    return num(value, max(100.0, money_step(value)) if abs(value) >= 1000 else money_step(value), sign=sign)


def price(value: float | None) -> str:
    """Print an estimated price of one animal: whole units under 1 000, one decimal under 10."""
    if value is None or not math.isfinite(value):
        return CANT_SAY
    if round(abs(value), 1) < 10:
        return num(value, decimals=1)
    return num(value, 1 if abs(value) < 1000 else money_step(value))


def needs_words(needed: float | None) -> str:
    """Say what a hatchling must bring to break even: "needs 68", or that no price does."""
    return f"needs {price(needed)}" if known(needed) else "no price breaks even"


def exact(value: float | None, digits: int = 2) -> str:
    """Print an amount from the breeder's own records with all its digits: "1.25"."""
    return num(value, decimals=digits)


def own_sum(value: float | None, digits: int = 2) -> str:
    """Print a sum of the breeder's own records: exact, whole where it is whole: "2 310", "62.50"."""
    if value is None or not math.isfinite(value):
        return CANT_SAY
    return num(value) if value == round(value) else exact(value, digits)


def rng(low: float | None, high: float | None, *, show: Callable[[float | None], str] = money) -> str:
    """Print a range as "420 to 2 010", each end through the same rounding."""
    if not known(low) or not known(high):
        return CANT_SAY
    return f"{show(low)} to {show(high)}"


def freq(chance: float | None) -> str:
    """Print a chance as "n in 100"; what rounds to none or to all is said as under 1 or over 99.

    Raises
    ------
    ValueError
        If the chance is outside 0 to 1.
    """
    if chance is None or not math.isfinite(chance):
        return CANT_SAY
    if not -1e-9 <= chance <= 1 + 1e-9:
        raise ValueError(f"the chance is {chance}; allowed: 0 to 1")
    if chance < 0.01:
        return "under 1 in 100"
    if 0.995 <= chance < 1 - 1e-9:
        return "over 99 in 100"
    return f"{math.floor(100 * chance + 0.5)} in 100"


def of_hundred(chance: float | None) -> str:
    """Print a chance as the number it makes of a hundred, for a sentence: "6", "fewer than 1"."""
    words = freq(chance).removesuffix(" in 100")
    return words.replace("under 1", "fewer than 1").replace("over", "more than")


def loss_sentence(chance: float | None, many: str = "seasons") -> str:
    """Say the chance of a loss as a sentence: "Of 100 such seasons 6 would end with a loss."."""
    if not known(chance):
        return f"How many such {many} would end with a loss: {CANT_SAY}."
    return f"Of 100 such {many} {of_hundred(chance)} would end with a loss."


def percent(share: float | None, decimals: int = 0, *, sign: bool = False) -> str:
    """Print a share (0.24) as percent with a thin space: "24 %"."""
    if share is None or not math.isfinite(share):
        return CANT_SAY
    return num(100 * share, decimals=decimals, sign=sign) + THIN + "%"


def yearly_rate(log_change: float | None) -> str:
    """Print a yearly change given on the log scale: "−24 % a year"."""
    if log_change is None or not math.isfinite(log_change):
        return CANT_SAY
    return percent(math.expm1(min(log_change, 20.0)), sign=True) + " a year"


def count(value: float | None) -> str:
    """Print an expected number with one decimal: "0.7"; a small one reads "under 0.1"."""
    if value is None or not math.isfinite(value):
        return CANT_SAY
    return "under 0.1" if 0 < value < 0.05 else num(value, decimals=1)


def sexes(males: float | None, females: float | None) -> str:
    """Print an expected split by sex: "0.4 m, 0.4 f"."""
    if not known(males) or not known(females):
        return CANT_SAY
    return f"{count(males)} m, {count(females)} f"


def sex_counts(males: int, females: int, unsexed: int = 0) -> str:
    """Print whole counts as the trade writes them, males.females.unsexed: "1.0", "2.3.1"."""
    ends = f".{unsexed}" if unsexed else ""
    return f"{males}.{females}{ends}"


def day(on: date | None) -> str:
    """Print a date as 2027-07-14."""
    return CANT_SAY if on is None else on.isoformat()


def month(on: date | None) -> str:
    """Print a month as 2029-03."""
    return CANT_SAY if on is None else f"{on.year:04d}-{on.month:02d}"


def month_words(on: date | None) -> str:
    """Print a month for a sentence: "November 2029"."""
    return CANT_SAY if on is None else f"{_MONTHS[on.month - 1]} {on.year}"


def day_words(on: date | None) -> str:
    """Print a day for a sentence: "2 November 2026"."""
    return CANT_SAY if on is None else f"{on.day} {_MONTHS[on.month - 1]} {on.year}"


def number_word(n: int, *, start: bool = False) -> str:
    """Print a count in words up to twelve, in figures above; with a capital at the start of a sentence."""
    word = _SMALL_NUMBERS[n] if 0 <= n < len(_SMALL_NUMBERS) else num(n)
    return word[:1].upper() + word[1:] if start else word


def copy_reason(why: str) -> str:
    """Say for a sentence why a copy of the book was put aside: "before a file was brought in"."""
    return _COPY_REASONS.get(why, why)


def plural(n: float, one: str, many: str = "") -> str:
    """Choose the word for a count: "pairing" for 1, "pairings" for the rest."""
    return one if n == 1 else many or one + "s"


def listed(items: list[str] | tuple[str, ...]) -> str:
    """Join names for a sentence: "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return ", ".join(items[:-1]) + " and " + items[-1]


def figure(value: float | None, unit: str) -> str:
    """Print one of the breeder's figures in its unit: a share as percent, money with its decimals.

    A unit from `unit_in` names the currency; where "money" stands without one, two decimals are printed.
    Shares and plain numbers keep two decimals at most, without zeros at the end: "4.5 %".
    """
    if value is None or not math.isfinite(value):
        return CANT_SAY
    if unit.startswith("share"):
        return _short(100 * value) + THIN + "%"
    digits = money_digits(value, unit)
    if digits is not None:
        return exact(value, digits)
    return _short(value)


def _short(value: float) -> str:
    """Print a number with two decimals at most, without zeros at its end."""
    text = num(value, decimals=2)
    return text.rstrip("0").rstrip(".") if "." in text else text


def unit_in(unit: str, currency: str) -> str:
    """Name the book's currency in a figure's unit: "JPY a year" for "money a year"."""
    return currency + unit.removeprefix("money") if unit.startswith("money") else unit


def money_digits(value: float | None, unit: str) -> int | None:
    """Give the decimals of a figure in money, or None for one that is not money.

    They are those of the currency in the unit (JPY none, EUR two, KWD three), two for plain "money". A
    figure so small that it would read as nothing, such as 0.3 JPY a kWh, gets two more.
    """
    word = unit.partition(" ")[0]
    digits = 2 if word == "money" else CURRENCIES.get(word)
    if digits is None or value is None or not 0 < abs(value) < 0.5 * 10.0**-digits:
        return digits
    return digits + 2


def step_of(low: float, high: float, *, whole: bool = False) -> tuple[float, str]:
    """Give the step of an input for a figure between two ends, about a tenth of them, and its format."""
    if whole:
        return 1.0, "%d"
    size = max(high - low, 1e-9) / 10
    power = 10.0 ** math.floor(math.log10(size))
    step = max(next(part for part in (1.0, 2.0, 5.0, 10.0) if part * power >= size * 0.75) * power, 0.01)
    return step, "%.2f" if step < 0.1 or power < 0.1 else "%.1f"


def input_size(unit: str) -> float:
    """Give what a figure is multiplied with for its input: shares are typed as percent."""
    return 100.0 if unit.startswith("share") else 1.0


def input_unit(unit: str) -> str:
    """Give the unit in which a figure is typed: "percent a month" for "share a month"."""
    return unit.replace("share", "percent", 1) if unit.startswith("share") else unit
