"""Links in the OpenAPI document: from the answer about a thing to the requests about it.

They are worked out from the addresses, so nobody writes one. The thing that a POST to `/v1/lots`
made has its address at `/v1/lots/{lot}`, with the id or code in the answer; a change of it sends
the version in the answer's ETag.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..fields.schemas import JsonSchema

METHODS = ("get", "post", "put", "patch", "delete")


def put_into(document: JsonSchema) -> None:
    """Add the links to the answers of an OpenAPI document."""
    paths = document["paths"]
    for path, operations in paths.items():
        for parameter, below in _things(paths, path):
            created = operations.get("post", {}).get("responses", {}).get("201")
            made = None if created is None else _by_answer(paths[below], parameter)
            if created is not None and made and _carries(document, created, made):
                created["links"] = _links(paths, below, made)
            if "get" in paths[below]:
                shown = _links(paths, below, f"$request.path.{parameter}")
                del shown["get"]  # it is the request itself
                paths[below]["get"]["responses"]["200"]["links"] = shown


def _things(paths: JsonSchema, path: str) -> Iterator[tuple[str, str]]:
    """The addresses of one thing of the list at `path`: its parameter's name, and the address."""
    for below in paths:
        last = below.removeprefix(f"{path}/")
        if below != last and last.startswith("{") and last.endswith("}") and "/" not in last:
            yield last[1:-1], below


def _by_answer(operations: JsonSchema, parameter: str) -> str:
    """Where the answer to a POST has the parameter's value: its id, or its code or number."""
    (schema,) = (p["schema"] for p in operations["parameters"] if p["name"] == parameter)
    return "$response.body#/id" if schema["type"] == "integer" else f"$response.body#/{parameter}"


def _carries(document: JsonSchema, answer: JsonSchema, made: str) -> bool:
    """Whether an answer has that field; a POST that makes several things, as a draw, has none."""
    shape = answer["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
    fields = document["components"]["schemas"][shape]["properties"]
    return made.removeprefix("$response.body#/") in fields


def _links(paths: JsonSchema, below: str, value: str) -> JsonSchema:
    """Links to one thing, and to the addresses below it."""
    parameter = below.rpartition("{")[2].rstrip("}")
    return {
        f"{method}{path.removeprefix(below).replace('/', '-')}": {
            "operationRef": f"#/paths/{path.replace('/', '~1')}/{method}",
            "parameters": {parameter: value} | _version(operations[method]),
        }
        for path, operations in paths.items()
        if path == below or path.startswith(f"{below}/")
        for method in METHODS
        if method in operations
    }


def _version(operation: JsonSchema) -> dict[str, str]:
    """The version, if the operation is a change."""
    names = {parameter.get("name") for parameter in operation.get("parameters", ())}
    return {"If-Match": "$response.header.ETag"} if "If-Match" in names else {}
