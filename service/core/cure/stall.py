"""What ends a stall in the cold: heat, and then a check that finds it hard."""

from __future__ import annotations

from collections.abc import Iterable

from ..bays.temperature import Trace


def ended_by(stalled: float, checks: Iterable[float], trace: Trace, floor: float) -> float | None:
    """The hardness or solvent check from which on the clock of a stalled layup runs on, epoch s.

    Found hard before its time in the cold ran out, it never stalled. After that resin may be
    stiff with cold alone, so a check counts only if the layup was warm by then: by its bay's
    readings, or by what the bay is taken to be where nobody read it.

    Args:
        stalled: when its time in the cold ran out, epoch s. checks: when a hand found it hard.
        trace: the temperature that it lay in. floor: the least curing temperature, K.
    """
    return next((at for at in checks if at <= stalled or trace.at(at) >= floor), None)
