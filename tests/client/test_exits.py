"""Every status has its exit, and every refusal says what, that nothing changed, and what to do."""

from __future__ import annotations

import pytest
from cureyard_client.exits import refusal


@pytest.mark.parametrize(
    ("status", "code"),
    [
        (404, 1), (409, 1), (412, 1), (428, 1),
        (400, 2), (405, 2), (413, 2), (415, 2), (422, 2),
        (401, 3), (403, 3), (429, 3), (503, 3),
        (500, 4), (502, 4), (507, 4),
    ],
)  # fmt: skip
def test_exit_of_a_status(status: int, code: int) -> None:
    """1 the store's state, 2 asked wrongly, 3 nobody or not allowed, 4 the server's fault."""
    assert refusal(status, {}).exit_code == code


def test_a_refusal_says_it_all() -> None:
    """What was wrong, that nothing was changed, what to do; in that order."""
    problem = {
        "type": "http://localhost/problems/short-stock",
        "detail": "There are 1.2 kg of LAM-PE.",
        "advice": "Draw what is there.",
        "changed": False,
    }
    refused = refusal(409, problem)
    assert refused.slug == "short-stock"
    assert refused.lines() == [
        "Refused: There are 1.2 kg of LAM-PE.",
        "Nothing was changed.",
        "Draw what is there.",
    ]


def test_several_faults_are_all_told() -> None:
    """Each fault on its line, with where it stands."""
    errors = [
        {"pointer": "/cure/mix", "slug": "validation", "detail": "This is needed."},
        {"pointer": "", "slug": "validation", "detail": "Unknown field."},
    ]
    lines = refusal(422, {"detail": "2 things are wrong", "errors": errors}).lines()
    assert lines == [
        "Refused: 2 things are wrong",
        "  cure, mix: This is needed.",
        "  Unknown field.",
    ]


def test_faults_that_are_alike_are_told_once() -> None:
    """Of a logger's file the first three rows, and how many more; another column stands alone."""
    errors = [{"pointer": f"/row {n}/temperature", "slug": "unit-missing", "detail": "No unit."}
              for n in range(2, 102)]  # fmt: skip
    errors.insert(1, {"pointer": "/row 2/at", "slug": "validation", "detail": "No moment."})
    assert refusal(422, {"detail": "101 things are wrong", "errors": errors}).lines()[1:] == [
        "  row 2, temperature: No unit.",
        "  row 3, temperature: No unit.",
        "  row 4, temperature: No unit.",
        "  and 97 more like these.",
        "  row 2, at: No moment.",
    ]


def test_a_fault_of_the_server_is_no_refusal() -> None:
    """A 5xx is told as an error, and does not claim that nothing was changed."""
    assert refusal(500, {"title": "It failed"}).lines() == ["Error: It failed"]
