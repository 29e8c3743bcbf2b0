"""How a gel law is shown: what was fitted of it, and what is assumed."""

from __future__ import annotations

from collections.abc import Sequence

from ...core.amounts.views import View
from ...core.frozen import frozen
from ...core.products.gel_law import GelLaw


@frozen
class LawView(View):
    """What the fitted gel law says of itself."""

    activation_energy_kj_mol: float
    order: float
    fitted: list[str]
    assumed: list[str]
    scatter_percent: float
    flags: list[str]


def show_law(law: GelLaw) -> LawView:
    """What a law says of itself."""
    return LawView(
        activation_energy_kj_mol=round(law.E / 1000, 2),
        order=round(law.n, 3),
        fitted=list(law.fitted),
        assumed=list(law.assumed),
        scatter_percent=round(100 * law.scatter, 1),
        flags=list(law.flags),
    )


def untold_words(assumed: Sequence[str]) -> str:
    """What the gel times of a sheet don't tell: 'E' or 'n' of its law, or both."""
    names = {"E": "temperature", "n": "catalyst"}
    parts = " and ".join(names[name] for name in assumed)
    return f"The sheet's gel times don't show the effect of {parts}: it is assumed."
