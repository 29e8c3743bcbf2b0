"""Moments and days that are none, or still to come."""

from __future__ import annotations

from typing import Any

from ..small_yard import BAY, COUNT, CUP, DRAW, LAYUP, LOT, POT
from .entry import Entry, body

MOMENTS = (
    ("/v1/movements", DRAW, "at"),
    ("/v1/movements", COUNT, "counted_at"),
    ("/v1/batches", POT, "mixed_at"),
    ("/v1/layups", LAYUP, "applied_at"),
    ("/v1/layups", LAYUP, "finished_at"),
    ("/v1/batches/1/observations", {"kind": "gelled"}, "at"),
    ("/v1/layups/1/observations", {"kind": "gelled"}, "at"),
    ("/v1/lots/2/cup-tests", CUP, "at"),
)
TO_COME = ("2031-03-20T10:00:00Z", "9999-12-31T23:59:59Z", "2026-03-20T10:00:00Z")

NO_MOMENT: tuple[Any, ...] = (
    "", "now", "yesterday", "2026-03-20", "08:00", "2026-03-20T08:00:00",
    "2026-03-20T08:00:00+25:00",
    "2026-02-30T08:00:00Z", "2026-13-01T08:00:00Z", "2026-03-20T24:01:00Z", "2026-03-20T08:60:00Z",
    "0000-01-01T00:00:00Z", "0001-01-01T00:00:00+14:00", "-2026-03-20T08:00:00Z",
    "12026-03-20T08:00:00Z", "٢٠٢٦-03-20T08:00:00Z", "2026-03-20T08:00:00Z\x00",
    "2026-03-20T08:00:00Z; --", "\u202e2026-03-20T08:00:00Z", "T", "Z", "1e9",
    "2026-W12-5T08:00:00Z",
    "2026-03-20T08:00:00.1.2Z", "2026-03-20T08:00:00Z" * 500, 1774000000, 1774000000.5, True, None,
    [], {}, "1969-12-31T23:59:59Z",
)  # fmt: skip

NO_DAY: tuple[Any, ...] = (
    "2031-03-20", "9999-12-31", "2026-02-30", "20-03-2026", 20260320, "", "today", "2026-3-20",
    "2026/03/20", "20260320", "2026-03-20T00:00:00Z", "٢٠٢٦-٠٣-٢٠", "0000-01-01", "2026-00-10",
    "2026-03-00", "-2026-03-20", "2026-W12-5", "2026-079", "2026-03-20\x00", "2026-03-20 ", True,
    [],
)  # fmt: skip

NO_HOUR: tuple[Any, ...] = (
    "", "7", "7:00", "24:00", "23:60", "07:00:00", "07.00", "7 am", "٠٧:٠٠", "-1:00", 7, 700, None,
    [],
    "07:00Z", "07:00\x00",
)  # fmt: skip

ENTRIES: list[Entry] = [
    *(body("validation", f"{name} at {moment}", path, {**good, name: moment}, f"/{name}")
      for path, good, name in MOMENTS for moment in TO_COME),
    *(body("validation", f"drawn at {str(moment)[:40]!r}", "/v1/movements", {**DRAW, "at": moment},
           "/at") for moment in NO_MOMENT),
    *(body("validation", f"received on {day!r}", "/v1/lots", {**LOT, "received_on": day},
           "/received_on") for day in NO_DAY),
    *(body("validation", f"a day from {hour!r}", "/v1/bays", {**BAY, "day_from": hour}, "/day_from")
      for hour in NO_HOUR),
    body("validation", "made after it came", "/v1/lots", {**LOT, "made_on": "2026-03-21"}),
    body("validation", "out of date before it was made", "/v1/lots",
         {**LOT, "made_on": "2026-03-01", "expires_on": "2026-02-01"}),
    body("validation", "seen before it was mixed", "/v1/batches/1/observations",
         {"kind": "gelled", "at": "2026-03-20T09:00:00Z"}, "/at"),
    body("validation", "counted before it came", "/v1/movements",
         {**COUNT, "counted_at": "2026-03-19T09:00:00Z"}, "/counted_at"),
]  # fmt: skip
