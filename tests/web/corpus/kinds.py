"""Bodies of another kind, in another code, packed, or larger than is read."""

from __future__ import annotations

import gzip
import json

from cureyard_service.web.http.bodies import CSV_LIMIT, JSON_LIMIT

from ..small_yard import LOT, READING
from .entry import CSV, JSON, Entry, raw

BODY = json.dumps(LOT).encode()

KINDS = (
    None, "", " ", ";", "/", "rubbish", "text/plain", "text/html", "text/json", "text/csv",
    "text/xml", "application/xml", "application/jsonx", "application/x-json", "application/*",
    "*/*", "application/json2", "application/octet-stream", "application/x-www-form-urlencoded",
    "multipart/form-data; boundary=x", "multipart/form-data", "application/javascript",
    "application/pdf", "application/zip", "application/gzip", "application/xhtml+xml",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "image/svg+xml",
    "application/json, text/plain", "json", "application", "application/", "/json",
    "application/json text/plain", "application/j son", "x" * 5_000,
    "text/plain; a=application/json",
)  # fmt: skip
"""What is no JSON, by what it says of itself."""

PACKED = (
    "gzip",
    "deflate",
    "br",
    "zstd",
    "compress",
    "gzip, gzip",
    "x-gzip",
    "rubbish",
    "aes128gcm",
)
"""Codings of a body that are not undone: it could unpack to anything."""

SIZES = (
    (JSON, JSON_LIMIT + 1, "/v1/lots"), (JSON, JSON_LIMIT + 1, "/v1/doses"),
    (JSON, 3 * JSON_LIMIT, "/v1/movements"), (CSV, CSV_LIMIT + 1, "/v1/bays/SHED/readings"),
    (CSV, CSV_LIMIT + 1, "/v1/imports/lots"),     ("text/csv; charset=utf-8",
    CSV_LIMIT + 1, "/v1/imports/products"),
)  # fmt: skip
"""A byte more than is read, and more."""

LENGTHS = ("99999999999", str(JSON_LIMIT + 1), "9" * 30)
"""Of a body, as its header tells it: it is refused before a byte of it is read."""

ENTRIES = [
    *(raw("media-type", f"of kind {str(kind)[:60]!r}", BODY, kind=kind) for kind in KINDS),
    *(
        Entry("media-type", f"packed by {coding}", "POST", "/v1/lots", gzip.compress(BODY, mtime=0),
              environ=(("HTTP_CONTENT_ENCODING", coding),))
        for coding in PACKED
    ),
    *(raw("too-large", f"{size} bytes of {kind}", b" " * size, path, kind)
      for kind, size, path in SIZES),
    *(
        Entry("too-large", f"said to be {length} long", "POST", "/v1/lots", BODY,
              environ=(("CONTENT_LENGTH", length),))
        for length in LENGTHS
    ),
    raw("media-type", "a mebibyte of plain text", b" " * (JSON_LIMIT + 1), kind="text/plain"),
    raw("media-type", "a table where a thing is wanted", b"product,number\nLAM,B-2\n",
        "/v1/movements", CSV),
    raw("media-type", "a workbook where a table is wanted", b"PK\x03\x04", "/v1/imports/lots",
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    raw("validation", "the readings of a table as JSON alone", json.dumps(READING).encode(),
        "/v1/bays/SHED/readings"),
]  # fmt: skip
