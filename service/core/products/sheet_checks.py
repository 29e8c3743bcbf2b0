"""Checks of a cure sheet: figures that are missing, and figures that contradict each other."""

from __future__ import annotations

from ..errors import CureSheetInconsistent, CureSheetMissing, Refusal, gather
from .cure_sheet import LEAST_GEL_S, LEAST_PERCENT, PERCENT_NEVER_OVER, CureSheet


def check(sheet: CureSheet) -> None:
    """Refuse a sheet that lacks a figure or contradicts itself; all faults at once.

    Raises:
        CureSheetMissing: a figure that this kind of mix needs.
        CureSheetInconsistent: figures that can't all be true.
    """
    gather(*(fault for fault in _faults(sheet) if fault))


def _faults(sheet: CureSheet) -> list[Refusal | None]:
    return [
        _mix_fault(sheet),
        *_size_faults(sheet),
        _gel_points_fault(sheet),
        _percent_fault(sheet),
        _wax_fault(sheet),
        _temperature_fault(sheet),
        _stages_fault(sheet),
        _post_cure_fault(sheet),
        _moisture_fault(sheet),
    ]


def _mix_fault(sheet: CureSheet) -> Refusal | None:
    if sheet.mix.kind == "two_part" and not (sheet.mix.parts and sheet.mix.by):
        return CureSheetMissing(
            "A two-part product needs its ratio, and whether that is by mass or by volume.",
            advice="Give mix.parts such as [100, 25] and mix.by 'mass' or 'volume'.",
            pointer="/cure/mix",
        )
    if sheet.mix.kind != "two_part" and sheet.mix.parts:
        return CureSheetInconsistent(
            f"A {sheet.mix.kind} product has no parts.",
            advice="Leave mix.parts out, or set mix.kind to 'two_part'.",
            pointer="/cure/mix/parts",
        )
    if sheet.mix.kind == "one_part" and sheet.partners:
        return CureSheetInconsistent(
            "A one-part product is mixed with nothing.",
            advice="Leave 'with' out.",
            pointer="/cure/with",
        )
    return None


def _size_faults(sheet: CureSheet) -> list[Refusal | None]:
    """Figures that are zero or nearly so, though sums divide by them or take their logarithm."""
    sizes = [
        ("mix/parts", LEAST_PERCENT, min(sheet.mix.parts or (1.0,))),
        ("reference/catalyst_percent", LEAST_PERCENT, sheet.reference_percent),
        ("catalyst_percent_min", LEAST_PERCENT, sheet.percent_min),
        ("gel_mass", 1, sheet.gel_mass),
        ("pot_max", 1, sheet.pot_max),
        ("film_gel", LEAST_GEL_S, sheet.film_gel),
        *(
            size
            for number, point in enumerate(sheet.gel_points)
            for size in (
                (f"gel_times/{number}/catalyst_percent", LEAST_PERCENT, point.percent),
                (f"gel_times/{number}", LEAST_GEL_S, point.shortest),
            )
        ),
    ]
    return [_too_small(place) for place, least, size in sizes if size is not None and size < least]


def _too_small(place: str) -> Refusal:
    return CureSheetInconsistent(
        f"'{place}' is zero or nearly zero.",
        advice="Write it as the data sheet prints it, or leave it out.",
        pointer=f"/cure/{place}",
    )


def _gel_points_fault(sheet: CureSheet) -> Refusal | None:
    if sheet.mix.kind == "one_part":
        return None
    if not sheet.gel_points:
        return CureSheetMissing(
            "The sheet has no gel time.",
            advice="Give at least one of the data sheet's gel times with its temperature.",
            pointer="/cure/gel_times",
        )
    wants_percent = sheet.mix.kind == "catalysed"
    for number, point in enumerate(sheet.gel_points):
        if (point.percent is not None) != wants_percent:
            return CureSheetInconsistent(
                "A catalysed product's gel time needs its catalyst percent."
                if wants_percent
                else "A two-part product's gel time has no catalyst percent.",
                advice="Write the gel times as the data sheet prints them.",
                pointer=f"/cure/gel_times/{number}/catalyst_percent",
            )
        if point.shortest > point.longest:
            return CureSheetInconsistent(
                "The gel time's range goes from the longer to the shorter time.",
                advice="Put the shorter time in 'from'.",
                pointer=f"/cure/gel_times/{number}",
            )
    return None


def _percent_fault(sheet: CureSheet) -> Refusal | None:
    low, high = sheet.percent_limits
    if low > high:
        return CureSheetInconsistent(
            f"The least percent, {low:g}, is over the greatest, {high:g}.",
            advice="Check catalyst_percent_min and catalyst_percent_max.",
            pointer="/cure/catalyst_percent_min",
        )
    if sheet.mix.kind == "catalysed" and high > PERCENT_NEVER_OVER:
        return CureSheetInconsistent(
            f"{high:g} % of catalyst: over {PERCENT_NEVER_OVER:g} % it may never cure.",
            advice="Check the percent; it is of resin mass.",
            pointer="/cure/catalyst_percent_max",
        )
    return None


def _wax_fault(sheet: CureSheet) -> Refusal | None:
    low, high = sheet.wax_percent_min, sheet.wax_percent_max
    if low is None or (high is not None and low <= high):
        return None
    return CureSheetInconsistent(
        f"The least wax is {low:g} %, and the most is not given, or is less.",
        advice="Check wax_percent_min and wax_percent_max; they are of resin mass.",
        pointer="/cure/wax_percent_min",
    )


def _temperature_fault(sheet: CureSheet) -> Refusal | None:
    lows = [t for t in (sheet.apply_min, sheet.cure_min) if t is not None]
    if sheet.temperature_max is not None and lows and max(lows) >= sheet.temperature_max:
        return CureSheetInconsistent(
            "The least temperature is not below the greatest.",
            advice="Check apply_min, cure_min and temperature_max.",
            pointer="/cure/temperature_max",
        )
    return None


def _stages_fault(sheet: CureSheet) -> Refusal | None:
    times = {name: stage.time for name, stage in sheet.stages if stage.temperature is None}
    for first, then in (
        ("recoat_opens", "recoat_closes"),
        ("recoat_opens", "full_cure"),
        ("sandable", "full_cure"),
    ):
        if first in times and then in times and times[first] > times[then]:
            return CureSheetInconsistent(
                f"'{first}' comes after '{then}'.",
                advice="Check the milestones against the data sheet.",
                pointer=f"/cure/milestones/{first}",
            )
    return None


def _post_cure_fault(sheet: CureSheet) -> Refusal | None:
    wanted = sheet.post_cure
    if wanted is None or wanted.low < wanted.high:
        return None
    return CureSheetInconsistent(
        "The post-cure's least temperature is not below its greatest.",
        advice="Give the band that the data sheet allows: 60 ± 5 °C is from 55 to 65 °C.",
        pointer="/cure/post_cure/from",
    )


def _moisture_fault(sheet: CureSheet) -> Refusal | None:
    """Figures of a cure by moisture on another product, or beside those of another clock."""
    if sheet.cured_depth is None:
        if sheet.skin_time is None and sheet.second_depth is None:
            return None
        return CureSheetMissing(
            "What cures by moisture needs how deep it cures, in how long, in which air.",
            advice="Give 'cured_depth' as the data sheet prints it, such as 3 mm in 24 h at 23 °C "
            "and 50 % of humidity.",
            pointer="/cure/cured_depth",
        )
    if sheet.mix.kind != "one_part":
        return CureSheetInconsistent(
            "Only a one-part product cures by moisture.",
            advice="Leave 'cured_depth' out, or set mix.kind to 'one_part'.",
            pointer="/cure/cured_depth",
        )
    if sheet.stages or sheet.gel_points or sheet.film_gel or sheet.post_cure:
        return CureSheetInconsistent(
            "A product that cures by moisture has no gel times, milestones and post-cure.",
            advice="Leave them out: its depth and its 'skin_time' tell when it is cured.",
            pointer="/cure/cured_depth",
        )
    return None
