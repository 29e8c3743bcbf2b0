"""The gate of dryness: every place that was found or measured reads as dry as the same boat's dry
places, twice, and sweats nothing under a film."""

from __future__ import annotations

from collections.abc import Sequence

from ..frozen import frozen
from ..wetness.readings import Counting, Note, Reading, Reference, Scale
from ..wetness.stretches import is_heated
from ..words import joined
from .judged import Judged, Rule

DAY = 86_400
RISE_U = 2.0
"""How far the later reading may be over the earlier one, in their u."""
LOOK = (
    "Antifouling, metal, carbon, tanks, bilge water and salt read wet; a dry skin hides a wet core."
)


@frozen
class Film:
    """Film taped over a place from one moment to another (epoch s), and whether drops were under
    it: after ASTM D4263, from memory."""

    taped_at: int
    looked_at: int
    drops: bool


@frozen
class Series:
    """The counted readings of a place by one meter in one mode, oldest first."""

    name: str
    scale: Scale
    reference: Reference | None
    counted: Sequence[Reading]


@frozen
class Place:
    """A place of the job that is to be dry.

    Attributes:
        notes: of it and of the whole boat. film: the last one, or None.
    """

    name: str
    series: Sequence[Series]
    notes: Sequence[Note] = ()
    film: Film | None = None


def counting(rule: Rule) -> Counting:
    """The limits of the gate for a reading to count."""
    limits = rule.limits
    return Counting(limits["after_water"], limits["coldest"], limits["above_dew"])


def dry(rule: Rule, places: Sequence[Place]) -> Judged:
    """Whether every place is dry."""
    if not places:
        return rule.unknown(
            "No place of this job was measured for moisture.",
            "Measure three dry places of the boat and each place to laminate or coat: enter the "
            "'placements'.",
        )
    wet = [words for place in places if (words := _wet(rule, place))]
    if wet:
        return rule.failed(
            joined(" ", wet),
            f"Wash, open and dry it; measure again, and enter the 'placements'. {LOOK}",
        )
    open_ = [words for place in places if (words := _unknown(rule, place))]
    if open_:
        return rule.unknown(
            joined(" ", open_), f"Measure what is missing, and enter the 'placements'. {LOOK}"
        )
    return rule.held(f"Dry twice: {', '.join(place.name for place in places)}.")


def _wet(rule: Rule, place: Place) -> str:
    """Why a place is wet, in words; empty if nothing says so."""
    for series in place.series:
        if series.reference is None or not series.counted:
            continue
        last, figure = series.counted[-1], series.reference.figure
        say_it = series.scale.say
        if last.value > figure:
            return (f"{place.name}: {series.name} reads {say_it(last.value)}, "
                    f"over {say_it(figure)}.")  # fmt: skip
        earlier = _earlier(rule, place, series)
        if earlier is not None and _rose(earlier, last, series.scale):
            return (f"{place.name}: {series.name} rose from {say_it(earlier.value)} "
                    f"to {say_it(last.value)}.")  # fmt: skip
    if place.film is not None and place.film.drops:
        return f"{place.name}: drops were under the film."
    return ""


def _unknown(rule: Rule, place: Place) -> str:
    """What is not known of a place that nothing says is wet; empty if it is dry."""
    if not any(series.counted for series in place.series):
        return f"{place.name}: no counted reading."
    if all(series.reference is None for series in place.series if series.counted):
        return f"{place.name}: no reference of three dry places by the same meter and mode."
    if not any(_is_dry_twice(rule, place, series) for series in place.series):
        return (f"{place.name}: one counted reading is at the figure; another "
                f"{_days(rule, place)} days later decides.")  # fmt: skip
    hours = rule.limits["film"] / 3600
    if place.film is None:
        return f"{place.name}: no film was taped on."
    if place.film.looked_at - place.film.taped_at < rule.limits["film"]:
        return f"{place.name}: the film was on for under {hours:.0f} h."
    return ""


def _days(rule: Rule, place: Place) -> str:
    last = max(each.at for series in place.series for each in series.counted)
    heated = is_heated(place.notes, last, last)
    return f"{rule.limits['apart_heated' if heated else 'apart'] / DAY:g}"


def _is_dry_twice(rule: Rule, place: Place, series: Series) -> bool:
    earlier = _earlier(rule, place, series)
    if series.reference is None or earlier is None:
        return False
    since = [each for each in series.counted if each.at >= earlier.at]
    return all(each.value <= series.reference.figure for each in since)


def _earlier(rule: Rule, place: Place, series: Series) -> Reading | None:
    """The last counted reading that is long enough before the latest one."""
    if not series.counted:
        return None
    last = series.counted[-1]
    for each in reversed(series.counted[:-1]):
        heated = is_heated(place.notes, each.at, last.at)
        if last.at - each.at >= rule.limits["apart_heated" if heated else "apart"]:
            return each
    return None


def _rose(earlier: Reading, later: Reading, scale: Scale) -> bool:
    u = max(earlier.u(scale), later.u(scale))
    return later.value - earlier.value > RISE_U * u
