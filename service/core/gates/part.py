"""Gates of the part: cured before it is moved on, fresh and free of wax before it is covered."""

from __future__ import annotations

from ..cure.post_cure import PostCured
from ..frozen import frozen
from ..products import hardness
from ..products.hardness import USUAL, Figure, Scale
from ..words import Text, joined, say
from .judged import Judged, Rule

H = 3600


@frozen
class Below:
    """The layup that the next layer goes on, or that was laid last.

    Attributes:
        title: its name. gel_coat: whether it is one. structural: whether it carries load.
        waxed: whether its face is waxed; None if nobody knows. on_wax: the layer that it lies on
            if that was covered with its wax on; else empty.
        sanded_at: of the last sanding, epoch s, or None.
        green: whether its recoat window is open, so that the next layer bonds chemically.
        past: whether that window has shut.
        laid_at: when the last of it was laid, epoch s.
        warm: measured s at or above the floor since it was laid. warm_assumed: the same with the
            assumed times of the bay.
        hardness: or None, at `hardness_at`, epoch s. hardness_least: the maker's on `scale`, or
            None; then `hull_least` is needed, or nobody knows what.
        post_cure: the part that it has had, or None if its sheet asks for none.
        wiped: whether it was last wiped with solvent and stayed hard.
    """

    title: str
    gel_coat: bool = False
    structural: bool = True
    waxed: bool | None = False
    on_wax: str = ""
    sanded_at: int | None = None
    green: bool = False
    past: bool = False
    laid_at: int = 0
    warm: float = 0.0
    warm_assumed: float = 0.0
    hardness: Figure | None = None
    hardness_least: float | None = None
    hull_least: float | None = None
    scale: Scale = USUAL
    hardness_at: float = 0.0
    post_cure: PostCured | None = None
    wiped: bool = False


def cure_time(rule: Rule, below: Below | None) -> Judged:
    """Whether the last layup was warm for long enough; the count pauses in the cold."""
    needed = rule.limits["least"]
    if below is None:
        return rule.unknown("Nothing was laid on this job yet.", "Record what was laid.")
    found = f"{below.title}: {below.warm / H:.0f} h warm, measured; {needed / H:.0f} h are needed."
    if below.warm >= needed:
        return rule.held(found)
    if below.warm_assumed >= needed:
        return rule.unknown(
            f"{found} {below.warm_assumed / H:.0f} h with what is assumed of the bay.",
            "Enter the 'readings' of the bay's logger, or wait with a thermometer there.",
        )
    left = (needed - below.warm_assumed) / H
    return rule.failed(found, f"Keep it warm for {left:.0f} h more; colder hours don't count.")


def hard_enough(rule: Rule, below: Below | None) -> Judged:
    """Whether it has the needed share of the maker's least hardness, or the whole post-cure."""
    heat = None if below is None else below.post_cure
    if below is not None and heat is not None and (heat.done_at or 0) > below.hardness_at:
        return _heated(rule, below, heat)
    if below is None or below.hardness is None:
        return _unmeasured(rule, below)
    found = say("{}: {}", below.title, below.hardness.words)
    needed = below.hull_least
    if below.hardness_least is not None:
        needed = below.hardness_least * rule.limits["share_percent"] / 100
    if needed is None:
        return rule.unknown(
            found + "; the maker's least is not known.",
            "Enter the maker's least hardness on the product's cure sheet, as 'hardness_min'.",
        )
    if below.hardness.scale != below.scale:
        return rule.unknown(
            found + f"; at least {hardness.on(below.scale, needed)} is needed.",
            f"Measure it on {hardness.WORDS[below.scale]}: no sum turns one scale into another.",
        )
    return _compared(rule, below, below.hardness, needed, found)


def _compared(rule: Rule, below: Below, read: Figure, needed: float, found: Text) -> Judged:
    found = found + f", at least {needed:.1f} is needed."
    if read.on_gel_coat and not below.gel_coat:
        return rule.unknown(
            found + " It was read on gel coat.",
            "Read the laminate itself: gel coat has a hardness of its own.",
        )
    if read.is_near(needed):
        return rule.unknown(found + " That is within one s/√n.", hardness.MORE)
    if read.mean < needed:
        return rule.failed(
            found, "Warm it and wait, or post-cure it by the maker's sheet; test again."
        )
    if below.structural and not read.is_of_readings:
        return rule.unknown(found + " It is one value.", hardness.ONE_VALUE)
    if read.unsaid:
        return rule.unknown(
            found + f" Nobody said {', nor '.join(read.unsaid)}.",
            "Take it again so, and say it with the 'hardness', as 'met'.",
        )
    return rule.held(found)


def _heated(rule: Rule, below: Below, heat: PostCured) -> Judged:
    unfit = heat.unfit(rule.limits["probe_days"])
    found = say("{}: {}", below.title, heat.words())
    if unfit:
        return rule.failed(
            found + f"; {unfit}.", "Fix checked probes to the part, name them and heat it again."
        )
    return rule.held(found + ".")


def _unmeasured(rule: Rule, below: Below | None) -> Judged:
    """Its hardness was not measured: solvent answers for it where the sheet gives no hardness."""
    if below is not None and below.hardness_least is None and below.wiped:
        return rule.held(
            f"{below.title}: wiped with solvent, it stayed hard; its sheet gives no hardness."
        )
    heat = None if below is None else below.post_cure
    measure = "Take 10 to 30 readings, and note them as a 'hardness'."
    if below is not None and below.hardness_least is None:
        measure = (
            "Its sheet gives no hardness: post-cure it, or wipe it with solvent and note that as "
            "'solvent_wipe'; else a lead sets this aside."
        )
    return rule.unknown(
        say("Its hardness was not measured{}.", "" if heat is None else "; " + heat.words()),
        measure,
    )


def unwaxed(rule: Rule, below: Below | None) -> Judged:
    """Whether the face below the next ply is free of wax."""
    if below is None:
        return rule.held("Nothing of this job lies below.")
    if below.on_wax:
        return rule.failed(
            f"{below.title} lies on wax: {below.on_wax}, was not sanded when it was covered.",
            "Take it off, sand what is below to dull, and lay it again: nothing bonds to wax.",
        )
    if below.sanded_at is not None:
        return rule.held(f"{below.title}: sanded.")
    if below.waxed is None:
        return rule.unknown(
            f"{below.title}: nobody knows whether its face is waxed.",
            "Look at the data sheet, or sand it.",
        )
    if not below.waxed:
        return rule.held(f"{below.title}: no wax in it.")
    return rule.failed(
        f"{below.title}: its wax has risen to the face.",
        "Wipe it, sand to dull and note it as sanded; next time lay all but the last in unwaxed "
        "resin.",
    )


def sound_below(rule: Rule, trouble: list[Text], unfelt: list[str]) -> Judged:
    """Whether every layup of the job is sound.

    Args:
        trouble: layups in trouble, each in a sentence with its next step. unfelt: layups that
            should have gelled and that no hand has felt since.
    """
    if trouble:
        return rule.failed(
            joined(" ", trouble), "Note what became of each: gelled, a hardness, or scraped off."
        )
    if unfelt:
        return rule.unknown(
            f"Gelled by the clock alone: {', '.join(unfelt)}.",
            "Try it with a glove, and note what you find.",
        )
    return rule.held("No layup is in trouble.")


def mat_on_gel_coat(
    rule: Rule, below: Below | None, mats: list[tuple[str, float | None]]
) -> Judged:
    """Whether the job has a ply that is light enough to go against gel coat.

    Args:
        mats: (code, mg/m²) of the reinforcements that the job needs.
    """
    most = rule.limits["most"]
    if below is None or not below.gel_coat:
        return rule.held("The next ply does not go on gel coat.")
    known = [(code, weight) for code, weight in mats if weight is not None]
    if not known:
        return rule.unknown(
            f"{below.title} is gel coat, and the job names no ply with its weight.",
            f"Lay nothing over {most / 1000:.0f} g/m² against it; enter what the job needs.",
        )
    light = [code for code, weight in known if weight <= most]
    if light:
        return rule.held(f"Against {below.title} first: {', '.join(light)}.")
    return rule.failed(
        f"Too heavy against {below.title}: {', '.join(code for code, _ in known)}.",
        f"Lay a mat of at most {most / 1000:.0f} g/m² first: a heavier one prints through and "
        "holds air.",
    )
