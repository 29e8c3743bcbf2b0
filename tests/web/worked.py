"""The story of the worked examples, played on an empty store.

`python -m tests.web.worked` records its answers anew, for when an answer was changed on purpose.
"""

from __future__ import annotations

import base64
import json
import re
import tempfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from cureyard_service.acts.yard import tokens
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.openapi.examples import pretty
from cureyard_service.web.worked import Step, chapters
from werkzeug.test import TestResponse

from .conftest import Clock
from .tokened import KEEPER

SECRET = re.compile(r"cureyard_[\w-]{20,}")
"""A token, which is another each time."""

PLACEHOLDER = "cureyard_…"

HEAD = re.compile(r'"head":\s*"[0-9a-f]{64}"')
"""The head of a store, which is another each time, as its tokens are."""

WEAK = re.compile(r'W/"[0-9a-f]{32}"')
"""An ETag over all that an answer says, which is another with each word of it."""

JSON_KINDS = ("application/json", "application/problem+json")

RECORDED = ("status", "told", "kind", "answer", "lines")
"""The names of a step that come from the answer."""


class Player:
    """A yard that lives through the story."""

    def __init__(self, database: str) -> None:
        self._clock = Clock()
        self._secrets: dict[str, str] = {}
        settings = Settings(database=database, zone="Europe/Lisbon", currency="EUR", hand="Ada")
        self._client = create_app(settings, clock=self._clock).test_client()

    def does(self, step: Step) -> dict[str, Any]:
        """One step: what is recorded of its answer."""
        if step.at is not None:
            self._clock.moment = int(datetime.fromisoformat(step.at).timestamp())
        answer = self._client.open(
            step.asked, method=step.method, headers=step.headers | self._bearer(step.by),
            json=step.body, data=_data(step), content_type=_kind(step),
        )  # fmt: skip
        with answer:
            self._remember(answer)
            return recorded(step, answer)

    def _remember(self, answer: TestResponse) -> None:
        """Who was given a token shows it from then on."""
        told = answer.json if answer.mimetype == JSON_KINDS[0] else None
        if isinstance(told, dict) and "token" in told:
            self._secrets[told["name"]] = told["token"]

    def _bearer(self, name: str | None) -> dict[str, str]:
        if name is None:
            return {}
        if name not in self._secrets:
            made = tokens.add_token(name=name, role="admin", now=self._clock(), hand=KEEPER)
            self._secrets[name] = made.token
        return {"Authorization": f"Bearer {self._secrets[name]}"}


def recorded(step: Step, answer: TestResponse) -> dict[str, Any]:
    """Of an answer what a step holds; of one that is shown in words, not its content."""
    found: dict[str, Any] = {"status": answer.status_code}
    headers = ((name, answer.headers.get(name)) for name in ("Location", "ETag"))
    told = {name: WEAK.sub('W/"3f2a…"', each) for name, each in headers if each is not None}
    if told:
        found["told"] = told
    if answer.mimetype != "application/json":
        found["kind"] = answer.mimetype
    if step.shown is None and answer.mimetype in JSON_KINDS:
        found["answer"] = json.loads(
            HEAD.sub('"head": "3f2a…"', SECRET.sub(PLACEHOLDER, answer.text))
        )
    elif step.shown is None:
        found["lines"] = answer.text.splitlines()
    return found


def _data(step: Step) -> str | bytes | None:
    if step.image is not None:
        return base64.b64decode(step.image)
    if step.text is not None:
        return step.text
    return None if step.table is None else "\n".join(step.table) + "\n"


def _kind(step: Step) -> str | None:
    if step.image is not None:
        return "image/png"
    if step.text is not None:
        return "text/plain"
    return None if step.table is None else "text/csv"


def play(database: str) -> Iterator[tuple[Path, dict[str, Any], dict[str, Any]]]:
    """The story on an empty store: each step as it stands, by its file, and what was answered."""
    player = Player(database)
    try:
        for chapter in chapters():
            for step in json.loads(chapter.read_text(encoding="utf-8")):
                yield chapter, step, player.does(Step(**step))
    finally:
        db.close()


def record() -> None:
    """Play the story, and write down what was answered."""
    told: dict[Path, list[dict[str, Any]]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for chapter, step, found in play(f"{folder}/yard.sqlite"):
            asked = {name: value for name, value in step.items() if name not in RECORDED}
            told.setdefault(chapter, []).append(asked | found)
            if found["status"] >= 300 and step.get("status", 200) != found["status"]:
                print(step["operation"], found["status"], found.get("answer"))
    for chapter, steps in told.items():
        chapter.write_text(pretty(steps) + "\n", encoding="utf-8")


if __name__ == "__main__":
    record()
