"""What can be read, and goes against the store, the trade's rules or chemistry."""

from __future__ import annotations

from typing import Any

from ..small_yard import BAY, CUP, CURE, DOSE, DRAW, JOB, LAYUP, LOT, POT, PRODUCT
from .entry import Entry, body, with_headers


def _with_gel_times(*points: tuple[str, float, str]) -> dict[str, Any]:
    """A product whose sheet has these gel times."""
    names = ("temperature", "catalyst_percent", "time")
    made = [dict(zip(names, point, strict=True)) for point in points]
    return {**PRODUCT, "cure": {**CURE, "gel_times": made}}


AGAINST_CHEMISTRY = {
    "slower when warmer": _with_gel_times(("15 degC", 2, "14 min"), ("25 degC", 2, "28 min")),
    "no faster when warmer": _with_gel_times(("15 degC", 2, "20 min"), ("25 degC", 2, "20 min")),
    "absurdly fast": _with_gel_times(("15 degC", 2, "10 h"), ("25 degC", 2, "1 min")),
    "slower with more": _with_gel_times(("20 degC", 1, "14 min"), ("20 degC", 2, "28 min")),
}

THERE_ALREADY = (
    ("/v1/lots", {**LOT, "number": "B-1"}),
    ("/v1/lots", {**LOT, "number": "b-1"}),
    ("/v1/products", {**PRODUCT, "code": "lam"}),
    ("/v1/bays", {**BAY, "code": "Shed"}),
    ("/v1/jobs", {**JOB, "number": "d-7"}),
)

NOT_THERE = (
    ("/v1/lots", {**LOT, "product": "NONE"}, "/product"),
    ("/v1/lots", {**LOT, "bay": "NONE"}, "/bay"),
    ("/v1/movements", {**DRAW, "lot": 99}, "/lot"),
    ("/v1/movements", {**DRAW, "lot": 2**63 - 1}, "/lot"),
    ("/v1/movements", {**DRAW, "job": "NONE"}, "/job"),
    ("/v1/doses", {**DOSE, "resin": "NONE"}, "/resin"),
    ("/v1/batches", {**POT, "resin": "NONE"}, "/resin"),
    ("/v1/batches", {**POT, "resin_lot": 99}, "/resin_lot"),
    ("/v1/layups", {**LAYUP, "batches": [99]}, "/batches/0"),
    ("/v1/layups", {**LAYUP, "over": 99}, "/over"),
    ("/v1/lots/2/cup-tests", {**CUP, "catalyst_lot": 99}, "/catalyst_lot"),
    ("/v1/products", {**PRODUCT, "cure": {**CURE, "with": ["NONE"]}}, "/cure/with"),
    ("/v1/movements", {"kind": "reversal", "reverses": 99, "reason": "slip"}, "/reverses"),
)

TOO_MUCH = (
    ("/v1/movements", {**DRAW, "quantity": "21 kg"}),
    ("/v1/movements", {**DRAW, "lot": 1, "quantity": "1000 kg"}),
    ("/v1/movements", {"kind": "scrap", "lot": 2, "quantity": "20 kg", "reason": "spilt"}),
    ("/v1/movements", {"kind": "draw", "product": "LAM", "quantity": "999 t", "job": "D-7"}),
    ("/v1/movements", {"kind": "draw", "product": "LAM", "quantity": "900 kg", "job": "D-7"}),
)

ENTRIES: list[Entry] = [
    *(body("cure-sheet-inconsistent", what, "/v1/products", product)
      for what, product in AGAINST_CHEMISTRY.items()),
    *(with_headers("cure-sheet-inconsistent", f"changed: {what}", "/v1/products/LAM",
                   {"cure": product["cure"]}, "PATCH", HTTP_IF_MATCH='"1"')
      for what, product in AGAINST_CHEMISTRY.items()),
    *(body("already-exists", "there already", path, again) for path, again in THERE_ALREADY),
    *(body("unknown-reference", f"no such {pointer}", path, wrong, pointer)
      for path, wrong, pointer in NOT_THERE),
    *(body("short-stock", "more than there is", path, wrong) for path, wrong in TOO_MUCH
      if not str(wrong["quantity"]).endswith(" t")),
    body("part-of-batch", "a pot's draw undone alone", "/v1/movements",
         {"kind": "reversal", "reverses": 3, "reason": "slip"}),
    body("validation", "more brought back than was drawn", "/v1/movements",
         {"kind": "return", "lot": 2, "quantity": "5 kg", "job": "D-7"}, "/quantity"),
    body("validation", "a pot of nothing known", "/v1/doses", {}),
    body("too-cold", "a pot in the frost", "/v1/batches", {**POT, "temperature": "-5 degC"}),
]  # fmt: skip
