"""How a resource is written.

    from flask.views import MethodView

    from ...acts import open_job
    from .. import fields, paging, versions
    from ..access import reads, writes
    from ..blueprint import Blueprint
    from ..request import hand, now
    from ..schemas import Answer, Body

    blp = Blueprint("jobs", __name__, url_prefix="/v1/jobs", description="Work on one craft.")

    class JobIn(Body):
        number = fields.Code(required=True)
        title = fields.Text(required=True)

    class JobOut(Answer):
        number = fields.Code()
        opened_at = fields.Moment()
        version = fields.Integer()

    @blp.route("")
    class Jobs(MethodView):
        @blp.arguments(paging.Page, location="query")
        @reads()
        @blp.response(200, paging.listing(JobOut))
        def get(self, page):
            '''The jobs, newest first.'''
            return paging.page(page, list_jobs.list_jobs)

        @blp.arguments(JobIn)
        @writes(role="hand")
        @blp.response(201, JobOut)
        def post(self, body):
            '''Open a job.'''
            job = open_job.open_job(**body, now=now(), hand=hand())
            return job, 201, {"Location": f"/v1/jobs/{job.number}", **versions.etag(job.version)}

    @blp.route("/<code:number>")
    class Job(MethodView):
        @blp.arguments(JobChange)
        @writes(role="hand", versioned=True)
        @blp.response(200, JobOut)
        def patch(self, body, number):
            '''Change a job.'''
            versions.match(show_job.show_job(number).version)
            ...

The order is fixed: `arguments`, then `reads` or `writes`, then `response`. So a body is read
and judged before the store is locked, and the answer is made inside the transaction, which
an exception undoes. `paging.Page` is the query of a list; another query is a `schemas.Query`.

Addresses take `<code:…>` and `<id:…>`; anything that is no code, or no id, is a 404.
A view raises the refusals of `core.errors` and says nothing of statuses. A body whose schema
has `from_csv(text)` may also come as `text/csv`.
Every query may have `units`. What `/docs` shows by example is in `worked`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NoReturn

import flask_smorest
from flask import Request, request
from flask.views import MethodView
from marshmallow import Schema, ValidationError
from webargs.flaskparser import FlaskParser

from ..fields.messages import refuse
from . import described
from .access import access_of, with_query
from .bodies import json_body, text_body


class Parser(FlaskParser):
    """Reads bodies strictly, and raises what schemas find wrong as refusals."""

    def load_json(self, req: Request, schema: Schema) -> Any:
        """The body: JSON, or a table where the schema knows how to read one."""
        if request.mimetype == "text/csv" and hasattr(schema, "from_csv"):
            return schema.from_csv(text_body())
        return json_body()

    def handle_error(
        self, error: ValidationError, req: Request, schema: Schema, **_options: Any
    ) -> NoReturn:
        """Raise the refusals that stand in a schema's messages."""
        ((location, messages),) = error.normalized_messages().items()
        refuse(messages, pointed=location == "json")


class Blueprint(flask_smorest.Blueprint):
    """The addresses of one noun, each method with its access."""

    ARGUMENTS_PARSER = Parser()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._prepare_doc_cbks.append(described.operation)

    def arguments(
        self, schema: Any, *, location: str = "json", **options: Any
    ) -> Callable[[Any], Any]:
        """As flask-smorest's; a query's names also become known to the guard."""
        schema = schema() if isinstance(schema, type) else schema
        inner = super().arguments(schema, location=location, **options)

        def decorate(view: Any) -> Any:
            wrapper = inner(view)
            access = access_of(view)
            if access is not None and location == "query":
                names = frozenset(schema.load_fields)
                wrapper._apidoc["access"] = with_query(access, names)
            return wrapper

        return decorate

    def or_as(self, media_type: str) -> Callable[[Any], Any]:
        """Describe that the answer may also come as such a text; the view sees to it."""
        text = {"schema": {"type": "string"}}
        return self.doc(responses={200: {"content": {media_type: text}}})

    def add_url_rule(
        self, rule: str, endpoint: Any = None, view_func: Any = None, *args: Any, **options: Any
    ) -> None:
        """As flask-smorest's; a method that does not say its access is a mistake.

        Raises:
            TypeError: a method has neither reads nor writes.
        """
        if isinstance(view_func, type(MethodView)):
            for method in view_func.methods or ():
                if access_of(getattr(view_func, method.lower())) is None:
                    raise TypeError(f"{view_func.__name__}.{method.lower()} says no access.")
        super().add_url_rule(rule, endpoint, view_func, *args, **options)
