"""What is looked at before any resource sees a request: where it comes from, and its query.

While nobody has to log in, only this machine itself may ask. A page of another site can
make a person's browser send requests to it, and a name of another site can be pointed
at it; neither must reach the store.
"""

from __future__ import annotations

import re
from typing import Any

from flask import current_app, request

from ..core.errors import Invalid
from . import versions
from .access import Access, access_of
from .refusals import CrossSite, ForeignHost
from .request import person, units

_LOOPBACK = re.compile(r"(?:localhost|127\.0\.0\.1|\[::1\])(?::\d{1,5})?", re.IGNORECASE | re.ASCII)
_PASSED_ON = re.compile(r"forwarded|x-forwarded-.*|via", re.IGNORECASE)
_READS = frozenset({"GET", "HEAD", "OPTIONS"})
_HERE = "Use the program on this machine, or address the service as http://localhost."


def guard() -> None:
    """Refuse what may not ask, or asks in a way that the address does not have.

    Raises:
        ForeignHost, CrossSite: it comes from elsewhere.
        NotAllowed: the person's role does not cover it.
        PreconditionMissing: a change without If-Match.
        Invalid: the query has a name that the address does not know.
    """
    _from_here()
    if request.method not in _READS:
        _from_no_other_site()
    access = _access()
    if access is not None:
        person().must_be(access.role)
        _known_query(access)
        if access.versioned:
            versions.need_version()


def _from_here() -> None:
    host = request.environ.get("HTTP_HOST", "")
    if _LOOPBACK.fullmatch(host) is None:
        raise ForeignHost("The request is addressed to another host.", advice=_HERE)
    if any(_PASSED_ON.fullmatch(name) for name, _ in request.headers):
        raise ForeignHost("The request was passed on by a proxy.", advice=_HERE)


def _from_no_other_site() -> None:
    site = request.headers.get("Sec-Fetch-Site", "none")
    origin = request.headers.get("Origin")
    own = request.host_url.rstrip("/").lower()
    if site not in ("none", "same-origin") or (origin is not None and origin.lower() != own):
        raise CrossSite("A page of another site sent this.", advice=_HERE)


def _access() -> Access | None:
    """How the resource being asked for may be used; None for a plain page."""
    view: Any = current_app.view_functions.get(request.endpoint or "")
    method = "get" if request.method == "HEAD" else request.method.lower()
    return access_of(getattr(getattr(view, "view_class", None), method, None))


def _known_query(access: Access) -> None:
    for name, texts in request.args.lists():
        if name not in access.query:
            known = ", ".join(sorted(access.query)) or "none"
            raise Invalid(
                f"The query has a name that is not known here: {name[:64]!r}.",
                advice=f"Names here: {known}.",
                parameter=name[:64],
            )
        if len(texts) > 1:
            raise Invalid(f"{name}: It stands twice in the query.", advice="Give it once.",
                          parameter=name)  # fmt: skip
    if "units" in request.args:
        units()
