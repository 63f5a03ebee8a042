"""How is a shared book reached? Reading sees one moment, writers wait for each other."""

from __future__ import annotations

import time
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, create_engine, select, text
from sqlalchemy.exc import DBAPIError, InterfaceError

from dashboard.records import schema
from dashboard.records.faults import BookOutOfReach, NotStored
from dashboard.records.store.addresses import SharedAddress, read_password
from dashboard.records.store.info_rows import COUNTER
from dashboard.records.store.limits import refuse_what_is_too_long

PATIENCE: Final = 5000  # for another writer to finish [ms]
_OPTIONS: Final = {
    "lock_timeout": PATIENCE,
    "idle_in_transaction_session_timeout": 60_000,  # a writer that fell asleep [ms]
    "tcp_keepalives_idle": 30,
    "tcp_keepalives_interval": 10,
    "tcp_keepalives_count": 3,
    "client_min_messages": "warning",
    "timezone": "UTC",
}
_SAFE_ASKING: Final = 160_000  # from this version on the driver can insist on how the password is asked for
_BUSY: Final = "Another person or window is writing to the book"
_REASONS: Final = {
    "55P03": _BUSY,
    "40P01": _BUSY,
    "40001": _BUSY,
    "53100": "The server's disk is full",
    "53300": "The server has no room for another visitor",
    "42501": "The server does not let this user do that",
    "25006": "The shared book may only be read at present",
    "42P01": "A table of the shared book is missing",
}
_REFUSALS: Final = (
    ("authentication method requirement", "The server does not ask for the password in the safe way (SCRAM)"),
    ("authentication failed", "The server refused the user or the password"),
    ("no pg_hba.conf entry", "The server lets nobody in from this computer as this user"),
    ("SSL", "The server's line is not encrypted as it must be"),
    ("does not exist", "The server has no such database or user"),
    ("in recovery mode", "The server is just starting"),
    ("is starting up", "The server is just starting"),
    ("is shutting down", "The server is just stopping"),
)
_UNREACHED: Final = "The server can't be reached or ended the connection"


def make_shared_engine(address: SharedAddress) -> Engine:
    """Engine of one shared book; the password is read from the environment and kept nowhere else.

    Raises
    ------
    AddressRefused
        If no password is set.
    BookOutOfReach
        If the driver is not installed.
    """
    asked = {"password": read_password(), "sslmode": address.sslmode, "connect_timeout": 5}
    asked |= {"application_name": "hatchmargin", "client_encoding": "utf8"}
    asked["options"] = " ".join(f"-c {name}={value}" for name, value in _OPTIONS.items())
    try:
        import psycopg

        if psycopg.pq.version() >= _SAFE_ASKING:
            asked["require_auth"] = "scram-sha-256"
        engine = create_engine(
            _url(address), connect_args=asked, pool_size=3, max_overflow=10, pool_pre_ping=True
        )
    except ImportError as fault:
        raise BookOutOfReach(
            "A shared book needs the driver of PostgreSQL, which is not installed: "
            "pip install 'hatchmargin[shared]'."
        ) from fault
    refuse_what_is_too_long(engine)
    return engine


def _url(address: SharedAddress) -> URL:
    return URL.create(
        "postgresql+psycopg",
        username=address.user,
        host=address.host,
        port=address.port,
        database=address.database,
    )


def plain_reason(fault: DBAPIError) -> str:
    """Say in a few words why the server refused or could not be reached."""
    state = getattr(fault.orig, "sqlstate", None)
    if state in _REASONS:
        return _REASONS[str(state)]
    if state is None or str(state)[:2] in {"08", "28", "3D", "57"} or fault.connection_invalidated:
        said = str(fault.orig)
        return next((words for sign, words in _REFUSALS if sign in said), _UNREACHED)
    if str(state).startswith("22"):
        return "A text or a number is not one the shared book can keep"
    return f"The server refused ({_first_line(fault)})"


def _first_line(fault: DBAPIError) -> str:
    return str(fault.orig).strip().partition("\n")[0]


class PostgresDatabase:
    """One shared book, for one `Store`."""

    def __init__(self, address: SharedAddress) -> None:
        self.place = address
        self.engine = make_shared_engine(address)

    def for_reading(self, connection: Connection) -> Connection:
        """Have everything that is read be of one moment."""
        return connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)

    def for_writing(self, connection: Connection) -> Connection:
        """Have each statement see what the writer before has stored."""
        return connection.execution_options(isolation_level="READ COMMITTED", postgresql_readonly=False)

    def admit(self, connection: Connection) -> str:
        """Wait for other writers, and give the ticket by which the server knows this transaction.

        Raises
        ------
        NotStored
            If a newer program has changed the tables since the book was opened.
        """
        lock_writers_out(connection)
        found = connection.execute(
            text("SELECT pg_current_xact_id()::text AS ticket, version_num FROM alembic_version")
        ).one()
        if int(found.version_num) != schema.SCHEMA_VERSION:
            raise NotStored(
                "The shared book was changed by a newer Hatchmargin. Start the newer one. Nothing was saved."
            )
        return str(found.ticket)

    def was_stored(self, ticket: str) -> bool | None:
        """Ask the server what became of a transaction whose end was not heard of; None if it can't say."""
        question = text("SELECT pg_xact_status(CAST(CAST(:ticket AS text) AS xid8))")
        for pause in (0.0, 0.2, 0.5, 1.0):
            time.sleep(pause)
            try:
                with self.engine.connect() as connection:
                    state = connection.execute(question, {"ticket": ticket}).scalar_one()
            except (DBAPIError, InterfaceError):
                continue
            if state != "in progress":
                return bool(state == "committed")
        return None

    def reason(self, fault: DBAPIError) -> str:
        """Say in a few words why the server refused."""
        return plain_reason(fault)


def lock_writers_out(connection: Connection) -> None:
    """Take the row that counts the edits, so that writers come one after another; readers go on."""
    row: Any = select(schema.info.c.value).where(schema.info.c.key == COUNTER).with_for_update()
    connection.execute(row).scalar_one()
