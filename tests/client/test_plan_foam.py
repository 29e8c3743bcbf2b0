"""What `plan foam`, `plan float` and `plan basic-float` ask, and what they print."""

from __future__ import annotations

from typing import Any

import pytest

from .at_server import sent, typed


def of(value: float, unit: str) -> dict[str, Any]:
    """A quantity as it comes."""
    return {"value": value, "unit": unit}


@pytest.mark.parametrize(
    ("line", "path", "body"),
    [
        (["foam", "prism", "0.07 m2", "1.2 m", "--depth", "0.2 m", "--lift", "100 mm", "--vents",
          "3", "--product", "POUR"], "foam",
         {"cavity": "prism", "section": "0.07 m2", "length": "1.2 m", "depth": "0.2 m",
          "lift": "100 mm", "vents": 3, "product": "POUR"}),
        (["float", "--hull", "600 lb", "frp", "--hull", "80 lb", "0.55", "--foam", "2 lb/ft3"],
         "flotation",
         {"hull": [{"mass": "600 lb", "material": "frp"},
                   {"mass": "80 lb", "specific_gravity": 0.55}], "foam_density": "2 lb/ft3"}),
        (["basic-float", "600 lb", "1000 lb", "--chamber", "30 L"], "basic-flotation",
         {"persons": "600 lb", "weight_capacity": "1000 lb", "chambers": ["30 L"]}),
    ],
)  # fmt: skip
def test_as_asked(server: Any, line: list[str], path: str, body: Any) -> None:
    """One POST, of what was given."""
    asked = sent(server, "plan", *line)
    assert (asked.method, asked.path) == ("POST", f"/v1/estimates/{path}")
    assert asked.json == body


def test_a_box_of_one_size_asks_nobody(server: Any) -> None:
    """Wrong usage stops before the wire."""
    done = typed(server, "plan", "foam", "box", "1 m", "--depth", "1 m", "--lift", "1 m",
                 "--vents", "1")  # fmt: skip
    assert done.exit_code == 2
    assert "length and width" in done.output
    assert not server.requests


def test_foam_printed(server: Any) -> None:
    """The kit, its lifts, and that it is no compliance figure."""
    server.answer(
        server.reply(
            {"volume": of(90, "L"), "vents": 4, "lifts": 3, "lift": of(83.3333, "mm"),
             "kit": of(2.88, "kg"), "waste": of(0.432, "kg"), "mix": of(3.312, "kg"),
             "mix_a_lift": of(1.104, "kg"), "cautions": ["Not a compliance figure."]}
        )
    )  # fmt: skip
    shown = typed(server, "plan", "foam", "water", "90 L", "--depth", "0.25 m", "--lift",
                  "100 mm", "--vents", "4", "--density", "32 kg/m3").output  # fmt: skip
    for text in ("90 L, vents counted: 4", "2.88 kg, both parts", "432 g", "1.104 kg a lift",
                 "! Not a compliance figure."):  # fmt: skip
        assert text in shown
