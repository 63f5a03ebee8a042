"""What is one unit of money: currency codes, and exact steps between whole and smallest units."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

# Codes and number of decimals after ISO 4217 (codes for the representation of currencies). The list was
# put down from memory and holds the currencies in daily use; a code that is missing here is refused.
_DECIMALS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF "
        "CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD "
        "HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK "
        "MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD "
        "RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS "
        "UAH USD UYU UZS VED VES WST XCD YER ZAR ZMW"
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
}

CURRENCIES: Mapping[str, int] = MappingProxyType(
    {code: digits for digits, codes in sorted(_DECIMALS.items()) for code in codes.split()}
)
"""Currency code -> decimals of its smallest unit (ISO 4217; put down from memory)."""


_LARGEST_FIGURES = 15


class UnknownCurrency(ValueError):
    """A currency code that is not on the list."""


class BadAmount(ValueError):
    """A sum of money that can't be read, or has more decimals than its currency."""


def minor_digits(currency: str) -> int:
    """Decimals of a currency: 2 for EUR, 0 for JPY (ISO 4217).

    Raises
    ------
    UnknownCurrency
        If the code is not on the list.
    """
    digits = CURRENCIES.get(currency)
    if digits is None:
        raise UnknownCurrency(
            f"currency {currency!r} is not known; allowed: an ISO 4217 code such as EUR, USD or GBP"
        )
    return digits


def to_minor(amount: Decimal | str | int, currency: str) -> int:
    """Whole number of smallest units in an amount: "12.50", "EUR" -> 1250. Never rounds.

    Raises
    ------
    UnknownCurrency
        If the code is not on the list.
    BadAmount
        If the amount is not a plain number, or has more decimals than the currency.
    """
    digits = minor_digits(currency)
    try:
        value = Decimal(amount)
    except (InvalidOperation, ValueError, TypeError):
        raise BadAmount(f"amount {amount!r} can't be read; allowed: a number such as 12.50") from None
    if not value.is_finite():
        raise BadAmount(f"amount {amount!r} is not a sum of money; allowed: a number such as 12.50")
    _, figures, exponent = value.as_tuple()
    assert isinstance(exponent, int)  # noqa: S101 - only infinities and "not a number" have letters there
    if len(figures) + exponent > _LARGEST_FIGURES:
        raise BadAmount(
            f"amount {amount!r} is too large; allowed: {_LARGEST_FIGURES} figures before the point"
        )
    scaled = value.scaleb(digits)
    whole = int(scaled)
    if scaled != whole:
        raise BadAmount(f"amount {amount} has more decimals than {currency} has; allowed: {digits}")
    return whole


def from_minor(minor: int, currency: str) -> float:
    """Amount in whole units: 1250, "EUR" -> 12.5.

    Raises
    ------
    UnknownCurrency
        If the code is not on the list.
    """
    return float(exact_amount(minor, currency))


def exact_amount(minor: int, currency: str) -> Decimal:
    """Amount in whole units with all its decimals: 1250, "EUR" -> Decimal("12.50").

    Raises
    ------
    UnknownCurrency
        If the code is not on the list.
    """
    return Decimal(minor).scaleb(-minor_digits(currency))
