"""Whose rules structural work goes by: named before anything is cut or laid.

Common practice, no source: the builder's drawings, a class society's rules or a licensed
surveyor decide what carries load, and never this program. `structural` is a job's: yes, no or
unknown.
"""

from __future__ import annotations

from .judged import Judged, Rule

SAY_SO = "Set the job's 'structural' to no, or to yes with its 'authority'."


def stops_work(structural: str, authority: str | None) -> bool:
    """Whether nothing may be planned, needed or laid: structural for certain, by nobody's rules."""
    return structural == "yes" and not authority


def stops_cutting(structural: str, authority: str | None) -> bool:
    """Whether no cut list is given: what nobody called non-structural is by nobody's rules."""
    return structural != "no" and not authority


def unasked(structural: str) -> bool:
    """Whether nobody has said if the work carries load."""
    return structural == "unknown"


def named(rule: Rule, structural: str, authority: str | None) -> Judged:
    """The quality gate: whether the work names whose rules it goes by, where it needs any."""
    if structural == "no":
        return rule.held("The job is not structural.")
    if authority:
        return rule.held(f"It goes by: {authority}.")
    if unasked(structural):
        return rule.unknown("Nobody has said whether the job is structural.", SAY_SO)
    return rule.failed(
        "The job is structural and names no authority.",
        "Name whose rules it goes by, as the job's 'authority'.",
    )
