"""Who may ask of a store, read out of it and carried into the one that takes its place.

A backup knows nothing of what came after it. Restored as it is, it would know none of the tokens
made since, know again those revoked since, and let everybody in if it is older than the first.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from contextlib import closing
from pathlib import Path
from typing import Any, NamedTuple

from peewee import DatabaseError

from ...core.frozen import frozen
from ..engine.faults import TokensDamaged, of_the_moment
from ..tables import Bay, Feed, FeedEnd, Token, TokenEnd
from ..yard import tokens

Rows = Callable[[str], Iterable[Any]]
"""Runs a select on a store, in use or not, and gives its rows."""

_WHO = ("recorded_at", "who", "verified")
_TOKEN = ("name", "role", "secret_hash", "page_hash", *_WHO)
_END = ("reason", *_WHO)
_USED = """
    SELECT o.secret_hash, u.used_at FROM token_use u JOIN token o ON o.id = u.token_id ORDER BY u.id
"""


@frozen
class Admitted:
    """Who may ask of a store.

    Attributes:
        tokens: the rows of all that were made, the oldest first.
        bays: the code of a sensor's bay, by the hash of its token's secret.
        ended: the rows that revoked some, by the hash of the token's secret.
        feeds_ended: the same of calendar feeds.
        used: when tokens of phones were last used, by the hash of the token's secret.
    """

    tokens: tuple[dict[str, Any], ...] = ()
    bays: tuple[tuple[str, str], ...] = ()
    ended: tuple[tuple[str, dict[str, Any]], ...] = ()
    feeds_ended: tuple[tuple[str, dict[str, Any]], ...] = ()
    used: tuple[tuple[str, int], ...] = ()


class Carried(NamedTuple):
    """How many tokens, and revocations of tokens and feeds, were carried over."""

    tokens: int = 0
    revocations: int = 0


def in_file(path: Path, *, whole: bool = False) -> Admitted | None:
    """Those of an SQLite store; None where it can't be read.

    Args:
        whole: whether nobody writes the file and nothing of it is in a log beside it, so that no
            file need be made beside it either.
    """
    if not path.exists():
        return Admitted()
    address = f"{path.absolute().as_uri()}?{'immutable=1' if whole else 'mode=rw'}"
    try:
        with closing(sqlite3.connect(address, uri=True)) as file:
            names = file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            return _read({name for (name,) in names}, file.execute)
    except sqlite3.Error:
        return None


def in_database(db: Any) -> Admitted | None:
    """Those of a store that is open; None where they can't be read."""
    try:
        return _read(set(db.get_tables()), lambda sql: db.execute_sql(sql).fetchall())
    except DatabaseError as error:
        if of_the_moment(error):
            raise
        return None


def carry(old: Admitted) -> Carried:
    """Make the store in use know whom another knew; what it has of them already stays as it is.

    Raises: TokensDamaged: the store does not take the rows.
    """
    try:
        return _carry(old)
    except (DatabaseError, TypeError, OverflowError) as error:
        raise TokensDamaged(
            "The tokens of the present store are damaged. Nothing was changed.",
            advice="Restore without them.",
        ) from error


def _carry(old: Admitted) -> Carried:
    rows: Any = Token.select(Token.secret_hash).tuples()
    known = {hash_ for (hash_,) in rows}
    bays = _bays(old)
    new = [
        row
        for row in old.tokens
        if row["secret_hash"] not in known
        and (row["role"] != "sensor" or row["secret_hash"] in bays)
    ]
    for row in new:
        Token.create(**row, bay_id=bays.get(row["secret_hash"]))
    revoked = _end(Token, TokenEnd, "token", old.ended)
    _use(old.used)
    return Carried(len(new), revoked + _end(Feed, FeedEnd, "feed", old.feeds_ended))


def _bays(old: Admitted) -> dict[str, int]:
    """The hash of a sensor's secret → its bay here; without that bay it has nothing to say."""
    rows: Any = Bay.select(Bay.code_key, Bay.id).tuples()
    here = dict(rows)
    return {hash_: here[key] for hash_, key in old.bays if key in here}


def _use(used: Iterable[tuple[str, int]]) -> None:
    """Note the later of two last uses, so that no phone is out that was used after the backup."""
    rows: Any = Token.select(Token.secret_hash, Token.id).tuples()
    ids = dict(rows)
    noted = tokens.used_at(ids.values())
    for hash_, at in used:
        if hash_ in ids and at > noted.get(ids[hash_], 0):
            tokens.note_use(ids[hash_], at)


def _end(of: Any, ends: Any, name: str, ended: Iterable[tuple[str, dict[str, Any]]]) -> int:
    """Revoke what another store has revoked, and this one has not; how many."""
    ids = dict(of.select(of.secret_hash, of.id).tuples())
    over = {row[0] for row in ends.select(getattr(ends, f"{name}_id")).tuples()}
    mine = [(ids[hash_], row) for hash_, row in ended if ids.get(hash_, 0) not in {0, *over}]
    for of_id, row in mine:
        ends.create(**{name: of_id}, **row)
    return len(mine)


def _read(tables: set[str], rows: Rows) -> Admitted:
    if "token" not in tables:  # of a program that knew no tokens
        return Admitted()
    knows_phones = "token_use" in tables
    columns = (*_TOKEN, "kind") if knows_phones else _TOKEN
    found = list(rows(f"SELECT {', '.join(columns)} FROM token ORDER BY id"))
    return Admitted(
        tuple(dict(zip(columns, row, strict=True)) for row in found),
        _bays_of_sensors(rows) if any(row[1] == "sensor" for row in found) else (),
        _ended("token", rows),
        _ended("feed", rows) if "feed" in tables else (),
        tuple((hash_, at) for hash_, at in rows(_USED)) if knows_phones else (),
    )


def _bays_of_sensors(rows: Rows) -> tuple[tuple[str, str], ...]:
    sql = "SELECT token.secret_hash, bay.code_key FROM token JOIN bay ON bay.id = token.bay_id"
    return tuple((hash_, key) for hash_, key in rows(sql))


def _ended(name: str, rows: Rows) -> tuple[tuple[str, dict[str, Any]], ...]:
    columns = ", ".join(f"e.{column}" for column in _END)
    sql = f"""
        SELECT o.secret_hash, {columns} FROM {name}_end e JOIN {name} o ON o.id = e.{name}_id
        ORDER BY e.id
    """
    return tuple((hash_, dict(zip(_END, row, strict=True))) for hash_, *row in rows(sql))
