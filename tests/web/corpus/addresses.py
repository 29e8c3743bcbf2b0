"""Addresses at which there is nothing, and could not be."""

from __future__ import annotations

from ..small_yard import CUP
from .entry import Entry, body, get

IDS = (
    "x", "1.5", "-1", "0", "1e3", str(2**63), str(2**64 + 1), "9" * 400, "1 OR 1=1", "1;--", "%00",
    "1%00", "1%0a", "%0d%0aX-Role:%20admin", "١", "１", "²", "+1", "0x1", "1_0", "1,0", "%201",
    "1%20", "..", "%2e%2e", "..%2f..%2fetc", "%2e%2e%2fetc%2fpasswd", "%c0%ae%c0%ae", "%ff",
    "%F0%9F",
    "%ed%a0%80", "%252e", "{{7*7}}", "%3Cscript%3E", "*", "~", "null", "None", "true", "[1]",
    "{}", "1'", "1%22", "%E2%80%AE1", "%E2%80%8B1", "a" * 5_000,
)  # fmt: skip
"""What is no row's id."""

CODES = (
    "NONE", "-A", ".A", "_A", "A%20B", "%C3%A9", "A" * 33, "..", "%2e%2e", "..%2fLAM", "LAM%00",
    "LAM%0a", "LAM%2f", "%4cAM%2e%2e%2f", "*", "'", "LAM'--", "%D0%9BAM", "ＬＡＭ", "LAM%E2%80%8B",
    "LAM;x", "LAM:x", "{{7*7}}", "%ff", "LAM\\", "LAM+", "null",
)  # fmt: skip
"""What is no product's code."""

NOWHERE = (
    "/v1", "/v1/", "/V1/lots", "/v2/lots", "/v1/lots/", "/v1/lots//", "/v1/LOTS",
    "/v1//lots", "/v1/lots/1/", "/v1/lots/1/nothing", "/v1/lots/1/2", "/v1/lots.json",
    "/v1/./lots", "/v1/../v1/lots", "/v1/%6cots/%2e%2e", "/v1/lots;v=1", "/.env",
    "/.git/config", "/static/", "/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/app.py",
    "/static/%2e%2e%2f%2e%2e%2fcore/errors.py", "/static/plain.css%00.png", "/etc/passwd",
    "/problems/nothing", "/problems/..%2f..%2fetc", "/problems/%3Cscript%3E", "/healthz/",
    "/openapi.json/", "/openapi.yaml", "/admin", "/console", "/v1/\u202elots", "/%00", "/v1/%ff",
    "/" + "a/" * 2_000, "/v1/jobs/D-7/needs/1", "/v1/bays/SHED/readings/1",
)  # fmt: skip
"""Where nothing is, whatever one hopes for."""


def _made() -> list[Entry]:
    made = [
        get("not-found", f"lot {each[:40]!r}{rest}", f"/v1/lots/{each}{rest}")
        for each in IDS
        for rest in ("", "/trace")
    ]
    made += [
        get("not-found", f"{noun} {each}", f"/v1/{noun}/{each}")
        for noun in ("batches", "layups")
        for each in ("0", "99", "-1", str(2**63), "x", "%00", "١")
    ]
    made += [
        body("not-found", f"a test of lot {each}", f"/v1/lots/{each}/cup-tests", CUP)
        for each in ("0", "99", "-1", "1.5", "x", "9" * 19, "9" * 20, "٢")
    ]
    made += [
        body("not-found", f"of layup {each}", f"/v1/layups/{each}/observations", {"kind": "gelled"})
        for each in ("0", "99", "-1", "x", "9" * 20, "%00")
    ]
    made += [get("not-found", f"product {code[:40]!r}", f"/v1/products/{code}") for code in CODES]
    made += [
        get("not-found", f"{noun} {code}", f"/v1/{noun}/{code}")
        for noun in ("jobs", "bays")
        for code in ("NONE", "..", "%00", "A" * 33, "%C3%A9")
    ]
    return made + [get("not-found", f"{where[:60]!r}", where) for where in NOWHERE]


ENTRIES = _made()
