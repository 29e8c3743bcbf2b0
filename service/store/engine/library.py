"""peewee without PostgreSQL's driver, which it imports wherever that is installed.

The driver takes a third as long to import as a small command to run, and a store in a file needs
none of it. `postgresql` imports it when a store on PostgreSQL is opened.
"""

from __future__ import annotations

import sys

DRIVERS = ("psycopg", "psycopg2")


def import_without_drivers() -> None:
    """Import peewee; while it is imported, a driver that nobody has imported yet is not found."""
    if "peewee" in sys.modules:
        return
    hidden = [name for name in DRIVERS if name not in sys.modules]
    sys.modules.update(dict.fromkeys(hidden))  # type: ignore[arg-type]  # None: can't be imported
    try:
        import peewee  # noqa: F401 (whoever imports it later finds it imported)
    finally:
        for name in hidden:
            del sys.modules[name]
