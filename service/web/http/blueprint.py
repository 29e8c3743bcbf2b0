"""How a resource is written.

    from flask.views import MethodView

    from ...acts.jobs import job as job_acts
    from ...acts.jobs.job import JobView
    from ...acts.yard import finding
    from .. import fields
    from ..context.request import hand, now
    from ..fields.schemas import Body, Loaded
    from ..fields.views import answer
    from ..http import paging, versions
    from ..http.access import reads, writes
    from ..http.blueprint import Blueprint

    blp = Blueprint("jobs", __name__, url_prefix="/v1/jobs", description="Work on one craft.")

    class JobIn(Body):
        number = fields.Code(required=True)
        title = fields.Text(required=True)

    @blp.route("")
    class Jobs(MethodView):
        @blp.arguments(paging.Page, location="query")
        @reads()
        @blp.response(200, paging.listing(answer(JobView)))
        def get(self, page: Loaded) -> paging.Listed:
            '''The jobs, newest first.'''
            return paging.page(page, job_acts.list_jobs)

        @blp.arguments(JobIn)
        @writes(role="hand")
        @blp.response(201, answer(JobView))
        def post(self, body: Loaded) -> Any:
            '''Open a job.'''
            job = job_acts.open_job(**body, now=now(), hand=hand())
            where = {"Location": f"/v1/jobs/{job.number}"}
            return job, 201, where | versions.etag(job.version)

    @blp.route("/<code:number>")
    class Job(MethodView):
        @blp.arguments(JobChange)
        @writes(role="hand", versioned=True)
        @blp.response(200, answer(JobView))
        def patch(self, body: Loaded, number: str) -> Any:
            '''Change a job.'''
            versions.match(finding.job(number).version)
            ...

The order is fixed: `arguments`, then `reads` or `writes`, then `response`. So a body is read
and checked before the store is locked, and the answer is made inside the transaction, which an
exception undoes. `paging.Page` is the query of a list; another query is a `schemas.Query`.

Addresses take `<code:…>` and `<id:…>`; anything that is no code, or no id, is a 404. A method
raises the refusals of `core.errors` and knows no statuses. A body whose schema has
`from_csv(text)` may also come as `text/csv`. Every query may have `units`. The examples that
`/docs` shows are in `worked`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from flask import Blueprint as Addresses
from flask import Request, Response, jsonify, request
from flask.views import MethodView
from marshmallow import Schema, ValidationError
from webargs.flaskparser import FlaskParser

from ..fields.messages import refuse
from ..fields.schemas import Answer, Body, JsonSchema
from .access import Method, access_of, marked
from .bodies import json_body, text_body

if TYPE_CHECKING:
    from .still import Shown

Resource = TypeVar("Resource", bound=type[MethodView])

Step = Callable[[Any], Callable[[Any], Any]]
"""What a decorator of this module is called in the library that describes: see `steps_of`."""

_STEPS = "cureyard_steps"
"""The attribute of a method that holds its steps: decorators copy it outwards, as `wraps` does."""


class Parser(FlaskParser):
    """Reads bodies strictly, and raises the faults that schemas find as refusals."""

    def load_json(self, req: Request, schema: Schema) -> Any:
        """The body: JSON, or a table or another text where the schema knows how to read one."""
        if request.mimetype == "text/csv" and hasattr(schema, "from_csv"):
            return schema.from_csv(text_body())
        if isinstance(schema, Body) and request.mimetype in schema.texts:
            return schema.from_text(request.mimetype, text_body())
        return json_body()

    def handle_error(
        self, error: ValidationError, req: Request, schema: Schema, **_options: Any
    ) -> NoReturn:
        """Raise the refusals in a schema's messages."""
        ((location, messages),) = error.messages_dict.items()
        refuse(messages, pointed=location == "json")


_PARSER = Parser()


class Blueprint(Addresses):
    """The addresses of one noun, each method with its access.

    Describing them takes a library that a command would wait for. So each decorator also keeps
    how it is described, and `openapi` does that when somebody asks.
    """

    def __init__(self, *args: Any, description: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.description = description
        self.views: dict[str, tuple[str, type[MethodView]]] = {}
        """Endpoint → its address and its resource."""

    def route(self, rule: str, **options: Any) -> Callable[[Resource], Resource]:  # type: ignore[override]  # takes resources alone
        """Serve a resource at an address.

        Raises:
            TypeError: one of its methods does not say its access.
        """

        def decorate(view: Resource) -> Resource:
            for method in view.methods or ():
                if access_of(getattr(view, method.lower())) is None:
                    raise TypeError(f"{view.__name__}.{method.lower()} says no access.")
            taken = view.__name__ in self.views
            endpoint = f"{view.__name__}_{len(self.views)}" if taken else view.__name__
            self.views[endpoint] = rule, view
            self.add_url_rule(rule, endpoint, view.as_view(endpoint), **options)
            return view

        return decorate

    def arguments(
        self, schema: Body | type[Body], *, location: str = "json"
    ) -> Callable[[Method], Method]:
        """Read a body, or with `location` a query or the headers, and pass it to the method."""
        shape = schema() if isinstance(schema, type) else schema

        def decorate(method: Method) -> Method:
            access = access_of(method)
            if access is None:
                raise TypeError(f"{method.__qualname__} says no access under its arguments.")
            if location == "query":
                access = replace(access, query=access.query | frozenset(shape.load_fields))
            if hasattr(shape, "from_csv"):
                access = replace(access, tables=True)
            if shape.texts:
                access = replace(access, texts=shape.texts)

            @wraps(method)
            def given(*args: Any, **kwargs: Any) -> Response:
                read = _PARSER.parse(shape, request, location=location)
                return method(*args, read, **kwargs)

            return marked(
                _with_step(given, lambda told: told.arguments(shape, location=location)), access
            )

        return decorate

    def response(
        self,
        status: int,
        schema: Answer | type[Answer] | JsonSchema,
        *,
        content_type: str | None = None,
        moving: Callable[[Shown], dict[str, Any]] | None = None,
    ) -> Callable[[Callable[..., Any]], Method]:
        """Write the value that the method returns by a schema; a `Response` is passed on.

        Args:
            status: of the answer, unless the method returns another.
            schema: of the answer; for content that is no JSON its JSON Schema.
            content_type: of the answer, if not JSON.
            moving: of an answer with an ETag, what moves with the clock: see `still`.
        """
        shape: Any = schema() if isinstance(schema, type) else schema

        def decorate(method: Callable[..., Any]) -> Method:
            if access_of(method) is not None:
                raise TypeError(f"{method.__qualname__} has its response above its access.")

            @wraps(method)
            def answered(*args: Any, **kwargs: Any) -> Response:
                value, given, headers = _parted(method(*args, **kwargs))
                if isinstance(value, Response):
                    return value
                shown = shape.dump(value)
                if moving is not None:
                    from . import still  # late: few answers have an ETag

                    return still.answered(shown, moving(shown))
                response = jsonify(shown)
                response.headers.extend(headers)
                response.status_code = status if given is None else given
                return response

            described = _with_step(
                answered, lambda told: told.response(status, shape, content_type=content_type)
            )
            return described if moving is None else _with_step(described, _describe_etag)

        return decorate

    def or_as(self, media_type: str) -> Callable[[Method], Method]:
        """Describe that the answer may also come as such a text; the method sees to it."""
        content = {200: {"content": {media_type: {"schema": {"type": "string"}}}}}
        return lambda method: _with_step(method, lambda told: told.doc(responses=content))


def steps_of(method: Any) -> tuple[Step, ...]:
    """How a method is described, from its innermost decorator outwards."""
    return getattr(method, _STEPS, ())


def _with_step(method: Method, step: Step) -> Method:
    setattr(method, _STEPS, (*steps_of(method), step))
    return method


def _describe_etag(told: Any) -> Any:
    same = (
        "If-None-Match has the ETag of an answer in which all but the moment and the air of the "
        "bays still holds."
    )
    return told.doc(responses={304: {"description": same}})


def _parted(returned: Any) -> tuple[Any, int | None, dict[str, str]]:
    """What a method returned: the value alone, or with a status, or with that and headers."""
    if type(returned) is not tuple:  # a row of a list may be one of its own kind
        return returned, None, {}
    value, *more = returned
    status, headers = more if len(more) == 2 else (*more, {})
    return value, status, headers
