"""Checks before any resource sees a request: where it comes from, who asks, its query.

While nobody has to log in, only this machine itself may ask. A page of another site can make a
person's browser send requests to it, and another site's name can be pointed at it; neither may
reach the store. Once a token exists, everybody has to show one, wherever they are; but still no
other site's page may change anything.

Every address that is neither a resource nor in `OPEN` is a page for known people, so a new page
is guarded without a line here.
"""

from __future__ import annotations

import re
from typing import Any

from flask import Response, current_app, g, request

from ...core.errors import Invalid, Refusal
from ..context import people
from ..context.request import person, units
from ..problems import CrossSite, ForeignHost
from . import peers, versions
from .access import Access, access_of

OPEN = frozenset(
    {
        "static",
        "problems",
        "problem",
        "docs",
        "viewer",
        "topics",
        "worked",
        "topic",
        "openapi",
        "enter",
        "let_in",
        "leave",
        "pair",
        "paired",
        "feed",
    }
)
"""Endpoints that tell nothing of the store, or find out themselves who asks."""

_LOOPBACK = re.compile(r"(?:localhost|127\.0\.0\.1|\[::1\])(?::\d{1,5})?", re.IGNORECASE | re.ASCII)
_PASSED_ON = re.compile(
    r"via|.*forwarded.*|x-(?:real|original)-.*|(?:[a-z]+-)*(?:client|connecting|source)-?ip(?:v6)?"
    r"|x-remote-(?:ip|addr)|x-proxy.*|proxy-.*|cf-.*|cdn-.*",
    re.IGNORECASE,
)
"""Headers that only a proxy sets. Via and Forwarded have their RFCs (9110, 7239); the others are
common practice, no source, and each maker has its own spelling, so a pattern takes them all."""
_READS = frozenset({"GET", "HEAD", "OPTIONS"})
_HERE = "Use the program on this machine, or address the service as http://localhost."


def guard() -> Response | None:
    """Refuse a request that may not be made, or not in this way.

    Returns:
        A redirect to the entrance, for a browser that asks for a page and has no pass.

    Raises:
        ForeignHost, CrossSite: it comes from elsewhere.
        NotAuthenticated, SlowDown: its token is missing or not known.
        NotAllowed: the person's role may not do it.
        PreconditionMissing: a change without If-Match.
        Invalid: the query has a name that the address does not take.
    """
    if request.environ.get(peers.STRANGER):
        raise ForeignHost("This is not the way in.", advice="Use the address that you were given.")
    if request.endpoint == "static":
        return None  # a refusal is a page too, and its style tells nothing of the store
    stranger = _stranger()
    if stranger is not None and not people.has_login():
        raise stranger
    if request.method not in _READS:
        _from_no_other_site()
    view: Any = current_app.view_functions.get(request.endpoint or "")
    if view is None or request.endpoint in OPEN:
        return None
    if not hasattr(view, "view_class"):
        return _page(view)
    _resource(_access(view.view_class))
    return None


def _stranger() -> Refusal | None:
    """Why the request is not this machine's own; None if it is."""
    host = request.environ.get("HTTP_HOST", "")
    if _LOOPBACK.fullmatch(host) is None:
        return ForeignHost("The request is addressed to another host.", advice=_HERE)
    if any(_PASSED_ON.fullmatch(name) for name, _ in request.headers):
        return ForeignHost("The request was passed on by a proxy.", advice=_HERE)
    if not peers.is_loopback(request.remote_addr):
        return ForeignHost("The request comes from another machine.", advice=_HERE)
    return None


def _from_no_other_site() -> None:
    site = request.headers.get("Sec-Fetch-Site", "none")
    origin = request.headers.get("Origin")
    own = request.host_url.rstrip("/").lower()
    if site not in ("none", "same-origin") or (origin is not None and origin.lower() != own):
        raise CrossSite(
            "A page of another site sent this.",
            advice="Use the program, or this service's own pages.",
        )


def _page(view: object) -> Response | None:
    """Find out who asks for a page, or who sends its form: by a browser's pass.

    A program may look at a page with its token.
    """
    if request.method not in _READS:
        from . import forms  # late, as below: a program asks for no page

        g.person = forms.sender(view)
        return None
    if "Authorization" in request.headers:
        g.person = people.by_bearer()
        g.person.hand.must_be("viewer", "To look at a page")
        return None
    known = people.by_page_pass()
    if known is None:
        from . import entrance

        return entrance.way_in()
    g.person = known
    known.hand.must_be("viewer", "To look at a page")
    return None


def _resource(access: Access | None) -> None:
    """Check that the person may ask this, and in this way."""
    if access is None:  # OPTIONS, which Flask answers
        person()
        return
    if access.role is not None:
        asker = _asker(access).hand
        if not (access.sensor and asker.role == "sensor"):
            asker.must_be(access.role)
    _known_query(access)
    if access.versioned:
        versions.need_version()


def _asker(access: Access) -> people.Person:
    """Who asks: by a token, or where a page can send none by the browser's pass."""
    if access.by_pass:
        _from_no_other_site()
        g.person = people.by_bearer_or_pass()
    return person()


def _access(view_class: Any) -> Access | None:
    """How the resource being asked for may be used."""
    method = "get" if request.method == "HEAD" else request.method.lower()
    return access_of(getattr(view_class, method, None))


def _known_query(access: Access) -> None:
    for name, texts in request.args.lists():
        if name not in access.query:
            known = ", ".join(sorted(access.query)) or "none"
            raise Invalid(
                f"Unknown name in the query: {name[:64]!r}.",
                advice=f"Names here: {known}.",
                parameter=name[:64],
            )
        if len(texts) > 1:
            raise Invalid(
                f"{name}: It is in the query twice.", advice="Give it once.", parameter=name
            )
    if "units" in request.args:
        units()
