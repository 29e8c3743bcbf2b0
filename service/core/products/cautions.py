"""Cautions for the work, as short lines of text.

Common practice, no source, unless a line says otherwise. The maker's data and safety sheets and
local codes come before all of them.
"""

from __future__ import annotations

from collections.abc import Set

from .cure_sheet import MixKind
from .hazards import FEARED_BY_PEROXIDE, Nature

SHEETS_RULE = "The maker's data and safety sheets rule."
PEROXIDE = (
    "Organic peroxide: goggles and gloves; in an eye, rinse 15 min at once and see a doctor.",
    "Catalyst and promoter never meet undiluted: they explode.",
    "Peroxide rags and dust heat themselves: put them outdoors, wetted, never in a bin.",
)
STYRENE = "Styrene vapour: air through the shop, the right mask; no flame, no spark."
EPOXY = "Epoxy and its hardener sensitise for life: gloves, sleeves, no solvent on skin."
EPOXY_FILLED = "Fillers after both parts are mixed."
FILLER_DUST = "Filler dust (silica, hollow spheres) harms the lungs: mask on before the bag opens."
KEEP_DRY = "Keep filler dry and its bag shut: damp filler clumps and weighs wrong."
FILLER = (FILLER_DUST, KEEP_DRY)
ISOCYANATE = "Isocyanate: supplied air or the mask that its safety sheet names."
NO_ALCOHOL = "Never wipe uncured polyurethane with alcohol: it stops the cure."
"""From memory, as the data sheets of one-part polyurethanes say it."""
HOT_POT = "A pot that smokes or swells goes outdoors on bare ground, away from all else."
SPREAD_OUT = "In the pot it goes off sooner than in the cup: spread it out at once."
DUST = ("Sanding: mask, sleeves, extraction; glass and filler dust harm the lungs.",)
GREEN_DUST = "Under-cured epoxy dust sensitises: do not sand it green."
HEAT = (
    "Heat is flameless, ducted and ventilated, and on before resin is opened; "
    "never warm peroxide or a mixed pot."
)
STRUCTURE = (
    "Structural work: the builder's, class or local rules and a licensed surveyor decide, "
    "not this figure."
)
SIGN_OFF = (
    "Loading, lifting or launching needs a lead's sign-off: hardness at 90 % of the maker's "
    "least, or the post-cure done."
)
LABEL_PEROXIDE = "PEROXIDE: goggles, gloves; never near promoter, acetone"
LABEL_FEARED = "Never near peroxide: fire, explosion"
LABEL_POT = "Smokes or swells: outdoors, on bare ground, no bin"


def before_mixing(kind: MixKind, chemistry: str | None, partner: Set[Nature] = frozenset()) -> str:
    """The one line that stands before the amounts on a small screen; as `for_mix`."""
    if kind == "catalysed" or "peroxide" in partner:
        return "Gloves, goggles. Peroxide and promoter never together."
    if chemistry == "polyurethane" or "isocyanate" in partner:
        return "Gloves, goggles, supplied air or the mask of its safety sheet."
    return "Gloves, goggles, sleeves." if kind == "two_part" else "Gloves, goggles."


def for_mix(
    kind: MixKind,
    chemistry: str | None,
    partner: Set[Nature] = frozenset(),
    *,
    filled: bool = False,
) -> list[str]:
    """The cautions of a mix card: on data sheets, on the mix, on the pot.

    Args:
        chemistry: of the resin. partner: the natures of its catalyst or hardener.
        filled: whether fillers are stirred in.
    """
    lines = [SHEETS_RULE]
    if kind == "catalysed" or "peroxide" in partner:
        lines += [*PEROXIDE, STYRENE]
    elif chemistry == "epoxy" or _may_be_epoxy(kind, chemistry, partner):
        lines += [EPOXY_FILLED, EPOXY] if filled else [EPOXY]
    elif chemistry == "polyurethane" or "isocyanate" in partner:
        lines.append(ISOCYANATE)
    if filled:
        lines += FILLER
    if kind != "one_part":
        lines += [SPREAD_OUT, HOT_POT, *DUST]
    return lines


def by_moisture(chemistry: str | None, natures: Set[Nature] = frozenset()) -> list[str]:
    """The cautions of a layup that cures by moisture.

    Args:
        chemistry, natures: of its product. One that nobody described is taken as an isocyanate.
    """
    if chemistry in (None, "polyurethane", "isocyanate") or "isocyanate" in natures:
        return [ISOCYANATE, NO_ALCOHOL]
    return []


def _may_be_epoxy(kind: MixKind, chemistry: str | None, partner: Set[Nature]) -> bool:
    """Whether nobody said what a two-part resin is, and it is no polyurethane."""
    return kind == "two_part" and chemistry is None and "isocyanate" not in partner


def for_label(natures: Set[Nature]) -> str:
    """The one line on the label of a container whose content can explode; else empty."""
    if "peroxide" in natures:
        return LABEL_PEROXIDE
    return LABEL_FEARED if natures & FEARED_BY_PEROXIDE else ""
