"""What a page of record is of, at the foot of each sheet that it is printed on.

A browser takes such words from a style sheet alone, so each page has a small one of its own.
"""

from __future__ import annotations

from flask import Flask, Response, url_for

KINDS = ("job", "lot", "product")


def add(app: Flask) -> None:
    """Put the style sheets into an application."""
    app.add_url_rule(f"/paper/<any({', '.join(KINDS)}):what>/<code:of>.css", "paper", foot)


def of(what: str, code: str) -> str:
    """The address of a page's own style sheet."""
    return url_for("paper", what=what, of=code)


def foot(what: str, of: str) -> Response:
    """The foot's left; a code has no sign that means anything to a style sheet."""
    words = f'@page {{ @bottom-left {{ content: "{what} {of}"; font: 8pt sans-serif; }} }}'
    return Response(words, mimetype="text/css")
