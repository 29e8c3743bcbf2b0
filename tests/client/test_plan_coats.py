"""What `plan coats` and `plan fairing` ask, and what they print."""

from __future__ import annotations

from typing import Any

from .at_server import sent, typed


def litres(value: float) -> dict[str, Any]:
    """A volume as it comes."""
    return {"value": value, "unit": "L"}


def test_coats_as_asked(server: Any) -> None:
    """One POST, of what was given."""
    asked = sent(server, "plan", "coats", "3 m2", "--wet", "0.6 mm", "--coats", "2")
    assert (asked.method, asked.path) == ("POST", "/v1/estimates/coating")
    assert asked.json == {"area": "3 m2", "wet_film": "0.6 mm", "coats": 2}


def test_fairing_printed(server: Any) -> None:
    """A line each for what stays, what is sanded off and what is left in the pot."""
    server.answer(
        server.reply(
            {"coats": 2, "coat": {"value": 2.25, "unit": "mm"}, "fill": litres(6),
             "sanded": litres(0.75), "waste": litres(1.0125), "mix": litres(7.7625),
             "mix_a_coat": litres(3.88125), "mass": None, "cautions": ["Mask."]}
        )
    )  # fmt: skip
    shown = typed(server, "plan", "fairing", "1.5 m2", "4 mm", "--coat", "3 mm").output
    for line in ("coats   2 of 2.25 mm", "fill    6 L", "sanded  0.75 L", "mix     7.763 L"):
        assert line in shown
    assert "! Mask." in shown
