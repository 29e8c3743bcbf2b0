"""What every page of the yard has: its head, with the yard's clock, and its foot."""

from __future__ import annotations

import pytest
from cureyard_service.web.pages import base
from flask import Flask
from jinja2 import ChoiceLoader, DictLoader

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does


def test_a_sheet_is_of_a_moment(own_app: Flask) -> None:
    """Its head says the yard's day and time, and what else there is to see."""
    own_app.jinja_env.loader = ChoiceLoader(
        [DictLoader({"toy.html": '{% extends "yard.html" %}'}), own_app.jinja_loader]
    )
    own_app.add_url_rule("/toy", "toy", base.looks(lambda: base.sheet("toy.html")))
    text = own_app.test_client().get("/toy").text
    assert 'datetime="2026-03-20T09:46:40+00:00"' in text
    assert "<span>Fri 2026-03-20</span> <b>09:46</b>" in " ".join(text.split())
    assert '<a href="/docs"' in text
    assert "no licence" in text
