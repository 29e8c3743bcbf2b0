"""Why a store can't be used, and the translation of the database engines' own errors.

SQLite names its errors (`SQLITE_BUSY`); PostgreSQL has SQLSTATEs of five characters (its
appendix A), and its driver has none where the connection itself broke off.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from cureyard_migrations.dialect import SIGNED
from peewee import DatabaseError, IntegrityError, InterfaceError, OperationalError

from ...core.errors import Busy, Refusal, Signed, StoreFull

_CLASHED = {"40P01", "40001"}
_BUSY = {"SQLITE_BUSY", "SQLITE_LOCKED", "55P03", "57014", *_CLASHED}
_FULL = {"SQLITE_FULL", "53100"}
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
_BARRED = {"SQLITE_IOERR", "SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_PERM", "25006"}
_LOST = {"57P01", "57P02", "57P03", "53300", "08000", "08001", "08003", "08004", "08006"}


FULL = (
    "There is no room left on the store's disk.",
    "Free some space on that disk, then try again.",
)
"""What is wrong, and what to do."""


class StoreUnusable(Exception):
    """The store can't be used as it is, whatever was asked of it. It was left as it was.

    Args:
        detail: what is wrong, in one sentence.
        advice: what to do, in one sentence.
    """

    def __init__(self, detail: str, *, advice: str) -> None:
        super().__init__(f"{detail} {advice}")
        self.detail = detail
        self.advice = advice


class NotAStore(StoreUnusable):
    """The address or the file is no store of this program, or is damaged."""


class NoAnswer(NotAStore):
    """No database answers at the store's address."""


class WrongVersion(StoreUnusable):
    """The store's tables are older or newer than this program's."""


class MigrationFailed(StoreUnusable):
    """A migration broke off, and what it had begun was undone."""


class LockedElsewhere(StoreUnusable):
    """Another process uses the store in a way that this act can't share."""


class NoBackup(StoreUnusable):
    """A backup can't be made or restored, or a store can't be taken over."""


class OtherEngine(NoBackup):
    """The backup is of a store on the other kind of database."""


class FileInUse(NoBackup):
    """A program uses the backup's file, and part of its content is in a log beside it."""


class TokensDamaged(NoBackup):
    """The tokens of the store that a backup replaces are damaged."""


class RowsAstray(NoBackup):
    """Rows of the store that is to be taken over point at nothing."""


@contextmanager
def translated() -> Iterator[None]:
    """Raise an engine's error as what it means here.

    Raises: Busy; StoreFull; NotAStore where the file is damaged or may not be used.
    """
    try:
        yield
    except DatabaseError as error:
        meaning = _meaning(error)
        if meaning is None:
            raise
        raise meaning from error


def of_the_moment(error: BaseException) -> bool:
    """Whether an error passes by itself (others write, no answer) and says nothing of the rows."""
    return isinstance(error, DatabaseError) and isinstance(_meaning(error), Refusal)


def opens(error: DatabaseError) -> bool:
    """Whether there is a store behind an error, even if it is busy or full."""
    return bool(named(error) & (_BUSY | _FULL | _DAMAGED))


def clashed(error: BaseException | None) -> bool:
    """Whether the engine undid a transaction in favour of another: tried again, it may pass."""
    return bool(named(error) & _CLASHED)


def lost(error: DatabaseError) -> bool:
    """Whether the connection broke off, so that nobody knows whether a commit was kept."""
    names = named(error)
    unnamed = not names and isinstance(error, (OperationalError, InterfaceError))
    return unnamed or bool(names & _LOST)


def _meaning(error: DatabaseError) -> Refusal | StoreUnusable | None:
    names = named(error)
    if names & _BUSY:
        return Busy(
            "Others were writing to the store for too long.", advice="Try again in a moment."
        )
    if names & _FULL:
        return StoreFull(FULL[0], advice=FULL[1])
    if names & _DAMAGED:
        return NotAStore(
            f"The store's file is damaged: {error}.", advice="Restore it from a backup."
        )
    if names & _BARRED:
        return NotAStore(
            f"The store can't be read or written: {str(error).strip()}.",
            advice="Check its disk and its permissions.",
        )
    if lost(error):
        return Busy("The store's database does not answer.", advice="Try again in a moment.")
    if isinstance(error, IntegrityError) and SIGNED in str(error):
        return Signed(
            "This belongs to a job that is signed.",
            advice="A lead may open the job again with a reason: that voids the signature, and "
            "both stay on record.",
        )
    return None


def named(error: BaseException | None) -> set[str]:
    """The engine's own names of an error, and for SQLite the coarse name beside the finer one."""
    while error is not None:
        name = getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None)
        if name:
            return {name, "_".join(name.split("_")[:2])}
        error = error.__cause__ or error.__context__
    return set()
