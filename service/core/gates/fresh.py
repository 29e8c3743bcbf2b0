"""The gate of a fresh surface: abraded and wiped lately, dry, and nothing came on it since."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..amounts.sentences import warmth
from ..frozen import frozen
from ..words import Text, say
from .judged import Judged, Rule
from .part import Below

H = 3600


@frozen
class Came:
    """What came on a surface, by the word of hands and the bay's log.

    Attributes:
        spoilt: (what, epoch s) of rain, a hand's touch, oil and dust, oldest first.
        damp: (epoch s, K over the dew point) of the log, the bay's air taken for the surface.
        beads: whether the water ran off in beads at the last wash of which somebody noted it.
        tested_at: when that wash was, epoch s.
    """

    spoilt: Sequence[tuple[str, int]] = ()
    damp: Sequence[tuple[int, float]] = ()
    beads: bool = False
    tested_at: int | None = None


def ready_at(said: Iterable[int], below: Below | None) -> int | None:
    """When the face was last abraded and wiped, epoch s; None if nobody said so.

    What was said before the layer below was laid was of the face that lies under it.

    Args:
        said: moments at which it was done.
    """
    times = [at for at in said if below is None or at >= below.laid_at]
    times += [] if below is None or below.sanded_at is None else [below.sanded_at]
    return max(times, default=None)


def surface_fresh(
    rule: Rule, below: Below | None, prepared_at: int | None, now: int, came: Came
) -> Judged:
    """Whether the surface was abraded and wiped lately enough, is dry, and stayed clean.

    Args:
        prepared_at: when a hand says that this was done, epoch s. now: epoch s.
    """
    if came.beads:
        return Judged(
            rule,
            "stop",
            "The water beaded at the last wash: something greasy is on the surface.",
            "Wash and wipe it until the water runs off in a sheet, and note that wash.",
        )
    at = ready_at([] if prepared_at is None else [prepared_at], below)
    if at is None:
        return _unprepared(rule, below, came, now)
    spoilt = _since(rule, at, came, now)
    if spoilt is not None:
        return spoilt
    if came.tested_at is not None and now - came.tested_at < rule.limits["dry"]:
        minutes = rule.limits["dry"] / 60
        return rule.failed("Water is on it from a wash.", f"Let it dry {minutes:.0f} min first.")
    return _by_clock(rule, now - at)


def _unprepared(rule: Rule, below: Below | None, came: Came, now: int) -> Judged:
    """The answer where nobody abraded and wiped it: it bonds if the layer below is green."""
    if below is not None and below.green:
        found = f"{below.title}: its window is open, it bonds without abrading."
        return _since(rule, below.laid_at, came, now) or rule.held(found)
    if below is not None and below.past:
        return rule.failed(
            f"{below.title}: its window has shut, and nobody noted that it was abraded since.",
            "Wash and wipe it, abrade it to dull, wipe it again, and note the layup as sanded.",
        )
    return rule.unknown(
        "Nobody said when the surface was abraded and wiped.",
        "Note when, as 'prepared', or note the layup as sanded. For one look, which keeps nothing, "
        "say it as 'prepared_at'.",
    )


def _by_clock(rule: Rule, age: int) -> Judged:
    most, dry = rule.limits["most"], rule.limits["dry"]
    found = f"Abraded and wiped {_ago(age)}."
    if age > most:
        return rule.failed(
            found,
            f"Over {most / H:.0f} h it is stale: abrade and wipe it "
            "again, and note that as 'prepared'.",
        )
    if age < dry:
        return rule.failed(found, f"Let the solvent dry {dry / 60:.0f} min first.")
    return rule.held(found)


def _since(rule: Rule, start: int, came: Came, now: int) -> Judged | None:
    """The failure by what came on the surface after a moment, or None."""
    spoilt = [(what, at) for what, at in came.spoilt if start < at <= now]
    if spoilt:
        what, at = spoilt[-1]
        return rule.failed(
            f"{what.capitalize()} came on it {_ago(now - at)}, after it was ready.",
            "Dry it and wipe it with clean solvent before you abrade it again: sanding rubs oil "
            "in. Then note when, as 'prepared'.",
        )
    least = rule.limits["above_dew"]
    damp = [(over, at) for at, over in came.damp if start <= at <= now and over < least]
    if not damp:
        return None
    over, at = min(damp)
    found: Text = say(
        "The bay's air, taken for the surface, was {} over the dew point {}, and {} is needed: "
        "dew may have settled.",
        warmth(max(over, 0)),
        _ago(now - at),
        warmth(least),
    )
    return rule.failed(
        found, "Warm the part or dry the air; wipe it dry, abrade it, wipe it again."
    )


def _ago(seconds: float) -> str:
    if seconds < 60:
        return "just now"
    return f"{seconds / H:.1f} h ago" if seconds >= H else f"{seconds / 60:.0f} min ago"
