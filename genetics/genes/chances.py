"""How the trade writes a chance: "66%" for two in three, and how it is read back."""

from __future__ import annotations

from fractions import Fraction

TRADE_THIRDS = {
    Fraction(2, 3): ("66", "66.6", "66.66", "66.67", "66.7", "67"),
    Fraction(1, 3): ("33", "33.3", "33.33"),
}
"""Spellings in per cent that mean thirds: the trade rounds them (common practice, no source)."""

VULGAR = {
    "½": Fraction(1, 2),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
}
"""Fractions that are one letter."""

_BY_SPELLING = {text: chance for chance, texts in TRADE_THIRDS.items() for text in texts}


def chance_text(chance: Fraction) -> str:
    """Chance as the trade writes it, exact: "66%", "50%", "12.5%", else a fraction like "4/7"."""
    if chance in TRADE_THIRDS:
        return f"{TRADE_THIRDS[chance][0]}%"
    percent = chance * 100
    thousandths = percent * 1000
    if thousandths.denominator == 1:
        text = f"{int(thousandths) / 1000:.3f}".rstrip("0").rstrip(".")
        if text not in _BY_SPELLING:
            return f"{text}%"
    return f"{chance.numerator}/{chance.denominator}"


def read_chance(text: str) -> Fraction:
    """Chance written as per cent ("66%", "12,5 per cent", "66") or as a fraction ("2/3", "⅔").

    Raises
    ------
    ValueError
        If it is not above 0 and at most 1, or not a number.
    """
    bare = text.lower().replace(" ", "").replace(",", ".")
    if bare in VULGAR:
        return VULGAR[bare]
    if "/" in bare:
        top, bottom = (int(part) for part in bare.split("/"))
        if bottom == 0:
            raise ValueError(f"'{text}' divides by nothing")
        value = Fraction(top, bottom)
    else:
        number = bare.removesuffix("%").removesuffix("percent")
        chance = _BY_SPELLING.get(number)
        value = Fraction(number) / 100 if chance is None else chance
    if not 0 < value <= 1:
        raise ValueError(f"'{text}' is not a chance; allowed: above 0%, at most 100%")
    return value
