"""Authority: whose rules structural work follows, to be named before anything is cut or laid.

Common practice, no source: the builder's drawings, a class society's rules or a licensed surveyor
decide what carries load, and never this program. In this file `structural` is the job's answer:
yes, no or unknown.
"""

from __future__ import annotations

from .judged import Judged, Rule

SAY_SO = "Set the job's 'structural' to no, or to yes with its 'authority'."


def stops_work(structural: str, authority: str | None) -> bool:
    """Whether planning, needs and layups are refused: surely structural, and no authority named."""
    return structural == "yes" and not authority


def stops_cutting(structural: str, authority: str | None) -> bool:
    """Whether the cut list is refused: perhaps structural, and no authority named."""
    return structural != "no" and not authority


def unasked(structural: str) -> bool:
    """Whether nobody has said if the work carries load."""
    return structural == "unknown"


def named(rule: Rule, structural: str, authority: str | None) -> Judged:
    """The quality gate: whether work that may be structural names an authority."""
    if structural == "no":
        return rule.held("The job is not structural.")
    if authority:
        return rule.held(f"It follows: {authority}.")
    if unasked(structural):
        return rule.unknown("Nobody has said whether the job is structural.", SAY_SO)
    return rule.failed(
        "The job is structural and names no authority.",
        "Name whose rules it goes by, as the job's 'authority'.",
    )
