"""Send the forms of pages, as a browser does."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urlsplit

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

OWN = {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}
"""What a browser says of a form of this very service."""
_HIDDEN = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')


def hidden(page: str) -> dict[str, str]:
    """What the forms of a page send unseen, the last of each name."""
    return dict(_HIDDEN.findall(page))


def opened(client: FlaskClient, address: str) -> dict[str, str]:
    """Open a page; what its forms send unseen."""
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return hidden(answer.text)


def send(client: FlaskClient, address: str, told: dict[str, str], **more: Any) -> TestResponse:
    """Send a form to an address."""
    return client.post(address, data=told, headers={**OWN, **more})


def fill(client: FlaskClient, address: str, **typed: str) -> TestResponse:
    """Open a page, fill its form and send it."""
    return send(client, address, opened(client, address) | typed)


def followed(client: FlaskClient, answer: TestResponse) -> str:
    """The page that follows a form that was done."""
    assert answer.status_code == 303, answer.text
    page = client.get(answer.headers["Location"])
    assert page.status_code == 200
    assert urlsplit(answer.headers["Location"]).netloc in ("", "localhost")
    return page.text
