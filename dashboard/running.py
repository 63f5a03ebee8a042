"""Is a program with this book already running, and where? One small file per book says so."""

from __future__ import annotations

import hashlib
import json
import os
import socket
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from dashboard.home import Place, home_folder

ADDRESS: Final = "127.0.0.1"
USUAL_PORT: Final = 8741
PORT_VARIABLE: Final = "HATCHMARGIN_PORT"
_USUAL_SERVER_PORT: Final = 5432
_STARTING: Final = 25.0  # a program that is not up after this never will be [s]


@dataclass(frozen=True)
class Claim:
    """The file that keeps a second program from the same book, and the port the first one serves."""

    path: Path
    port: int

    @property
    def url(self) -> str:
        """Address of the running program."""
        return f"http://{ADDRESS}:{self.port}"

    def give_up(self) -> None:
        """Take away the file, and those of books this program turned to; another start may claim them."""
        self.path.unlink(missing_ok=True)
        for place in home_folder().glob("running-*.json"):
            found = _read(place)
            if found is not None and found.port == self.port:
                place.unlink(missing_ok=True)


class PortTakenError(Exception):
    """The port asked for is in use by another program."""


class BookRunsElsewhereError(Exception):
    """Another program on this computer has the book; its address is in the sentence."""


def claim(book: Place, port: int | None, *, taken: bool = False) -> tuple[Claim, bool]:
    """Claim a book, or find the program that has it.

    Parameters
    ----------
    book
        The book's file, or the address of a shared book.
    port
        Port asked for; None takes the usual one, or any that is free.
    taken
        Whether the port is this program's own already.

    Returns
    -------
    tuple
        The claim, and whether it is ours; if not, its program is up and answers.

    Raises
    ------
    PortTakenError
        If the port asked for is not free.
    """
    place = _claim_path(book)
    found = _read(place)
    if found is not None:
        if _answers(found, place):
            return found, False
        place.unlink(missing_ok=True)
    chosen = port if taken and port is not None else _free_port(port)
    try:
        handle = os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        return claim(book, port, taken=taken)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump({"port": chosen, "book": str(book)}, file)
    return Claim(place, chosen), True


def follow(book: Place) -> None:
    """Claim another book for the program that runs this code, which turns to it.

    Raises
    ------
    BookRunsElsewhereError
        If another program on this computer has that book.
    """
    own = os.environ.get(PORT_VARIABLE, "")
    if not own.isdigit():
        return  # not run by the program: nobody to keep apart
    found, ours = claim(book, int(own), taken=True)
    if not ours and found.port != int(own):
        raise BookRunsElsewhereError(f"Another Hatchmargin on this computer has this book open: {found.url}")


def is_up(port: int) -> bool:
    """Ask the server on a port whether it is well."""
    try:
        with urllib.request.urlopen(f"http://{ADDRESS}:{port}/_stcore/health", timeout=1) as answer:
            return bool(answer.read() == b"ok")
    except (urllib.error.URLError, OSError, ValueError):
        return False


def _claim_path(book: Place) -> Path:
    name = hashlib.sha256(_identity(book).encode()).hexdigest()[:12]
    return home_folder() / f"running-{name}.json"


def _identity(book: Place) -> str:
    """Name one book by its file, or by server and database, whoever the user is."""
    if isinstance(book, Path):
        return str(book.resolve())
    parts = urlsplit(book)
    return f"{parts.hostname}:{parts.port or _USUAL_SERVER_PORT}{parts.path}"


def _read(place: Path) -> Claim | None:
    try:
        return Claim(place, int(json.loads(place.read_text(encoding="utf-8"))["port"]))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError):
        return Claim(place, 0)


def _answers(found: Claim, place: Path) -> bool:
    """Wait for a program that may just be starting; an old file without a server behind it is stale."""
    while True:
        if found.port and is_up(found.port):
            return True
        try:
            age = time.time() - place.stat().st_mtime
        except OSError:
            return False
        if not -1 < age < _STARTING:
            return False
        time.sleep(0.1)
        found = _read(place) or found


def _free_port(asked: int | None) -> int:
    for port in [USUAL_PORT, 0] if asked is None else [asked]:
        with socket.socket() as trial:
            if os.name == "posix":
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((ADDRESS, port))
            except OSError:
                continue
            return int(trial.getsockname()[1])
    raise PortTakenError(f"Port {asked} is in use by another program; leave --port out or name another one.")
