"""Hundreds of bad requests: a problem by its slug each time, and no row of any table another.

OWASP API Security Top 10 (2023): API3 broken object property level authorization (what the
service decides itself is not set from outside: `words.UNKNOWN`), API4 unrestricted resource
consumption (sizes, lengths, nesting, rows, pages, and none takes long), API8 security
misconfiguration (methods, foreign hosts, other sites).
"""

from __future__ import annotations

from collections.abc import Iterator
from time import process_time

import pytest
from cureyard_service.web import problems
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...engines import Engine
from ..corpus import BY_KIND
from ..corpus.entry import Entry
from ..small_yard import GOOD, digest, small_yard

LONGEST_S = 10.0
"""Far more than any refusal takes on a busy machine, far less than a hang."""
LONGEST_ANSWER = 20_000
"""Bytes: what was sent is not thrown back whole."""


@pytest.fixture(scope="module")
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """The small yard: one for all, since nothing may change it."""
    with small_yard(engine) as client:
        yield client


def sent(client: FlaskClient, entry: Entry) -> TestResponse:
    """The answer to a bad request."""
    return client.open(
        entry.path,
        method=entry.method,
        data=entry.data,
        content_type=entry.kind,
        environ_overrides=dict(entry.environ),
    )


def amiss(answer: TestResponse, entry: Entry, took: float) -> list[str]:
    """What is wrong with a refusal."""
    told = answer.get_json(silent=True) if answer.mimetype == problems.MEDIA_TYPE else None
    if answer.mimetype != problems.MEDIA_TYPE and entry.method != "HEAD":
        return [f"{answer.status_code} {answer.mimetype}: {answer.get_data(as_text=True)[:200]}"]
    slug = told["type"].rpartition("/")[2]
    found = {
        f"{slug}, not {entry.slug}: {told['detail']}": slug != entry.slug,
        "no such problem": slug not in problems.TABLE,
        f"status {answer.status_code}": problems.TABLE[slug].status != answer.status_code
        or told["status"] != answer.status_code
        or not 400 <= answer.status_code < 500,
        "changed": told["changed"] is not False,
        "no words": not told["detail"],
        f"at {told.get('pointer')}": entry.pointer is not None
        and told.get("pointer") != entry.pointer,
        f"{len(answer.data)} bytes": len(answer.data) > LONGEST_ANSWER,
        f"{took:.1f} s": took > LONGEST_S,
    }
    return [what for what, wrong in found.items() if wrong]


@pytest.mark.parametrize("kind", BY_KIND)
def test_it_is_refused_and_changes_nothing(yard: FlaskClient, kind: str) -> None:
    """By the slug that stands beside it, as a problem, in time, with every row as it was."""
    found, before = [], digest()
    for entry in BY_KIND[kind]:
        started = process_time()
        answer = sent(yard, entry)
        wrong = amiss(answer, entry, process_time() - started)
        after = digest()
        wrong += ["the store is another"] if after != before else []
        before = after
        found += [f"{entry.what}: {'; '.join(wrong)}"] if wrong else []
    assert not found, f"{len(found)} of {len(BY_KIND[kind])}:\n" + "\n".join(found[:40])


def test_there_are_hundreds_and_none_is_there_twice() -> None:
    """More than five hundred that differ in what is sent."""
    entries = [entry for entries in BY_KIND.values() for entry in entries]
    assert len({entry.sent for entry in entries}) == len(entries) >= 500


def test_what_they_are_spoilt_from_is_good(yard: FlaskClient) -> None:
    """So each refusal is of what was changed, and not of something beside it.

    The last test of the file, since it is the one that writes.
    """
    for path, body in GOOD:
        answer = yard.post(path, json=body)
        assert answer.status_code in (200, 201), (path, answer.text)
