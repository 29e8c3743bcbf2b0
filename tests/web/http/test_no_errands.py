"""The service runs no errands: an address that somebody writes somewhere is words to it.

OWASP API Security Top 10 (2023): API7 server side request forgery.
"""

from __future__ import annotations

import socket
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from ...engines import Engine
from ..small_yard import GOOD, small_yard

pytestmark = pytest.mark.only_on("sqlite")


@pytest.fixture(scope="module")
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """The small yard."""
    with small_yard(engine) as client:
        yield client


@pytest.fixture
def door() -> Iterator[socket.socket]:
    """A door on this machine that notes who knocks."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        yield listening


WORDS = ("name", "title", "craft", "supplier", "reason", "authority", "note")
"""Fields that take any words."""


def written(body: dict[str, Any], where: str) -> Iterator[dict[str, Any]]:
    """A body with an address in each of its fields, and in those of words that it may have."""
    for name in {*body, *WORDS}:
        yield {**body, name: where}


def test_nobody_is_called(yard: FlaskClient, door: socket.socket) -> None:
    """In any field, in a table's cells, in headers: no connection comes of it."""
    host = f"127.0.0.1:{door.getsockname()[1]}"
    for where in (f"http://{host}/", f"//{host}/x", f"file://{host}/etc", f"\\\\{host}\\x"):
        for path, body in GOOD:
            for asked in written(body, where):
                assert yard.post(path, json=asked).status_code < 500
        table = f"product,number,quantity,supplier\nLAM,B-{len(where)},5 kg,{where}\n"
        assert yard.post("/v1/imports/lots", data=table, content_type="text/csv").status_code < 500
        for header in ("Referer", "Origin", "Link", "X-Original-URL", "Cureyard-Hand"):
            assert yard.get("/v1/now", headers={header: where}).status_code < 500
    with pytest.raises(BlockingIOError):
        door.accept()
