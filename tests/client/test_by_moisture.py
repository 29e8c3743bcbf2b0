"""What cures by moisture, at the terminal: its sheet as asked, an estimate as printed."""

from __future__ import annotations

from typing import Any

from .at_server import sent, typed


def test_its_sheet_as_asked(server: Any) -> None:
    """One depth in its air, or two; the skin; the coldest."""
    asked = sent(
        server, "product", "add", "SEAL", "--name", "Sealant", "--role", "adhesive", "--mix",
        "one_part", "--surface", "plain", "--cured-depth", "3 mm", "24 h", "23C", "50",
        "--cured-depth", "2 mm", "24 h", "5C", "80 %", "--skin-time", "60 min",
    )  # fmt: skip
    cure = asked.json["cure_change"] if "cure_change" in asked.json else asked.json["cure"]
    assert cure["cures_by"] == "moisture"
    assert cure["cured_depth"] == {
        "depth": "3 mm", "time": "24 h", "temperature": "23C", "humidity_percent": 50,
    }  # fmt: skip
    assert cure["second_depth"]["humidity_percent"] == 80
    assert cure["skin_time"] == "60 min"


def test_three_depths_are_refused(server: Any) -> None:
    """E is told by two."""
    depth = ("--cured-depth", "3 mm", "24 h", "23C", "50")
    shown = typed(server, "product", "set", "SEAL", *depth * 3)
    assert shown.exit_code == 2
    assert "Give one --cured-depth, or two in different air." in shown.output


def test_an_estimate_printed(server: Any) -> None:
    """Until when to tool it, rounded down; when it is through."""
    hours = {"unit": "h"}
    server.answer(
        server.reply(
            {"product": "SEAL", "comes": "edges", "depth": {"value": 30, "unit": "mm"},
             "skin": {"earliest": {"value": 0.6629, **hours}, "at": {"value": 1, **hours},
                      "latest": {"value": 1.5086, **hours}},
             "through": {"earliest": {"value": 1590.8, **hours}, "at": {"value": 2400, **hours},
                         "latest": {"value": 3620.8, **hours}},
             "cautions": ["Mask."]}
        )
    )  # fmt: skip
    shown = typed(
        server, "plan", "moisture", "SEAL", "--tight-width", "60 mm", "-t", "23C",
        "--humidity", "50",
    ).output  # fmt: skip
    for line in (
        "cures    30 mm deep, from each edge", "tool     within 39 min: then it may skin",
        "through  likely after 100 d (66 d 6 h to 150 d 21 h)", "! Mask.",
    ):  # fmt: skip
        assert line in shown, shown
