"""What `plan pots` asks, and what it prints."""

from __future__ import annotations

from typing import Any

from .at_server import sent, typed


def of(value: float, unit: str) -> dict[str, Any]:
    """A quantity as it comes."""
    return {"value": value, "unit": unit}


def test_as_asked(server: Any) -> None:
    """One POST, of what was given."""
    asked = sent(server, "plan", "pots", "LAM", "6 kg", "--bay", "SHED", "--percent", "2",
                 "--spread", "1 kg", "--in", "6 min", "--start",
                 "2026-03-20T08:00:00Z")  # fmt: skip
    assert (asked.method, asked.path) == ("POST", "/v1/estimates/pots")
    assert asked.json == {
        "resin": "LAM", "amount": "6 kg", "bay": "SHED", "catalyst_percent": 2,
        "spread": "1 kg", "spread_time": "6 min", "start": "2026-03-20T08:00:00Z",
    }  # fmt: skip


def test_printed(server: Any) -> None:
    """A line a pot: what to weigh, when to stir it, when it is down."""
    pot = {"pot": 1, "resin": of(2000, "g"), "catalyst": of(36, "g"), "catalyst_volume": None,
           "temperature": of(18, "degC"), "mixed_at": "2030-03-20T08:00:00+00:00",
           "spread_until": "2030-03-20T08:14:00+00:00",
           "spread_before": "2030-03-20T08:15:30+00:00"}  # fmt: skip
    server.answer(
        server.reply(
            {"resin": "LAM", "catalyst": "PEROX", "count": 1, "limited_by": "time",
             "greatest_pot": of(3, "kg"), "resin_mass": of(2, "kg"), "catalyst_mass": of(36, "g"),
             "mix": of(2.036, "kg"), "finished_at": "2030-03-20T08:14:00+00:00", "pots": [pot],
             "warnings": ["Feel it."], "advice": [], "cautions": []}
        )
    )  # fmt: skip
    shown = typed(server, "plan", "pots", "LAM", "2 kg", "--spread", "1 kg", "--in", "6 min").output
    assert "1, by the time before it gels" in shown
    assert "2.036 kg: 2 kg of LAM and 36 g of PEROX" in shown
    for word in ("2 kg", "36 g", "18 °C", "2030-03-20 08:00", "08:14", "08:15", "! Feel it."):
        assert word in shown
