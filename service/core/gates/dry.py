"""The gate of dryness: every place that was found or measured reads as dry as the same boat's dry
places, twice, and sweats nothing under a film."""

from __future__ import annotations

from collections.abc import Sequence

from ..frozen import frozen
from ..wetness.readings import (
    UNCOVERS,
    WETS,
    Counting,
    Note,
    NoteKind,
    Reading,
    Reference,
    Scale,
)
from ..wetness.stretches import is_heated
from ..words import joined
from .judged import Judged, Rule

DAY = 86_400
RISE_U = 2.0
"""How far the later reading may be over the earlier one, in their u."""
CAME: dict[NoteKind, str] = {
    "hauled_out": "it was hauled out", "opened": "it was opened", "washed": "it was washed",
    "rain": "it was rained on",
}  # fmt: skip
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

    def counts(self, least: float) -> bool:
        """Whether it was on for long enough (s); drops count however soon they come."""
        return self.drops or self.looked_at - self.taped_at >= least


@frozen
class Series:
    """The readings of a place by one meter in one mode, oldest first.

    Attributes:
        counted: that count. at_least: that don't, but where the place is at least as wet.
    """

    name: str
    scale: Scale
    reference: Reference | None
    counted: Sequence[Reading]
    at_least: Sequence[Reading] = ()

    @property
    def figure(self) -> float | None:
        """At or under it the place is dry; None where there is nothing to compare with."""
        return None if self.reference is None or self.reference.is_loose else self.reference.figure

    @property
    def last(self) -> Reading | None:
        """The last reading that says how wet the place is."""
        return max([*self.counted, *self.at_least], key=lambda each: each.at, default=None)


@frozen
class Place:
    """A place of the job that is to be dry.

    Attributes:
        notes: of it and of the whole boat. film: the last one that counts, else the last one, or
            None.
        water_percent: of the last sample that was weighed there.
    """

    name: str
    series: Sequence[Series]
    notes: Sequence[Note] = ()
    film: Film | None = None
    water_percent: float | None = None


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
        found = [_wet(rule, place) or _unknown(rule, place) for place in places]
        return rule.failed(
            joined(" ", [words for words in found if words]),
            f"Wash, open and dry it; measure again, and enter the 'placements'. {LOOK}",
        )
    open_ = [(place, words) for place in places if (words := _unknown(rule, place))]
    if open_:
        no_film = [words == _lacks_film(rule, place) for place, words in open_]
        return rule.unknown(
            joined(" ", [words for _place, words in open_]),
            " ".join([*_wanted(rule, no_film), LOOK]),
        )
    held = f"Dry twice: {', '.join(place.name for place in places)}."
    weighed = [
        f"A sample of {place.name} held {place.water_percent:.1f} % water."
        for place in places if place.water_percent is not None
    ]  # fmt: skip
    if not weighed:
        return rule.held(held)
    return rule.unknown(
        " ".join([held, *weighed, "The yard has no figure for a sample."]),
        "Ask the maker of the resin or the surveyor whether that is dry enough.",
    )


def _wanted(rule: Rule, no_film: Sequence[bool]) -> list[str]:
    """What to do, where of each place that is not known a film alone is missing or not."""
    wanted = []
    if not all(no_film):
        wanted.append("Measure what is missing, and enter the 'placements'.")
    if any(no_film):
        wanted.append(
            f"Tape film over the place for {rule.limits['film'] / 3600:.0f} h or more, look for "
            "drops, and enter both, with 'taped_at'."
        )
    return wanted


def _wet(rule: Rule, place: Place) -> str:
    """Why a place is wet, in words; empty if nothing says so."""
    for series in _standing(rule, place):
        last, say_it = series.last, series.scale.say
        if last is None:
            continue
        if series.figure is None:
            if last in series.at_least and max(last.placements) >= series.scale.high:
                return f"{place.name}: {series.name} reads at the end of its scale."
            continue
        if last.value > series.figure:
            more = "at least " if last in series.at_least and last.value < series.scale.high else ""
            return (f"{place.name}: {series.name} reads {more}{say_it(last.value)}, "
                    f"over {say_it(series.figure)}.")  # fmt: skip
        earlier = _earlier(rule, place, series)
        if earlier is not None and _rose(earlier, series.counted[-1], series.scale):
            return (f"{place.name}: {series.name} rose from {say_it(earlier.value)} "
                    f"to {say_it(series.counted[-1].value)}.")  # fmt: skip
    if place.film is not None and place.film.drops:
        return f"{place.name}: drops were under the film."
    return ""


def _unknown(rule: Rule, place: Place) -> str:
    """What is not known of a place that nothing says is wet; empty if it is dry."""
    counted = [each for each in place.series if _shown(place, each)]
    if not counted:
        since = _last_note(place, UNCOVERS)
        after = "" if since is None else f" since {CAME[since.kind]}"
        return f"{place.name}: no counted reading{after}."
    if all(each.reference is None for each in counted):
        return f"{place.name}: no reference of three dry places by the same meter and mode."
    pairs = [pair for each in counted if (pair := _dry_pair(rule, place, each))]
    if not pairs:
        loose = next((each for each in counted if each.reference and not each.figure), None)
        if loose is not None:
            return (f"The dry places read too far apart by {loose.name}: one of them may be wet. "
                    "Read more of them.")  # fmt: skip
        return (f"{place.name}: one counted reading is at the figure; another "
                f"{_days(rule, place)} days later decides.")  # fmt: skip
    unlike = next((each for each in _standing(rule, place) if not _is_compared(each)), None)
    if unlike is not None:
        return f"{place.name}: {unlike.name} has no counted reading with a reference."
    return _uncovered(rule, place, max(later.at for _earlier, later in pairs))


def _uncovered(rule: Rule, place: Place, read_at: int) -> str:
    """What came on a place that was read dry twice, and what its film leaves open."""
    water = _last_note(place, (*UNCOVERS, *WETS))
    if water is not None and water.at > read_at:
        return f"{place.name}: {CAME[water.kind]} after the last reading. Read it again."
    return _lacks_film(rule, place)


def _lacks_film(rule: Rule, place: Place) -> str:
    """What a place lacks of a film that counts, after the last water; empty if it has it."""
    film, water = place.film, _last_note(place, (*UNCOVERS, *WETS))
    if film is None:
        return f"{place.name}: no film was taped on."
    if water is not None and water.at > film.taped_at:
        return f"{place.name}: {CAME[water.kind]} after the film was taped on."
    if not film.counts(rule.limits["film"]):
        return f"{place.name}: the film was on for under {rule.limits['film'] / 3600:.0f} h."
    return ""


def came_since(notes: Sequence[Note], at: int) -> str:
    """What wet or opened a place after a moment, such as 'it was rained on'; empty if nothing."""
    after = [
        each for each in notes
        if each.at > at and each.kind in (*UNCOVERS, *WETS) and not each.tests
    ]  # fmt: skip
    return CAME[max(after, key=lambda each: each.at).kind] if after else ""


def _standing(rule: Rule, place: Place) -> list[Series]:
    """The series of a place, without those last read before another was dry twice."""
    pairs = [pair for each in place.series if (pair := _dry_pair(rule, place, each))]
    since = max((earlier.at for earlier, _later in pairs), default=None)
    read = [each for each in place.series if each.last is not None]
    return [each for each in read if since is None or each.last.at >= since]  # type: ignore[union-attr]


def _is_compared(series: Series) -> bool:
    return bool(series.counted) and series.figure is not None


def _last_note(place: Place, kinds: Sequence[NoteKind]) -> Note | None:
    """The last note of some kinds, without the washes that test a clean face."""
    found = [each for each in place.notes if each.kind in kinds and not each.tests]
    return max(found, key=lambda each: each.at, default=None)


def _shown(place: Place, series: Series) -> list[Reading]:
    """The counted readings since the place was opened or hauled out."""
    since = _last_note(place, UNCOVERS)
    return [each for each in series.counted if since is None or each.at > since.at]


def _days(rule: Rule, place: Place) -> str:
    last = max(each.at for series in place.series for each in series.counted)
    heated = is_heated(place.notes, last, last)
    return f"{rule.limits['apart_heated' if heated else 'apart'] / DAY:g}"


def _dry_pair(rule: Rule, place: Place, series: Series) -> tuple[Reading, Reading] | None:
    """The two counted readings by which a series is dry, or None."""
    earlier, figure = _earlier(rule, place, series), series.figure
    if figure is None or earlier is None:
        return None
    since = [each for each in series.counted if each.at >= earlier.at]
    return (earlier, since[-1]) if all(each.value <= figure for each in since) else None


def _earlier(rule: Rule, place: Place, series: Series) -> Reading | None:
    """The last counted reading that is long enough before the latest one."""
    counted = _shown(place, series)
    if not counted:
        return None
    last = counted[-1]
    for each in reversed(counted[:-1]):
        heated = is_heated(place.notes, each.at, last.at)
        if last.at - each.at >= rule.limits["apart_heated" if heated else "apart"]:
            return each
    return None


def _rose(earlier: Reading, later: Reading, scale: Scale) -> bool:
    u = max(earlier.u(scale), later.u(scale))
    return later.value - earlier.value > RISE_U * u
