"""A yard that can measure wetness."""

from __future__ import annotations

from flask.testing import FlaskClient

from .. import makers
from ..putting import by_client, post
from .conftest import MORNING, Clock

DAY = 86_400
METER = {
    "code": "CAP", "title": "Capacitance meter", "kind": "capacitance", "scale_to": 100,
    "modes": [{"name": "deep"}, {"name": "shallow"}],
}  # fmt: skip


def metered(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard with a meter, a bay and one job that was opened long ago; in the morning."""
    clock.moment = MORNING - 60 * DAY
    by_client(client, bays=[makers.bay("SHED")], jobs=[makers.job("J-1")])
    post(client, "meters", METER)
    clock.moment = MORNING
    return client
