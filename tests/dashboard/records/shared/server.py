"""A PostgreSQL server of its own for the tests: started in a folder of its own, asked for a password."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import psycopg

USER, PASSWORD = "keeper", "only for tests: Zaun&Milch/42"


def binaries() -> Path | None:
    """Folder of the newest installed server programs, or None."""
    asked = shutil.which("pg_config")
    places = list(Path("/usr/lib/postgresql").glob("*/bin"))
    if asked:
        said = subprocess.run([asked, "--bindir"], capture_output=True, text=True, check=False).stdout.strip()
        places += [Path(said)] if said else []
    places += [Path(place).parent for place in (shutil.which("postgres"),) if place]
    found = [place for place in places if (place / "postgres").exists() and (place / "initdb").exists()]
    return max(found, key=lambda place: [int(p) if p.isdigit() else 0 for p in place.parts], default=None)


def _free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return trial.getsockname()[1]


def _unprivileged() -> dict[str, object]:
    """The server refuses to run as root: run it as somebody who may do nothing else."""
    if os.getuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        with contextlib.suppress(KeyError):
            found = pwd.getpwnam(name)
            return {"user": found.pw_uid, "group": found.pw_gid, "extra_groups": []}
    raise RuntimeError("no user is there to run a server as")


@dataclass
class Server:
    """One running server."""

    programs: Path
    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    numbers: count[int] = field(default_factory=lambda: count(1))

    @property
    def settings(self) -> list[str]:
        words = {
            "listen_addresses": "127.0.0.1",
            "port": self.port,
            "unix_socket_directories": self.folder,
            "fsync": "off",  # the computer is not switched off in these tests; processes are killed
            "shared_buffers": "32MB",
            "max_connections": 60,
            "log_min_messages": "warning",
        }
        return [word for name, value in words.items() for word in ("-c", f"{name}={value}")]

    def start(self) -> None:
        command = [str(self.programs / "postgres"), "-D", str(self.folder / "data"), *self.settings]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                command, stdout=log, stderr=log, cwd=self.folder, **_unprivileged()
            )
        end = time.monotonic() + 30
        while time.monotonic() < end:
            with contextlib.suppress(psycopg.OperationalError), self.connect():
                return
            time.sleep(0.05)
        raise RuntimeError((self.folder / "log").read_text())

    def stop(self, *, at_once: bool = False) -> None:
        """Stop without waiting for visitors; at once also without putting anything in order."""
        assert self.process is not None
        self.process.send_signal(signal.SIGQUIT if at_once else signal.SIGINT)
        self.process.wait(30)

    def connect(self, database: str = "postgres", **more: object) -> psycopg.Connection:
        return psycopg.connect(
            host="127.0.0.1",
            port=self.port,
            user=USER,
            password=PASSWORD,
            dbname=database,
            autocommit=True,
            **more,
        )

    def address(self, database: str) -> str:
        return f"postgresql://{USER}@127.0.0.1:{self.port}/{database}"

    def new_database(self) -> str:
        """Make an empty database; gives its name."""
        name = f"book_{next(self.numbers)}"
        with self.connect() as raw:
            raw.execute(f"CREATE DATABASE {name}")
        return name


def start_server(programs: Path) -> Server:
    """Make a server from nothing and start it."""
    folder = Path(tempfile.mkdtemp(prefix="hatchmargin-server-"))
    who = _unprivileged()
    if who:
        os.chown(folder, who["user"], who["group"])
    secret = folder / "secret"
    secret.write_text(PASSWORD + "\n")
    secret.chmod(0o644)
    words = ["-D", str(folder / "data"), "-U", USER, "--auth=scram-sha-256", f"--pwfile={secret}"]
    subprocess.run(
        [str(programs / "initdb"), *words, "-E", "UTF8", "--locale=C", "--no-sync"],
        check=True,
        capture_output=True,
        cwd=folder,
        **who,
    )
    server = Server(programs, folder, _free_port())
    server.start()
    return server
