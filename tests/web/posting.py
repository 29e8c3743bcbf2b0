"""What many tests do first: post something, and see that it was taken."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient


def post(client: FlaskClient, path: str, body: dict[str, Any], status: int = 201) -> Any:
    """What a post answers."""
    answer = client.post(f"/v1/{path}", json=body)
    assert answer.status_code == status, answer.json
    return answer.json
