"""The OpenAPI document: the addresses of an application and the shapes of what they take and give.

Imported when somebody asks for it: describing takes longer than all the rest of starting, and so
do the libraries that do it.
"""

from __future__ import annotations

from collections.abc import Iterable
from http import HTTPStatus
from typing import cast

import flask_smorest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from flask import Flask
from flask.views import MethodView
from flask_smorest.spec.plugins import FlaskPlugin
from werkzeug.routing import BaseConverter

from .. import fields, problems, worked
from ..fields.schemas import Answer, JsonSchema
from ..http import described
from ..http.blueprint import Blueprint, steps_of
from . import links, meanings, names, vocabularies

INFO = {
    "description": "Materials by lot, catalyst doses and cure clocks of a small composite "
    "boat-repair yard. A quantity in a request is text with its unit. Once a token exists, every "
    "request needs one, in the header Authorization: Bearer.",
    "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
}


TOKEN = {"type": "http", "scheme": "bearer", "description": "A token that an admin made."}
"""How a program shows who asks; not needed until a token exists."""


class FaultOut(Answer):
    """One of several faults in a request."""

    pointer = fields.Text(required=True)
    slug = fields.Text(required=True)
    detail = fields.Text(required=True)


class ProblemOut(Answer):
    """A refusal, as RFC 9457 problem details."""

    type = fields.Text(required=True)
    slug = fields.Text(required=True)
    title = fields.Text(required=True)
    status = fields.Integer(required=True)
    detail = fields.Text(required=True)
    advice = fields.Text()
    pointer = fields.Text()
    errors = fields.List(fields.Nested(FaultOut))
    changed = fields.Flag(required=True, allow_none=True)


def describe(app: Flask, blueprints: Iterable[Blueprint]) -> JsonSchema:
    """The document of an application's blueprints."""
    addresses, shapes = FlaskPlugin(), MarshmallowPlugin()
    plugins = (addresses, shapes, described.Common(app))
    spec = APISpec("Cureyard", "1", "3.1.0", plugins, info=INFO, security=[{"token": []}, {}])
    addresses.register_converter(app.url_map.converters["code"], _code)
    converter = cast(OpenAPIConverter, shapes.converter)  # there once a spec has the plugin
    converter.add_attribute_function(described.field)
    spec.components.security_scheme("token", TOKEN)
    spec.components.schema("Quantity", fields.QUANTITY)
    _describe_problems(spec)
    for each in blueprints:
        # Of an `api` it reads two constants, which are the library's own.
        _told(each).register_views_in_doc(
            flask_smorest.Api, app, spec, name=each.name, parameters=None
        )
        spec.tag({"name": each.name, "description": each.description})
    document: JsonSchema = spec.to_dict()
    worked.put_into(document)
    links.put_into(document)
    names.put_into(document)
    meanings.put_into(document)
    vocabularies.put_into(document)
    return document


def _told(blueprint: Blueprint) -> flask_smorest.Blueprint:
    """A blueprint as the library has it: of the same addresses, with the steps of each method."""
    told = flask_smorest.Blueprint(blueprint.name, blueprint.import_name)
    for endpoint, (rule, view) in blueprint.views.items():
        methods = {}
        for name in map(str.lower, view.methods or ()):
            method = getattr(view, name)
            for step in steps_of(method):
                method = step(told)(method)
            methods[name] = method
        told.add_url_rule(rule, endpoint, type(view.__name__, (MethodView,), methods))
    return told


def _code(_converter: BaseConverter) -> JsonSchema:
    """JSON Schema of a code in an address."""
    return {"type": "string", "pattern": f"^{fields.CODE}$"}


def _describe_problems(spec: APISpec) -> None:
    """Describe the answer of each status that a problem has; only the used ones are shown."""
    titles: dict[str, list[str]] = {}
    for problem in problems.TABLE.values():
        titles.setdefault(HTTPStatus(problem.status).name, []).append(problem.title)
    told = {name: "; ".join(each) for name, each in titles.items()}
    told["DEFAULT_ERROR"] = "Any other problem"
    for name, description in told.items():
        content = {problems.MEDIA_TYPE: {"schema": ProblemOut}}
        response = {"description": description, "content": content}
        spec.components.response(name, response, lazy=True)
