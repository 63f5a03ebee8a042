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

from dashboard.home import home_folder

ADDRESS: Final = "127.0.0.1"
USUAL_PORT: Final = 8741
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
        """Take the file away; another start may claim the book."""
        self.path.unlink(missing_ok=True)


class PortTakenError(Exception):
    """The port asked for is in use by another program."""


def claim(book: Path, port: int | None) -> tuple[Claim, bool]:
    """Claim a book, or find the program that has it.

    Parameters
    ----------
    book
        The book's file.
    port
        Port asked for; None takes the usual one, or any that is free.

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
    chosen = _free_port(port)
    try:
        handle = os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        return claim(book, port)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump({"port": chosen, "book": str(book)}, file)
    return Claim(place, chosen), True


def is_up(port: int) -> bool:
    """Ask the server on a port whether it is well."""
    try:
        with urllib.request.urlopen(f"http://{ADDRESS}:{port}/_stcore/health", timeout=1) as answer:
            return bool(answer.read() == b"ok")
    except (urllib.error.URLError, OSError, ValueError):
        return False


def _claim_path(book: Path) -> Path:
    name = hashlib.sha256(str(book.resolve()).encode()).hexdigest()[:12]
    return home_folder() / f"running-{name}.json"


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
