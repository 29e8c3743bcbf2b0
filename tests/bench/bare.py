"""The floor of what is written: the same rows, key and triggers, by SQL on bare Flask.

It judges nothing, works nothing out, and takes its figures as they come: whatever a real service
needs beyond it is what a row measures.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import threading
from typing import Any

from cureyard_service.store.engine.sqlite import PRAGMAS
from flask import Flask, request

_NEW_LINE = """
    INSERT INTO movement (lot_id, kind, amount, on_hand, job_id, batch_id, typed, density_mg_l,
        cost_minor, currency, at, recorded_at, who, verified)
    VALUES (?, 'draw', ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'Ines', 0) RETURNING id
"""
_NEW_POT = """
    INSERT INTO batch (job_id, resin_lot_id, catalyst_lot_id, cure_sheet_id, resin_mg, catalyst_mg,
        catalyst_ul, percent_ppm, temperature_mk, temperature_basis, factor_ppm, gel_s,
        gel_earliest_s, gel_latest_s, answer, mixed_at, recorded_at, who, verified)
    VALUES (?, ?, ?, 1, ?, ?, ?, 20000, 293150, 'given', 1000000, 1200, 1000, 1500, ?, ?, ?,
        'Ines', 0) RETURNING id
"""
_KEPT = """
    INSERT INTO answer (scope, key, body_hash, status, body, made_at) VALUES (?, ?, ?, 201, ?, ?)
"""
ANSWER = json.dumps({"cautions": ["Weigh it."] * 4, "gel": {"value": 20, "unit": "min"}})
"""About as long as what a hand is told of a pot."""


class Books:
    """A store by its SQL; a connection for each thread, set as the service sets its own."""

    def __init__(self, store: str, now: int) -> None:
        self._store = store
        self._open = threading.local()
        self.now = now

    def db(self) -> sqlite3.Connection:
        """This thread's connection."""
        if not hasattr(self._open, "db"):
            self._open.db = sqlite3.connect(self._store, isolation_level=None, timeout=5)
            for name, value in PRAGMAS.items():
                self._open.db.execute(f"PRAGMA {name} = {value}")
        found: sqlite3.Connection = self._open.db
        return found

    def row(self, sql: str, *values: Any) -> Any:
        """The first row, or None."""
        return self.db().execute(sql, values).fetchone()

    def take(self, code: str, mg: int, job: int, batch: int | None) -> dict[str, Any]:
        """Draw from the first lot of a product: its row, its cost, its line."""
        product, density = self.row(
            "SELECT id, density_mg_l FROM product WHERE code_key = ?", code.casefold()
        )
        (lot,) = self.row(
            "SELECT id FROM lot WHERE product_id = ? AND on_hand > 0 ORDER BY expires_on, id",
            product,
        )
        on_hand, left, currency = self.row(
            "UPDATE lot SET on_hand = on_hand - ? WHERE id = ? AND on_hand >= ? "
            "RETURNING on_hand, cost_left_minor, currency", mg, lot, mg,
        )  # fmt: skip
        charge = left * mg // (on_hand + mg)
        self.db().execute(
            "UPDATE lot SET cost_left_minor = cost_left_minor - ? WHERE id = ?", (charge, lot)
        )
        (line,) = self.row(
            _NEW_LINE, lot, -mg, on_hand, job, batch, f"{mg} mg", density, charge, currency,
            self.now, self.now,
        )  # fmt: skip
        return {"id": line, "lot": lot, "quantity": -mg, "on_hand": on_hand, "at": self.now}


def create_app(store: str, now: int) -> Flask:
    """A bare service on a store."""
    app = Flask(__name__)
    books = Books(store, now)

    @app.post("/v1/movements")
    def draw() -> Any:
        return _once(books, lambda body: {"movements": [books.take("LAM", 10_000, 1, None)]})

    @app.post("/v1/batches")
    def mix() -> Any:
        return _once(books, lambda body: _pot(books, body))

    @app.get("/v1/now")
    def now_() -> Any:
        return _everything(books)

    return app


def _once(books: Books, act: Any) -> Any:
    """Do an act once for its key, and keep the answer, in one transaction."""
    body = request.get_data()
    key = request.headers["Idempotency-Key"]
    scope = f"{request.method} {request.path}"
    books.db().execute("BEGIN IMMEDIATE")
    kept = books.row("SELECT body FROM answer WHERE scope = ? AND key = ?", scope, key)
    if kept is None:
        text = json.dumps(act(json.loads(body)))
        books.db().execute("DELETE FROM answer WHERE made_at < ?", (books.now - 30 * 86_400,))
        told = (scope, key, hashlib.sha256(body).hexdigest(), text, books.now)
        books.db().execute(_KEPT, told)
    else:
        (text,) = kept
    books.db().execute("COMMIT")
    return text, 201, {"Content-Type": "application/json"}


def _pot(books: Books, body: dict[str, Any]) -> dict[str, Any]:
    """A pot with its two or three draws, its dose taken as said."""
    (job,) = books.row("SELECT id FROM job WHERE number_key = ?", body["job"].casefold())
    lots = [
        books.row("SELECT l.id FROM lot l JOIN product p ON p.id = l.product_id "
                  "WHERE p.code_key = ? AND l.on_hand > 0 ORDER BY l.expires_on, l.id", code)[0]
        for code in ("lam", "perox")
    ]  # fmt: skip
    (pot,) = books.row(_NEW_POT, job, *lots, 100_000, 2000, 1740, ANSWER, books.now, books.now)
    taken = [("LAM", 100_000), ("PEROX", 2000)]
    taken += [(item["product"], 5000) for item in body.get("fillers", ())]
    draws = [books.take(code, mg, job, pot) for code, mg in taken]
    return {"id": pot, "draws": draws, "answer": ANSWER}


_YARD = (
    "SELECT * FROM layup WHERE closed_at IS NULL",
    "SELECT b.* FROM layup_batch lb JOIN layup l ON l.id = lb.layup_id JOIN batch b "
    "ON b.id = lb.batch_id WHERE l.closed_at IS NULL",
    "SELECT o.* FROM layup_observation o JOIN layup l ON l.id = o.layup_id "
    "WHERE l.closed_at IS NULL",
    "SELECT m.* FROM layup_move m JOIN layup l ON l.id = m.layup_id WHERE l.closed_at IS NULL",
    "SELECT * FROM lot WHERE on_hand > 0",
    "SELECT * FROM product",
    "SELECT * FROM job WHERE closed_at IS NULL",
    "SELECT * FROM bay",
    "SELECT * FROM reading WHERE at > ?",
)
"""Every row that an answer on the whole yard rests on, with all its columns."""


def _everything(books: Books) -> Any:
    """Fetch the rows, and write as many bytes as the real answer has, whose length is asked."""
    for sql in _YARD:
        values = (books.now - 7 * 86_400,) if "?" in sql else ()
        books.db().execute(sql, values).fetchall()
    length = int(request.args["bytes"])
    return json.dumps("x" * length), 200, {"Content-Type": "application/json"}
