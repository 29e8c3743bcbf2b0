"""The second floor of a draw and a pot: what the real act asks and writes, by plain SQL.

The statements of one real request are taken down, and each request of the floor runs them again on
bare Flask with its own key: so it reads and writes the same rows, seal and kept answer included,
and judges nothing. What a row measures against it is the work between the statements.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from flask import Flask, request

from . import bare
from .asking import Request, piped

_TIED = re.compile(r"(INSERT INTO seal .* VALUES \()\d+")
_WRITES = ("INSERT", "UPDATE", "DELETE")


def take_down(store: str, copy: str, acts: Iterable[Callable[[], Request]]) -> str:
    """Do acts on a store, and copy it with what they came to; the copy.

    Each is done twice, and the second time counts: the first opens a drum.
    """
    taken = {}
    with piped("cureyard", store) as real:
        for act in acts:
            real.ask(act())
            asked = {**act(), "traced": True}
            answer = real.ask(asked)
            statements = list(_told_once(answer["sql"], asked["headers"]["Idempotency-Key"]))
            taken[asked["path"]] = {"statements": statements, "answer": answer["text"]}
    with sqlite3.connect(store) as connection:  # so that all of it is in the file
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy(store, copy)
    _file(copy).write_text(json.dumps(taken))
    return copy


def _told_once(traced: Iterable[str], key: str) -> Iterable[str]:
    """The statements, without those that triggers repeat; `?` is where the key or the seal goes."""
    before = ""
    for sql in traced:
        if sql != before or not sql.startswith(_WRITES):
            yield _TIED.sub(r"\1?", sql.replace(f"'{key}'", "?"))
        before = sql


def create_app(store: str) -> Flask:
    """A bare service on a copy that `take_down` made."""
    app = Flask(__name__)
    books = bare.Books(store, 0)
    for path, taken in json.loads(_file(store).read_text()).items():
        again = _again(books, taken["statements"], json.loads(taken["answer"]))
        app.add_url_rule(path, path, again, methods=["POST"])
    return app


def _again(books: bare.Books, statements: list[str], answer: Any) -> Callable[[], Any]:
    def act() -> Any:
        body = request.get_data()
        json.loads(body)
        hashlib.sha256(body).hexdigest()
        key, written = request.headers["Idempotency-Key"], None
        for sql in statements:
            if "?" not in sql:
                found = books.db().execute(sql).fetchall()
            else:
                its = key if "seal" not in sql[:20] else written
                found = books.db().execute(sql, (its,)).fetchall()
            if sql.startswith("INSERT INTO written"):
                ((written,),) = found
        return json.dumps(answer), 201, {"Content-Type": "application/json"}

    return act


def _file(store: str) -> Path:
    return Path(f"{store}.json")
