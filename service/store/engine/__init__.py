"""The database engine: connections, transactions, locks, columns, queries."""

from .library import import_without_drivers

import_without_drivers()  # before any module here imports peewee
