"""Codes, ids, choices, words and lists in a body that are none."""

from __future__ import annotations

from typing import Any

from ..small_yard import BAY, DRAW, JOB, LAYUP, LOT, PRODUCT
from .entry import Entry, body

CODES: tuple[Any, ...] = (
    "", " ", "-A", ".A", "A B", "é", "A" * 33, "../A", "A\n", "A\x00", "A/B", "A\\B", "A%2f", "A;B",
    "A'--", "<b>A", "{{A}}", "=A", "@A", "Ａ", "А", "A\u200b", "\u202eA", "A\u0301", "☢",
    "A" * 100_000,
    7, 1.5, None, True, [], {}, ["A"],
)  # fmt: skip

IDS: tuple[Any, ...] = (
    "2", "x", "", 1.5, 0, -1, 2**63, 2**64, 10**30, -(2**63), True, False, [2], {"id": 2}, None,
    "٢", 1e300,
)  # fmt: skip

WORDS: tuple[Any, ...] = (
    "", " ", "\n", "a\nb", "a\x00b", "\x1b[31mred", "a\x7fb", "a\u2028b", "tur\u202end", "\u2066a",
    "\u0085",
    "x" * 100_000, "x" * 201, 7, 1.5, None, True, [], {}, ["a"], {"a": "b"},
)  # fmt: skip
"""No words on one line that can be shown. (What only looks dangerous is words like any other.)"""

CHOICES: tuple[Any, ...] = (
    "", "re sin", "resin\x00", "mast", "ｒｅｓｉｎ", "resin,catalyst", 0, None,
    True, [], ["resin"], {}, "x" * 100_000,
)  # fmt: skip

FLAGS: tuple[Any, ...] = ("true", "yes", "", 1, 0, None, [], {}, "on", 1.0)

UNKNOWN = (
    "expires", "Product", "product ", "", "id", "version", "on_hand", "__proto__", "constructor",
    "__class__", "role", "who", "verified", "recorded_at", "$where", "product[]", "product\x00",
    "\u202eproduct", "ｐroduct", "x" * 100_000, "kind", "state", "held",
)  # fmt: skip
"""Names that a delivery does not have; what the service decides itself is not set from outside."""

NO_LIST: tuple[Any, ...] = ("1", 1, {}, {"0": 1}, True, [None], [[1]], ["1"], [1.5], [0], [-1],
[2**63],
                            [1] * 1_001, [True])  # fmt: skip

NO_OBJECT: tuple[Any, ...] = ([], "LAM", 12, None, True, 1.5, [[]], [LOT], "", [1, 2])

ENTRIES: list[Entry] = [
    *(body("validation", f"code {str(code)[:30]!r}", "/v1/products", {**PRODUCT, "code": code},
        "/code")
      for code in CODES),
    *(body("validation", f"lot {str(lot)[:30]!r}", "/v1/movements", {**DRAW, "lot": lot}, "/lot")
      for lot in IDS),
    *(body("validation", f"title {str(words)[:30]!r}", "/v1/jobs", {**JOB, "title": words},
        "/title")
      for words in WORDS),
    *(body("validation", f"role {str(role)[:30]!r}", "/v1/products", {**PRODUCT, "role": role},
        "/role")
      for role in CHOICES),
    *(body("validation", f"filled {flag!r}", "/v1/doses",
           {"resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2,
            "filled": flag}, "/filled") for flag in FLAGS),
    *(body("validation", f"a field {name[:30]!r}", "/v1/lots", {**LOT,
        name: "1"}) for name in UNKNOWN
      if name not in LOT),
    *(body("validation", f"pots {str(pots)[:30]}", "/v1/layups", {**LAYUP, "batches": pots})
      for pots in NO_LIST),
    *(body("validation", f"{value!r} in place of a delivery", "/v1/lots", value)
      for value in NO_OBJECT),
    *(body("validation", f"{name} left out", "/v1/lots",
           {key: value for key, value in LOT.items() if key != name}, f"/{name}") for name in LOT),
    *(body("validation", f"{name} left out", "/v1/bays",
           {key: value for key, value in BAY.items() if key != name}, f"/{name}") for name in BAY),
    *(body("validation", f"kind {kind!r}", "/v1/movements", {**DRAW, "kind": kind}, "/kind")
      for kind in ("receipt", "gift", "", None, 1, ["draw"], "draw;count")),
    *(body("validation", f"a draw with {name}", "/v1/movements", {**DRAW, name: value})
      for name, value in (("counted_at", "2026-03-20T08:00:00Z"), ("reverses", 1), ("product",
      "LAM"),
                          ("size", {"length": "1 m", "width": "1 m"}))),
    body("validation", "a draw to no job", "/v1/movements",
         {name: value for name, value in DRAW.items() if name != "job"}, "/job"),
    body("validation", "an override without its reason", "/v1/movements", {**DRAW, "override": {}}),
    body("validation", "an override that is a word", "/v1/movements", {**DRAW, "override": "yes"}),
]  # fmt: skip
