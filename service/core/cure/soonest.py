"""The soonest that a hand can find a layup set: which looks are too early to be believed at once.

Of a thousand layups fewer than one has gelled, opened or is hard before these moments. A look that
comes before its own was most likely of another part, or a slip of the thumb: it counts for nothing
until it is said again, a minute later or more: a thumb that slips often slips twice. So is one that
comes directly after a hand felt the layup wet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf, isnan

from .. import arrays as np
from ..arrays import Floats
from ..bays.temperature import Trace
from ..frozen import frozen
from .chance import Chances, Reach
from .clocks import Doubt
from .course import Course
from .found import HARD, SET
from .layer import Layer, by_law
from .layers import Layers
from .looks import UNLIKELY
from .touch import Word

HARD_AFTER_GELS = 6.0
"""Gel times from the mixing until it can be hard, where the sheet does not say when it can be
sanded (common practice, no source)."""
SET_AFTER_WET, HARD_AFTER_WET = 0.25, 1.0
"""The share of its likely gel time that must pass after a hand felt it wet, until more than a gel
can be found; until it can be hard (common practice, no source)."""
AGAIN_AFTER_S = 60.0
"""What is said again sooner is the same touch (common practice, no source)."""
_IS_HARD = ("sanded", *HARD)


@frozen
class Soonest:
    """Before these moments (epoch s) fewer than 1 layup in 1000 has come so far.

    Attributes:
        gel: of all its pots, on the part; minus infinity where the sheet times no gel.
        opens, hard: when a glove can come away clean, when it can be sanded.
        shuts: from when fewer than 1 in 1000 is still green; infinite where the sheet has no time.
        length: its likely gel time, s; 0 where the sheet times none.
        blind: from when it lay too cold for too long: of later looks nobody can say.
    """

    gel: float
    opens: float
    hard: float
    shuts: float
    length: float
    blind: float

    def of(self, kind: str, wet: float) -> float:
        """The soonest moment, epoch s, of a look of a kind that a layup has set.

        Args:
            wet: when a hand last felt it wet, or minus infinity.
        """
        if kind == "gelled":
            return min(self.gel, self.blind)
        if kind in _IS_HARD:
            stage, share = self.hard, HARD_AFTER_WET
        else:
            stage, share = self.opens if kind == "no_transfer" else self.gel, SET_AFTER_WET
        return min(max(self.gel, stage, wet + share * self.length), self.blind)


@frozen
class Heard:
    """Which looks at a layup are believed.

    Attributes:
        left_out: the places of those that are not. asked: whether the last telling word is one.
        confirmed: whether one that came too early was said again in time, and not found wet since.
    """

    left_out: frozenset[int]
    asked: bool
    confirmed: bool


def heard(words: Iterable[Word], soonest: Soonest) -> Heard:
    """Which words on a layup are believed; those that say nothing of its setting always are.

    Args:
        words: in the order of time.
    """
    left_out: set[int] = set()
    waits: list[int] = []
    first, wet, asked, confirmed, last = inf, -inf, False, False, ""
    for place, word in enumerate(words):
        kind = word.kind
        if kind in ("not_gelled", "scraped_off"):
            wet = word.at if kind == "not_gelled" else wet
            waits, asked, confirmed = [], False, False
        elif kind in SET:
            late = kind == "green" and word.at >= min(soonest.shuts, soonest.blind)
            early = late or word.at < soonest.of(kind, wet)
            again = bool(waits) and kind == last
            if again and (not early or word.at >= first + AGAIN_AFTER_S):
                left_out.difference_update(waits)
                waits, confirmed = [], True
            elif early and not confirmed:
                first, waits = (first, [*waits, place]) if again else (word.at, [place])
                left_out.add(place)
            asked = place in left_out
        else:
            continue
        last = kind
    return Heard(frozenset(left_out), asked, confirmed)


def soonest(layers: Sequence[Layer], trace: Trace, doubt: Doubt) -> list[Soonest]:
    """The soonest moments of each layer along a temperature trace, as if nobody had looked."""
    bare = [layer.refitted(layer.law) for layer in layers]
    return by_law(bare, lambda alike: _of_alike(Layers.of(alike), trace, doubt))


def _of_alike(layers: Layers, trace: Trace, doubt: Doubt) -> list[Soonest]:
    chances, sheet = Chances(layers, trace, doubt, seen=False), layers.sheet
    started = layers.soonest(layers.started)
    none = np.full_like(started, -inf)
    reach = _gel(chances)
    gel, likely = (none, none) if reach is None else _moments(reach, layers)
    length = np.zeros_like(started) if reach is None else likely - started
    of_opening, of_hard = sheet.stage("recoat_opens"), sheet.stage("sandable")
    opens = gel
    if of_opening is not None:
        opens, _ = _moments(chances.stage("recoat_opens", of_opening), layers)
    if of_hard is not None:
        hard, _ = _moments(chances.stage("sandable", of_hard), layers)
    else:
        hard = np.maximum(started + HARD_AFTER_GELS * length, gel)
    closing = sheet.stage("recoat_closes")
    shuts = np.full_like(started, inf)
    if closing is not None:
        shuts = layers.soonest(chances.closing(closing).moment(np.array([1 - UNLIKELY]))[0])
    blind = Course(layers, trace).stalled
    columns = (gel, opens, hard, shuts, length, blind)
    return [Soonest(*each) for each in zip(*(each.tolist() for each in columns), strict=True)]


def _gel(chances: Chances) -> Reach | None:
    """How each pot gels on the part; None where the sheet times no gel."""
    if chances.layers.sheet.film_gel is not None:
        return chances.film()
    return None if isnan(chances.layers.law.time) else chances.film_by_cup()


def _moments(reach: Reach, layers: Layers) -> tuple[Floats, Floats]:
    """When all pots of each layer can have reached something, and when they likely have."""
    soon, likely = reach.moment(np.array([UNLIKELY, 0.5]))
    return layers.last(soon), layers.last(likely)
