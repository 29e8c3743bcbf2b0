"""A hole through a cored panel, mended from one side: what to cut out and what to grind.

Each figure stands on every side of the hole; r is the taper's ratio:

    inner skin ground     hole  + r t_inner        from within the core's opening
    the core's opening    that  + the landing      room to lay the inner skin's plies
    outer skin ground     that  + r t_outer

Kerfs of width w at pitch s, sawn both ways through a core of thickness t, hold resin as deep as
t (1 - (1 - w/s)²) over the panel (geometry).
"""

from __future__ import annotations

from ..errors import Invalid
from ..frozen import frozen
from ..words import Text
from .outlines import Outline
from .taper import USUAL_RATIO, Ground

USUAL_LANDING = 25_000.0
"""Inner skin left bare between its taper and the core, a side, µm (common practice, no source)."""
THINNEST_CORE, THICKEST_CORE = 1_000, 300_000
WIDEST_LANDING = 500_000

STAGGER = (
    "In class each layer's edge stands 50 mm past the one below (Lloyd's Register, Rules and "
    "Regulations for the Classification of Special Service Craft, July 2022, Part 8, Chapter 2, "
    "4.2.4 to 4.2.6): read the rule, and ask the surveyor."
)
OLD_CORE = (
    "Read the old core's wetness before you close it. A dry skin hides a wet core; heat and "
    "vacuum break one open."
)
BACKING = "A hole through the inner skin needs a backing plate that the plies can't sink into."
ORDER = (
    "Cut the outer skin and the core out. Grind the inner skin from within, then the outer skin.",
    "Lay the inner skin's plies and let them gel. Bed the core, weigh it down, fair it flush, "
    "then lay the outer skin's plies.",
    "Count the inner skin's plies over the hole, the outer skin's over the core's opening.",
)
_PRIME = "Prime the core's faces and edges with resin before you bed it."
_MAT = f"{_PRIME} Lay a mat between the core and each skin."
_NO_MAT = f"{_PRIME} Epoxy needs no mat between core and skin."


@frozen
class Opened:
    """The outlines of the repair, the smallest first, and each skin's ground width a side, µm."""

    inner_ground: Outline
    core: Outline
    outer_ground: Outline
    inner_width: float
    outer_width: float


def opened(
    hole: Outline, inner: float, outer: float, *, ratio: float = USUAL_RATIO,
    landing: float = USUAL_LANDING,
) -> Opened:  # fmt: skip
    """What to open around a hole; thicknesses of the two skins and the landing in µm.

    Raises:
        Invalid: a skin, a ratio or a landing that can't be.
    """
    within, outside = Ground(inner, ratio), Ground(outer, ratio)
    if not 0 <= landing <= WIDEST_LANDING:
        raise Invalid(
            "A landing must be from 0 to 500 mm.",
            advice="Give the bare strip between the inner taper and the core; 25 mm is usual.",
            pointer="/landing",
        )
    ground = hole.grown(within.width, within.width)
    core = ground.grown(landing, landing)
    outer_ground = core.grown(outside.width, outside.width)
    return Opened(ground, core, outer_ground, within.width, outside.width)


def in_kerfs(core: float, width: float | None, pitch: float | None) -> float:
    """How deep the resin in a core's kerfs would stand over the panel, µm; 1 mm is 1 L/m².

    Args:
        core: its thickness. width, pitch: of the kerfs, both ways; neither for a plain core. µm.

    Raises:
        Invalid: a core that can't be, one figure without the other, or kerfs wider than their
            pitch.
    """
    if not THINNEST_CORE <= core <= THICKEST_CORE:
        raise Invalid(
            "A core must be from 1 mm to 300 mm thick.",
            advice="Give the core's own thickness, without the skins, and check its unit.",
            pointer="/core",
        )
    if (width is None) != (pitch is None):
        raise Invalid(
            "Kerfs need both their width and their pitch.",
            advice="Give both, or neither for a plain core.",
            pointer="/kerf_width" if width is None else "/kerf_pitch",
        )
    if width is None or pitch is None:
        return 0.0
    if not 0 < width < pitch:
        raise Invalid(
            "A kerf must be narrower than the pitch of the kerfs.",
            advice="Give the width of one cut, and the distance from cut to cut.",
            pointer="/kerf_width",
        )
    return core * (1 - (1 - width / pitch) ** 2)


def on_bond(chemistry: str | None) -> Text:
    """How a core is bonded with a resin (common practice, no source); both ways if none is told."""
    if chemistry == "epoxy":
        return _NO_MAT
    if chemistry in ("polyester", "vinyl_ester"):
        return _MAT
    return f"{_PRIME} With polyester or vinyl ester lay a mat on each face; epoxy needs none."
