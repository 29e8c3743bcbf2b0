"""Signatures of a job: what is still open before one, and each that it had."""

from __future__ import annotations

from ..answers import Record
from .columns import View, labelled, marked, spaced, wrapped
from .moments import when


def shown(answer: Record, view: View) -> list[str]:
    """What is open, by its name in a signature; then every signature, the oldest first."""
    signed = answer["signatures"]
    standing = any(each["voided"] is None for each in signed)
    nothing = "" if standing or answer["open"] else "Nothing is open: it may be signed."
    return spaced(
        [f"job {answer['job']}"],
        labelled([(each["item"], each["found"]) for each in answer["open"]], view.width),
        wrapped(nothing, view.width) if nothing else [],
        *(marked(lines(each, view), view.width, "- ") for each in signed),
    )


def lines(signature: Record, view: View) -> list[str]:
    """One signature: who and when, whose rules, what was left open, how it was voided."""
    unproven = "" if signature["verified"] else ", unverified: no token proved the name"
    found = [f"signed {when(signature['at'], view)} by {signature['who']}{unproven}"]
    found.append(f"authority: {signature['authority'] or 'none named'}")
    found += [
        f"left open: {each['item']}, {each['found']} Reason: {each['reason']}"
        for each in signature["left_open"]
    ]
    if signature["head"]:
        found.append(f"the seals ended in {signature['head']}")
    if voided := signature["voided"]:
        found.append(f"voided {when(voided['at'], view)} by {voided['who']}: {voided['reason']}")
    return [*found, signature["says"]]
