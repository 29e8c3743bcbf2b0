"""The foot of each printed sheet of a record, which says what the record is of.

A browser takes the words of a foot from a style sheet alone, so each page has a small one.
"""

from __future__ import annotations

from flask import Flask, Response, url_for

KINDS = ("job", "lot", "product")


def add(app: Flask) -> None:
    """Add the style sheets to an application."""
    app.add_url_rule(f"/paper/<any({', '.join(KINDS)}):what>/<code:of>.css", "paper", foot)


def of(what: str, code: str) -> str:
    """The address of a page's own style sheet."""
    return url_for("paper", what=what, of=code)


def foot(what: str, of: str) -> Response:
    """The left of the foot; no character of a code has a meaning in a style sheet."""
    words = f'@page {{ @bottom-left {{ content: "{what} {of}"; font: 8pt sans-serif; }} }}'
    return Response(words, mimetype="text/css")
