"""Layers that cure, and the pots that went into them. Each pot keeps its own facts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import Literal, TypeVar

from ..frozen import frozen
from ..products.cure_sheet import CureSheet, Surface
from ..products.evidence import Belief
from ..products.gel_law import GelLaw

Answer = TypeVar("Answer")
Cover = Literal["none", "peel_ply", "film"]

COVERS: tuple[Cover, ...] = ("none", "peel_ply", "film")


@frozen
class LaidPot:
    """A pot that went into a layer, or the whole of a layer that was not mixed here.

    Attributes:
        percent: of catalyst, as if it were the sheet's peroxide; None if nothing was dosed.
        belief: of how its lot and its mix gel. mixed_at: epoch s.
        lot, filled: what the belief rests on: the key of its resin's lot, and whether it was
            thickened.
        gelled_at: when a hand saw it gelled on the part. wet_at: when a hand last found it wet
            there, if no later word says that it has set. cup_gelled_at, cup_wet_at: the same for
            the rest in its cup. wet_before, cup_wet_before: the look before that which found it
            wet, if there was one. Epoch s; None if nobody looked.
    """

    percent: float | None
    belief: Belief
    mixed_at: float
    lot: int | None = None
    filled: bool = False
    gelled_at: float | None = None
    wet_at: float | None = None
    cup_gelled_at: float | None = None
    cup_wet_at: float | None = None
    wet_before: float | None = None
    cup_wet_before: float | None = None


@frozen
class Layer:
    """One layer that cures.

    Attributes:
        sheet, law: of its resin and partner. pots: those that went into it, at least one.
        finished: end of application, epoch s. surface: as laid, with what additives do to it.
        cover: the peel ply or film that lies on it.
        opened_at: when a glove first came away clean. hard_at: when a hand first found it hard.
            green_at: when a hand last found that solvent makes it tacky. Epoch s; None if nobody
            did. shut_at: when one found that it no longer bonds. said_again: whether a hand said
            its last word twice, if that is no 'not gelled'.
    """

    sheet: CureSheet
    law: GelLaw
    pots: tuple[LaidPot, ...]
    finished: float
    surface: Surface
    cover: Cover = "none"
    opened_at: float | None = None
    hard_at: float | None = None
    green_at: float | None = None
    shut_at: float | None = None
    said_again: bool = False

    def refitted(self, law: GelLaw) -> Layer:
        """The same layer by another law, before any hand saw it."""
        pots = tuple(
            LaidPot(
                pot.percent,
                law.belief(pot.lot, filled=pot.filled),
                pot.mixed_at,
                pot.lot,
                pot.filled,
            )
            for pot in self.pots
        )
        return Layer(self.sheet, law, pots, self.finished, self.surface, self.cover)

    @property
    def was_seen(self) -> bool:
        """Whether a hand looked at it, or at a cup of it."""
        of_layer = (self.opened_at, self.hard_at, self.green_at, self.shut_at)
        of_pots = (
            at
            for pot in self.pots
            for at in (pot.gelled_at, pot.wet_at, pot.cup_gelled_at, pot.cup_wet_at)
        )
        return any(at is not None for at in (*of_layer, *of_pots))

    @property
    def started(self) -> float:
        """When its first pot was mixed, epoch s."""
        return min(pot.mixed_at for pot in self.pots)


def surface_of(base: Surface, effects: Iterable[str]) -> Surface:
    """The surface of a layer with its additives: added wax makes it a waxed one."""
    return "waxed" if "waxes" in set(effects) else base


def by_law(
    layers: Sequence[Layer], work_out: Callable[[list[Layer]], list[Answer]]
) -> list[Answer]:
    """Work out an answer for each layer, all layers of one sheet and law in one call."""
    places = defaultdict(list)
    for place, layer in enumerate(layers):
        key = id(layer.sheet), id(layer.law), layer.pots[0].belief.E, layer.was_seen
        places[key].append(place)
    found: dict[int, Answer] = {}
    for alike in places.values():
        found.update(zip(alike, work_out([layers[place] for place in alike]), strict=True))
    return [found[place] for place in range(len(layers))]
