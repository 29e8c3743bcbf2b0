"""Where one answer leads: links from what was made or shown to what may be asked of it.

They follow from the addresses, so nobody writes one: what a POST to `/v1/lots` made is asked for
at `/v1/lots/{lot}` and beneath it, by the id or code in the answer; and a change of it, at its own
address, says the version that the answer's ETag gave.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

METHODS = ("get", "post", "put", "patch", "delete")


def put_into(document: dict[str, Any]) -> None:
    """Give the answers of an OpenAPI document their links."""
    paths = document["paths"]
    for path, operations in paths.items():
        for hole, below in _things(paths, path):
            created = operations.get("post", {}).get("responses", {}).get("201")
            made = None if created is None else _by_answer(paths[below], hole)
            if created is not None and made and _carries(document, created, made):
                created["links"] = _links(paths, below, made)
            if "get" in paths[below]:
                shown = _links(paths, below, f"$request.path.{hole}")
                del shown["get"]  # it was just asked
                paths[below]["get"]["responses"]["200"]["links"] = shown


def _things(paths: dict[str, Any], path: str) -> Iterator[tuple[str, str]]:
    """The address of one thing of a list's, with the name of the hole in it."""
    for below in paths:
        last = below.removeprefix(f"{path}/")
        if below != last and last.startswith("{") and last.endswith("}") and "/" not in last:
            yield last[1:-1], below


def _by_answer(operations: dict[str, Any], hole: str) -> str:
    """Where the answer to a POST has what goes into the hole: its id, or its code or number."""
    (schema,) = (p["schema"] for p in operations["parameters"] if p["name"] == hole)
    return "$response.body#/id" if schema["type"] == "integer" else f"$response.body#/{hole}"


def _carries(document: dict[str, Any], answer: dict[str, Any], made: str) -> bool:
    """Whether an answer has that name; what makes several things, as a draw does, has none."""
    shape = answer["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
    fields = document["components"]["schemas"][shape]["properties"]
    return made.removeprefix("$response.body#/") in fields


def _links(paths: dict[str, Any], below: str, value: str) -> dict[str, Any]:
    """Links to one thing, and to what stands beneath it."""
    hole = below.rpartition("{")[2].rstrip("}")
    return {
        f"{method}{path.removeprefix(below).replace('/', '-')}": {
            "operationRef": f"#/paths/{path.replace('/', '~1')}/{method}",
            "parameters": {hole: value} | _version(operations[method]),
        }
        for path, operations in paths.items()
        if path == below or path.startswith(f"{below}/")
        for method in METHODS
        if method in operations
    }


def _version(operation: dict[str, Any]) -> dict[str, str]:
    """The version that a change names, where the operation is one."""
    names = {parameter.get("name") for parameter in operation.get("parameters", ())}
    return {"If-Match": "$response.header.ETag"} if "If-Match" in names else {}
