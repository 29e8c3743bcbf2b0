"""Queries that mean nothing: limits, places to go on from, names that nobody knows."""

from __future__ import annotations

from ..small_yard import LOT
from .entry import Entry, body, get

LISTS = ("/v1/lots", "/v1/movements", "/v1/products", "/v1/jobs")

LIMITS = (
    "0", "201", "-1", "1.5", "1e2", "", "%20", "x", "null", "0x10", "1,0", "%D9%A1", "9" * 30, "+5",
    "5%00", "NaN", "[5]", "true",
)  # fmt: skip

CURSORS = (
    "x", "!", "=", "0", "zzzz", "%00", "%ff", "a" * 20_000, "null", "-1", "..", "%D9%A1", "1",
    "68qj4d9o74qj4d9o74qj4d9o74qj4d9o74qj4d9o", "5l",
)  # fmt: skip
"""Places to go on from that no page ever gave."""

STRANGE = (
    "colour=red", "Limit=5", "limit%00=5", "=5", "=", "limit[]=5", "limit[$gt]=5", "%FF=%FF",
    "a=1&a=2",
    "__proto__=1", "limit=5&limit=5", "limit=5&limit=6", "units=us&units=us", "units=x", "units=",
    "units=US", "units=metric%00", "lim%69t=0", "q=%3Cscript%3E", "x" * 10_000 + "=1", "callback=x",
    "'%20OR%201=1--=", "%E2%80%AElimit=5", "limit%20=5", "_method=DELETE",
    "&".join(f"a{number}=1" for number in range(900)),
)  # fmt: skip

NARROWED = (
    "/v1/movements?lot=x", "/v1/movements?lot=0", "/v1/movements?lot=-1", "/v1/movements?lot=1.5",
    "/v1/movements?job=%00", "/v1/movements?job=", "/v1/movements?job=a%20b",
    "/v1/movements?mine=maybe", "/v1/movements?mine=2", "/v1/movements?mine=",
    "/v1/lots?product=%00",
    "/v1/lots?state=rubbish", "/v1/jobs?state=ajar", "/v1/jobs?state=",
    "/v1/jobs?state=open&state=closed",
    "/v1/layups/1?as_known_at=now", "/v1/layups/1?as_known_at=",
    "/v1/layups/1?as_known_at=2026-03-20",
    "/v1/layups/1?as_known_at=0001-01-01T00:00:00Z",
    "/v1/layups/1?as_known_at=2026-13-01T00:00:00Z",
    "/v1/layups/1?as_known_at=2026-03-20T08:00:00", "/healthz?units=us", "/v1/now?at=2031",
    "/v1/yard?zone=UTC", "/v1/products/LAM?fields=code", "/v1/lots/1?expand=all",
)  # fmt: skip

ENTRIES: list[Entry] = [
    *(get("validation", f"limit {limit!r}", f"/v1/lots?limit={limit}") for limit in LIMITS),
    *(get("validation", f"from {where[:20]!r} on", f"/v1/lots?after={where}") for where in CURSORS),
    *(get("validation", f"{path} with {query[:40]!r}", f"{path}?{query}")
      for path in LISTS for query in ("limit=0", "limit=201", "limit=1.5", "after=x")
      if path != "/v1/lots"),
    *(get("validation", f"{query[:60]!r}", f"/v1/lots?{query}") for query in STRANGE),
    *(get("validation", where, where) for where in NARROWED),
    *(body("validation", f"a write with {query!r}", f"/v1/lots?{query}", LOT)
      for query in ("dry_run=true", "limit=5", "x=", "units=x", "override=1", "role=admin")),
    *(body("validation", f"an import with {query!r}", f"/v1/imports/lots?{query}", {"table": "a"})
      for query in ("dry_run=perhaps", "dates=ymd", "dates=", "dry_run=true&dry_run=false",
                    "zone=UTC", "dry_run=")),
]  # fmt: skip
