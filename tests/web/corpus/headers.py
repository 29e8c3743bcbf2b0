"""Good requests with something wrong about them: where from, which version, which key, how sent."""

from __future__ import annotations

from ..small_yard import LOT
from .entry import Entry, with_headers

TITLE = {"title": "Keel"}
JOB = "/v1/jobs/D-7"

KEYS = (
    "", " ", "a b", "\t", "é", "\x7f", "\x00", "k" * 201, "k" * 60_000, "a\r\nX-Role: admin",
    "a\nb",
    "\u202ekey", "ключ", "a\x0bb", " key", "key ", "\xff", "𝕜𝕖𝕪",
)  # fmt: skip
"""No 1 to 200 visible ASCII characters."""

STALE = (
    '"2"', '"0"', '"-1"', '"01"', 'W/"1"', 'w/"1"', "rubbish", '"1', '1"', '""', "\t,,", "2", "é",
    '"1.0"', '"+1"', '"١"', '"1" OR "1"', "'1'", '"2", "3"', '"*"', '"' + "1" * 5_000 + '"',
    '"1\r\n"', '"\x00"', '"2", *x',
)  # fmt: skip
"""Versions that do not stand, or are none."""

NO_VERSION = ("", " ", "\t", "  \t ")

HOSTS = (
    "", "yard.example", "localhost.yard.example", "localhost@yard.example", "127.0.0.1.example",
    "127.1", "0.0.0.0", "[::]", "127.0.0.2", "localhost:", "localhost:x", "localhost:999999",
    "localhost/", "localhost#", "localhost\r\nX: y", "ⓛocalhost", "[::1", "::1", "192.0.2.7:8765",
    "localhost, yard.example", "user:pass@localhost", "%6cocalhost", "x" * 10_000,
)  # fmt: skip
"""Names that are not this machine's own, as a name of another site pointed at it would send."""

PASSED_ON = (
    "FORWARDED", "X_FORWARDED_FOR", "X_FORWARDED_HOST", "X_FORWARDED_PROTO", "X_FORWARDED_PREFIX",
    "X_FORWARDED_PORT", "X_FORWARDED_SERVER", "VIA",
)  # fmt: skip
"""Marks of a proxy, where nobody logs in."""

FROM_AFAR = ("192.0.2.1", "10.0.0.7", "fe80::1", "::", "rubbish", "", "127.0.0.1.5", "0x7f000001")
"""Addresses of other machines."""

OTHER_SITES = (
    {"HTTP_ORIGIN": "http://yard.example"}, {"HTTP_ORIGIN": "null"}, {"HTTP_ORIGIN": ""},
    {"HTTP_ORIGIN": "https://localhost"}, {"HTTP_ORIGIN": "http://localhost.yard.example"},
    {"HTTP_ORIGIN": "http://localhost:8765"}, {"HTTP_ORIGIN": "http://127.0.0.1"},
    {"HTTP_ORIGIN": "http://localhost/"}, {"HTTP_ORIGIN": "http://localhost, http://x.example"},
    {"HTTP_SEC_FETCH_SITE": "cross-site"}, {"HTTP_SEC_FETCH_SITE": "same-site"},
    {"HTTP_SEC_FETCH_SITE": "rubbish"}, {"HTTP_SEC_FETCH_SITE": ""},
    {"HTTP_ORIGIN": "http://localhost", "HTTP_SEC_FETCH_SITE": "cross-site"},
)  # fmt: skip
"""What a browser says when another site's page sends something."""

METHODS = ("PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "PROPFIND", "LOCK", "X" * 500,
           "PURGE", "GET\r\nX: y", "")  # fmt: skip
"""Methods that a list does not take; what stands in a header of another's does not count."""

UNSAID = (
    {"CONTENT_LENGTH": "", "HTTP_TRANSFER_ENCODING": "chunked"},
    {"CONTENT_LENGTH": "", "HTTP_TRANSFER_ENCODING": "gzip, chunked"},
    {"CONTENT_LENGTH": "0"}, {"CONTENT_LENGTH": "-1"}, {"CONTENT_LENGTH": "abc"},
    {"CONTENT_LENGTH": "5"}, {"CONTENT_LENGTH": "1e3"}, {"CONTENT_LENGTH": "+9"},
    {"CONTENT_LENGTH": "٩٩"},
)  # fmt: skip
"""Lengths that leave the body out, or a part of it: nothing is guessed from what is left."""

ENTRIES: list[Entry] = [
    *(with_headers("validation", f"key {key[:30]!r}", "/v1/lots", LOT, HTTP_IDEMPOTENCY_KEY=key)
      for key in KEYS),
    *(with_headers("stale-version", f"version {tag[:20]!r}", JOB, TITLE, "PATCH",
                   HTTP_IF_MATCH=tag) for tag in STALE),
    *(with_headers("precondition-missing", f"version {tag!r}", JOB, TITLE, "PATCH",
                   HTTP_IF_MATCH=tag) for tag in NO_VERSION),
    *(with_headers("precondition-missing", "another condition", JOB, TITLE, "PATCH", **other)
      for other in ({"HTTP_IF_NONE_MATCH": "*"}, {"HTTP_IF_UNMODIFIED_SINCE": "now"},
                    {"HTTP_IF_RANGE": '"1"'}, {})),
    *(with_headers("foreign-host", f"host {host[:30]!r}", "/v1/lots", LOT, HTTP_HOST=host)
      for host in HOSTS),
    *(with_headers("foreign-host", f"looked at as {host[:30]!r}", "/v1/now", None, "GET",
                   HTTP_HOST=host) for host in HOSTS[:4]),
    *(with_headers("foreign-host", f"passed on: {name}", "/v1/lots", LOT,
                   **{f"HTTP_{name}": "for=192.0.2.7"}) for name in PASSED_ON),
    *(with_headers("foreign-host", f"from {address!r}", "/v1/lots", LOT, REMOTE_ADDR=address)
      for address in FROM_AFAR),
    *(with_headers("cross-site", f"{headers}", "/v1/lots", LOT, **headers)
      for headers in OTHER_SITES),
    *(with_headers("method", f"method {method[:20]!r}", "/v1/lots", LOT, method)
      for method in METHODS),
    *(with_headers("method", "a method told beside", "/v1/lots", LOT, "PUT", **{name: "POST"})
      for name in ("HTTP_X_HTTP_METHOD_OVERRIDE", "HTTP_X_METHOD_OVERRIDE", "HTTP_X_HTTP_METHOD")),
    *(with_headers("unreadable", f"length {lengths}", "/v1/lots", LOT, **lengths)
      for lengths in UNSAID),
]  # fmt: skip
