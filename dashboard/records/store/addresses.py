"""Where does a book lie: in a file, or at an address that several people share?"""

from __future__ import annotations

import hashlib
import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import SplitResult, parse_qsl, quote, unquote, urlsplit

from dashboard.records.faults import BookError

PASSWORD_VARIABLE: Final = "HATCHMARGIN_PASSWORD"  # noqa: S105 - the name of a variable
USUAL_PORT: Final = 5432
ENCRYPTION: Final = ("disable", "require", "verify-ca", "verify-full")
_STARTS: Final = ("postgresql:", "postgres:")
_THIS_COMPUTER: Final = ("localhost", "127.0.0.1", "::1")
_FORM: Final = "postgresql://user@host:port/name"


class AddressRefused(BookError):
    """The address of a shared book, or the password for it, is not as it must be."""


@dataclass(frozen=True)
class SharedAddress:
    """Address of a PostgreSQL database that holds one book; never its password.

    Attributes
    ----------
    host, port, user, database
        Where the server answers, as whom, and the database's name.
    encryption
        The server's word for how the line is encrypted; empty takes `sslmode`'s own choice.
    """

    host: str
    port: int
    user: str
    database: str
    encryption: str = ""

    def __str__(self) -> str:
        host = f"[{self.host}]" if ":" in self.host else self.host
        plain = f"postgresql://{quote(self.user)}@{host}:{self.port}/{quote(self.database)}"
        return f"{plain}?sslmode={self.encryption}" if self.encryption else plain

    @property
    def name(self) -> str:
        """Name of the database."""
        return self.database

    @property
    def stem(self) -> str:
        """Name for files of this book: the same for every user of the same database."""
        plain = re.sub(r"[^A-Za-z0-9_]+", "-", self.database).strip("-") or "book"
        key = f"{self.host}:{self.port}/{self.database}"
        return f"shared-{plain}-{hashlib.sha256(key.encode()).hexdigest()[:8]}"

    @property
    def sslmode(self) -> str:
        """How the line is encrypted: to another computer always, unless the address says otherwise."""
        if self.encryption:
            return self.encryption
        return "prefer" if self.host in _THIS_COMPUTER else "require"


Place = Path | SharedAddress
"""Where one book lies."""


def is_address(text: str) -> bool:
    """Say whether a text means a shared address rather than a file."""
    return text.strip().lower().startswith(_STARTS)


def read_place(said: str | Place) -> Place:
    """Read a path or an address as it was typed.

    Raises
    ------
    AddressRefused
        If it is an address with a password in it, or not of the form postgresql://user@host:port/name.
        The sentence never repeats the address, since it may hold a password.
    """
    if isinstance(said, SharedAddress):
        return said
    if isinstance(said, Path):
        if is_address(str(said)):
            raise AddressRefused("A shared address is not a path; give it as a text.")
        return said
    return read_address(said) if is_address(said) else Path(said).expanduser()


def read_address(text: str) -> SharedAddress:
    """Read a shared address; raises `AddressRefused` as `read_place`."""
    try:
        parts = urlsplit(text.strip())
        port = parts.port or USUAL_PORT
    except ValueError:
        raise AddressRefused(f"The address can't be read; its form is {_FORM}.") from None
    encryption = _encryption(parts)
    if parts.password is not None:
        raise AddressRefused(
            "The address carries a password. Take it out, and set it in the environment variable "
            f"{PASSWORD_VARIABLE} instead; a password is never kept by the program."
        )
    user, database = unquote(parts.username or ""), unquote(parts.path.removeprefix("/"))
    missing = [
        word
        for word, value in (("user", user), ("host", parts.hostname), ("name", database))
        if not value or not value.isprintable()
    ]
    if missing or "/" in database or parts.fragment or not parts.netloc:
        lacks = f" It has no {' and no '.join(missing)}." if missing else ""
        raise AddressRefused(f"The address can't be read; its form is {_FORM}.{lacks}")
    return SharedAddress(str(parts.hostname), port, user, database, encryption)


def _encryption(parts: SplitResult) -> str:
    """Read what stands behind the question mark: only how the line is encrypted."""
    said = dict(parse_qsl(parts.query, keep_blank_values=True))
    word = said.pop("sslmode", "")
    if said:
        raise AddressRefused(
            "Behind the question mark of an address only sslmode may stand; a password belongs in the "
            f"environment variable {PASSWORD_VARIABLE}."
        )
    if word and word not in ENCRYPTION:
        raise AddressRefused(f"The address has a wrong sslmode; allowed: {', '.join(ENCRYPTION)}.")
    return word


def read_password() -> str:
    """Read the password for shared books from the environment.

    Raises
    ------
    AddressRefused
        If none is set there.
    """
    password = os.environ.get(PASSWORD_VARIABLE, "")
    if not password:
        raise AddressRefused(
            f"A shared book needs a password. Set it in the environment variable {PASSWORD_VARIABLE} "
            "before Hatchmargin is started; it is never kept by the program."
        )
    return password
