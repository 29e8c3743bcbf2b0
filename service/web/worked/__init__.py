"""The worked examples: a fortnight at an invented yard, as requests with their answers.

The files beside this one hold them, in their order. Each file is a list of steps; requests are
written by hand, answers are recorded. A test plays all of them on an empty store and compares
every answer.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import field
from functools import cache
from pathlib import Path
from typing import Any

from ...core.frozen import frozen
from ..fields.schemas import JsonSchema

FOLDER = Path(__file__).parent


@frozen
class Step:
    """One request of the story, and its answer.

    Attributes:
        operation: such as `GET /v1/lots/{lot}`.
        says: what it is about, in a sentence.
        at: the time from here on, RFC 3339; None leaves the clock as it is.
        address: path and query of the request; by default the operation's path.
        by: whose token is sent, once the yard has tokens.
        headers: sent with the request.
        body: JSON that is sent; or `table`, the lines of a text/csv; or `text`, a text/plain; or
            `image`, a PNG in base64.
        status: of the answer.
        told: the answer's ETag and Location, if it has them.
        answer: its JSON; or `lines`, of its text; or `shown`, a description of other content.
        kind: its media type.
    """

    operation: str
    says: str
    at: str | None = None
    address: str = ""
    by: str | None = None
    headers: dict[str, str] = field(default_factory=dict)
    body: Any = None
    table: list[str] | None = None
    text: str | None = None
    image: str | None = None
    status: int = 200
    told: dict[str, str] = field(default_factory=dict)
    kind: str = "application/json"
    answer: Any = None
    lines: list[str] | None = None
    shown: str | None = None

    @property
    def method(self) -> str:
        """Such as `GET`."""
        return self.operation.split()[0]

    @property
    def path(self) -> str:
        """As in the description, with its parameters: `/v1/lots/{lot}`."""
        return self.operation.split()[1]

    @property
    def asked(self) -> str:
        """Path and query of the request."""
        return self.address or self.path


def chapters() -> list[Path]:
    """The files of the story, in order."""
    return sorted(FOLDER.glob("*.json"))


@cache
def steps() -> tuple[Step, ...]:
    """The whole story."""
    return tuple(
        Step(**step)
        for chapter in chapters()
        for step in json.loads(chapter.read_text(encoding="utf-8"))
    )


def put_into(document: JsonSchema) -> None:
    """Give each operation of an OpenAPI document its examples."""
    for number, step in enumerate(steps(), 1):
        operation = document["paths"][step.path][step.method.lower()]
        for parameter in document["paths"][step.path].get("parameters", ()):
            example = {"summary": step.says, "value": _filled(step, parameter)}
            parameter.setdefault("examples", {})[f"step-{number}"] = example
        for carrier, kind, value in _carried(operation, step):
            examples = carrier.get("content", {}).get(kind, {}).setdefault("examples", {})
            examples[f"step-{number}"] = {"summary": step.says, "value": value}


def _filled(step: Step, parameter: JsonSchema) -> str | int:
    """The value of a parameter of the path in the step's address."""
    place = step.path.split("/").index(f"{{{parameter['name']}}}")
    given = step.asked.partition("?")[0].split("/")[place]
    return int(given) if parameter["schema"]["type"] == "integer" else given


def _carried(operation: JsonSchema, step: Step) -> Iterator[tuple[JsonSchema, str, Any]]:
    """The example values of a step: what carries each, its media type, the value."""
    request = operation.get("requestBody", {})
    if step.body is not None:
        yield request, "application/json", step.body
    if step.table is not None:
        yield request, "text/csv", "\n".join(step.table) + "\n"
    if step.text is not None:
        yield request, "text/plain", step.text
    if step.status < 300:
        response = operation["responses"][str(step.status)]
        value = step.answer if step.lines is None else "\n".join(step.lines) + "\n"
        if value is not None:
            yield response, step.kind, value
