"""A small yard to send bad requests to, and the good bodies that those are spoilt from."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from flask.testing import FlaskClient

from .. import makers
from ..engines import Engine
from ..putting import by_client, post
from .conftest import MORNING, new_yard

CURE = makers.sheet()
PRODUCT = makers.resin("NEW")
LOT = makers.lot("LAM", "5 kg", "B-2")
DRAW = makers.draw(product=None, lot=2)
COUNT = {"kind": "count", "lot": 2, "quantity": "18 kg"}
POT = makers.pot()
DOSE = makers.dose()
LAYUP = makers.layup(1)
BAY = makers.bay("TENT")
JOB = makers.job("D-8")
NOON = "2026-03-20T08:00:00Z"
READING = {"at": NOON, "temperature": "18 degC"}
CUP = {
    "catalyst_lot": 1, "mass": "100 g", "temperature": "20 degC", "catalyst_percent": 2,
    "gel_times": ["20 min"],
}  # fmt: skip

GOOD: tuple[tuple[str, dict[str, Any]], ...] = (
    ("/v1/products", PRODUCT), ("/v1/lots", LOT), ("/v1/movements", DRAW),
    ("/v1/movements", COUNT), ("/v1/jobs", JOB), ("/v1/doses", DOSE), ("/v1/batches", POT),
    ("/v1/bays", BAY), ("/v1/layups", LAYUP), ("/v1/lots/2/cup-tests", CUP),
)  # fmt: skip
"""What bad requests are made of, each accepted as it is, in this order."""


@contextmanager
def small_yard(engine: Engine) -> Iterator[FlaskClient]:
    """A client of the makers' yard, with a lot of resin and of peroxide, a pot and a layup."""
    with engine.copy(new_yard) as url:
        app = create_app(Settings(database=url, zone="UTC", hand="Ines"), clock=lambda: MORNING)
        client = app.test_client()
        by_client(client, **makers.yard(), **makers.shelf())
        post(client, "bays/SHED/readings", {"readings": [READING]})
        by_client(client, batches=[POT], layups=[LAYUP])
        yield client
        db.close()


def digest() -> dict[str, list[Any]]:
    """Every row of every table."""
    return {
        name: sorted(db.execute_sql(f'SELECT * FROM "{name}"').fetchall(), key=repr)
        for name in sorted(db.get_tables())
    }
