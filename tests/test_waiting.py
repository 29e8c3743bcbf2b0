"""A busy machine fails no test: a limit is for what hangs, and what is to come is waited for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .waiting import HANGS_S

TESTS = Path(__file__).parent
LIMIT_S = 600
SHORT = re.compile(
    r"""\btimeout=[1-9]                        # seconds of its own, for a program or a request
        | \.(?:wait|join|communicate)\(\d\d   # the same, without the name
        | WebDriverWait\(\w+,\s*\d
    """,
    re.VERBOSE,
)


def test_a_tests_limit_is_ten_minutes_without_its_fixtures(pytestconfig: pytest.Config) -> None:
    """One fixture plays a whole day, for all that stand on it."""
    assert float(pytestconfig.getini("timeout")) == LIMIT_S
    assert pytestconfig.getini("timeout_func_only") in (True, "true")
    assert 60 < HANGS_S < LIMIT_S  # so that what hangs is told in words


def test_no_test_has_a_shorter_limit(request: pytest.FixtureRequest) -> None:
    """Of those that are run now."""
    marks = {
        item.nodeid: mark.args[0]
        for item in request.session.items
        for mark in item.iter_markers("timeout")
    }
    assert {name: limit for name, limit in marks.items() if limit < LIMIT_S} == {}


def test_nothing_is_waited_for_by_a_time_of_its_own() -> None:
    """What may hang is given `HANGS_S`; what is to happen is waited for with `until`."""
    found = [
        f"{path.relative_to(TESTS)}:{number}: {line.strip()}"
        for path in sorted(TESTS.rglob("*.py"))
        if "bench" not in path.parts and path != Path(__file__)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if SHORT.search(line)
    ]
    assert found == []
