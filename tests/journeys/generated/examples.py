"""Every worked example through a generated client: read into its classes, it says the same again.

    python examples.py OPENAPI.JSON

The number of examples is printed; a line for each that says something else, on stderr.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import httpx
from yard_client import Client

KIND = "application/json"
METHODS = ("get", "post", "put", "patch", "delete")


def operations(document: dict[str, Any]) -> Iterator[tuple[Any, dict[str, Any]]]:
    """Each operation, with the module that was generated of it."""
    for methods in document["paths"].values():
        for operation in (methods[method] for method in METHODS if method in methods):
            (noun,) = operation["tags"]
            yield import_module(f"yard_client.api.{noun}.{operation['operationId']}"), operation


def values(carrier: dict[str, Any]) -> Iterator[Any]:
    """The examples in a body or an answer."""
    for each in carrier.get("content", {}).get(KIND, {}).get("examples", {}).values():
        yield each["value"]


def again(module: Any, operation: dict[str, Any]) -> Iterator[tuple[Any, Any]]:
    """Each example, and what the client makes of it."""
    for status, answer in operation["responses"].items():
        for value in values(answer):
            response = httpx.Response(int(status), json=value)
            parsed = module._parse_response(client=Client(base_url=""), response=response)
            yield value, parsed.to_dict()
    body = operation.get("requestBody", {})
    for value in values(body):
        name = body["content"][KIND]["schema"]["$ref"].rpartition("/")[2]
        yield value, getattr(module, name).from_dict(value).to_dict()


def main(path: str) -> None:
    """Read all of them."""
    document = json.loads(Path(path).read_text(encoding="utf-8"))
    count = 0
    for module, operation in operations(document):
        for value, said in again(module, operation):
            count += 1
            if said != value:
                print(operation["operationId"], value, said, sep="\n", file=sys.stderr)
    print(count)


if __name__ == "__main__":
    main(*sys.argv[1:])
