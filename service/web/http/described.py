"""What OpenAPI says of every operation beside its own body and answer.

Headers, the query's units and the refusals that any resource may give are the same
everywhere, so they are written once here, from each method's access.
"""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from ..context import people
from ..context.request import SYSTEMS
from ..fields import Described
from ..fields.schemas import Query
from . import keys
from .access import Access

UNITS: dict[str, Any] = {
    "in": "query",
    "name": "units",
    "schema": {"type": "string", "enum": list(SYSTEMS)},
    "description": "What quantities are shown in; without it, the yard's own.",
}
HAND: dict[str, Any] = {
    "in": "header",
    "name": people.HEADER,
    "schema": {"type": "string", "minLength": 1, "examples": ["In%C3%AAs"]},
    "description": "Who acts, percent-encoded, where nobody has to log in; recorded beside "
    "what is done.",
}
KEY: dict[str, Any] = {
    "in": "header",
    "name": keys.HEADER,
    "schema": {"type": "string", "pattern": "^[!-~]{1,200}$"},
    "description": "Names this one request, so that sending it again does it once.",
}
VERSION: dict[str, Any] = {
    "in": "header",
    "name": "If-Match",
    "required": True,
    "schema": {"type": "string", "pattern": "[!-~]", "examples": ['"3"', "*"]},
    "description": "The ETag that the thing was read with, or * where any version will do.",
}
LOCATION: dict[str, Any] = {
    "schema": {"type": "string"},
    "description": "Address of what was made, where it has one.",
}


def operation(doc: dict[str, Any], info: dict[str, Any], **_context: Any) -> dict[str, Any]:
    """An operation's description with its common headers, query and refusals."""
    access = info.get("access")
    if access is None:
        return doc
    doc.setdefault("parameters", []).extend(_parameters(access))
    if access.role is None:
        doc["security"] = []
    bodies = doc.get("requestBody", {}).get("content", {})
    if any(hasattr(body["schema"], "from_csv") for body in bodies.values()):
        bodies["text/csv"] = {"schema": {"type": "string"}}
    responses = doc.setdefault("responses", {})
    if 201 in responses:
        responses[201].setdefault("headers", {})["Location"] = LOCATION
    for status in _refusals(access, has_body=bool(bodies)):
        responses.setdefault(status, HTTPStatus(status).name)
    return doc


def field(field: object, guessed: dict[str, Any]) -> dict[str, Any]:
    """What a field of our own says of itself, over what was guessed from its class."""
    if not isinstance(field, Described):
        return {}
    told = field.described_over(guessed)
    if isinstance(field.root, Query):  # a query has no null: what is not said is left out
        if guessed.get("default") is None:
            guessed.pop("default", None)
    elif field.allow_none and isinstance(told.get("type"), str):
        told["type"] = [told["type"], "null"]
        if "enum" in told:
            told["enum"] = [*told["enum"], None]
    given = {n: v for n, v in field.metadata.items() if n in ("description", "examples")}
    return told | given


def _parameters(access: Access) -> list[dict[str, Any]]:
    asked = [UNITS] if "units" in access.query else []
    if access.writes:
        asked.append(HAND)
    if access.keyed:
        asked.append(KEY)
    if access.versioned:
        asked.append(VERSION)
    return asked


def _refusals(access: Access, *, has_body: bool) -> list[int]:
    found = [403, 404, 422, 503]
    if access.role is not None:
        found += [401, 429]
    if has_body:
        found += [400, 413, 415]
    if access.writes:
        found += [409, 507]
    if access.versioned:
        found += [412, 428]
    return sorted(found)
