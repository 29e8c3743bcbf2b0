"""Cure sheets: a data sheet's figures on the cure of one resin with one catalyst or hardener.

A sheet is never changed. A product gets a new revision of its sheets instead, and each layup keeps
the sheet that it was planned with.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, field, replace
from math import exp, log, sqrt
from typing import Any, Literal, get_args

from ..errors import CureSheetMissing, PartnerMissing
from ..frozen import frozen
from .hardness import USUAL, Scale

MixKind = Literal["catalysed", "two_part", "one_part"]
Surface = Literal["air_inhibited", "waxed", "amine_blush", "plain", "unknown"]

SURFACES: tuple[Surface, ...] = ("air_inhibited", "waxed", "amine_blush", "plain", "unknown")
Stage = Literal["recoat_opens", "recoat_closes", "sandable", "full_cure"]
STAGES: tuple[Stage, ...] = get_args(Stage)
"""The milestones that a data sheet may give a time for; gel has its own points."""

ASSUMED_PERCENT_LIMITS = (1.0, 2.0)
"""Percent of ketone peroxide where the sheet has no limits (a US guide to general repairs, maker
not named)."""
PERCENT_NEVER_OVER = 4.0
"""With over 4 % of catalyst a polyester may never cure (a UK trade guide, maker not named)."""
LEAST_PERCENT = 0.01
LEAST_GEL_S = 1.0
"""No scale weighs less and no hand stirs faster, so a figure below these was typed wrong."""
ASSUMED_COLD_MAX_S = 12 * 3600
"""How long a layup may be colder than its floor before it is hard (common practice, no source)."""
ASSUMED_GEL_MASS_MG = 100_000
"""The usual test mass of a data sheet's gel time, 100 g (common practice, no source)."""

ASSUMED_POTS_MG = {"polyester": 1_000_000, "vinyl_ester": 1_000_000, "epoxy": 500_000}
"""The greatest pot where the sheet gives none, by chemistry (common practice, no source)."""
ASSUMED_POT_MG = min(ASSUMED_POTS_MG.values())
"""The greatest pot of any other or unknown chemistry: the least of them, to be safe."""


@frozen
class Mix:
    """How a product is mixed. For two parts, `parts` is (resin, hardener), `by` mass or volume."""

    kind: MixKind
    parts: tuple[float, float] | None = None
    by: Literal["mass", "volume"] | None = None


@frozen
class GelPoint:
    """One gel time of a sheet: K, percent of resin mass (or None), shortest and longest in s."""

    temperature: float
    percent: float | None
    shortest: float
    longest: float


@frozen
class StageTime:
    """A milestone's time in s, at its own temperature in K or else at the sheet's reference.

    Of a range, `time` is its middle by ratio, and `spread` half the logarithm of longest over
    shortest.
    """

    time: float
    temperature: float | None = None
    spread: float = 0.0

    @classmethod
    def between(
        cls, shortest: float, longest: float, temperature: float | None = None
    ) -> StageTime:
        """A stage that the sheet gives a range for, s."""
        return cls(sqrt(shortest * longest), temperature, log(longest / shortest) / 2)

    @property
    def ends(self) -> tuple[float, float]:
        """The shortest and the longest time, s."""
        return self.time * exp(-self.spread), self.time * exp(self.spread)


@frozen
class PostCure:
    """A post-cure: a time (s) between two temperatures (K), in one heat or in several.

    `rise` is the most that it may warm in an hour, K; None where the sheet does not say.
    """

    low: float
    high: float
    time: float
    rise: float | None = None


@frozen
class CuredDepth:
    """How deep a product that cures by moisture cures from its face in the first so much time.

    Attributes:
        depth: µm, in `time` s from the start. temperature: K. humidity: of the air, percent.
    """

    depth: float
    time: float
    temperature: float
    humidity: float


@frozen
class CureSheet:
    """The cure of one pair, in base units: K, s, mg, µm; percent of resin mass.

    None where the data sheet does not give a figure.

    Attributes:
        mix, surface: required wherever a product cures.
        partners: codes of the catalysts or hardeners that the sheet holds for; empty for one part.
        reference_temperature, reference_percent: the conditions of the milestones' times.
        gel_points: the gel times.
        percent_min, percent_max: the maker's limits.
        apply_min: the least temperature for laying up. cure_min: the floor of the cure clock.
        temperature_max: the greatest temperature for laying up.
        stages: (milestone, time).
        closes_after: end of the recoat window by the wall clock. cold_max: see
            `ASSUMED_COLD_MAX_S`.
        gel_mass: test mass of the gel times. pot_max: the greatest pot, resin + hardener.
        build_max: the thickest build at once. build_min: the thinnest film that cures.
        film_gel: gel time in a film.
        hardness_min: the maker's least hardness when cured, on `hardness_scale`.
        post_cure: time in a temperature band.
        wax_percent_min, wax_percent_max, styrene_percent_max: what may be stirred in.
        active_oxygen, peroxide_type: of the peroxide that the sheet was written for, percent.
        cured_depth: of a product that cures by moisture, in the air that the sheet names; and in
            other air, `second_depth`. skin_time: until it skins, in the first of the two.
    """

    mix: Mix
    surface: Surface
    partners: tuple[str, ...] = ()
    reference_temperature: float = 298.15
    reference_percent: float | None = None
    gel_points: tuple[GelPoint, ...] = ()
    percent_min: float | None = None
    percent_max: float | None = None
    apply_min: float | None = None
    cure_min: float | None = None
    temperature_max: float | None = None
    stages: tuple[tuple[str, StageTime], ...] = ()
    closes_after: float | None = None
    cold_max: float | None = None
    gel_mass: int | None = None
    pot_max: int | None = None
    build_max: int | None = None
    build_min: int | None = None
    film_gel: float | None = None
    active_oxygen: float | None = None
    peroxide_type: str | None = None
    hardness_min: int | None = None
    hardness_scale: Scale | None = None
    post_cure: PostCure | None = None
    cured_depth: CuredDepth | None = None
    second_depth: CuredDepth | None = None
    skin_time: float | None = None
    wax_percent_min: float | None = None
    wax_percent_max: float | None = None
    styrene_percent_max: float | None = None
    notes: tuple[str, ...] = field(default=())

    def stage(self, name: str) -> StageTime | None:
        """A milestone's time on the sheet, or None."""
        return dict(self.stages).get(name)

    @property
    def cures_by_moisture(self) -> bool:
        """Whether it cures from its face inwards, by the moisture of the air."""
        return self.cured_depth is not None

    @property
    def percent_limits(self) -> tuple[float, float]:
        """Least and greatest percent; the trade's where the sheet gives none."""
        low, high = ASSUMED_PERCENT_LIMITS
        return (
            low if self.percent_min is None else self.percent_min,
            high if self.percent_max is None else self.percent_max,
        )

    @property
    def limits_assumed(self) -> bool:
        """Whether a percent limit is the trade's, not the sheet's."""
        return self.percent_min is None or self.percent_max is None

    def greatest_pot(self, chemistry: str | None) -> int:
        """The greatest pot in mg, resin + hardener: the sheet's, or by the resin's chemistry."""
        if self.pot_max is not None:
            return self.pot_max
        return ASSUMED_POTS_MG.get(chemistry or "", ASSUMED_POT_MG)


def as_plain(sheet: CureSheet) -> dict[str, Any]:
    """A sheet as JSON-ready values, without the fields that are empty."""
    return {name: value for name, value in asdict(sheet).items() if value not in (None, ())}


def from_plain(plain: dict[str, Any]) -> CureSheet:
    """The sheet that `as_plain` wrote; one of before there was a choice is on Barcol 934-1."""
    if "barcol_min" in plain:
        least = {"hardness_min": plain["barcol_min"], "hardness_scale": USUAL}
        plain = {name: plain[name] for name in plain if name != "barcol_min"} | least
    mix = dict(plain["mix"])
    if mix.get("parts"):
        mix["parts"] = tuple(mix["parts"])
    return CureSheet(
        **{
            **plain,
            "mix": Mix(**mix),
            "partners": tuple(plain.get("partners", ())),
            "gel_points": tuple(GelPoint(**p) for p in plain.get("gel_points", ())),
            "post_cure": PostCure(**plain["post_cure"]) if plain.get("post_cure") else None,
            **{
                name: CuredDepth(**plain[name])
                for name in ("cured_depth", "second_depth")
                if plain.get(name)
            },
            "stages": tuple((name, StageTime(**t)) for name, t in plain.get("stages", ())),
            "notes": tuple(plain.get("notes", ())),
        }
    )


def sheet_for(sheets: list[CureSheet], partner: str | None, product: str) -> CureSheet:
    """The one sheet of a product for a catalyst or hardener.

    Args:
        sheets: the product's current sheets. partner: the catalyst's code, or None if not named.
        product: its code, for messages.

    Raises:
        CureSheetMissing: there is none, or none for that pair.
        PartnerMissing: there are several, and no partner is named.
    """
    if not sheets:
        raise CureSheetMissing(
            f"{product} has no cure sheet.",
            advice="Add one from the maker's data sheet before it is mixed.",
        )
    fitting = [
        s for s in sheets if partner is None or partner.casefold() in map(str.casefold, s.partners)
    ]
    if len(fitting) == 1:
        return fitting[0]
    known = ", ".join(code for sheet in sheets for code in sheet.partners) or "nothing"
    if not fitting:
        raise CureSheetMissing(
            f"{product} has no cure sheet with {partner}.",
            advice=f"It has sheets with: {known}.",
        )
    raise _unnamed(f"{product} has several cure sheets.", [p for s in sheets for p in s.partners])


def partner_for(
    sheet: CureSheet, named: str | None, product: str, *, weighed: bool = True
) -> str | None:
    """The code of the catalyst or hardener of a mix: the one named, or the sheet's only one.

    Args:
        named: a partner that the sheet holds for, or None. product: its code, for messages.
        weighed: whether the mix is about to be weighed. A mix from elsewhere needs no partner, as
            nobody can confuse it with another here.

    Returns:
        None for a one-part product, and for a mix from elsewhere whose sheet names no partner.

    Raises:
        PartnerMissing: the mix needs a partner, and which one is not known.
    """
    if sheet.mix.kind == "one_part" or named is not None:
        return named
    if len(sheet.partners) == 1:
        return sheet.partners[0]
    if not sheet.partners and not weighed:
        return None
    what = "hardener" if sheet.mix.kind == "two_part" else "catalyst"
    if not sheet.partners:
        raise PartnerMissing(
            f"{product} does not cure without its {what}, and its cure sheet names none.",
            advice=f"Have a lead enter it on the cure sheet as 'with': the {what}'s code.",
            partners=[],
        )
    raise _unnamed(f"{product} does not cure without its {what}.", sheet.partners)


def _unnamed(detail: str, partners: Sequence[str]) -> PartnerMissing:
    return PartnerMissing(
        detail, advice=f"Name one as catalyst: {', '.join(partners)}.", partners=list(partners)
    )


def with_floor(sheet: CureSheet, temperature_min: float | None) -> CureSheet:
    """The sheet with one least temperature (K) for laying up and for curing, where it has none."""
    if temperature_min is None:
        return sheet
    return replace(
        sheet,
        apply_min=sheet.apply_min if sheet.apply_min is not None else temperature_min,
        cure_min=sheet.cure_min if sheet.cure_min is not None else temperature_min,
    )
