"""What may be stirred into a resin by its cure sheet: wax and styrene, in percent of the resin.

A sheet that gives no percent allows none (common practice, no source). Wax comes out again in cold
resin: it goes in at 21 °C or more (a lay-up guide, maker not named, gives 70 °F).
"""

from __future__ import annotations

from ..amounts.sentences import heat
from ..errors import OutsideLimits, Refusal, TooCold, gather
from ..products.cure_sheet import CureSheet
from ..words import say

WAX_FROM_K = 294.15
PLACE = "/fillers"


def check(sheet: CureSheet, resin: float, wax: float, styrene: float, temperature: float) -> None:
    """Refuse wax or styrene that the sheet does not allow, and wax in cold resin; all at once.

    Args:
        resin: without them. wax, styrene: stirred in; all three in one unit of mass.
        temperature: of the resin, K.

    Raises: OutsideLimits, TooCold.
    """
    share = 100 / resin if resin else 0.0
    gather(
        _percent("wax", wax * share, sheet.wax_percent_min, sheet.wax_percent_max),
        _percent("styrene", styrene * share, None, sheet.styrene_percent_max),
        _cold(temperature) if wax and temperature < WAX_FROM_K else None,
    )


def _percent(what: str, percent: float, least: float | None, most: float | None) -> Refusal | None:
    if not percent:
        return None
    if most is None:
        return OutsideLimits(
            f"The resin's cure sheet gives no percent of {what}, so none goes in.",
            advice=f"Enter the data sheet's '{what}_percent_max', or leave it out.",
            pointer=PLACE,
        )
    low = least or 0.0
    if low - 5e-3 <= percent <= most + 5e-3:  # a scale's last gram
        return None
    span = f"at most {most:g}" if not low else f"{low:g} to {most:g}"
    return OutsideLimits(
        f"{percent:.2f} % of {what} in the resin, and its cure sheet allows {span} %.",
        advice="Weigh it again for this much resin.",
        pointer=PLACE,
    )


def _cold(temperature: float) -> Refusal:
    return TooCold(
        say(
            "The resin is at {}, and wax goes in at {} or more: colder, it comes out again.",
            heat(temperature),
            heat(WAX_FROM_K, 0),
        ),
        advice="Warm the resin first.",
        pointer=PLACE,
    )
