"""What `job gates` and `job override` ask, and what they print."""

from __future__ import annotations

from typing import Any

from .at_server import sent, typed


def gate(name: str, verdict: str, **more: Any) -> dict[str, Any]:
    """A gate as it comes."""
    change = "" if verdict == "pass" else f"Mend the {name}."
    return {
        "gate": name, "title": name, "before": "laminating", "verdict": verdict,
        "found": f"Found of {name}.", "change": change, "source": f"The book of {name}",
        "overridden": None, **more,
    }  # fmt: skip


ANSWER = {
    "job": "26-014", "profile": "class", "title": "A society's rules", "refuses": True,
    "verdict": "stop",
    "gates": [
        gate("shop-warm", "stop"),
        gate("unwaxed", "pass"),
        gate("humidity", "stop", overridden={
            "reason": "meter is out", "who": "Ines", "until": "2999-01-02T10:00:00+00:00"}),
        gate("cure-time", "caution", before="moving_on"),
    ],
}  # fmt: skip


def test_gates_as_asked(server: Any) -> None:
    """One GET, with what was said; one POST for an override."""
    server.answer(server.reply(ANSWER))
    asked = sent(server, "job", "gates", "26-014", "--bay", "SHED", "--spraying")
    assert asked.path == "/v1/jobs/26-014/gates?bay=SHED&spraying=true"
    asked = sent(server, "job", "override", "26-014", "humidity", "meter is out")
    assert (asked.method, asked.path) == ("POST", "/v1/jobs/26-014/gates")
    assert asked.json == {"gate": "humidity", "reason": "meter is out"}


def test_gates_in_words(server: Any) -> None:
    """Answers stand as words; what passes has nothing to change; an override says whose."""
    server.answer(server.reply(ANSWER))
    shown = typed(server, "job", "gates", "26-014").output
    assert "Job 26-014: stop, by a society's rules." in shown
    assert "shop-warm  stop        Found of shop-warm." in shown
    assert "humidity   overridden  Found of humidity." in shown
    assert "! shop-warm: Mend the shop-warm." in shown
    assert "! humidity: overridden by Ines until 2999-01-02 10:00" in shown
    assert shown.index("Before laminating") < shown.index("Before moving on")
    assert "Mend the unwaxed" not in shown
    assert "The book of" not in shown
    assert "- Whose rules these are: cureyard job gates 26-014 --why" in shown
    asked = typed(server, "job", "gates", "26-014", "--why").output
    assert "- cure-time: The book of cure-time." in asked
    assert "Whose rules these are" not in asked
    assert "! shop-warm: Mend the shop-warm." in asked


def test_ten_readings_as_sent(server: Any) -> None:
    """Each as it was taken, in their order; the maker's least goes onto the cure sheet."""
    ten = [str(36 + n % 5) for n in range(10)]
    typed_so = [part for each in ten for part in ("--reading", each)]
    asked = sent(server, "layup", "observe", "3", "hardness", *typed_so)
    assert asked.json == {"kind": "hardness", "readings": [int(each) for each in ten]}
    once = sent(server, "layup", "observe", "3", "hardness", "--readings", ", ".join(ten))
    assert once.json == asked.json
    wrong = typed(server, "layup", "observe", "3", "hardness", "--readings", "38 4I")
    assert "'4I' is not a whole number" in wrong.output
    asked = sent(server, "product", "add", "LAM", "--name", "Resin", "--role", "resin",
                 "--mix", "catalysed", "--surface", "waxed", "--hardness-min", "40")  # fmt: skip
    assert asked.json["cure"]["hardness_min"] == 40
