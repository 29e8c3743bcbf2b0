"""Files that may be kept for long: each address has a hash of the file in it, and an ETag.

A file that changes has another address, so what a browser kept is never old.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from flask import Flask, Response, request

YEAR_S = 365 * 24 * 3600
KEPT = f"public, max-age={YEAR_S}, immutable"
ASKED_AGAIN = "no-cache"
"""For an address without the hash: it may be kept, and is asked for each time by its ETag."""


def add(app: Flask, folders: Mapping[str, str]) -> None:
    """Add the hashes to the addresses of some endpoints.

    Args:
        folders: endpoint → where its files are; they are called by `filename`.
    """

    def versioned(endpoint: str, values: dict[str, Any]) -> None:
        if endpoint in folders and "filename" in values:
            values["v"] = _hash(folders[endpoint], values["filename"])

    def kept(response: Response) -> Response:
        folder = folders.get(request.endpoint or "")
        if folder is not None and response.status_code in (200, 304):
            asked, named = request.args.get("v"), (request.view_args or {}).get("filename", "")
            same = asked is not None and asked == _hash(folder, named)
            response.headers["Cache-Control"] = KEPT if same else ASKED_AGAIN
        return response

    app.url_defaults(versioned)
    app.after_request(kept)


@cache
def _hash(folder: str, name: str) -> str | None:
    """The first letters of a file's hash; None where there is no such file."""
    file = Path(folder) / name
    return sha256(file.read_bytes()).hexdigest()[:16] if file.is_file() else None
