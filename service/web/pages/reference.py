"""Help topics, problems, and the addresses with examples: plain HTML without scripts."""

from __future__ import annotations

from functools import partial

from flask import Flask, abort, render_template

from ... import topics
from ..api import Api
from ..openapi import examples
from ..problems import TABLE


def add(app: Flask, api: Api) -> None:
    """Add these pages to an application that has its resources."""
    app.add_url_rule("/problems/", "problems", list_problems)
    app.add_url_rule("/problems/<slug>", "problem", show_problem)
    app.add_url_rule("/docs/topics", "topics", list_topics)
    app.add_url_rule("/docs/examples", "worked", partial(show_worked, api))
    app.add_url_rule("/docs/<name>", "topic", show_topic)


def list_problems() -> str:
    """The problems that an answer may name."""
    return render_template("problems.html", table=TABLE)


def show_problem(slug: str) -> str:
    """The meaning of one problem, at the address in an answer's `type`."""
    if slug not in TABLE:
        abort(404)
    return render_template("problem.html", slug=slug, problem=TABLE[slug])


def list_topics() -> str:
    """The help topics."""
    return render_template("topics.html", topics=[topics.topic(name) for name in topics.names()])


def show_worked(api: Api) -> str:
    """Every address, with examples of requests and answers."""
    document = api.document()
    return render_template(
        "worked.html",
        info=document["info"],
        nouns=examples.by_noun(document),
    )


def show_topic(name: str) -> str:
    """A help topic, as `cureyard help` prints it."""
    if name not in topics.names():
        abort(404)
    return render_template("topic.html", topic=topics.topic(name))
