"""Versions of things: the ETag that a read gives and the If-Match that a change must bring.

A version is raised by PATCH alone, never by stock, readings or time; so it guards
changes, and is no word on whether an answer may be used again from a cache.
"""

from __future__ import annotations

from flask import request

from ...core.errors import PreconditionMissing, StaleVersion


def etag(version: int) -> dict[str, str]:
    """The header that an answer about a thing carries, by the thing's version."""
    return {"ETag": f'"{version}"'}


def need_version() -> None:
    """Refuse a change that does not say what it changes.

    Raises:
        PreconditionMissing: there is no If-Match.
    """
    if not request.headers.get("If-Match", "").strip():
        raise PreconditionMissing(
            "The request does not say which version it changes.",
            advice='Read the thing, and send its ETag in If-Match, such as If-Match: "3".',
        )


def match(version: int) -> None:
    """Refuse to change a thing that was changed since it was read.

    `If-Match: *` is a person's word that any version will do (RFC 9110, 13.1.1). To be
    called inside the act's own transaction.

    Args:
        version: the version that stands now.

    Raises:
        PreconditionMissing: there is no If-Match.
        StaleVersion: it names another version.
    """
    need_version()
    if not request.if_match.contains(str(version)):  # strong comparison, or the star
        raise StaleVersion(
            f"The present version is {version}, and the request changes another.",
            advice="Read it again, then decide again.",
            version=version,
        )
