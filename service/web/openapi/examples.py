"""The operations of the OpenAPI document with their worked examples, for the page `/docs`."""

from __future__ import annotations

import json
from typing import Any

from ...core.frozen import frozen
from ..fields.schemas import JsonSchema
from ..worked import Step, steps

WIDTH = 88
"""Most characters of a line, as far as its values allow."""


@frozen
class Example:
    """One request of the story, and its answer, as text.

    Attributes:
        says: what it is about.
        request: the request line, the headers and the body, as they are sent.
        status: of the answer, with its headers that matter.
        answer: its body, or a description of it.
    """

    says: str
    request: str
    status: str
    answer: str


@frozen
class Operation:
    """One method of one address.

    Attributes:
        method, path: such as `POST` and `/v1/jobs`.
        summary: what it does, in a few words.
        parameters: names in path, query and headers, each with its meaning.
        examples: in the order of the story.
    """

    method: str
    path: str
    summary: str
    parameters: list[tuple[str, str]]
    examples: list[Example]


def by_noun(document: JsonSchema) -> dict[str, list[Operation]]:
    """The operations of an OpenAPI document under their tags, in its order."""
    nouns: dict[str, list[Operation]] = {tag["name"]: [] for tag in document["tags"]}
    for path, methods in document["paths"].items():
        common = methods.get("parameters", [])
        for method, operation in methods.items():
            if method != "parameters":
                shown = _operation(method.upper(), path, operation, common)
                nouns[operation["tags"][0]].append(shown)
    return nouns


def _operation(
    method: str, path: str, operation: JsonSchema, common: list[JsonSchema]
) -> Operation:
    parameters = [*common, *operation.get("parameters", [])]
    return Operation(
        method,
        path,
        operation.get("summary", ""),
        [(f"{p['name']} ({p['in']})", p.get("description", "")) for p in parameters],
        [_example(step) for step in steps() if step.operation == f"{method} {path}"],
    )


def _example(step: Step) -> Example:
    return Example(step.says, _request(step), _status(step), _answer(step))


def _request(step: Step) -> str:
    headers = dict(step.headers)
    if step.by is not None:
        headers["Authorization"] = f"Bearer {step.by}'s token"
    if step.body is not None:
        headers["Content-Type"] = "application/json"
    if step.table is not None:
        headers["Content-Type"] = "text/csv"
    if step.text is not None:
        headers["Content-Type"] = "text/plain"
    if step.image is not None:
        headers["Content-Type"] = "image/png"
    head = [f"{step.method} {step.asked}", *_lines(headers)]
    if step.image is not None:
        return "\n".join([*head, "", "The bytes of the picture."])
    body = _body(step)
    return "\n".join([*head, "", *body] if body else head)


def _body(step: Step) -> list[str]:
    """The lines of what is sent."""
    if step.text is not None:
        return [step.text]
    return step.table or ([] if step.body is None else [pretty(step.body)])


def _status(step: Step) -> str:
    return "\n".join([str(step.status), *_lines(step.told | {"Content-Type": step.kind})])


def _answer(step: Step) -> str:
    if step.shown is not None:
        return step.shown
    return pretty(step.answer) if step.lines is None else "\n".join(step.lines)


def _lines(headers: dict[str, str]) -> list[str]:
    return [f"{name}: {value}" for name, value in headers.items()]


def pretty(value: Any, indent: int = 0, used: int = 0) -> str:
    """A plain value as JSON for people: whatever fits on a line is on one.

    Args:
        value: of dicts, lists, text, numbers, booleans and None.
        indent: spaces at the beginning of its further lines.
        used: characters already on its first line.
    """
    short = json.dumps(value, ensure_ascii=False)
    if not isinstance(value, (dict, list)) or indent + used + len(short) <= WIDTH:
        return short
    deeper = indent + 2
    if isinstance(value, dict):
        names = [(json.dumps(name, ensure_ascii=False) + ": ", value[name]) for name in value]
    else:
        names = [("", item) for item in value]
    lines = [" " * deeper + name + pretty(item, deeper, len(name) + 1) for name, item in names]
    opens, closes = "{}" if isinstance(value, dict) else "[]"
    return f"{opens}\n" + ",\n".join(lines) + f"\n{' ' * indent}{closes}"
