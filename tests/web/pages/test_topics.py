"""The help topics as pages: the words that `cureyard help` prints, for everybody."""

from __future__ import annotations

import re
from html import unescape

import pytest
from cureyard_service import topics
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")


def test_docs_lists_every_topic(client: FlaskClient) -> None:
    """Each leads to its page; the rest of the help is in test_pages."""
    text = unescape(client.get("/docs/topics").text)
    for name in topics.names():
        assert f'<a href="/docs/{name}">{name}</a>: {topics.topic(name).title}' in text


@pytest.mark.parametrize("name", topics.names())
def test_a_topic_is_a_page(client: FlaskClient, name: str) -> None:
    """All its words are there, code as it is typed; nothing is styled or fetched in it."""
    page = client.get(f"/docs/{name}")
    assert (page.status_code, page.mimetype) == (200, "text/html")
    told = topics.topic(name)
    words = re.sub(r"</?(?:code|span)[^>]*>", "", unescape(page.text))
    assert f"<h1>{told.title}</h1>" in words
    for block in told.blocks:
        if block.kind == "code":
            assert '<pre tabindex="0">' + "\n".join(block.lines) + "</pre>" in words
        else:
            assert all(f">{line.replace('`', '')}</" in words for line in block.lines)
    assert "<script" not in page.text
    assert "style=" not in page.text
    assert set(re.findall(r'href="(/docs[^"]*)"', page.text)) == {"/docs", "/docs/topics"}


@pytest.mark.parametrize("name", ["plam", "..", "__init__", "plan.md"])
def test_there_is_no_other_topic(client: FlaskClient, name: str) -> None:
    """No file but a topic is shown."""
    assert client.get(f"/docs/{name}").status_code == 404
