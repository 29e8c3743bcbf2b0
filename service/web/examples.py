"""Worked examples of every operation, out of the OpenAPI document.

An example that a resource gives comes first; without one, it is made of its fields' own.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

JSON = "application/json"

_BY_TYPE: dict[str, Any] = {"integer": 1, "number": 1.5, "boolean": True, "string": "text"}
_BY_FORMAT = {"date": "2026-03-31", "date-time": "2026-03-31T14:30:00+00:00"}


@dataclass(frozen=True)
class Operation:
    """One method of one address.

    Attributes:
        method, path: such as `POST` and `/v1/jobs`.
        summary: what it does, in a few words.
        parameters: names in path, query and headers, with what they mean.
        request, answer: worked examples as JSON text, or None.
        status: of the answer, when all is well.
    """

    method: str
    path: str
    summary: str
    parameters: list[tuple[str, str]]
    request: str | None
    status: str
    answer: str | None


def by_noun(document: dict[str, Any]) -> dict[str, list[Operation]]:
    """The operations of an OpenAPI document under their tags, in its order."""
    nouns: dict[str, list[Operation]] = {tag["name"]: [] for tag in document["tags"]}
    for path, methods in document["paths"].items():
        common = methods.get("parameters", [])
        for method, operation in methods.items():
            if method != "parameters":
                shown = _operation(document, method, path, operation, common)
                nouns[operation["tags"][0]].append(shown)
    return nouns


def _operation(
    document: dict[str, Any],
    method: str,
    path: str,
    operation: dict[str, Any],
    common: list[dict[str, Any]],
) -> Operation:
    status, answer = next((s, a) for s, a in operation["responses"].items() if s.startswith("2"))
    parameters = [*common, *operation.get("parameters", [])]
    return Operation(
        method.upper(),
        path,
        operation.get("summary", ""),
        [(f"{p['name']} ({p['in']})", p.get("description", "")) for p in parameters],
        _example(document, operation.get("requestBody", {})),
        status,
        _example(document, answer),
    )


def _example(document: dict[str, Any], carrier: dict[str, Any]) -> str | None:
    body = carrier.get("content", {}).get(JSON)
    if body is None:
        return None
    given = body.get("example")
    shown = of_schema(document, body.get("schema", {})) if given is None else given
    return json.dumps(shown, indent=2, ensure_ascii=False)


def of_schema(document: dict[str, Any], schema: dict[str, Any]) -> Any:
    """A value that fits a JSON Schema of the document, made of its fields' examples."""
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        return of_schema(document, document["components"]["schemas"][name])
    if "anyOf" in schema:
        return of_schema(document, schema["anyOf"][0])
    if "examples" in schema:
        return schema["examples"][0]
    if "enum" in schema:
        return schema["enum"][0]
    if "properties" in schema:
        return {name: of_schema(document, inner) for name, inner in schema["properties"].items()}
    if "items" in schema:
        return [of_schema(document, schema["items"])]
    if schema.get("format") in _BY_FORMAT:
        return _BY_FORMAT[schema["format"]]
    kind = schema.get("type", "string")
    return _BY_TYPE.get(kind[0] if isinstance(kind, list) else kind)
