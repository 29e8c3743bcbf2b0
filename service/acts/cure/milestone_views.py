"""How the milestones and the recoat window of a layup are shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, TypeVar

from ...core.amounts.views import At, Called, Closing, LeftOut, OneOf, Opening, Says, View
from ...core.cure.milestones import Milestone
from ...core.frozen import frozen

BASES = ("measured", "mixed", "assumed", "observed")


@frozen
class MilestoneEarly(View):
    """A moment with its band, rounded early; or null and why."""

    at: Annotated[float | None, At("down")]
    earliest: Annotated[float | None, At("down"), LeftOut("at")]
    latest: Annotated[float | None, At("up"), LeftOut("at")]
    basis: Annotated[str | None, OneOf(BASES), LeftOut()]
    why: Annotated[str | None, LeftOut()]
    computed: Annotated[float | None, At("down"), LeftOut()]
    note: Annotated[str | None, LeftOut()]


@frozen
class MilestoneLate(MilestoneEarly):
    """A moment with its band, rounded late; or null and why."""

    at: Annotated[float | None, At("up")]


@frozen
class MilestonesView(View):
    """When it gels, can be covered and sanded, and is cured."""

    gel: MilestoneEarly
    film: MilestoneEarly
    trim: MilestoneLate
    recoat_opens: MilestoneLate
    recoat_closes: MilestoneEarly
    sandable: MilestoneLate
    full_cure: MilestoneLate
    skin: Annotated[
        MilestoneEarly | None,
        Says("When what cures by moisture skins; left out of the others."),
        LeftOut(),
    ] = None
    through: Annotated[
        MilestoneLate | None,
        Says("When what cures by moisture is cured through; left out of the others."),
        LeftOut(),
    ] = None

    def by_name(self) -> dict[str, MilestoneEarly]:
        """Each by its name, in order."""
        return {name: each for name, each in vars(self).items() if each is not None}

    @property
    def on_part(self) -> MilestoneEarly:
        """The gel on the part: in a film, if its cure sheet has a time for one; or the skin."""
        if self.skin is not None:
            return self.skin
        return self.gel if self.film.why == "not-on-sheet" else self.film

    @property
    def cured(self) -> MilestoneLate:
        """When it is cured for handling, or through."""
        return self.full_cure if self.through is None else self.through


@frozen
class WindowView(View):
    """A recoat window: from when until when."""

    opens: Annotated[Opening, Called("from")]
    closes: Annotated[Closing, Called("until")]


Shown = TypeVar("Shown", bound=MilestoneEarly)


def show_milestones(found: Mapping[str, Milestone]) -> MilestonesView:
    """The milestones of a layup, by their names."""
    return MilestonesView(
        gel=show_milestone(MilestoneEarly, found["gel"]),
        film=show_milestone(MilestoneEarly, found["film"]),
        trim=show_milestone(MilestoneLate, found["trim"]),
        recoat_opens=show_milestone(MilestoneLate, found["recoat_opens"]),
        recoat_closes=show_milestone(MilestoneEarly, found["recoat_closes"]),
        sandable=show_milestone(MilestoneLate, found["sandable"]),
        full_cure=show_milestone(MilestoneLate, found["full_cure"]),
        skin=show_milestone(MilestoneEarly, found["skin"]) if "skin" in found else None,
        through=show_milestone(MilestoneLate, found["through"]) if "through" in found else None,
    )


def show_milestone(kind: type[Shown], found: Milestone) -> Shown:
    """A milestone by one of its two roundings; one without a moment has its reason alone."""
    if found.at is None:
        return kind(None, None, None, None, found.why, None, None)
    return kind(
        found.at, found.earliest, found.latest, found.basis, None, found.computed, found.note
    )
