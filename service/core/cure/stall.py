"""The end of a stall in the cold: heat, and then a check that finds the layup hard."""

from __future__ import annotations

from collections.abc import Iterable

from ..bays.temperature import Trace


def ended_by(
    stalled: float,
    checks: Iterable[float],
    trace: Trace,
    floor: float,
    *,
    doubted: bool = False,
) -> float | None:
    """The check (epoch s) that ends a stall in the cold, so that the clock runs on; or None.

    A layup that was found hard before its time in the cold ran out never stalled. After that
    moment resin may be stiff from cold alone, so a check counts only if the layup was warm at the
    time, by the readings of its bay or by the assumed pattern.

    Args:
        stalled: when its time in the cold ran out, epoch s. checks: when a hand found it hard.
        trace: its temperature. floor: the least curing temperature, K.
        doubted: whether the checks are so early that only those after that moment count.
    """

    def ends(at: float) -> bool:
        return not doubted if at <= stalled else trace.at(at) >= floor

    return next((at for at in checks if ends(at)), None)
