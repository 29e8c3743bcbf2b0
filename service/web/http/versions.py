"""Versions: the ETag that a read gives and the If-Match that a change must send.

A version is raised by PATCH alone, never by stock, readings or time. So it guards changes, and
says nothing on whether a cached answer is still fresh.
"""

from __future__ import annotations

from flask import request

from ...core.errors import PreconditionMissing, StaleVersion


def etag(version: int) -> dict[str, str]:
    """The header with a thing's version."""
    return {"ETag": f'"{version}"'}


def need_version() -> None:
    """Refuse a change that does not say which version it changes.

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

    `If-Match: *` accepts any version (RFC 9110, 13.1.1). Call it inside the act's transaction.

    Args:
        version: the present version.

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
