"""What each problem means, and the addresses with worked examples: plain HTML without scripts."""

from __future__ import annotations

from functools import partial

from flask import Flask, abort, render_template

from ..api import Api
from ..openapi import examples
from ..problems import TABLE


def add(app: Flask, api: Api) -> None:
    """Put these pages into an application, once its resources are in."""
    app.add_url_rule("/problems/", "problems", list_problems)
    app.add_url_rule("/problems/<slug>", "problem", show_problem)
    app.add_url_rule("/docs", "docs", partial(show_docs, api))


def list_problems() -> str:
    """The problems that an answer may name."""
    return render_template("problems.html", table=TABLE)


def show_problem(slug: str) -> str:
    """What one problem means; the address that an answer's `type` gives."""
    if slug not in TABLE:
        abort(404)
    return render_template("problem.html", slug=slug, problem=TABLE[slug])


def show_docs(api: Api) -> str:
    """Every address and what it takes and gives, by example."""
    document = api.document()
    return render_template("docs.html", info=document["info"], nouns=examples.by_noun(document))
