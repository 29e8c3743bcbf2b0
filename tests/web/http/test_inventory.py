"""Every address that answers is one that is told of, or a page of the yard's own.

OWASP API Security Top 10 (2023): API9 improper inventory management.
"""

from __future__ import annotations

import re

import pytest
from cureyard_service.web.http import guards
from flask import Flask
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")

TOY = re.compile(r"/v1/toys\b.*")
"""What the tests put beside the service's own."""


def test_every_operation_is_described(app: Flask, client: FlaskClient) -> None:
    """No old version, no forgotten method: what is routed and what is told of are the same."""
    told = {
        (path, method.upper())
        for path, operations in client.get("/openapi.json").json["paths"].items()
        for method in operations.keys() - {"parameters"}
        if not TOY.fullmatch(path)
    }
    routed = {
        (re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule), method)
        for rule in app.url_map.iter_rules()
        if hasattr(app.view_functions[rule.endpoint], "view_class")
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if not TOY.fullmatch(rule.rule)
    }
    assert routed == told
    assert {path.split("/")[1] for path, _ in told} == {"v1", "healthz", "readyz"}


def test_nothing_else_is_under_the_interface(app: Flask) -> None:
    """A page is no operation; so it is not at an address that looks like one."""
    pages = [
        rule
        for rule in app.url_map.iter_rules()
        if not hasattr(app.view_functions[rule.endpoint], "view_class")
    ]
    assert [rule.rule for rule in pages if rule.rule.startswith("/v1")] == []
    assert {rule.endpoint for rule in pages} >= guards.OPEN
