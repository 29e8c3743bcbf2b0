"""A name for each operation, which makes a good name of a function: `list_lots`, `add_job_need`.

They are worked out from the method and the address, so nobody writes one.
"""

from __future__ import annotations

import re

from ..fields.schemas import JsonSchema

_VERBS = {"get": "get", "post": "add", "put": "set", "patch": "change", "delete": "remove"}
_NO_VERB = {"estimates": "estimate", "exports": "export", "imports": "import"}
"""Nouns whose operations are called by what they do."""


def put_into(document: JsonSchema) -> None:
    """Add an operationId to each operation of an OpenAPI document."""
    for path, operations in document["paths"].items():
        for method, operation in operations.items():
            if method in _VERBS:
                operation["operationId"] = _name(method, path, operation)


def _name(method: str, path: str, operation: JsonSchema) -> str:
    parts = path.removeprefix("/v1/").split("/")
    first, *rest = [p for p in parts if not p.startswith("{")]
    if first in _NO_VERB:
        words = [_NO_VERB[first], *rest]
    else:
        verb = _VERBS[method]
        if method == "get" and _is_list(operation):
            verb = "list"
        elif method == "post" and "201" not in operation["responses"]:
            verb = "work_out"
        one = verb not in ("list", "get") or parts[-1].startswith("{")
        words = [verb, *(_singular(each) for each in [first, *rest][:-1]), [first, *rest][-1]]
        if one:
            words[-1] = _singular(words[-1])
    return re.sub(r"[^a-z0-9]+", "_", "_".join(words))


def _is_list(operation: JsonSchema) -> bool:
    content = operation["responses"].get("200", {}).get("content", {})
    shape = str(content.get("application/json", {}).get("schema", {}).get("$ref", ""))
    return shape.endswith("Page")


def _singular(noun: str) -> str:
    if noun.endswith("ches"):
        return noun[:-2]
    if noun.endswith("ies"):
        return f"{noun[:-3]}y"
    return noun[:-1] if noun.endswith("s") and not noun.endswith("ss") else noun
