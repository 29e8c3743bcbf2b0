"""What a database engine's own faults mean: somebody else was writing, no room, no answer.

SQLite names its faults (`SQLITE_BUSY`); PostgreSQL has SQLSTATEs of five characters (its
appendix A), and its driver none where the connection itself broke off.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from peewee import DatabaseError, InterfaceError, OperationalError

from ...core import errors
from .faults import NotAStore

_CLASHED = {"40P01", "40001"}
_BUSY = {"SQLITE_BUSY", "SQLITE_LOCKED", "55P03", "57014", *_CLASHED}
_FULL = {"SQLITE_FULL", "53100"}
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
_BARRED = {"SQLITE_IOERR", "SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_PERM", "25006"}
_LOST = {"57P01", "57P02", "57P03", "53300", "08000", "08001", "08003", "08004", "08006"}


@contextmanager
def translated() -> Iterator[None]:
    """Raise what the engine raised as what it means.

    Raises: errors.Busy; errors.StoreFull; NotAStore where the file is damaged.
    """
    try:
        yield
    except DatabaseError as error:
        meaning = _meaning(error)
        if meaning is None:
            raise
        raise meaning from error


def of_the_moment(error: BaseException) -> bool:
    """Whether a fault passes by itself (others write, no answer), and says nothing of the rows."""
    return isinstance(error, DatabaseError) and isinstance(_meaning(error), errors.Refusal)


def opens(error: DatabaseError) -> bool:
    """Whether there is a store behind a fault, busy or full as it may be."""
    return bool(_names(error) & (_BUSY | _FULL | _DAMAGED))


def clashed(error: BaseException | None) -> bool:
    """Whether the engine undid a transaction for another's sake: done again, it may pass."""
    return bool(_names(error) & _CLASHED)


def lost(error: DatabaseError) -> bool:
    """Whether the connection broke off, so that what became of a commit is not known."""
    names = _names(error)
    unnamed = not names and isinstance(error, (OperationalError, InterfaceError))
    return unnamed or bool(names & _LOST)


def _meaning(error: DatabaseError) -> Exception | None:
    names = _names(error)
    if names & _BUSY:
        return errors.Busy(
            "Somebody else was writing in the store all the while.",
            advice="Try again in a moment.",
        )
    if names & _FULL:
        return errors.StoreFull(
            "There is no room left to write in the store.",
            advice="Free some space on its disk, then try again.",
        )
    if names & _DAMAGED:
        return NotAStore(
            f"The store's file is damaged: {error}.", advice="Restore it from a backup."
        )
    if names & _BARRED:
        return NotAStore(
            f"The store can't be written or read: {str(error).strip()}.",
            advice="Look to its disk and its permissions.",
        )
    if lost(error):
        return errors.Busy("The store's database does not answer.", advice="Try again in a moment.")
    return None


def _names(error: BaseException | None) -> set[str]:
    """The engine's own names of a fault, the coarse one of SQLite beside its finer ones."""
    while error is not None:
        name = getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None)
        if name:
            return {name, "_".join(name.split("_")[:2])}
        error = error.__cause__ or error.__context__
    return set()
