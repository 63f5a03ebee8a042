"""The one start: serves the pages to this computer alone and opens them in the browser."""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import time
import webbrowser
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import IO, Final

from dashboard import running
from dashboard.home import (
    BOOK_VARIABLE,
    Place,
    Settings,
    as_place,
    log_path,
    own_book_place,
    read_settings,
    write_settings,
)

_PACKAGE: Final = Path(__file__).resolve().parent
_PATIENCE: Final = 60.0  # for the server to answer [s]
_LARGEST_LOG: Final = 1_000_000  # [bytes]
# Said again at the start, so that no setting of the computer can open the program to others.
_SETTINGS: Final = {
    "server.address": running.ADDRESS,
    "server.headless": "true",
    "server.fileWatcherType": "none",
    "server.enableCORS": "true",
    "server.enableXsrfProtection": "true",
    "browser.gatherUsageStats": "false",
    "client.showErrorDetails": "none",
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Start the program, or open the one that already runs with this book.

    Parameters
    ----------
    arguments
        Words of the command line without the program's name; None takes the real ones.

    Returns
    -------
    int
        0 when all went well, 1 when the server did not start, 2 for a wrong word, a shared address
        without its password, or a port in use.
    """
    asked = _parser().parse_args(arguments)
    book = own_book_place() if asked.book is None else as_place(asked.book)
    wrong = _what_is_wrong_with(book)
    if wrong:
        sys.stderr.write(f"{wrong}\n")
        return 2
    if asked.book is not None:
        os.environ[BOOK_VARIABLE] = str(book)
        write_settings(Settings("own"))
    try:
        claim, ours = running.claim(book, asked.port)
    except running.PortTakenError as fault:
        sys.stderr.write(f"{fault}\n")
        return 2
    if not ours:
        _say(f"Hatchmargin already runs with this book: {claim.url}")
        _show(claim.url, wanted=not asked.no_browser)
        return 0
    try:
        return _serve(claim, book, browser=not asked.no_browser)
    finally:
        claim.give_up()


def _what_is_wrong_with(book: Place) -> str:
    """Give the sentence that refuses a shared address or a missing password; empty for a file."""
    if isinstance(book, Path):
        return ""
    from dashboard.records.store.addresses import AddressRefused, read_address, read_password

    try:
        read_address(book)
        read_password()
    except AddressRefused as fault:
        return str(fault)
    return ""


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hatchmargin",
        description="What each ball python pairing is expected to earn, from your own book, in your browser. "
        "Nothing leaves this computer.",
    )
    book = "the file of your book, which is started if there is none, or the address of a shared one"
    parser.add_argument("--book", help=book)
    parser.add_argument("--port", type=_port, help=f"port on this computer (usually {running.USUAL_PORT})")
    parser.add_argument("--no-browser", action="store_true", help="only print the address")
    parser.add_argument("--version", action="version", version=f"hatchmargin {_version()}")
    return parser


def _port(word: str) -> int:
    if not word.isdigit() or not 1 <= int(word) <= 65_535:
        raise argparse.ArgumentTypeError(f"“{word}” is no port; allowed: 1 to 65535")
    return int(word)


def _version() -> str:
    try:
        return version("hatchmargin")
    except PackageNotFoundError:
        return "(not installed)"


def _serve(claim: running.Claim, book: Place, *, browser: bool) -> int:
    """Run the server until it ends or the breeder stops it; all it prints goes to the log."""
    for name in (signal.SIGTERM, getattr(signal, "SIGHUP", None)):
        if name is not None:
            signal.signal(name, _stop)
    with _open_log() as log:
        command = _command(claim.port)  # our own words only, no shell
        server = subprocess.Popen(command, stdout=log, stderr=log, env=_environment(claim.port))  # noqa: S603
        try:
            if not _came_up(server, claim.port):
                sys.stderr.write(f"Hatchmargin did not start. What went wrong is in {log_path()}\n")
                return 1
            _say(f"Hatchmargin: {claim.url}")
            there = not isinstance(book, Path) or book.exists()
            _say(f"Your book:   {book}" + ("" if there else " (not started yet)"))
            if read_settings().open_book == "demo":
                _say("Open now:    the demo book, in which everything is invented")
            _say("Stop it with Ctrl+C.")
            _show(claim.url, wanted=browser)
            return server.wait()
        except KeyboardInterrupt:
            return 0
        finally:
            _end(server)


def _stop(_number: int, _frame: object) -> None:
    raise KeyboardInterrupt


def _command(port: int) -> list[str]:
    flags = [f"--{name}={value}" for name, value in {**_SETTINGS, "server.port": str(port)}.items()]
    # -P keeps a folder of the same name in the working folder from being taken for a part of the program.
    return [sys.executable, "-P", "-m", "streamlit", "run", str(_PACKAGE / "app.py"), *flags]


def _environment(port: int) -> dict[str, str]:
    known = os.environ.get("PYTHONPATH", "")
    paths = [str(_PACKAGE.parent), *([known] if known else [])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths), running.PORT_VARIABLE: str(port)}


def _open_log() -> IO[bytes]:
    path = log_path()
    if path.exists() and path.stat().st_size > _LARGEST_LOG:
        path.replace(path.with_suffix(".older.log"))
    return path.open("ab")


def _came_up(server: subprocess.Popen[bytes], port: int) -> bool:
    end = time.monotonic() + _PATIENCE
    while time.monotonic() < end and server.poll() is None:
        if running.is_up(port):
            return True
        time.sleep(0.05)
    return False


def _end(server: subprocess.Popen[bytes]) -> None:
    if server.poll() is None:
        server.terminate()
        try:
            server.wait(5)
        except subprocess.TimeoutExpired:
            server.kill()


def _say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def _show(url: str, *, wanted: bool) -> None:
    if wanted:
        webbrowser.open(url)


if __name__ == "__main__":
    sys.exit(main())
