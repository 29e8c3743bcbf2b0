"""A small yard to send bad requests to, and the good bodies that those are spoilt from."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from flask.testing import FlaskClient

from ..engines import Engine
from .conftest import MORNING, new_yard

CURE = {
    "with": ["PEROX"],
    "mix": {"kind": "catalysed"},
    "surface": "air_inhibited",
    "reference": {"temperature": "20 degC", "catalyst_percent": 2},
    "gel_times": [
        {"temperature": "15 degC", "catalyst_percent": 2, "time": "28 min"},
        {"temperature": "25 degC", "catalyst_percent": 2, "time": "14 min"},
    ],
    "catalyst_percent_min": 1,
    "catalyst_percent_max": 3,
    "apply_min": "12 degC",
    "milestones": {"recoat_opens": "2 h"},
    "pot_max": "3 kg",
}
PRODUCT = {"code": "NEW", "name": "New resin", "role": "resin", "cure": CURE}
LOT = {"product": "LAM", "number": "B-2", "quantity": "5 kg"}
DRAW = {"kind": "draw", "lot": 2, "quantity": "1 kg", "job": "D-7"}
COUNT = {"kind": "count", "lot": 2, "quantity": "18 kg"}
POT = {
    "resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2, "job": "D-7",
}  # fmt: skip
DOSE = {name: value for name, value in POT.items() if name != "job"}
LAYUP = {"job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED", "batches": [1]}
BAY = {
    "code": "TENT", "title": "Tent", "day": "20 degC", "night": "15 degC",
    "day_from": "07:00", "day_until": "19:00",
}  # fmt: skip
JOB = {"number": "D-8", "title": "Stem", "craft": "Teal"}
NOON = "2026-03-20T08:00:00Z"
READING = {"at": NOON, "temperature": "18 degC"}
CUP = {
    "catalyst_lot": 1, "mass": "100 g", "temperature": "20 degC", "catalyst_percent": 2,
    "gel_times": ["20 min"],
}  # fmt: skip

SEED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("/v1/products", {"code": "PEROX", "name": "Peroxide", "role": "catalyst"}),
    ("/v1/products", {**PRODUCT, "code": "LAM", "density": "1.1 kg/L"}),
    ("/v1/bays", {**BAY, "code": "SHED"}),
    ("/v1/jobs", {"number": "D-7", "title": "Stem", "craft": "Teal"}),
    ("/v1/lots", {"product": "PEROX", "number": "P-1", "quantity": "1 kg"}),
    ("/v1/lots", {"product": "LAM", "number": "B-1", "quantity": "20 kg"}),
    ("/v1/bays/SHED/readings", {"readings": [READING]}),
    ("/v1/batches", POT),
    ("/v1/layups", LAYUP),
)
"""A resin, its catalyst, a drum, a bottle, a bay, a job, a pot and a layup."""

GOOD: tuple[tuple[str, dict[str, Any]], ...] = (
    ("/v1/products", PRODUCT), ("/v1/lots", LOT), ("/v1/movements", DRAW),
    ("/v1/movements", COUNT), ("/v1/jobs", JOB), ("/v1/doses", DOSE), ("/v1/batches", POT),
    ("/v1/bays", BAY), ("/v1/layups", LAYUP), ("/v1/lots/2/cup-tests", CUP),
)  # fmt: skip
"""What bad requests are made of, each accepted as it is, in this order."""


@contextmanager
def small_yard(engine: Engine) -> Iterator[FlaskClient]:
    """Somebody at the small yard."""
    with engine.copy(new_yard) as url:
        app = create_app(Settings(database=url, zone="UTC", hand="Ines"), clock=lambda: MORNING)
        client = app.test_client()
        for address, body in SEED:
            answer = client.post(address, json=body)
            assert answer.status_code == 201, answer.json
        yield client
        db.close()


def digest() -> dict[str, list[Any]]:
    """Every row of every table."""
    return {
        name: sorted(db.execute_sql(f'SELECT * FROM "{name}"').fetchall(), key=repr)
        for name in sorted(db.get_tables())
    }
