"""Amounts that are none, wherever one is asked for; percents and readings that nobody has."""

from __future__ import annotations

from typing import Any

from ..small_yard import CUP, DOSE, DRAW, LAYUP, LOT, POT, PRODUCT
from .entry import Entry, body

PLACES = {
    "a delivery": ("/v1/lots", LOT, "quantity"),
    "a draw": ("/v1/movements", DRAW, "quantity"),
    "a dose": ("/v1/doses", DOSE, "amount"),
    "a pot": ("/v1/batches", POT, "amount"),
    "a thickness": ("/v1/layups", LAYUP, "thickness"),
    "a density": ("/v1/products", PRODUCT, "density"),
    "a cup": ("/v1/lots/2/cup-tests", CUP, "mass"),
}
TEXTS: dict[str, tuple[Any, str]] = {
    "a bare number": (12, "unit-missing"),
    "a number in quotes": ("12", "unit-missing"),
    "a unit of the wrong kind": ("12 degC", "unit-mismatch"),
    "an unknown unit": ("12 hogsheads", "unit-mismatch"),
    "a tower of powers": ("9**9**9**9 kg", "validation"),
    "an infinite number": ("1e999 kg", "validation"),
    "infinity": ("inf kg", "validation"),
    "nan": ("nan kg", "validation"),
    "a decimal comma": ("1,5 kg", "validation"),
    "a sum": ("5 kg + 3 kg", "validation"),
    "100 kB of text": ("9" * 100_000, "validation"),
    "100 kB of unit": ("9 " + "k" * 100_000, "validation"),
    "nothing": ("", "validation"),
    "null": (None, "validation"),
    "a list": (["12 kg"], "validation"),
}
LESS_THAN_NOTHING = {
    "a delivery": "-1 kg", "a draw": "-1 kg", "a dose": "-1 kg", "a pot": "-1 kg",
    "a thickness": "-1 mm", "a density": "-1 kg/L", "a cup": "-100 g",
}  # fmt: skip

FURTHER: tuple[tuple[Any, str], ...] = (
    ("١٢ kg", "validation"), ("１２ kg", "validation"), ("12\u2007\u3164kg", "validation"),
    ("12 kg\x00", "validation"), ("12\nkg", "validation"), ("\u202e12 kg", "validation"),
    ("12\u200bkg", "validation"), ("12 кg", "validation"), ("=12 kg", "validation"),
    ("@SUM(1) kg", "validation"), ("12 kg; DROP TABLE lot", "validation"),
    ("' OR 1=1 --", "validation"), ("{{7*7}} kg", "validation"), ("${7*7} kg", "validation"),
    ("<b>12 kg</b>", "validation"), ("%s kg", "validation"), ("../12 kg", "validation"),
    ("0x10 kg", "validation"), ("1_000 kg", "validation"), ("12e3 kg", "unit-mismatch"),
    ("12 kg kg", "unit-mismatch"), ("12 kg**2", "unit-mismatch"), ("kg 12", "validation"),
    ("12 kg @ 3", "validation"), ("12 c", "unit-mismatch"), ("12 oz/gal", "unit-mismatch"),
    ("0 kg", "validation"), ("0.0000000001 kg", "validation"), ("999999999999999 kg", "validation"),
    ("½", "validation"), ("1/0 kg", "validation"), ("1e-999 kg", "validation"),
    ("∞ kg", "validation"), ("−5 kg", "validation"), ("—", "validation"), ("all of it",
    "validation"),
    ({"value": 12, "unit": "kg"}, "validation"), (True, "validation"), ([], "validation"),
    ({}, "validation"), (2**70, "unit-missing"), (-(2**70), "unit-missing"), (1e300,
    "unit-missing"),
    (5e-324, "unit-missing"), (0, "unit-missing"),
)  # fmt: skip

PERCENTS = (0, -1, 101, "2", "2 %", True, None, [2], {}, 1e300, -0.0, 2**70, 5e-324, "١")

READINGS: tuple[tuple[dict[str, Any], str, str], ...] = (
    ({"temperature": "-300 degC"}, "validation", "temperature"),
    ({"temperature": "-273.16 degC"}, "validation", "temperature"),
    ({"temperature": "-500 degF"}, "validation", "temperature"),
    ({"temperature": "-70 degC"}, "validation", "temperature"),
    ({"temperature": "500 degC"}, "validation", "temperature"),
    ({"temperature": "18"}, "unit-missing", "temperature"),
    ({"temperature": "18 kg"}, "unit-mismatch", "temperature"),
    ({"temperature": "18 Δ°C"}, "validation", "temperature"),
    ({"humidity_percent": 101}, "validation", "humidity_percent"),
    ({"humidity_percent": -1}, "validation", "humidity_percent"),
    ({"humidity_percent": "60"}, "validation", "humidity_percent"),
    ({"at": "2036-03-20T08:00:00Z"}, "validation", "at"),
    ({"at": "2026-03-20T08:00:00"}, "validation", "at"),
    ({"at": "yesterday"}, "validation", "at"),
)  # fmt: skip


def _made() -> list[Entry]:
    made = [
        body(slug, f"{place}: {text}", path, {**good, name: value}, f"/{name}")
        for place, (path, good, name) in PLACES.items()
        for text, (value, slug) in TEXTS.items()
    ]
    made += [
        body("validation", f"{place} of less than nothing", path,
             {**good, name: LESS_THAN_NOTHING[place]}, f"/{name}")
        for place, (path, good, name) in PLACES.items()
    ]  # fmt: skip
    made += [
        body(slug, f"a delivery of {str(value)[:40]!r}", "/v1/lots", {**LOT, "quantity": value},
             "/quantity")
        for value, slug in FURTHER
    ]  # fmt: skip
    made += [
        body("validation", f"{percent} percent", "/v1/batches",
             {**POT, "catalyst_percent": percent}, "/catalyst_percent")
        for percent in PERCENTS
    ]  # fmt: skip
    made += [
        body("outside-limits", f"{percent} percent", path, {**good, "catalyst_percent": percent})
        for percent in (0.99, 3.01, 50)
        for path, good in (("/v1/doses", DOSE), ("/v1/batches", POT))
    ]
    return made + [
        body(slug, f"a reading with {change}", "/v1/bays/SHED/readings",
             {"readings": [{"at": "2026-03-20T07:00:00Z", "temperature": "18 degC", **change}]},
             f"/readings/0/{name}")
        for change, slug, name in READINGS
    ]  # fmt: skip


ENTRIES = _made()
