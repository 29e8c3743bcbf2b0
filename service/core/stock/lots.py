"""A lot's life: the last day that it is good, and its state on a day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from types import MappingProxyType
from typing import Literal, get_args

from .. import arrays as np
from ..bays.temperature import DAY_S, Trace, crossed
from ..frozen import frozen

State = Literal["held", "expired", "empty", "soon", "good"]
Bound = Literal["label", "shelf life", "receipt", "open life", "extended"]
Basis = Literal["stated", "made_on", "received_on", "opened_on", "extended", "none"]

BOUNDS: tuple[Bound, ...] = get_args(Bound)
BASES: tuple[Basis, ...] = get_args(Basis)
BASIS_OF: Mapping[Bound, Basis] = MappingProxyType(
    {
        "label": "stated",
        "shelf life": "made_on",
        "receipt": "received_on",
        "open life": "opened_on",
        "extended": "extended",
    }
)

ASSUMED = "assumed from receipt: read the date on the drum"
UNREAD = "its own date was never given: read it on the drum"
UNKNOWN = "no shelf life known"

SOON_SHARE = 0.25
SOON_DAYS = 14
"""'soon' is the last quarter of a lot's life, and its last two weeks: where only its last day is
known, its life seems to begin when it is received (common practice, no source)."""
EXTENSION_SHARE = 0.25
"""A type II life (DoD 4140.27-M, Shelf-Life Management Manual, 2003) is extended by inspection or
test; once, and by at most a quarter (common practice, no source)."""
HOT_CAUTION_S = 24 * 3600
HOT_HOLD_S = 14 * DAY_S
"""Outside its storage limits for longer a lot gets a caution, or is to be held (common practice, no
source)."""


@frozen
class Life:
    """The dates and times that limit a lot's life; None where they are not known.

    Attributes:
        labelled: the maker's last day on the label. made_on, received_on, opened_on: dates.
            Without the first two the shelf life runs from receipt, the latest that it may end.
        shelf_life, open_life: of the product, s.
        extended_to: a lead's extension of the shelf life; it does not change the open life.
    """

    received_on: date
    labelled: date | None = None
    made_on: date | None = None
    opened_on: date | None = None
    shelf_life: int | None = None
    open_life: int | None = None
    extended_to: date | None = None


def bounds(life: Life) -> list[tuple[Bound, date]]:
    """Every last day that limits a life, with its bound.

    An extension replaces the label and the shelf life, but never the open life.
    """
    ends = _shelf_ends(life)
    if life.opened_on and life.open_life is not None:
        ends.append(("open life", _after(life.opened_on, life.open_life)))
    return ends


def expires_on(life: Life) -> date | None:
    """The last day that a lot is good: the earliest of its bounds, or None if there is none."""
    return min((end for _, end in bounds(life)), default=None)


def expires_basis(life: Life) -> Basis:
    """The basis of a lot's last day."""
    ends = bounds(life)
    return BASIS_OF[min(ends, key=lambda each: each[1])[0]] if ends else "none"


def is_assumed(life: Life) -> bool:
    """Whether nobody gave a date, so that the shelf life is counted from receipt."""
    return any(bound == "receipt" for bound, _ in bounds(life))


def note(life: Life, *, lively: bool) -> str | None:
    """A warning about a lot's last day, or None where its date was given.

    Args:
        lively: whether the product cures or starts a cure, so that it can't last for ever.
    """
    if is_assumed(life):
        return ASSUMED if expires_basis(life) == "received_on" else UNREAD
    return UNKNOWN if lively and not _shelf_ends(life) else None


def _shelf_ends(life: Life) -> list[tuple[Bound, date]]:
    if life.extended_to is not None:
        return [("extended", life.extended_to)]
    if life.labelled:
        return [("label", life.labelled)]
    if life.shelf_life is None:
        return []
    if life.made_on:
        return [("shelf life", _after(life.made_on, life.shelf_life))]
    return [("receipt", _after(life.received_on, life.shelf_life))]


def _shelf_end(life: Life) -> date | None:
    return min((end for _, end in _shelf_ends(life)), default=None)


def _after(day: date, seconds: int) -> date:
    """A day later by whole days; at most the last day of the calendar."""
    return day + min(timedelta(days=seconds // DAY_S), date.max - day)


def state(life: Life, *, on: date, on_hand: int, held: bool) -> State:
    """The state of a lot on a day; it is good through the end of its last day.

    Of several states the first counts: held, expired, empty, soon, good.
    """
    if held:
        return "held"
    end = expires_on(life)
    if end is not None and on > end:
        return "expired"
    if on_hand == 0:
        return "empty"
    born = life.made_on or life.received_on
    if end is not None and (end - on).days < max(SOON_SHARE * (end - born).days, SOON_DAYS):
        return "soon"
    return "good"


def longest_extension(life: Life) -> date | None:
    """The latest day of an extension: `EXTENSION_SHARE` of the life past its end."""
    end = _shelf_end(life)
    if end is None:
        return None
    born = life.made_on or life.received_on
    return _after(end, int(EXTENSION_SHARE * (end - born).days) * DAY_S)


def seconds_outside(trace: Trace, low: float | None, high: float | None) -> float:
    """Measured seconds outside the storage limits of the label (K).

    Time inside the limits, or in the cold, does not make up for any of them.
    """
    total = 0.0
    for level, above in ((low, False), (high, True)):
        if level is not None:
            total += _seconds_beyond(crossed(trace, level), level, above=above)
    return total


def _seconds_beyond(trace: Trace, level: float, *, above: bool) -> float:
    middles = (trace.T[:-1] + trace.T[1:]) / 2
    beyond = middles > level if above else middles < level
    return float(np.diff(trace.t)[beyond & trace.measured].sum())


def storage_warnings(seconds: float) -> list[str]:
    """The warnings for a lot that was some seconds outside its storage limits."""
    hours = seconds / 3600
    if seconds > HOT_HOLD_S:
        return [f"Stored outside its limits for {hours / 24:.0f} d: hold it for a cup test."]
    if seconds > HOT_CAUTION_S:
        return [f"Stored outside its limits for {hours:.0f} h: use it first, and test it."]
    return []
