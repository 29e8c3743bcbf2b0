"""A filled mix by its consistency: what is asked, and what is printed."""

from __future__ import annotations

from typing import Any

import pytest

from .at_server import sent, typed


def test_a_pot_by_consistency(server: Any) -> None:
    """Beside fillers by their quantity; the words as they are spoken."""
    asked = sent(
        server, "mix", "GLUE", "1 kg", "--job", "D-7", "-t", "20C", "--filler", "CHOP", "20 g",
        "--consistency", "SPHERES", "Holds a ridge",
    )  # fmt: skip
    assert asked.json["fillers"] == [
        {"product": "CHOP", "quantity": "20 g"},
        {"product": "SPHERES", "consistency": "holds_a_ridge"},
    ]


def test_a_filler_s_sheet(server: Any) -> None:
    """Loose parts, or grams to the kilogram."""
    asked = sent(
        server, "product", "add", "SPHERES", "--name", "Spheres", "--role", "filler",
        "--bulk-density", "0.15 kg/L", "--particle-density", "0.25 kg/L",
        "--consistency", "sags", "1 part", "--consistency", "stays-put", "40 g/kg",
    )  # fmt: skip
    assert asked.json["consistencies"] == [
        {"consistency": "sags", "loose_parts": 1},
        {"consistency": "stays_put", "grams_per_kg": 40},
    ]
    assert (asked.json["bulk_density"], asked.json["particle_density"]) == (
        "0.15 kg/L", "0.25 kg/L",
    )  # fmt: skip


@pytest.mark.parametrize("amount", ["40", "40 g", "1,5 parts", "much"])
def test_an_amount_of_filler_needs_its_measure(server: Any, amount: str) -> None:
    """Parts and grams are a hundredfold apart."""
    shown = typed(server, "product", "set", "SPHERES", "--consistency", "sags", amount)
    assert shown.exit_code == 2
    assert "write '1.5 parts' by loose volume, or '40 g/kg'" in shown.output


def test_bedding_printed(server: Any) -> None:
    """Kilograms of each part, and the layers."""
    kg = {"unit": "kg"}
    litre = {"unit": "L"}
    server.answer(
        server.reply(
            {"bed": {"value": 2, **litre}, "waste": {"value": 0.3, **litre},
             "mix": {"value": 2.3, **litre}, "mass": {"value": 1.547, **kg}, "cautions": ["Mask."],
             "filled": {
                 "resin": "GLUE", "resin_mass": {"value": 1.03, **kg}, "hardener": "SLOW",
                 "hardener_mass": {"value": 0.258, **kg}, "filler": "SPHERES",
                 "filler_mass": {"value": 0.259, **kg}, "consistency": "holds_a_ridge",
                 "catalyst_percent_max": None, "volume": {"value": 2.3, **litre},
                 "density": {"value": 0.673, "unit": "kg/L"},
                 "build_max": {"value": 4, "unit": "mm"}, "layers": 1}}
        )
    )  # fmt: skip
    shown = typed(
        server, "plan", "bedding", "1 m2", "2 mm", "--product", "GLUE",
        "--consistency", "SPHERES", "holds a ridge",
    ).output  # fmt: skip
    for line in (
        "resin     1.03 kg of GLUE", "hardener  258 g of SLOW", "filler    259 g of SPHERES",
        "stands    holds a ridge", "layers    1, each at most 4 mm", "! Mask.",
    ):  # fmt: skip
        assert line in shown


def test_fairing_printed(server: Any) -> None:
    """The coats once; a catalyst by its name, with the percent that was reckoned."""
    kg, litre = {"unit": "kg"}, {"unit": "L"}
    server.answer(
        server.reply(
            {"coats": 2, "coat": {"value": 2, "unit": "mm"}, "fill": {"value": 6, **litre},
             "sanded": {"value": 0, **litre}, "waste": {"value": 0.9, **litre},
             "mix": {"value": 6.9, **litre}, "mass": {"value": 4.5, **kg},
             "mix_a_coat": {"value": 3.45, **litre}, "cautions": ["Mask."],
             "filled": {
                 "resin": "LAM-PE", "resin_mass": {"value": 3.8, **kg}, "hardener": "PEROX-9",
                 "hardener_mass": {"value": 0.095, **kg}, "filler": "MICROS",
                 "filler_mass": {"value": 0.6, **kg}, "consistency": "holds_a_ridge",
                 "catalyst_percent_max": 2.5, "volume": {"value": 6.9, **litre},
                 "density": {"value": 0.65, "unit": "kg/L"},
                 "build_max": {"value": 4, "unit": "mm"}, "layers": 2}}
        )
    )  # fmt: skip
    shown = typed(
        server, "plan", "fairing", "1.5 m2", "4 mm", "--coat", "3 mm", "--product", "LAM-PE",
        "--consistency", "MICROS", "holds a ridge",
    ).output  # fmt: skip
    assert "coats     2 of 2 mm" in shown
    assert "catalyst  95 g of PEROX-9 (at most 2.5 %)" in shown
    assert "layers" not in shown
    assert "hardener" not in shown
