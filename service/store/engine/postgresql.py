"""PostgreSQL as a store uses it: a connection for each thread, made anew where it was lost."""

from __future__ import annotations

from typing import Any

from peewee import (
    ImproperlyConfigured,
    InterfaceError,
    OperationalError,
    PostgresqlDatabase,
    Psycopg3Adapter,
)

from .sealing import SealingDatabase

BOUNDS = {"connect_timeout": 5, "keepalives_idle": 30, "tcp_user_timeout": 10_000}
"""How long a line that leads nowhere is waited at (s, s, ms), unless the address says: libpq's own
bound is the operating system's, a quarter of an hour.
"""


class Driver(Psycopg3Adapter):
    """As peewee's own, for a peewee that was imported without the driver (see `library`)."""

    txn_idle, txn_inerror, txn_unknown = 0, 3, 4  # libpq's PGTransactionStatusType

    def check_driver(self) -> None:
        """See that the driver is installed; peewee asks before it connects."""
        try:
            import psycopg  # noqa: F401 (late: it takes longer than a command on a file)
        except ImportError as error:
            raise ImproperlyConfigured("psycopg is not installed") from error

    def connect(self, db: PostgresqlDatabase, **params: Any) -> Any:
        """A connection to the database that a store's address names."""
        import psycopg

        return psycopg.connect(db.database, **params)


class _Reconnecting(PostgresqlDatabase):
    """A database whose statements are run again where the server let the connection go."""

    def execute_sql(self, sql: str, params: Any = None) -> Any:
        """Run a statement; outside a transaction, where ours only read, again if need be."""
        library: Any = super()  # whose stubs leave the types out
        try:
            return library.execute_sql(sql, params)
        except (OperationalError, InterfaceError):
            if self.in_transaction() or not self.lost():
                raise
            self.close()
            return library.execute_sql(sql, params)

    def lost(self) -> bool:
        """Whether this thread had a connection, and it leads nowhere any more."""
        return not self.is_closed() and not self.is_connection_usable()


class Postgresql(SealingDatabase, _Reconnecting):
    """A store in a database of a PostgreSQL server.

    Args:
        url: `postgresql://…`, as libpq reads it.
        timeout: seconds that a write waits for the one before it; SQLite's own has that name.
    """

    psycopg2_adapter = psycopg3_adapter = Driver

    def __init__(self, url: str, timeout: float) -> None:
        bounds = {name: value for name, value in BOUNDS.items() if f"{name}=" not in url}
        super().__init__(url, **bounds)  # type: ignore[arg-type]
        self.timeout = timeout

    def begin(self, isolation_level: str | None = None) -> None:
        """Begin a transaction, on a new connection where the server let the old one go."""
        try:
            super().begin(isolation_level)
        except (OperationalError, InterfaceError):
            if not self.lost():
                raise
            self.close()
            super().begin(isolation_level)

    def another(self) -> Postgresql:
        """The same store over connections of its own."""
        return Postgresql(self.database, self.timeout)
